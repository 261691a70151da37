"""Pictures are tested by the data they draw, not by their pixels."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from lxml import etree

from groundref.reports import places, svg
from groundref.reports.figures import bank, circle, overview, plan, strips
from groundref.reports.figures import bank as bank_figure
from groundref.reports.html import stylesheet
from groundref.reports.laps import dash, extremes, tone
from groundref.reports.sections.common import along_figure
from groundref.units import degree, foot
from tests.reports import invented, invented_kinds

NAMESPACE = "{http://www.w3.org/2000/svg}"


def parsed(markup):
    return etree.fromstring(str(markup))


def points(path):
    return np.array(
        [[float(a), float(b)] for a, b in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path.get("d"))]
    )


def having(tree, *classes):
    return [e for e in tree.iter() if set(classes) <= set((e.get("class") or "").split())]


def test_laps_are_drawn_at_their_true_distance_from_the_point():
    debrief = invented.debrief(faults=(0.09, -0.07))
    one = debrief.maneuvers[0]
    tree = parsed(circle.draw(debrief, one, "c"))
    paper = plan.plan_of(debrief.states, one)
    x, y = paper.xy(one.maneuver.reference.east, one.maneuver.reference.north)
    outside = np.concatenate([points(p) for p in having(tree, "flown", "outside")])
    inside = np.concatenate([points(p) for p in having(tree, "flown", "inside")])
    radius = one.maneuver.radius * paper.scale
    assert np.hypot(outside[:, 0] - x, outside[:, 1] - y).max() == pytest.approx(
        np.max(one.profile.distance) * paper.scale, abs=0.2
    )
    assert np.hypot(inside[:, 0] - x, inside[:, 1] - y).min() == pytest.approx(
        np.min(one.profile.distance) * paper.scale, abs=0.2
    )
    assert np.hypot(outside[:, 0] - x, outside[:, 1] - y).min() > radius - 0.2
    assert np.hypot(inside[:, 0] - x, inside[:, 1] - y).max() < radius + 0.2


def test_outside_or_inside_is_said_only_beyond_the_uncertainty():
    debrief = invented.debrief(faults=(0.02, -0.02))  # 28 ft at most, with a point known to 13 ft per axis
    tree = parsed(circle.draw(debrief, debrief.maneuvers[0], "c"))
    assert having(tree, "flown", "on")
    assert not having(tree, "flown", "outside")
    assert not having(tree, "flown", "inside")


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("wind_from", [0.0, 75.0, 240.0])
def test_places_are_named_where_the_track_has_that_angle_to_the_wind(direction, wind_from):
    debrief = invented.debrief(direction=direction, wind_from=wind_from)
    one = debrief.maneuvers[0]
    for position in places.AT:
        azimuth = places.azimuth_of(one, position)
        nearest = int(np.argmin(np.abs(np.angle(np.exp(1j * (one.profile.azimuth - azimuth))))))
        assert np.cos(one.profile.position[nearest] - position) > np.cos(3 * degree)


def test_downwind_means_that_the_track_runs_with_the_wind():
    debrief = invented.debrief(direction="right", wind_from=270.0)
    # To the right about the point with a wind from the west: eastbound is north of the point.
    assert places.azimuth_of(debrief.maneuvers[0], 0.0) == pytest.approx(0.0, abs=1e-9)


def test_the_bank_curve_is_the_closed_form_of_the_circle():
    debrief = invented.debrief(faults=(0.0, 0.0))
    one = debrief.maneuvers[0]
    angle, mean = bank.averaged(places.unrolled(one).angle / degree, -one.profile.bank_required / degree)
    # tan φ = (V ± W)² / (g R) straight downwind and upwind: 90 and 14 kt, 1,400 ft.
    for at, speed in ((0.0, 104.0), (180.0, 76.0)):
        steady = np.degrees(np.arctan((speed * 1852 / 3600) ** 2 / (9.80665 * 1400 * 0.3048)))
        assert mean[angle == at][0] == pytest.approx(steady, abs=0.1)
    assert mean[0] == pytest.approx(mean[-1])


def test_bank_of_each_lap_is_drawn_at_its_value():
    debrief = invented.debrief()
    one = debrief.maneuvers[0]
    tree = parsed(bank.draw(debrief, one, "b"))
    _, up = bank.scales(debrief, one)
    for lap in (1, 2):
        (line,) = [p for p in having(tree, "flown") if p.get("data-lap") == str(lap)]
        # Each lap is drawn up to the first sample of the next.
        mine = np.flatnonzero(one.profile.lap == lap)
        mine = np.append(mine, np.flatnonzero(one.profile.lap == lap + 1)[:1])
        flown = -debrief.states.bank[one.maneuver.first + mine] / degree
        assert points(line)[:, 1].min() == pytest.approx(up.at(flown.max()), abs=0.5)
        assert points(line)[:, 1].max() == pytest.approx(up.at(flown.min()), abs=0.5)


def test_strips_show_the_limits_of_the_standard_about_what_was_to_be_held():
    debrief = invented.debrief()
    distance, height, airspeed = strips.strips(debrief, debrief.maneuvers[0])
    assert (distance.high - distance.reference) / foot == pytest.approx(100.0)  # X.4, common practice
    assert (distance.reference - distance.low) / foot == pytest.approx(100.0)
    assert [v / foot for v in height.bounds] == pytest.approx([600.0, 1000.0])  # X.3
    assert height.reference == pytest.approx(270.0)
    assert (height.high - height.reference) / foot == pytest.approx(100.0)
    assert (airspeed.reference - airspeed.low) * 3600 / 1852 == pytest.approx(10.0)


def test_a_drifting_circle_has_no_distance_to_hold():
    debrief = invented.debrief(drifts=True, laps=3)
    distance = strips.strips(debrief, debrief.maneuvers[0])[0]
    assert (distance.low, distance.high) == (None, None)


def test_lines_between_laps_and_bands_stay_within_the_strips():
    debrief = invented.debrief(laps=3)
    one = debrief.maneuvers[0]
    tree = parsed(strips.draw(debrief, one, "s"))
    spans = [
        (strips.value_scale(strip, n).end, strips.value_scale(strip, n).start)
        for n, strip in enumerate(strips.strips(debrief, one))
    ]
    lines = having(tree, "boundary")
    assert len(lines) == 2 * len(spans)
    for line in lines:
        assert (float(line.get("y1")), float(line.get("y2"))) in [pytest.approx(span) for span in spans]
    for band in having(tree, "flown-band"):
        low, high = points(band)[:, 1].min(), points(band)[:, 1].max()
        assert any(top - 0.1 <= low <= high <= bottom + 0.1 for top, bottom in spans)


def test_strips_leave_out_what_was_not_recorded():
    debrief = invented.debrief(altitude_known=False, height_known=False, wind_known=False)
    assert [s.title for s in strips.strips(debrief, debrief.maneuvers[0])] == ["Distance from the point"]


def test_altitude_keeps_its_datum_where_the_ground_is_not_known():
    debrief = invented.debrief(height_known=False)
    assert strips.strips(debrief, debrief.maneuvers[0])[1].title == "Altitude above mean sea level"


def test_the_flight_map_breaks_at_a_gap_and_is_thinned():
    debrief = invented.debrief(transit=3000)
    (line,) = having(parsed(overview.draw(debrief, "o")), "transit")
    assert len(points(line)) < 1200
    assert len(debrief.track) > 4000


def test_a_missing_wind_names_the_places_by_the_compass():
    debrief = invented.debrief(wind_known=False, direction="left")
    round_ = places.unrolled(debrief.maneuvers[0])
    assert not round_.by_wind
    assert round_.names == ("north", "west", "south", "east")


def test_a_wind_too_light_to_have_a_direction_names_no_place():
    debrief = invented.debrief(wind_kt=0.6)  # known to 0.9 kt
    one = debrief.maneuvers[0]
    assert not places.unrolled(one).by_wind
    drawn = parsed(circle.draw(debrief, one, "c"))
    assert not having(drawn, "place")
    assert not having(drawn, "wind")
    assert any("light" in (e.text or "") for e in drawn.iter())


def test_paths_break_at_what_is_missing():
    x = np.array([0.0, 1.0, np.nan, 3.0, 4.0])
    assert svg.path_data(x, x) == "M0.0 0.0L1.0 1.0M3.0 3.0L4.0 4.0"


def test_rolling_in_and_out_sets_neither_the_scale_of_bank_nor_the_table():
    debrief = invented.debrief()
    one = debrief.maneuvers[0]
    m = one.maneuver
    bank = np.array(debrief.states.bank)
    bank[m.first : m.first + 3] = 0.0  # still rolling in
    bank[m.last - 2 : m.last + 1] = 0.0
    rolled = replace(debrief, states=replace(debrief.states, bank=bank))
    _, up = bank_figure.scales(rolled, one)
    assert up.low > 10.0
    assert having(parsed(bank_figure.draw(debrief, one, "b")), "rolling")
    before, after = places.visited(debrief.states, one), places.visited(rolled.states, one)
    assert [p.bank for p in after] == [p.bank for p in before]
    assert extremes(rolled.states, one)[0].bank_min > 10 * degree


def test_a_place_that_was_not_flown_has_no_row():
    debrief = invented.debrief(laps=2)
    one = debrief.maneuvers[0]
    lap = np.where((one.profile.lap == 2) & (np.abs(one.profile.position) > 2.0), 0, one.profile.lap)
    stopped = replace(one, profile=replace(one.profile, lap=lap))
    named = [(p.lap, p.name) for p in places.visited(debrief.states, stopped)]
    assert (1, "upwind") in named
    assert (2, "upwind") not in named


def test_less_than_three_percent_of_the_radius_is_on_the_circle():
    debrief = invented.debrief(faults=(0.024, -0.024))
    one = debrief.maneuvers[0]
    sure = replace(one.maneuver, reference=replace(one.maneuver.reference, sd=0.0), radius_sd=0.0)
    tree = parsed(circle.draw(debrief, replace(one, maneuver=sure), "c"))
    assert not having(tree, "flown", "outside")
    assert not having(tree, "flown", "inside")


@pytest.mark.parametrize("laps", [3, 4, 6])
@pytest.mark.parametrize("draw", [circle.draw, bank_figure.draw])
def test_no_number_of_a_lap_hides_another(laps, draw):
    debrief = invented.debrief(laps=laps, faults=(0.0,) * laps)
    badges = having(parsed(draw(debrief, debrief.maneuvers[0], "c")), "badge")
    at = np.array([[float(b.get("cx")), float(b.get("cy"))] for b in badges])
    apart = np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    assert len(badges) >= laps
    assert apart[~np.eye(len(at), dtype=bool)].min() > 24.0


def test_six_laps_differ_in_pattern_or_tone():
    assert len({(dash(n), tone(n)) for n in range(1, 7)}) == 6
    assert tone(1) == tone(3) != tone(4)


def boxes(tree):
    """Boxes of the labels, letters 21 tall as on a telephone, half as wide."""
    found = {}
    for e in tree.iter(f"{NAMESPACE}text"):
        wide = 21 * 0.5 * len(e.text)
        left = float(e.get("x")) - wide * {"start": 0, "middle": 0.5, "end": 1}[e.get("text-anchor")]
        found[e.text] = (left, float(e.get("y")) - 15, left + wide, float(e.get("y")) + 3)
    return found


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("wind_from", [0.0, 75.0, 150.0, 240.0, 310.0])
def test_the_entry_and_the_wind_collide_with_nothing(direction, wind_from):
    debrief = invented.debrief(direction=direction, wind_from=wind_from, faults=(0.0, 0.0))
    one = debrief.maneuvers[0]
    found = boxes(parsed(circle.draw(debrief, one, "c")))
    entry = found.pop("entry")
    for label, box in found.items():
        apart = entry[2] <= box[0] or box[2] <= entry[0] or entry[3] <= box[1] or box[3] <= entry[1]
        assert apart, label
    paper = plan.plan_of(debrief.states, one)
    x, y = paper.xy(one.maneuver.reference.east, one.maneuver.reference.north)
    (wind,) = [box for label, box in found.items() if label.startswith("wind from")]
    nearest = np.hypot(max(wind[0] - x, 0, x - wind[2]), max(wind[1] - y, 0, y - wind[3]))
    assert nearest > one.maneuver.radius * paper.scale + 5


def test_start_and_end_do_not_lie_on_the_track():
    debrief = invented.debrief()
    tree = parsed(overview.draw(debrief, "o"))
    (line,) = having(tree, "transit")
    x, y = points(line).T
    for name, box in boxes(tree).items():
        if name in {"start", "end", "start and end"}:
            assert not np.any((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3]))


def around(angle, low, high, value):
    """Share of values between two edges of the circle unrolled."""
    grid = np.arange(-90.0, 270.1, 5.0)
    inside = (value >= np.interp(angle, grid, low) - 1e-6) & (value <= np.interp(angle, grid, high) + 1e-6)
    return inside.mean()


def uneven_laps(off=4.0):
    """Two laps that needed a bank of so much more, and so much less, than the mean."""
    debrief = invented.debrief(faults=(0.0, 0.0))
    one = debrief.maneuvers[0]
    more = np.where(one.profile.lap == 1, off, -off) * degree
    needed = one.profile.bank_required - more  # a turn to the left
    return debrief, replace(one, profile=replace(one.profile, bank_required=needed))


def test_the_required_band_holds_what_each_lap_required():
    debrief, one = uneven_laps()
    angle, required = places.unrolled(one).angle / degree, -one.profile.bank_required / degree
    low, high = bank.enveloped(angle, required, np.full(angle.size, 1.2))
    assert around(angle, low, high, required) == 1.0
    # Two laps 8° apart, and the doubt at either side; but not widened by the slope of the curve.
    assert np.median(high - low) == pytest.approx(2 * 4.0 + 2 * 1.2, abs=0.5)
    (band,) = having(parsed(bank.draw(debrief, one, "b")), "asked-band")
    _, up = bank.scales(debrief, one)
    grid = np.arange(-90.0, 270.1, 5.0)
    value = up.low + (up.start - points(band)[:, 1]) / (up.start - up.end) * (up.high - up.low)
    low, high = value[: grid.size], value[grid.size :][::-1]
    assert around(angle, low - 0.1, high + 0.1, required) == 1.0


def test_laps_that_required_the_same_have_a_band_of_their_doubt_alone():
    debrief = invented.debrief(faults=(0.0, 0.0))
    one = debrief.maneuvers[0]
    angle, required = places.unrolled(one).angle / degree, -one.profile.bank_required / degree
    low, high = bank.enveloped(angle, required, np.full(angle.size, 1.2))
    assert np.max(high - low) < 2.4 + 0.8


def test_no_hole_lies_between_rolling_in_and_the_first_lap():
    debrief = invented.debrief()
    m = debrief.maneuvers[0].maneuver
    rolled = np.array(debrief.states.bank)
    rolled[m.first] *= 0.8
    debrief = replace(debrief, states=replace(debrief.states, bank=rolled))
    tree = parsed(bank.draw(debrief, debrief.maneuvers[0], "b"))
    (rolling,) = having(tree, "rolling")
    for lap in (1, 2):
        (line,) = [p for p in having(tree, "flown") if p.get("data-lap") == str(lap)]
        edge = points(line)[0 if lap == 1 else -1]
        assert np.hypot(*(points(rolling) - edge).T).min() < 0.2


@pytest.mark.parametrize("wind_from", [0.0, 75.0, 240.0])
def test_the_way_in_and_out_lie_above_the_band_and_are_told_apart(wind_from):
    debrief = invented.debrief(wind_from=wind_from, faults=(0.0, 0.0))
    tree = parsed(circle.draw(debrief, debrief.maneuvers[0], "c"))
    order = list(tree.iter())
    (ring,) = having(tree, "ring")
    before, after = having(tree, "transit")
    assert order.index(ring) < order.index(before) < order.index(after)
    assert "after" in after.get("class")
    assert "after" not in before.get("class")
    # Each name is nearer to its own line than to the other, as far as they lie on the paper.
    for name, mine, other in (("entry", before, after), ("exit", after, before)):
        left, top, right, bottom = boxes(tree)[name]
        middle = np.array([(left + right) / 2, (top + bottom) / 2])
        near, far = (np.hypot(*(points(p) - middle).T).min() for p in (mine, other))
        assert near < far


def test_no_thin_line_runs_through_the_wind_or_the_scale():
    for wind_from in np.arange(0.0, 360.0, 15.0):
        debrief = invented.debrief(wind_from=wind_from, wind_kt=0.6, faults=(0.0, 0.0), laps=1)
        tree = parsed(circle.draw(debrief, debrief.maneuvers[0], "c"))
        for name, box in boxes(tree).items():
            if not (name.startswith("wind") or name.endswith((" ft", " m"))):
                continue
            for x, y in (points(line).T for line in having(tree, "transit")):
                assert not np.any((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])), (
                    wind_from,
                    name,
                )


def test_places_come_in_the_order_flown():
    for direction, order in (("left", "north west south east"), ("right", "north east south west")):
        debrief = invented.debrief(direction=direction, wind_kt=0.6, laps=1)
        one = debrief.maneuvers[0]
        names = [p.name for p in places.visited(debrief.states, one)]
        nearest = dict(zip(places.COMPASS, np.radians([0, 90, 180, 270]), strict=True))
        first = np.argmax([np.cos(one.profile.azimuth[0] - nearest[n]) for n in order.split()])
        assert names == [*order.split()[first:], *order.split()[:first]]
    downwind = invented.debrief()
    assert places.visited(downwind.states, downwind.maneuvers[0])[0].name == "downwind"


def test_what_was_not_judged_by_place_is_not_named_by_the_wind():
    debrief = invented.debrief()
    one = debrief.maneuvers[0]
    note = "Bank by place in the circle was not judged: the wind of 3.1 kt (± 0.4 kt) is too light."
    unjudged = replace(one, notes=(note,))
    assert places.named_by_wind(one)
    assert not places.named_by_wind(unjudged)
    assert {p.name for p in places.visited(debrief.states, unjudged)} == set(places.COMPASS)
    assert " west of the point: bank" in circle.describe(debrief.states, unjudged)


@pytest.mark.parametrize("draw", [circle.draw, lambda debrief, _, name: overview.draw(debrief, name)])
def test_the_labels_of_the_scale_do_not_touch_when_printed(draw):
    debrief = invented.debrief()
    tree = parsed(draw(debrief, debrief.maneuvers[0], "c"))
    tall = 34.0 if tree.get("viewBox").endswith(" 420") else 28.0  # the style sheet's letters on paper
    first, second = [
        e for e in tree.iter(f"{NAMESPACE}text") if (e.text or "").endswith((" ft", " m", " km"))
    ]
    assert first.get("dominant-baseline") == second.get("dominant-baseline") == "central"
    assert float(second.get("y")) - float(first.get("y")) >= tall
    assert float(second.get("y")) + tall / 2 <= float(tree.get("viewBox").split()[3])


def test_a_bank_limit_and_a_height_band_look_unlike_in_picture_and_key():
    """Of a rectangular course both stand along time: told apart by dashes, and so in gray, too."""
    debrief = invented_kinds.rectangular_course()
    one = debrief.maneuvers[0]
    figure = along_figure(debrief, one, "m1")
    looks = {
        key.says.split(":")[0]: re.search(r'class="(bound[^"]*)"', str(key.swatch)) for key in figure.keys
    }
    limit, band = (looks[name] for name in ("bank limit", "height band of the standard"))
    assert limit is not None
    assert band is not None
    assert limit[1] != band[1]
    for look in (limit[1], band[1]):
        assert f'class="{look}"' in str(figure.drawing)
    css = stylesheet()
    assert "stroke-dasharray" in css.partition(".bound.band {")[2].partition("}")[0]
    assert "stroke-dasharray" not in css.partition(".bound {")[2].partition("}")[0]
