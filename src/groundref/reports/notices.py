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
    "A maneuver has to be flown long enough to be told from ordinary flying: once round a point, two half"
    " circles of S-turns, a whole circuit of a rectangle, both loops of an eight, one whole steep turn."
    " Turns in a traffic circuit, a hold or a climb are left out on purpose. If you did fly some, these are"
    " the usual reasons:"
)
NONE_REASONS: Final = (
    "The recording stops in the maneuver, or has a gap in it: see “What was recorded” below.",
    "A turn stopped short: of 360° round a point, of the line in S-turns, of the whole loop in an eight.",
    "The shape changed so much that no one point, line, rectangle or pair of pylons fits.",
)
UNDO: Final = "To undo that, choose “as the recording was taken” for it under Corrections."
UNDO_ELSEWHERE: Final = (  # for who has no page of the lesson before them
    "To undo that, run groundref serve, open the lesson and choose “as the recording was taken” for it under"
    " its Corrections."
)
NAME_IT: Final = "Name what it was flown about, and the tool measures from there."  # where nothing is known
NONE_PATTERN: Final = (
    "No circuit of the runway given was found: a circuit has at least a downwind leg beside it, a base leg"
    " and a final that leads to it."
)
ABOUT_SD: Final = (
    "“±” is one standard deviation; a verdict is met or not met where it is nine in ten sure or more."
)
