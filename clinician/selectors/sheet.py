"""The home program on one sheet of paper, in words for its patient."""

from dataclasses import dataclass
from datetime import date
from math import ceil

from django.utils import translation
from django.utils.dates import WEEKDAYS
from django.utils.formats import date_format

from clinician.selectors.drawings import ThighDrawing, thigh_drawing
from clinician.selectors.words import number
from homeprogram.calc.exercises import BY_CODE, with_origin
from homeprogram.calc.texts import texts_of
from homeprogram.models import Clinic, Revision

# What stands on every sheet, whatever the program.
FIXED = (
    *("title", "pads_go", "exercises", "care", "call", "qr"),
    *("open", "no_camera", "from_now", "too_late"),
    *("call_emergency", "at_once", "call_doctor", "doctor_today", "call_stop", "stop_call"),
)

# How a phone comes to the app, by its kind; three steps each.
WAYS = ("android", "apple")


@dataclass(frozen=True, slots=True)
class Sheet:
    language: str
    limb: str
    words: dict[str, str]
    lines: list[tuple[str, str]]
    exercises: list[tuple[str, str]]
    thigh: ThighDrawing
    cautions: list[str]
    ways: list[tuple[str, list[str]]]


def sheet(
    revision: Revision,
    clinic: Clinic,
    *,
    language: str,
    today: date,
    code_minutes: int,
    address: str,
) -> Sheet:
    limb = revision.program.episode.limb
    name = revision.program.patient.name
    with translation.override(language):
        side = _said("limb.", limb)
        words = {one: _said("sheet.", one, address=address) for one in FIXED} | {
            "whose": _said("sheet.whose", name=name, day=_day(revision.first_day)),
            "printed": _said(
                "sheet.printed", clinic=clinic.name, number=revision.number, day=_day(today)
            ),
            "pair": _counted("sheet.pair", code_minutes),
        }
        return Sheet(
            language=language,
            limb=_said("limb.name", limb=side),
            words=words,
            lines=list(_lines(revision)),
            exercises=[_exercise(one) for one in revision.exercises],
            thigh=thigh_drawing(limb, revision.pads),
            cautions=texts_of(clinic.texts, language)["cautions"],
            ways=[
                (
                    _said("sheet.", one),
                    [_said(f"sheet.{one}_{n}", address=address) for n in (1, 2, 3)],
                )
                for one in WAYS
            ],
        )


def _way(kind: str, address: str) -> tuple[str, list[str]]:
    steps = [_said(f"sheet.{kind}_{number}", address=address) for number in (1, 2, 3)]
    return _said("sheet.", kind), steps


def _said(key: str, more: str = "", **values: object) -> str:
    return translation.gettext(key + more).format(**values)


def _counted(key: str, count: float, **values: object) -> str:
    form = translation.ngettext(key, key, ceil(count))
    return form.format(count=f"{count:g}", **values)


def _day(day: date) -> str:
    return date_format(day, "D j M Y")


def _exercise(kept: dict) -> tuple[str, str]:
    """A clinician's own words stay as they were written."""
    code = kept["code"]
    name = _said("exercise.", code) if code in BY_CODE else kept["name"]
    return name, _said("exercise_how.", code) if with_origin(kept)["ours"] else kept["how"]


def _often(r: Revision) -> str:
    gap = _counted("sheet.gap", r.minimum_gap_h) if r.bouts_per_day > 1 else ""
    bouts = _counted("sheet.bouts", r.bouts_per_day)
    if len(r.weekdays) == len(WEEKDAYS):
        return _said("sheet.every_day", bouts=bouts, gap=gap)
    days = _listed([str(WEEKDAYS[day]) for day in r.weekdays])
    return _said("sheet.on_days", bouts=bouts, days=days, gap=gap)


def _listed(parts: list[str]) -> str:
    """a, b and c."""
    if len(parts) < 2:
        return "".join(parts)
    return _said("sheet.listed", first=", ".join(parts[:-1]), last=parts[-1])


def _lines(r: Revision):
    yield _said("sheet.how_often"), _often(r)
    times = _counted("sheet.times", r.contractions_per_bout, minutes=round(r.bout_min))
    yield _said("sheet.one_bout"), times
    yield (
        _said("sheet.each_time"),
        _said("sheet.seconds", on=number(r.on_s), off=number(r.off_s)),
    )
    yield _said("sheet.position"), r.position
    bent = r.knee_angle_deg is not None
    knee = [_said("sheet.bent", angle=number(r.knee_angle_deg))] if bent else []
    yield _said("sheet.knee"), _listed([*knee, *([r.knee_range] if r.knee_range else [])])
    yield _said("sheet.stimulator"), r.stimulator.name
    if r.voluntary_in_off:
        yield _said("sheet.in_rest"), _said("sheet.tighten")
    yield _said("sheet.how_strong"), " ".join([_said("sheet.zero"), *_intensity(r)])


def _intensity(r: Revision):
    unit = "mA" if r.stimulator.unit == "mA" else _said("sheet.on_display")
    for one in r.intensity:
        parts = [
            _said("sheet.", level, value=number(one[level]), unit=unit)
            for level in ("floor", "ceiling")
            if one.get(level) is not None
        ]
        if parts:
            yield _said("sheet.channel", channel=one["channel"], what=", ".join(parts))
