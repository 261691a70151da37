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
    assert 0.9 < np.mean(held) < 0.99


def test_differences_with_wind_hold_the_truth_as_often_as_they_say():
    """Half of the elements grow by 50 ft in 10 kt more, half by nothing; the wind is measured to 0.8 kt."""
    random = np.random.default_rng(20260505)
    held = []
    for _ in range(40):
        truth = 50.0 * (np.arange(6) % 2)
        lessons = []
        for n in range(1, 10):
            wind = random.uniform(3.0, 17.0)
            worst = 150.0 - 5.0 * n + truth * (wind - 10.0) / 10.0 + 25.0 * random.standard_normal(6)
            flown = [element(worst=each, sd=8.0, code=f"X.{e}") for e, each in enumerate(worst.tolist())]
            measured = float(wind + 0.8 * random.standard_normal())
            lessons.append(lesson(n, maneuver(*flown, wind=measured)))
        told = progress("a student", lessons).maneuvers[0].elements
        held += [one.wind.low <= each <= one.wind.high for one, each in zip(told, truth, strict=True)]
    assert 0.9 < np.mean(held) < 0.99


def test_among_many_elements_without_a_difference_hardly_one_is_told():
    random = np.random.default_rng(20260506)
    told = []
    for _ in range(30):
        lessons = []
        for n in range(1, 9):
            worst = 120.0 - 5.0 * n + 25.0 * random.standard_normal(10)
            flown = [element(worst=abs(each), sd=8.0, code=f"X.{e}") for e, each in enumerate(worst.tolist())]
            side = ("left", "right")[n % 2]
            lessons.append(lesson(n, maneuver(*flown, direction=side, wind=float(random.uniform(3.0, 17.0)))))
        for one in progress("a student", lessons).maneuvers[0].elements:
            told += [one.turns.says, one.wind.says]
    assert np.mean([says in ("larger", "smaller") for says in told]) < 0.02
