"""A flight by a plan: the numbers side by side, and a plan that was too tight is cured by a wider turn."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from math import degrees, radians
from pathlib import Path

import pytest

from groundref.comparison.compare import compare, with_plan
from groundref.comparison.differing import in_short
from groundref.comparison.document import to_dict
from groundref.comparison.reading import parse_plan, read_plan
from groundref.comparison.row import Row
from groundref.debriefing import Debrief, debrief
from groundref.errors import InputError, UsageError
from groundref.measures import in_metric, in_us
from groundref.planning import Blowing, Day, Plan, Wanted, Where, plan
from groundref.planning.kinds import LAYOUTS
from groundref.planning.ladder import propose
from groundref.planning.last_flown import parse_last
from groundref.simulation import simulate
from groundref.units import foot, knot

KIND = "turns-around-a-point"
GROUND = 620.0 * foot
LATITUDE, LONGITUDE = radians(40.1), radians(-90.2)
SPEED = 98 * knot


def planned(
    kind: str = "turns-around-a-point",
    *,
    radius: float | None = 1500 * foot,
    bank_limit: float | None = None,
    direction: str = "left",
    latitude: float = LATITUDE,
) -> Plan:
    return plan(
        kind,
        wind=Blowing(14 * knot, radians(240)),
        wanted=Wanted(true_airspeed=SPEED, radius=radius, bank_limit=bank_limit, direction=direction),
        day=Day(elevation=GROUND),
        where=Where(latitude, LONGITUDE),
    )


@cache
def flown(
    kind: str = "turns-around-a-point",
    wind_kt: float = 14.0,
    radius_ft: float | None = 1500.0,
    fault: str = "",
) -> Debrief:
    recording, _ = simulate(
        kind,
        true_airspeed=SPEED,
        wind_speed=wind_kt * knot,
        wind_from=radians(240),
        radius=None if radius_ft is None else radius_ft * foot,
        ground_elevation=GROUND,
        latitude=LATITUDE,
        longitude=LONGITUDE,
        recorder="avionics",
        faults={fault: None} if fault else None,
    )
    return debrief(recording, ground=GROUND)


def written(made: Plan) -> bytes:
    return json.dumps(made.to_dict()).encode()


def test_a_plan_reads_back_as_it_was() -> None:
    made = planned(bank_limit=radians(30))
    again = parse_plan(written(made), "plan.json")
    assert again.inputs.kind == made.inputs.kind
    assert again.extremes.bank_max == pytest.approx(made.extremes.bank_max, abs=radians(0.1))
    assert again.fit is not None
    assert made.fit is not None
    assert again.fit.works == made.fit.works
    assert again.layout.radius == pytest.approx(made.layout.radius, abs=foot)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_what_was_flown_as_planned_stands_beside_it(kind: str) -> None:
    made = planned(kind, radius=None)
    comparison = compare(flown(kind, radius_ft=None), made)
    assert comparison.number == 1
    rows = {row.name: row for row in comparison.rows}
    wind = rows["wind"]
    assert wind.planned == pytest.approx(14 * knot)
    assert wind.flown == pytest.approx(14 * knot, abs=2 * knot)
    assert not any("stronger" in words or "lighter" in words for words in comparison.says)
    once = rows["once through"]
    if kind in ("turns-around-a-point", "eights-along-a-road", "eights-around-pylons", "s-turns"):
        # A roll from one bank to the other takes some seconds, which the plan's pieces do not have.
        rolls = 0.0 if kind == "turns-around-a-point" else 10.0
        assert once.planned is not None
        assert once.flown is not None
        assert -0.05 * once.planned <= once.flown - once.planned <= 0.05 * once.planned + rolls


def test_a_stronger_wind_is_said_with_what_it_asked_for() -> None:
    comparison = compare(flown(wind_kt=23.0), planned())
    said = " ".join(comparison.says)
    assert "9 kt stronger than briefed" in said
    assert comparison.as_flown is not None
    assert f"needed {degrees(comparison.as_flown.extremes.bank_max):.0f}° at its steepest" in said


def test_who_planned_too_tight_is_told_to_fly_wider_not_to_bank_less() -> None:
    tight = planned(radius=1000 * foot, bank_limit=radians(30))
    assert tight.fit is not None
    assert not tight.fit.works
    result = flown(radius_ft=1000.0, fault="bank-over-limit")
    comparison = compare(result, tight)
    assert comparison.says[0].startswith("Already as planned, 1,000 ft needed 4")
    assert "fly wider" in comparison.says[0]
    cured = with_plan(result, comparison)
    over = [f for f in cured.maneuvers[0].findings if f.fault == "bank-over-limit"]
    assert over, "bank over the limit was ordered and must be found"
    assert over[0].cure.startswith("Fly wider")


def test_a_plan_that_works_leaves_the_cures_alone() -> None:
    result = flown(fault="underbanked-downwind")
    comparison = compare(result, planned())
    assert with_plan(result, comparison).maneuvers[0].findings == result.maneuvers[0].findings


def test_another_radius_and_the_other_way_round_are_said() -> None:
    said = compare(flown(radius_ft=1800.0), planned(direction="right")).says
    assert any("ft wider than planned" in words for words in said)
    assert "Planned to the right, flown to the left." in said


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (
            planned("s-turns"),
            "The plan is for S-turns, and what was flown is turns around a point: "
            "plan and flight are of different kinds, so they are not compared.",
        ),
        (
            planned(latitude=LATITUDE + radians(1.0)),
            "The plan is for turns around a point, and those that were flown are more than "
            "2 nautical miles from its place, so they are not compared.",
        ),
    ],
)
def test_a_plan_that_nothing_was_flown_by_is_said(made: Plan, says: str) -> None:
    comparison = compare(flown(), made)
    assert (comparison.number, comparison.rows) == (None, ())
    assert comparison.says == (says,)
    assert with_plan(flown(), comparison) is flown()


def test_a_plan_of_a_flight_without_a_maneuver_is_said() -> None:
    says = compare(replace(flown(), maneuvers=()), planned("s-turns")).says
    assert says == ("The plan is for S-turns, and no maneuver was found that could be compared with it.",)


def test_the_document_has_units_and_no_nan() -> None:
    document = to_dict(compare(flown(), planned()))
    text = json.dumps(document, allow_nan=False)
    assert '"planned_kt": 14.0' in text
    assert document["maneuver"] == 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "not a plan"),
        (b"\xff\xfe", "not a plan"),
        (b"[]", "not a plan"),
        (b'{"schema": "groundref/debrief/1", "maneuver": "s-turns"}', "not a plan"),
        (written(planned()).replace(b"groundref/plan/1", b"groundref/plan/9"), "schema"),
        (written(planned()).replace(b'"wind_kt": 14.0', b'"wind_kt": "much"'), "not a plan"),
    ],
)
def test_what_is_not_a_plan_is_refused_in_a_sentence(content: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_plan(content, "plan.json")


def test_a_plan_that_cannot_be_flown_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_plan(str(tmp_path / "none.json"))
    wild = written(planned()).replace(b'"turns-around-a-point"', b'"loop"')
    with pytest.raises(UsageError, match="not a maneuver"):
        parse_plan(wild, "plan.json")


def test_where_an_error_was_found_it_was_not_flown_as_planned() -> None:
    """Unequal half circles have the planned radius in the mean: the two sizes and the bank tell them."""
    result = flown("s-turns", radius_ft=1400.0, fault="unequal-half-circles")
    comparison = compare(result, planned("s-turns", radius=1400 * foot))
    said = " ".join(comparison.says)
    assert "Planned with one radius, flown with two: half circles to the left 1," in said
    assert "where 1,400 ft were planned for both" in said
    assert "Flown as planned" not in said + comparison.in_short


def test_a_circle_a_little_tighter_is_said_from_five_in_a_hundred_on() -> None:
    said = " ".join(compare(flown(radius_ft=1380.0), planned()).says)
    assert "ft tighter than planned" in said
    assert "tighter" not in " ".join(compare(flown(), planned()).says)


def test_a_plan_flown_well_is_said_to_be_flown_as_planned() -> None:
    comparison = compare(flown(), planned())
    assert not flown().maneuvers[0].findings
    assert comparison.says == ()
    assert comparison.in_short == "Flown as planned, as far as the recording can tell."


def numbers(**flown_at: float) -> tuple[Row, ...]:
    rows = (
        Row("radius", "length", 1000.0, 1000.0, 10.0),
        Row("steepest bank", "angle", radians(35), radians(35), radians(1)),
        Row("once through", "time", 60.0, 60.0),
        Row("shallowest bank", "angle", None, None),
    )
    return tuple(replace(row, flown=flown_at.get(row.name.replace(" ", "_"), row.flown)) for row in rows)


@pytest.mark.parametrize(
    ("rows", "found", "words"),
    [
        (numbers(), False, "Flown as planned"),
        (numbers(), True, "Nothing differs from the plan beyond the findings above."),
        (numbers(radius=1030.0), True, "beyond the findings"),  # from 100 ft on, 30.48 m, where 5 % are 50 m
        (numbers(radius=1031.0), True, "radius 3,383 ft where 3,281 ft was planned (102 ft more)."),
        (numbers(steepest_bank=radians(38.9)), False, "Flown as planned"),
        (numbers(steepest_bank=radians(39.1)), False, "steepest bank 39° where 35° was planned (4° more)."),
        (
            numbers(steepest_bank=radians(30.6), once_through=80.0),
            False,
            "Not as planned: steepest bank 31° where 35° was planned (4° less); "
            "once through 80 s where 60 s was planned (20 s more).",
        ),
        (numbers(once_through=80.0), True, "once through 80 s where 60 s was planned (20 s more)."),
    ],
)
def test_in_short(rows: tuple[Row, ...], found: bool, words: str) -> None:
    assert words in in_us(in_short(rows, found=found))


def test_in_short_in_meters() -> None:
    """A number that is off is told in the reader's unit, too."""
    said = in_metric(in_short(numbers(radius=1031.0), found=False))
    assert said == "Not as planned: radius 1,031 m where 1,000 m was planned (31 m more)."


def test_debrief_and_next_exercise_agree_on_how_much_wider() -> None:
    """The same wind and the same limit, by the one function."""
    tight = planned(radius=1000 * foot, bank_limit=radians(30))
    result = flown(radius_ft=1000.0, fault="bank-over-limit")
    comparison = compare(result, tight)
    document = result.to_dict() | {"plan": to_dict(comparison)}
    following = propose(parse_last(json.dumps(document).encode(), "d.json", KIND), Wanted())
    assert following.wanted.radius is not None
    assert f"next time fly wider, {following.wanted.radius / foot:,.0f} ft" in comparison.says[0]
    assert following.wanted.bank_limit == pytest.approx(radians(30))
