"""Left against right and light against strong wind: told where it can be, and said where it cannot."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.progress import progress
from tests.progress.invented import altitudes, element, lesson, maneuver


def of(lessons, name):
    return getattr(progress("a student", lessons).maneuvers[0].elements[0], name)


def sided(pairs, sd=4.0):
    """Return lessons with a left turn and a right one each."""
    return tuple(
        lesson(
            n,
            maneuver(element(worst=left, sd=sd), direction="left"),
            maneuver(element(worst=right, sd=sd), direction="right", number=2),
        )
        for n, (left, right) in enumerate(pairs, 1)
    )


def test_a_worse_side_is_told_with_its_uncertainty():
    told = of(sided([(150, 80), (148, 84), (139, 75), (142, 70), (133, 72), (130, 61)]), "turns")
    assert told.says == "larger"
    assert told.low < 67 < told.high
    assert told.difference_sd < 15


def test_mirrored_turns_have_the_opposite_difference():
    pairs = [(120, 90), (100, 95), (110, 70), (90, 80), (95, 75)]
    there, back = of(sided(pairs), "turns"), of(sided([pair[::-1] for pair in pairs]), "turns")
    assert back.difference == pytest.approx(-there.difference, rel=1e-6)
    assert back.difference_sd == pytest.approx(there.difference_sd, rel=1e-6)


def test_sides_that_are_alike_are_said_to_be():
    random = np.random.default_rng(1)
    pairs = [tuple(90 - 3 * n + 4 * random.standard_normal(2)) for n in range(10)]
    assert of(sided(pairs), "turns").says == "alike"


def test_a_side_flown_only_later_is_not_told_from_practice():
    lefts = altitudes(150, 144, 141, direction="left")
    rights = [
        lesson(n, maneuver(element(worst=worst), direction="right"))
        for n, worst in ((4, 70), (5, 66), (6, 61))
    ]
    told = of((*lefts, *rights), "turns")
    paired = of(sided([(150, 70), (144, 66), (141, 61)]), "turns")
    assert told.difference_sd > 1.5 * paired.difference_sd


def test_what_there_is_nothing_to_tell_from_says_why():
    one_side = of(altitudes(100, 90, 80, 70), "turns")
    assert (one_side.difference, one_side.says) == (None, "undetermined")
    assert one_side.why == "Only left turns were measured."
    assert of(altitudes(100, 90, 80, direction="both"), "turns").why.startswith("No turns to one side")
    assert of(altitudes(100, 90, 80), "wind").why == "All lessons had about the same wind."
    assert of(altitudes(100, 90, 80, wind=None), "wind").why == "The wind of these lessons is not known."


def windy(pairs):
    return tuple(
        lesson(n, maneuver(element(worst=worst, sd=4.0), wind=wind))
        for n, (worst, wind) in enumerate(pairs, 1)
    )


def test_what_grows_with_the_wind_is_told_for_ten_knots():
    winds = (4.0, 15.0, 8.0, 14.0, 5.0, 12.0, 9.0, 16.0)
    random = np.random.default_rng(2)
    lessons = windy([(60.0 + 5.0 * wind + 4.0 * random.standard_normal(), wind) for wind in winds])
    told = of(lessons, "wind")
    assert told.says == "larger"
    assert told.low < 50.0 < told.high


def test_differences_hold_the_truth_as_often_as_they_say():
    """One difference in half of the elements, none in the other half; the trend is the same in all."""
    random = np.random.default_rng(20260504)
    held = []
    for _ in range(40):
        truth = 40.0 * (np.arange(6) % 2)
        lessons = []
        for n in range(1, 8):
            flown = [
                maneuver(
                    *(
                        element(
                            worst=150.0 - 5.0 * n + side * each / 2.0 + 25.0 * random.standard_normal(),
                            sd=8.0,
                            code=f"X.{e}",
                        )
                        for e, each in enumerate(truth)
                    ),
                    direction=direction,
                )
                for side, direction in ((1.0, "left"), (-1.0, "right"))
            ]
            lessons.append(lesson(n, *flown))
        told = progress("a student", lessons).maneuvers[0].elements
        held += [one.turns.low <= each <= one.turns.high for one, each in zip(told, truth, strict=True)]
    assert 0.92 < np.mean(held) <= 1.0
