"""Airplanes from their data files: the invented trainers of the package, and a school's own."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from groundref import datafile
from groundref.aircraft.aircraft import Aircraft
from groundref.aircraft.consistency import check_consistency
from groundref.aircraft.file import AircraftFile, CompletedFile, assumptions, check_ranges, completed
from groundref.units import degree, knot

DEFAULT: Final = "high-wing-trainer"


def aircraft_names() -> list[str]:
    """Return the names of the airplanes that come with the package."""
    return datafile.names("groundref.aircraft")


def load_aircraft(name_or_file: str = DEFAULT, mass: float | None = None) -> Aircraft:
    """Read an airplane.

    Parameters
    ----------
    name_or_file
        A name from ``aircraft_names()``, or the path of a TOML file.
    mass
        The airplane's mass, its speeds then being those of that mass; that of the file when None [kg]

    Raises
    ------
    UsageError
        When there is no airplane of that name, or it is not flown at that mass.
    InputError
        When the file cannot be read, or a key in it does not fit; the message names file and key.
    """
    text, where = datafile.find(name_or_file, "groundref.aircraft", "aircraft")
    airplane = parse_aircraft(text, where)
    return airplane if mass is None else airplane.at_mass(mass)


@lru_cache(maxsize=16)  # a plan of the same airplane is asked for again and again
def parse_aircraft(text: str, where: str) -> Aircraft:
    """Read an airplane from TOML text; ``where`` names it in messages."""
    said = datafile.parse(text, where, AircraftFile, keys="`groundref aircraft --template -`")
    check_ranges(said, where)
    file = completed(said)
    check_consistency(file, where)
    return _airplane(file, tuple(assumptions(said)))


def _airplane(file: CompletedFile, assumed: tuple[str, ...]) -> Aircraft:
    """Return the airplane in SI units."""
    return Aircraft(
        name=file.name,
        title=file.title,
        practice_speed=file.practice_speed_kt * knot,
        stall_speed=file.stall_speed_kt * knot,
        maneuvering_speed=file.maneuvering_speed_kt * knot,
        glide_speed=file.glide_speed_kt * knot,
        glide_ratio=file.glide_ratio,
        mass=file.mass_kg,
        roll_rate=file.roll_rate_deg_s * degree,
        wing_span=file.wing_span_m,
        high_wing=file.high_wing,
        source=file.source,
        stall_speed_flaps=_speed(file.stall_speed_flaps_kt),
        normal_operating_speed=_speed(file.normal_operating_speed_kt),
        never_exceed_speed=_speed(file.never_exceed_speed_kt),
        limit_load_factor=file.limit_load_factor_g,
        max_bank=file.max_bank_deg * degree,
        mass_min=file.mass_min_kg,
        mass_max=file.mass_max_kg,
        wing_chord=file.wing_chord_m,
        dihedral=file.dihedral_deg * degree,
        eye_to_wing=file.eye_to_wing_m,
        eye_from_centerline=file.eye_from_centerline_m,
        eye_behind_leading_edge=file.eye_behind_leading_edge_m,
        assumed=assumed,
    )


def _speed(knots: float | None) -> float | None:
    return None if knots is None else knots * knot
