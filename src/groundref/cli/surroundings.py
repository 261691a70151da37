"""Options on what lies around a maneuver, shared by the commands that plan one."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Annotated

from groundref.asking.surroundings import Lying
from groundref.cli import options


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

    def said(self) -> Lying:
        """Return them as what is asked for."""
        return Lying(**asdict(self))
