"""Feet and knots turned into meters and kilometers per hour, where they stand in a text or on a page.

1 ft = 0.3048 m and 1 kt = 1.852 km/h exactly: NIST Special Publication 811 (2008), appendix B.8, from memory.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from groundref.reports import metric, reading, words
from groundref.reports.figures import quantities, strips
from groundref.reports.html import page, together


@pytest.mark.parametrize(
    ("us", "si"),
    [
        ("30 ft", "9 m"),
        ("1,010 ±9 ft (308 m)", "308 ±3 m (1,010 ft)"),
        ("240° ±4° at 14.0 ±0.9 kt (26 km/h)", "240° ±4° at 26 ±2 km/h (14.0 kt)"),
        ("known to ±13 ft (4 m), fitted", "known to ±4 m (13 ft), fitted"),
        ("600 to 1,000 ft (183 to 305 m)", "183 to 305 m (600 to 1,000 ft)"),
        ("800 ± 100 ft", "244 ± 30 m"),
        ("flown 1,160 ±10 ft in place of 1,312 ft.", "flown 354 ±3 m in place of 400 m."),
        ("98 kt (181 km/h) true", "181 km/h (98 kt) true"),
        ("15.6 kt (28.8 km/h)", "28.8 km/h (15.6 kt)"),
        ("setting given, 30.09 inHg (1019.0 hPa).", "setting given, 1019.0 hPa (30.09 inHg)."),
        ("choose 3,000 ft (915 m) or more", "choose 915 m (3,000 ft) or more"),
        ("height between 600 and 1,000 ft", "height between 183 and 305 m"),
        ("laps 2 and 30 ft", "laps 2 and 9 m"),
        ("95% within ±0.8 kt", "95% within ±1.5 km/h"),
        ("1,791–1,861 ft", "546–567 m"),
        ("−40 ft and 3 kt", "−12 m and 6 km/h"),
        ("±1 ft, ± 2 ft", "±1 m, ± 1 m"),
        ("95% within ±11 to ±18 ft", "95% within ±3 to ±5 m"),
        ("5 ±1 ft", "2 ±1 m"),
        ("700 ft/min, GS²/11.3, 45°, 3 s, 2.1 NM", "700 ft/min, GS²/11.3, 45°, 3 s, 2.1 NM"),
        ("lesson 3 of 12 and no measure", "lesson 3 of 12 and no measure"),
    ],
)
def test_measures_in_a_sentence(us, si):
    assert metric.text(us) == si
    # A line is broken at neither place in the middle of a measure, which changes nothing else.
    assert metric.text(together(us)).replace("\N{NO-BREAK SPACE}", " ") == si


@given(st.floats(-20_000, 20_000))
def test_a_length_turned_is_the_length_to_what_it_was_rounded_by(length_ft):
    """Against the foot of scipy.constants."""
    said = metric.text(f"{words.number(length_ft)} ft").removesuffix(" m").replace(",", "").replace("−", "-")
    assert abs(float(said) - length_ft * constants.foot) <= 0.5 * constants.foot + 0.5 + 1e-9


@given(st.floats(0, 400))
def test_a_speed_turned_is_the_speed_to_what_it_was_rounded_by(speed_kt):
    """Against the knot of scipy.constants."""
    kmh = constants.knot / constants.kmh
    said = metric.text(f"{words.number(speed_kt)} kt").removesuffix(" km/h")
    assert abs(float(said) - speed_kt * kmh) <= 0.5 * kmh + 0.5 + 1e-9


@given(st.floats(1, 20_000), st.floats(0, 200))
def test_the_metric_value_of_a_report_is_the_one_that_it_prints_itself(length, sd):
    said = words.both_lengths(length, sd)
    value = words.length_beside(length).removesuffix(" m")
    assert re.match(rf"{re.escape(value)}( ±[\d,]+)? m \(", metric.text(said))


def test_cells_change_places_and_what_was_typed_stays():
    cell = '<td><span class="whole">53 ±6 ft inside</span> <small class="metric">16 m</small></td>'
    turned = '<td><span class="whole">16 ±2 m inside</span> <small class="metric">53 ft</small></td>'
    assert metric.page(cell) == turned
    for kept in (
        '<textarea name="remarks">fly 800 ft</textarea>',
        '<p data-units="kept">within 100 ft</p>',
        '<input placeholder="800 ft" value="800 ft">',
        "<script>say('8 ft')</script>",
        "<style>/* 8 ft */</style>",
    ):
        assert metric.page(kept) == kept
    assert metric.page('<td><span class="whole">12 ft</span></td><td class="metric">5 m</td>').startswith(
        '<td><span class="whole">4 m</span></td>'
    )
    moments = '<script type="application/json" class="moments">{"says":"12 ft"}</script>'
    assert '"4 m"' in metric.page(moments)


def test_a_whole_page_keeps_its_form_and_says_nothing_in_feet_alone(pages, name):
    us, si = pages[name], metric.page(pages[name])
    assert re.findall(r"<[a-z/][^ >]*", us) == re.findall(r"<[a-z/][^ >]*", si)
    kept = re.compile(
        r'<style.*?</style>|<script>.*?</script>|<(\w+)[^>]*(?:class="metric"|data-units="kept")[^>]*>.*?</\1>',
        re.DOTALL,
    )
    read = re.sub(r"<[^>]*>", " ", kept.sub(" ", si))
    assert re.findall(r".{20}\d[ \N{NO-BREAK SPACE}](?:ft|kt)\b(?![/)])", read) == []
    assert ("km/h" in si) == ("km/h" in us)


def test_data_of_a_sheet_is_turned_in_all_its_strings():
    sheet = {"rows": [["100 ft", 3]], "pictures": ("<svg><text>12 kt</text></svg>",)}
    assert metric.data(sheet) == {"rows": [["30 m", 3]], "pictures": ["<svg><text>22 km/h</text></svg>"]}


def _round(number: str) -> bool:
    """Return whether a number is 1, 2 or 5 times a power of ten."""
    return number.replace(",", "").rstrip("0") in {"1", "2", "5"}


_BARS = re.compile(
    r'class="scale"/><text[^>]*>([\d,]+) (\w+)</text><path[^>]*class="scale"/>'
    r"<text[^>]*>([\d,]+) (\w+)</text>"
)


def test_bars_are_round_in_their_own_units_and_the_readers_stands_above(debriefs, name):
    for units, own, other in ((reading.US, "ft", "m"), (reading.METRIC, "m", "ft")):
        for upper, upper_unit, lower, lower_unit in _BARS.findall(page(debriefs[name], units=units)):
            assert (upper_unit.removeprefix("k"), lower_unit.removeprefix("k")) == (own, other)
            assert _round(upper)
            assert _round(lower)


def test_the_bars_are_found_where_a_circle_was_flown(debriefs):
    assert len(_BARS.findall(page(debriefs["two laps left"], units=reading.METRIC))) >= 1


def test_ticks_are_round_in_the_readers_unit(debriefs):
    debrief = debriefs["two laps left"]
    assessed = debrief.maneuvers[0]
    for units, unit in ((reading.US, "ft"), (reading.METRIC, "m")):
        with reading.reading(units):
            drawn = str(strips.draw(debrief, assessed, "x", [quantities.distance(debrief, assessed)]))
        left = f'x="{strips.LEFT - 8:.1f}"'.replace(".0", "")
        found = re.findall(rf'<text {left}[^>]*class="quiet"[^>]*>([−\d,]+|[a-z]+)</text>', drawn)
        assert unit in found
        ticks = [int(each.replace(",", "").replace("−", "-")) for each in found if each not in (unit, "UTC")]
        steps = {b - a for a, b in pairwise(ticks)}
        assert len(steps) == 1
        assert _round(str(steps.pop()))
        assert all(tick % 10 == 0 for tick in ticks)


def test_a_page_in_metric_is_printed_from_full_values_and_says_nothing_in_feet_alone(debriefs, name):
    us, si = page(debriefs[name]), page(debriefs[name], units=reading.METRIC)
    kept = re.compile(
        r'<style.*?</style>|<script>.*?</script>|<(\w+)[^>]*(?:class="metric"|data-units="kept")[^>]*>.*?</\1>',
        re.DOTALL,
    )
    read = re.sub(r"<[^>]*>", " ", kept.sub(" ", si))
    assert re.findall(r".{20}\d[ \N{NO-BREAK SPACE}](?:ft|kt)\b(?![/)])", read) == []
    # A cell's two values are one: that in meters in US is the one that leads in metric.
    cell = re.compile(
        r'<span class="whole">([\d,]+)[^<]*</span>(?:(?!</td>).)*?class="metric">([\d,]+) (?:m|ft)<',
        re.DOTALL,
    )
    # Of half a meter nothing is left in meters, which may then be said in other words.
    assert [(ft, m) for ft, m in cell.findall(us) if m != "0"] == [
        (ft, m) for m, ft in cell.findall(si) if m != "0"
    ]


def test_what_was_printed_in_metric_stays(debriefs):
    for said in ("366 m (1,200 ft)", "26 ±2 km/h (14 kt)", "183 to 305 m (600 to 1,000 ft)"):
        assert metric.text(said) == said
        assert metric.page(f"<p>{said}</p>") == f"<p>{said}</p>"


def test_a_limit_of_a_standard_stays_in_its_own_unit_with_the_metric_value_beside_it(debriefs):
    si = page(debriefs["two laps left"], units=reading.METRIC)
    found = re.search(
        r'<span class="whole" data-units="kept">100 ft</span> <small><span class="metric">(\d+) m', si
    )
    assert found is not None
    assert found[1] == "30"
