"""The file says what the desk says: the same bouts, the same figures, corrected the same way."""

from collections import defaultdict
from datetime import timedelta
from uuid import uuid5

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clinician.services.signed_notes import addendum_sign
from homeprogram.services.holds import hold_lift
from homeprogram.services.programs import program_end, program_pause, revision_add
from tests.conftest import make_dose
from tests.entries import BOUT, entry_id, skin
from tests.support.desk import make_visit, seen_bout
from tests.support.fhir import codes_of, faults, figures, record_of, resources, the
from tests.support.notes import make_note
from tests.support.prescribing import make_strength_test
from tests.support.pushes import push_at
from tests.support.reading import text_of
from tests.support.reminding import Remembering, agreed, due_patient, evening, routes_of, tick
from tests.support.whole_patient import whole_patient

DAY = timedelta(days=1)
TOLD = {
    "minutes": 12.5,
    "contractions": 13,
    "intensity": [
        {"channel": 1, "value": 41.5, "unit": "mA"},
        {"channel": 2, "value": 7, "unit": "level"},
    ],
    "discomfort": 7,
    "knee_pain_before": 2,
    "knee_pain_after": 4,
}
AS_FIGURES = {
    "minutes": (12.5, "min"),
    "contractions": (13, "1"),
    "discomfort": (7, "{score}"),
    "knee_pain_before": (2, "{score}"),
    "knee_pain_after": (4, "{score}"),
    "intensity_channel_1": (41.5, "mA"),
    "intensity_channel_2": (7, "{level}"),
}


def corrected(story, entry: dict, payload: dict) -> dict:
    said = {"of": entry_id(entry), "reason": "miscounted", "payload": payload}
    return story.entry("correction", said)


def test_a_bout_has_the_figures_of_the_table_of_entries(desk, patient, story):
    story.push(story.bout("2030-03-05", **TOLD), after=DAY)
    url = reverse("patient-entries", kwargs={"patient_id": patient.id})

    page = text_of(desk.get(f"{url}?until=2030-03-10"))

    assert figures(the(record_of(desk, patient), "Observation", "bout")) == AS_FIGURES
    for words in (
        "13 contractions in 12.5 min, from 08:00",
        "discomfort 7 of 10",
        "knee pain 2 before, 4 after, of 10",
        "channel 1 41.5 mA and channel 2 7 level",
    ):
        assert words in page


def test_a_bout_is_about_its_revision_and_as_long_as_told(desk, patient, story):
    story.push(story.bout("2030-03-05", minutes=12.5), after=DAY)

    bout = the(record_of(desk, patient), "Procedure")

    assert bout["status"] == "completed"
    assert [one["reference"] for one in bout["basedOn"]] == [f"urn:uuid:{story.revision.id}"]
    assert bout["performedPeriod"] == {
        "start": "2030-03-05T08:00:00Z",
        "end": "2030-03-05T08:12:30Z",
    }


def test_a_partial_bout_is_stopped_and_says_why(desk, patient, story):
    story.push(story.bout("2030-03-05", contractions=11, ended_early="skin"), after=DAY)

    bout = the(record_of(desk, patient), "Procedure")

    assert (bout["status"], codes_of(bout["statusReason"])) == ("stopped", ["skin"])


def test_what_was_filled_in_later_says_when_it_was_written_down(desk, patient, story):
    check = {"swelling": "some", "knee_pain": 2}
    late = {"local_time": "2030-03-08T21:00:00", "offset_min": 60}
    story.push(story.entry("morning_check", check, **late), after=5 * DAY)

    told = the(record_of(desk, patient), "Observation", "morning_check")

    assert told["effectiveDateTime"] == "2030-03-05"
    written = [one for one in told["component"] if "written_down" in codes_of(one["code"])]
    assert [one["valueDateTime"] for one in written] == ["2030-03-08T21:00:00+01:00"]


def test_not_done_says_why(desk, patient, story):
    story.push(story.entry("not_done", {"ordinal": 1, "reason": "no_time"}), after=DAY)

    missed = the(record_of(desk, patient), "Procedure")

    assert (missed["status"], codes_of(missed["statusReason"])) == ("not-done", ["no_time"])
    assert missed["performedDateTime"] == "2030-03-05"


def test_of_a_corrected_bout_only_the_value_that_counts_is_there(desk, patient, story):
    first = story.bout("2030-03-05")
    story.push(first, corrected(story, first, BOUT | TOLD), after=DAY)

    bundle = record_of(desk, patient)
    bout = the(bundle, "Observation", "bout")

    assert (bout["status"], figures(bout)) == ("corrected", AS_FIGURES)
    assert len(resources(bundle, "Procedure")) == 1


def test_a_withdrawn_bout_is_an_error_without_figures(desk, patient, story):
    bout = story.bout("2030-03-05")
    gone = story.entry("withdrawal", {"of": entry_id(bout), "reason": "twice"})
    story.push(bout, gone, after=DAY)

    bundle = record_of(desk, patient)

    assert the(bundle, "Procedure")["status"] == "entered-in-error"
    assert resources(bundle, "Observation", "bout") == []


def test_a_skin_check_carries_its_grade_and_the_facts_of_each_pad(desk, patient, story):
    bout = story.bout("2030-03-05")
    check = skin(colour="slight", pattern="even", itchy=True) | {"bout_id": entry_id(bout)}
    story.push(bout, story.entry("skin_check", check), after=DAY)

    bundle = record_of(desk, patient)
    whole = the(bundle, "Observation", "skin_check")
    upper, lower = resources(bundle, "Observation", "skin_at_pad")

    assert whole["valueQuantity"]["value"] == 1
    assert [one["type"] for one in whole["partOf"]] == ["Procedure"]
    assert [upper["valueQuantity"]["value"], lower["valueQuantity"]["value"]] == [1, 0]
    told = {codes_of(one["code"])[0]: one for one in upper["component"]}
    assert codes_of(told["colour"]["valueCodeableConcept"]) == ["slight"]
    assert (told["itchy"]["valueBoolean"], told["broken"]["valueBoolean"]) == (True, False)


def test_a_check_that_names_something_else_than_a_bout_is_part_of_none(desk, patient, story):
    first = story.entry("morning_check", {"swelling": "none", "knee_pain": 0})
    check = skin() | {"bout_id": entry_id(first)}
    story.push(first, story.entry("skin_check", check), after=DAY)

    bundle = record_of(desk, patient)

    assert "partOf" not in the(bundle, "Observation", "skin_check")
    assert faults(bundle) == []


def test_a_clock_at_the_end_of_all_years_stops_no_file(desk, patient, story):
    story.push(story.bout("2030-03-05", started_at="9999-12-31T23:59"), after=DAY)

    bout = the(record_of(desk, patient), "Procedure")

    assert bout["performedPeriod"] == {"start": "9999-12-31T23:59:00Z"}


def test_knee_pain_is_loincs_pain_and_discomfort_is_not(desk, patient, story):
    story.push(story.bout("2030-03-05"), after=DAY)

    bout = the(record_of(desk, patient), "Observation", "bout")
    pain = [codes_of(one["code"]) for one in bout["component"] if "72514-3" in str(one)]

    assert pain == [["72514-3", "knee_pain_before"], ["72514-3", "knee_pain_after"]]


def test_a_helper_is_named_as_whoever_told_it(desk, patient, story):
    check = {"swelling": "some", "knee_pain": 2}
    helper = {"logged_by": {"who": "helper", "name": "Jo"}}
    story.push(story.entry("morning_check", check, **helper), after=DAY)

    told = the(record_of(desk, patient), "Observation", "morning_check")
    assert told["performer"] == [{"type": "RelatedPerson", "display": "Jo"}]


def test_a_revision_is_a_request_with_its_days_and_dose(desk, patient, revision):
    bundle = record_of(desk, patient)
    request, dose = the(bundle, "ServiceRequest"), the(bundle, "Observation", "dose")

    assert request["occurrenceTiming"]["repeat"] == {
        "boundsPeriod": {"start": "2030-03-05"},
        "duration": 15,
        "durationUnit": "min",
        "frequency": 1,
        "period": 1,
        "periodUnit": "d",
        "dayOfWeek": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"],
    }
    assert [one["reference"] for one in request["supportingInfo"]] == [f"urn:uuid:{dose['id']}"]
    said = figures(dose)
    assert said["frequency_hz"] == (50, "Hz")
    assert said["phase_duration_us"] == (300, "us")
    assert (said["on_s"], said["off_s"]) == ((10, "s"), (50, "s"))
    assert said["electrode_cm2"] == (60, "cm2")
    assert said["knee_angle_deg"] == (65, "deg")
    assert said["intensity_start_channel_1"] == (20, "mA")
    assert said["intensity_ceiling_channel_1"] == (60, "mA")


def test_the_one_before_is_followed_until_the_next_is_in_effect(desk, patient, story, clinician):
    second = revision_add(
        program=story.revision.program, by=clinician, dose=make_dose(off_s=40),
        stimulator=story.revision.stimulator, reason="more", now=story.now,
        first_day=story.now.date() + DAY,
    )  # fmt: skip
    before = record_of(desk, patient)
    push_at(story.phone, story.now, have=[second.id])
    story.wait(2 * DAY)
    later = record_of(desk, patient)

    assert [one["status"] for one in resources(before, "ServiceRequest")] == ["active", "active"]
    first, newest = resources(later, "ServiceRequest")
    assert [first["status"], newest["status"]] == ["revoked", "active"]
    assert [one["reference"] for one in newest["replaces"]] == [f"urn:uuid:{first['id']}"]


def test_a_pause_holds_the_plan_and_an_end_completes_it(desk, patient, revision, now, clock):
    program, by = revision.program, revision.created_by
    program_pause(program=program, by=by, reason="travel", now=now)
    clock(now + DAY)
    paused = record_of(desk, patient)
    program_end(program=program, by=by, reason="done", now=now, ended_on=now.date())
    ended = record_of(desk, patient)

    assert the(paused, "CarePlan")["status"] == "on-hold"
    assert the(ended, "CarePlan")["status"] == "completed"
    assert the(ended, "DeviceUseStatement")["status"] == "completed"
    assert faults(ended) == []


def test_a_strength_test_gives_what_was_computed_that_day(desk, patient, episode, clinician, now):
    test = make_strength_test(episode, clinician, now)

    told = the(record_of(desk, patient), "Observation", "strength_test")

    said = figures(told)
    assert said["lsi_pct"] == (test.result["lsi_pct"], "%") == (80, "%")
    assert said["involved_mvic"] == (100, "N.m")
    assert said["nm_per_kg_involved"] == (1.25, "N.m/kg")
    assert told["effectiveDateTime"] == "2030-03-04"


def test_a_visit_gives_its_measures_and_the_bout_seen(desk, patient, episode, clinician, now):
    make_visit(
        episode, clinician, now, measures={"flexion_deg": 120, "knee_pain": 3},
        bout=seen_bout(clinician.clinic, now),
    )  # fmt: skip

    bundle = record_of(desk, patient)

    measured = the(bundle, "Observation", "visit")
    assert figures(measured) == {"knee_pain": (3, "{score}"), "flexion_deg": (120, "deg")}
    seen = the(bundle, "Procedure")
    assert seen["performer"][0]["actor"]["display"] == "Ro Desk"
    assert figures(the(bundle, "Observation", "supervised_bout"))["skin_after"] == (1, "{score}")


def test_a_bout_seen_and_logged_is_one_procedure(desk, patient, story, clinician):
    day = story.now + DAY
    seen = seen_bout(clinician.clinic, day.replace(hour=8, minute=5))
    make_visit(story.revision.program.episode, clinician, day, bout=seen)
    story.push(story.bout("2030-03-05"), after=DAY)

    bundle = record_of(desk, patient)

    assert len(resources(bundle, "Procedure")) == 1
    assert len(resources(bundle, "Observation", "supervised_bout")) == 1


def address_of(patient, entry: dict) -> str:
    return f"urn:uuid:{uuid5(patient.id, f'entry {entry_id(entry)}')}"


def test_a_flag_names_its_entries_and_a_hold_stands_until_it_is_lifted(
    desk, patient, story, clinician
):
    story.push(check := story.entry("skin_check", skin(broken=True)), after=DAY)
    bundle = record_of(desk, patient)
    held = patient.holds.get()
    hold_lift(patient=patient, by=clinician, holds=[held], reason="healed", now=story.now + DAY)
    lifted = record_of(desk, patient)

    issue = the(bundle, "DetectedIssue", "skin_reaction")
    assert (issue["severity"], issue["status"]) == ("high", "final")
    assert issue["evidence"][0]["detail"][0]["reference"] == address_of(patient, check)
    assert the(bundle, "Flag")["status"] == "active"
    assert the(lifted, "Flag")["status"] == "inactive"
    assert the(lifted, "Flag")["period"].keys() == {"start", "end"}


def test_a_reminder_is_told_of_without_its_words(desk, clinician, now):
    patient = due_patient(clinician, now)
    agreed(patient, clinician, now)
    tick(routes_of(email=Remembering()), evening(now))

    sent = the(record_of(desk, patient), "Communication")

    assert (sent["status"], codes_of(sent["medium"][0])) == ("completed", ["email"])
    assert "payload" not in sent


def test_a_note_keeps_its_parts_and_an_addendum_is_appended(desk, patient, clinician, now):
    note = make_note(patient, clinician, now, assessment="Better & <steadier>.\nSlowly.")
    addendum_sign(note=note, by=clinician, text="Seen twice.", now=now)

    written, added = resources(record_of(desk, patient), "Composition")

    assert [one["title"] for one in written["section"]] == ["Objective", "Assessment", "Plan"]
    assert "Better &amp; &lt;steadier&gt;.<br/>Slowly." in written["section"][1]["text"]["div"]
    assert written["author"][0]["display"] == "Ro Desk"
    target = {"reference": f"urn:uuid:{note.id}", "type": "Composition"}
    assert added["relatesTo"] == [{"code": "appends", "targetReference": target}]


def test_months_add_up_to_the_desks_own_numbers_and_cost_no_more_questions(client, db, now):
    counts = {}
    for days in (30, 90):
        patient, clinician = whole_patient(days=days, now=now)
        client.force_login(clinician.user)
        record_of(client, patient)  # the session is written once a minute
        with CaptureQueriesContext(connection) as seen:
            bundle = record_of(client, patient)
        counts[days] = len(seen)

    assert counts[30] == counts[90] <= 15
    assert _by_day(bundle) == _charted(client, patient)


def _by_day(bundle: dict) -> dict[str, dict[str, float]]:
    """Of the left leg, each day with a bout: counts added, ratings at their highest."""
    days: dict = defaultdict(lambda: defaultdict(float))
    done = [*resources(bundle, "Observation", "bout")]
    done += [
        one for one in resources(bundle, "Observation", "supervised_bout") if one.get("partOf")
    ]
    for one in done:
        day, said = days[one["effectiveDateTime"][:10]], figures(one)
        day["bouts"] += 1
        day["minutes"] += said["minutes"][0]
        day["contractions"] += said["contractions"][0]
    return {day: dict(told) for day, told in days.items()}


def _charted(client, patient) -> dict[str, dict[str, float]]:
    url = reverse("course-numbers", kwargs={"patient_id": patient.id})
    limbs = client.get(f"{url}?weeks=all").json()["limbs"]
    left = next(one for one in limbs if one["limb"] == "LEFT")
    lines = {one["code"]: one["lines"][0]["values"] for one in left["charts"]}
    names = ("bouts", "minutes", "contractions")
    told = zip(left["days"], *(lines[name] for name in names), strict=True)
    return {day: dict(zip(names, values, strict=True)) for day, *values in told if values[0]}
