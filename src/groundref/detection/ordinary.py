"""How ordinary flying circles: what the evidence for every kind that turns all the way round is held against.

Airplanes that nobody trains in circle too: to look at something, for spacing, to lose height, in rising air.
One description of that serves all kinds, so that when two of them compete for a circle, what ordinary flying
is drops out and only what tells them apart is left. Figures are common practice, no source.

Some of what is no maneuver is so like one that it is named itself and competes: see `ordinary_patterns`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.detection.circling import Circling
from groundref.detection.evidence import climb, density
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.units import degree, knot

WANDER: Final = 0.1  # of the radius, by which a student's distance changes in a lap; common practice
# Once a lap, of one who holds a bank: bank, a good third of the 5° that standards allow, and airspeed.
UNSTEADY_BANK: Final = 2.0 * degree
UNSTEADY_SPEED: Final = 0.02
WANDER_SHOWN: Final = 5.0  # of the radial rms, the most that the centre then moves; found on simulations

TWICE: Final = 1.7  # laps from which on laps can be compared
LOOSE: Final = 0.12  # radial rms over the radius of an orbit that nobody holds to a radius
SAILPLANE: Final = 70 * knot  # true airspeed up to which sailplanes circle
THERMAL_LAPS: Final = 2.0
THERMAL_CLIMB: Final = 1.0  # [m s⁻¹] all the way round, lap after lap
LOOKS_FOR_LIFT: Final = -5.0  # log-odds of a circle in such a flight to be anything else


def bank_density(bank: float) -> float:
    """Return how usual a mean bank is in ordinary circling: making room, a wide orbit, a spiral [rad]."""
    value = bank / degree
    room, orbit = density(value, 22.0, 8.0), density(value, 11.0, 6.0)
    return 0.5 * room + 0.3 * orbit + 0.2 * density(value, 38.0, 8.0)


def roundness_density(share: float) -> float:
    """Return how usual it is in ordinary circling to be so far from round, radial rms over the radius."""
    return float(np.exp(-share / LOOSE)) / LOOSE


def airspeed_over(states: States, circle: Circling) -> float:
    """Return the mean true airspeed, or the speed over the ground where the wind is not known [m s⁻¹]."""
    part = slice(circle.first, circle.last + 1)
    airspeed = states.true_airspeed[part]
    return float(np.mean(airspeed if np.isfinite(airspeed).all() else states.ground_speed[part]))


def soars(states: States, circles: tuple[Circling, ...]) -> bool:
    """Return whether the flight climbs in circles at a sailplane's speed: then circles look for lift.

    Parameters
    ----------
    states
        The flight.
    circles
        All of its circles.
    """
    return any(
        circle.laps >= THERMAL_LAPS
        and climb(states, circle.first, circle.last) >= THERMAL_CLIMB
        and airspeed_over(states, circle) <= SAILPLANE
        for circle in circles
    )


def lift_evidence(states: States, circle: Circling, soars: bool) -> float:
    """Return what it says for a circle that the flight soars, or does not.

    Parameters
    ----------
    states, circle
        What was flown.
    soars
        Whether the flight climbs in circles as a sailplane does.
    """
    return LOOKS_FOR_LIFT if soars and airspeed_over(states, circle) <= SAILPLANE else 0.0


@dataclass(frozen=True, slots=True)
class Drift:
    """How far the centre of a circle moved downwind in a lap, as a share of what the air moved.

    Attributes
    ----------
    share, sd
        Zero around a point, one at constant bank, and its standard deviation.
    wander
        Standard deviation of what a pilot who watches the ground adds by not judging the distance alike all
        the way round.
    unsteady
        The same of a pilot who holds a bank, by not holding it alike all the way round: see `unsteadiness`.
    """

    share: float
    sd: float
    wander: float
    unsteady: float = 0.0

    def density(self, mean: float, spread: float, *, watched: bool = False) -> float:
        """Return how usual the share is where it should be ``mean`` give or take ``spread``.

        Parameters
        ----------
        mean, spread
            Of the share.
        watched
            Whether the pilot watches the ground, else the bank.
        """
        wander = self.wander if watched else self.unsteady
        return density(self.share, mean, float(np.sqrt(spread**2 + self.sd**2 + wander**2)))


def drift_density(drift: Drift) -> float:
    """Return how usual it is in ordinary circling to be carried along so far.

    Who circles for no maneuver mostly holds a bank, or watches something on the ground with half an eye; one
    in eight keeps to it as one does around a point.
    """
    held = drift.density(1.0, 0.15)
    kept = drift.density(0.0, 0.25, watched=True)
    between = drift.density(0.6, 0.4, watched=True)
    return 0.5 * held + 0.12 * kept + 0.38 * between


def drift_of(states: States, circle: Circling, wind: Wind | None) -> Drift | None:
    """Return how far a circle moved downwind; None in a wind too light or unknown to tell.

    Nor can it be told of a single lap that wound in or out: a moving circle of any size fits a spiral.

    Parameters
    ----------
    states, circle, wind
        The flight, what was flown, and the air it was flown in.
    """
    if wind is None or (circle.laps <= TWICE and not circle.alike):
        return None
    carried = wind.speed * circle.lap_time
    carried_sd = wind.speed_sd * circle.lap_time
    if carried < 2.5 * np.hypot(carried_sd, circle.drift_sd):
        return None
    along = (circle.drift_east * wind.east + circle.drift_north * wind.north) / wind.speed
    share = along / carried
    sd = np.hypot(circle.drift_sd, share * carried_sd) / carried
    # A round circle has no wander in it; the centre of another may have moved by some times its rms.
    laps = max(circle.laps, 1.0)
    wander = min(WANDER * circle.moving.radius, WANDER_SHOWN * circle.still.rms) / laps
    swing = 0.0 if states.altitude is None else float(np.std(states.altitude[circle.first : circle.last + 1]))
    unsteady = unsteadiness(circle.moving.radius, circle.bank, swing) / laps
    return Drift(float(share), float(sd), float(wander / carried), float(unsteady / carried))


def unsteadiness(radius: float, bank: float, swing: float) -> float:
    """Return how far one lap at a bank held by hand leads away from where it began, in the air, per axis [m].

    With the track θ and a radius of curvature R (1 + a cos θ) a lap moves by
    ∫ R (1 + a cos θ) cos θ dθ = π R a. From R = V²/(g tan φ) follows a = dφ/(sin φ cos φ), and twice dV/V;
    height h that is traded for speed makes dV/V = g h/V² = h/(R tan φ).

    Parameters
    ----------
    radius
        R [m]
    bank
        φ [rad]
    swing
        Standard deviation of the altitude over the lap [m]
    """
    by_bank = UNSTEADY_BANK / (np.sin(bank) * np.cos(bank))
    by_height = swing / (radius * np.tan(bank))
    return float(np.pi * radius * np.sqrt(by_bank**2 + 4.0 * UNSTEADY_SPEED**2 + 4.0 * by_height**2))
