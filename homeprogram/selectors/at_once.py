"""Rows of several small tables in one question to the database.

A push and the panel need a dozen small tables of the same patients. Asked one by
one, the way to the database and back costs more than the rows. Here all rows of a
question come as one JSON text beside its name, all questions in one UNION, and each
row becomes an instance again, the same that an ordinary question gives.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from uuid import UUID

from django.db import connection
from django.db.models import (
    DateField,
    Field,
    FloatField,
    JSONField,
    Model,
    QuerySet,
    TextField,
    UUIDField,
    Value,
)
from django.db.models.expressions import RawSQL


@dataclass(frozen=True, slots=True)
class Columns:
    """Only these columns of each row, as a plain list: for tables with many rows."""

    rows: QuerySet
    names: tuple[str, ...]


Questions = Mapping[str, QuerySet | Columns]
ID, DAY = UUIDField(), DateField()
NO_DAYS = (date(1, 2, 3), date(1, 2, 4))
MOST_ABOUT = 250  # ids whose question is remembered


def rows_at_once(**questions: QuerySet | Columns) -> dict[str, list]:
    """Rows by the name of their question, in no order: instances, or lists of columns."""
    return _all_read(questions, dict(_as_one(questions)))


def rows_about(
    ask: Callable[..., Questions], who: Sequence[UUID], *how: bool, since: Sequence[date] = ()
) -> dict[str, list]:
    """The rows of `ask(who, *since, *how)`.

    Django takes longer to write such a question than the database to answer it. So it is
    written once for so many, about nobody, and asked about whom it concerns.
    """
    if not 0 < len(who) <= MOST_ABOUT:
        return rows_at_once(**ask(who, *since, *how))
    sql, parameters, questions = _written(ask, len(who), len(since), how, connection.vendor)
    stand_ins = _stored(_nobody(len(who)), NO_DAYS[: len(since)])
    meant = dict(zip(stand_ins, _stored(who, since), strict=True))
    with connection.cursor() as cursor:
        cursor.execute(sql, [meant.get(one, one) for one in parameters])
        return _all_read(questions, dict(cursor.fetchall()))


@lru_cache(maxsize=128)
def _written(
    ask: Callable[..., Questions], count: int, days: int, how: tuple[bool, ...], _vendor: str
) -> tuple[str, tuple, Questions]:
    nobody, since = _nobody(count), NO_DAYS[:days]
    questions = ask(nobody, *since, *how)
    sql, parameters = _as_one(questions).query.sql_with_params()
    if not all(one in parameters for one in _stored(nobody, since)):
        raise ValueError("The question must ask about everybody, since each of the days.")
    return sql, parameters, questions


@lru_cache(maxsize=MOST_ABOUT)
def _nobody(count: int) -> tuple[UUID, ...]:
    """So many ids that nobody has."""
    return tuple(UUID(f"00000000-0000-4000-8000-dead{place:08x}") for place in range(count))


def _stored(who: Sequence[UUID], since: Sequence[date]) -> list:
    """As parameters of a query hold them."""
    ids = [ID.get_db_prep_value(one, connection) for one in who]
    return [*ids, *(DAY.get_db_prep_value(day, connection) for day in since)]


def _as_one(questions: Questions) -> QuerySet:
    first, *others = (_as_json(name, question) for name, question in questions.items())
    return first.union(*others, all=True)


def _all_read(questions: Questions, found: dict[str, str | None]) -> dict[str, list]:
    """None: no row, or a question about nobody, which Django does not even ask."""
    return {name: _read(questions[name], json.loads(found.get(name) or "[]")) for name in questions}


def _read(question: QuerySet | Columns, rows: list[list]) -> list:
    """What JSON made of the values becomes what the fields make of them."""
    model, names = _model_and_columns(question)
    readers = [_reader(field) for field in _fields(model, names)]
    for row in rows:
        for place, read in enumerate(readers):
            if read and row[place] is not None:
                row[place] = read(row[place])
    if isinstance(question, Columns):
        return rows
    return [model.from_db(connection.alias, names, row) for row in rows]


def _model_and_columns(question: QuerySet | Columns) -> tuple[type[Model], tuple[str, ...]]:
    if isinstance(question, Columns):
        return question.rows.model, question.names
    fields = question.model._meta.concrete_fields  # noqa: SLF001  Django's public API
    return question.model, tuple(field.attname for field in fields)


def _fields(model: type[Model], names: tuple[str, ...]) -> list[Field]:
    fields = model._meta.concrete_fields  # noqa: SLF001
    by_name = {field.attname: field for field in fields}
    return [by_name[name] for name in names]


def _as_json(name: str, question: QuerySet | Columns) -> QuerySet:
    rows = question.rows if isinstance(question, Columns) else question
    arrays = _arrays(*_model_and_columns(question))
    found = RawSQL(arrays, (), output_field=TextField())  # noqa: S611  nothing of it is input
    return (
        rows.order_by()
        .annotate(question_=Value(name), rows_=found)
        .values_list("question_", "rows_")
    )


@lru_cache(maxsize=64)
def _arrays(model: type[Model], names: tuple[str, ...]) -> str:
    """All rows as JSON arrays; as text once, since expressions cost more than the rows."""
    table = model._meta.db_table  # noqa: SLF001
    columns = ", ".join(_value(table, field) for field in _fields(model, names))
    postgresql = connection.vendor == "postgresql"
    if postgresql:
        return f"JSON_AGG(JSON_BUILD_ARRAY({columns}))::TEXT"
    return f"JSON_GROUP_ARRAY(JSON_ARRAY({columns}))"


def _value(table: str, field: Field) -> str:
    """SQLite writes numbers into JSON with 15 digits; a double needs 17."""
    quote = connection.ops.quote_name
    column = f"{quote(table)}.{quote(field.column)}"
    if connection.vendor == "postgresql" or not isinstance(field, FloatField):
        return column
    return f"IIF({column} IS NULL, NULL, PRINTF('%%!.17g', {column}))"


@lru_cache(maxsize=512)
def _reader(field: Field) -> Callable | None:
    """How a value of JSON becomes the field's own; None = it is that already."""
    while field.remote_field:
        field = field.target_field
    if isinstance(field, JSONField):
        return None if connection.features.has_native_json_field else json.loads
    return READERS.get(field.get_internal_type())


@lru_cache(maxsize=8192)  # the same few ids stand in most rows
def _id(text: str) -> UUID:
    return UUID(text)


@lru_cache(maxsize=1024)
def _day(text: str) -> date:
    return date.fromisoformat(text)


def _moment(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)  # SQLite keeps UTC, unsaid


READERS: dict[str, Callable] = {
    "UUIDField": _id,
    "DateField": _day,
    "DateTimeField": _moment,
    "FloatField": float,
    "BooleanField": bool,
}
