"""A set of pads is counted over its whole life, as its patient's phone counts it."""

from datetime import timedelta
from importlib import import_module
from uuid import NAMESPACE_URL, uuid5

import pytest
from django.apps import apps

from homeprogram.models import Flag, PadNews, PatientDay
from homeprogram.selectors.pads import pads_fact, pads_read
from homeprogram.selectors.plans import contexts
from homeprogram.services.episodes import episode_end
from homeprogram.services.flags import flags_by_time, patient_flags_refresh
from homeprogram.services.projections import patient_rebuild
from tests.entries import BOUT
from tests.rules.build import shared_cases
from tests.support.desk import make_visit, seen_bout
from tests.support.pushes import push_at

LIFE = timedelta(days=120)  # from the program's begin to the day it is looked at


def told(phone, revision, today, what: str, ago: int) -> dict:
    """The entry of so many days ago, under a name that a withdrawal can use."""
    day = (today - timedelta(days=ago)).isoformat()
    place = {
        "episode_id": str(revision.program.episode_id),
        "for_date": day,
        "id": named(what, ago),
    }
    if what == "bout":
        said = BOUT | {"started_at": f"{day}T08:00"}
        return phone.entry("bout", said, revision_id=str(revision.id), **place)
    said = {"text": "Pads.", "wants_contact": False, "pads": what}
    return phone.entry("note_to_clinic", said, **place)


def named(what: str, ago: int) -> str:
    return str(uuid5(NAMESPACE_URL, f"{what}-{ago}"))


def live(phone, revision, now, *, bouts=(), new=(), wont_stick=(), withdrawn=()) -> None:
    every = [("bout", ago) for ago in bouts]
    every += [("new", ago) for ago in new] + [("wont_stick", ago) for ago in wont_stick]
    in_order = sorted(every, key=lambda one: -one[1])
    taken = [named(*one.split("-")) for one in withdrawn]
    push_at(
        phone,
        now,
        *(told(phone, revision, now.date(), *one) for one in in_order),
        *(phone.entry("withdrawal", {"of": one, "reason": "slip"}) for one in taken),
    )


def card() -> Flag | None:
    return Flag.objects.filter(reason="pads_due", state="open").first()


@pytest.mark.parametrize(("given", "expected"), shared_cases("pads-life.json"))
def test_the_clinic_counts_the_life_of_a_set_as_the_phone_does(
    phone, revision, now, given, expected
):
    now += LIFE
    live(phone, revision, now, **given)

    found = read(phone, now)
    assert found == {key: expected[key] for key in ("uses", "new", "wont_stick")}
    assert (card() is not None) == (expected["due"] or expected["wont_stick"])


def read(phone, now) -> dict:
    (rows,) = pads_read(patients=[phone.row.patient_id], now=now).values()
    fact = pads_fact(rows, now, now.date())
    new = (now.date() - fact.new_on).days if fact.new_on else None
    return {"uses": len(fact.uses), "new": new, "wont_stick": fact.wont_stick_at is not None}


THRICE_A_WEEK = [7 * week + day for week in range(6, -1, -1) for day in (4, 2, 0)]


def test_a_rebuild_and_the_clock_count_what_the_push_counted(phone, revision, patient, now):
    now += LIFE
    live(phone, revision, now, bouts=THRICE_A_WEEK, new=[47])
    by_push = card().basis

    Flag.objects.all().delete()
    patient_rebuild(patient=patient)
    patient_flags_refresh(patient_id=patient.id, now=now)

    assert card().basis == by_push
    assert by_push["uses"] == 21


def test_the_clock_reads_no_entries_because_of_worn_pads(phone, revision, patient, now):
    live(phone, revision, now + LIFE, bouts=THRICE_A_WEEK, new=[47])
    assert card()
    Flag.objects.exclude(reason="pads_due").delete()

    (context,) = contexts(patients=[patient], now=now + LIFE, days_back=28, judging=True)
    context.episodes = []  # nothing of the days comes up

    assert flags_by_time(context=context).stand is True


def test_an_upgrade_finds_what_was_told_before_it(phone, revision, now):
    told_before = import_module("homeprogram.migrations.0006_pad_news_told").told_before
    live(phone, revision, now + LIFE, new=[50, 40], wont_stick=[30], withdrawn=["new-40"])
    rows = PadNews.objects.order_by("version").values("entry", "news", "for_date", "version")
    by_push = list(rows)
    PadNews.objects.all().delete()

    told_before(apps, None)

    assert list(rows.all()) == by_push
    assert [row["news"] for row in by_push] == ["new", "wont_stick"]


def test_the_card_stays_when_the_last_bout_is_months_old(phone, revision, patient, now):
    live(phone, revision, now + LIFE, bouts=THRICE_A_WEEK, new=[47])

    patient_flags_refresh(patient_id=patient.id, now=now + 2 * LIFE)

    assert card()


def test_a_bout_that_only_the_desk_knows_of_counts_on_neither_side(
    phone, revision, clinician, clinic, now
):
    now += LIFE
    live(phone, revision, now, bouts=[1, 3], new=[9])
    at = now - timedelta(days=2)
    make_visit(
        revision.program.episode, clinician, at, bout=seen_bout(clinic, at - timedelta(hours=1))
    )

    assert PatientDay.objects.get(day=at.date()).bouts_done == 1
    assert read(phone, now)["uses"] == 2


def test_an_episode_that_ended_wears_out_no_pads(phone, revision, patient, clinician, now):
    live(phone, revision, now + LIFE, bouts=THRICE_A_WEEK, new=[47])

    episode_end(episode=revision.program.episode, reason="Done.", by=clinician, now=now + LIFE)
    patient_flags_refresh(patient_id=patient.id, now=now + LIFE)

    assert card() is None


def test_a_question_for_many_reads_only_the_newest_set(phone, revision, now):
    now += LIFE
    live(phone, revision, now, bouts=[1, 3, 50, 60], new=[100, 20])

    (newest,) = pads_read(patients=[phone.row.patient_id], now=now).values()
    (every,) = pads_read(patients=[phone.row.patient_id], now=now, earlier_sets=True).values()

    assert (newest.bouts.total(), every.bouts.total()) == (2, 4)
