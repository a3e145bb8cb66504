from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from homeprogram.errors import RuleBroken
from homeprogram.models import Change, Decision, HomeProgram, Pause, Revision
from homeprogram.selectors.record import stimulators_of_clinic
from homeprogram.services.patients import episode_add, patient_add
from homeprogram.services.programs import (
    pause_end,
    program_assign,
    program_end,
    program_pause,
    revision_add,
)
from homeprogram.services.stimulators import stimulator_set
from tests.conftest import make_dose, make_program

TOMORROW = date(2030, 3, 5)


def revise(revision, clinician, now, *, dose=None, **changes) -> Revision:
    values = {"first_day": TOMORROW, "reason": "progress"} | changes
    return revision_add(
        program=revision.program,
        by=clinician,
        dose=dose or make_dose(),
        stimulator=revision.stimulator,
        now=now,
        **values,
    )


def pause(revision, clinician, now, **changes) -> Pause:
    return program_pause(
        program=revision.program, by=clinician, now=now, **{"reason": "illness"} | changes
    )


def refusal_of(action, *args, **kwargs) -> tuple[str, list[str]]:
    with pytest.raises(RuleBroken) as refusal:
        action(*args, **kwargs)
    assert refusal.value.message
    return refusal.value.code, list(refusal.value.fields)


def told(patient) -> int:
    return Change.objects.filter(patient=patient, type="program").count()


def test_a_program_starts_with_its_first_revision_and_is_told(revision, patient):
    assert (revision.number, revision.first_day, revision.weekdays) == (
        1,
        TOMORROW,
        [0, 1, 2, 3, 4, 5, 6],
    )
    assert told(patient) == 1


def test_an_episode_has_one_program(revision, clinician, now):
    code, _ = refusal_of(
        program_assign,
        episode=revision.program.episode,
        by=clinician,
        dose=make_dose(),
        stimulator=revision.stimulator,
        first_day=TOMORROW,
        reason="again",
        now=now,
    )

    assert code == "program_exists"
    assert HomeProgram.objects.count() == 1


def test_an_episode_that_ended_takes_no_program(patient, clinician, now):
    episode = episode_add(
        patient=patient, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    episode.ended_on = now.date()
    episode.save()

    code, _ = refusal_of(
        program_assign,
        episode=episode,
        by=clinician,
        dose=make_dose(),
        stimulator=stimulators_of_clinic(clinic=patient.clinic)[0],
        first_day=TOMORROW,
        reason="first dose",
        now=now,
    )

    assert code == "episode_ended"


def test_a_revision_is_numbered_and_leaves_the_old_one_as_it_was(revision, clinician, now):
    before = Revision.objects.filter(id=revision.id).values().get()

    second = revise(revision, clinician, now, dose=make_dose(bouts_per_day=2))

    assert (second.number, second.bouts_per_day) == (2, 2)
    assert Revision.objects.filter(id=revision.id).values().get() == before


@pytest.mark.parametrize("first_day", [date(2030, 3, 4), date(2030, 3, 3)])
def test_a_first_day_is_tomorrow_or_later(revision, clinician, now, first_day):
    refusal = refusal_of(revise, revision, clinician, now, first_day=first_day)

    assert refusal == ("first_day_too_early", ["first_day"])
    assert Revision.objects.count() == 1


@pytest.mark.parametrize(
    ("zone", "earliest"),
    # At 11:30 UTC on 4 March it is 5 March in Apia, and 4 March in Honolulu.
    [("Pacific/Apia", date(2030, 3, 6)), ("Pacific/Honolulu", date(2030, 3, 5))],
)
def test_tomorrow_is_the_patients_own(clinician, now, zone, earliest):
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone=zone)
    revision = make_program(patient, clinician, now)
    moment = datetime(2030, 3, 4, 11, 30, tzinfo=UTC)

    code, _ = refusal_of(
        revise, revision, clinician, moment, first_day=earliest - timedelta(days=1)
    )

    assert code == "first_day_too_early"
    assert revise(revision, clinician, moment, first_day=earliest).number == 2


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"weekdays": ()}, ("weekdays_missing", ["weekdays"])),
        ({"weekdays": (0, 7)}, ("weekdays_missing", ["weekdays"])),
        ({"exercises": ()}, ("exercises_missing", ["exercises"])),
        ({"knee_angle_deg": None}, ("knee_angle_missing", ["knee_angle_deg"])),
    ],
    ids=str,
)
def test_a_dose_says_when_what_and_at_which_angle(revision, clinician, now, changes, refusal):
    assert refusal_of(revise, revision, clinician, now, dose=make_dose(**changes)) == refusal
    assert Revision.objects.count() == 1


def test_a_range_may_stand_in_for_the_angle(revision, clinician, now):
    dose = make_dose(knee_angle_deg=None, knee_range="30 to 90 degrees")

    assert revise(revision, clinician, now, dose=dose).knee_range == "30 to 90 degrees"


@pytest.mark.parametrize("field", ["position", "reason"])
def test_nothing_that_must_be_said_is_left_blank(revision, clinician, now, field):
    changes = {"reason": ""} if field == "reason" else {"dose": make_dose(position="")}

    with pytest.raises(ValidationError) as refusal:
        revise(revision, clinician, now, **changes)

    assert list(refusal.value.message_dict) == [field]


@pytest.mark.parametrize(
    "changes",
    [
        {"bouts_per_day": 7},
        {"contractions_per_bout": 601},
        {"on_s": 0.5},
        {"off_s": 301},
        {"frequency_hz": 201},
        {"phase_duration_us": 1001},
        {"waveform": "square"},
    ],
    ids=str,
)
def test_an_impossible_dose_is_refused(revision, clinician, now, changes):
    with pytest.raises(ValidationError):
        revise(revision, clinician, now, dose=make_dose(**changes))

    assert Revision.objects.count() == 1


def test_a_pause_starts_today_and_is_told(revision, patient, clinician, now):
    one = pause(revision, clinician, now, safety=True)

    assert (one.first_day, one.last_day, one.safety) == (date(2030, 3, 4), None, True)
    assert told(patient) == 2


def test_one_open_pause_at_a_time(revision, clinician, now):
    pause(revision, clinician, now)

    assert refusal_of(pause, revision, clinician, now)[0] == "already_paused"


@pytest.mark.parametrize(("last_day", "refused"), [(4, False), (5, True)])
def test_a_pause_that_goes_on_is_not_doubled(revision, clinician, now, last_day, refused):
    pause(revision, clinician, now, last_day=date(2030, 3, last_day))

    if refused:
        assert refusal_of(pause, revision, clinician, now)[0] == "already_paused"
    else:
        pause(revision, clinician, now)  # the one before ends today

    assert Pause.objects.count() == 1 + (not refused)


def test_a_pause_does_not_end_before_it_starts(revision, clinician, now):
    refusal = refusal_of(pause, revision, clinician, now, last_day=date(2030, 3, 3))

    assert refusal == ("pause_ends_too_early", ["last_day"])
    assert not Pause.objects.exists()


def test_a_pause_has_a_known_reason(revision, clinician, now):
    with pytest.raises(ValidationError) as refusal:
        pause(revision, clinician, now, reason="mood")

    assert list(refusal.value.message_dict) == ["reason"]


def test_a_pause_that_ends_today_has_today_as_its_last_day(revision, patient, clinician, now):
    one = pause(revision, clinician, now)

    pause_end(pause=one, by=one.created_by, now=now + timedelta(days=3))

    assert Pause.objects.get().last_day == date(2030, 3, 7)
    assert told(patient) == 3


def test_days_since_a_pause_was_over_are_never_paused_afterwards(revision, patient, clinician, now):
    one = pause(revision, clinician, now, last_day=date(2030, 3, 5))

    refusal = refusal_of(pause_end, pause=one, by=clinician, now=now + timedelta(days=3))

    assert refusal[0] == "pause_over"
    assert Pause.objects.get().last_day == date(2030, 3, 5)
    assert told(patient) == 2


def test_a_pause_ended_twice_on_one_day_is_ended_once(revision, patient, clinician, now):
    one = pause(revision, clinician, now)
    stale = Pause.objects.get()

    for seen in (one, stale):
        pause_end(pause=seen, by=clinician, now=now + timedelta(days=3))

    assert Decision.objects.filter(kind="pause_end").count() == 1
    assert told(patient) == 3


def test_a_pause_that_was_to_start_later_is_one_day_at_least(revision, clinician, now):
    one = pause(revision, clinician, now, first_day=date(2030, 3, 9))

    pause_end(pause=one, by=one.created_by, now=now)

    assert Pause.objects.get().last_day == date(2030, 3, 9)


def test_the_end_closes_the_episode_and_is_told(revision, patient, now):
    program_end(program=revision.program, by=revision.created_by, reason="course complete", now=now)

    program = HomeProgram.objects.select_related("episode").get()
    assert (program.ended_on, program.end_reason) == (date(2030, 3, 4), "course complete")
    assert program.episode.ended_on == date(2030, 3, 4)
    assert told(patient) == 2


def test_an_end_has_a_reason(revision, clinician, now):
    refusal = refusal_of(program_end, program=revision.program, by=clinician, reason="  ", now=now)

    assert refusal == ("reason_missing", ["reason"])


@pytest.mark.parametrize("what", ["revise", "pause", "end"])
def test_after_the_end_nothing_more_is_done_to_it(revision, clinician, now, what):
    stale = Revision.objects.select_related("program").get()  # read before somebody ended it
    program_end(program=revision.program, by=revision.created_by, reason="course complete", now=now)

    code, _ = {
        "revise": lambda: refusal_of(revise, stale, clinician, now),
        "pause": lambda: refusal_of(pause, stale, clinician, now),
        "end": lambda: refusal_of(
            program_end, program=stale.program, by=clinician, reason="again", now=now
        ),
    }[what]()

    assert code == "program_ended"


def test_who_set_the_stimulator_is_kept(revision, clinician, now):
    setting = stimulator_set(revision=revision, by=clinician, now=now, note="read back")

    assert list(revision.settings.all()) == [setting]
    assert (setting.set_by, setting.set_at) == (clinician, now)
