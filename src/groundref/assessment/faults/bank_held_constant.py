"""Bank held constant in wind: still-air technique, and the circles walk downwind.

The test sets the bank flown against the bank needed round the circle. With x the bank needed about its
mean and y the bank flown about its own, the slope of y on x is 1 where the pilot followed the wind and 0
where the bank was held; the size is 1 − slope, the part of the needed change that was not made. The bank
needed carries an error of its own, so the slope is Σxy / (Σx² − Σ sd_x²) (errors in variables); its standard
deviation counts only as many independent samples as the residuals' autocorrelation leaves,
n (1 − ρ)/(1 + ρ). Both the upwind and the downwind third must take part, each measured from the crosswind
places between them; where only one does, it is that fault and not this one.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, laps_said, plus_minus
from groundref.measures import at_least, length
from groundref.units import degree, foot

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NAME: Final = "bank-held-constant"
THRESHOLD: Final = 0.4  # part of the change not made; common practice, no source
smallest_change: Final = 3.0 * degree  # needed between upwind and downwind, or nothing is there to follow
nearly_all: Final = 0.8  # of the change not made: bank was simply held
balance: Final = 0.4  # of the larger share that the smaller one of upwind and downwind must reach


def find(flown: Flown) -> Finding | None:
    """Test whether bank followed the ground speed round the circle."""
    used = _used(flown)
    if used is None:
        return None
    left_out, sd = _not_made(flown, used)
    size = min(left_out, 1.0)  # bank that went the wrong way leaves out no more than all of the change
    change = _change(flown, used)
    if not supported(size, sd, THRESHOLD) or change < smallest_change or not _both_sides(flown, used):
        return None
    drift, drift_sd = _drift(flown, size)
    mean = float(flown.bank_flown[used].mean())
    return Finding(
        fault=NAME,
        laps=flown.whole_laps,
        size=size,
        size_sd=sd,
        size_unit="fraction",
        start=float(flown.time[used][0]),
        end=float(flown.time[used][-1]),
        position="",
        consequence_ft=drift / foot,
        consequence_sd_ft=drift_sd / foot,
        strength=size / THRESHOLD,
        says=f"{laps_said(flown.whole_laps, flown.words.lap)}: {_stayed(size, mean)}; "
        f"{_part(size, sd)}, worth {length(drift)} ({plus_minus(drift_sd)}) of drift downwind each "
        f"{flown.words.lap}.",
        cure=_cure(flown, used),
    )


def _stayed(size: float, mean: float) -> str:
    """Return how the bank went."""
    if size >= nearly_all:
        return f"bank stayed near {degrees(mean)} all the way round"
    return f"bank changed too little about its mean of {degrees(mean)}"


def _part(size: float, sd: float) -> str:
    """Return which part of the change was not made."""
    give = f" (± {100 * sd:.0f}%)" if 100.0 * sd >= 0.5 else ""
    if 100.0 * size >= 99.5:
        return f"none of the change the wind asked for was made{give}"
    return f"{100 * size:.0f}%{give} of the change the wind asked for was not made"


def _used(flown: Flown) -> Bools | None:
    """Return the steady samples of whole laps; None without wind or without enough of them."""
    if not flown.wind_felt:
        return None
    used = flown.steady & np.isin(flown.profile.lap, flown.whole_laps)
    used &= np.isfinite(flown.bank_flown) & np.isfinite(flown.bank_needed)
    return used if used.sum() >= 10 else None


def _not_made(flown: Flown, used: Bools) -> tuple[float, float]:
    """Return the part of the change of bank that was not made, and its standard deviation."""
    x = flown.bank_needed[used] - flown.bank_needed[used].mean()
    y = flown.bank_flown[used] - flown.bank_flown[used].mean()
    power = float(x @ x - np.sum(_own_error(flown)[used] ** 2))
    if power <= 0.0:
        return float("nan"), float("nan")
    slope = float(x @ y) / power
    residual = y - slope * x
    return 1.0 - slope, float(np.sqrt(np.mean(residual**2) / (power / x.size) / _independent(residual)))


def _own_error(flown: Flown) -> Floats:
    """Return the sd of the bank needed without the radius' error, which the whole circle shares [rad]."""
    needed = flown.bank_needed
    shared = np.sin(needed) * np.cos(needed) * flown.maneuver.radius_sd / flown.maneuver.radius
    return np.sqrt(np.maximum(flown.profile.bank_required_sd**2 - shared**2, 0.0))


def _independent(residual: Floats) -> float:
    """Return how many independent samples the residuals amount to, from their lag-one autocorrelation."""
    power = float(residual @ residual)
    if power <= 0.0:
        return float(residual.size)
    rho = float(np.clip(residual[1:] @ residual[:-1] / power, 0.0, 0.98))
    return max(2.0, residual.size * (1.0 - rho) / (1.0 + rho))


def _thirds(flown: Flown, used: Bools) -> tuple[Bools, Bools, Bools]:
    """Return the samples flying downwind, crosswind and upwind."""
    position = flown.arc_position
    return (
        used & places.within(position, places.downwind, places.third),
        used & places.crosswind(position),
        used & places.within(position, places.upwind, places.third),
    )


def _change(flown: Flown, used: Bools) -> float:
    """Return the change of bank needed from flying upwind to flying downwind [rad]."""
    down, _, up = _thirds(flown, used)
    if not (down.any() and up.any()):
        return float("nan")
    return float(flown.bank_needed[down].mean() - flown.bank_needed[up].mean())


def _both_sides(flown: Flown, used: Bools) -> bool:
    """Return whether the change was missed both upwind and downwind of the crosswind places."""
    down, across, up = _thirds(flown, used)
    if not (down.any() and across.any() and up.any()):
        return False
    excess = flown.bank_flown - flown.bank_needed
    middle, needed = excess[across].mean(), flown.bank_needed[across].mean()
    upwind = (excess[up].mean() - middle) / (needed - flown.bank_needed[up].mean())
    downwind = (middle - excess[down].mean()) / (flown.bank_needed[down].mean() - needed)
    return bool(min(upwind, downwind) >= balance * max(upwind, downwind) > 0.0)


def _drift(flown: Flown, size: float) -> tuple[float, float]:
    """Return the drift in one lap and its sd: of the laps' centres, else what the wind makes of it [m].

    Where the circle did not stay over one point the drift is that movement itself, so that the two agree
    wherever they are told; where it stayed, the part of it that went with the wind. A lap of time T at
    constant bank moves by W T, the air's own motion; the part of the change not made moves that part.
    """
    maneuver, wind = flown.maneuver, flown.maneuver.wind
    assert wind is not None  # `_used` saw to it
    if maneuver.drifts:
        return float(np.hypot(maneuver.drift_east, maneuver.drift_north)), maneuver.drift_sd
    if len(flown.whole_laps) > 1 and maneuver.drift_sd > 0.0:
        along = (maneuver.drift_east * wind.east + maneuver.drift_north * wind.north) / wind.speed
        if along > 2.0 * maneuver.drift_sd:
            return along, maneuver.drift_sd
    laps = [maneuver.laps[lap - 1] for lap in flown.whole_laps]
    # The last lap may hold what was turned beyond it.
    lap_time = float(np.mean([(lap.end - lap.start) * min(1.0, full_turn / abs(lap.turn)) for lap in laps]))
    return size * wind.speed * lap_time, size * wind.speed_sd * lap_time


def _cure(flown: Flown, used: Bools) -> str:
    """Return the banks to fly, or the wider circle where they would be more than the limit."""
    wider = flown.smallest_radius()
    if flown.bank_needed[used].max() > flown.bank_limit and wider is not None:
        return (
            f"Start at least {at_least(wider)} from {flown.words.about}, and let bank follow ground "
            "speed: steepest flying downwind, shallowest flying upwind."
        )
    steepest, shallowest = (
        flown.bank_needed_at(place, flown.whole_laps) for place in (places.downwind, places.upwind)
    )
    # Where the turn changes sides nothing may have been flown steadily close to straight downwind.
    steep = f"about {degrees(steepest)}" if np.isfinite(steepest) else "steepest"
    shallow = f"easing to about {degrees(shallowest)}" if np.isfinite(shallowest) else "shallowest"
    return (
        f"Let bank follow ground speed: {steep} flying downwind, {shallow} flying upwind, changing all the "
        "way round."
    )
