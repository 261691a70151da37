"""Every kind of maneuver has its section: its own pictures by their data, its own tables by their numbers."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from io import StringIO
from itertools import pairwise

import numpy as np
import pytest
from lxml import etree, html
from rich.console import Console

from groundref.detection.maneuver import KINDS
from groundref.reports import facts, naming, places, verdicts
from groundref.reports.figures import arcs, bank, course, overview, path, plan, quantities, strips
from groundref.reports.html import page
from groundref.reports.sections.every import SECTIONS
from groundref.reports.terminal import summary
from groundref.units import degree, foot
from tests.reports import invented, invented_kinds

KINDS_HERE = list(invented_kinds.KINDS)


@pytest.fixture(scope="module")
def ones(debriefs):
    return {kind: (debriefs[kind], debriefs[kind].maneuvers[0]) for kind in KINDS_HERE}


def parsed(markup):
    return etree.fromstring(str(markup))


def having(tree, *classes):
    return [e for e in tree.iter() if set(classes) <= set((e.get("class") or "").split())]


def points(path_element):
    return np.array(
        [[float(a), float(b)] for a, b in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path_element.get("d"))]
    )


def table(debrief, one, name):
    (found,) = [t for t in SECTIONS[one.maneuver.kind].tables(debrief, one) if t.name == name]
    return found


def cells(found, row):
    (wanted,) = [each for name, each in found.rows if name == row]
    return [cell.main for cell in wanted]


def printed(debrief, width):
    console = Console(width=width, file=StringIO())
    console.print(summary(debrief, console_width=width))
    return console.file.getvalue()


def test_every_kind_has_a_section():
    assert set(SECTIONS) == set(KINDS)
    assert {"turns-around-a-point", *KINDS_HERE} == set(KINDS)


@pytest.mark.parametrize(
    ("kind", "title"),
    [
        ("s-turns", "S-turns, 6 half circles"),
        ("eights-along-a-road", "Eights along a road, 2 eights"),
        ("eights-across-a-road", "Eights across a road, 2 eights"),
        ("eights-around-pylons", "Eights around pylons, 2 eights"),
        ("rectangular-course", "Rectangular course, left, 2 circuits"),
        ("eights-on-pylons", "Eights on pylons, 2 eights"),
        ("steep-turns", "Steep turns, left then right, 2 turns"),
    ],
)
def test_the_title_counts_what_the_kind_is_made_of(ones, kind, title):
    assert naming.heading(ones[kind][1]) == title


def test_three_loops_are_one_eight_and_a_loop(ones):
    one = ones["eights-on-pylons"][1]
    cut = replace(one, maneuver=replace(one.maneuver, laps=one.maneuver.laps[:3]))
    assert naming.heading(cut) == "Eights on pylons, 1 eight and a loop"


@pytest.mark.parametrize(
    ("turns", "title"),
    [
        ((350, 320, 200, 350), "1 eight, a loop and part of another"),
        ((350, 320, 330, 200), "1 eight, a loop and part of another"),
        ((350, 320, 200), "1 eight and part of a loop"),
    ],
)
def test_parts_of_loops_are_called_so(ones, turns, title):
    one = ones["eights-along-a-road"][1]
    laps = [replace(lap, turn=t * degree) for lap, t in zip(one.maneuver.laps, turns, strict=False)]
    cut = replace(one, maneuver=replace(one.maneuver, laps=tuple(laps)))
    assert naming.heading(cut) == f"Eights along a road, {title}"


@pytest.mark.parametrize(
    ("signs", "title"),
    [
        ((-1.0, -1.0), "Steep turns, left, 2 turns"),
        ((1.0,), "Steep turns, right, 1 turn"),
        ((-1.0, 1.0, -1.0), "Steep turns, left and right, first left, 3 turns"),
    ],
)
def test_the_direction_is_said_where_it_says_something(signs, title):
    debrief = invented_kinds.steep_turns(signs=signs)
    assert naming.heading(debrief.maneuvers[0]) == title


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_every_picture_has_its_place_and_its_key(ones, kind):
    debrief, one = ones[kind]
    section = SECTIONS[kind]
    figures = [*section.figures(debrief, one, "m1"), section.along(debrief, one, "m1")]
    figures = [figure for figure in figures if figure is not None]
    assert len(figures) >= 2
    for figure in figures:
        assert parsed(figure.drawing).get("id") == f"m1-{figure.name}"
        assert figure.keys
        for key in figure.keys:
            assert key.says
            assert parsed(key.swatch).get("aria-hidden") == "true"


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_the_moment_moves_in_every_picture(pages, kind):
    root = html.fromstring(pages[kind])
    (script,) = root.xpath("//script[@type='application/json']")
    data = json.loads(script.text)
    for picture in root.xpath("//article//*[local-name()='svg'][contains(@class, 'figure')]"):
        name = picture.get("id").removeprefix("m1-")
        if picture.xpath(".//*[contains(@class, 'cursor-line')]"):
            assert name not in data
        else:
            assert picture.xpath(".//*[@class='cursor']")
            assert any(place is not None for place in data[name])


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_the_moment_lies_on_the_path_from_above(ones, kind):
    debrief, one = ones[kind]
    m = one.maneuver
    x, y = SECTIONS[kind].moving(debrief, one)["above"]
    paper = plan.plan_of(debrief.states, one)
    assert x.size == y.size == m.last - m.first + 1
    at = m.first + 20
    assert (x[20], y[20]) == pytest.approx(paper.xy(debrief.states.east[at], debrief.states.north[at]))


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_maps_hold_the_whole_maneuver_below_the_wind_and_above_the_scale(ones, kind):
    debrief, one = ones[kind]
    m, paper = one.maneuver, plan.plan_of(debrief.states, one)
    inside = slice(m.first, m.last + 1)
    x, y = paper.x(debrief.states.east[inside]), paper.y(debrief.states.north[inside])
    assert x.min() >= 30
    assert x.max() <= 610
    assert y.min() >= paper.top
    assert y.max() <= paper.bottom < paper.height


def test_s_turns_are_drawn_against_half_circles_about_the_line(ones):
    debrief, one = ones["s-turns"]
    m, paper = one.maneuver, plan.plan_of(debrief.states, one)
    tree = parsed(arcs.draw(debrief, one, "c"))
    asked = having(tree, "asked", "thin")
    assert len(asked) == len(m.laps)
    for line, lap in zip(asked, m.laps, strict=True):
        x, y = paper.xy(lap.about_east, lap.about_north)
        assert np.hypot(*(points(line) - (x, y)).T) == pytest.approx(m.radius * paper.scale, abs=0.2)
    # The road runs through the places that the half circles are flown about.
    (road,) = having(tree, "road")
    (x1, y1), (x2, y2) = ((float(road.get(f"x{n}")), float(road.get(f"y{n}"))) for n in (1, 2))
    for lap in m.laps:
        x, y = paper.xy(lap.about_east, lap.about_north)
        off = ((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / np.hypot(x2 - x1, y2 - y1)
        assert abs(off) < 0.5
    assert len(having(tree, "crossing")) == len(one.details.crossings)
    assert len(having(tree, "badge")) == len(m.laps)


def test_outside_of_a_half_circle_is_away_from_its_own_middle(ones):
    debrief, one = ones["s-turns"]
    m, paper = one.maneuver, plan.plan_of(debrief.states, one)
    tree = parsed(arcs.draw(debrief, one, "c"))
    seen = set()
    for side, sign in (("outside", 1.0), ("inside", -1.0)):
        for line in having(tree, "flown", side):
            lap = m.laps[int(line.get("data-lap")) - 1]
            x, y = paper.xy(lap.about_east, lap.about_north)
            far = np.hypot(*(points(line)[:-1] - (x, y)).T) - m.radius * paper.scale
            assert (sign * far > -0.2).all()
            seen.add(side)
    assert seen == {"outside", "inside"}


def test_no_half_circle_is_torn_in_the_picture_of_bank(ones):
    debrief, one = ones["s-turns"]
    angle = places.unrolled(one).angle / degree
    for number in range(1, 7):
        mine = angle[one.profile.lap == number]
        steps = np.abs(np.diff(mine))
        assert np.count_nonzero(steps > 40.0) == 0
    x, _ = bank.scales(debrief, one)
    assert x.low <= np.nanmin(angle)
    assert np.nanmax(angle) <= x.high


def test_half_circles_say_on_which_side_of_the_line_they_lie(ones):
    debrief, one = ones["s-turns"]
    # The first one begins downwind, so it lies downwind of the line.
    assert cells(table(debrief, one, "laps"), "side of the line") == ["downwind", "upwind"] * 3
    calm = replace(one, maneuver=replace(one.maneuver, wind=None))
    # The line runs 330°; the wind blew towards 060°.
    assert cells(table(debrief, calm, "laps"), "side of the line") == ["north-east", "south-west"] * 3


def test_crossings_say_how_far_off_square_and_level(ones):
    debrief, one = ones["s-turns"]
    rows = table(debrief, one, "crossings").rows
    assert [cell.main for cell in rows[1][1]][1:] == ["5 ±1° left", "2 ±1° left", "2,600 ft"]
    assert rows[0][1][2].main == "level ±1°"


def test_a_line_of_distance_breaks_where_the_next_half_circle_has_its_own_middle(ones):
    debrief, one = ones["s-turns"]
    distance = strips.strips(debrief, one)[0]
    assert len(distance.breaks) == 5
    tree = parsed(strips.draw(debrief, one, "s"))
    assert having(tree, "flown")[0].get("d").count("M") == 6


def test_loops_say_how_long_was_flown_straight_between(ones):
    debrief, one = ones["eights-across-a-road"]
    said = cells(table(debrief, one, "laps"), "straight before it")
    laps = one.maneuver.laps
    assert said[0] == "–"
    assert said[1:] == [f"{b.start - a.end:.0f} s" for a, b in pairwise(laps)]
    assert having(parsed(arcs.draw(debrief, one, "c")), "between")


def test_the_ways_between_loops_hold_what_was_flown(ones):
    debrief, one = ones["eights-across-a-road"]
    rows = table(debrief, one, "ways").rows
    assert [name for name, _ in rows] == ["1 to 2, outward", "2 to 3, return", "3 to 4, outward"]
    assert [cell.main for cell in rows[0][1]][1:3] == ["2.0 ±0.5° right", "3° right"]
    along = [t.name for t in SECTIONS["eights-along-a-road"].tables(*ones["eights-along-a-road"])]
    assert "ways" not in along


def test_eights_about_pylons_draw_both_pylons(ones):
    debrief, one = ones["eights-around-pylons"]
    tree = parsed(arcs.draw(debrief, one, "c"))
    assert len(having(tree, "pylon")) == 2
    assert not having(tree, "road")
    names = [fact.name for fact in facts.facts(debrief, one)]
    assert names[3:5] == ["pylon 1", "pylon 2"]


def test_the_rectangle_is_drawn_where_it_lies_and_its_legs_are_named(ones):
    debrief, one = ones["rectangular-course"]
    paper = plan.plan_of(debrief.states, one)
    tree = parsed(course.draw(debrief, one, "c"))
    (field,) = having(tree, "field")
    assert "fitted" in field.get("class")
    corners = [paper.xy(*place) for place in one.maneuver.reference.places]
    assert points(field) == pytest.approx(np.array(corners), abs=0.06)
    assert sorted(e.text for e in having(tree, "place")) == ["base", "crosswind", "downwind", "upwind"]
    given = invented_kinds.rectangular_course(given=True)
    (field,) = having(parsed(course.draw(given, given.maneuvers[0], "c")), "field")
    assert "fitted" not in field.get("class")


def test_the_nose_is_counted_from_the_side_of_the_rectangle_and_not_from_the_track(ones):
    debrief, one = ones["rectangular-course"]
    (strip,) = strips.drawable(debrief, one, (quantities.crab,))
    m = one.maneuver
    leg = m.laps[0].legs[1]
    inside = slice(leg.first - m.first, leg.last + 1 - m.first)
    off = debrief.states.heading[leg.first : leg.last + 1] - leg.course
    assert strip.value[inside] == pytest.approx(np.angle(np.exp(1j * off)))
    assert strip.curves[0].value[inside] == pytest.approx(one.details.legs[1].crab_needed)
    turning = np.isnan(strip.value)
    assert turning.any()


def test_a_fitted_rectangle_has_no_distance_to_tell(ones):
    debrief, one = ones["rectangular-course"]
    assert facts.facts(debrief, one)[2].name == "farthest from the mean of a side"
    given = invented_kinds.rectangular_course(given=True)
    lead = facts.facts(given, given.maneuvers[0])[2]
    away = np.array([leg.distance for leg in given.maneuvers[0].details.legs])
    assert lead.name == "distance outside the boundary"
    assert lead.value.startswith(f"{away.mean() / foot:,.0f} ft ({away.mean():.0f} m)")


def test_legs_and_corners_hold_what_was_flown(ones):
    debrief, one = ones["rectangular-course"]
    base = cells(table(debrief, one, "legs"), "1 · base")
    assert base[:3] == ["0.0 ±0.8°", "5° left", "8 ±1° left"]
    corner = cells(table(debrief, one, "corners"), "1 · base to upwind")
    assert corner == ["90° left", "98° left", "100° left", "27°", "98 ±30 ft beyond"]


def test_the_height_above_a_pylon_stands_against_both_pivotal_heights(ones):
    debrief, one = ones["eights-on-pylons"]
    height, ahead = strips.drawable(debrief, one, (quantities.above_pylon, quantities.ahead))
    exact, printed_one = height.curves
    assert exact.value is one.details.pivotal
    assert printed_one.value is one.details.handbook
    assert height.value is one.details.height
    assert (ahead.low / degree, ahead.high / degree, ahead.reference) == pytest.approx((-10.0, 10.0, 0.0))
    tree = parsed(strips.draw(debrief, one, "s", [height, ahead]))
    y = strips.value_scale(height, 0)
    (line,) = having(tree, "printed")
    assert points(line)[:, 1].min() == pytest.approx(y.at(np.nanmax(one.details.handbook)), abs=0.3)
    text = page(debrief)
    assert "Why two pivotal heights" in text
    assert "handbook&#39;s GS² / 11.3" in text or "handbook's GS² / 11.3" in text


def test_without_a_ground_elevation_the_pivotal_height_is_drawn_and_the_height_is_not_told():
    debrief = invented_kinds.eights_on_pylons(elevations=False)
    one = debrief.maneuvers[0]
    (height,) = strips.drawable(debrief, one, (quantities.above_pylon,))
    assert height.title == "Pivotal height"
    assert not np.isfinite(height.value).any()
    assert set(cells(table(debrief, one, "laps"), "height above the pylon")) == {"can't tell"}
    assert cells(table(debrief, one, "laps"), "pivotal height, exact")[0].startswith("68")
    assert not re.search(r"\bnan\b", page(debrief), re.I)


def test_straight_segments_between_pylons_have_their_times(ones):
    debrief, one = ones["eights-on-pylons"]
    rows = table(debrief, one, "segments").rows
    assert [name for name, _ in rows] == ["1 to 2", "2 to 3", "3 to 4"]
    assert rows[0][1][1].main == f"{one.details.segments[0].end - one.details.segments[0].start:.1f} s"


def test_steep_turns_stand_against_the_bank_to_hold(ones):
    debrief, one = ones["steep-turns"]
    banked = strips.strips(debrief, one)[0]
    assert (banked.reference / degree, banked.low / degree, banked.high / degree) == pytest.approx(
        (50, 45, 55)
    )
    assert np.isnan(banked.value[one.profile.lap == 0]).all()
    assert cells(table(debrief, one, "laps"), "rolled out") == ["0 ±1° off", "8 ±1° beyond"]
    tree = parsed(path.draw(debrief, one, "c"))
    assert len(having(tree, "drift")) == 2
    largest = next(fact.value for fact in facts.facts(debrief, one) if fact.name == "largest bank")
    assert "limit" not in largest


def test_radius_that_is_not_held_has_no_row(ones):
    for kind in ("rectangular-course", "eights-on-pylons", "steep-turns"):
        names = [name for name, _ in table(*ones[kind], "laps").rows]
        assert not any("radius" in name or "outside" in name or "center" in name for name in names)


def test_findings_name_half_circles_and_all_of_them_as_such(ones):
    debrief, one = ones["s-turns"]
    finding = one.findings[0]
    assert facts.finding_place(debrief, one, finding).startswith("half circles 2 and 3 · ")
    every = replace(finding, laps=(1, 2, 3, 4, 5, 6))
    assert facts.finding_place(debrief, one, every).startswith("all half circles · ")


def test_both_ways_without_wind_the_places_go_by_the_compass_of_each_way(ones):
    debrief, one = ones["eights-around-pylons"]
    states = debrief.states
    blind = replace(one, maneuver=replace(one.maneuver, wind=None))
    assert places.unrolled(blind).names == ("north", "east or west", "south", "west or east")
    m = one.maneuver
    for place in places.visited(states, blind):
        assert place.owner == "the pylon"
        near = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}[place.name] * degree
        mine = one.profile.lap == place.lap
        there = mine & (np.cos(one.profile.azimuth - near) > np.cos(20 * degree))
        assert there.any()
        speed = states.ground_speed[m.first : m.last + 1][there]
        assert speed.min() <= place.ground_speed <= speed.max()


@pytest.mark.parametrize("width", [60, 80, 100])
@pytest.mark.parametrize("kind", KINDS_HERE)
def test_no_number_is_broken_in_a_table_of_the_terminal(debriefs, kind, width):
    debrief = debriefs[kind]
    text = printed(debrief, width)
    one = debrief.maneuvers[0]
    for found in SECTIONS[kind].tables(debrief, one):
        for _, row in found.rows:
            for cell in row:
                first = cell.main.split(" ")[0]
                assert first in text
    assert "…" not in text


def test_a_lesson_of_many_maneuvers_begins_with_a_list(debriefs):
    debrief = debriefs["three maneuvers"]
    text = " ".join(printed(debrief, 100).split())
    assert text.index("In this flight") < text.index("What to talk about first")
    assert "surely turns around a point (99%+)" in text
    assert "2 met, 1 not met, 1 can't tell; 3 to talk about" in text
    root = html.fromstring(page(debrief))
    (nav,) = root.xpath("//nav[@class='contents']")
    assert len(nav.xpath(".//*[@id='overview']")) == 1
    said = " ".join(nav.text_content().split())
    assert said.count("2 met, 1 not met, 1 can't tell · 3 to talk about") == 3


def test_the_overview_names_every_kind(ones):
    for kind, (debrief, one) in ones.items():
        assert naming.within(one) in overview.describe(debrief), kind
        assert naming.within(one).lower() == naming.heading(one).lower()


def test_what_else_it_may_have_been_is_said(ones):
    _, one = ones["s-turns"]
    unsure = replace(
        one, maneuver=replace(one.maneuver, confidence=0.62, alternatives=(("eights-across-a-road", 0.31),))
    )
    assert facts.sureness(unsure) == "probably S-turns (62%); else eights across a road (31%)"


def test_counts_leave_out_what_only_an_instructor_sees():
    debrief = invented.debrief()
    assert verdicts.counts(debrief, debrief.maneuvers[0]) == "2 met, 1 not met, 1 can't tell"


def unknown(record):
    """The same record with every number and array that may be missing missing."""
    changes = {}
    for name in record.__dataclass_fields__:
        value = getattr(record, name)
        if name in {"lap", "start", "end", "time", "course", "name"}:
            continue
        if isinstance(value, float):
            changes[name] = float("nan")
        elif isinstance(value, np.ndarray):
            changes[name] = np.full(value.size, np.nan)
        elif isinstance(value, tuple):
            changes[name] = tuple(unknown(each) for each in value)
    return replace(record, **changes)


def blind(debrief):
    """The same flight without wind, airspeed, bank and altitude, and nothing concluded from them."""
    none = np.full(len(debrief.states), np.nan)
    gone = (
        "wind_east",
        "wind_north",
        "true_airspeed",
        "true_airspeed_sd",
        "heading",
        "crab",
        "bank",
        "bank_sd",
    )
    states = replace(
        debrief.states, **dict.fromkeys(gone, none), altitude=None, altitude_sd=None, altitude_datum=None,
        height=None, height_sd=None, height_source="",
    )  # fmt: skip
    one = debrief.maneuvers[0]
    missing = np.full(one.profile.lap.size, np.nan)
    profile = replace(one.profile, position=missing, bank_required=missing, bank_required_sd=missing)
    bare = replace(
        one, maneuver=replace(one.maneuver, wind=None), profile=profile, altitude=None, airspeed=None,
        bank=None, height_reference=None, height_sd=None, entry_off_downwind=None, entry_off_downwind_sd=None,
        details=unknown(one.details),
    )  # fmt: skip
    return replace(debrief, states=states, winds=(), maneuvers=(bare,))


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_what_cannot_be_told_of_any_kind_is_said_and_breaks_nothing(debriefs, kind):
    for debrief in (blind(debriefs[kind]), undetailed(debriefs[kind])):
        text = page(debrief)
        root = html.fromstring(text)
        for script in root.xpath("//script | //style"):
            script.drop_tree()
        assert not re.search(r"\b(nan|none|inf)\b", root.text_content(), re.I)
        numbers = re.findall(r'(?: d| x| y| x1| y1| cx| cy| r| width| height| transform)="([^"]*)"', text)
        assert not any(re.search(r"nan|inf", value) for value in numbers)
        said = printed(debrief, 80)
        assert debrief.winds or "can't tell" in said
        assert not re.search(r"\bnan\b", said, re.I)


def undetailed(debrief):
    """The same flight with nothing concluded that is particular to its kind."""
    return replace(debrief, maneuvers=(replace(debrief.maneuvers[0], details=None),))
