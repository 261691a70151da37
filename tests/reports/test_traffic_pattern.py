"""Circuits of a runway that was given have a section of their own on the page and on the terminal."""

from __future__ import annotations

import re
from dataclasses import replace
from io import StringIO
from math import radians

import html5lib
import numpy as np
import pytest
from lxml import etree, html
from rich.console import Console

from groundref.debriefing import debrief
from groundref.reports import notices
from groundref.reports.figures import pattern
from groundref.reports.html import page
from groundref.reports.sections import traffic_pattern
from groundref.reports.terminal import summary
from groundref.simulation import compose
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.wind_field import Weather
from groundref.units import foot, knot
from tests.reports import invented


@pytest.fixture(scope="module")
def circuits():
    weather = Weather.blowing(10 * knot, radians(240), height=300.0)
    runway = Runway(0.0, 0.0, radians(220))
    flown = Circuits(runway, weather, 85 * knot, times=2)
    recording, truth = compose(flown.legs(), runway.lined_up(), weather=weather, seed=3, recorder="avionics")
    ends = tuple(tuple(float(v) for v in truth.frame.to_geographic(*end)) for end in runway.ends)
    return debrief(recording, runway=ends, ground=truth.ground_elevation)


def printed(one, width):
    console = Console(width=width, file=StringIO())
    console.print(summary(one, console_width=width))
    return console.file.getvalue()


def test_the_page_has_a_section_with_a_picture_and_three_tables(circuits):
    text = page(circuits)
    html5lib.HTMLParser(strict=True).parse(text)
    (section,) = html.fromstring(text).xpath("//section[@id='pattern']")
    assert section.xpath("string(./h2)") == "Traffic pattern, left, 2 circuits"
    assert [t.xpath("string(./h3)") for t in section.xpath(".//section[.//table]")] == [
        "Circuit by circuit", "Leg by leg", "Corner by corner",
    ]  # fmt: skip
    rows = section.xpath(".//section[@class='circuits']//tbody/tr")
    for row, flown in zip(rows, circuits.traffic_patterns, strict=True):
        said = [" ".join(cell.text_content().split()) for cell in row]
        assert said[3] == "220°"
        assert said[6].startswith(f"{flown.width / foot:,.0f} ±")
    assert not re.search(r"\bnan\b", section.text_content(), re.I)


def test_the_picture_names_the_legs_and_runs_the_centerline_along_the_runway(circuits):
    tree = etree.fromstring(str(pattern.draw(circuits, circuits.traffic_patterns, "p")))
    names = {e.text for e in tree.iter() if e.get("class") == "place"}
    assert names == {leg.name for leg in circuits.traffic_patterns[0].legs}
    (line,) = [e for e in tree.iter() if e.get("class") == "centerline"]
    x1, y1, x2, y2 = (float(line.get(key)) for key in ("x1", "y1", "x2", "y2"))
    assert np.degrees(np.arctan2(x2 - x1, y1 - y2)) % 360 == pytest.approx(220.0, abs=0.1)
    assert len([e for e in tree.iter() if e.get("class") == "badge"]) == 2
    # It goes on a little beyond what was flown, and no farther: not through north or the wind.
    flown = [e.get("d") for e in tree.iter() if e.get("class") == "flown"]
    at = np.array([[float(v) for v in re.findall(r"[\d.]+", d)] for d in flown[:1]]).reshape(-1, 2)
    along = np.array([x2 - x1, y2 - y1])
    beside = (at - [x1, y1]) @ along / (along @ along)
    assert beside.min() > 0.0
    assert beside.max() < 1.0
    assert beside.max() - beside.min() > 0.8


def test_an_airplane_that_landed_has_no_least_height(circuits):
    (table, *_) = traffic_pattern.tables(circuits, circuits.traffic_patterns)
    lowest = {
        each.ending: cells[4].main
        for each, (_, cells) in zip(circuits.traffic_patterns, table.rows, strict=True)
    }
    assert lowest == {"touch-and-go": "on it", "full-stop": "on it"}
    low = [replace(each, ending="low-approach", lowest=61.0) for each in circuits.traffic_patterns]
    (table, *_) = traffic_pattern.tables(circuits, low)
    assert {cells[4].main for _, cells in table.rows} == {"200 ft"}


@pytest.mark.parametrize("width", [60, 80, 100])
def test_the_terminal_says_the_same(circuits, width):
    text = printed(circuits, width)
    assert "Traffic pattern, left, 2 circuits" in text
    assert "touch-and-go" in text
    assert "full stop" in text
    assert max(map(len, text.splitlines())) <= width


def test_without_a_runway_there_is_no_such_section():
    assert "Traffic pattern" not in page(invented.debrief())


def test_a_runway_without_circuits_is_said_to_have_none():
    one = replace(invented.debrief(), traffic_patterns=())
    assert notices.NONE_PATTERN in page(one)
    assert notices.NONE_PATTERN.split(":")[0] in " ".join(printed(one, 100).split())
