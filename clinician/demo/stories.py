"""What sets each demo patient apart: changes to single days of a usual course."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time

from clinician.demo.case import Case
from clinician.demo.diary import PATCHY, RAISED, SAME, SLIGHT, Diary


def steady(diary: Diary) -> None:
    """Does what is asked; two days without a network; today is still open."""
    diary.day(-12).bouts[0].helper = "Peter, husband"
    for day in diary.span(-9, -8):
        day.sync_at = None
    diary.day(-5).bouts[0].note = "Easier to get out of the chair."
    diary.day(-8).then(time(11), lambda case, at: case.see_contraction("left", "sustained", at))
    diary.day(0).rest()


def fading(diary: Diary) -> None:
    """Leaves bouts out more and more; the phone still speaks every evening."""
    for day in diary.span(-12, -6):
        day.bouts, day.swelling = day.bouts[:1], None
    for offset in (-10, -8, -7):
        bout = diary.day(offset).bouts[0]
        bout.share, bout.ended_early = 0.5, "discomfort"
    for day in diary.span(-5, 0):
        day.rest()
        day.swelling = None


def silent_phone(diary: Diary) -> None:
    """Whatever is logged stays on the phone."""
    for day in diary.span(-5, 0):
        day.sync_at = None


def skin_reaction(diary: Diary) -> None:
    """A patchy mark that went, then a raised one: the limb stops at once."""
    diary.day(-3).bouts[-1].skin_after = dict(PATCHY)
    last = diary.day(-1).bouts[-1]
    last.skin_after, last.note = dict(RAISED), "It burns a little under the upper pad."
    diary.day(0).rest()
    diary.day(0).morning_skin = dict(RAISED)


def stop_report(diary: Diary) -> None:
    """A sore, swollen calf: everything stops, a doctor the same day."""
    for day in diary.span(-2, 0):
        day.rest()
        day.swelling = "some"

    def report(case: Case, at: datetime) -> None:
        told = {"symptoms": ["calf_pain", "calf_swelling"]}
        case.phone.save("stop_report", told, at=at, limb="left")
        case.phone.sync(at)

    def call_back(case: Case, at: datetime) -> None:
        note = "Called back within the hour. Sent to same-day care; the hold stays until we hear."
        case.visit("left", "telephone", note, at)
        case.see("stop_report", at)

    diary.day(-2).then(time(9, 40), report)
    diary.day(-2).then(time(10, 15), call_back)


def surgery_review(diary: Diary) -> None:
    """Slipped on the stairs; paused until the surgeon has looked."""
    for day in diary.span(-5, 0):
        day.rest()
        day.swelling, day.knee_pain = "much", 5

    def tell(case: Case, at: datetime) -> None:
        text = "I slipped on the stairs this morning and the knee is thick. Shall I go on?"
        told = {"text": text, "wants_contact": True}
        case.phone.save("note_to_clinic", told, at=at)
        case.phone.sync(at)

    def answer(case: Case, at: datetime) -> None:
        note = "Slipped, much swelling, bears weight. The surgeon sees him this week."
        case.visit("right", "telephone", note, at)
        case.pause("right", "surgery_review", note, at)
        case.close("contact_wanted", "Called; program paused for the surgeon.", at)

    diary.day(-5).then(time(8, 5), tell)
    diary.day(-5).then(time(11, 20), answer)


def over_use(diary: Diary) -> None:
    """Three bouts where one is asked, above the ceiling, with one set of pads."""
    for day in diary.span(-9, -1):
        first = day.bouts[0]
        first.effort = 1.15
        day.bouts += [replace(first, at=time(hour, 5), discomfort=8) for hour in (13, 19)]
    for day in diary.span(-10, 0):
        day.new_pads = ()
    diary.day(-1).bouts[-1].note = "More must be better. The thigh is tired, though."


def two_limbs(diary: Diary) -> None:
    """Nothing unusual: the point is to keep LEFT and RIGHT apart."""
    diary.day(diary.last_with_bout(-2)).bouts[0].helper = "Ruth, daughter"


def near_end(diary: Diary) -> None:
    """A wrong number corrected days later; a bout logged twice and withdrawn; three tests."""
    slip = diary.day(diary.last_with_bout(-2)).bouts[0]
    slip.share = 0.3
    day = diary.day(diary.last_with_bout(-9))
    twice = replace(day.bouts[0], at=time(18, 39))
    day.bouts.append(twice)

    def correct(case: Case, at: datetime) -> None:
        whole = slip.payload | {"contractions": 15, "minutes": 15}
        said = {"of": slip.entry_id, "payload": whole, "reason": "I typed the wrong number."}
        case.phone.save("correction", said, at=at, limb=slip.limb)

    def withdraw(case: Case, at: datetime) -> None:
        said = {"of": twice.entry_id, "reason": "I logged the same bout twice."}
        case.phone.save("withdrawal", said, at=at, limb=twice.limb)

    diary.day(-1).then(time(10), correct)
    diary.day(-1).then(time(10, 5), withdraw)
    _strength_tests(diary)


def _strength_tests(diary: Diary) -> None:
    """Weak after surgery, on the way back; the other limb lost a little too."""

    def early(case: Case, at: datetime) -> None:
        measures = {"flexion_deg": 105, "extension_deg": 0, "extension_lag_deg": 5, "knee_pain": 3}
        case.test_strength("left", [228, 236, 231], [561, 570, 566], at, **measures)

    def later(case: Case, at: datetime) -> None:
        measures = {"flexion_deg": 118, "extension_deg": 0, "extension_lag_deg": 2, "knee_pain": 2}
        case.test_strength("left", [288, 306, 299], [565, 574, 569], at, **measures)

    def now(case: Case, at: datetime) -> None:
        measures = {"flexion_deg": 126, "extension_deg": 0, "extension_lag_deg": 0, "knee_pain": 1}
        case.test_strength("left", [341, 352, 349], [568, 572, 560], at, **measures)

    diary.day(-23).then(time(11), early)
    diary.day(-12).then(time(11), later)
    diary.day(-2).then(time(11), now)


def new_today(diary: Diary) -> None:
    """Seen today; no phone yet, no bout due before tomorrow."""


def travelled(diary: Diary) -> None:
    """Across the sea and back; days are counted as lived."""
    for day in diary.span(-10, -5):
        day.abroad = True
    for day in (diary.day(-11), diary.day(-4)):
        day.rest()
        day.not_done = [("left", "travel")]


def stops_for_pain(diary: Diary) -> None:
    """Says three times within two weeks that pain kept them from a bout."""
    for offset in (-9, -5, -1):
        day = diary.day(offset)
        day.rest()
        day.not_done = [("left", "pain")]
        day.swelling, day.knee_pain = "some", 7
    for offset in (-7, -4, -2):
        diary.day(offset).bouts[-1].pain_after = 6


def held_entry(diary: Diary) -> None:
    """One bout came with an impossible number; the clinic keeps it for a person to read."""
    diary.day(-2).bouts[0].share = 60


def back_after_lift(diary: Diary) -> None:
    """A raised spot, seen at the clinic, healed; pads moved, hold lifted."""
    diary.day(-14).bouts[-1].skin_after = dict(RAISED)
    for day in diary.span(-13, -10):
        day.rest()
    diary.day(-13).morning_skin = dict(RAISED)
    diary.day(-12).morning_skin = dict(SLIGHT)
    for day in diary.span(-9, 0):
        for bout in day.bouts:
            bout.skin_after = dict(SAME)

    def look(case: Case, at: datetime) -> None:
        note = "Upper outer pad: raised edge, skin whole. Pads were worn out; new ones given."
        case.visit("right", "clinic", note, at)

    def lift(case: Case, at: datetime) -> None:
        moved = replace(case.member.cares[0].wanted, pads=("upper_inner", "lower_outer"))
        case.revise("right", moved, "Pads moved away from the irritated spot.", at)
        case.stimulator_set("right", at)
        case.lift("Skin healed, seen at the clinic. New pads, new places.", at)
        case.close("skin_reaction", "Healed; pads changed and moved.", at)

    diary.day(-13).then(time(14, 30), look)
    diary.day(-10).then(time(11), lift)


def something_changed(diary: Diary) -> None:
    """Tells of a pacemaker: no bout until somebody has screened again."""
    for day in diary.span(-1, 0):
        day.rest()

    def tell(case: Case, at: datetime) -> None:
        told = {"text": "Changed: an implant.", "wants_contact": False, "changed": ["implant"]}
        case.phone.save("note_to_clinic", told, at=at)
        case.phone.sync(at)

    diary.day(-1).then(time(8, 5), tell)


def lost_log(diary: Diary) -> None:
    """The browser cleared the phone before the evening: two entries will not come."""
    diary.day(-3).sync_at = None
    diary.day(-3).then(time(19), lambda case, at: case.phone.clear(at))


STORIES: dict[str, Callable[[Diary], None]] = {
    story.__name__: story
    for story in (
        steady,
        fading,
        silent_phone,
        skin_reaction,
        stop_report,
        surgery_review,
        over_use,
        two_limbs,
        near_end,
        new_today,
        travelled,
        stops_for_pain,
        held_entry,
        back_after_lift,
        something_changed,
        lost_log,
    )
}
