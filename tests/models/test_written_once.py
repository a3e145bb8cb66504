"""Signed notes, addenda, reviews and the trail: no role and no query changes or removes one."""

import pytest
from django.db import DatabaseError, connection, transaction

from clinician.models import Addendum, Review, SignedNote
from clinician.selectors.note_draft import note_draft
from clinician.services.reviews import review_finish
from clinician.services.signed_notes import addendum_sign, note_sign
from homeprogram.errors import RuleBroken
from homeprogram.models import Decision

MODELS = [SignedNote, Addendum, Review, Decision]
COLUMN = {SignedNote: "plan", Addendum: "text", Review: "outcome", Decision: "words"}


@pytest.fixture(autouse=True)
def written(patient, clinician, now) -> None:
    drawn = note_draft(patient=patient, now=now).drawn
    words = {"assessment": "well", "plan": "carry on"}
    note = note_sign(
        patient=patient, by=clinician, about_on=now.date(), now=now, drawn=drawn, **words
    )
    addendum_sign(note=note, by=clinician, text="more", now=now)
    review_finish(
        patient=patient,
        by=clinician,
        outcome="carry_on",
        up_to=0,
        after=None,
        shown={},
        now=now,
    )


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize(
    "change",
    [
        lambda model: model.objects.first().save(),
        lambda model: model.objects.first().delete(),
        lambda model: model.objects.all().delete(),
        lambda model: model.objects.update(**{COLUMN[model]: "pause"}),
        lambda model: model.objects.bulk_update(model.objects.all(), [COLUMN[model]]),
    ],
    ids=["save", "delete", "delete all", "update", "bulk update"],
)
def test_the_model_refuses(model, change):
    before = list(model.objects.values())

    with pytest.raises(RuleBroken) as refusal, transaction.atomic():
        change(model)

    assert refusal.value.code == "written_once"
    assert list(model.objects.values()) == before


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("statement", ["UPDATE {0} SET {1} = 'pause'", "DELETE FROM {0}"])
def test_the_database_refuses(model, statement):
    before = list(model.objects.values())
    sql = statement.format(model._meta.db_table, COLUMN[model])

    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        connection.cursor().execute(sql)

    assert list(model.objects.values()) == before
