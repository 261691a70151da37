"""What lies around a maneuver, from its options."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import radians
from typing import TYPE_CHECKING, Final

from groundref.asking import words
from groundref.errors import UsageError
from groundref.units import foot, kilometre, nautical_mile

if TYPE_CHECKING:
    from groundref.planning import Around

_FROM_POINT: Final = re.compile(r"(\d{1,3}(?:\.\d+)?)/(\d{1,2}(?:\.\d+)?)(nm|km)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Lying:
    """What the options say of it, as typed; None where not said.

    Attributes
    ----------
    surroundings, obstacle_ft, rules
        Of the least height.
    landing, landing_from_point
        Place to land on, by its position or by bearing and distance.
    noise_place
        Place that wants quiet.
    """

    surroundings: str | None = None
    obstacle_ft: float | None = None
    rules: str = "us"
    landing: str | None = None
    landing_from_point: str | None = None
    noise_place: str | None = None

    def settled(self) -> Around:
        """Return it in SI units.

        Raises
        ------
        UsageError
            When a place is none, or a number out of range.
        """
        from groundref.planning import Around

        height, from_point = self.obstacle_ft, self.landing_from_point
        return Around(
            surroundings=self.surroundings,
            obstacle=None if height is None else words.within(height, 0, 3000, "--obstacle-ft") * foot,
            rules=self.rules,
            landing=_place(self.landing, "--landing"),
            landing_from_origin=None if from_point is None else _bearing_and_distance(from_point),
            noise_place=_place(self.noise_place, "--noise-place"),
        )


def _place(text: str | None, option: str) -> tuple[float, float] | None:
    return None if text is None else words.point(text, option)


def _bearing_and_distance(text: str) -> tuple[float, float]:
    """Return true bearing [rad] and distance [m] from `BEARING/NM`, or in kilometers with `km` behind it."""
    matched = _FROM_POINT.fullmatch(text.strip())
    if not matched or float(matched[1]) > 360:
        raise UsageError(
            f"{text!r} is not a bearing and a distance",
            "--landing-from-point",
            "write degrees true / NM, such as 240/0.8, or with km behind it, 240/1.5km",
        )
    if (matched[3] or "").lower() == "km":
        distance = words.within(float(matched[2]), 0, 92, "--landing-from-point") * kilometre
    else:
        distance = words.within(float(matched[2]), 0, 50, "--landing-from-point") * nautical_mile
    return radians(float(matched[1])), distance
