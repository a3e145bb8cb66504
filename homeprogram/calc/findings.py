"""Findings: one comparison each, in words a clinician can act on.

A finding says the value, the range, whose range it is, how sure that is, and
what it means. Nothing here blocks.
"""

from dataclasses import dataclass

from homeprogram.calc.guidance import GeneralRange, Limit, Range, Source

WITHIN, NOTICE, OUTSIDE, CANNOT = "within", "notice", "outside", "cannot_deliver"
MEMORY = "memory"
ARITHMETIC = Source("Arithmetic on the figures given")


@dataclass(frozen=True)
class Finding:
    code: str
    level: str
    message: str
    source: str
    mark: str


@dataclass(frozen=True)
class Figure:
    """How a figure reads in a sentence, and what being out on a side is called."""

    phrase: str
    below: str
    above: str

    def show(self, value: float) -> str:
        phrase = self.phrase
        if value == 1 and phrase.startswith("{}"):  # 1 bout, not 1 bouts
            noun = phrase.split()[1]
            phrase = phrase.replace(noun, noun.removesuffix("s"))
        return phrase.format(f"{value:.4g}")


FEW_MANY = ("fewer than", "more than")
SHORT_LONG = ("shorter than", "longer than")
LOW_HIGH = ("lower than", "higher than")
REST = ("less rest than", "more rest than")
FIGURES = {
    "frequency_hz": Figure("Frequency {} Hz", *LOW_HIGH),
    "phase_duration_us": Figure("Phase duration {} µs", *SHORT_LONG),
    "on_s": Figure("On time {} s", *SHORT_LONG),
    "off_s": Figure("Rest {} s", *SHORT_LONG),
    "work_to_rest": Figure("Work to rest 1:{}", *REST),
    "ramp_up_s": Figure("Ramp up {} s", *SHORT_LONG),
    "contractions_per_bout": Figure("{} contractions a bout", *FEW_MANY),
    "contractions_per_day": Figure("{} contractions a day", *FEW_MANY),
    "contractions_per_week": Figure("{} contractions a week", *FEW_MANY),
    "bout_min": Figure("Bout {} min", *SHORT_LONG),
    "bouts_per_day": Figure("{} bouts a day", *FEW_MANY),
    "days_per_week": Figure("{} days a week", *FEW_MANY),
    "weeks": Figure("Course {} weeks", *SHORT_LONG),
}
# In a sentence these come without their unit: "3 days a week: fewer than the 5-7 of".
UNITLESS = ("contractions", "bouts", "days", "rest per unit of work")


def source_text(source: Source) -> str:
    return f"{source.text}, doi {source.doi}" if source.doi else source.text


def span_text(limits: Range) -> str:
    """The range as one writes it: 30-50 s, at least 45, at most 59, 1:3 to 1:5."""
    unit = "" if limits.unit in UNITLESS else f" {limits.unit}"
    prefix = "1:" if limits.figure == "work_to_rest" else ""
    if limits.low is None:
        return f"at most {prefix}{limits.high:g}{unit}"
    if limits.high is None:
        return f"at least {prefix}{limits.low:g}{unit}"
    if limits.low == limits.high:
        return f"{prefix}{limits.low:g}{unit}"
    joint = f" to {prefix}" if prefix else "-"
    return f"{prefix}{limits.low:g}{joint}{limits.high:g}{unit}"


def position(value: float, limits: Range) -> int:
    """-1 below, 0 inside, 1 above; the ends belong to the range."""
    # Work to rest comes out of a division: 30 / 10 must count as 3.
    slack = 1e-9 * max(1.0, abs(value))
    if limits.low is not None and value < limits.low - slack:
        return -1
    if limits.high is not None and value > limits.high + slack:
        return 1
    return 0


def against_family(value: float, limits: Range, *, whose: str) -> Finding:
    """A figure against the range of the family that was chosen."""
    side = position(value, limits)
    level = _level(side, OUTSIDE, limits.mark)
    message = _compare(value, limits, side, whose)
    return _finding(f"{limits.figure}_family", level, message, limits)


def against_range(value: float, limits: GeneralRange) -> Finding:
    """A figure against what another source says; at most a notice."""
    side = position(value, limits)
    message = _compare(value, limits, side, _whose(limits.source))
    meaning = {-1: limits.below, 1: limits.above}.get(side, "")
    if meaning:
        message += " " + _sentence(meaning)
    return _finding(limits.code, _level(side, NOTICE, limits.mark), message, limits)


def against_limit(value: float, limit: Limit, *, label: str) -> Finding:
    """A quantity against an upper limit; a limit from memory only informs."""
    crossed = value > limit.value * (1 + 1e-9)
    amount = f"{value:.3g} {limit.unit}"
    if crossed:
        message = f"{label} {amount}: above {limit.value:g}. {_sentence(limit.means)}"
    else:
        message = f"{label} {amount}: not above {limit.value:g}."
    level = _level(int(crossed), limit.level, limit.mark)
    return Finding(limit.code, level, message, source_text(limit.source), limit.mark)


def note(
    code: str,
    message: str,
    *,
    level: str = WITHIN,
    source: Source = ARITHMETIC,
    mark: str = "arithmetic",
) -> Finding:
    """A finding that follows from the figures themselves."""
    return Finding(code, level, message, source_text(source), mark)


def _level(side: int, level: str, mark: str) -> str:
    if side == 0:
        return WITHIN
    return NOTICE if mark == MEMORY else level


def _compare(value: float, limits: Range, side: int, whose: str) -> str:
    figure = FIGURES[limits.figure]
    word = {-1: figure.below, 0: "within", 1: figure.above}[side]
    message = f"{figure.show(value)}: {word} the {span_text(limits)} of {whose}."
    if limits.means:
        message += f" Note: {limits.means}."
    return message


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:].rstrip('.')}."


def _whose(source: Source) -> str:
    return "common practice" if source.text.startswith("Common practice") else source.text


def _finding(code: str, level: str, message: str, limits: Range) -> Finding:
    return Finding(code, level, message, source_text(limits.source), limits.mark)
