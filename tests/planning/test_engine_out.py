"""Ground that can be reached gliding: outlines against the height left over places, found apart from them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.mechanics import glide_reach
from groundref.planning import Around, Blowing, Day, Plan, Wanted, plan
from groundref.planning.around import Surrounded
from groundref.planning.engine_out import EngineOut, engine_out, nearest_edge
from groundref.units import degree, foot, knot, nautical_mile, standard_gravity

KINDS = ("turns-around-a-point", "s-turns", "eights-on-pylons", "rectangular-course")
bearings = st.floats(0.0, 2 * np.pi)


@cache
def made(kind: str, wind_kt: float = 14.0) -> Plan:
    return plan(kind, wind=Blowing(wind_kt * knot, 240 * degree))


def air_of(one: Plan) -> dict[str, float]:
    found = one.safety.engine_out
    return {
        "true_airspeed": found.glide_speed,
        "bank": found.bank,
        "glide_ratio": found.glide_ratio,
        "wind_east": one.inputs.air.east,
        "wind_north": one.inputs.air.north,
    }


def left_over(one: Plan, place: np.ndarray) -> np.ndarray:
    """Return the height left over a place from every position."""
    found = one.safety.engine_out
    return glide_reach.arrival_height(
        place[0] - found.east, place[1] - found.north, found.height, one.schedule.heading, **air_of(one)
    )


@pytest.mark.parametrize("kind", KINDS)
def test_over_its_outline_no_height_is_left(kind: str) -> None:
    one = made(kind)
    found = one.safety.engine_out
    for position in range(0, one.schedule.time.size, 9):
        for place in np.stack(found.outline(position), axis=1)[::5]:
            left = left_over(one, place)[position]
            # The polygon lies up to 0.1 % of some 2,500 m inside the curve: 2.5 m are 0.3 m of height.
            assert -1e-3 <= left <= 0.5


@pytest.mark.parametrize("kind", KINDS[:3])
def test_over_the_common_outline_none_is_left_from_the_worst_position(kind: str) -> None:
    one = made(kind)
    edge = one.safety.engine_out.common_outline()
    assert edge is not None
    for place in np.stack(edge, axis=1)[::4]:
        assert left_over(one, place).min() == pytest.approx(0.2, abs=0.3)


@settings(max_examples=60)
@given(st.sampled_from(KINDS[:3]), bearings, st.floats(0.3, 1.7))
def test_inside_the_common_outline_every_position_reaches_it_and_outside_not(
    kind: str, bearing: float, share: float
) -> None:
    one = made(kind)
    found = one.safety.engine_out
    assert found.center is not None
    assert found.common is not None
    edge = float(np.interp(bearing, found.bearing, found.common, period=2 * np.pi))
    if abs(share - 1.0) > 0.01:  # between two rays 5° apart the polygon is cut short
        place = np.array(found.center) + share * edge * np.array([np.sin(bearing), np.cos(bearing)])
        assert bool((left_over(one, place) >= 0.0).all()) is (share < 1.0)


def test_in_a_calm_and_from_one_heading_the_outline_is_as_wide_as_it_is_by_hand() -> None:
    # Straight ahead height times ratio; straight back two radii aside and the half turn's height less.
    one = plan("turns-around-a-point")
    found = one.safety.engine_out
    nose = one.schedule.heading[0]
    ahead = np.interp(nose, found.bearing, found.reach[0], period=2 * np.pi)
    assert ahead == pytest.approx(found.height[0] * found.glide_ratio, rel=2e-3)
    factor = 1 / np.cos(found.bank)
    ratio = found.glide_ratio * 2 * factor / (1 + factor**2)
    level = np.cos(np.arctan(1 / (ratio * np.cos(found.bank))))
    radius = found.glide_speed**2 * level / (standard_gravity * np.tan(found.bank))
    back = (found.height[0] - found.half_turn_loss) * found.glide_ratio
    behind = np.arctan2(2 * radius, -back)
    far = np.interp(nose + behind, found.bearing, found.reach[0], period=2 * np.pi)
    assert far == pytest.approx(np.hypot(2 * radius, back), rel=3e-3)


def test_the_airplane_flies_on_for_the_reaction_time() -> None:
    one = made("turns-around-a-point")
    found = one.safety.engine_out
    away = np.hypot(found.east - one.schedule.east, found.north - one.schedule.north)
    assert away == pytest.approx(found.reaction_time * one.schedule.ground_speed)
    assert found.height == pytest.approx(one.schedule.height)  # faster than best glide


def test_slower_than_best_glide_the_speed_is_paid_for_in_height() -> None:
    slow = plan(
        "turns-around-a-point", aircraft="low-wing-trainer", wanted=Wanted(calibrated_airspeed=65 * knot)
    )
    found, flown = slow.safety.engine_out, slow.inputs.true_airspeed
    paid = (found.glide_speed**2 - flown**2) / (2 * standard_gravity)
    assert paid > 0.0
    assert slow.inputs.height - found.height == pytest.approx(paid)


def test_a_landing_place_is_judged_from_every_position_and_the_worst_is_named() -> None:
    around = Around(landing_from_origin=(60 * degree, 0.3 * nautical_mile))
    one = plan("turns-around-a-point", wind=Blowing(14 * knot, 240 * degree), around=around)
    landing = one.safety.engine_out.landing
    assert landing is not None
    place = 0.3 * nautical_mile * np.array([np.sin(60 * degree), np.cos(60 * degree)])
    assert landing.height == pytest.approx(left_over(one, place))
    assert landing.worst == int(left_over(one, place).argmin())
    assert landing.least == landing.height.min()
    (said,) = (each for each in one.cautions if each.name.startswith("landing"))
    assert one.schedule.name[landing.worst] in said.says
    assert f"{landing.least / foot:,.0f} ft left" in said.says


@pytest.mark.parametrize(("distance_nm", "name"), [(0.1, "landing-in-reach"), (3.0, "landing-out-of-reach")])
def test_near_and_far_landing_places(distance_nm: float, name: str) -> None:
    around = Around(landing_from_origin=(60 * degree, distance_nm * nautical_mile))
    high = Wanted(height=1000 * foot)
    one = plan("turns-around-a-point", wind=Blowing(14 * knot, 240 * degree), wanted=high, around=around)
    assert name in {each.name for each in one.cautions}


def test_a_landing_place_by_coordinates_is_that_by_bearing() -> None:
    from groundref.geo.frame import LocalFrame
    from groundref.planning import Where

    here = Where(latitude=radians(40.1), longitude=radians(-90.2))
    east, north = 700.0, -400.0
    place = LocalFrame(radians(40.1), radians(-90.2)).to_geographic(east, north)
    by_place = plan("s-turns", where=here, around=Around(landing=(float(place[0]), float(place[1]))))
    bearing = float(np.arctan2(east, north)), float(np.hypot(east, north))
    by_bearing = plan("s-turns", around=Around(landing_from_origin=bearing))
    ours, theirs = by_place.safety.engine_out.landing, by_bearing.safety.engine_out.landing
    assert ours is not None
    assert theirs is not None
    assert ours.height == pytest.approx(theirs.height, abs=1e-4)


def test_where_no_field_is_common_none_is_said() -> None:
    # Low, and from one end of the rectangle to the other farther than both can glide.
    wide = plan(
        "rectangular-course",
        wind=Blowing(20 * knot, 240 * degree),
        wanted=Wanted(height=500 * foot, spacing=3 * nautical_mile),
    )
    found = wide.safety.engine_out
    assert found.common is None
    assert found.common_outline() is None
    assert nearest_edge(found) is None
    assert "no-common-field" in {each.name for each in wide.cautions}


def test_a_wind_above_the_glide_is_said_and_not_computed_with() -> None:
    around = Around(landing_from_origin=(0.0, 500.0))
    fast = Wanted(calibrated_airspeed=120 * knot, radius=8000 * foot)
    one = plan("turns-around-a-point", wind=Blowing(80 * knot, 0.0), wanted=fast, around=around)
    assert one.safety.engine_out.landing is None
    assert "wind-above-glide" in {each.name for each in one.cautions}


def test_a_steeper_turn_and_no_reaction_reach_farther_back() -> None:
    one = made("turns-around-a-point")

    def reached(around: Surrounded) -> EngineOut:
        return engine_out(replace(one.inputs, around=around), one.schedule)

    shallow, steep = (reached(Surrounded(glide_bank=angle * degree)) for angle in (30, 45))
    assert shallow.common is not None
    assert steep.common is not None
    assert steep.half_turn_loss < shallow.half_turn_loss
    assert steep.common.min() > shallow.common.min()
    at_once = reached(Surrounded(reaction_time=0.0))
    assert at_once.common is not None
    assert at_once.common.mean() > shallow.common.mean()


def test_hot_and_high_the_glide_is_faster_and_as_far() -> None:
    thin = plan("s-turns", day=Day(elevation=6000 * foot)).safety.engine_out
    thick = plan("s-turns").safety.engine_out
    assert thin.glide_speed > 1.08 * thick.glide_speed
    assert thin.glide_ratio == thick.glide_ratio


@pytest.mark.parametrize("wind_kt", [0.0, 14.0])
def test_a_direction_is_named_only_where_the_reach_differs(wind_kt: float) -> None:
    one = made("turns-around-a-point", wind_kt)
    (said,) = (each for each in one.cautions if each.name == "no-landing-place")
    assert "can be glided to from every position" in said.says
    assert ("least to spare" in said.says) == (wind_kt > 0.0)
