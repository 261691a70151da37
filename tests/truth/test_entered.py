"""What the truth shows of entries, legs and crossings, on flights whose errors were ordered at a known size.

Each size is over what docs/findings.md calls worth mentioning, so an ordered 30° of entry is 1.5.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import radians

import pytest

import groundref
from groundref.simulation.truth import TrueManeuver, Truth

from . import entered
from .flown import MADE, MARGINAL, NOT_MADE, made
from .kept_off import bank_at_line, uneven_circuits, uneven_sides
from .placed import given, rounds
from .sortie import FOOT

WIND_TO = 60.0  # [deg] the usual one of a simulated lesson: from 240°


def flown(kind: str, faults: Mapping[str, float] | None = None, course_deg: float | None = None) -> Truth:
    course = None if course_deg is None else radians(course_deg)
    return groundref.simulate(kind, faults=faults, seed=3, course=course, unsteadiness=0.3)[1]


def test_entries_of_circles() -> None:
    late = flown("turns-around-a-point", {"late-turn-entry": 4.0, "entry-not-downwind": 30.0})
    assert entered.late(late, late.maneuver) == pytest.approx(2.0, abs=0.3)
    assert entered.off_downwind(late, late.maneuver) == pytest.approx(1.5, abs=0.2)
    far = flown("turns-around-a-point", {"entry-too-far": 400.0})
    noticed = min(0.15 * far.maneuver.radius / FOOT, 250.0)
    assert entered.too_far(far, far.maneuver) == pytest.approx(400.0 / noticed, abs=0.35)
    assert entered.too_close(far, far.maneuver) < 0.0
    well = flown("turns-around-a-point")
    for size in entered.AROUND_A_POINT.values():
        assert size(well, well.maneuver) < 0.5


def test_a_circle_too_small_for_the_limit_of_bank_is_entered_too_close() -> None:
    truth = groundref.simulate("turns-around-a-point", seed=3, radius=700.0 * FOOT, bank_limit=radians(30))[1]
    assert entered.too_close(truth, truth.maneuver) > 1.3


def test_the_first_crossing_of_a_line_is_judged_square_to_it() -> None:
    """An oblique line turns the track to cross it on away from downwind, and that is no error."""
    oblique = flown("s-turns", course_deg=WIND_TO + 90.0 + 25.0)
    assert entered.off_downwind(oblique, oblique.maneuver) == pytest.approx(25.0 / 20.0, abs=0.2)
    assert entered.off_square(oblique, oblique.maneuver) < 0.3
    wrong = flown("s-turns", {"entry-not-downwind": 35.0})
    assert entered.off_square(wrong, wrong.maneuver) == pytest.approx(35.0 / 20.0, abs=0.25)


@pytest.mark.parametrize(("course_deg", "upwind"), [(WIND_TO + 90.0, False), (WIND_TO - 90.0, True)])
def test_eights_around_pylons_are_entered_with_the_wind(course_deg: float, upwind: bool) -> None:
    """In the one order of the pylons the middle is flown downwind, in the other upwind."""
    truth = flown("eights-around-pylons", course_deg=course_deg)
    assert (entered.beyond_ways(truth, truth.maneuver) > 3.0) is upwind
    assert made("entry-not-downwind", truth, truth.maneuver) == (MADE if upwind else NOT_MADE)


def test_a_rectangle_is_joined_at_45_degrees() -> None:
    well, wrong = flown("rectangular-course"), flown("rectangular-course", {"entry-not-downwind": 40.0})
    assert entered.off_joining(well, well.maneuver) < 0.3
    assert entered.off_joining(wrong, wrong.maneuver) == pytest.approx(2.0, abs=0.3)


def test_uneven_sides_show_only_to_those_who_know_the_field() -> None:
    truth = flown("rectangular-course", {"leg-distance-uneven": 600.0})
    assert uneven_sides(truth, truth.maneuver) == pytest.approx(1.5, abs=0.2)
    assert uneven_circuits(truth, truth.maneuver) < 0.4
    assert made("leg-distance-uneven", truth, truth.maneuver, placed=True) == MADE
    assert made("leg-distance-uneven", truth, truth.maneuver) == MARGINAL
    even = flown("rectangular-course")
    assert made("leg-distance-uneven", even, even.maneuver, placed=True) == NOT_MADE


def test_bank_is_told_where_the_line_was_crossed() -> None:
    wrong, well = flown("s-turns", {"not-level-at-line": 18.0}), flown("s-turns")
    assert bank_at_line(wrong, wrong.maneuver) == pytest.approx(1.8, abs=0.6)
    assert bank_at_line(well, well.maneuver) < 0.7


def test_places_are_given_as_few_times_as_can_be() -> None:
    kinds = ("s-turns", "turns-around-a-point", "eights-along-a-road", "steep-turns")
    maneuvers: list[TrueManeuver] = [flown(kind).maneuver for kind in kinds]
    assert [sorted(each) for each in rounds(maneuvers)] == [[0, 1, 3], [2]]
    truth = flown("rectangular-course")
    assert list(given(truth, truth.maneuvers)) == ["corners"]
    debrief = groundref.debrief(
        groundref.simulate("rectangular-course", seed=3, unsteadiness=0.3)[0], **given(truth, truth.maneuvers)
    )
    assert [each.maneuver.reference.source for each in debrief.maneuvers] == ["given"]
