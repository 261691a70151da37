"""Maneuvers once taken for others: single lessons of development draws, none of the reserved block."""

from __future__ import annotations

import pytest

from .lessons import DEVELOPMENT, draw, fly
from .tally import compare

FURTHER = 20
"""A block of development draws, apart from all others."""


@pytest.mark.parametrize("recorder", ["phone 1 s", "panel 1 s"])
@pytest.mark.parametrize(
    ("block", "number", "kinds", "flown"),
    [
        # on pylons in a calm, rolled over so soon that only the turn of the loops shows the way between
        (DEVELOPMENT, 62, None, "eights-on-pylons"),
        # half circles upwind of the line banked too much: 27 s of waiting for the line in 30 kt of wind
        (FURTHER, 86, ("s-turns", "turns-around-a-point"), "s-turns"),
    ],
)
def test_it_is_named(
    block: int, number: int, kinds: tuple[str, ...] | None, flown: str, recorder: str
) -> None:
    lesson = draw(block, number, kinds)
    (case,) = (one for one in compare(lesson, fly(lesson), recorder).cases if one.flown == flown)
    assert case.same
