"""What the figures of a form amount to, ready to print beside it."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from clinician.selectors.families import MARKS
from homeprogram.calc import dose, slips
from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose
from homeprogram.calc.guidance import Family
from homeprogram.calc.stimulator import StimulatorLimits

COUNT, TIME, SHORT, RATIO = "count", "time", "short", "ratio"  # how a figure is written
DIGITS = {TIME: 4, SHORT: 3, RATIO: 3}
UNKNOWN = "not known"
COMMON = "Common practice"  # the mark says it again
COUNTS = (
    ("contractions_per_bout", "Contractions a bout", "", COUNT),
    ("contractions_per_day", "Contractions a day", "", COUNT),
    ("contractions_per_week", "Contractions a week", "", COUNT),
    ("contractions_per_course", "Contractions in the course", "", COUNT),
    ("bout_min", "A bout", "min", TIME),
    ("other_bout_min", "With the ramps counted the other way", "min", TIME),
    ("stimulated_min_per_bout", "With current", "min", TIME),
    ("cycle_s", "Cycle", "s", TIME),
    ("plateau_s", "Plateau", "s", TIME),
    ("duty_cycle_pct", "Duty cycle", "%", SHORT),
    ("work_to_rest", "Work to rest", "", RATIO),
)
CURRENTS = (
    ("phase_charge_uc", "Phase charge", "µC", SHORT),
    ("rms_ma", "Current, r.m.s.", "mA", SHORT),
    ("mean_rectified_ma", "Current, mean rectified", "mA", SHORT),
    ("rms_density_ma_cm2", "Density, r.m.s., full contact", "mA/cm²", SHORT),
    ("rms_density_half_contact_ma_cm2", "Density, r.m.s., half contact", "mA/cm²", SHORT),
    ("peak_density_ma_cm2", "Density, peak, full contact", "mA/cm²", SHORT),
)
GROUPS = (
    ("cannot_deliver", "This stimulator cannot deliver it"),
    ("outside", "Outside"),
    ("notice", "Worth a look"),
    ("within", "Within"),
)
SURE_MARKS = MARKS | {"clinic": "the clinic's own", "arithmetic": "arithmetic"}


@dataclass(frozen=True, slots=True)
class FigureLine:
    name: str
    label: str
    unit: str
    kind: str
    value: str


@dataclass(frozen=True, slots=True)
class FindingLine:
    message: str
    source: str
    mark: str


@dataclass(frozen=True, slots=True)
class Group:
    level: str
    title: str
    findings: list[FindingLine]


@dataclass(frozen=True, slots=True)
class SlipLine:
    """`fill` puts the likely value in; `sure` confirms a value that is only unlikely."""

    sentence: str
    button: str
    fill: str
    sure: str = ""


@dataclass(frozen=True, slots=True)
class Panel:
    state: str  # waiting, ready, impossible
    lead: str
    counts: list[FigureLine]
    currents: list[FigureLine]
    groups: list[Group]
    slips: list[SlipLine] = field(default_factory=list)
    counted_only: bool = False

    @property
    def calm(self) -> bool:
        """Counted, and nothing to look at twice."""
        loud = any(group.findings for group in self.groups if group.level != "within")
        return self.state == "ready" and not loud and not self.slips


def waiting_panel(missing: list[str]) -> Panel:
    return _blank("waiting", f"Still needed to count: {', '.join(missing)}.")


def dose_panel(
    request: dict,
    *,
    family: Family | None,
    stimulator: StimulatorLimits | None,
    names: dict[str, str],
    labels: dict[str, str],
    counted_only: bool = False,
) -> Panel:
    """`names` says which field of the form holds a figure of the request, `labels` what the
    field is called."""
    try:
        reply = dose_check(request, family=family, stimulator=stimulator)
    except ImpossibleDose as refusal:
        return _blank("impossible", refusal.message, list(_impossible(refusal, names)))
    if counted_only:
        reply = reply | {"findings": []} | dict.fromkeys(name for name, *_ in CURRENTS)
    return Panel(
        state="ready",
        lead=lead(reply, request),
        counts=lines(COUNTS, reply | {"other_bout_min": other_bout_min(request, reply)}),
        currents=lines(CURRENTS, reply),
        groups=_groups(reply["findings"]),
        slips=list(_doubts(request, names, labels)),
        counted_only=counted_only,
    )


def _blank(state: str, message: str, found: Iterable[SlipLine] = ()) -> Panel:
    return Panel(state, message, lines(COUNTS, {}), lines(CURRENTS, {}), _groups([]), list(found))


def lead(reply: dict, request: dict) -> str:
    bouts = request["bouts_per_day"] * request["days_per_week"]
    return (
        f"{reply['contractions_per_bout']} contractions a bout in {shown(reply['bout_min'])} min "
        f"({shown(reply['stimulated_min_per_bout'])} min with current), "
        f"{reply['contractions_per_day']} contractions a day, "
        f"{reply['contractions_per_week']} a week in {bouts} bout{'' if bouts == 1 else 's'}."
    )


def other_bout_min(request: dict, reply: dict) -> float | None:
    """The same contractions with the ramps counted the other way; None where it is the same."""
    ramps = request["ramp_up_s"] + request["ramp_down_s"]
    if not ramps:
        return None
    figures = {name: request[name] for name in dose.TIMING_FIGURES}
    figures["ramps_inside_on"] = not figures["ramps_inside_on"]
    timing = dose.timing(**figures)
    return dose.bout_minutes(timing, contractions=reply["contractions_per_bout"])


def shown(value: float | None, kind: str = TIME) -> str:
    """No more digits than a decision needs; counts are whole."""
    if value is None:
        return UNKNOWN
    if kind == COUNT:
        return str(value)
    short = f"{float(f'{value:.{DIGITS[kind]}g}'):g}"
    return f"1:{short}" if kind == RATIO else short


def lines(rows: tuple, reply: dict) -> list[FigureLine]:
    return [
        FigureLine(name, label, unit, kind, shown(reply.get(name), kind))
        for name, label, unit, kind in rows
    ]


def _groups(findings: list[dict]) -> list[Group]:
    return [
        Group(level, title, [finding_line(one) for one in findings if one["level"] == level])
        for level, title in GROUPS
    ]


def finding_line(one: dict) -> FindingLine:
    told = told_source(one["message"], one["source"])
    return FindingLine(one["message"], told, SURE_MARKS.get(one["mark"], one["mark"]))


def told_source(message: str, source: str) -> str:
    """What of the source the message does not say itself."""
    text, _, doi = source.partition(", doi ")
    if source.startswith(COMMON):
        return ""
    return f"doi {doi}" * bool(doi) if text in message else source


def _impossible(refusal: ImpossibleDose, names: dict[str, str]) -> Iterable[SlipLine]:
    for slip in refusal.slips:
        field_name = names.get(slip["field"], slip["field"])
        sentence = refusal.fields.get(slip["field"], refusal.message)
        likely = f"{slip['likely']:g}"
        yield SlipLine(sentence, f"Use {likely} {slip['unit']}", f"{field_name}={likely}")


def _doubts(request: dict, names: dict[str, str], labels: dict[str, str]) -> Iterable[SlipLine]:
    """Values that can be but hardly ever are."""
    for name, value in request.items():
        if name in slips.BOUNDS and value is not None and (found := slips.doubt(name, value)):
            slip, why = found
            field_name, likely = names.get(name, name), f"{slip.likely:g}"
            yield SlipLine(
                f"{labels[field_name]} {value:g} {slip.unit}: did you mean {likely} {slip.unit}"
                f" ({why})?",
                f"Use {likely} {slip.unit}",
                f"{field_name}={likely}",
                f"{field_name}:{value:g}",
            )
