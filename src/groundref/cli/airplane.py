"""Airplanes on the terminal: all in one table, or one with its speeds, its turns and what its wing hides."""

from __future__ import annotations

from math import degrees, isfinite
from typing import TYPE_CHECKING, Final

from rich.table import Table
from rich.text import Text

from groundref.aircraft.aircraft import LEFT_SEAT
from groundref.aircraft.keys import BY_NAME
from groundref.mechanics import limits, turn
from groundref.mechanics.wing_view import hidden_depressions
from groundref.units import degree, foot, kilometre_per_hour, knot, pound

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console

    from groundref.aircraft.aircraft import Aircraft

NOT_KNOWN: Final = "not known"
# Wings level, the usual limit of teaching, the handbook's ceiling, and the load factor of two.
_BANKS_DEG: Final = (0, 30, 45, 60)

Row = tuple[str, str, str, str]  # key of the file, what it is, US and metric


def table(airplanes: Iterable[Aircraft]) -> Table:
    """Return the airplanes one below the other."""
    heads = ("mass, kg", "practice", "stall", "flaps", "VA", "glide")
    shown = _columns(("airplane", "left"), *((head, "right") for head in heads))
    for airplane in airplanes:
        speeds = (
            airplane.practice_speed, airplane.stall_speed, airplane.stall_speed_flaps,
            airplane.maneuvering_speed, airplane.glide_speed,
        )  # fmt: skip
        numbers = ("–" if speed is None else f"{speed / knot:.0f}" for speed in speeds)
        shown.add_row(Text(f"{airplane.name}\n{airplane.title}"), f"{airplane.mass:,.0f}", *numbers)
    shown.caption = (
        "Speeds in knots, calibrated; stall, with flaps, maneuvering (VA) and best glide at the mass shown."
    )
    shown.caption_justify = "left"
    return shown


def show(airplane: Aircraft, out: Console) -> None:
    """Print one airplane, at its mass."""
    out.print(f"{airplane.title} ({airplane.name})", style="bold", markup=False)
    out.print(_figures(airplane))
    out.print("\nSpeeds with mass, calibrated", style="bold")
    out.print(_with_mass(airplane))
    out.print(f"\nLevel turns at {_knots(airplane.practice_speed)}, clean", style="bold")
    out.print(_turns(airplane))
    out.print(_what_comes_first(airplane))
    out.print("\nAbeam, seen from the left seat with the nose level", style="bold")
    for side, words in ((-1.0, "left"), (1.0, "right")):
        out.print(_hides(airplane, side, words))
    if airplane.assumed:
        out.print("\nAssumed (*), because the file does not say", style="bold")
        for key in airplane.assumed:
            out.print(f"{key}: {BY_NAME[key].assumed}", markup=False)
    out.print(f"\nSource: {airplane.source}", markup=False)


def _figures(airplane: Aircraft) -> Table:
    shown = _columns(("", "left"), ("US", "right"), ("metric", "right"), ("", "left"))
    for key, what, american, metric in (*_speeds(airplane), *_weights(airplane), *_wing(airplane)):
        shown.add_row(what, american, metric, "*" if key in airplane.assumed else "")
    return shown


def _speeds(airplane: Aircraft) -> list[Row]:
    speeds = {
        "practice_speed_kt": airplane.practice_speed,
        "stall_speed_kt": airplane.stall_speed,
        "stall_speed_flaps_kt": airplane.stall_speed_flaps,
        "maneuvering_speed_kt": airplane.maneuvering_speed,
        "normal_operating_speed_kt": airplane.normal_operating_speed,
        "never_exceed_speed_kt": airplane.never_exceed_speed,
        "glide_speed_kt": airplane.glide_speed,
    }
    return [
        (key, f"{BY_NAME[key].title}, calibrated", _knots(speed), _kilometers_an_hour(speed))
        for key, speed in speeds.items()
    ]


def _weights(airplane: Aircraft) -> list[Row]:
    masses = {
        "mass_kg": ("Mass for these speeds", airplane.mass),
        "mass_min_kg": ("Least mass", airplane.mass_min),
        "mass_max_kg": ("Greatest mass", airplane.mass_max),
    }
    numbers = {
        "glide_ratio": ("Glide ratio, still air", f"{airplane.glide_ratio:g}"),
        "roll_rate_deg_s": ("Roll rate in ordinary turns", f"{degrees(airplane.roll_rate):.0f}°/s"),
        "limit_load_factor_g": ("Limit load factor", f"{airplane.limit_load_factor:g} g"),
        "max_bank_deg": ("Greatest bank on purpose", f"{degrees(airplane.max_bank):.0f}°"),
    }
    return [
        *((key, what, f"{mass / pound:,.0f} lb", f"{mass:,.0f} kg") for key, (what, mass) in masses.items()),
        *((key, what, number, number) for key, (what, number) in numbers.items()),
    ]


def _wing(airplane: Aircraft) -> list[Row]:
    where = "Eye below the wing" if airplane.high_wing else "Eye above the wing"
    lengths = {
        "wing_span_m": ("Wing span", airplane.wing_span),
        "wing_chord_m": ("Wing chord", airplane.wing_chord),
        "eye_to_wing_m": (where, airplane.eye_to_wing),
        "eye_from_centerline_m": ("Eye to centerline", airplane.eye_from_centerline),
        "eye_behind_leading_edge_m": ("Eye behind leading edge", airplane.eye_behind_leading_edge),
    }
    angle = f"{degrees(airplane.dihedral):.1f}°"
    return [
        *((key, what, f"{size / foot:.1f} ft", f"{size:.2f} m") for key, (what, size) in lengths.items()),
        ("dihedral_deg", "Dihedral", angle, angle),
    ]


def _with_mass(airplane: Aircraft) -> Table:
    """Return how the speeds go with the mass, from the least to the greatest."""
    shown = _columns(
        ("mass", "right"), ("", "right"), ("stall, clean", "right"), ("flaps", "right"),
        ("maneuvering", "right"), ("best glide", "right"),
    )  # fmt: skip
    for mass in sorted({airplane.mass_min, airplane.mass, airplane.mass_max}):
        there = airplane.at_mass(mass)
        speeds = (there.stall_speed, there.stall_speed_flaps, there.maneuvering_speed, there.glide_speed)
        shown.add_row(f"{mass:,.0f} kg", f"{mass / pound:,.0f} lb", *map(_knots, speeds))
    return shown


def _turns(airplane: Aircraft) -> Table:
    shown = _columns(
        ("bank", "right"), ("load factor", "right"), ("stall speed", "right"), ("margin", "right")
    )
    for bank_deg in _BANKS_DEG:
        bank = bank_deg * degree
        margin = float(limits.stall_margin(airplane.practice_speed, airplane.stall_speed, bank))
        shown.add_row(
            f"{bank_deg}°",
            f"{turn.load_factor(bank):.2f}",
            _knots(float(turn.stall_speed_in_turn(airplane.stall_speed, bank))),
            f"{margin / knot:.0f} kt" if margin > 0 else "stalled",
        )
    return shown


def _what_comes_first(airplane: Aircraft) -> str:
    """Say what bounds the bank at the practice speed."""
    bank, stalls = limits.greatest_bank(
        airplane.practice_speed, airplane.stall_speed, airplane.limit_load_factor
    )
    what = "the airplane stalls" if stalls else f"the limit of {airplane.limit_load_factor:g} g is reached"
    return f"At {degrees(float(bank)):.0f}° {what}, in smooth air."


def _hides(airplane: Aircraft, side: float, words: str) -> str:
    """Say what the wing on one side hides of what is straight abeam: only depression less bank counts."""
    least, greatest = (
        float(angle) for angle in hidden_depressions(airplane.wing_corners(side, LEFT_SEAT), 0.0, 0.0)
    )
    if not (isfinite(least) and isfinite(greatest)):
        return f"The {words} wing hides nothing straight abeam."
    tip = degrees(greatest if airplane.high_wing else least)
    which = "less" if airplane.high_wing else "more"
    bound = f"{'plus' if tip >= 0 else 'minus'} {abs(tip):.0f}°"
    return f"The {words} wing hides a point whose depression is {which} than the bank {bound}."


def _columns(*columns: tuple[str, str]) -> Table:
    shown = Table(box=None, padding=(0, 2, 0, 0))
    for head, side in columns:
        shown.add_column(head, justify="right" if side == "right" else "left", no_wrap=head != "airplane")
    return shown


def _knots(speed: float | None) -> str:
    return NOT_KNOWN if speed is None else f"{speed / knot:.0f} kt"


def _kilometers_an_hour(speed: float | None) -> str:
    return NOT_KNOWN if speed is None else f"{speed / kilometre_per_hour:.0f} km/h"
