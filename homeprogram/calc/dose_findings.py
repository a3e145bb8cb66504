"""What there is to say about a dose: family, other sources, limits, stimulator."""

from homeprogram.calc import dose, findings
from homeprogram.calc import electrical as el
from homeprogram.calc.dose_request import Dose
from homeprogram.calc.findings import NOTICE, WITHIN, Finding, note
from homeprogram.calc.guidance import Family, Source, general_ranges, limits
from homeprogram.calc.stimulator import StimulatorLimits, cannot_deliver

COMMON = Source("Common practice, no source")
COMMON_MARK = "common practice"
CONVENTIONS = Source("Conventions differ between papers; most do not say which is theirs")
LABELS = {
    "intensity_ma": "Intensity",
    "rms_ma": "r.m.s. current",
    "net_charge_uc": "Net charge of a pulse",
    "rms_density_ma_cm2": "r.m.s. density, full contact",
    "rms_density_half_contact_ma_cm2": "r.m.s. density, half contact",
    "pulse_energy_mj_at_500_ohm": "Energy of a pulse into 500 Ω",
    "mean_power_density_w_cm2_at_500_ohm": "Mean power density into 500 Ω",
}
LIMITS_OF_ALL = (
    "intensity_usual",
    "net_charge",
    "rms_density",
    "rms_density_half_contact",
    "pulse_energy",
    "mean_power_density",
)
SHORT_PLATEAU_S = 1.0


def dose_findings(
    request: dict,
    read: Dose,
    reply: dict,
    *,
    family: Family | None,
    stimulator: StimulatorLimits | None,
) -> list[Finding]:
    """All findings, the stimulator's first: what it cannot do makes the rest idle."""
    figures = _figures(request, read, reply)
    return [
        *(cannot_deliver(request, read.phase_us, stimulator) if stimulator else ()),
        *_family(figures, family),
        *_others(figures, family),
        *_limits(request, reply),
        *_unknown_intensity(reply),
        *_partial_burst(read),
        *_ramps(read),
        *_last_rest(request, read),
        *_pulse_or_phase(request, read),
    ]


def _figures(request: dict, read: Dose, reply: dict) -> dict[str, float]:
    figures = {
        name: {**request, **reply}[name] for name in findings.FIGURES if name != "phase_duration_us"
    }
    # The ranges are about pulses; half a carrier period is not one.
    if request["waveform"] != "burst_ac":
        figures["phase_duration_us"] = read.phase_us
    return figures


def _family(figures: dict, family: Family | None) -> list[Finding]:
    if family is None:
        return []
    return [
        findings.against_family(figures[r.figure], r, whose=f"the family '{family.name}'")
        for r in family.ranges
        if r.figure in figures
    ]


def _others(figures: dict, family: Family | None) -> list[Finding]:
    """Other sources. With a family chosen, only where they disagree with the dose."""
    found = [
        findings.against_range(figures[r.figure], r)
        for r in general_ranges()
        if r.figure in figures and _applies(r.pathways, family)
    ]
    return [f for f in found if f.level != WITHIN] if family else found


def _applies(pathways: tuple[str, ...], family: Family | None) -> bool:
    if not pathways or family is None or not family.pathways:
        return True
    return bool(set(pathways) & set(family.pathways))


def _limits(request: dict, reply: dict) -> list[Finding]:
    if reply["rms_ma"] is None:
        return []
    fast = request["waveform"] == "burst_ac"
    hertz = request["carrier_hz"] if fast else request["frequency_hz"]
    figures = {**reply, "intensity_ma": request["intensity_ma"]}
    # Six decimals: what binary fractions leave of a balanced pulse is no charge.
    figures["net_charge_uc"] = round(abs(reply["net_charge_uc"]), 6)
    return [
        findings.against_limit(figures[limit.quantity], limit, label=LABELS[limit.quantity])
        for limit in (limits()[code] for code in (*LIMITS_OF_ALL, _rms_limit(hertz)))
    ]


def _rms_limit(hertz: float) -> str:
    """The code of the r.m.s. limit for the fastest current in the train."""
    if hertz <= 400:
        return "rms_to_400_hz"
    return "rms_to_1500_hz" if hertz <= 1500 else "rms_above_1500_hz"


def _unknown_intensity(reply: dict) -> list[Finding]:
    if reply["rms_ma"] is not None:
        return []
    message = "No intensity in mA: charge, r.m.s. current and densities stay unknown."
    return [note("intensity_unknown", message, level=NOTICE)]


def _partial_burst(read: Dose) -> list[Finding]:
    if not isinstance(read.train, el.BurstTrain):
        return []
    periods = read.train.periods_per_burst
    if abs(periods - round(periods)) < 1e-6:
        return []
    message = (
        f"A burst holds {periods:.2f} carrier periods; the figures are for whole ones,"
        " which leave no net charge."
    )
    return [note("burst_partial_period", message, level=NOTICE)]


def _ramps(read: Dose) -> list[Finding]:
    """Both totals when it matters where the ramps are counted."""
    timing, found = read.timing, []
    if timing.ramp_up_s + timing.ramp_down_s == 0:
        return []
    inside, outside = (
        dose.bout_minutes(
            _counted(timing, convention),
            contractions=read.contractions,
            count_last_rest=read.count_last_rest,
        )
        for convention in (dose.RampConvention.INSIDE, dose.RampConvention.OUTSIDE)
    )
    message = (
        f"{read.contractions} contractions take {inside:.4g} min with the ramps inside"
        f" the on time and {outside:.4g} min with them outside it. Read off how this"
        " stimulator counts."
    )
    found.append(note("ramp_convention", message, level=NOTICE, source=CONVENTIONS))
    if dose.plateau_s(timing) < SHORT_PLATEAU_S:
        message = f"Only {dose.plateau_s(timing):g} s at full intensity."
        found.append(note("plateau_short", message, level=NOTICE, source=COMMON, mark=COMMON_MARK))
    return found


def _counted(timing: dose.Timing, convention: dose.RampConvention) -> dose.Timing:
    return dose.Timing(timing.on_s, timing.off_s, timing.ramp_up_s, timing.ramp_down_s, convention)


def _last_rest(request: dict, read: Dose) -> list[Finding]:
    if read.timing.off_s == 0:
        return []
    extra = (request.get("warmup_min") or 0) + (request.get("recovery_min") or 0)
    with_rest, without = (
        extra
        + dose.bout_minutes(read.timing, contractions=read.contractions, count_last_rest=counted)
        for counted in (True, False)
    )
    message = (
        f"{read.contractions} contractions take {clock(with_rest)} with the last rest"
        f" and {clock(without)} without it."
    )
    return [note("last_rest", message, source=CONVENTIONS)]


def _pulse_or_phase(request: dict, read: Dose) -> list[Finding]:
    """'Pulse duration' in print may mean either; say what the other reading gives."""
    if request["waveform"] != "symmetric_biphasic" or read.train is None:
        return []
    pulse = read.train.pulse_us
    message = (
        f"Phase duration {read.phase_us:g} µs, pulse duration {pulse:g} µs:"
        f" {read.train.rms_ma:.3g} mA r.m.s. Were {read.phase_us:g} µs the whole pulse,"
        f" it would be {read.train.rms_ma / 2**0.5:.3g} mA."
    )
    return [note("pulse_or_phase", message)]


def clock(minutes: float) -> str:
    """Minutes as one says them: 9 min 10 s."""
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole} min {seconds} s"
