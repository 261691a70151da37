"""Maneuvers once taken for others: single lessons of development draws, none of the reserved block."""

from __future__ import annotations

import pytest

from .lessons import DEVELOPMENT, draw, fly
from .tally import compare

FURTHER = 20
"""First of the blocks of development draws that lie apart from all others."""


@pytest.mark.parametrize("recorder", ["phone 1 s", "panel 1 s"])
@pytest.mark.parametrize(
    ("block", "number", "kinds", "flown"),
    [
        # on pylons in a calm, rolled over so soon that only the turn of the loops shows the way between
        (DEVELOPMENT, 62, None, "eights-on-pylons"),
        # half circles upwind of the line banked too much: 27 s of waiting for the line in 30 kt of wind
        (FURTHER, 86, ("s-turns", "turns-around-a-point"), "s-turns"),
        # half circles of one side, the third flown on and finished steeply after 25 s of waiting for the line
        (8, 60, None, "s-turns"),
        # one lap at constant bank that drifts with the air: only the entry downwind speaks for a point
        (FURTHER, 13, ("s-turns", "turns-around-a-point"), "turns-around-a-point"),
        # a loop that waits for the road in its middle: the circle fitted to it lies beside the next loop
        (3, 0, None, "eights-along-a-road"),
        # a loop begun with too much bank and finished with too little: fitted, 1.7 times as wide as it is
        (FURTHER + 2, 80, ("eights-across-a-road", "eights-on-pylons"), "eights-across-a-road"),
        # carried along by 30 kt of wind in every loop, and back between them
        (5, 27, None, "eights-across-a-road"),
    ],
)
def test_it_is_named(
    block: int, number: int, kinds: tuple[str, ...] | None, flown: str, recorder: str
) -> None:
    lesson = draw(block, number, kinds)
    (case,) = (one for one in compare(lesson, fly(lesson), recorder).cases if one.flown == flown)
    assert case.same
