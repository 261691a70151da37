"""How altitude, airspeed and bank were held: the worst deviations, with an honest standard deviation.

Altitude and airspeed are judged from their mean over the five seconds before the turn began, so a common
offset of the altimeter or the receiver drops out. Where the start was not recorded they are judged from their
median over the laps, the middle of what was flown. The extremes are those of the smoothed states, which are
means of what is known and so are not driven outward by the noise of single samples.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Held, Profile
from groundref.assessment.profile import turn_sign, turn_signs
from groundref.assessment.recorded import beginning
from groundref.detection.maneuver import Lap, Maneuver
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Which = slice | Bools

MEAN: Final = "mean"  # where the reference is but the mean of what was flown

reference_span: Final = 5.0  # [s]  before the turn, over which the value to hold is averaged; common practice
# [m s⁻¹] 2 kt: sloppily flown circles of an independent simulator hold an amplitude of 2.6 kt once a lap that
# nothing but an airspeed recorded shows, root mean square, which is 1.9 kt an axis.
least_hidden: Final = 1.03
bias_derived: Final = (
    0.5 * degree
)  # [rad]  common error of a bank found from the motion: sideslip, climb, radius
bias_measured: Final = 1.0 * degree  # [rad]  common error of a recorded bank: alignment of the sensor
roll_span: Final = 3.0  # [s]  after half the bank was reached, until the roll has died out in any estimate
rolled_span: Final = 1.5  # [s]  after half of the usual bank, until the rest of it is on


@dataclass(frozen=True, slots=True)
class Deviation:
    """A quantity's deviation from its value at the start, sample by sample, in SI.

    Attributes
    ----------
    source
        `measured` or `derived`.
    reference
        The value at the start, or the middle of what was flown.
    value
        Deviations over the maneuver's samples; NaN where they do not count.
    sd
        Standard deviation of each.
    reference_from
        `start`, `middle` or :data:`MEAN`.
    """

    source: str
    reference: float
    value: Floats
    sd: Floats
    reference_from: str = "start"

    @property
    def worst(self) -> int:
        """Index of the largest deviation either way, from the maneuver's first sample."""
        return int(np.nanargmax(np.abs(self.value)))


def start_window(states: States, maneuver: Maneuver) -> slice:
    """Return the samples of the last seconds before the turn, its first sample included.

    The window never crosses a gap; at the start of a recording it is the first sample alone.
    """
    piece = states.piece[maneuver.first]
    begin = int(np.searchsorted(states.time, maneuver.start - reference_span))
    begin = max(begin, int(np.searchsorted(states.piece, piece)))
    return slice(min(begin, maneuver.first), maneuver.first + 1)


@dataclass(frozen=True, slots=True)
class Reference:
    """The samples that say what should have been held.

    Attributes
    ----------
    name
        `start` or `middle`.
    which
        Those before the turn; all of the maneuver where the start was not recorded.
    """

    name: str
    which: Which

    def value_of(self, values: Floats) -> float:
        """Return the mean before the turn, or the median of the maneuver; NaN when nothing is known."""
        if self.name == "start":
            return _mean(values[self.which])
        known = values[self.which]
        known = known[np.isfinite(known)]
        return float(np.median(known)) if known.size else float("nan")


def reference_samples(states: States, maneuver: Maneuver) -> Reference:
    """Return the samples that say what should have been held."""
    if beginning(states, maneuver).recorded:
        return Reference("start", start_window(states, maneuver))
    return Reference("middle", slice(maneuver.first, maneuver.last + 1))


def altitude_deviation(states: States, maneuver: Maneuver, profile: Profile) -> Deviation | None:
    """Return how far the altitude was from that at the start [m]; None when no altitude was recorded."""
    if states.altitude is None or states.altitude_sd is None:
        return None
    before, samples = reference_samples(states, maneuver), slice(maneuver.first, maneuver.last + 1)
    sd_before = _mean(states.altitude_sd[before.which])
    sd = np.hypot(states.altitude_sd[samples], sd_before)
    reference = before.value_of(states.altitude)
    return _deviation("measured", reference, states.altitude[samples], sd, profile, before.name)


def airspeed_deviation(states: States, maneuver: Maneuver, profile: Profile) -> Deviation | None:
    """Return how far true airspeed was from that at the start [m s⁻¹]; None when it cannot be told.

    Derived from the motion over the ground, airspeed is V = u·(v − w) with u the direction of the nose, so
    an error δw of the wind moves a deviation from the start by −(u − u₀)·δw: nothing on the heading of the
    start, twice the wind's error on the opposite one. An airspeed that changes once per lap is therefore
    as uncertain as the wind itself, and its standard deviation says so. What `hidden_wander` adds to the
    wind's error is counted in, and never less than `least_hidden`, since a wander wholly in step with the
    laps shows nothing at all.
    """
    before, samples = reference_samples(states, maneuver), slice(maneuver.first, maneuver.last + 1)
    reference = before.value_of(states.true_airspeed)
    if not np.isfinite(reference):
        return None
    if states.airspeed_source == "measured":
        sd = np.hypot(states.true_airspeed_sd[samples], _mean(states.true_airspeed_sd[before.which]))
    else:
        hidden = max(hidden_wander(states, maneuver), least_hidden)
        sd = _derived_airspeed_sd(states, before.which, samples, hidden)
    speed = states.true_airspeed[samples]
    return _deviation(states.airspeed_source, reference, speed, sd, profile, before.name)


def hidden_wander(states: States, maneuver: Maneuver) -> float:
    """Return how much of the wind may be an airspeed that wandered once per lap, sd on each axis [m s⁻¹].

    An airspeed derived from the motion over the ground cannot show that part of its wander. What it does show
    tells how steadily the speed was held, and the hidden part is taken to be as large: the standard
    deviation of the derived airspeed over the maneuver, less its noise. Zero where airspeed was measured.
    """
    if states.airspeed_source == "measured":
        return 0.0
    samples = slice(maneuver.first, maneuver.last + 1)
    speed, noise = states.true_airspeed[samples], states.velocity_sd[samples]
    known = np.isfinite(speed)
    if not known.any():
        return 0.0
    variance = float(np.var(speed[known])) - float(np.mean(noise[known] ** 2))
    return float(np.sqrt(max(variance, 0.0)))


def _derived_airspeed_sd(states: States, before: Which, samples: slice, hidden: float) -> Floats:
    """Return the sd of an airspeed derived from ground velocity, less that at the start [m s⁻¹]."""
    heading = states.heading
    east = np.sin(heading[samples]) - _mean(np.sin(heading[before]))
    north = np.cos(heading[samples]) - _mean(np.cos(heading[before]))
    wind = (
        (east * states.wind_east_sd[samples]) ** 2
        + (north * states.wind_north_sd[samples]) ** 2
        + 2.0 * east * north * states.wind_covariance[samples]
        + (east**2 + north**2) * hidden**2
    )
    noise = states.velocity_sd[samples] ** 2 + _mean(states.velocity_sd[before]) ** 2
    return np.sqrt(np.maximum(wind, 0.0) + noise)


def bank_deviation(states: States, maneuver: Maneuver, profile: Profile) -> Deviation | None:
    """Return the bank in the direction of the turn, between rolling in and rolling out [rad].

    The reference is the mean, so the deviations are from it; None when bank cannot be told. The standard
    deviation is that of the bank itself, with the error that all of them share.
    """
    samples = slice(maneuver.first, maneuver.last + 1)
    bank = np.where(steady(states, maneuver), turn_signs(maneuver) * states.bank[samples], np.nan)
    if not np.isfinite(bank).any():
        return None
    reference = _mean(bank)
    sd = np.hypot(states.bank_sd[samples], bank_bias(states))
    return _deviation(states.bank_source, reference, bank, sd, profile, MEAN)


def bank_bias(states: States) -> float:
    """Return the standard deviation of the error that all banks of a flight share [rad]."""
    return bias_measured if states.bank_source == "measured" else bias_derived


def lap_bank(states: States, maneuver: Maneuver, lap: Lap) -> tuple[float, float] | None:
    """Return the largest and the smallest bank of a lap in the direction of the turn [rad].

    Rolling in and rolling out are left out; None when nothing is left or bank cannot be told.
    """
    index = np.flatnonzero(steady(states, maneuver)) + maneuver.first
    inside = turn_sign(lap) * states.bank[index[(index >= lap.first) & (index <= lap.last)]]
    inside = inside[np.isfinite(inside)]
    return (float(inside.max()), float(inside.min())) if inside.size else None


def steady(states: States, maneuver: Maneuver) -> Bools:
    """Return which of the maneuver's samples lie between rolling in and rolling out.

    Laps one way follow one another without a roll; where the direction changes it rolls out and in again, and
    may be level for a while: it counts again some seconds after half of the usual bank is passed.
    """
    time = states.time[maneuver.first : maneuver.last + 1]
    inside = np.zeros(time.size, dtype=np.bool_)
    for start, end, sign in one_way(maneuver):
        begin, finish = start + roll_span, end - roll_span
        if maneuver.direction == "both":
            on, off = _banked(states, start, end, sign)
            begin, finish = max(begin, on + rolled_span), min(finish, off - rolled_span)
        inside |= (time >= begin) & (time <= finish)
    return inside


def _banked(states: States, start: float, end: float, sign: float) -> tuple[float, float]:
    """Return from when to when a turn had half of its usual bank; all of it where bank cannot be told [s]."""
    index = np.flatnonzero((states.time >= start) & (states.time <= end))
    bank = sign * states.bank[index]
    if not bank.size or not np.isfinite(bank).all():
        return start, end
    over = index[bank > 0.5 * np.median(bank)]
    return (float(states.time[over[0]]), float(states.time[over[-1]])) if over.size else (start, end)


def one_way(maneuver: Maneuver) -> list[tuple[float, float, float]]:
    """Return when each stretch of laps in one direction began and ended [s], and +1 right or −1 left."""
    stretches: list[tuple[float, float, float]] = []
    before = 0.0
    for lap in maneuver.laps:
        sign = turn_sign(lap)
        if stretches and sign == before and lap.start <= stretches[-1][1] + roll_span:
            stretches[-1] = (stretches[-1][0], lap.end, sign)
        else:
            stretches.append((max(lap.start, maneuver.entry.turn_time), lap.end, sign))
        before = sign
    return stretches


def held(deviation: Deviation | None, states: States, maneuver: Maneuver) -> Held | None:
    """Sum up a deviation as its extremes with their times; None stays None.

    The standard deviation is that of the extreme which counts: the larger deviation from the start, the
    largest where the reference is only the mean.
    """
    if deviation is None:
        return None
    top, bottom = int(np.nanargmax(deviation.value)), int(np.nanargmin(deviation.value))
    counts = top if deviation.reference_from == MEAN else deviation.worst
    return Held(
        source=deviation.source,
        reference=deviation.reference,
        maximum=float(deviation.reference + deviation.value[top]),
        minimum=float(deviation.reference + deviation.value[bottom]),
        maximum_time=float(states.time[maneuver.first + top]),
        minimum_time=float(states.time[maneuver.first + bottom]),
        sd=float(deviation.sd[counts]),
        reference_from=deviation.reference_from,
    )


def _deviation(
    source: str, reference: float, value: Floats, sd: Floats, profile: Profile, reference_from: str
) -> Deviation | None:
    """Return the deviations within the laps; None when there is not one."""
    counted = np.where(profile.lap > 0, value - reference, np.nan) if profile.lap.any() else value - reference
    if not np.isfinite(counted).any():
        return None
    return Deviation(source, reference, counted, sd, reference_from)


def _mean(values: Floats) -> float:
    """Return the mean of the known values, NaN when there is none."""
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")
