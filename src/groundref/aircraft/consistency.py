"""Whether the numbers of a file can be those of one airplane; one sentence for each that cannot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sqrt
from typing import Final

from msgspec.structs import asdict

from groundref.aircraft.file import CompletedFile
from groundref.errors import InputError
from groundref.mechanics.atmosphere import sea_level_density
from groundref.units import knot, standard_gravity

# A maneuvering speed may be printed as indicated, rounded, or kept down by another speed: this far below
# stall speed times the root of the limit load factor it can still be right (our own allowance).
_MANEUVERING_ALLOWANCE: Final = 0.85
# Greatest lift coefficient of a light airplane with flaps up: 1.2 to 1.8 (common practice, no source). The
# span may be that of a tapered wing and the chord assumed, so twice as far is let pass.
_LIFT: Final = (0.6, 2.7)
_SWAPPED: Final = "see whether they are swapped"


@dataclass(frozen=True, slots=True)
class _Order:
    """Two keys of which the first must be below the second; `at` is the one that is named."""

    lower: str
    higher: str
    at: str
    what: str
    remedy: str = _SWAPPED


_ORDERS: Final = (
    _Order(
        "stall_speed_kt", "practice_speed_kt", "stall_speed_kt",
        "the stall speed is not below the practice speed",
    ),
    _Order(
        "stall_speed_flaps_kt", "stall_speed_kt", "stall_speed_flaps_kt",
        "the stall speed with flaps is not below the clean one",
    ),
    _Order(
        "stall_speed_kt", "glide_speed_kt", "glide_speed_kt",
        "the best-glide speed is not above the stall speed",
    ),
    _Order(
        "practice_speed_kt", "normal_operating_speed_kt", "practice_speed_kt",
        "the practice speed is not below the maximum structural cruising speed",
        "practice slower, or check both",
    ),
    _Order(
        "normal_operating_speed_kt", "never_exceed_speed_kt", "never_exceed_speed_kt",
        "the never-exceed speed is not above the maximum structural cruising speed",
    ),
    _Order(
        "maneuvering_speed_kt", "never_exceed_speed_kt", "never_exceed_speed_kt",
        "the never-exceed speed is not above the maneuvering speed",
    ),
    _Order(
        "practice_speed_kt", "never_exceed_speed_kt", "never_exceed_speed_kt",
        "the never-exceed speed is not above the practice speed",
    ),
    _Order(
        "glide_speed_kt", "never_exceed_speed_kt", "never_exceed_speed_kt",
        "the never-exceed speed is not above the best-glide speed",
    ),
)  # fmt: skip


def check_consistency(file: CompletedFile, where: str) -> None:
    """Refuse a file whose numbers contradict each other.

    Parameters
    ----------
    file
        With what is assumed filled in.
    where
        Its name, for messages.

    Raises
    ------
    InputError
        Naming file and key, for the first contradiction.
    """
    for key, what, remedy in (*_speeds(file), *_masses(file), *_loads(file), *_seats(file), *_lift(file)):
        raise InputError(what, f"{where}: {key}", remedy)


def _speeds(file: CompletedFile) -> Iterator[tuple[str, str, str]]:
    values = asdict(file)
    for order in _ORDERS:
        lower, higher = values[order.lower], values[order.higher]
        if lower is not None and higher is not None and lower >= higher:
            yield order.at, f"{order.what} ({lower:g} and {higher:g} kt)", order.remedy


def _masses(file: CompletedFile) -> Iterator[tuple[str, str, str]]:
    least, greatest = file.mass_min_kg, file.mass_max_kg
    if not least <= file.mass_kg <= greatest:
        yield (
            "mass_kg",
            f"{file.mass_kg:g} kg, which the speeds are for, does not lie in {least:g} to {greatest:g} kg",
            "check mass_kg, mass_min_kg and mass_max_kg",
        )
        return
    heavy = file.stall_speed_kt * sqrt(greatest / file.mass_kg)
    if heavy >= file.practice_speed_kt:
        yield (
            "mass_max_kg",
            f"at {greatest:g} kg the stall speed is {heavy:.0f} kt, not below the practice speed",
            "check the mass, or practice faster",
        )


def _loads(file: CompletedFile) -> Iterator[tuple[str, str, str]]:
    limit, bank = file.limit_load_factor_g, file.max_bank_deg
    taken = 1.0 / cos(radians(bank))
    least = file.stall_speed_kt * sqrt(limit)
    if file.maneuvering_speed_kt < _MANEUVERING_ALLOWANCE * least:
        yield (
            "maneuvering_speed_kt",
            f"{file.maneuvering_speed_kt:g} kt is far below the stall speed times the root of the limit load "
            f"factor, {least:.0f} kt",
            "check the two speeds, their mass, and limit_load_factor_g",
        )
    if taken > limit:
        yield (
            "max_bank_deg",
            f"a level turn at {bank:g}° takes {taken:.1f} g, more than the limit of {limit:g} g",
            "check the bank and limit_load_factor_g",
        )


def _seats(file: CompletedFile) -> Iterator[tuple[str, str, str]]:
    if file.wing_span_m <= 2.0 * file.wing_chord_m:
        yield "wing_chord_m", "the wing's chord is half its span or more", "check both and their units"
    if 2.0 * file.eye_from_centerline_m >= file.wing_span_m:
        yield "eye_from_centerline_m", "the eye is beyond the wing tip", "check it and wing_span_m"


def _lift(file: CompletedFile) -> Iterator[tuple[str, str, str]]:
    """Hold mass and wing against the stall speed: c = 2 m g / (ρ V² S), in standard air at sea level."""
    area = file.wing_span_m * file.wing_chord_m
    pressure = 0.5 * sea_level_density * (file.stall_speed_kt * knot) ** 2
    lift = file.mass_kg * standard_gravity / (pressure * area)
    if not _LIFT[0] <= lift <= _LIFT[1]:
        yield (
            "mass_kg" if lift > _LIFT[1] else "wing_span_m",
            f"a wing of {area:.0f} m² that stalls at {file.stall_speed_kt:g} kt under {file.mass_kg:g} kg "
            f"has a lift coefficient of {lift:.1f}, which no light airplane has",
            "check mass_kg (kilograms, not pounds), wing_span_m and wing_chord_m (meters, not feet)",
        )
