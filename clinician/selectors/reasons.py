"""Why a flag stands, in a clinician's words."""

from clinician.selectors.words import day_of, listed, plural
from homeprogram.models import Flag

NAMES = {
    "stop_report": "Stop report",
    "skin_reaction": "Skin reaction",
    "something_changed": "Something changed",
    "rule_failed": "Needs a look",
    "contact_wanted": "Contact wanted",
    "knee_pain_worse": "Knee pain worse",
    "discomfort_worse": "Discomfort worse",
    "over_ceiling": "Over the ceiling",
    "over_use": "Over-use",
    "lost_entries": "Lost entries",
    "missed_days": "Missed days",
    "under_dose": "Under dose",
    "intensity_below_effective": "Current below effective",
    "pads_due": "Pads due",
    "held_entry": "Held entry",
    "no_contact": "No contact",
    "stimulator_at_limit": "Stimulator at its limit",
    "dose_review_due": "Dose review due",
    "strength_test_due": "Strength test due",
    "course_review_due": "Course review due",
}
# What no rule of that kind can know; printed beside the flag.
BLIND = {
    "stop_report": "Whether the patient has called, and how they are now.",
    "skin_reaction": "How the skin looks: the grade comes from the patient's answers.",
    "something_changed": "What it means for the dose: screen again, with the patient.",
    "rule_failed": "What that rule would have said: read the entries yourself.",
    "contact_wanted": "Whether somebody has called since.",
    "knee_pain_worse": "A slow rise, or pain after every other bout; what else the knee did.",
    "discomfort_worse": "Whether the current was turned up on purpose; a slow rise.",
    "over_ceiling": "Whether a wrong number was typed, or the ceiling was changed by word.",
    "over_use": "Bouts never logged, long bouts, and what the patient was told in person.",
    "lost_entries": "What they said: a stop report may be among them. Ask the patient.",
    "missed_days": "Bouts done and never logged.",
    "under_dose": "Bouts done and never logged, and days not known yet.",
    "intensity_below_effective": "How strong the contraction is now: the same current may do more.",
    "pads_due": "Pads changed and not told, and how they look.",
    "held_entry": "What the entry says until a person reads it.",
    "no_contact": "Whether the patient trains: it is about the phone, not the person.",
    "stimulator_at_limit": "Whether the contraction is strong enough all the same.",
    "dose_review_due": "How strong the contraction is, and whether more is wanted.",
    "strength_test_due": "Tests made and not entered here, and whether one is allowed.",
    "course_review_due": "How the patient does in daily life; it never says that a course is done.",
}
SYMPTOMS = {
    "chest_pain": "chest pain",
    "breathless": "breathless",
    "calf_pain": "calf pain",
    "calf_swelling": "calf swelling",
    "dark_urine": "dark urine",
    "fever": "fever",
    "wound_change": "change at the wound",
    "pop": "a pop in the knee",
    "leg_raise_lost": "leg raise lost",
    "skin_burn": "burn on the skin",
    "strong_pain": "strong pain",
    "faint": "faint",
    "numb": "numb",
    "other": "something else",
}
CHANGES = {
    "medicine": "a medicine",
    "illness": "an illness",
    "operation": "an operation",
    "pregnancy": "pregnancy",
    "implant": "an implant",
}
FAILED = {"facts": "the entries themselves"}
COURSE_MET = {
    "conditions_met": "the clinic's conditions for a review are met",
    "planned_weeks_over": "the planned weeks are over",
}
MOMENTS = {"before": "before the bout", "after": "after the bout", "next_morning": "next morning"}


def name(reason: str) -> str:
    return NAMES.get(reason, reason.replace("_", " ").capitalize())


def in_words(flag: Flag) -> str:
    """The facts of the card, without its name."""
    say = WRITERS.get(flag.reason)
    return say(flag.basis) if say else ""


def _stop_report(basis: dict) -> str:
    told = listed([SYMPTOMS.get(symptom, symptom) for symptom in basis["what"]])
    return f"{told}, {day_of(basis['day'])}"


def _skin_reaction(basis: dict) -> str:
    moment = MOMENTS.get(basis["moment"], basis["moment"])
    return f"grade {basis['grade']} of 4, {moment}, {day_of(basis['day'])}"


def _contact_wanted(basis: dict) -> str:
    pain = len(basis["entries"]) if "pain" in basis["what"] else 0
    asks = f"the patient asks to be called, {day_of(basis['day'])}"
    return (
        f"not done for pain, {plural(pain, 'time')}"
        if pain and "note" not in basis["what"]
        else asks
    )


def _something_changed(basis: dict) -> str:
    told = listed([CHANGES.get(change, change) for change in basis["what"]])
    return f"{told}, {day_of(basis['day'])}"


def _pads_due(basis: dict) -> str:
    since = f"new on {day_of(basis['new_on'])}" if basis["new_on"] else "no new set told"
    stick = "the patient says they no longer stick, " if basis["wont_stick"] else ""
    return f"{stick}used in {plural(basis['uses'], 'bout')}, {since}"


def _missed_days(basis: dict) -> str:
    return f"{plural(len(basis['days']), 'due day')}: {listed([day_of(d) for d in basis['days']])}"


def _under_dose(basis: dict) -> str:
    return (
        f"{basis['contractions']} of {basis['contractions_due']} contractions, "
        f"{day_of(basis['from'])} to {day_of(basis['to'])}"
    )


def _held_entry(basis: dict) -> str:
    return f"{plural(len(basis['entries']), 'entry', 'entries')} kept, not yet usable"


def _lost_entries(basis: dict) -> str:
    days = f"{day_of(basis['since'][:10])} to {day_of(basis['until'][:10])}"
    if basis["cleared"]:
        return f"the phone's log was cleared; what it had not sent is gone, {days}"
    return f"{plural(basis['numbered'], 'entry', 'entries')} of the phone will not come, {days}"


def _no_contact(basis: dict) -> str:
    days = plural(basis["due_days_unheard"], "due day")
    return f"no full account from the phone since {day_of(basis['since'][:10])}, {days} not known"


def _rule_failed(basis: dict) -> str:
    return f"could not be worked out: {listed([FAILED.get(w) or name(w) for w in basis['what']])}"


def _knee_pain_worse(basis: dict) -> str:
    return f"up to {basis['highest']} of 10 after a bout, {_bouts(basis)}"


def _discomfort_worse(basis: dict) -> str:
    return f"up to {basis['highest']} of 10, {_bouts(basis)}"


def _over_ceiling(basis: dict) -> str:
    return f"in {_bouts(basis)}"


def _over_use(basis: dict) -> str:
    days = listed([day_of(day) for day in basis["days"]])
    return f"{plural(basis['bouts_more'], 'bout')} more than asked, {days}"


def _bouts(basis: dict) -> str:
    return f"{plural(basis['bouts'], 'bout')}, the last {day_of(basis['day'])}"


def _stimulator_at_limit(basis: dict) -> str:
    return f"{_bouts(basis)}, at {basis['intensity']}"


def _dose_review_due(basis: dict) -> str:
    return f"discomfort at most {basis['highest']} of 10 at the same current, {_bouts(basis)}"


def _intensity_below_effective(basis: dict) -> str:
    return (
        f"{_bouts(basis)}, at {basis['intensity']}; {basis['evoked_pct']:g} % of voluntary force "
        f"at {basis['effective']}, tested {day_of(basis['tested_on'])}"
    )


def _strength_test_due(basis: dict) -> str:
    if basis["tested_on"]:
        return f"last test {day_of(basis['tested_on'])}"
    return f"none since the program began, {day_of(basis['since'])}"


def _course_review_due(basis: dict) -> str:
    return f"{listed([COURSE_MET[what] for what in basis['what']])}; the course may be reviewed"


WRITERS = {
    "stop_report": _stop_report,
    "skin_reaction": _skin_reaction,
    "something_changed": _something_changed,
    "pads_due": _pads_due,
    "rule_failed": _rule_failed,
    "knee_pain_worse": _knee_pain_worse,
    "discomfort_worse": _discomfort_worse,
    "over_ceiling": _over_ceiling,
    "over_use": _over_use,
    "intensity_below_effective": _intensity_below_effective,
    "stimulator_at_limit": _stimulator_at_limit,
    "dose_review_due": _dose_review_due,
    "strength_test_due": _strength_test_due,
    "course_review_due": _course_review_due,
    "contact_wanted": _contact_wanted,
    "lost_entries": _lost_entries,
    "missed_days": _missed_days,
    "under_dose": _under_dose,
    "held_entry": _held_entry,
    "no_contact": _no_contact,
}
