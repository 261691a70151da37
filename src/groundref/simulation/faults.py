"""The common errors that the simulated pilot can commit, and how large."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final

from groundref.angles import full_turn
from groundref.errors import UsageError
from groundref.units import degree, foot, knot, standard_gravity


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault that can be asked for.

    Attributes
    ----------
    unit
        Unit of its size at the edge: `deg`, `ft`, `kt`, `s`, `g` or `fraction`.
    default
        Size when none is given [``unit``]
    smallest, largest
        Sizes accepted [``unit``]
    what
        What the pilot then does, and what the size measures.
    """

    unit: str
    default: float
    smallest: float
    largest: float
    what: str


FAULTS: Final[Mapping[str, Fault]] = {
    "bank-held-constant": Fault("fraction", 1.0, 0.0, 1.0, "share of the needed variation of bank not made"),
    "overbanked-upwind": Fault("deg", 6.0, 0.0, 20.0, "bank above the needed one, most straight upwind"),
    "underbanked-downwind": Fault("deg", 6.0, 0.0, 20.0, "bank below the needed one, most straight downwind"),
    "late-turn-entry": Fault("s", 3.0, 0.0, 15.0, "time by which the turn begins after it should"),
    "entry-not-downwind": Fault(
        "deg", 30.0, -180.0, 180.0, "entry track less the downwind track, right positive"
    ),
    "entry-too-close": Fault(
        "ft", 300.0, 0.0, 5000.0, "radius less the distance at entry; regained in half a lap"
    ),
    "entry-too-far": Fault(
        "ft", 300.0, 0.0, 5000.0, "distance at entry less the radius; regained in half a lap"
    ),
    "radius-changed": Fault("ft", 200.0, 0.0, 5000.0, "radius of odd laps less that of even ones"),
    "bank-over-limit": Fault(
        "deg", 5.0, 0.0, 20.0, "bank above the limit, for some seconds just after downwind"
    ),
    "altitude-not-held": Fault(
        "ft", 200.0, -2000.0, 2000.0, "height lost by the upwind side and regained, each lap"
    ),
    "airspeed-not-held": Fault("kt", 12.0, -40.0, 40.0, "airspeed lost and regained every 80 s"),
    "outside-height-band": Fault(
        "ft", 150.0, -400.0, 3000.0, "height above 1,000 ft AGL, or, negative, below 600 ft"
    ),
    "uncoordinated": Fault(
        "g", 0.10, -0.5, 0.5, "side force into the turn (skid), or, negative, out of it (slip)"
    ),
    "wrong-crab": Fault(
        "deg", 8.0, -30.0, 30.0, "heading off the one that corrects the drift, on straight legs"
    ),
    "unequal-half-circles": Fault(
        "ft", 300.0, -5000.0, 5000.0, "radius of the half circles upwind of the line less that of the others"
    ),
    "not-level-at-line": Fault("deg", 15.0, 0.0, 45.0, "bank that is still held where the line is crossed"),
    "pivotal-altitude-not-followed": Fault(
        "ft", 150.0, -1000.0, 1000.0, "height above the pylon less the pivotal height, all along the turns"
    ),
    "straight-legs-not-straight": Fault(
        "deg", 12.0, 0.0, 45.0, "track off the straight leg, to and fro on each"
    ),
    "leg-distance-uneven": Fault(
        "ft", 600.0, -8000.0, 8000.0, "distance of the second and fourth leg less that of the others"
    ),
    "bank-not-held": Fault(
        "deg", 8.0, 0.0, 25.0, "bank above and below the one meant, to and fro in each turn"
    ),
    "rollout-heading-missed": Fault(
        "deg", 20.0, -90.0, 90.0, "turned beyond the heading to roll out on, short when negative"
    ),
}

_SI: Final = {
    "deg": degree,
    "ft": foot,
    "kt": knot,
    "s": 1.0,
    "g": standard_gravity,
    "fraction": 1.0,
}


@dataclass(frozen=True, slots=True)
class Faults:
    """Sizes of the faults of one flight in SI; zero where it is not committed.

    Attributes
    ----------
    bank_held_constant
        Share of the variation not made, 0 to 1.
    overbanked_upwind, underbanked_downwind, entry_not_downwind, bank_over_limit
        [rad]
    late_turn_entry
        [s]
    entry_too_close, entry_too_far, radius_changed, altitude_not_held, outside_height_band
        [m]
    airspeed_not_held
        [m s⁻¹]
    uncoordinated
        [m s⁻²]
    unequal_half_circles, pivotal_altitude_not_followed, leg_distance_uneven
        [m]
    wrong_crab, not_level_at_line, straight_legs_not_straight, bank_not_held, rollout_heading_missed
        [rad]
    laps
        Numbers of the laps, from 1, in which errors of bank, height and coordination are made; empty for all.
    """

    bank_held_constant: float = 0.0
    overbanked_upwind: float = 0.0
    underbanked_downwind: float = 0.0
    late_turn_entry: float = 0.0
    entry_not_downwind: float = 0.0
    entry_too_close: float = 0.0
    entry_too_far: float = 0.0
    radius_changed: float = 0.0
    bank_over_limit: float = 0.0
    altitude_not_held: float = 0.0
    airspeed_not_held: float = 0.0
    outside_height_band: float = 0.0
    uncoordinated: float = 0.0
    wrong_crab: float = 0.0
    unequal_half_circles: float = 0.0
    not_level_at_line: float = 0.0
    pivotal_altitude_not_followed: float = 0.0
    straight_legs_not_straight: float = 0.0
    leg_distance_uneven: float = 0.0
    bank_not_held: float = 0.0
    rollout_heading_missed: float = 0.0
    laps: frozenset[int] = frozenset()

    def made_after(self, turned: float) -> bool:
        """Return whether errors are made in the lap that an angle turned so far belongs to [rad]."""
        return not self.laps or 1 + int(turned / full_turn) in self.laps

    def made_in(self, lap: int) -> bool:
        """Return whether errors are made in the lap, half circle, loop or circuit of a number, from 1."""
        return not self.laps or lap in self.laps

    def told(self) -> dict[str, float]:
        """Return the size of each fault committed by name, in the fault's own unit."""
        return {
            name: size / _SI[FAULTS[name].unit]
            for name in FAULTS
            if (size := float(getattr(self, name.replace("-", "_"))))
        }


def sized(faults: Mapping[str, float | None]) -> dict[str, float]:
    """Return the sizes of the faults in their edge units, defaults filled in.

    Parameters
    ----------
    faults
        Size by name in the fault's own unit; None takes the default.

    Raises
    ------
    UsageError
        When a name is not that of a fault, or a size is out of range.
    """
    return {name: _size(name, size) for name, size in faults.items()}


def to_si(sizes: Mapping[str, float], laps: Iterable[int] = ()) -> Faults:
    """Return the sizes in SI.

    Parameters
    ----------
    sizes
        As returned by ``sized``.
    laps
        Laps in which errors of bank, height and coordination are made; none for all.
    """
    in_si: dict[str, Any] = {
        name.replace("-", "_"): size * _SI[FAULTS[name].unit] for name, size in sizes.items()
    }
    return Faults(**in_si, laps=frozenset(laps))


def _size(name: str, size: float | None) -> float:
    fault = FAULTS.get(name)
    if fault is None:
        raise UsageError(f"there is no fault {name!r}", "fault", "choose among " + ", ".join(sorted(FAULTS)))
    if size is None:
        return fault.default
    if not isfinite(size) or not fault.smallest <= size <= fault.largest:
        raise UsageError(
            f"a size of {size:g} {fault.unit} is out of range",
            f"fault {name}",
            f"give {fault.smallest:g} to {fault.largest:g} {fault.unit}",
        )
    return float(size)
