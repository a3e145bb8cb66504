"""POST /api/v1/dose-check/"""

import uuid

import pytest
from django.test import Client, override_settings
from django.utils import timezone

from homeprogram.models import ClinicFamily, StimulatorProfile

URL = "/api/v1/dose-check/"
ACLR = {
    "waveform": "symmetric_biphasic",
    "frequency_hz": 50,
    "phase_duration_us": 300,
    "intensity_ma": 50,
    "on_s": 10,
    "off_s": 50,
    "ramp_up_s": 2,
    "ramp_down_s": 2,
    "ramps_inside_on": True,
    "contractions": 15,
    "bouts_per_day": 1,
    "days_per_week": 3,
    "weeks": 6,
    "electrode_cm2": 96.5,
    "family": "acl_reconstruction",
}


def ask(client, **changes):
    return client.post(URL, {**ACLR, **changes}, content_type="application/json")


def without_contractions(**changes) -> dict:
    return {"contractions": None, **changes}


def levels(reply) -> dict[str, str]:
    return {one["code"]: one["level"] for one in reply.json()["findings"]}


def test_a_dose_is_counted_and_measured(desk):
    reply = ask(desk)

    assert reply.status_code == 200
    body = reply.json()
    assert (body["contractions_per_bout"], body["bout_min"]) == (15, 15.0)
    assert body["contractions_per_course"] == 270
    # 50 mA, 300 us a phase, 50 Hz: 8.66 mA r.m.s. by a maker's printed rule.
    assert body["rms_ma"] == pytest.approx(8.66, abs=0.01)
    assert body["findings"][0].keys() == {"code", "level", "message", "source", "mark"}


PROTOCOLS = [
    # on, off, minutes, a day, days, weeks: contractions a bout and a course as printed
    # or worked from print; sources in fixtures/guidance/references.json
    ("aldayel_2021", 5, 15, 20, 1, 2, 5, 60, 600),
    ("imoto_2013", 10, 30, 20, 1, 2, 8, 30, 480),
    ("acl_2019_jner", 10, 10, 10, 1, 3, 4, 30, 360),
    ("lieber_1996", 10, 20, 30, 1, 5, 4, 60, 1200),
    ("feil_2011_garment", 5, 10, 20, 3, 5, 12, 80, 14_400),
    ("feil_2011_conventional", 10, 20, 20, 3, 5, 12, 40, 7200),
    ("windholz_2014", 5, 5, 30, 1, 7, 6, 180, 7560),
]


@pytest.mark.parametrize("row", PROTOCOLS, ids=lambda row: row[0])
def test_a_published_protocol_comes_out_as_printed(desk, row):
    family, on_s, off_s, minutes, bouts, days, weeks, bout, course = row

    reply = ask(
        desk,
        **without_contractions(bout_min=minutes),
        family=family,
        on_s=on_s,
        off_s=off_s,
        ramp_up_s=1,
        ramp_down_s=1,
        bouts_per_day=bouts,
        days_per_week=days,
        weeks=weeks,
    )

    assert reply.json()["contractions_per_bout"] == bout
    assert reply.json()["contractions_per_course"] == course


def test_the_pulse_printed_in_milliseconds_is_refused_with_what_was_meant(desk):
    # Windholz et al. 2014, PMC4012222: "300 ms" at 50 Hz.
    reply = ask(desk, phase_duration_us=300_000)

    assert reply.status_code == 400
    body = reply.json()
    assert body.keys() == {"code", "message", "fields", "slips"}
    assert body["code"] == "pulse_does_not_fit"
    assert body["slips"] == [
        {"field": "phase_duration_us", "given": 300_000, "likely": 300, "unit": "µs"}
    ]


def test_milliamperes_left_out_leave_the_currents_null(desk):
    reply = ask(desk, intensity_ma=None)

    assert reply.status_code == 200
    assert reply.json()["rms_ma"] is None


def test_the_same_question_has_the_same_answer(desk):
    assert ask(desk).json() == ask(desk).json()


def test_the_clinics_stimulator_is_asked_what_it_can_do(desk, clinic):
    stimulator = StimulatorProfile.objects.get(clinic=clinic, name="Portable, low output")

    reply = ask(desk, stimulator=str(stimulator.id), intensity_ma=80, phase_duration_us=350)

    assert levels(reply)["stimulator_intensity"] == "cannot_deliver"
    assert levels(reply)["stimulator_phase_duration"] == "cannot_deliver"


def test_another_clinics_stimulator_answers_like_none(desk, outsider):
    foreign = StimulatorProfile.objects.filter(clinic=outsider.clinic).first()

    theirs, nobodys = ask(desk, stimulator=str(foreign.id)), ask(desk, stimulator=uuid.uuid4())

    assert theirs.status_code == nobodys.status_code == 400
    assert theirs.json() == nobodys.json()
    assert theirs.json()["code"] == "stimulator_unknown"


@pytest.fixture
def own_family(clinician):
    return ClinicFamily.objects.create(
        clinic=clinician.clinic,
        name="Larkrise short rests",
        values={"on_s": 10, "off_s": 20, "ranges": {"off_s": [15, 25]}},
        source="Agreed in the team, 2030",
        created_by=clinician,
        created_at=timezone.now(),
    )


def test_the_clinics_own_family_is_compared_with(desk, own_family):
    inside, outside = (ask(desk, family=str(own_family.id), off_s=off) for off in (20, 50))

    assert levels(inside)["off_s_family"] == "within"
    assert levels(outside)["off_s_family"] == "outside"


def test_another_clinics_family_answers_like_none(client, outsider, own_family):
    client.force_login(outsider.user)

    reply = ask(client, family=str(own_family.id))

    assert reply.status_code == 400
    assert reply.json()["code"] == "family_unknown"


def test_nobody_signed_in_hears_401(client, db):
    reply = ask(client)

    assert reply.status_code == 401
    assert reply.json()["code"] == "not_authenticated"


def test_a_phone_is_no_clinician(phone):
    reply = phone.http.post(URL, ACLR, format="json", headers={"X-Boutwise": "1"})

    assert reply.status_code == 401


def test_a_clinician_who_left_hears_403(desk, clinician):
    clinician.active = False
    clinician.save()

    assert ask(desk).status_code == 403


@override_settings(REQUIRE_MFA=True)
def test_without_a_second_factor_where_one_is_required(desk):
    assert ask(desk).json()["code"] == "second_factor_missing"


def test_a_forged_request_is_refused(clinician):
    forger = Client(enforce_csrf_checks=True)
    forger.force_login(clinician.user)

    assert ask(forger).status_code == 403


def test_only_post_is_answered(desk):
    assert desk.get(URL).status_code == 405


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"waveform": "sawtooth"}, "waveform"),
        ({"frequency_hz": "fifty"}, "frequency_hz"),
        ({"frequency_hz": "nan"}, "frequency_hz"),
        ({"off_s": None}, "off_s"),
        ({"contractions": 1.5}, "contractions"),
        ({"stimulator": "7"}, "stimulator"),
        ({"phase_duration_us": None}, "phase_duration_us"),
        ({"bout_min": 15}, "bout_min"),
        ({"days_per_week": 8}, "days_per_week"),
    ],
)
def test_a_wrong_value_is_named(desk, changes, field):
    reply = ask(desk, **changes)

    assert reply.status_code == 400
    assert list(reply.json()["fields"]) == [field]


def test_an_impossible_dose_without_a_slip_has_none(desk):
    assert ask(desk, days_per_week=8).json()["slips"] == []


def test_one_question_costs_few_queries(desk, own_family, django_assert_max_num_queries):
    with django_assert_max_num_queries(4):
        ask(desk, family=str(own_family.id))
