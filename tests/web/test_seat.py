"""Where what is flown about stands from the seat: against plans, against rotations of a general library."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

import groundref
from groundref.aircraft.loading import load_aircraft
from groundref.planning import Blowing
from groundref.units import degree, knot
from groundref.web import seat_side
from groundref.web.replay import replay
from groundref.web.seat_plan import planned_seat
from groundref.web.sight import Moments, Spot, sights

WIND = Blowing(speed=15 * knot, direction_from=240 * degree)


@pytest.fixture(scope="module")
def flown():
    recording, truth = groundref.simulate("turns-around-a-point", wind_speed=15 * knot, recorder="avionics")
    debrief = groundref.debrief(recording, ground=truth.ground_elevation, aircraft=load_aircraft())
    return json.loads(replay(debrief)), truth, debrief


def numbers(document, name):
    return np.array([np.nan if one is None else one for one in document["seat"]["columns"][name]])


@pytest.mark.parametrize(
    "kind", ["turns-around-a-point", "s-turns", "eights-on-pylons", "rectangular-course"]
)
def test_a_plan_is_seen_as_it_is_planned(kind):
    plan = groundref.plan(kind, wind=WIND)
    document = planned_seat(plan)
    schedule = plan.schedule
    for name, values in (
        ("depression_deg", schedule.depression),
        ("above_wing_deg", schedule.above_wing),
        ("ahead_of_wing_deg", schedule.ahead_of_wing),
    ):
        np.testing.assert_allclose(numbers(document, name), values / degree, atol=0.051)
    assert document["seat"]["columns"]["hidden"] == plan.hidden.tolist()
    json.dumps(document, allow_nan=False)


def test_angles_are_those_of_rotated_vectors():
    """Yaw, then bank, of the line of sight into the airplane's axes (ISO 1151), by SciPy's rotations."""
    generator = np.random.default_rng(3)
    n = 200
    now = Moments(
        east=generator.uniform(-600, 600, n),
        north=generator.uniform(-600, 600, n),
        up=generator.uniform(150, 400, n),
        heading=generator.uniform(0, 2 * np.pi, n),
        bank=generator.uniform(-1, 1, n),
        about=np.zeros(n, dtype=np.int64),
        side=np.where(generator.random(n) < 0.5, -1.0, 1.0),
    )
    seen = sights(now, (Spot("the point", 20.0, -30.0),), load_aircraft())
    north_east_down = np.stack([-30.0 - now.north, 20.0 - now.east, now.up], axis=-1)
    attitude = Rotation.from_euler("ZX", np.stack([now.heading, now.bank], axis=-1))
    ahead, right, down = attitude.inv().apply(north_east_down).T
    length = np.linalg.norm(north_east_down, axis=-1)
    np.testing.assert_allclose(seen.depression, np.arcsin(now.up / length), atol=1e-12)
    np.testing.assert_allclose(seen.above, np.arcsin(-down / length), atol=1e-9)
    np.testing.assert_allclose(seen.ahead, np.arctan2(ahead, now.side * right), atol=1e-9)


def test_a_flight_is_seen_as_it_really_was(flown):
    document, truth, _ = flown
    seconds = np.array(document["seconds"])
    maneuver = truth.maneuver
    inside = (seconds > maneuver.start + 5) & (seconds < maneuver.end - 5)
    time = seconds[inside]
    east, north, height = (truth.at(name, time) for name in ("east", "north", "height"))
    distance = np.hypot(east - maneuver.east, north - maneuver.north)
    really = np.degrees(np.arctan2(height, distance))
    assert np.abs(numbers(document, "depression_deg")[inside] - really).max() < 2.0
    assert set(np.array(document["seat"]["columns"]["side"])[inside]) == {-1}
    # On the circle the point leaves the wing line by the crab alone, to within what the bank tilts it.
    crab = truth.at("crab", time) / degree
    ahead = numbers(document, "ahead_of_wing_deg")[inside]
    assert np.corrcoef(-crab, ahead)[0, 1] > 0.85


def test_the_wing_is_that_of_the_airplane(flown):
    document, _, _ = flown
    wing = document["seat"]["airplane"]
    assert wing["named"] is True
    tip = wing["wing_m"]["left"][3]
    assert tip[1] == pytest.approx(11.0 / 2 - 0.28)  # half of the span from the centerline, less the seat
    assert all(corner[2] < 0 for corner in wing["wing_m"]["left"])  # above the eye


def test_without_a_height_it_says_so(flown):
    _, _, debrief = flown
    blind = replace(debrief, states=replace(debrief.states, height=None, height_sd=None))
    document = json.loads(replay(blind))
    assert "elevation of the ground" in document["seat"]["why"]
    assert document["seat"]["columns"] is None
    assert seat_side.says(document, 0) == document["seat"]["why"]


def test_the_sentence_and_the_drawing_say_the_figures(flown):
    document, truth, _ = flown
    row = seat_side.row_at(document, truth.maneuver.start + 30.0)
    columns = document["seat"]["columns"]
    said = seat_side.says(document, row)
    assert said.startswith(f"The point stands {columns['depression_deg'][row]:.0f}° below the horizon, ")
    assert f"{abs(columns['ahead_of_wing_deg'][row]):.0f}° " in said
    assert " of bank left" in said
    drawn = seat_side.draw(document, row)
    assert said in drawn
    assert "style" not in drawn
    assert seat_side.says(document, 0) == "Nothing is flown about here."
    assert "<svg" in seat_side.draw(document, 0)
