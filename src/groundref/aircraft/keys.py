"""The keys of an airplane's file: unit, meaning, range, and what is assumed where one is left out.

One table serves the loading, the template, the printed airplane and the page of the documentation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

NOTHING: Final = "nothing"  # what is assumed for a key without which something simply is not known


@dataclass(frozen=True, slots=True)
class Key:
    """One key.

    Attributes
    ----------
    name
        As in the file, with its unit at the end.
    unit
        In words; empty for text, true and false.
    title
        What it is, in a few words for a table.
    meaning
        What it is, in a clause.
    typical
        What light trainers have, in words.
    accepted
        Least and greatest value that a light airplane can have, ends included; what lies outside is a slip
        of the pen or of the unit. None for text, true and false.
    assumed
        What stands in when it is left out; empty for a key that must be there.
    """

    name: str
    unit: str
    title: str
    meaning: str
    typical: str
    accepted: tuple[float, float] | None = None
    assumed: str = ""

    @property
    def needed(self) -> bool:
        """Whether it must be in the file."""
        return not self.assumed


_CALIBRATED: Final = "knots, calibrated"

KEYS: Final = (
    Key("name", "", "Name", "short name, for messages and plans", "letters, digits, hyphens"),
    Key("title", "", "Airplane", "what it is, in plain words", "type and registration"),
    Key(
        "practice_speed_kt", _CALIBRATED, "Practice speed",
        "flown in ground reference work", "80 to 110", (30.0, 250.0),
    ),
    Key(
        "stall_speed_kt", _CALIBRATED, "Stall speed, clean",
        "stall, flaps up, wings level, at mass_kg", "40 to 60", (15.0, 120.0),
    ),
    Key(
        "stall_speed_flaps_kt", _CALIBRATED, "Stall speed, flaps down",
        "stall, flaps fully down, wings level, at mass_kg", "35 to 55", (15.0, 120.0), NOTHING,
    ),
    Key(
        "maneuvering_speed_kt", _CALIBRATED, "Maneuvering speed",
        "VA at mass_kg; it falls with mass", "90 to 120", (30.0, 300.0),
    ),
    Key(
        "normal_operating_speed_kt", _CALIBRATED, "Max structural cruising speed",
        "VNO, end of the green arc", "110 to 140", (40.0, 300.0), NOTHING,
    ),
    Key(
        "never_exceed_speed_kt", _CALIBRATED, "Never-exceed speed",
        "VNE, the red line", "140 to 170", (50.0, 350.0), NOTHING,
    ),
    Key(
        "limit_load_factor_g", "times weight", "Limit load factor",
        "greatest load that the structure is made for, flaps up", "3.8 normal, 4.4 utility category",
        (2.0, 12.0), "3.8, the normal category (14 CFR 23.337, amendment 63 and before, from memory)",
    ),
    Key(
        "max_bank_deg", "degrees", "Greatest bank",
        "not to be exceeded on purpose", "60",
        (20.0, 85.0), "60, beyond which parachutes are to be worn (14 CFR 91.307(c))",
    ),
    Key(
        "glide_speed_kt", _CALIBRATED, "Best-glide speed",
        "power off, at mass_kg; it falls with mass", "60 to 80", (25.0, 200.0),
    ),
    Key(
        "glide_ratio", "distance over height", "Glide ratio",
        "at the best-glide speed, propeller windmilling, still air", "8 to 11", (2.0, 60.0),
    ),
    Key("mass_kg", "kilograms", "Mass", "mass that the speeds are for", "700 to 1,200", (100.0, 6000.0)),
    Key(
        "mass_min_kg", "kilograms", "Least mass",
        "lightest that it is flown", "500 to 900",
        (80.0, 6000.0), "0.7 of mass_kg (common practice, no source)",
    ),
    Key(
        "mass_max_kg", "kilograms", "Greatest mass",
        "greatest takeoff mass", "750 to 1,250",
        (100.0, 6000.0),
        "mass_kg, as handbooks give speeds for the greatest mass (common practice, no source)",
    ),
    Key(
        "roll_rate_deg_s", "degrees a second", "Roll rate",
        "in ordinary turns, not the most that it can do", "10 to 20", (2.0, 180.0),
    ),
    Key("wing_span_m", "meters", "Wing span", "tip to tip", "8 to 11", (3.0, 40.0)),
    Key("high_wing", "", "Wing", "true when the wing is above the eye", "true or false"),
    Key(
        "wing_chord_m", "meters", "Wing chord",
        "leading to trailing edge, mean", "1.3 to 1.7",
        (0.3, 6.0), "a seventh of the span (common practice, no source)",
    ),
    Key(
        "dihedral_deg", "degrees", "Dihedral",
        "how far the wing rises toward its tip", "1 to 3 high wing, 5 to 7 low wing",
        (-10.0, 15.0), "2 for a high wing, 6 for a low wing (common practice, no source)",
    ),
    Key(
        "eye_to_wing_m", "meters", "Eye to wing, up or down",
        "height between the eye and the wing's nearer surface, carried in to the centerline",
        "0.2 to 0.4 high wing, 0.7 to 1.0 low wing",
        (0.02, 3.0), "0.3 for a high wing, 0.9 for a low wing (common practice, no source)",
    ),
    Key(
        "eye_from_centerline_m", "meters", "Eye to centerline",
        "sideways, of either front seat; 0 for seats in a row", "0.25 to 0.35",
        (0.0, 1.5), "0.28 (common practice, no source)",
    ),
    Key(
        "eye_behind_leading_edge_m", "meters", "Eye behind leading edge",
        "how far aft of the wing's leading edge the eye is, negative ahead of it", "0 to 0.7",
        (-4.0, 6.0), "a quarter of the chord (common practice, no source)",
    ),
    Key("source", "", "Source", "where the numbers are from", "handbook, edition, pages"),
)  # fmt: skip

BY_NAME: Final = {key.name: key for key in KEYS}
