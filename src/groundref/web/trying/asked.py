"""What a try is flown with: out of the page's address, with the usual figures filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, cos, floor, sin
from typing import Final

from groundref.aircraft.aircraft import Aircraft
from groundref.aircraft.loading import DEFAULT, aircraft_names, load_aircraft
from groundref.angles import half_turn
from groundref.errors import UsageError
from groundref.mechanics.circle import bank_extremes
from groundref.reports import words
from groundref.simulation.by_hand import Try
from groundref.units import degree, foot, kilometre_per_hour, knot
from groundref.web import typed

HEIGHT: Final = 800 * foot  # above the ground, the middle of the band from 600 to 1,000 ft
LEAST_AIRSPEED: Final = 40 * knot
UNITS: Final = {"ft": foot, "m": 1.0}
_WINDIEST: Final = 0.6  # of the airspeed, as for every simulated flight
_ROOM: Final = 5 * degree  # of bank between what the circle needs and the most that the airplane is banked


@dataclass(frozen=True, slots=True)
class Asked:
    """What a try is flown with, as it stands in the address.

    Attributes
    ----------
    from_deg, wind_kt
        Wind, from where, true.
    tas_kt
        True airspeed.
    radius
        Of the circle, in ``unit``.
    unit
        `ft` or `m`, also of what is shown.
    direction
        `left` or `right`.
    airplane
        Name of an airplane that comes with the program: its roll rate and greatest bank.
    """

    from_deg: float = 240.0
    wind_kt: float = 15.0
    tas_kt: float = 90.0
    radius: float = 1200.0
    unit: str = "ft"
    direction: str = "left"
    airplane: str = DEFAULT

    @property
    def aircraft(self) -> Aircraft:
        """The airplane."""
        return load_aircraft(self.airplane)

    @property
    def task(self) -> Try:
        """What is flown."""
        downwind, wind = self.from_deg * degree + half_turn, self.wind_kt * knot
        return Try(
            true_airspeed=self.tas_kt * knot,
            wind_east=wind * sin(downwind),
            wind_north=wind * cos(downwind),
            roll_rate=self.aircraft.roll_rate,
            radius=self.radius * UNITS[self.unit],
            side=1.0 if self.direction == "right" else -1.0,
            downwind=downwind,
        )

    @staticmethod
    def told_speed(speed_kt: float) -> str:
        """Return a speed of the address in the unit that it is read in."""
        shown = speed_kt * knot / words.speed_units()[0][0]
        return words.speed(speed_kt * knot, digits=0 if round(shown, 1) == round(shown) else 1)

    @property
    def address(self) -> str:
        """The part of the address behind the question mark."""
        return (
            f"from_deg={self.from_deg:g}&wind_kt={self.wind_kt:.10g}&tas_kt={self.tas_kt:.10g}"
            f"&radius={self.radius:.10g}&unit={self.unit}&direction={self.direction}&airplane={self.airplane}"
        )


METRIC_FIELDS: Final = {typed.metric_name(name): name for name in ("wind_kt", "tas_kt")}
"""Fields of the form by the names that they have for who reads metric units."""
METRIC: Final = {name: typed.read(name, text) for name, text in (("wind_kt", "30"), ("tas_kt", "170"))}
"""What is flown where nothing is said, to who reads metric units: round in km/h."""
_RADII: Final = {"radius_ft": "ft", "radius_m": "m"}


def of_form(query: Mapping[str, str]) -> dict[str, str] | None:
    """Return the address of what a form was filled in with; None where it is an address already.

    Parameters
    ----------
    query
        As sent: the form has a radius for each unit, `radius_ft` or `radius_m`.
    """
    if (METRIC_FIELDS.keys() | _RADII.keys()).isdisjoint(query):
        return None
    said = typed.in_address(query, METRIC_FIELDS)
    for name, unit in _RADII.items():
        if name in said:
            said |= {"radius": said.pop(name), "unit": unit}
    return said


def form_of(said: Mapping[str, str], *, metric: bool) -> dict[str, tuple[str, str]]:
    """Return name in the form and text of each field, as it is read; what is not said has its usual figure.

    Parameters
    ----------
    said
        Of an address, whether it can be flown or not.
    metric
        Whether it is read in metric units.
    """
    usual = Asked()
    unit = said.get("unit", "ft")
    texts = {
        "from_deg": f"{usual.from_deg:g}",
        **(METRIC if metric else {"wind_kt": f"{usual.wind_kt:g}", "tas_kt": f"{usual.tas_kt:g}"}),
        "radius": f"{_usual_radius(UNITS.get(unit, foot)):g}",
        "direction": usual.direction,
        "airplane": usual.airplane,
    }
    texts |= {name: said[name].strip() for name in texts if said.get(name, "").strip()}
    form = {name: (name, text) for name, text in texts.items()}
    form |= {
        name: (own, typed.shown(name, texts[name], metric=metric))
        for own, name in ((own if metric else name, name) for own, name in METRIC_FIELDS.items())
    }
    own, radius = ("m" if metric else "ft"), texts["radius"]
    if unit != own:
        in_feet = radius if metric else typed.read("radius_ft", radius)
        radius = typed.shown("radius_ft", in_feet, metric=metric)
    return {**form, "radius": (f"radius_{own}", radius)}


def exact(said: Mapping[str, str], *, metric: bool) -> str:
    """Return what the speeds of a form stand for where they are shown rounded."""
    return typed.exact({n: said[n] for n in METRIC_FIELDS.values() if said.get(n)}, metric=metric)


def asked(query: Mapping[str, str]) -> Asked:
    """Return what an address asks for.

    Parameters
    ----------
    query
        Its parameters.

    Raises
    ------
    UsageError
        When a name is unknown, a value is none, or it cannot be flown.
    """
    wanted = Asked(
        from_deg=_number(query, "from_deg", "the wind's direction", 240.0, (0.0, 360.0)),
        wind_kt=_number(query, "wind_kt", "the wind", 15.0, (0.0, 60.0)),
        tas_kt=_number(query, "tas_kt", "the airspeed", 90.0, (LEAST_AIRSPEED / knot, 200.0)),
        radius=_radius(query),
        unit=_choice(query, "unit", "ft", tuple(UNITS)),
        direction=_choice(query, "direction", "left", ("left", "right")),
        airplane=_choice(query, "airplane", DEFAULT, tuple(aircraft_names())),
    )
    _check(wanted)
    return wanted


def _check(wanted: Asked) -> None:
    """Refuse what cannot be flown."""
    task = wanted.task
    wind, most = wanted.wind_kt * knot, wanted.aircraft.max_bank - _ROOM
    if wind > _WINDIEST * task.true_airspeed:
        raise UsageError(
            "the wind is too strong for the airspeed", "wind_kt", "choose a wind below 60% of the airspeed"
        )
    steepest = float(bank_extremes(task.true_airspeed, wind, task.radius)[1])
    if steepest > most:
        raise UsageError(
            f"this circle needs {steepest / degree:.0f}° of bank downwind, more than {most / degree:.0f}°",
            "radius",
            "choose a wider circle, less wind or less airspeed",
        )


def _radius(query: Mapping[str, str]) -> float:
    unit = UNITS[_choice(query, "unit", "ft", tuple(UNITS))]
    return _number(
        query, "radius", "the radius", _usual_radius(unit), (round(60.0 / unit), round(3000.0 / unit))
    )


def _usual_radius(unit: float) -> float:
    return 1200.0 if unit == foot else 400.0


def _number(
    query: Mapping[str, str], name: str, what: str, usual: float, within: tuple[float, float]
) -> float:
    """Return a number from the address."""
    text = query.get(name, "").strip()
    least, most = within
    speed, each = name.endswith("_kt"), knot / kilometre_per_hour
    remedy = f"choose {least:,.0f} to {most:,.0f}"
    if speed:  # in both units, rounded inward, so that what is offered is taken
        remedy += f" kt ({ceil(least * each)} to {floor(most * each)} km/h)"
    try:
        value = typed.number(text, name) if text else usual
    except UsageError as problem:
        raise UsageError(f"{text[:20]!r} is not {what} of a try", name, remedy) from problem
    if not least <= value <= most:
        said = f"{_short(value)} kt ({_short(value * each)} km/h)" if speed else f"{text[:20]!r}"
        raise UsageError(f"{said} is not {what} of a try", name, remedy)
    return value


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _choice(query: Mapping[str, str], name: str, usual: str, names: tuple[str, ...]) -> str:
    value = query.get(name, "").strip() or usual
    if value not in names:
        raise UsageError(f"{value[:20]!r} is no {name}", name, "choose " + " or ".join(names))
    return value
