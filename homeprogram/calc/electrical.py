"""Electrical dose of a stimulation train. Peak milliamperes in, dose out.

All quantities are taken over the train at full intensity, not over the rest
between contractions. Pulses are rectangular; a burst holds whole periods of a
sine. Definitions: Guenter, Delbeke & Ortiz-Catalan 2019, J NeuroEng Rehabil
16:13, Table 3 (charge Q = I d); a maker's instructions for use print the
r.m.s. rule I sqrt(sum of phase durations x frequency).
"""

from dataclasses import dataclass
from math import pi, sqrt

LOAD_OHM = 500  # the resistive load that output limits are stated for


@dataclass(frozen=True)
class Phase:
    """Current flowing one way: height [mA, positive] and length [us]."""

    ma: float
    us: float

    @property
    def charge_uc(self) -> float:
        """Charge of a rectangular phase, Q = I d. [uC]"""
        return self.ma * self.us / 1000


@dataclass(frozen=True)
class PulseTrain:
    """Rectangular pulses of one phase, or of two of opposite direction.

    interphase_us  pause between the two phases [us]; it carries no current
    """

    frequency_hz: float
    first: Phase
    second: Phase | None = None
    interphase_us: float = 0.0

    @property
    def phases(self) -> tuple[Phase, ...]:
        return (self.first, self.second) if self.second else (self.first,)

    @property
    def pulse_us(self) -> float:
        """Start of the first phase to the end of the last, pause included. [us]"""
        pause = self.interphase_us if self.second else 0.0
        return sum(phase.us for phase in self.phases) + pause

    @property
    def occupied(self) -> float:
        """Share of the time between two pulses that one pulse takes; must be < 1. [1]"""
        return self.pulse_us * self.frequency_hz / 1e6

    @property
    def peak_ma(self) -> float:
        return max(phase.ma for phase in self.phases)

    @property
    def phase_charge_uc(self) -> float:
        """Charge of the first phase. [uC]"""
        return self.first.charge_uc

    @property
    def net_charge_uc(self) -> float:
        """Charge left over after one pulse; 0 when balanced. [uC]"""
        back = self.second.charge_uc if self.second else 0.0
        return self.first.charge_uc - back

    @property
    def mean_rectified_ma(self) -> float:
        """Mean of the current regardless of direction, f x sum |Q|. [mA]"""
        total_uc = sum(phase.charge_uc for phase in self.phases)
        return self.frequency_hz * total_uc / 1000

    @property
    def rms_ma(self) -> float:
        """Root mean square, sqrt(f x sum I^2 d). [mA]

        Symmetric biphasic: I sqrt(2 f d). A public engineering note prints
        200 mA, 450 us a phase, 25 Hz as 30 mA.
        """
        squares = sum(phase.ma**2 * phase.us for phase in self.phases)
        return sqrt(self.frequency_hz * squares / 1e6)

    def pulse_energy_mj(self, ohm: float = LOAD_OHM) -> float:
        """Energy of one pulse into a resistive load, R x sum I^2 d. [mJ]"""
        squares = sum(phase.ma**2 * phase.us for phase in self.phases)
        return ohm * squares / 1e9


@dataclass(frozen=True)
class BurstTrain:
    """A sine carrier switched on in bursts; `peak_ma` is the crest of the sine.

    Valid for whole carrier periods in a burst: then no charge is left over.
    """

    bursts_per_s: float
    burst_ms: float
    carrier_hz: float
    peak_ma: float
    net_charge_uc: float = 0.0

    @property
    def frequency_hz(self) -> float:
        return self.bursts_per_s

    @property
    def phase_us(self) -> float:
        """Half a carrier period: 2500 Hz has 200 us. [us]"""
        return 1e6 / (2 * self.carrier_hz)

    @property
    def occupied(self) -> float:
        """Share of the time that bursts fill, b; 1 is a continuous carrier. [1]"""
        return self.bursts_per_s * self.burst_ms / 1000

    @property
    def periods_per_burst(self) -> float:
        return self.carrier_hz * self.burst_ms / 1000

    @property
    def phase_charge_uc(self) -> float:
        """Charge of one half-period of the sine, 2 I d / pi. [uC]"""
        return 2 * self.peak_ma * self.phase_us / pi / 1000

    @property
    def mean_rectified_ma(self) -> float:
        """Mean regardless of direction, b x 2 I / pi. [mA]"""
        return self.occupied * 2 * self.peak_ma / pi

    @property
    def rms_ma(self) -> float:
        """Root mean square, I sqrt(b / 2). [mA]"""
        return self.peak_ma * sqrt(self.occupied / 2)

    def pulse_energy_mj(self, ohm: float = LOAD_OHM) -> float:
        """Energy of one whole burst into a resistive load, R I^2 / 2 x burst. [mJ]"""
        return ohm * self.peak_ma**2 / 2 * self.burst_ms / 1e6


Train = PulseTrain | BurstTrain


def monophasic(*, frequency_hz: float, ma: float, phase_us: float) -> PulseTrain:
    """Pulses of one direction."""
    return PulseTrain(frequency_hz, Phase(ma, phase_us))


def symmetric_biphasic(
    *, frequency_hz: float, ma: float, phase_us: float, interphase_us: float = 0.0
) -> PulseTrain:
    """Two equal phases of opposite direction."""
    phase = Phase(ma, phase_us)
    return PulseTrain(frequency_hz, phase, phase, interphase_us)


def asymmetric_biphasic(
    *,
    frequency_hz: float,
    ma: float,
    phase_us: float,
    second_us: float | None = None,
    second_ma: float | None = None,
    interphase_us: float = 0.0,
) -> PulseTrain:
    """A high, short phase and a low, long one back.

    Of the second phase one figure is enough: I2 d2 = I1 d1 gives the other.
    """
    if second_us is None:
        second_us = ma * phase_us / second_ma
    if second_ma is None:
        second_ma = ma * phase_us / second_us
    first, second = Phase(ma, phase_us), Phase(second_ma, second_us)
    return PulseTrain(frequency_hz, first, second, interphase_us)


def phase_from_pulse_us(pulse_us: float, interphase_us: float = 0.0) -> float:
    """Length of one phase of a symmetric biphasic pulse. [us]

    phase = (pulse - interphase) / 2; of a monophasic pulse the phase is all.
    """
    return (pulse_us - interphase_us) / 2


def density(value: float, *, electrode_cm2: float, contact: float = 1.0) -> float:
    """A current or power spread over the pad, per cm2.

    contact  share of the smaller pad that touches the skin [0-1]; a lifted
             edge raises the density under the rest
    """
    return value / (electrode_cm2 * contact)


def mean_power_w(rms_ma: float, ohm: float = LOAD_OHM) -> float:
    """Mean power into a resistive load, I_rms^2 R. [W]"""
    return (rms_ma / 1000) ** 2 * ohm
