"""What a rule of the ladder looks at: the maneuver flown, what is asked for, and the plan so far."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

from groundref.planning.asked import Blowing, Day, Wanted, filled_in
from groundref.planning.inputs import Inputs
from groundref.planning.last_flown import Last, LastManeuver
from groundref.planning.step import Step
from groundref.units import foot, knot


@dataclass(frozen=True, slots=True)
class Case:
    """One debrief on its way to the next exercise.

    Attributes
    ----------
    flown
        The maneuvers of the kind.
    asked
        What is asked for anyway: that stands, and no rule changes it.
    direction_given
        Whether the direction was asked for.
    wind_given
        Whether the wind was.
    wind, day
        To plan with.
    now
        How to fly it, as changed so far.
    steps
        Said so far.
    """

    flown: Last
    asked: Wanted
    direction_given: bool
    wind_given: bool
    wind: Blowing | None
    day: Day
    now: Wanted
    steps: tuple[Step, ...] = ()

    @property
    def last(self) -> LastManeuver:
        """The maneuver that the next one follows."""
        return self.flown.last

    @property
    def flown_wind(self) -> float:
        """Wind flown in; 0 where it could not be told [m s⁻¹]."""
        return 0.0 if self.last.wind is None else self.last.wind.speed_kt * knot

    @property
    def flown_radius(self) -> float | None:
        """Radius flown, in tens of feet; None where none is held [m]."""
        radius = self.last.radius_ft
        return None if radius is None or not isfinite(radius) else 10.0 * foot * round(radius / 10.0)

    @property
    def inputs(self) -> Inputs | None:
        """Inputs of a plan in the wind to plan with; None where wind or airspeed are not known."""
        known = self.now.true_airspeed is not None or self.now.calibrated_airspeed is not None
        if self.wind is None or not known:
            return None
        free = Wanted(
            true_airspeed=self.now.true_airspeed,
            calibrated_airspeed=self.now.calibrated_airspeed,
            direction=self.now.direction,
            course=self.now.course,
        )
        return filled_in(self.last.kind, wind=self.wind, wanted=free, day=self.day)

    def seen(self, faults: frozenset[str]) -> str:
        """Return the common errors of a group that were said; empty for none."""
        return ", ".join(
            dict.fromkeys(each.fault.replace("-", " ") for each in self.last.findings if each.fault in faults)
        )

    def not_met(self, *words: str) -> str:
        """Return the first element that was not met and begins with one of some words; empty for none."""
        missed = (
            each for each in self.last.elements if each.verdict == "not-met" and each.what.startswith(words)
        )
        return next((f"not met: {each.what}" for each in missed), "")

    @property
    def weak(self) -> str:
        """What was found, or was not met; empty for nothing."""
        found = [each.fault.replace("-", " ") for each in self.last.findings]
        missed = [each.what for each in self.last.elements if each.verdict == "not-met"]
        return ", ".join(dict.fromkeys([*found, *missed]))


Rule = Callable[[Case], tuple[Wanted, Step | None]]
