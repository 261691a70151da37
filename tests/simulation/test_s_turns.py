"""Simulated S-turns: what a steady hand flies agrees with the exact formulas, and each error shows."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import radians

import numpy as np
import pytest
from numpy.typing import NDArray

from groundref.errors import NoSolutionError, UsageError
from groundref.mechanics import s_turns as exact
from groundref.simulation import Truth, simulate
from groundref.simulation.faults import FAULTS
from groundref.simulation.s_turns import FAULTS_THAT_APPLY
from groundref.simulation.truth import TrueManeuver
from groundref.units import foot, knot

Floats = NDArray[np.float64]
RADIUS = 1200 * foot


@cache
def flown(
    fault: str = "",
    size: float | None = None,
    laps: float = 4,
    wind_kt: float = 12.0,
    course_deg: float | None = None,
    direction: str = "left",
) -> Truth:
    """Return what a perfectly steady hand flies."""
    return simulate(
        "s-turns",
        radius=RADIUS,
        wind_speed=wind_kt * knot,
        wind_from=radians(240),
        laps=laps,
        direction=direction,
        course=None if course_deg is None else radians(course_deg),
        faults={fault: size} if fault else {},
        unsteadiness=0.0,
        flight="maneuver-only",
    )[1]


def line_of(maneuver: TrueManeuver) -> tuple[float, float, float]:
    """Return east, north and bearing of the line."""
    (east, north), (to_east, to_north) = maneuver.places
    return east, north, float(np.arctan2(to_east - east, to_north - north))


def along_and_right(truth: Truth) -> tuple[Floats, Floats]:
    """Return the flight's places along and right of the line [m]."""
    east, north, bearing = line_of(truth.maneuvers[0])
    off_east, off_north = truth.east - east, truth.north - north
    return (
        off_east * np.sin(bearing) + off_north * np.cos(bearing),
        off_east * np.cos(bearing) - off_north * np.sin(bearing),
    )


def crossings(truth: Truth) -> list[tuple[float, float, float]]:
    """Return of each crossing between half circles how far off square, the bank [deg], the place [m]."""
    maneuver = truth.maneuvers[0]
    _, _, bearing = line_of(maneuver)
    track = np.unwrap(np.arctan2(truth.velocity_east, truth.velocity_north))
    along, _ = along_and_right(truth)
    out = []
    for time in maneuver.boundaries[1:-1]:
        off = np.degrees(np.interp(time, truth.time, track) - bearing) % 180.0 - 90.0
        bank = np.degrees(np.interp(time, truth.time, truth.bank))
        out.append((float(off), float(bank), float(np.interp(time, truth.time, along))))
    return out


def within(truth: Truth, number: int) -> NDArray[np.bool_]:
    """Return the samples of a half circle, from 0."""
    bounds = truth.maneuvers[0].boundaries
    return (truth.time > bounds[number]) & (truth.time < bounds[number + 1])


@pytest.mark.parametrize("course_deg", [None, 120.0, 190.0])
@pytest.mark.parametrize("direction", ["left", "right"])
def test_a_steady_hand_crosses_square_and_level_every_two_radii(
    course_deg: float | None, direction: str
) -> None:
    """FAA-H-8083-3C, p. 7-9: cross the line at 90°, wings level, half circles of equal radius."""
    truth = flown(course_deg=course_deg, direction=direction, laps=4)
    seen = crossings(truth)
    assert len(seen) == 3
    for off, bank, _ in seen:
        assert abs(off) < 3.0
        assert abs(bank) < 4.0
    for one, other in pairwise(seen):
        assert other[2] - one[2] == pytest.approx(2.0 * RADIUS, rel=0.04)


def test_half_circles_on_either_side_take_the_same_time_beside_what_rolling_takes() -> None:
    """Both sides of the line take equal time in any wind, by the closed form in elliptic integrals.

    What rolling through level adds to a half circle is flown out and back across the line at V + W and V − W.
    """
    truth = flown(laps=5, wind_kt=15.0)
    times = np.diff(truth.maneuvers[0].boundaries)[1:-1]
    assert times[0] == pytest.approx(times[1], abs=0.6)
    half = float(exact.half_circle_time(90 * knot, 15 * knot, RADIUS, np.pi / 2))
    rolling = 2.0 * (0.5 * 30.0 / 12.0 + 0.4)
    assert times.mean() == pytest.approx(half + rolling, abs=1.5)


def test_the_first_crossing_is_downwind_and_sides_alternate() -> None:
    truth = flown()
    maneuver = truth.maneuvers[0]
    assert np.degrees(maneuver.entry_track) == pytest.approx(60.0, abs=1.0)
    sides = [np.sign(np.median(along_and_right(truth)[1][within(truth, k)])) for k in range(4)]
    assert sides[0] == sides[2] == -sides[1] == -sides[3]
    banks = [np.sign(np.median(truth.bank[within(truth, k)])) for k in range(4)]
    assert banks == [-1.0, 1.0, -1.0, 1.0]
    assert maneuver.direction == "both"


def test_parts_of_a_half_circle_and_one_alone_can_be_flown() -> None:
    assert len(flown(laps=1).maneuvers[0].boundaries) == 2
    assert len(flown(laps=2.5).maneuvers[0].boundaries) == 4


def test_half_circles_are_unequal_by_the_size_asked_for() -> None:
    truth = flown("unequal-half-circles", 300.0, laps=6)
    places = [place for _, _, place in crossings(truth)]
    lengths = np.diff(places) / 2.0 / foot  # of half circles 2, 3, 4, 5; the even ones lie upwind
    assert lengths[0] - lengths[1] == pytest.approx(300.0, abs=60.0)
    assert lengths[2] - lengths[3] == pytest.approx(300.0, abs=60.0)


@pytest.mark.parametrize("size", [5.0, 10.0, 15.0, 20.0])
def test_the_bank_asked_for_is_still_held_at_the_line(size: float) -> None:
    into = (-1.0, 1.0, -1.0)  # bank of the half circle that ends, the first being to the left
    for (_, bank, _), side in zip(crossings(flown("not-level-at-line", size)), into, strict=True):
        assert side * bank == pytest.approx(size, abs=3.0)


def test_one_bank_carries_the_half_circles_downwind() -> None:
    held, good = flown("bank-held-constant"), flown()
    banks = np.degrees(np.abs(held.bank[within(held, 0)]))
    assert np.ptp(banks[banks.size // 4 : banks.size // 2]) < 2.0
    reach = [[np.abs(along_and_right(one)[1][within(one, k)]).max() for k in (0, 1)] for one in (held, good)]
    assert reach[0][0] > reach[1][0] + 40.0  # downwind of the line it reaches out farther
    assert reach[0][1] < reach[1][1] - 40.0  # and upwind of it less


@pytest.mark.parametrize(("fault", "place"), [("overbanked-upwind", 180.0), ("underbanked-downwind", 0.0)])
def test_bank_is_missed_by_the_size_asked_for_where_it_should_be(fault: str, place: float) -> None:
    truth = flown(fault, 6.0)
    sign = 1.0 if place else -1.0
    track = np.arctan2(truth.velocity_east, truth.velocity_north)
    crab = truth.heading - track
    speed = np.hypot(truth.velocity_east, truth.velocity_north)
    needed = np.arctan(speed**2 / (9.80665 * RADIUS * np.cos(crab)))
    inside = (truth.time > truth.maneuvers[0].start) & (truth.time < truth.maneuvers[0].end)
    position = np.degrees(np.arccos(np.cos(track - radians(60.0))))
    there = inside & (np.abs(position - place) > 35.0) & (np.abs(position - place) < 45.0)
    excess = np.degrees(np.abs(truth.bank) - needed)[there]
    assert np.median(sign * excess) == pytest.approx(6.0, abs=1.5)


def test_an_entry_upwind_is_flown_upwind() -> None:
    assert np.degrees(flown("entry-not-downwind", 180.0).maneuvers[0].entry_track) == pytest.approx(
        240, abs=1
    )


@pytest.mark.parametrize("fault", sorted(FAULTS_THAT_APPLY))
def test_every_fault_that_applies_is_told_in_the_truth(fault: str) -> None:
    assert flown(fault, laps=2).maneuvers[0].faults == pytest.approx({fault: FAULTS[fault].default})


def test_faults_of_other_maneuvers_are_refused() -> None:
    with pytest.raises(UsageError, match="wrong-crab cannot be committed in s-turns"):
        flown("wrong-crab")


def test_half_circles_too_small_to_fly_are_refused_with_the_least_radius() -> None:
    with pytest.raises(NoSolutionError, match=r"half circles need \d+° .* choose [\d,]+ ft or more"):
        simulate("s-turns", radius=400 * foot, wind_speed=20 * knot, flight="maneuver-only")
