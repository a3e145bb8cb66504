"""Each patient of the demo shows the state their story promises, whenever it is loaded."""

from datetime import UTC, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from django.core.management import call_command
from django.db import transaction

from clinician.demo.cast import CAST
from clinician.demo.load import demo_load
from clinician.demo.stories import STORIES
from clinician.models import Reminder
from homeprogram.models import Bout, Entry, Flag, HeldEntry, Hold, Patient, Phone
from homeprogram.selectors.plans import contexts

NAMES = {member.key: member.name for member in CAST}
# An afternoon at home, and the first minutes of a Monday on the other side of the world.
MOMENTS = {
    "afternoon": (datetime(2030, 5, 8, 13, 0, tzinfo=UTC), "Europe/London"),
    "midnight": (datetime(2030, 9, 1, 12, 10, tzinfo=UTC), "Pacific/Auckland"),
}
OPEN_FLAGS = {
    "steady": set(),
    "fading": {"missed_days", "under_dose", "strength_test_due"},
    "silent_phone": {"no_contact"},
    "skin_reaction": {"skin_reaction"},
    "stop_report": {"stop_report"},
    "surgery_review": set(),
    "over_use": {"over_use", "over_ceiling", "discomfort_worse", "pads_due"},
    "two_limbs": set(),
    "near_end": set(),
    "new_today": set(),
    "travelled": set(),
    "stops_for_pain": {"contact_wanted", "knee_pain_worse"},
    "held_entry": {"held_entry"},
    "back_after_lift": set(),
    "something_changed": {"something_changed"},
    "lost_log": {"lost_entries"},
}


class Demo:
    """The loaded demo, and what its panel would say of each patient."""

    def __init__(self, now: datetime, zone: str) -> None:
        self.now = now
        self.today = now.astimezone(ZoneInfo(zone)).date()
        self.steps = []
        self.loaded = demo_load(
            now=now, zone=ZoneInfo(zone), progress=lambda *step: self.steps.append(step)
        )

    def patient(self, key: str) -> Patient:
        return Patient.objects.get(name=NAMES[key])

    def statuses(self, key: str, days: int, limb: str | None = None) -> list[str]:
        """Statuses of the last days, yesterday last; today depends on the hour."""
        [context] = contexts(patients=[self.patient(key)], now=self.now, days_back=60)
        episode = next(e for e in context.episodes if limb in {None, e.limb})
        first = context.today - timedelta(days=days)
        return [day.status.value for day in context.days(episode, first, context.today)][:-1]


@pytest.fixture(scope="module", params=list(MOMENTS))
def loaded_demo(request, django_db_setup, django_db_blocker):
    """Loaded once a moment; every test of it starts from the same rows."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield Demo(*MOMENTS[request.param])
        transaction.set_rollback(True)


@pytest.fixture
def demo(loaded_demo, db):
    return loaded_demo


def test_the_cast_is_sixteen_with_a_story_each(demo):
    assert len(CAST) == 16
    assert {member.key for member in CAST} == set(STORIES) == set(OPEN_FLAGS)
    assert demo.steps == [(n, 16) for n in range(1, 17)]


def test_flags_are_those_the_stories_call_for(demo):
    found = {
        key: set(
            Flag.objects.filter(patient=demo.patient(key), state="open").values_list(
                "reason", flat=True
            )
        )
        for key in NAMES
    }
    assert found == OPEN_FLAGS


def test_steady_does_every_day(demo):
    assert demo.statuses("steady", 28) == ["done"] * 28


def test_steady_leaves_today_open_for_the_visitor(demo):
    days = Bout.objects.filter(patient=demo.patient("steady")).values_list("for_date", flat=True)
    assert max(days) == demo.today - timedelta(days=1)


def test_fading_misses_the_last_days(demo):
    assert demo.statuses("fading", 5)[:3] == ["missed"] * 3


def test_a_silent_phone_is_never_called_missed(demo):
    statuses = demo.statuses("silent_phone", 5)
    assert set(statuses[:3]) == {"not_known_yet"}
    assert "missed" not in demo.statuses("silent_phone", 24)


def test_a_raised_patch_holds_its_limb(demo):
    patient = demo.patient("skin_reaction")
    holds = list(Hold.objects.filter(patient=patient, lift=None).order_by("placed_at"))
    assert {(hold.scope, hold.episode.limb, hold.reason) for hold in holds} == {
        ("limb", "right", "skin_grade_3")
    }
    assert demo.statuses("skin_reaction", 1) == ["paused"]


def test_a_stop_report_holds_everything(demo):
    hold = Hold.objects.get(patient=demo.patient("stop_report"), lift=None)
    assert (hold.scope, hold.reason) == ("all", "same_day")
    assert demo.statuses("stop_report", 2) == ["paused", "paused"]


def test_a_pause_for_the_surgeon_leaves_its_days_out(demo):
    patient = demo.patient("surgery_review")
    assert demo.statuses("surgery_review", 5) == ["paused"] * 5
    closed = Flag.objects.get(patient=patient)
    assert (closed.reason, closed.state) == ("contact_wanted", "closed")


def test_over_use_stays_visible(demo):
    bouts = Bout.objects.filter(patient=demo.patient("over_use"))
    days = list(bouts.values_list("for_date", flat=True))
    assert max(days.count(day) for day in days) == 3
    assert bouts.filter(over_ceiling=True).count() == 27


def test_two_limbs_keep_two_pathways_and_their_own_days(demo):
    patient = demo.patient("two_limbs")
    assert set(patient.episodes.values_list("limb", "pathway")) == {
        ("left", "pre_operative"),
        ("right", "conservative"),
    }
    weekdays = {"left": set(), "right": set()}
    for bout in Bout.objects.filter(patient=patient):
        weekdays[bout.episode.limb].add(bout.for_date.weekday())
    assert weekdays == {"left": {0, 2, 4}, "right": {1, 3, 5}}


def test_a_correction_changes_the_reading_and_keeps_the_entry(demo):
    patient = demo.patient("near_end")
    correction = Entry.objects.get(patient=patient, kind="correction")
    original = Entry.objects.get(patient=patient, entry_id=correction.of)
    assert original.payload["contractions"] == 4
    assert original.bout.contractions == 15


def test_a_withdrawn_bout_is_kept_but_counts_nothing(demo):
    patient = demo.patient("near_end")
    withdrawal = Entry.objects.get(patient=patient, kind="withdrawal")
    original = Entry.objects.get(patient=patient, entry_id=withdrawal.of)
    assert not Bout.objects.filter(entry=original).exists()
    assert Bout.objects.filter(patient=patient, for_date=original.for_date).count() == 1


def test_new_today_has_neither_phone_nor_entry(demo):
    patient = demo.patient("new_today")
    assert not Phone.objects.filter(patient=patient).exists()
    assert not Entry.objects.filter(patient=patient).exists()
    assert patient.programs.count() == 1


def test_days_abroad_are_counted_as_lived(demo):
    patient = demo.patient("travelled")
    entries = Entry.objects.filter(patient=patient)
    assert len(set(entries.values_list("offset_min", flat=True))) == 2
    statuses = demo.statuses("travelled", 20)
    assert statuses.count("not_done") == 2
    assert statuses.count("done") == 18


def test_three_refusals_for_pain_ask_for_contact(demo):
    said = Entry.objects.filter(patient=demo.patient("stops_for_pain"), kind="not_done")
    assert [entry.payload["reason"] for entry in said] == ["pain"] * 3
    assert demo.statuses("stops_for_pain", 9).count("not_done") == 3


def test_an_impossible_entry_is_held_and_its_day_stays_unknown(demo):
    held = HeldEntry.objects.get(patient=demo.patient("held_entry"))
    assert held.code == "payload_invalid"
    statuses = demo.statuses("held_entry", 5)
    # Before noon the newest of these days is open still.
    assert statuses[-2] in {"not_known_yet", "still_open"}
    assert statuses[:-2] == ["done"] * 3


def test_after_a_lift_the_patient_goes_on(demo):
    patient = demo.patient("back_after_lift")
    assert not Hold.objects.filter(patient=patient, lift=None).exists()
    assert demo.statuses("back_after_lift", 9) == ["done"] * 9
    assert demo.statuses("back_after_lift", 14)[:5] == ["paused"] * 5
    pads = {bout.revision.pads[0] for bout in Bout.objects.filter(patient=patient)}
    assert pads == {"upper_outer", "upper_inner"}


def test_nothing_was_received_in_the_future(demo):
    assert not Entry.objects.filter(received_at__gt=demo.now).exists()
    assert not Flag.objects.filter(opened_at__gt=demo.now).exists()
    assert not Reminder.objects.filter(claimed_at__gt=demo.now).exists()


def test_every_entry_came_after_it_was_made(demo):
    for entry in Entry.objects.all():
        assert entry.device_ms <= entry.received_at.timestamp() * 1000


def test_the_rows_are_those_a_rebuild_makes(demo):
    told = StringIO()
    call_command("rebuild", "--check", stdout=told, stderr=StringIO())
    assert "16 patients agree" in told.getvalue()


def test_the_clinic_wrote_down_its_own_work(demo):
    from clinician.selectors.contacts import calls_owed
    from clinician.selectors.lending import lending_list
    from clinician.selectors.visits import patient_visits

    clinic = demo.patient("steady").clinic
    visit = patient_visits(patient=demo.patient("steady")).newest[0]
    asked = calls_owed(patients=[demo.patient("stops_for_pain")])

    assert {one.state for one in lending_list(clinic=clinic, now=demo.now)} == {
        "overdue",
        "quarantine",
        "lent",
        "store",
    }
    assert visit.bout
    assert "the log holds" in visit.usage[0]
    assert asked.count() == 1
    [incident] = demo.patient("back_after_lift").incidents.all()
    assert incident.closing


def reminders_of(demo: Demo, key: str):
    from clinician.selectors.reminder_page import reminder_page
    from clinician.services.channels.routes import ROUTES
    from clinician.services.reminders import reaches_by

    return reminder_page(patient=demo.patient(key), now=demo.now, reaches=reaches_by(ROUTES))


def test_reminders_show_what_comes_what_went_and_what_came_of_it(demo):
    page = reminders_of(demo, "near_end")

    assert any(line.sent for line in page.plan)
    assert page.history
    assert all("logged" in line.effect or "too early" in line.effect for line in page.history)
    assert any(line.effect.startswith("logged") for line in page.history)


@pytest.mark.parametrize("key", ["fading", "silent_phone"])
def test_who_does_not_answer_is_reminded_once_a_week(demo, key):
    page = reminders_of(demo, key)

    assert "three stayed unanswered: one a week" in {line.what for line in page.plan}


def test_one_patient_stopped_the_reminders(demo):
    page = reminders_of(demo, "two_limbs")

    ways = [words.partition(",")[0] for words in page.stopped]
    assert ways == ["e-mail", "notice on the phone", "text message"]
    assert not any(line.sent for line in page.plan)


def test_the_effect_page_has_days_to_compare(demo):
    from clinician.selectors.reminder_effect import effect_page

    page = effect_page(clinic=demo.patient("steady").clinic, now=demo.now)

    assert page.effect.pairs > 0
    assert (page.share.reminded, page.share.stopped) == (5, 1)
