"""What is said on every page: the cautions, what ± means, and why nothing may have been found."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final = (
    "A training aid: it helps to talk about a flight that is over, and is not for use in flight.",
    "It does not see traffic, obstacles, weather or the ground, and a consumer recorder can be wrong in ways"
    " that no file shows.",
    "The airplane's handbook, the local rules and a licensed instructor decide; where this page differs from"
    " them, they are right.",
)
NONE_WHY: Final = (
    "For turns around a point, the airplane has to go round at least once, all the way, at much the same"
    " distance from one point, and more than by accident: turns in a circuit, a hold or a climb are left out"
    " on purpose. If you did fly some, these are the usual reasons:"
)
NONE_REASONS: Final = (
    "The recording stops in the turn, or has a gap in it: see “What was recorded” below.",
    "The turn stopped short of 360°.",
    "The distance changed so much that no single point fits. Name the point, and the tool measures from"
    " there.",
)
ABOUT_SD: Final = "“±” is one standard deviation."
