"""The dose check: figures in, counts, electrical dose and findings out.

It checks entries against arithmetic, sources and a stimulator. It does not
prescribe, and it drives nothing.
"""

from homeprogram.calc import dose
from homeprogram.calc import electrical as el
from homeprogram.calc.dose_findings import dose_findings
from homeprogram.calc.dose_request import Dose, read_dose, refuse
from homeprogram.calc.guidance import Family
from homeprogram.calc.guidance import family as family_of_code
from homeprogram.calc.stimulator import StimulatorLimits

# Enough for a microampere on a square centimetre, without binary tails.
DECIMALS = 6


def dose_check(
    request: dict,
    *,
    family: Family | None = None,
    stimulator: StimulatorLimits | None = None,
) -> dict:
    """The reply of POST /api/v1/dose-check/ as plain data.

    family      a clinic's own family; else the request's `family` code is
                looked up among ours
    stimulator  what the request's `stimulator` can deliver

    With `intensity_ma` null the electrical figures are null. Raises
    ImpossibleDose.
    """
    read = read_dose(request)
    reply = {**_counts(read), **_electrical(read, request["electrode_cm2"])}
    found = dose_findings(
        request,
        read,
        reply,
        family=family or _family(request.get("family")),
        stimulator=stimulator,
    )
    return {**_rounded(reply), "findings": [vars(finding) for finding in found]}


def _family(code: str | None) -> Family | None:
    if not code:
        return None
    try:
        return family_of_code(code)
    except KeyError:
        sentence = f"There is no family '{code}'."
        raise refuse("family_unknown", "family", sentence) from None


def _counts(read: Dose) -> dict:
    timing = read.timing
    return {
        "cycle_s": dose.cycle_s(timing),
        "plateau_s": dose.plateau_s(timing),
        "contractions_per_bout": read.contractions,
        "bout_min": read.bout_min,
        "stimulated_min_per_bout": dose.stimulated_min(timing, contractions=read.contractions),
        "duty_cycle_pct": dose.duty_cycle_pct(timing),
        "work_to_rest": dose.work_to_rest(timing),
        "contractions_per_day": read.volume.per_day,
        "contractions_per_week": read.volume.per_week,
        "contractions_per_course": read.volume.per_course,
    }


ELECTRICAL = (
    "phase_charge_uc",
    "net_charge_uc",
    "mean_rectified_ma",
    "rms_ma",
    "rms_density_ma_cm2",
    "rms_density_half_contact_ma_cm2",
    "peak_density_ma_cm2",
    "pulse_energy_mj_at_500_ohm",
    "mean_power_density_w_cm2_at_500_ohm",
)


def _electrical(read: Dose, cm2: float) -> dict:
    train = read.train
    if train is None:
        return dict.fromkeys(ELECTRICAL)
    power_w = el.mean_power_w(train.rms_ma)
    return {
        "phase_charge_uc": train.phase_charge_uc,
        "net_charge_uc": train.net_charge_uc,
        "mean_rectified_ma": train.mean_rectified_ma,
        "rms_ma": train.rms_ma,
        "rms_density_ma_cm2": el.density(train.rms_ma, electrode_cm2=cm2),
        "rms_density_half_contact_ma_cm2": el.density(train.rms_ma, electrode_cm2=cm2, contact=0.5),
        "peak_density_ma_cm2": el.density(train.peak_ma, electrode_cm2=cm2),
        "pulse_energy_mj_at_500_ohm": train.pulse_energy_mj(),
        "mean_power_density_w_cm2_at_500_ohm": el.density(power_w, electrode_cm2=cm2),
    }


def _rounded(reply: dict) -> dict:
    return {
        name: round(value, DECIMALS) if isinstance(value, float) else value
        for name, value in reply.items()
    }
