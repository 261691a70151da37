"""What an airplane's file says, in its own units, with what is assumed where it says nothing."""

from __future__ import annotations

import re
from math import isfinite
from typing import Final

from msgspec import Struct
from msgspec.structs import asdict

from groundref.aircraft.keys import KEYS
from groundref.errors import InputError

_NAME: Final = re.compile(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*")
# 14 CFR 23.337 (amendment 63 and before), normal category; from memory.
_NORMAL_CATEGORY_G: Final = 3.8
# 14 CFR 91.307(c): beyond it parachutes, with others on board.
_BANK_DEG: Final = 60.0
# Common practice, no source: proportions of light trainers.
_LEAST_MASS: Final = 0.7  # of the mass that the speeds are for
_ASPECT_RATIO: Final = 7.0
_EYE_ON_CHORD: Final = 0.25
_EYE_FROM_CENTERLINE_M: Final = 0.28
_DIHEDRAL_DEG: Final = {True: 2.0, False: 6.0}
_EYE_TO_WING_M: Final = {True: 0.3, False: 0.9}


class _Told(Struct, kw_only=True, forbid_unknown_fields=True):
    """The keys for which nothing is ever assumed; None is what the file does not say."""

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
    stall_speed_flaps_kt: float | None = None
    normal_operating_speed_kt: float | None = None
    never_exceed_speed_kt: float | None = None


class AircraftFile(_Told, kw_only=True, forbid_unknown_fields=True):
    """The file as it is written; None where a key is left out."""

    limit_load_factor_g: float | None = None
    max_bank_deg: float | None = None
    mass_min_kg: float | None = None
    mass_max_kg: float | None = None
    wing_chord_m: float | None = None
    dihedral_deg: float | None = None
    eye_to_wing_m: float | None = None
    eye_from_centerline_m: float | None = None
    eye_behind_leading_edge_m: float | None = None


class CompletedFile(_Told, kw_only=True):
    """The file with what is assumed filled in."""

    limit_load_factor_g: float
    max_bank_deg: float
    mass_min_kg: float
    mass_max_kg: float
    wing_chord_m: float
    dihedral_deg: float
    eye_to_wing_m: float
    eye_from_centerline_m: float
    eye_behind_leading_edge_m: float


def assumptions(file: AircraftFile) -> dict[str, float]:
    """Return the keys that were left out and for which a value is assumed, with that value."""
    chord = file.wing_span_m / _ASPECT_RATIO if file.wing_chord_m is None else file.wing_chord_m
    values = {
        "limit_load_factor_g": _NORMAL_CATEGORY_G,
        "max_bank_deg": _BANK_DEG,
        "mass_min_kg": _LEAST_MASS * file.mass_kg,
        "mass_max_kg": file.mass_kg,
        "wing_chord_m": chord,
        "dihedral_deg": _DIHEDRAL_DEG[file.high_wing],
        "eye_to_wing_m": _EYE_TO_WING_M[file.high_wing],
        "eye_from_centerline_m": _EYE_FROM_CENTERLINE_M,
        "eye_behind_leading_edge_m": _EYE_ON_CHORD * chord,
    }
    given = asdict(file)
    return {name: value for name, value in values.items() if given[name] is None}


def completed(file: AircraftFile) -> CompletedFile:
    """Return the file with what is assumed filled in."""
    return CompletedFile(**(asdict(file) | assumptions(file)))


def check_ranges(file: AircraftFile, where: str) -> None:
    """Refuse text that says nothing and numbers that no light airplane has.

    Raises
    ------
    InputError
        Naming file and key.
    """
    given = asdict(file)
    for key in KEYS:
        value = given[key.name]
        if isinstance(value, str) and not value.strip():
            raise InputError("this says nothing", f"{where}: {key.name}", f"write {key.meaning}")
        if key.name == "name" and not _NAME.fullmatch(value):
            raise InputError(
                f"{value!r} is not a short name",
                f"{where}: name",
                f"write {key.typical}, such as our-trainer",
            )
        if key.accepted is None or value is None:
            continue
        low, high = key.accepted
        if not (isfinite(value) and low <= value <= high):
            raise InputError(
                f"{value} lies outside {low:g} to {high:g}",
                f"{where}: {key.name}",
                f"check the number and its unit, {key.unit}",
            )
