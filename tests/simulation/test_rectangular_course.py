"""The simulated rectangular course, measured on its true positions apart from the pilot's own sums."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.errors import NoSolutionError, UsageError
from groundref.mechanics import boundary
from groundref.mechanics.rectangle import corner_heading_change
from groundref.simulation import simulate
from groundref.simulation.rectangular_course import FAULTS_THAT_APPLY
from groundref.simulation.truth import Truth
from groundref.units import degree, foot, knot, statute_mile


def course(**options: Any) -> Truth:
    chosen: dict[str, Any] = {"flight": "maneuver-only", "laps": 1, "unsteadiness": 0.0, **options}
    return simulate("rectangular-course", **chosen)[1]


def outside(truth: Truth) -> np.ndarray:
    """Return the distance outside of the field's boundary from start to end of the course [m]."""
    flown = truth.maneuver
    corners = np.array(flown.places)
    sides = np.roll(corners, -1, axis=0) - corners
    length, width = np.hypot(*sides[1]), np.hypot(*sides[0])
    along = corners[0] - corners[3]  # the first side ends at the first corner
    inside = truth.during(flown.start, flown.end)
    return boundary.outside(
        truth.east[inside],
        truth.north[inside],
        corners[:, 0].mean(),
        corners[:, 1].mean(),
        np.arctan2(*along),
        length,
        width,
    )


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("wind_kt", [0.0, 12.0, 28.0])
def test_it_is_flown_a_quarter_to_half_a_mile_outside(direction: str, wind_kt: float) -> None:
    """AC 61-21, chapter 11, as quoted: a quarter to half a mile outside of sides of about a mile."""
    truth = course(direction=direction, wind_speed=wind_kt * knot)
    away = outside(truth)
    assert 0.25 * statute_mile < np.median(away) < 0.5 * statute_mile
    # Corners are rounded: nobody flies round the outside of a corner of the rectangle flown.
    assert np.abs(away - truth.maneuver.radius).max() < 0.1 * statute_mile
    length = np.hypot(*(np.array(truth.maneuver.places[0]) - truth.maneuver.places[3]))
    assert length == pytest.approx(statute_mile)


@pytest.mark.parametrize("direction", ["left", "right"])
def test_heading_turns_by_more_than_a_quarter_out_of_downwind_and_into_it(direction: str) -> None:
    """FAA-H-8083-3C, p. 7-6: more than 90° downwind to base, less than 90° base to upwind and so on."""
    side = 1.0 if direction == "right" else -1.0
    truth = course(direction=direction, wind_speed=20 * knot, wind_from=radians(240))
    flown = truth.maneuver
    inside = truth.during(flown.start, flown.end + 12.0)
    track = np.unwrap(np.arctan2(truth.velocity_east[inside], truth.velocity_north[inside]))
    heading = np.unwrap(truth.heading[inside])
    turned = side * (track - radians(60))
    turned -= 2 * np.pi * round(turned[0] / (2 * np.pi))
    # On each leg the bank is nil and the track along it; there the heading is compared.
    level = np.abs(truth.bank[inside]) < radians(1)
    on = [level & (np.abs(turned - k * np.pi / 2) < radians(2)) for k in range(5)]
    legs = np.array([np.median(heading[each]) for each in on])
    change = side * np.diff(legs) / degree
    assert change[0] > 95.0
    assert change[1] < 85.0
    assert change[2] < 85.0
    assert change[3] > 95.0
    needed = [
        side * float(corner_heading_change(90 * knot, 20 * knot, -side * k * np.pi / 2, side)) / degree
        for k in range(4)
    ]
    assert change == pytest.approx(needed, abs=1.5)


def test_banks_steepest_out_of_downwind_and_shallowest_out_of_upwind() -> None:
    """FAA-H-8083-3C, p. 7-6: steep leaving the downwind leg, shallow leaving the upwind leg."""
    truth = course(wind_speed=20 * knot)
    flown = truth.maneuver
    bank = np.abs(truth.bank)
    thirds = np.linspace(flown.start, flown.end, 9)
    corner = [bank[truth.during(a, b)].max() for a, b in zip(thirds[::2], thirds[2::2], strict=False)]
    assert corner[0] == max(corner)
    assert min(corner) in (corner[1], corner[2])
    assert np.degrees(corner[0]) == pytest.approx(35.0, abs=2.0)


def test_the_entry_is_at_45_degrees_from_outside() -> None:
    """FAA-S-ACS-6, PA.V.B.S3a: entry at 45° to the downwind leg."""
    truth = course(wind_from=radians(240), direction="left")
    assert np.degrees(truth.maneuver.entry_track) == pytest.approx(60.0 - 45.0, abs=1.0)
    assert truth.maneuver.entry_distance == pytest.approx(truth.maneuver.radius, abs=60.0)


def test_circuits_close_on_each_other() -> None:
    truth = course(laps=3)
    bounds = truth.maneuver.boundaries
    assert len(bounds) == 4
    places = [(np.interp(b, truth.time, truth.east), np.interp(b, truth.time, truth.north)) for b in bounds]
    for one in places[2:]:
        assert np.hypot(one[0] - places[1][0], one[1] - places[1][1]) < 10.0


def test_uneven_distance_is_as_large_as_asked_for() -> None:
    even, uneven = course(), course(faults={"leg-distance-uneven": 500.0})
    corners = np.array(even.maneuver.places)
    across = (corners[0] - corners[3]) / np.hypot(*(corners[0] - corners[3]))
    reach = [
        float((t.east[m] * across[0] + t.north[m] * across[1]).max())
        for t in (even, uneven)
        for m in [t.during(t.maneuver.start, t.maneuver.end)]
    ]
    assert (reach[1] - reach[0]) / foot == pytest.approx(500.0, abs=15.0)


def test_wrong_crab_turns_the_track_toward_where_the_wind_blows() -> None:
    truth = course(faults={"wrong-crab": 8.0}, wind_speed=12 * knot, wind_from=radians(240))
    flown = truth.maneuver
    inside = truth.during(flown.start, flown.end)
    track = np.degrees(np.arctan2(truth.velocity_east[inside], truth.velocity_north[inside])) % 360.0
    level = np.abs(truth.bank[inside]) < radians(2)
    base = level & (np.abs(track - 330.0) < 20.0)  # left turns: the base leg runs to 330°
    assert np.median(track[base]) == pytest.approx(330.0 + 8.0, abs=1.5)  # the wind blows to 060°


def test_weaving_swings_the_track_by_the_size_asked_for() -> None:
    truth = course(faults={"straight-legs-not-straight": 12.0}, wind_speed=0.0, wind_from=radians(240))
    flown = truth.maneuver
    inside = truth.during(flown.start, flown.end)
    track = np.degrees(np.arctan2(truth.velocity_east[inside], truth.velocity_north[inside])) % 360.0
    upwind = np.abs(track - 240.0) < 25.0
    assert np.std(track[upwind]) * np.sqrt(2.0) == pytest.approx(12.0, abs=3.0)


@pytest.mark.parametrize("fault", sorted(FAULTS_THAT_APPLY))
def test_every_fault_that_applies_can_be_flown(fault: str) -> None:
    truth = course(faults={fault: None}, laps=1)
    assert fault in truth.maneuver.faults
    assert len(truth.maneuver.boundaries) == 2


def test_a_fault_of_a_circle_is_refused() -> None:
    with pytest.raises(UsageError, match="radius-changed"):
        course(faults={"radius-changed": None})


def test_a_field_too_small_for_the_airspeed_is_refused_with_a_size() -> None:
    with pytest.raises(NoSolutionError, match=r"choose [\d,]+ ft \([\d,]+ m\) or more"):
        course(true_airspeed=140 * knot, wind_speed=30 * knot, radius=1000 * foot)


def test_an_entry_from_inside_is_refused() -> None:
    with pytest.raises(NoSolutionError, match="inside"):
        course(faults={"entry-not-downwind": 90.0}, direction="left")
