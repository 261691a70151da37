"""What stands in one place of a report agrees with what stands in another, and says what it means."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import mean

import numpy as np
import pytest

from groundref.reports import cursor, facts, recorded, verdicts, words
from groundref.reports.html import together
from groundref.reports.sections.every import SECTIONS
from groundref.units import degree, foot
from tests.reports import invented, invented_kinds


def fact(debrief, one, name):
    return next(fact.value for fact in facts.facts(debrief, one) if fact.name == name)


def table(debrief, one, name):
    return next(found for found in SECTIONS[one.maneuver.kind].tables(debrief, one) if found.name == name)


def row(debrief, one, name):
    return [cell.main for cell in dict(table(debrief, one, "laps").rows)[name]]


def banked(value, sd):
    """An S-turn whose largest bank is known to 1° against the others, and to `sd` degrees by itself."""
    debrief = invented_kinds.s_turns()
    one = debrief.maneuvers[0]
    elements = tuple(
        replace(e, worst=value, worst_sd=sd) if e.what.startswith("bank") else e for e in one.elements
    )
    held = replace(one.bank, maximum=value * degree, sd=1.0 * degree)
    return debrief, replace(one, elements=elements, bank=held)


def test_the_largest_bank_is_as_uncertain_as_its_verdict_has_it():
    debrief, one = banked(46.0, 2.0)
    (judged,) = (each for each in verdicts.verdicts(debrief, one) if each.what.startswith("bank"))
    assert judged.worst.main == "46 ±2°"
    assert fact(debrief, one, "largest bank").startswith("46 ±2° at")


def test_a_bank_that_no_verdict_measures_keeps_its_own_uncertainty():
    debrief, one = banked(46.0, None)
    assert fact(debrief, one, "largest bank").startswith("46 ±1° at")


def half_circles(right, left, sd=15.0):
    """S-turns with these radii to either side [ft]."""
    debrief = invented_kinds.s_turns()
    one = debrief.maneuvers[0]
    laps = tuple(
        replace(lap, radius=(right if lap.turn > 0 else left) * foot, radius_sd=sd * foot)
        for lap in one.maneuver.laps
    )
    radius = mean(lap.radius for lap in laps)
    return debrief, replace(one, maneuver=replace(one.maneuver, laps=laps, radius=radius, radius_sd=1.0))


def test_half_circles_that_differ_by_side_have_no_common_radius():
    # Three half circles each way: 15/√3 = 8.7 ft.
    assert fact(*half_circles(1410.0, 980.0), "radius held") == (
        "right 1,410 ±9 ft (430 m), left 980 ±9 ft (299 m)"
    )


@pytest.mark.parametrize(
    ("left", "sd"),
    [(1380.0, 1.0), (980.0, 300.0)],
    ids=["too little to be seen", "within the uncertainty"],
)
def test_a_difference_that_is_not_sure_or_not_seen_is_none(left, sd):
    said = fact(*half_circles(1410.0, left, sd), "radius held")
    assert said == words.both_lengths((1410.0 + left) / 2 * foot, 1.0)


def test_the_slider_leaves_out_what_cannot_be_told():
    debrief = invented_kinds.eights_on_pylons(elevations=False)
    one = debrief.maneuvers[0]
    pivotal = np.full(one.details.pivotal.size, math.nan)
    says = cursor.series(debrief, replace(one, details=replace(one.details, pivotal=pivotal)))["says"]
    assert not any(words.CANNOT_TELL in said or "pivotal" in said for said in says)
    assert " · loop 1 · " in says[0]
    assert "° " in says[0]
    assert "ground speed" in says[0]


def test_a_circuit_has_no_smallest_bank_and_its_corners_explain_themselves():
    debrief = invented_kinds.rectangular_course()
    one = debrief.maneuvers[0]
    names = [name for name, _ in table(debrief, one, "laps").rows]
    assert "largest bank" in names
    assert "smallest bank" not in names
    assert "Next leg: how far beyond its line" in table(debrief, one, "corners").says


def test_what_was_too_poorly_known_to_be_judged_is_not_told_by_lap():
    debrief = invented_kinds.s_turns()
    one = debrief.maneuvers[0]
    assert words.CANNOT_TELL not in row(debrief, one, "largest bank")
    coarse = replace(one, bank=None, airspeed=None)
    for name in ("largest bank", "smallest bank", "fastest (true)", "slowest (true)"):
        assert set(row(debrief, coarse, name)) == {words.CANNOT_TELL}, name


@pytest.mark.parametrize(
    ("value", "sd", "unit", "said"),
    [(6.24, 0.31, "s", "6.2 ±0.3 s"), (6.24, 0.02, "s", "6.2 ±0.1 s"), (5.2, 0.9, "s", "5 ±1 s"),
     (1010.0, 0.2, "ft", "1,010 ±1 ft"), (47.7, 0.4, "deg", "47.7 ±0.4°")],
)  # fmt: skip
def test_nothing_is_known_to_nothing(value, sd, unit, said):
    assert words.size(value, sd, unit, whole=True) == said


def test_no_line_of_the_page_is_broken_within_a_measure():
    said = together("Bank 6 ±1° and 1,010 ±9 ft (308 m) at 14.0 ±0.8 kt, 3 times in 4 min 05 s; 2 miles")
    broken = [part.replace("\N{NO-BREAK SPACE}", "_") for part in said.split(" ")]
    assert broken == [
        "Bank", "6_±1°", "and", "1,010_±9_ft", "(308_m)", "at", "14.0_±0.8_kt,", "3", "times", "in", "4_min",
        "05_s;", "2", "miles",
    ]  # fmt: skip


@pytest.mark.parametrize(("interval", "said"), [(1.0, ""), (3.0, "every 3 s"), (4.96, "every 5 s")])
def test_few_samples_are_said_to_cost_something(interval, said):
    for debrief in (invented.empty(), invented.debrief()):
        seldom = replace(debrief, track=replace(debrief.track, interval=interval))
        told = [*recorded.none_reasons(seldom), *recorded.notes(seldom)]
        found = [each for each in told if "steep turns, S-turns and eights may not be found" in each]
        assert len(found) == (2 if said else 0)
        assert all(said in each for each in found)


def test_steep_turns_say_from_where_to_where_they_are_counted():
    debrief = invented_kinds.steep_turns()
    assert "from the middle of rolling in" in table(debrief, debrief.maneuvers[0], "laps").says


@pytest.mark.parametrize(
    ("source", "verdict", "said"),
    [("derived", "undetermined", True), ("derived", "met", False), ("measured", "undetermined", False)],
)
def test_an_airspeed_left_open_says_that_it_was_not_recorded(source, verdict, said):
    debrief = invented_kinds.s_turns()
    one = debrief.maneuvers[0]
    elements = tuple(
        replace(e, verdict=verdict) if e.what.startswith("airspeed") else e for e in one.elements
    )
    held = replace(one, elements=elements, airspeed=replace(one.airspeed, source=source))
    whys = {each.what.split()[0]: each.why for each in verdicts.verdicts(debrief, held)}
    assert ("Airspeed was not recorded: its changes are worked out" in whys["airspeed"]) is said
    assert not any("not recorded" in why for what, why in whys.items() if what != "airspeed")
