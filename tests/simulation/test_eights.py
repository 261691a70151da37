"""Elementary eights are flown as their geometry says, and their errors are really made."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.errors import NoSolutionError, UsageError
from groundref.mechanics import eights as geometry
from groundref.simulation import Truth
from groundref.units import degree, foot, knot

STEADY = {"unsteadiness": 0.0, "laps": 2}
KINDS = ("eights-along-a-road", "eights-across-a-road", "eights-around-pylons")


def loops(truth: Truth) -> list[dict[str, np.ndarray]]:
    """Return the settled part of each loop, its center found apart from what the pilot was told."""
    found = []
    flown = truth.maneuver
    for start, end in zip(flown.boundaries, flown.boundaries[1:], strict=False):
        inside = truth.during(start, end)
        bank = truth.bank[inside]
        side = np.sign(np.median(bank))
        turning = np.flatnonzero(side * bank > 6 * degree)
        index = np.flatnonzero(inside)[turning[0] : turning[-1] + 1]
        east, north = truth.east[index], truth.north[index]
        design = np.column_stack([east, north, np.ones_like(east)])
        a, b, c = np.linalg.lstsq(design, east**2 + north**2, rcond=None)[0]
        found.append(
            {
                "side": side,
                "east": 0.5 * a,
                "north": 0.5 * b,
                "radius": np.sqrt(c + 0.25 * (a**2 + b**2)),
                "turn": np.ptp(np.unwrap(truth.track[index])),
                "bank": side * truth.bank[index],
            }
        )
    return found


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("wind", [0.0, 15.0, 25.0])
def test_loops_of_one_radius_one_way_and_the_other(flown, kind: str, direction: str, wind: float) -> None:
    _, truth = flown(maneuver=kind, direction=direction, wind_speed=wind * knot, **STEADY)
    measured = loops(truth)
    sides = [one["side"] for one in measured]
    first = 1.0 if direction == "right" else -1.0
    assert sides == [first, -first, first, -first]
    radii = np.array([one["radius"] for one in measured]) / foot
    np.testing.assert_allclose(radii, 1200.0, atol=25.0)
    apart = np.hypot(measured[1]["east"] - measured[0]["east"], measured[1]["north"] - measured[0]["north"])
    expected = {KINDS[0]: 2.0, KINDS[1]: 2.0 / np.cos(45 * degree), KINDS[2]: 3.0}[kind]
    assert apart / (1200 * foot) == pytest.approx(expected, rel=0.03)
    # Each loop turns by π + 2 asin(R/c); what the rolls take off is less than 30°.
    turn = float(geometry.loop_turn(1.0, 0.5 * expected))
    assert all(turn - 30 * degree < one["turn"] < turn + 5 * degree for one in measured)


@pytest.mark.parametrize("direction", ["left", "right"])
def test_around_pylons_the_middle_is_flown_with_the_wind(flown, direction: str) -> None:
    _, truth = flown(maneuver=KINDS[2], direction=direction, wind_speed=15 * knot, **STEADY)
    (e1, n1), (e2, n2) = truth.maneuver.places
    middle = np.array([0.5 * (e1 + e2), 0.5 * (n1 + n2)])
    near = np.hypot(truth.east - middle[0], truth.north - middle[1]) < 100.0
    with_wind = truth.velocity_east * truth.wind_east + truth.velocity_north * truth.wind_north
    assert np.all(with_wind[near] > 0.0)
    along = (e2 - e1) * np.mean(truth.wind_east) + (n2 - n1) * np.mean(truth.wind_north)
    assert abs(along) < 1e-3 * np.hypot(e2 - e1, n2 - n1) * 15 * knot


def test_along_a_road_every_loop_ends_over_the_same_place_on_the_road(flown) -> None:
    _, truth = flown(maneuver=KINDS[0], wind_speed=15 * knot, **STEADY)
    bounds = truth.maneuver.boundaries[1:-1]
    places = np.column_stack([truth.at("east", np.array(bounds)), truth.at("north", np.array(bounds))])
    assert np.ptp(places, axis=0).max() < 250 * foot
    (e1, n1), (e2, n2) = truth.maneuver.places
    tracks = truth.at("track", np.array(bounds))
    assert np.abs(np.sin(tracks - np.arctan2(e2 - e1, n2 - n1))).max() < np.sin(20 * degree)


def test_pylons_too_close_together_are_refused(flown) -> None:
    with pytest.raises(
        NoSolutionError, match="pylons 33 ft apart are nearer to each other than twice the radius"
    ):
        flown(maneuver=KINDS[2], spacing=10.0)


def test_a_loop_too_tight_for_the_wind_is_refused(flown) -> None:
    with pytest.raises(NoSolutionError, match="of bank downwind"):
        flown(maneuver=KINDS[2], radius=400 * foot, wind_speed=25 * knot)


def test_straight_legs_are_no_part_of_an_eight_along_a_road(flown) -> None:
    with pytest.raises(UsageError, match="cannot be committed"):
        flown({"straight-legs-not-straight": None}, maneuver=KINDS[0])


@pytest.mark.parametrize("kind", KINDS)
def test_unequal_loops(flown, kind: str) -> None:
    _, truth = flown({"radius-changed": 300.0}, maneuver=kind, **STEADY)
    radii = [one["radius"] / foot for one in loops(truth)]
    assert radii[0] - radii[1] == pytest.approx(300.0, abs=30.0)
    assert radii[2] - radii[3] == pytest.approx(300.0, abs=30.0)


@pytest.mark.parametrize("kind", KINDS[1:])
def test_straight_legs_not_straight(flown, kind: str) -> None:
    def off(truth: Truth) -> float:
        flown_eight, worst = truth.maneuver, 0.0
        for start in flown_eight.boundaries[1:-1]:
            k = truth.during(start - 8.0, start - 1.0)
            east, north = truth.east[k], truth.north[k]
            chord = np.array([east[-1] - east[0], north[-1] - north[0]])
            aside = ((east - east[0]) * chord[1] - (north - north[0]) * chord[0]) / np.hypot(*chord)
            worst = max(worst, float(np.ptp(aside)))
        return worst

    options = {"maneuver": kind, "radius": 1500 * foot, **STEADY}
    _, good = flown(**options)
    _, wrong = flown({"straight-legs-not-straight": 15.0}, **options)
    assert off(wrong) > off(good) + 25 * foot


@pytest.mark.parametrize("kind", KINDS)
def test_the_bank_falls_short_where_most_is_needed(flown, kind: str) -> None:
    def short(truth: Truth) -> float:
        """Return the least of needed bank less bank over the fastest fifth of the flying in the loops."""
        inside = truth.during(truth.maneuver.start + 4.0, truth.maneuver.end - 4.0)
        inside &= np.abs(truth.bank) > 10 * degree
        speed = truth.ground_speed[inside]
        needed = np.arctan(speed**2 / (9.80665 * truth.maneuver.radius * np.cos(truth.crab[inside])))
        fast = speed > np.quantile(speed, 0.8)
        return float(np.median((needed - np.abs(truth.bank[inside]))[fast])) / degree

    _, good = flown(maneuver=kind, wind_speed=15 * knot, **STEADY)
    _, wrong = flown({"underbanked-downwind": 8.0}, maneuver=kind, wind_speed=15 * knot, **STEADY)
    assert abs(short(good)) < 1.5
    assert 4.0 < short(wrong) < 9.0
