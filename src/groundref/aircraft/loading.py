"""Airplanes from their data files: the invented trainers of the package, and a school's own."""

from __future__ import annotations

from math import isfinite
from typing import Final

from msgspec import Struct
from msgspec.structs import asdict

from groundref import datafile
from groundref.aircraft.aircraft import Aircraft
from groundref.errors import InputError
from groundref.units import degree, knot

DEFAULT: Final = "high-wing-trainer"

# Ranges that hold every light airplane; what lies outside is a slip of the pen or of the unit.
_RANGES: Final = {
    "practice_speed_kt": (30.0, 250.0),
    "stall_speed_kt": (15.0, 120.0),
    "maneuvering_speed_kt": (30.0, 300.0),
    "glide_speed_kt": (25.0, 200.0),
    "glide_ratio": (2.0, 60.0),
    "mass_kg": (100.0, 6000.0),
    "roll_rate_deg_s": (2.0, 180.0),
    "wing_span_m": (3.0, 40.0),
}


class _File(Struct, forbid_unknown_fields=True):
    name: str
    title: str
    practice_speed_kt: float
    stall_speed_kt: float
    maneuvering_speed_kt: float
    glide_speed_kt: float
    glide_ratio: float
    mass_kg: float
    roll_rate_deg_s: float
    wing_span_m: float
    high_wing: bool
    source: str


def aircraft_names() -> list[str]:
    """Return the names of the airplanes that come with the package."""
    return datafile.names("groundref.aircraft")


def load_aircraft(name_or_file: str = DEFAULT) -> Aircraft:
    """Read an airplane.

    Parameters
    ----------
    name_or_file
        A name from ``aircraft_names()``, or the path of a TOML file.

    Raises
    ------
    UsageError
        When there is no airplane of that name.
    InputError
        When the file cannot be read, or a key in it does not fit; the message names file and key.
    """
    text, where = datafile.find(name_or_file, "groundref.aircraft", "aircraft")
    return parse_aircraft(text, where)


def parse_aircraft(text: str, where: str) -> Aircraft:
    """Read an airplane from TOML text; ``where`` names it in messages."""
    content = datafile.parse(text, where, _File)
    _check_ranges(asdict(content), where)
    if content.stall_speed_kt >= content.practice_speed_kt:
        raise InputError(
            "the stall speed is not below the practice speed",
            f"{where}: stall_speed_kt",
            "see whether they are swapped",
        )
    return Aircraft(
        name=content.name,
        title=content.title,
        practice_speed=content.practice_speed_kt * knot,
        stall_speed=content.stall_speed_kt * knot,
        maneuvering_speed=content.maneuvering_speed_kt * knot,
        glide_speed=content.glide_speed_kt * knot,
        glide_ratio=content.glide_ratio,
        mass=content.mass_kg,
        roll_rate=content.roll_rate_deg_s * degree,
        wing_span=content.wing_span_m,
        high_wing=content.high_wing,
        source=content.source,
    )


def _check_ranges(values: dict[str, object], where: str) -> None:
    for key, (low, high) in _RANGES.items():
        value = values[key]
        if not (isinstance(value, int | float) and isfinite(value) and low <= value <= high):
            raise InputError(
                f"{value} lies outside {low:g} to {high:g}",
                f"{where}: {key}",
                "check the number and its unit",
            )
