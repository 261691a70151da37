"""Two maneuvers on like paper: what one reads off one picture may be held against the other."""

from __future__ import annotations

import re

import numpy as np
import pytest
from lxml import etree

from groundref.reports import alike, like_paper, places
from groundref.reports.figures import bank, plan, strips
from groundref.reports.html import pictures_alike
from tests.reports import invented, invented_kinds

PAIRS = {
    "another wind and radius": (invented.debrief(), invented.debrief(wind_from=20, wind_kt=6, radius_ft=900)),
    "the other way round": (invented.debrief(), invented.debrief(direction="right", laps=4, tas_kt=110)),
    "one without a wind": (invented.debrief(), invented.debrief(wind_known=False)),
    "the other way and without a wind": (
        invented.debrief(),
        invented.debrief(direction="right", wind_known=False),
    ),
    "S-turns": (invented_kinds.s_turns(), invented_kinds.s_turns(half_circles=4, bearing=20.0)),
    "steep turns": (invented_kinds.steep_turns(), invented_kinds.steep_turns(signs=(1.0,))),
    "eights on pylons": (invented_kinds.eights_on_pylons(), invented_kinds.eights_on_pylons(eights=1)),
    "rectangular course": (
        invented_kinds.rectangular_course(),
        invented_kinds.rectangular_course(circuits=1, bearing=20),
    ),
}


def texts(drawing: etree._Element, look: str) -> list[str]:
    return [
        "".join(each.itertext()) for each in drawing.iterfind(".//{*}text") if look in each.get("class", "")
    ]


def drawings(page: str) -> dict[str, etree._Element]:
    found = re.findall(r"<svg[^>]*class=\"figure.*?</svg>", page, re.S)
    parsed = [etree.fromstring(each) for each in found]
    return {each.get("id").split("-", 1)[1]: each for each in parsed}


def on_paper(first, second):
    """Each of the two with the paper that it is drawn on."""
    return tuple(zip((first, second), alike.alike((first, 1), (second, 1)), strict=True))


@pytest.fixture(scope="module", params=PAIRS)
def both(request):
    first, second = PAIRS[request.param]
    return on_paper(first, second), pictures_alike((first, 1), (second, 1))


def test_bank_by_place_has_one_range_and_the_same_places(both):
    first, second = (drawings(each).get("bank") for each in both[1])
    if first is None or second is None:
        assert first is second  # a kind without this picture
        return
    assert texts(first, "place") == texts(second, "place")
    ticks = [[t for t in texts(each, "quiet") if re.fullmatch(r"−?\d+°", t)] for each in (first, second)]
    assert ticks[0] == ticks[1] != []
    scales = []
    for debrief, paper in both[0]:
        with like_paper.drawn_on(paper):
            scales.append(bank.scales(debrief, debrief.maneuvers[0]))
    assert scales[0] == scales[1]


def test_the_pictures_from_above_have_one_scale_and_size(both):
    maps = []
    for debrief, sheet in both[0]:
        with like_paper.drawn_on(sheet):
            maps.append(plan.plan_of(debrief.states, debrief.maneuvers[0]))
    one, other = maps
    assert (one.scale, one.top, one.bottom, one.height) == (
        other.scale,
        other.top,
        other.bottom,
        other.height,
    )
    for (debrief, _), paper in zip(both[0], maps, strict=True):
        east, north = plan.extent(debrief.states, debrief.maneuvers[0])
        for value, low, high in ((paper.x(east), 0, 640), (paper.y(north), paper.top, paper.bottom)):
            assert low <= value.min()
            assert value.max() <= high


def test_what_is_drawn_along_time_has_one_scale(both):
    shown, times = [], []
    for debrief, paper in both[0]:
        one = debrief.maneuvers[0]
        with like_paper.drawn_on(paper):
            shown.append({strip.key: strip for strip in strips.drawable(debrief, one, alike.EVERY)})
            times.append(strips.time_scale(one))
    assert times[0].high - times[0].low == pytest.approx(times[1].high - times[1].low)
    for key in shown[0].keys() & shown[1].keys():
        scales = [strips.value_scale(each[key], 0) for each in shown]
        assert scales[0].high - scales[0].low == pytest.approx(scales[1].high - scales[1].low)
        for each, scale in zip(shown, scales, strict=True):
            known = each[key].value[np.isfinite(each[key].value)]
            assert ((known >= scale.low - 1e-9) & (known <= scale.high + 1e-9)).all()


def shown(debrief) -> float:
    """The share of what was flown in the laps that lies on the paper of the bank picture."""
    one = debrief.maneuvers[0]
    across, _ = bank.scales(debrief, one)
    angle = np.degrees(places.unrolled(one).angle[one.profile.lap > 0])
    angle = angle[np.isfinite(angle)]
    return float(((angle >= across.low - 1e-6) & (angle <= across.high + 1e-6)).mean()) if angle.size else 1.0


@pytest.mark.parametrize("name", PAIRS)
def test_as_much_of_what_was_flown_is_shown_as_alone(name):
    first, second = PAIRS[name]
    for debrief, paper in on_paper(first, second):
        with like_paper.drawn_on(paper):
            beside = shown(debrief)
        assert beside >= shown(debrief) - 1e-9
    assert like_paper.shared() is None
