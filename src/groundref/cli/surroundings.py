"""Options on what lies around a maneuver, shared by the commands that plan one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import radians
from typing import TYPE_CHECKING, Annotated, Final

from groundref.cli import options
from groundref.errors import UsageError
from groundref.units import foot, nautical_mile

if TYPE_CHECKING:
    from groundref.planning import Around

_FROM_POINT: Final = re.compile(r"(\d{1,3}(?:\.\d+)?)/(\d{1,2}(?:\.\d+)?)(?:nm)?", re.IGNORECASE)


@dataclass(frozen=True)
class Surroundings:
    """What lies around the maneuver.

    Parameters
    ----------
    surroundings
        What is below: open land, sparsely populated land, a congested area or water; for the least height.
    obstacle_ft
        Height above the ground of the highest obstacle within the distance that the rule counts.
    rules
        Rules on the least height: us (14 CFR 91.119) or europe (SERA.5005(f)).
    landing
        Place to land on should the engine stop, as latitude,longitude; needs --point.
    landing_from_point
        The same as bearing in degrees true / NM from the point, or from the middle of the line, rectangle or
        pylons.
    noise_place
        Place that wants quiet, as latitude,longitude; needs --point.
    """

    surroundings: Annotated[str | None, options.taking("open|sparse|congested|water")] = None
    obstacle_ft: Annotated[float | None, options.taking("N")] = None
    rules: Annotated[str, options.taking("us|europe")] = "us"
    landing: Annotated[str | None, options.taking("LAT,LON")] = None
    landing_from_point: Annotated[str | None, options.taking("BEARING/NM")] = None
    noise_place: Annotated[str | None, options.taking("LAT,LON")] = None

    def settled(self) -> Around:
        """Return them in SI units.

        Raises
        ------
        UsageError
            When a place is none, or a number out of range.
        """
        from groundref.planning import Around

        height, from_point = self.obstacle_ft, self.landing_from_point
        return Around(
            surroundings=self.surroundings,
            obstacle=None if height is None else options.within(height, 0, 3000, "--obstacle-ft") * foot,
            rules=self.rules,
            landing=_place(self.landing, "--landing"),
            landing_from_origin=None if from_point is None else _bearing_and_distance(from_point),
            noise_place=_place(self.noise_place, "--noise-place"),
        )


def _place(text: str | None, option: str) -> tuple[float, float] | None:
    return None if text is None else options.point(text, option)


def _bearing_and_distance(text: str) -> tuple[float, float]:
    """Return true bearing and distance from `BEARING/NM` [rad], [m]."""
    matched = _FROM_POINT.fullmatch(text.strip())
    if not matched or float(matched[1]) > 360:
        raise UsageError(
            f"{text!r} is not a bearing and a distance",
            "--landing-from-point",
            "write degrees true / NM, such as 240/0.8",
        )
    distance = options.within(float(matched[2]), 0, 50, "--landing-from-point")
    return radians(float(matched[1])), distance * nautical_mile
