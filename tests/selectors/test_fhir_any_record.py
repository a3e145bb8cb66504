"""Whatever a phone may tell and a clinician may write, the file keeps to FHIR R4."""

import json
from dataclasses import replace
from datetime import date, timedelta
from itertools import count
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clinician.selectors.fhir.bundle import bundle_of
from clinician.selectors.fhir.rows import whole_record
from clinician.selectors.fhir.values import part_of
from homeprogram.calc import payloads
from homeprogram.calc.skin import MOMENTS, PADS
from homeprogram.calc.symptoms import ROUTE_OF
from homeprogram.calc.told_changes import CHANGED
from homeprogram.models import Entry
from tests.entries import BOUT as PLAIN_BOUT
from tests.support.fhir import faults, read, written_again

pytestmark = pytest.mark.any_database
RATING = st.integers(0, 10)
# Control characters too: a form lets them through, FHIR does not.
WORDS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=30)
SAID = WORDS.filter(str.strip)
BOUT = st.fixed_dictionaries(
    {
        "started_at": st.datetimes().map(lambda at: at.isoformat(timespec="minutes")),
        "ended_early": st.sampled_from([*payloads.ENDED_EARLY, None]),
        "minutes": st.floats(0, 120),
        "contractions": st.integers(0, 100),
        "intensity": st.lists(
            st.fixed_dictionaries(
                {
                    "channel": st.integers(1, 8),
                    "value": st.floats(0, 100),
                    "unit": st.sampled_from(["mA", "level"]),
                }
            ),
            unique_by=lambda one: one["channel"],
            max_size=2,
        ),
        "exercises": st.just([]),
        "discomfort": RATING,
        "knee_pain_before": RATING,
        "knee_pain_after": RATING,
        "note": WORDS,
    }
)
PAD = st.fixed_dictionaries(
    {
        "colour": st.sampled_from(["slight", "marked"]),
        "pattern": st.sampled_from(["even", "patchy"]),
        **{name: st.booleans() for name in ("raised", "itchy", "sore", "broken")},
    }
)
PLAIN = PAD.map(lambda facts: facts | {"colour": "same", "pattern": None})
CHECK = st.fixed_dictionaries(
    {
        "bout_id": st.none() | st.uuids().map(str),
        "moment": st.sampled_from(MOMENTS),
        "pads": st.lists(
            st.fixed_dictionaries({"pad": st.sampled_from(PADS), "facts": PAD | PLAIN}),
            min_size=1,
            max_size=4,
            unique_by=lambda one: one["pad"],
        ),
    }
)
TOLD = {
    "bout": BOUT,
    "skin_check": CHECK,
    "not_done": st.fixed_dictionaries(
        {"ordinal": st.integers(1, 10), "reason": st.sampled_from(payloads.NOT_DONE)}
    ),
    "morning_check": st.fixed_dictionaries(
        {"swelling": st.sampled_from(payloads.SWELLING), "knee_pain": RATING}
    ),
    "stop_report": st.fixed_dictionaries(
        {"symptoms": st.lists(st.sampled_from(list(ROUTE_OF)), min_size=1, max_size=3)}
    ),
    "note_to_clinic": st.fixed_dictionaries(
        {
            "text": SAID,
            "wants_contact": st.booleans(),
            "changed": st.none() | st.lists(st.sampled_from(CHANGED), min_size=1, max_size=2),
            "pads": st.sampled_from(["new", "wont_stick", None]),
        }
    ),
}


@st.composite
def logs(draw: st.DrawFn) -> list[dict]:
    """A few entries, some of them corrected or taken back."""
    log = []
    for kind in draw(st.lists(st.sampled_from(list(TOLD)), max_size=6)):
        first = {
            "entry_id": draw(st.uuids(version=4)),
            "kind": kind,
            "payload": payloads.PAYLOADS[kind](draw(TOLD[kind])),
            "for_date": draw(st.dates()),
            "offset_min": draw(st.integers(-14 * 60, 14 * 60)),
            "logged_by": draw(
                st.sampled_from([{"who": "patient"}, {"who": "helper", "name": "J"}])
            ),
        }
        log.append(first)
        match draw(st.sampled_from(["", "", "correction", "withdrawal"])):
            case "correction":
                amended = {"payload": draw(TOLD[kind]), "reason": "x"}
            case "withdrawal":
                amended = {"reason": "x"}
            case _:
                continue
        amends = "correction" if "payload" in amended else "withdrawal"
        of = first["entry_id"]
        entry_id = draw(st.uuids(version=4))
        log.append(first | {"entry_id": entry_id, "kind": amends, "of": of, "payload": amended})
    return log


@pytest.fixture
def rows(patient, revision, now):
    return whole_record(patient=patient, now=now + timedelta(days=1))


def entries_of(log: list[dict], rows) -> list[Entry]:
    numbers, episode = count(1), rows.context.episodes[0]
    return [
        Entry(
            **one,
            number=next(numbers),
            version=number,
            episode_id=episode.id,
            revision_id=rows.context.every_revision[0].id,
            local_time=f"{one['for_date']}T08:00:00",
            received_at=rows.context.now,
        )
        for number, one in enumerate(log)
    ]


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(log=logs())
def test_any_log_makes_a_sound_bundle(rows, log):
    told = replace(rows, entries=entries_of(log, rows))

    bundle = json.loads(json.dumps(bundle_of(told, rows.context.now), allow_nan=False))

    assert faults(bundle) == []
    assert written_again(read(bundle)) == bundle


def bout_named(entry_id: str) -> dict:
    return {
        "entry_id": UUID(entry_id),
        "kind": "bout",
        "payload": payloads.PAYLOADS["bout"](PLAIN_BOUT),
        "for_date": date(2030, 3, 5),
        "offset_min": 0,
        "logged_by": {"who": "patient"},
    }


def test_a_phone_that_reuses_the_ids_of_other_rows_doubles_no_address(rows):
    ours = [one["resource"]["id"] for one in bundle_of(rows, rows.context.now)["entry"]]
    said = {"text": "Told.", "wants_contact": False}
    bout = bout_named(ours[0])
    doubled = [UUID(one) for one in ours] + [part_of(bout["entry_id"], "figures")]
    notes = [
        bout | {"entry_id": one, "kind": "note_to_clinic", "payload": said}
        for one in doubled
        if one != bout["entry_id"]
    ]
    told = replace(rows, entries=entries_of([bout, *notes], rows))

    bundle = json.loads(json.dumps(bundle_of(told, rows.context.now)))

    assert faults(bundle) == []
    assert len(bundle["entry"]) == len(ours) + 2 + len(notes)


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(words=st.lists(WORDS, min_size=4, max_size=4))
def test_any_words_of_a_name_or_a_dose_make_a_sound_bundle(rows, words):
    patient, (revision,) = rows.patient, rows.context.every_revision
    patient.name, patient.telephone, revision.position, revision.reason = words

    bundle = json.loads(json.dumps(bundle_of(rows, rows.context.now), allow_nan=False))

    assert faults(bundle) == []
    assert written_again(read(bundle)) == bundle
