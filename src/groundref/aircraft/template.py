"""A file to fill in: every key with its meaning, unit and usual range; as it stands, a valid airplane."""

from __future__ import annotations

from textwrap import wrap
from typing import Final

from groundref.aircraft.keys import KEYS, NOTHING, Key

# An invented airplane of round numbers, so that what was not filled in yet is easy to see.
EXAMPLE: Final[dict[str, float | str | bool]] = {
    "name": "our-trainer",
    "title": "Our trainer",
    "practice_speed_kt": 90,
    "stall_speed_kt": 50,
    "stall_speed_flaps_kt": 44,
    "maneuvering_speed_kt": 100,
    "normal_operating_speed_kt": 120,
    "never_exceed_speed_kt": 150,
    "limit_load_factor_g": 3.8,
    "max_bank_deg": 60,
    "glide_speed_kt": 65,
    "glide_ratio": 9.0,
    "mass_kg": 1000,
    "mass_min_kg": 700,
    "mass_max_kg": 1000,
    "roll_rate_deg_s": 15,
    "wing_span_m": 10.5,
    "high_wing": True,
    "wing_chord_m": 1.5,
    "dihedral_deg": 2,
    "eye_to_wing_m": 0.3,
    "eye_from_centerline_m": 0.28,
    "eye_behind_leading_edge_m": 0.3,
    "source": "not filled in yet: invented numbers of the template",
}

_HEAD: Final = """\
# An airplane for groundref: fill in the numbers from its own handbook, then let
# `groundref aircraft FILE` check them and print how they were understood.
#
# The numbers below are invented. Airspeeds are calibrated: the handbook has a table
# from indicated to calibrated, and near the stall the two may be knots apart.
# Lines that begin with # are not read. A key that stands behind one may be left out;
# what is then assumed stands above it, and everything that uses it says so.
"""
_WIDTH: Final = 88


def template() -> str:
    """Return the template as TOML."""
    return "\n".join([_HEAD, *map(_entry, KEYS)])


def _entry(key: Key) -> str:
    """Return a key behind what there is to say of it; one that may be left out is commented out."""
    lines = [f"{key.title}: {key.meaning}.", f"{_how_much(key)}."]
    if not key.needed:
        lines.append(f"May be left out; {_assumed(key)}.")
    said = [f"# {part}" for line in lines for part in wrap(line, _WIDTH - 2)]
    mark = "" if key.needed else "# "
    return "\n".join([*said, f"{mark}{key.name} = {_value(EXAMPLE[key.name])}", ""])


def _how_much(key: Key) -> str:
    """Return unit and ranges, as far as it has them."""
    said = [key.unit.capitalize()] if key.unit else []
    said.append(f"typical {key.typical}" if said else f"Typical {key.typical}")
    if key.accepted is not None:
        said.append(f"accepted {key.accepted[0]:,g} to {key.accepted[1]:,g}")
    return "; ".join(said)


def _assumed(key: Key) -> str:
    return "it is then not known" if key.assumed == NOTHING else f"assumed is then {key.assumed}"


def _value(value: float | str | bool) -> str:
    """Return a value as TOML writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{value}"' if isinstance(value, str) else f"{value}"
