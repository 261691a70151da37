"""The next exercise: one thing easier where something was weak, a step up where nothing was."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from groundref.errors import InputError, UsageError
from groundref.planning import Blowing, Day, Plan, Wanted, Where, plan
from groundref.planning.kinds import LAYOUTS
from groundref.planning.ladder import Next, propose
from groundref.planning.last_flown import parse_last, read_last
from groundref.standards.usual import usual
from groundref.units import degree, foot, knot

FAULTS = [
    "bank-held-constant",
    "overbanked-upwind",
    "underbanked-downwind",
    "late-turn-entry",
    "entry-not-downwind",
    "entry-too-close",
    "entry-too-far",
    "circle-off-point",
    "radius-changed",
    "bank-over-limit",
    "altitude-not-held",
    "airspeed-not-held",
    "outside-height-band",
    "uncoordinated",
    "wrong-crab",
    "unequal-half-circles",
    "not-level-at-line",
    "pivotal-altitude-not-followed",
    "straight-legs-not-straight",
    "leg-distance-uneven",
    "bank-not-held",
    "rollout-heading-missed",
]
KIND = "turns-around-a-point"


def maneuver(*faults: str, direction: str = "left", wind_kt: float = 14.0, **other: Any) -> dict[str, Any]:
    return {
        "kind": KIND,
        "direction": direction,
        "radius_ft": 1003.0,
        "wind": {"from_deg": 240.0, "speed_kt": wind_kt, "tas_kt": 98.0},
        "laps": [{}, {}],
        "findings": [{"fault": name, "says": ""} for name in faults],
        "elements": [],
    } | other


def proposed(
    *flown: dict[str, Any],
    wanted: Wanted | None = None,
    kind: str = KIND,
    document: dict[str, Any] | None = None,
    **given: Any,
) -> Next:
    whole = {"schema": "groundref/debrief/1", "maneuvers": list(flown)} | (document or {})
    last = parse_last(json.dumps(whole).encode(), "d.json", kind)
    return propose(last, wanted or Wanted(), **given)


def made(following: Next, kind: str = KIND) -> Plan:
    return plan(kind, wind=following.wind, wanted=following.wanted, day=following.day, where=following.where)


def rules(following: Next) -> list[str]:
    return [step.rule for step in following.steps]


def test_too_steep_is_flown_wider_so_that_45_degrees_do() -> None:
    following = proposed(maneuver("bank-over-limit", wind_kt=20.0))
    assert rules(following) == ["wider-radius"]
    assert following.wanted.radius is not None
    # (98 + 20 kt)² / g at 45°, over 1,250 ft: the handbook's ceiling decides.
    needed = (118 * knot) ** 2 / 9.80665
    assert needed <= following.wanted.radius < needed + 50 * foot


def test_bank_wrong_by_place_in_a_brisk_wind_asks_for_less_wind_too() -> None:
    assert rules(proposed(maneuver("overbanked-upwind"))) == ["wider-radius", "less-wind"]
    assert rules(proposed(maneuver("overbanked-upwind", wind_kt=6.0))) == ["bank-called-out"]


def test_what_should_be_held_takes_more_laps_and_an_entry_takes_entries() -> None:
    held = proposed(maneuver("altitude-not-held"))
    assert rules(held) == ["more-laps"]
    assert held.wanted.laps == usual(KIND).laps + 1
    entered = proposed(maneuver("late-turn-entry"))
    assert rules(entered) == ["more-entries"]
    assert entered.wanted.laps == 1


def test_all_well_one_way_goes_the_other_and_both_ways_goes_tighter() -> None:
    other = proposed(maneuver())
    assert rules(other) == ["other-direction"]
    assert other.wanted.direction == "right"
    assert other.wanted.radius == pytest.approx(1000 * foot)
    tighter = proposed(maneuver(), maneuver(direction="right"))
    assert rules(tighter) == ["tighter-radius"]
    assert tighter.wanted.radius == pytest.approx(900 * foot)


def test_a_limit_not_met_is_no_step_up() -> None:
    element = {"code": "PA.V.B.S7", "what": "altitude held within 100 ft", "verdict": "not-met"}
    assert rules(proposed(maneuver(elements=[element]))) == ["more-laps"]


def test_what_is_asked_for_stands_and_the_rule_says_what_it_would_do() -> None:
    asked = Wanted(radius=1700 * foot, laps=2, true_airspeed=80 * knot)
    following = proposed(maneuver("bank-over-limit", "altitude-not-held"), wanted=asked)
    assert following.wanted.radius == asked.radius
    assert following.wanted.laps == asked.laps
    assert following.wanted.true_airspeed == asked.true_airspeed
    assert rules(following) == ["wider-radius", "more-laps"]
    assert "the 1,700 ft asked for stand, where this rule would plan 1,250 ft" in following.steps[0].change
    assert "the 2 asked for stand" in following.steps[1].change


def test_a_wind_given_is_the_one_spoken_of() -> None:
    light = Blowing(8 * knot, 240 * degree)
    steps = {step.rule: step.change for step in proposed(maneuver("overbanked-upwind"), wind=light).steps}
    assert steps["less-wind"] == "the 8 kt planned for in place of the 14 kt flown in"
    strong = Blowing(18 * knot, 240 * degree)
    steps = {step.rule: step.change for step in proposed(maneuver("overbanked-upwind"), wind=strong).steps}
    assert "the 18 kt given stand" in steps["less-wind"]


def test_a_bank_limit_decides_how_much_wider_asked_for_or_of_the_plan_flown_by() -> None:
    by_hand = ((98 + 20) * knot) ** 2 / 9.80665 / math.tan(35 * degree)  # straight downwind: R = G²/(g tan φ)
    flown = maneuver("overbanked-upwind", wind_kt=20.0)
    asked = proposed(flown, wanted=Wanted(bank_limit=35 * degree))
    planned = proposed(flown, document={"plan": {"kind": KIND, "bank_limit_deg": 35.0}})
    for following in (asked, planned):
        assert following.wanted.radius is not None
        assert by_hand <= following.wanted.radius < by_hand + 50 * foot
        assert following.wanted.bank_limit == pytest.approx(35 * degree)
        assert "in place of 1,000 ft" in following.steps[0].change


def test_the_direction_is_the_one_flown_unless_it_is_asked_for() -> None:
    right = maneuver("late-turn-entry", direction="right")
    assert proposed(right, wanted=Wanted(direction="left")).wanted.direction == "right"
    stands = proposed(right, wanted=Wanted(direction="left"), direction_given=True)
    assert stands.wanted.direction == "left"
    well = proposed(maneuver(), wanted=Wanted(direction="left"), direction_given=True)
    assert well.wanted.direction == "left"
    assert "asked for stands" in well.steps[0].change


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("kind", LAYOUTS)
def test_every_common_error_has_a_step_in_the_words_of_its_kind(kind: str, fault: str) -> None:
    radius = 1003.0 if "turns" in kind or "eights-a" in kind else None
    following = proposed(maneuver(fault, kind=kind, radius_ft=radius), kind=kind)
    assert following.steps
    assert "none" not in rules(following)
    said = " ".join(f"{step.change} {step.why}" for step in following.steps)
    assert ("the point" in said) <= (kind == KIND)
    assert "7 in place of 6" not in said


def test_unequal_half_circles_get_references_and_not_an_odd_one_more() -> None:
    following = proposed(maneuver("unequal-half-circles", kind="s-turns", direction="both"), kind="s-turns")
    assert rules(following) == ["equal-references"]
    assert "both 1,000 ft from the line" in following.steps[0].change
    assert following.wanted.laps is None


def test_what_no_rule_knows_is_said() -> None:
    unknown = proposed(maneuver("of-another-day"))
    assert rules(unknown) == ["none"]
    assert unknown.steps[0].saw == "of another day"
    well = proposed(maneuver(kind="steep-turns", direction="both", radius_ft=None), kind="steep-turns")
    assert rules(well) == ["none"]
    assert well.steps[0].saw == "nothing stood out"


ALTITUDE = {"datum": "indicated", "reference_ft": 1406.8, "height_agl_ft": 775.0}
POINT = {"type": "point", "lat": 40.1, "lon": -90.2, "source": "fitted"}
FLIGHT = {"flight": {"start": "2026-05-01T14:00:00.575Z"}}


def test_ground_place_and_day_are_those_of_the_debrief_and_said() -> None:
    following = proposed(maneuver(altitude=ALTITUDE, reference=POINT), document=FLIGHT)
    result = made(following)
    assert result.inputs.elevation == pytest.approx(630 * foot)
    assert result.inputs.latitude == pytest.approx(40.1 * degree)
    assert result.inputs.longitude == pytest.approx(-90.2 * degree)
    # 2.1° W by the World Magnetic Model 2025, which tests/geo hold against its published values.
    assert result.inputs.variation == pytest.approx(-2.1 * degree, abs=0.3 * degree)
    said = " ".join(result.inputs.assumptions)
    assert "the ground at 630 ft" in said
    assert "40.1000° N, 90.2000° W" in said
    assert "mean sea level" not in said


def test_what_was_given_of_place_and_ground_stands() -> None:
    flown = maneuver(altitude=ALTITUDE, reference=POINT)
    other = Where(latitude=0.5, longitude=0.1)
    following = proposed(flown, document=FLIGHT, where=other, day=Day(elevation=100.0))
    assert following.where == other
    assert following.day.elevation == 100.0
    assert "nothing of the place" in " ".join(following.day.assumptions)
    high = proposed(flown, day=Day(elevation=100.0))
    assert high.day.elevation == 100.0


def test_a_height_above_another_datum_tells_no_ground() -> None:
    flown = maneuver(altitude=ALTITUDE | {"datum": "pressure"}, reference=POINT)
    following = proposed(flown)
    assert following.day.elevation is None
    assert "the ground's elevation is not known" in " ".join(following.day.assumptions)


def test_the_line_is_the_one_flown_with_the_wind_behind() -> None:
    line = {"type": "line", "bearing_deg": 150.0, "ends": [[40.08, -90.09], [40.12, -90.11]]}
    flown = maneuver(kind="s-turns", direction="both", reference=line, laps=[{"turn_deg": -174.0}])
    result = made(proposed(flown, kind="s-turns"), "s-turns")
    assert math.degrees(result.layout.entry.track) % 360 == pytest.approx(60.0)
    assert result.inputs.latitude == pytest.approx(40.10 * degree)


def test_the_course_flown_is_planned_again_around_the_field_inside() -> None:
    """Its corners lie about the equator, where a degree is 60 nautical miles both ways."""
    east, north = 8448.0 * foot / 1852 / 60, 6168.0 * foot / 1852 / 60
    corners = [[north, 0.0], [north, east], [0.0, east], [0.0, 0.0]]
    flown = maneuver(
        kind="rectangular-course",
        radius_ft=None,
        reference={"type": "rectangle", "corners": corners, "source": "fitted"},
        laps=[{"turn_deg": -360.0, "legs": [{"name": "downwind", "course_deg": 90.0}]}],
        wind={"from_deg": 270.0, "speed_kt": 10.0, "tas_kt": 90.0},
    )
    following = proposed(flown, kind="rectangular-course")
    assert following.wanted.spacing == pytest.approx(5280 * foot, rel=0.003)
    assert following.wanted.radius == pytest.approx(1500 * foot, rel=0.003)
    result = made(following, "rectangular-course")
    reach = result.schedule.east.max() - result.schedule.east.min()
    assert reach == pytest.approx(8448 * foot, rel=0.01)
    given = proposed(
        flown | {"reference": {"type": "rectangle", "corners": corners, "source": "given"}},
        kind="rectangular-course",
    )
    assert given.wanted.spacing == pytest.approx(8448 * foot, rel=0.003)


def test_a_wider_loop_has_pylons_farther_apart() -> None:
    pylons = {"type": "pylons", "points": [[0.0, 0.0], [0.0, 3000 * foot / 1852 / 60]]}
    flown = maneuver("bank-over-limit", kind="eights-around-pylons", direction="both", reference=pylons)
    following = proposed(flown, kind="eights-around-pylons")
    assert following.wanted.radius == pytest.approx(1250 * foot)
    places = made(following, "eights-around-pylons").layout.places
    assert math.dist(*places) == pytest.approx(3 * 1250 * foot)
    assert "about pylons 3 of it apart" in following.steps[0].change


def test_pylons_are_kept_where_there_is_room_between_them() -> None:
    for feet, kept in ((4400.0, True), (2500.0, False)):
        pylons = {"type": "pylons", "points": [[0.0, 0.0], [0.0, feet * foot / 1852 / 60]]}
        flown = maneuver("radius-changed", kind="eights-around-pylons", direction="both", reference=pylons)
        following = proposed(flown, kind="eights-around-pylons")
        apart = math.dist(*made(following, "eights-around-pylons").layout.places)
        assert apart == pytest.approx((feet if kept else 3000.0) * foot, rel=0.003)
        assert ("too near" in " ".join(following.day.assumptions)) != kept


def test_the_wind_is_that_of_the_flight() -> None:
    following = proposed(maneuver(), maneuver(wind=None, direction="right"))
    assert following.wind is None
    known = proposed(maneuver())
    assert known.wind is not None
    assert known.wind.speed == pytest.approx(14 * knot)


def test_every_step_says_what_it_saw_and_why() -> None:
    for step in proposed(maneuver("bank-over-limit", "late-turn-entry", "altitude-not-held")).steps:
        assert step.saw
        assert step.change
        assert step.why


@pytest.mark.parametrize("content", [b"", b"{}", b"[1]", b'{"schema": "groundref/debrief/1"}', b"\xff"])
def test_what_is_no_debrief_is_refused(content: bytes) -> None:
    with pytest.raises(InputError, match="not a debrief"):
        parse_last(content, "d.json", KIND)


def test_a_debrief_without_the_kind_is_refused_with_what_it_has() -> None:
    with pytest.raises(UsageError, match="no s-turns was flown in it, but turns-around-a-point"):
        proposed(maneuver(), kind="s-turns")
    with pytest.raises(InputError, match="no such file"):
        read_last("nowhere.json", KIND)
