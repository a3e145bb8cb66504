"""What every table of the record shares."""

import uuid

from django.db import models


class Record(models.Model):
    """A row with a random id: it may stand in a URL and says nothing."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        # Never a name: this text reaches logs and error pages.
        return f"{type(self).__name__} {self.pk}"


def one_of(field: str, choices: type[models.TextChoices], name: str) -> models.CheckConstraint:
    """The database refuses a word that is not in the list."""
    condition = models.Q(**{f"{field}__in": choices.values})
    return models.CheckConstraint(condition=condition, name=name)


def in_range(field: str, low: float, high: float, name: str) -> models.CheckConstraint:
    """The database refuses a number outside [low, high]; NULL passes."""
    condition = models.Q(**{f"{field}__gte": low, f"{field}__lte": high})
    return models.CheckConstraint(condition=condition, name=name)
