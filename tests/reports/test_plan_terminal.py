"""The plan on the terminal: it fits, it is whole, and its numbers are those of the plan."""

from __future__ import annotations

import io
from math import degrees, radians, tan

import pytest
from rich.console import Console

from groundref.planning import Blowing, Plan, Wanted, Where, plan
from groundref.planning.cautions import STANDING
from groundref.planning.kinds import LAYOUTS
from groundref.reports.plan_terminal import COLUMNS, summary
from groundref.units import foot, knot

PLACE = Where(latitude=radians(40.1), longitude=radians(-90.2), variation=radians(-2.1))


def made(kind: str, where: Where = PLACE, **wanted: float) -> Plan:
    wind = Blowing(14 * knot, radians(240), gust=8 * knot)
    return plan(kind, wind=wind, wanted=Wanted(**wanted), where=where)


def printed(one: Plan, width: int, *, full: bool = True) -> str:
    file = io.StringIO()
    console = Console(file=file, width=width, force_terminal=False, legacy_windows=False)
    console.print(summary(one, console_width=width, full=full))
    return file.getvalue()


@pytest.mark.parametrize("full", [True, False])
@pytest.mark.parametrize("width", [80, 100, 240])
@pytest.mark.parametrize("kind", LAYOUTS)
def test_every_kind_fits_and_nothing_is_cut_off(kind: str, width: int, full: bool) -> None:
    text = printed(made(kind), width, full=full)
    assert max(map(len, text.splitlines())) <= min(width, COLUMNS)
    assert "…" not in text
    assert "nan" not in text
    assert " ".join(text.split()).endswith(STANDING)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_each_marked_position_has_its_row(kind: str) -> None:
    one = made(kind)
    lines = [" ".join(line.split()) for line in printed(one, 100).splitlines()]
    rows = one.schedule
    for number, i in enumerate(rows.marked.nonzero()[0], 1):
        size = round(abs(degrees(rows.bank[i])))
        bank = f"{size}°" + ("" if not size else " R" if rows.bank[i] > 0 else " L")
        row = next(line for line in lines if line.startswith(f"{number} ") and "/" in line and bank in line)
        assert f" {rows.ground_speed[i] / knot:.0f} " in row
        assert f" {rows.height[i] / foot:,.0f} " in row


def test_directions_are_true_and_magnetic_where_known() -> None:
    text = printed(made("turns-around-a-point"), 100)
    assert "060° true, 062° magnetic" in text
    assert " 060/062 " in text
    plain = printed(made("turns-around-a-point", Where()), 100)
    assert "060° true" in plain
    assert "magnetic" not in plain
    assert "latitude" not in plain


def test_what_gives_way_is_said() -> None:
    unfit = printed(made("turns-around-a-point", radius=1000 * foot, bank_limit=radians(30)), 100)
    assert "no: fly wider, by" in unfit
    assert "do not fit together" in unfit
    assert "if a gust to 22 kt held" in unfit
    fits = printed(made("turns-around-a-point", radius=2500 * foot, bank_limit=radians(30)), 100)
    assert "together yes" in " ".join(fits.split())


def test_the_pylon_heights_stand_side_by_side() -> None:
    text = printed(made("eights-on-pylons"), 100)
    assert "by rule" in text
    assert "GS²/11.3 of the handbook holds in still air" in " ".join(text.split())
    assert "by rule" not in printed(made("s-turns"), 100)


def test_what_must_not_be_missed_comes_first_and_what_is_good_to_know_last() -> None:
    one = made("turns-around-a-point", radius=1000 * foot, bank_limit=radians(30))
    text = printed(one, 100)
    head, _, rest = text.partition("What to fly")
    serious = {c.weight.name for c in one.cautions} - {"NOTE"}
    assert serious
    assert all(f"- {weight}: " in head for weight in serious)
    assert "The surroundings are not stated" not in head
    assert rest.index("Good to know") < rest.index("The surroundings are not stated")
    assert rest.index("Good to know") < rest.index("Taken for granted") < rest.index("Assumed: ")


def test_the_corners_of_a_rectangle_stand_with_its_sides() -> None:
    """Corner radius R = (V + W)² / (g tan φ) out of the downwind leg, 35° of bank at the steepest."""
    one = made("rectangular-course")
    inputs = one.inputs
    radius = (inputs.true_airspeed + inputs.wind_speed) ** 2 / (9.80665 * tan(radians(35)))
    text = " ".join(printed(one, 100).split())
    assert f"Radius of the corners {radius / foot:,.0f} ft" in text
    assert "35° at the steepest" in text


def test_the_number_of_times_and_the_time_in_all_are_said() -> None:
    one = made("s-turns", laps=5.0)
    assert f"5 half circles, {one.extremes.time * 2.5 / 60:.1f} min" in printed(one, 100)


def test_s_turns_are_written_so() -> None:
    assert printed(made("s-turns"), 100).startswith("Plan: S-turns, ")


@pytest.mark.parametrize("kind", LAYOUTS)
def test_what_is_wanted_first_fits_on_one_screen(kind: str) -> None:
    one = made(kind)
    lines = printed(one, 100, full=False).splitlines()
    assert len(lines) <= 32
    text = " ".join(" ".join(lines).split())
    found = one.extremes
    assert "240° true, 242° magnetic at 14 kt" in text
    assert f"Bank {degrees(found.bank_max):.0f}°" in text
    assert f"{found.ground_speed_min / knot:.0f} to {found.ground_speed_max / knot:.0f} kt" in text
    assert f"crab up to {degrees(found.crab_max):.0f}°" in text
    assert f"{found.time:.0f} s once through" in text
    assert f"{one.safety.margins.above_stall / knot:.0f} kt above the stall" in text
    assert one.layout.entry.how in text
    assert "--full" in text
    # Of the rest no part begins there.
    assert not any(title in text for title in ("Taken for granted", "Where the point is", "Good to know"))


def test_every_serious_caution_stands_on_the_first_screen() -> None:
    one = made("turns-around-a-point", radius=700 * foot, bank_limit=radians(30))
    serious = [c for c in one.cautions if c.weight.name != "NOTE"]
    assert len(serious) >= 2
    text = " ".join(printed(one, 100, full=False).split())
    assert all(f"{c.weight.name}: {c.says}" in text for c in serious)


def test_the_steepest_place_is_named_only_where_a_position_is_as_steep() -> None:
    text = printed(made("turns-around-a-point"), 100, full=False)
    assert "at the steepest (downwind entry)" in text
    assert "at the shallowest (upwind)" in text
    assert "45° all the way" in printed(made("steep-turns"), 100, full=False)


def test_a_wind_limit_that_was_not_looked_beyond_says_so() -> None:
    """Wind is looked for up to 0.6 of the airspeed."""
    one = made("eights-on-pylons")
    bound = 0.6 * one.inputs.true_airspeed / knot
    text = " ".join(printed(one, 100, full=False).split())
    assert f"It works up to {bound:.0f} kt or more of wind from this direction." in text
    limited = " ".join(printed(made("turns-around-a-point"), 100, full=False).split())
    assert "or more of wind" not in limited
