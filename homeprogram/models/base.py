"""What every table of the record shares."""

import uuid
from typing import NoReturn

from django.db import models

from homeprogram.errors import RuleBroken


class Record(models.Model):
    """A row with a random id: it may stand in a URL and says nothing."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        # Never a name: this text reaches logs and error pages.
        return f"{type(self).__name__} {self.pk}"


def refuse_change() -> NoReturn:
    raise RuleBroken("This is written once and never changed.", code="written_once")


class WrittenOnce(models.QuerySet):
    """Rows are added and read; a trigger of the database says the same."""

    def update(self, **values: object) -> int:
        refuse_change()

    def delete(self) -> tuple[int, dict]:
        refuse_change()


class FrozenRecord(Record):
    """A row that nobody changes or removes once it is saved."""

    objects = WrittenOnce.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: object, **kwargs: object) -> None:
        if not self._state.adding:
            refuse_change()
        super().save(*args, **kwargs)

    def delete(self, *args: object, **kwargs: object) -> tuple[int, dict]:
        refuse_change()


def one_of(field: str, choices: type[models.TextChoices], name: str) -> models.CheckConstraint:
    """The database refuses a word that is not in the list."""
    condition = models.Q(**{f"{field}__in": choices.values})
    return models.CheckConstraint(condition=condition, name=name)


def in_range(field: str, low: float, high: float, name: str) -> models.CheckConstraint:
    """The database refuses a number outside [low, high]; NULL passes."""
    condition = models.Q(**{f"{field}__gte": low, f"{field}__lte": high})
    return models.CheckConstraint(condition=condition, name=name)
