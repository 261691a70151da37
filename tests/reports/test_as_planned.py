"""The plan in a debrief's pictures: drawn, in the key, said in words, and absent where there is no plan."""

from __future__ import annotations

import re
from math import radians

import lxml.html
import numpy as np
import pytest

from groundref.comparison.compare import compare, with_plan
from groundref.planning import Blowing, Day, Plan, Wanted, plan
from groundref.planning.kinds import LAYOUTS
from groundref.reports.figures import bank
from groundref.reports.figures.plan import plan_of
from groundref.reports.html import page
from groundref.units import degree, foot, knot
from tests.comparison.test_plan_and_flight import GROUND, SPEED, flown


def planned(kind: str, wind_kt: float = 14.0, radius: float | None = None) -> Plan:
    return plan(
        kind,
        wind=Blowing(wind_kt * knot, radians(240)),
        wanted=Wanted(true_airspeed=SPEED, radius=radius),
        day=Day(elevation=GROUND),
    )


def shown(kind: str, made: Plan) -> lxml.html.HtmlElement:
    result = flown(kind, radius_ft=None)
    comparison = compare(result, made)
    return lxml.html.fromstring(page(with_plan(result, comparison), comparison))


@pytest.mark.parametrize("kind", LAYOUTS)
def test_every_picture_with_a_planned_line_has_it_in_its_key(kind: str) -> None:
    found = shown(kind, planned(kind))
    for figure in found.xpath("//figure"):
        in_picture = figure.xpath(".//*[local-name()='svg'][contains(@class, 'figure')]//*[@class='planned']")
        in_key = [item.text_content() for item in figure.xpath(".//li[.//*[@class='planned']]")]
        assert bool(in_picture) == bool(in_key)
        assert all("as planned" in words for words in in_key)
    from_above = found.xpath("//*[@id='m1-circle' or @id='m1-above']//*[@class='planned']")
    assert len(from_above) == (0 if kind == "steep-turns" else 1)


def test_without_a_plan_nothing_is_drawn_of_one() -> None:
    text = page(flown())
    assert 'class="planned"' not in text
    assert "as planned" not in text


def test_the_planned_bank_stands_at_its_places_on_the_paper() -> None:
    """Planned is steepest downwind and shallowest upwind, at the heights that the scale has for it."""
    kind = "turns-around-a-point"
    result = flown(kind, radius_ft=None)
    made = planned(kind, radius=1000 * foot)
    beside = with_plan(result, compare(result, made))
    x, y = bank.scales(beside, beside.maneuvers[0])
    assert y.low <= made.extremes.bank_min / degree
    assert made.extremes.bank_max / degree <= y.high
    drawing = lxml.html.fragment_fromstring(str(bank.draw(beside, beside.maneuvers[0], "b")))
    data = drawing.xpath(".//*[@class='planned']")[0].get("d")
    at = np.array([[float(v) for v in pair] for pair in re.findall(r"[ML]([\d.-]+) ([\d.-]+)", data)])
    steepest, shallowest = at[at[:, 1].argmin()], at[at[:, 1].argmax()]
    assert steepest[1] == pytest.approx(y.at(made.extremes.bank_max / degree), abs=1.0)
    assert shallowest[1] == pytest.approx(y.at(made.extremes.bank_min / degree), abs=1.0)
    wind = result.maneuvers[0].maneuver.wind
    assert wind is not None
    apart = (np.degrees(wind.direction_from) - 240.0 + 180.0) % 360.0 - 180.0
    assert abs(steepest[0] - x.at(0.0)) <= abs(x.at(abs(apart) + 4.0) - x.at(0.0))


def test_the_map_makes_room_for_a_wider_plan_and_not_for_any() -> None:
    kind = "turns-around-a-point"
    result = flown(kind, radius_ft=None)
    own = plan_of(result.states, result.maneuvers[0])
    for radius_ft, grows in ((1500.0, True), (4000.0, False)):
        made = planned(kind, radius=radius_ft * foot)
        beside = with_plan(result, compare(result, made)).maneuvers[0]
        assert (plan_of(result.states, beside).scale < 0.99 * own.scale) == grows


def test_pictures_say_the_plan_to_those_who_do_not_see_them() -> None:
    found = shown("turns-around-a-point", planned("turns-around-a-point"))
    above = found.xpath("string(//*[@id='m1-circle-desc'])")
    banks = found.xpath("string(//*[@id='m1-bank-desc'])")
    assert "The planned path is drawn laid on what was flown about." in above
    assert re.search(r"Planned \d\d° to \d\d°\.", banks)


def test_the_direction_of_the_wind_has_its_deviation() -> None:
    found = shown("turns-around-a-point", planned("turns-around-a-point"))
    row = found.xpath("//tr[th[normalize-space()='wind from']]")[0]
    assert row.xpath("normalize-space(td[1])") == "240°"
    assert re.fullmatch(r"\d{3}° ±\d+°", row.xpath("normalize-space(td[2])"))
