"""Pictures of a plan: what is drawn stands where the plan has it."""

from __future__ import annotations

import re
from math import cos, radians, sin
from xml.etree import ElementTree

import numpy as np
import pytest

import groundref
from groundref.assessment.findings import APPLIES
from groundref.planning import Blowing, Plan, Wanted
from groundref.planning.around import Around
from groundref.reports import svg
from groundref.reports.figures import planned, planned_bank, planned_marks, planned_sight, planned_stop
from groundref.units import degree, foot, knot, nautical_mile

KINDS = tuple(APPLIES)
SVG = "{http://www.w3.org/2000/svg}"
ABOUT = {"turns-around-a-point", "eights-around-pylons"}


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    wind = Blowing(speed=14 * knot, direction_from=radians(240))
    return {kind: groundref.plan(kind, wind=wind) for kind in KINDS}


def drawn(picture: object) -> ElementTree.Element:
    return ElementTree.fromstring(str(picture))


def words(root: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in root.iter(f"{SVG}text")]


def numbers(root: ElementTree.Element) -> list[int]:
    rings = [e.text or "" for e in root.iter(f"{SVG}text") if e.get("class") == "badge-number"]
    return sorted(int(n) for ring in rings for n in ring.split("·"))


@pytest.mark.parametrize("kind", KINDS)
def test_every_marked_position_has_its_number(plans: dict[str, Plan], kind: str) -> None:
    root = drawn(planned.draw(plans[kind]))
    assert numbers(root) == list(range(1, int(plans[kind].schedule.marked.sum()) + 1))


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_drawn_off_the_paper(plans: dict[str, Plan], kind: str) -> None:
    root = drawn(planned.draw(plans[kind]))
    _, _, wide, tall = (float(n) for n in root.get("viewBox", "").split())
    for ring in root.iter(f"{SVG}rect"):
        left, top = float(ring.get("x", "nan")), float(ring.get("y", "nan"))
        assert 0 <= left <= wide - float(ring.get("width", "nan"))
        assert 0 <= top <= tall - float(ring.get("height", "nan"))
    for path in root.iter(f"{SVG}path"):
        if path.get("class") == "asked":
            points = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d", "")), dtype=float)
            assert points.min() >= 0
            assert (points <= (wide, tall)).all()


@pytest.mark.parametrize("kind", KINDS)
def test_airplanes_point_along_their_headings(plans: dict[str, Plan], kind: str) -> None:
    """Each rotation is one of the marked headings, clockwise from north up."""
    plan = plans[kind]
    headings = plan.schedule.heading[plan.schedule.marked] / degree
    root = drawn(planned.draw(plan))
    drawn_ones = [e.get("transform", "") for e in root.iter(f"{SVG}path") if e.get("class") == "airplane"]
    turned = [float(angle) for each in drawn_ones for angle in re.findall(r"rotate\((-?[\d.]+)\)", each)]
    assert len(turned) >= 4
    for angle in turned:
        assert np.abs((headings - angle + 180) % 360 - 180).min() < 0.1


def test_the_crab_is_seen(plans: dict[str, Plan]) -> None:
    """Its track runs ahead of the airplane at the second quarter, off its nose by the crab."""
    plan = plans["turns-around-a-point"]
    row = planned_marks.marked(plan)[1]
    root = drawn(planned.draw(plan))
    tracks = [e for e in root.iter(f"{SVG}line") if e.get("class") == "track"]
    line = tracks[1]
    x1, y1, x2, y2 = (float(line.get(name, "nan")) for name in ("x1", "y1", "x2", "y2"))
    along = np.array([x2 - x1, y1 - y2]) / np.hypot(x2 - x1, y1 - y2)
    track = float(plan.schedule.track[row])
    assert along == pytest.approx([sin(track), cos(track)], abs=1e-3)
    # 14 kt straight across 91 kt true: sin crab = 14/91.
    crab = abs(float(plan.schedule.crab[row]))
    assert sin(crab) == pytest.approx(14 * knot / plan.inputs.true_airspeed, rel=1e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_the_bank_picture_holds_every_position(plans: dict[str, Plan], kind: str) -> None:
    plan = plans[kind]
    root = drawn(planned_bank.draw(plan))
    dots = [e for e in root.iter(f"{SVG}circle") if e.get("class") == "dot"]
    assert len(dots) == int(plan.schedule.marked.sum())
    heights = np.array([float(e.get("cy", "nan")) for e in dots])
    banks = np.abs(plan.schedule.bank[plan.schedule.marked])
    assert (np.diff(heights[np.argsort(banks, kind="stable")]) <= 0.02).all()


@pytest.mark.parametrize("letter", [planned_bank.LETTER, 19.0, 24.0])
@pytest.mark.parametrize("kind", KINDS)
def test_numbers_of_the_bank_picture_hide_neither_each_other_nor_a_step(
    plans: dict[str, Plan], kind: str, letter: float
) -> None:
    """All of them are there, as wide as drawn apart, and none lies on a vertical edge of the curve."""
    plan = plans[kind]
    root = drawn(planned_bank.draw(plan, letter=letter, tall=round(12 * letter)))
    found = [e for e in root.iter(f"{SVG}text") if e.get("class") == "strong"]
    assert [int(e.text or "0") for e in found] == list(range(1, int(plan.schedule.marked.sum()) + 1))
    places = [(float(e.get("x", "nan")), float(e.get("y", "nan")), len(e.text or "")) for e in found]
    for n, (x, y, long) in enumerate(places):
        for x2, y2, long2 in places[:n]:
            apart = abs(x - x2) > 0.24 * letter * (long + long2) or abs(y - y2) > 0.7 * letter
            assert apart, (n + 1, x, y)
    (curve,) = [e for e in root.iter(f"{SVG}path") if e.get("class") == "asked"]
    points = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", curve.get("d", "")), dtype=float)
    steps = np.flatnonzero((np.abs(np.diff(points[:, 0])) < 0.5) & (np.abs(np.diff(points[:, 1])) > letter))
    for at in steps:
        high, low = sorted(points[at : at + 2, 1])
        for x, y, long in places:
            off = abs(x - points[at, 0]) > 0.2 * letter * long
            assert off or y < high or y - 0.65 * letter > low


def test_a_plan_that_is_stopped_says_so_across_its_picture(plans: dict[str, Plan]) -> None:
    wanted = Wanted(radius=1000 * foot, bank_limit=30 * degree)
    wind = Blowing(speed=22 * knot, direction_from=radians(240))
    stopped = groundref.plan("turns-around-a-point", wind=wind, wanted=wanted)
    assert planned_stop.WORDS in words(drawn(planned.draw(stopped)))
    assert planned.describe(stopped).startswith("Not to be flown so.")
    assert planned_stop.WORDS not in words(drawn(planned.draw(plans["turns-around-a-point"])))


@pytest.mark.parametrize("kind", KINDS)
def test_the_sight_picture_is_of_what_is_flown_about(plans: dict[str, Plan], kind: str) -> None:
    """At the pivotal height the pylon stays on the wing, which needs no picture."""
    picture = planned_sight.draw(plans[kind])
    assert (picture is not None) == (kind in ABOUT)
    if picture is not None:
        seen = [n for n, _ in planned_sight.seen(plans[kind])]
        assert numbers(drawn(picture)) == seen


def test_above_the_wing_is_drawn_above(plans: dict[str, Plan]) -> None:
    plan = plans["turns-around-a-point"]
    root = drawn(planned_sight.draw(plan))
    rings = {
        e.text: float(e.get("y", "nan")) for e in root.iter(f"{SVG}text") if e.get("class") == "badge-number"
    }
    across = {
        e.text: float(e.get("x", "nan")) for e in root.iter(f"{SVG}text") if e.get("class") == "badge-number"
    }
    assert plan.schedule.above_wing[planned_marks.marked(plan)[0]] > 0
    assert rings["1"] < planned_sight.TALL / 2 < rings["3"]
    # On a left turn ahead is to the right.
    assert plan.schedule.ahead_of_wing[planned_marks.marked(plan)[1]] > 0
    assert across["2"] > svg.WIDTH / 2 > across["4"]


def test_a_calm_day_has_no_arrow() -> None:
    calm = groundref.plan("turns-around-a-point", wind=Blowing(speed=0.0, direction_from=0.0))
    root = drawn(planned.draw(calm))
    assert "calm" in words(root)
    assert not [e for e in root.iter(f"{SVG}path") if e.get("class") == "wind"]


def test_the_wind_arrow_flies_with_the_wind(plans: dict[str, Plan]) -> None:
    root = drawn(planned.draw(plans["s-turns"]))
    (arrow,) = [e for e in root.iter(f"{SVG}path") if e.get("class") == "wind"]
    assert "rotate(420.0)" in arrow.get("transform", "") or "rotate(60.0)" in arrow.get("transform", "")


def test_the_gliding_reach_is_drawn_where_the_plan_has_it() -> None:
    """The landing place lies inside the outline just when it is reached from everywhere."""
    wind = Blowing(speed=14 * knot, direction_from=radians(240))
    for miles, reached in ((0.15, True), (0.75, False)):
        around = Around(landing_from_origin=(radians(120), miles * nautical_mile))
        plan = groundref.plan("eights-across-a-road", wind=wind, around=around)
        landing = plan.safety.engine_out.landing
        assert landing is not None
        assert (landing.least >= 0) == reached
        root = drawn(planned.draw(plan))
        (line,) = [e for e in root.iter(f"{SVG}path") if e.get("class") == "reach"]
        outline = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", line.get("d", "")), dtype=float)
        squares = [e for e in root.iter(f"{SVG}rect") if e.get("class") == "landing"]
        for square in squares:
            left, top, wide, tall = (float(square.get(a, "nan")) for a in ("x", "y", "width", "height"))
            middle = [left + wide / 2, top + tall / 2]
            assert inside(outline, middle) == reached
        assert squares or not reached


def inside(outline: np.ndarray, place: list[float]) -> bool:
    """Count the sides of a polygon that a ray to the right crosses."""
    (x0, y0), (x1, y1) = outline[:-1].T, outline[1:].T
    spans = (y0 > place[1]) != (y1 > place[1])
    at = x0[spans] + (place[1] - y0[spans]) / (y1 - y0)[spans] * (x1 - x0)[spans]
    return bool((at > place[0]).sum() % 2)
