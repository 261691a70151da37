"""What stands in one place of a report agrees with what stands in another, and says what it means."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from statistics import mean

import numpy as np
import pytest

from groundref import debriefing
from groundref.reports import cursor, facts, reading, recorded, verdicts, words
from groundref.reports.html import together
from groundref.reports.known.blocks import Debriefed
from groundref.reports.sections.every import SECTIONS
from groundref.simulation import simulate
from groundref.units import degree, foot
from tests.reports import invented, invented_kinds


def fact(debrief, one, name):
    return next(fact.value for fact in facts.facts(debrief, one) if fact.name == name)


def table(debrief, one, name):
    return next(found for found in SECTIONS[one.maneuver.kind].tables(debrief, one) if found.name == name)


def row(debrief, one, name):
    return [cell.main for cell in dict(table(debrief, one, "laps").rows)[name]]


@pytest.mark.parametrize("kind", ["turns-around-a-point", "s-turns"])
def test_the_largest_bank_is_as_uncertain_everywhere(kind):
    """In the facts, in the verdict on it, in both notes of how it is known, and in the JSON."""
    one = flown(kind).maneuvers[0]
    document = flown(kind).to_dict()
    kept = document["maneuvers"][0]
    (judged,) = (each for each in verdicts.verdicts(flown(kind), one) if each.what.startswith("bank"))
    (element,) = (each for each in kept["elements"] if each["what"].startswith("bank"))
    assert element["worst_sd"] == kept["bank"]["sd_deg"]
    said = fact(flown(kind), one, "largest bank")
    assert said.startswith(judged.worst.main.replace("°", "° at ", 1))
    how = Debriefed(document, kept)
    (of_fact,) = how.notes("facts", ["largest bank"])
    (of_element,) = (each for each in how.elements() if each.names[0].startswith("bank"))
    assert within(of_fact.says) == within(of_element.says) != ""


def test_a_recorded_bank_is_as_sure_as_its_sensor_in_every_place():
    """1° of alignment, which all samples share, stands in every bank of steep turns and at the line."""
    recording, _ = simulate("steep-turns", seed=2, recorder="avionics")
    one = debriefing.debrief(recording).maneuvers[0]
    assert one.bank.source == "measured"
    assert one.bank.sd > 1.0 * degree
    assert all(turn.bank_sd > 1.0 * degree for turn in one.details.turns)


@pytest.mark.parametrize("units", reading.UNITS)
def test_a_note_is_in_the_units_of_its_page(units):
    """The deviation of the point is kept in meters, that of the radius in feet: both are read alike."""
    document = flown("turns-around-a-point").to_dict()
    kept = document["maneuvers"][0]
    unit, size = ("m", 1.0) if units == reading.METRIC else ("ft", foot)
    with reading.reading(units):
        point, radius, wind = (
            Debriefed(document, kept).notes("facts", [name])[0].says
            for name in ("the point", "radius held", "true airspeed")
        )
    assert within(point) == f"±{1.959964 * kept['reference']['sd_m'] / size:.0f} {unit}"
    assert within(radius) == f"±{1.959964 * kept['radius_sd_ft'] * foot / size:.0f} {unit}"
    assert within(wind).endswith(" km/h" if units == reading.METRIC else " kt")


def test_radii_by_side_have_the_note_of_the_radii_by_side():
    recording, _ = simulate("s-turns", faults={"unequal-half-circles": 400.0}, seed=5)
    made = debriefing.debrief(recording)
    (one,), (kept,) = made.maneuvers, made.to_dict()["maneuvers"]
    said = fact(made, one, "radius held, right and left")
    sds = [kept[f"radius_{side}_sd_ft"] for side in ("right", "left")]
    assert re.findall(r"±(\d+) ft", said) == [f"{sd:.0f}" for sd in sds]
    (note,) = Debriefed(made.to_dict(), kept).notes("facts", ["radius held, right and left"])
    assert within(note.says) == " and ".join(f"±{1.959964 * sd:.0f} ft" for sd in sds)


@pytest.mark.parametrize(
    ("kind", "units"),
    [
        ("turns-around-a-point", ["°", " ft"]),
        ("s-turns", ["°"]),
        ("rectangular-course", ["°"]),
        ("eights-on-pylons", [" ft"]),
        ("steep-turns", []),
    ],
)
def test_the_note_of_the_entry_is_about_what_stands_there(kind, units):
    """One deviation for each that is printed, 1.96 times as large to its rounding; none for what is not."""
    made = flown(kind)
    (one,), (kept,) = made.maneuvers, made.to_dict()["maneuvers"]
    printed = re.findall(r"±(\d+)(°| ft)", re.sub(r"±(\d+) ft", r"±\1 ft", fact(made, one, "entry")))
    (note,) = Debriefed(made.to_dict(), kept).notes("facts", ["entry"])
    told = re.findall(r"±([\d.]+)(°| ft)", within(note.says))
    assert [unit for _, unit in told] == units == [unit for _, unit in printed]
    for (sd, _), (wide, _) in zip(printed, told, strict=True):
        assert abs(float(wide) - 1.96 * float(sd)) <= 1.0


def within(says):
    found = re.search(r"95% within ([^.]*(?:\.\d[^.]*)?)\.", says)
    return found[1] if found else ""


@cache
def flown(kind):
    recording, _ = simulate(kind, seed=4)
    return debriefing.debrief(recording)


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
    assert fact(*half_circles(1410.0, 980.0), "radius held, right and left") == (
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
