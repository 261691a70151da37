"""Cautions of safety: said where they hold, silent where not, with their numbers, most serious first."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from groundref.aircraft.loading import load_aircraft
from groundref.planning import Around, Blowing, Day, Plan, Wanted, plan
from groundref.planning.cautions import STANDING, Caution
from groundref.units import celsius_zero, degree, foot, knot

PLANE = load_aircraft("low-wing-trainer")
WIND = Blowing(14 * knot, 240 * degree)


def said(one: Plan, name: str) -> Caution | None:
    return next((each for each in one.cautions if each.name == name), None)


@pytest.mark.parametrize(
    ("kt", "weight"), [(65, "STOP"), (70, "STOP"), (74, "CARE"), (80, "CARE"), (95, None)]
)
def test_near_the_stall(kt: float, weight: str | None) -> None:
    # 61.8 kt at 45°: with the 10 kt that PA.V.A.S5 allows 71.8; with 1.3 times 80.4.
    steep = plan("steep-turns", aircraft=PLANE, wanted=Wanted(calibrated_airspeed=kt * knot))
    found = said(steep, "stall-margin")
    assert (None if found is None else found.weight.name) == weight


def test_above_maneuvering_speed_in_steep_turns_and_in_gusts() -> None:
    fast = Wanted(calibrated_airspeed=112 * knot)
    steep = said(plan("steep-turns", aircraft=PLANE, wanted=fast), "above-maneuvering-speed")
    assert steep is not None
    assert steep.source == "PA.V.A.S2"
    assert "110 kt at 1,150 kg" in steep.says
    slower = plan("steep-turns", aircraft=PLANE, wanted=Wanted(calibrated_airspeed=108 * knot))
    assert said(slower, "above-maneuvering-speed") is None
    # The same 108 kt are too fast for it when it is light.
    light = plan("steep-turns", aircraft=PLANE.at_mass(900.0), wanted=Wanted(calibrated_airspeed=108 * knot))
    assert said(light, "above-maneuvering-speed") is not None
    wide = replace(fast, radius=2500 * foot)
    smooth = plan("turns-around-a-point", aircraft=PLANE, wind=WIND, wanted=wide)
    assert said(smooth, "above-maneuvering-speed") is None
    rough = plan("turns-around-a-point", aircraft=PLANE, wind=replace(WIND, gust=8 * knot), wanted=wide)
    assert said(rough, "above-maneuvering-speed") is not None


def test_limits_of_the_airplane() -> None:
    weak = replace(PLANE, max_bank=40 * degree, limit_load_factor=1.2, normal_operating_speed=90 * knot)
    one = plan("steep-turns", aircraft=weak)
    for name in ("bank-above-airplane", "load-factor", "above-normal-operating-speed"):
        assert said(one, name) is not None
        assert said(plan("steep-turns", aircraft=PLANE), name) is None


def test_the_bank_of_the_standard() -> None:
    # CA.V.E.S5: bank no more than 40°; CA.V.A: about 50°.
    pylons = plan(
        "eights-on-pylons", wind=WIND, wanted=Wanted(bank_limit=43 * degree), standard="commercial-pilot"
    )
    over = said(pylons, "bank-above-standard")
    assert over is not None
    assert "43° is above the 40°" in over.says
    steep = plan("steep-turns", wanted=Wanted(bank_limit=40 * degree), standard="commercial-pilot")
    assert said(steep, "bank-off-standard") is not None
    assert said(plan("steep-turns", standard="commercial-pilot"), "bank-off-standard") is None


def test_gusts_say_what_they_change() -> None:
    gusty = plan("turns-around-a-point", wind=replace(WIND, gust=10 * knot))
    found = said(gusty, "gusts")
    assert found is not None
    assert gusty.safety.margins.bank_in_gust is not None
    assert f"becomes {gusty.safety.margins.bank_in_gust / degree:.0f}°" in found.says
    assert said(plan("turns-around-a-point", wind=WIND), "gusts") is None
    over = plan("turns-around-a-point", wind=replace(WIND, gust=25 * knot), wanted=Wanted(bank_limit=0.7))
    found = said(over, "gusts")
    assert found is not None
    assert found.weight.name == "CARE"


def test_hot_and_high() -> None:
    hot = plan("s-turns", day=Day(elevation=5000 * foot, temperature=celsius_zero + 32))
    found = said(hot, "density-altitude")
    assert found is not None
    # Standard tables put 32 °C at a pressure altitude of 5,800 ft near 8,900 ft; the rule of thumb of 120 ft
    # a degree gives 8,965 ft.
    assert hot.safety.thin_air.density_altitude / foot == pytest.approx(8965, abs=120)
    assert "wider than at sea level" in found.says
    assert said(plan("s-turns"), "density-altitude") is None


@pytest.mark.parametrize(
    "kind",
    [
        "turns-around-a-point", "s-turns", "rectangular-course", "eights-along-a-road",
        "eights-across-a-road", "eights-around-pylons", "eights-on-pylons", "steep-turns",
    ],
)  # fmt: skip
def test_every_kind_has_its_safety_and_the_standing_line_ends_the_cautions(kind: str) -> None:
    around = Around("open", 100 * foot, landing_from_origin=(1.0, 800.0))
    one = plan(kind, wind=WIND, around=around)
    weights = [each.weight for each in one.cautions]
    assert weights == sorted(weights, reverse=True)
    document = one.to_dict()
    words = document["cautions"]
    assert isinstance(words, list)
    assert words[-1] == STANDING
    assert any(each.name.startswith("landing") for each in one.cautions)


@pytest.mark.parametrize("height", [150.0, 150.55, 400.0])
def test_a_caution_in_meters_is_made_from_the_full_value(height: float) -> None:
    """150.55 m are 494 ft, and 494 ft are 151 m; 150.2 m, said in feet first, would be 493 ft and 150 m."""
    made = plan("turns-around-a-point", aircraft=PLANE, wanted=Wanted(height=height, radius=450.0))
    assert not [one for one in made.cautions if re.search("[\ue000-\uf8ff]", one.says + one.says_metric)]
    low = said(made, "surroundings-not-stated")
    assert low is not None
    assert f" {height / foot:,.0f} ft is " in low.says
    assert f" {height:.0f} m is {abs(height - 500 * foot):.0f} m " in low.says_metric


def test_what_the_handbook_asks_for_in_feet_stands_beside_its_meters() -> None:
    made = plan(
        "turns-around-a-point",
        wanted=Wanted(height=800 * foot),
        around=Around(surroundings="open", obstacle=320 * foot),
    )
    near = said(made, "near-obstacle")
    assert near is not None
    assert "asks for 500 ft above and 2,000 ft to the side" in near.says
    assert "asks for 152 m (500 ft) above and 610 m (2,000 ft) to the side" in near.says_metric
    assert "clears the obstacle of 98 m by 146 m" in near.says_metric
