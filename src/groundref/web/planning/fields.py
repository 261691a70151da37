"""The fields of the form, each named as the command's option is: `radius_ft` is `--radius-ft`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

from groundref.aircraft.loading import DEFAULT, aircraft_names, load_aircraft
from groundref.asking.plan import STANDARD
from groundref.asking.unused import WITH_SPACING, WITHOUT_COURSE
from groundref.detection import named
from groundref.mechanics.wind_profile import TERRAIN
from groundref.planning.kinds import LAYOUTS
from groundref.standards.loading import load_standard, standard_names
from groundref.web import typed

KINDS: Final = tuple(LAYOUTS)
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Field:
    """One field.

    Attributes
    ----------
    name
        In the address.
    label
        Beside it, with its unit.
    looks
        What it is filled in with.
    hint
        Shown in it while it is empty.
    choices
        Value and words of each, of a choice.
    kinds
        The maneuvers that it means something to.
    called
        What a sentence calls it, where the label alone does not do.
    """

    name: str
    label: str
    looks: Literal["number", "text", "lines", "choice", "tick"] = "number"
    hint: str = ""
    choices: Choices = ()
    kinds: tuple[str, ...] = KINDS
    called: str = ""

    @property
    def own_name(self) -> str:
        """What a sentence calls it."""
        return self.called or self.label.partition(",")[0]

    @property
    def unit(self) -> str:
        """The unit that its number is in, with the space before it; empty where its name has none."""
        return _UNITS.get(self.name.rpartition("_")[2], "")

    @property
    def option(self) -> str:
        """The option that refusals name it by."""
        return "--" + self.name.replace("_", "-")

    def input(self, *, metric: bool) -> str:
        """Return its name in the form of a reader."""
        return typed.metric_name(self.name) if metric else self.name

    def words(self, *, metric: bool) -> str:
        """Return its label in the units of a reader."""
        return typed.metric_words(self.label) if metric else self.label

    def example(self, *, metric: bool) -> str:
        """Return its hint in the units of a reader."""
        return _METRIC_HINTS.get(self.name, self.hint) if metric else self.hint


@dataclass(frozen=True, slots=True)
class Group:
    """Fields under one heading, folded away unless one of them is filled in or all look at them first."""

    title: str
    fields: tuple[Field, ...]
    first: bool = False


def _but(*without: str) -> tuple[str, ...]:
    return tuple(kind for kind in KINDS if kind not in without)


def _choices(usual: str, others: Iterable[tuple[str, str]]) -> Choices:
    """Return what is chosen among, first what an empty field stands for."""
    return (("", usual), *others)


def groups(airplanes: Iterable[str] = (), *, metric: bool = False) -> tuple[Group, ...]:
    """Return the form, in its order.

    Parameters
    ----------
    airplanes
        Names of further ones that may be chosen.
    metric
        Whether who reads it sets the altimeter in hPa first.
    """
    more = tuple((name, name) for name in airplanes)
    flown = tuple(
        replace(field, choices=field.choices + more) if field.name == "aircraft" else field
        for field in _FLOWN
    )
    folded = (
        tuple(replace(group, fields=_hpa_first(group.fields)) for group in _FOLDED) if metric else _FOLDED
    )
    return (Group("What to fly", flown, first=True), Group("Wind", _WIND, first=True), *folded)


def _hpa_first(fields: tuple[Field, ...]) -> tuple[Field, ...]:
    by_name = {field.name: field for field in fields}
    if "altimeter_hpa" not in by_name:
        return fields
    first = replace(by_name["altimeter_hpa"], label="Altimeter setting, hPa")
    other = replace(by_name["altimeter_inhg"], label="or in inHg")
    swapped = {"altimeter_inhg": first, "altimeter_hpa": other}
    return tuple(swapped.get(field.name, field) for field in fields)


def fields(*, metric: bool = False) -> dict[str, Field]:
    """Return every field by its name, labelled as the form of a reader has it."""
    return {field.name: field for group in groups(metric=metric) for field in group.fields}


def metric_inputs() -> dict[str, str]:
    """Return the name of each field in metric units by its name in their form, where that is another one."""
    named = {field.input(metric=True): field.name for field in fields().values()}
    return {own: name for own, name in named.items() if own != name}


_UNITS: Final = {
    "ft": " ft", "kt": " kt", "deg": "°", "c": " °C", "inhg": " inHg", "hpa": " hPa", "kg": " kg",
}  # fmt: skip
_METRIC_HINTS: Final = {"wind": "240/26G41", "winds_aloft": "", "landing_from_point": "240/1.5km"}


_SURFACES: Final = tuple((name, name) for name in TERRAIN if name != "open")
_BELOW: Final = (
    ("open", "open land"),
    ("sparse", "sparsely populated land"),
    ("congested", "a congested area"),
    ("water", "water"),
)
_STANDARDS: Final = tuple((name, load_standard(name).title) for name in standard_names() if name != STANDARD)
_FLOWN: Final = (
    Field("maneuver", "Maneuver", "choice", choices=tuple((kind, named.title(kind)) for kind in KINDS)),
    Field(
        "aircraft",
        "Airplane",
        "choice",
        choices=_choices(
            f"{load_aircraft(DEFAULT).title} (usual)",
            ((name, load_aircraft(name).title) for name in aircraft_names() if name != DEFAULT),
        ),
    ),
    Field("direction", "First turn", "choice", choices=(("left", "left"), ("right", "right"))),
    Field("ias_kt", "Airspeed, kt indicated", hint="practice speed"),
    Field("radius_ft", "Radius, ft", hint="usual", kinds=_but("steep-turns")),
    Field("max_bank_deg", "Bank not to exceed, °", hint="standard"),
    Field("height_ft", "Height above ground, ft", hint="usual", kinds=_but("eights-on-pylons")),
    Field("elevation_ft", "Ground elevation, ft", hint="0"),
    Field("course_deg", "Direction of the line, °", hint="usual", kinds=_but(*WITHOUT_COURSE)),
    Field("spacing_ft", "Spacing, ft", hint="usual", kinds=tuple(k for k in KINDS if k in WITH_SPACING)),
)
_WIND: Final = (
    Field("wind", "Wind at height, from°/kt", "text", "240/14G22"),
    Field(
        "metar",
        "or a METAR as it is",
        "lines",
        "METAR KXYZ 121753Z 24014G22KT 10SM SCT045 22/12 A2992",
        called="METAR",
    ),
)
_FOLDED: Final = (
    Group(
        "More about wind and air",
        (
            Field("winds_aloft", "Winds aloft, group@ft, one a line", "lines", "2412+05@3000"),
            Field("surface", "Ground about the wind mast", "choice", choices=_choices("open", _SURFACES)),
            Field("growth", "Wind grows by", "choice", choices=_choices("power law", [("log", "log law")])),
            Field("veer_deg", "Veer up to the height, °", hint="0"),
            Field("oat_c", "Temperature at height, °C", hint="standard"),
            Field("altimeter_inhg", "Altimeter setting, inHg", hint="29.92"),
            Field("altimeter_hpa", "or in hPa", hint="1013", called="Altimeter setting in hPa"),
        ),
    ),
    Group(
        "Where and when",
        (
            Field("point", "Point, latitude,longitude", "text", "40.1,-90.2"),
            Field("when", "Day or moment, UTC", "text", "2026-05-01T14:05Z"),
            Field("variation_deg", "Variation, ° east", hint="by place and day"),
            Field("magnetic", "Wind and line are magnetic", "tick"),
        ),
    ),
    Group(
        "What lies around",
        (
            Field("surroundings", "Below is", "choice", choices=_choices("not said", _BELOW)),
            Field("obstacle_ft", "Highest obstacle, ft above ground", hint="0"),
            Field("rules", "Rules on the least height", "choice",
                  choices=_choices("14 CFR 91.119", [("europe", "SERA.5005(f)")])),
            Field("landing_from_point", "Landing place, °true/NM or km from there", "text", "240/0.8"),
            Field("landing", "or its latitude,longitude", "text", "40.11,-90.21",
                   called="Landing place by latitude,longitude"),
            Field("noise_place", "Place that wants quiet", "text", "40.1,-90.19"),
        ),
    ),
    Group(
        "Airplane, laps, standard, last exercise",
        (
            Field("tas_kt", "or airspeed, kt true", called="True airspeed"),
            Field("mass_kg", "Mass, kg", hint="of its file"),
            Field("laps", "Laps, circuits, turns", hint="usual"),
            Field("standard", "Standard", "choice",
                  choices=_choices(load_standard(STANDARD).title, _STANDARDS)),
            Field("after", "Next exercise after lesson number"),
        ),
    ),
)  # fmt: skip
