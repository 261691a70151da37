"""What to do about each common error that no number of the plan cures; common practice, no source.

An error that several kinds know is told in the words of each: there is a point in turns around a point alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final


@dataclass(frozen=True, slots=True)
class Advice:
    """What is changed for an error, and why.

    Attributes
    ----------
    rule, change, why
        As in `Step`; ``{radius}`` in the change is the radius planned.
    faults
        Common errors that it is for.
    by_kind
        The change in the words of some kinds.
    laps
        To fly at a time; None leaves them as they are.
    """

    rule: str
    faults: frozenset[str]
    change: str
    why: str
    by_kind: Mapping[str, str] = field(default_factory=dict)
    laps: float | None = None


_LOOPS: Final = "a reference on the far side of each loop, both {radius} from its middle, flown over in turn"

ADVICE: Final = (
    Advice(
        "equal-references",
        frozenset({"unequal-half-circles", "radius-changed", "leg-distance-uneven", "circle-off-point"}),
        "references chosen beforehand, all at the same distance",
        "the eye then compares two distances on the ground, and sees the error while it can be mended",
        {
            "turns-around-a-point": "four references around the point, a quarter apart and {radius} from it",
            "s-turns": "two references, one on each side and both {radius} from the line, for the tops of "
            "the half circles, which are flown in pairs, so that each side is flown as often",
            "rectangular-course": "a reference for each leg, all at the same distance outside of the field",
            "eights-along-a-road": _LOOPS,
            "eights-across-a-road": _LOOPS,
            "eights-around-pylons": "a reference on the far side of each pylon, both {radius} from it",
        },
    ),
    Advice(
        "crab-by-landmark",
        frozenset({"wrong-crab"}),
        "a landmark far ahead at the beginning of each straight leg, and the crab of the table set at once",
        "drift is seen against something far ahead long before the track has moved",
        {
            "turns-around-a-point": "the crab of the table said aloud ahead of each crosswind place",
            "s-turns": "the crab of the table said aloud ahead of the top of each half circle",
        },
    ),
    Advice(
        "leg-landmarks",
        frozenset({"straight-legs-not-straight"}),
        "two landmarks in line ahead on each straight leg, kept in line",
        "two in line show a drift that one alone does not",
    ),
    Advice(
        "level-at-line",
        frozenset({"not-level-at-line"}),
        "“level” called out over the line at each crossing, before the next bank",
        "who has to say it begins the roll-out early enough, and the two turns are told apart",
    ),
    Advice(
        "called-heights",
        frozenset({"pivotal-altitude-not-followed"}),
        "the heights of the table flown as a schedule, each called out ahead of its place",
        "the pivotal height goes with the square of the ground speed, so it changes before the pylon moves",
    ),
    Advice(
        "rollout-lead",
        frozenset({"rollout-heading-missed"}),
        "one turn at a time, on a landmark at the heading to come back to; roll out half of the bank angle "
        "ahead of it, so 22° ahead of it at 45°",
        "the turn goes on until the wings are level, and a landmark tells the lead with the eyes outside",
        laps=1.0,
    ),
    Advice(
        "one-turn-held",
        frozenset({"bank-not-held"}),
        "one turn at a time, the bank held by where the nose and the cowling cut the horizon",
        "bank is seen outside sooner than on an instrument, and one turn is short enough to hold it",
        laps=1.0,
    ),
    Advice(
        "settle-first",
        frozenset({"outside-height-band"}),
        "a minute straight at the height planned before the entry",
        "a maneuver begun at the wrong height is corrected while it is flown, and that costs the rest of it",
    ),
    Advice(
        "coordinate-first",
        frozenset({"uncoordinated"}),
        "two turns of medium bank first, one each way, rolled in and out with the ball in the middle",
        "rudder is learned in the roll, where the error begins, without a place on the ground to look at",
    ),
)
