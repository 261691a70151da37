"""Corrections by hand, as a form gives them: what the debrief of a lesson is asked with from now on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Any, Final

import msgspec

from groundref.asking.words import stated_wind
from groundref.errors import OutOfRangeError, UsageError
from groundref.record.asked import Asked, Stretch
from groundref.standards.loading import KINDS
from groundref.track.time_of_day import time_of_day
from groundref.web import altimeter, typed
from groundref.web.wrong import Gathered

AS_FOUND: Final = ""
NOTHING: Final = "none"
PLACES: Final = {"point": 1, "line": 2, "corners": 4, "pylons": 2}  # how many a field has
_CLOCK: Final = "write a time of day, UTC, such as 14:05:30"
_DEGREES: Final = "write latitude,longitude in degrees, −90 to 90 and −180 to 180"
_LIMITS: Final = {"latitude": 90.0, "longitude": 180.0}
_SLACK: Final = timedelta(minutes=1)  # a time that was read off a clock beside the recorder's
_STRONGEST: Final = 80.0  # wind [kt]
_LOWEST, _HIGHEST = -2000.0, 30000.0  # ground that there is, with room [ft]

METRIC_FIELDS: Final = {typed.metric_name(name): name for name in ("ground_ft", "wind")}
"""Fields of the form by the names that they have for who reads metric units."""

Form = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Row:
    """A stretch of the flight in the form.

    Attributes
    ----------
    number
        In the form, from 1.
    kind
        What it is taken for; `none` for a stretch that was said to be no maneuver.
    start, end
        Times of day, UTC.
    stretch
        What the instructor said of it, to the second that it was typed with; None where the program found it.
    maneuver
        Its number in the debrief; None where it is none there.
    """

    number: int
    kind: str
    start: str
    end: str
    stretch: Stretch | None = None
    maneuver: int | None = None

    @property
    def called(self) -> str:
        """What it is called in its form."""
        return f"the stretch from {self.start}" if self.maneuver is None else f"maneuver {self.maneuver}"

    @property
    def said(self) -> bool:
        """Whether the instructor said so, and not the program."""
        return self.stretch is not None


def rows(document: Mapping[str, Any], asked: Asked) -> tuple[Row, ...]:
    """Return the stretches of a flight: its maneuvers, and what was said to be none.

    Parameters
    ----------
    document
        The debrief.
    asked
        How it is asked for.
    """
    # What was said stands with the times that were typed, though its turns begin or end elsewhere; and what
    # could not be read so stands too, or it could not be taken back.
    found = [
        (_moment(one["start"]), _moment(one["end"]), one["kind"], None, number)
        for number, one in enumerate(document["maneuvers"], start=1)
        if not any(each.kind == one["kind"] and _overlap(each, one) for each in asked.said)
    ]
    spoken = [
        (each.start, each.end, each.kind or NOTHING, each, _read_as(each, document)) for each in asked.said
    ]
    return tuple(
        Row(number, kind, time_of_day(start), time_of_day(end), stretch, maneuver)
        for number, (start, end, kind, stretch, maneuver) in enumerate(
            sorted([*found, *spoken], key=lambda one: one[0]), start=1
        )
    )


def _read_as(said: Stretch, document: Mapping[str, Any]) -> int | None:
    """Return the number of the maneuver that a stretch is, as the instructor said; None where it is none."""
    maneuvers = enumerate(document["maneuvers"], start=1)
    return next(
        (number for number, one in maneuvers if one["kind"] == said.kind and _overlap(said, one)), None
    )


FIELDS: Final = {
    "ground_ft": "Ground elevation",
    "altimeter_hpa": "Altimeter setting",
    "wind": "Wind",
    "point": "Point turned about",
    "line": "Line",
    "corners": "Corners of the rectangle",
    "pylons": "Pylons",
}
"""What the fields that a flight has once are called."""
OF_STRETCH: Final = {"kind": "What it was", "from": "Beginning", "to": "End"}
"""What the fields of a stretch are called under its heading."""
_NOT_FOUND: Final = "the maneuver that was not found"


def labels(stretches: Iterable[Row]) -> dict[str, str]:
    """Return what each field of the form is called where it stands alone, by its name in feet and knots.

    Parameters
    ----------
    stretches
        Of the form.
    """
    heads = {**{str(row.number): row.called for row in stretches}, "new": _NOT_FOUND}
    return FIELDS | {
        f"{name}-{key}": f"What {head} was" if name == "kind" else f"{words} of {head}"
        for key, head in heads.items()
        for name, words in OF_STRETCH.items()
    }


def corrected(form: Form, document: Mapping[str, Any], asked: Asked, *, metric: bool = False) -> Asked:
    """Return how the debrief is asked for after a form was sent.

    Parameters
    ----------
    form
        Its fields: `ground_ft`, `altimeter_hpa`, `wind`, `point`, `line`, `corners`, `pylons`; `kind-N`,
        `from-N`, `to-N` for each row; and `kind-new`, `from-new`, `to-new` for a maneuver that was not found.
    document
        The debrief that the form was made from.
    asked
        How that was asked for.
    metric
        Whether it was the form of somebody who reads metric units, in whose words it is refused.

    Raises
    ------
    FieldsError
        Naming all fields that make no sense.
    """
    recorded = bounds(document)
    stretches = rows(document, asked)
    wrong = Gathered(labels(stretches), metric)
    values: dict[str, Any] = {}
    with wrong.at("ground_ft"):
        values["ground_ft"] = _number(form.get("ground_ft", ""), "ground_ft", _LOWEST, _HIGHEST)
    with wrong.at("altimeter_hpa"):
        values["altimeter_hpa"] = altimeter.read(form.get("altimeter_hpa", ""), "altimeter_hpa")
    with wrong.at("wind"):
        values["wind_from_deg"], values["wind_kt"] = _wind(form.get("wind", ""))
    for field in PLACES:
        with wrong.at(field):
            values[field] = _places(form.get(field, ""), field)
    said: list[Stretch] = []
    for row in (*stretches, None):
        said += stretch_said(form, "new" if row is None else str(row.number), row, recorded, wrong)
    wrong.refuse()
    return msgspec.structs.replace(asked, said=tuple(said), **values)


def written(places: tuple[Any, ...] | None) -> str:
    """Return a place, or several, as a field of the form has them; empty where none was said."""
    if places is None:
        return ""
    several = [places] if isinstance(places[0], float) else places
    return " ".join(f"{latitude},{longitude}" for latitude, longitude in several)


def filled_in(asked: Asked, *, metric: bool) -> dict[str, tuple[str, str]]:
    """Return name in the form and text of each field that has a unit of its reader.

    Parameters
    ----------
    asked
        How the debrief is asked for.
    metric
        Whether it is read in metric units.
    """
    wind = "" if asked.wind_kt is None else f"{asked.wind_from_deg or 0.0:.10g}/{asked.wind_kt:.10g}"
    ground = "" if asked.ground_ft is None else f"{asked.ground_ft:.10g}"
    return {
        name: (typed.metric_name(name) if metric else name, typed.shown(name, text, metric=metric))
        for name, text in (("ground_ft", ground), ("wind", wind))
    }


def as_it_was(form: Form, asked: Asked) -> dict[str, str]:
    """Return a form in feet and knots; fields that show what there is, rounded, have it exactly.

    Parameters
    ----------
    form
        As sent, by a reader of either units.
    asked
        How the debrief is asked for that the form was made of.
    """
    exactly = {"ground_ft": _exact(asked.ground_ft)}
    if asked.wind_kt is not None:
        exactly["wind"] = f"{_exact(asked.wind_from_deg or 0.0)}/{_exact(asked.wind_kt)}"
    fields = {
        name: exactly[own]
        for metric in (False, True)
        for own, (name, text) in filled_in(asked, metric=metric).items()
        if own in exactly and form.get(name) == text
    }
    said = typed.in_address({name: text for name, text in form.items() if name not in fields}, METRIC_FIELDS)
    return {**said, **{METRIC_FIELDS.get(name, name): text for name, text in fields.items()}}


def _exact(value: float | None) -> str:
    return "" if value is None else f"{value!r}".removesuffix(".0")


def bounds(document: Mapping[str, Any]) -> tuple[datetime, datetime]:
    """Return when the recording of a debrief begins and ends."""
    return _moment(document["flight"]["start"]), _moment(document["flight"]["end"])


def stretch_said(
    form: Form, key: str, row: Row | None, recorded: tuple[datetime, datetime], wrong: Gathered
) -> list[Stretch]:
    """Return what a row of the form says, nothing where it leaves the program's reading as it is."""
    kind, start, end = (form.get(f"{name}-{key}", "").strip() for name in OF_STRETCH)
    if row is None and not (kind and start and end):
        for name, text in zip(OF_STRETCH, (kind, start, end), strict=True):
            if (kind or start or end) and not text:
                wrong.add(
                    f"{name}-{key}", UsageError("it is empty", "", "kind, beginning and end go together")
                )
        return []
    if row is not None:
        if kind == AS_FOUND:
            return []  # the program's reading again
        if (kind, start, end) == (row.kind, row.start, row.end):
            return [] if row.stretch is None else [row.stretch]
    if kind not in (*KINDS, NOTHING):
        wrong.add(
            f"kind-{key}", UsageError(f"there is no maneuver {kind[:40]!r}", "", "choose one of the list")
        )
    first, last = (
        _time(text, f"{name}-{key}", recorded, wrong) for name, text in (("from", start), ("to", end))
    )
    if first is None or last is None:
        return []
    if last <= first:
        wrong.add(f"to-{key}", UsageError("it ends before it begins", "", "exchange the times"))
    return [Stretch(first, last, None if kind == NOTHING else kind)]


def _overlap(said: Stretch, found: Mapping[str, Any]) -> bool:
    start, end = _moment(found["start"]), _moment(found["end"])
    return min(said.end, end) - max(said.start, start) > 0.5 * min(said.end - said.start, end - start)


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _time(text: str, field: str, recorded: tuple[datetime, datetime], wrong: Gathered) -> datetime | None:
    """Return a time of day as a moment of the flight, which may go past midnight; None where it is wrong."""
    try:
        of_day = time.fromisoformat(text)
    except ValueError:
        wrong.add(field, UsageError(f"{text[:20]!r} is not a time" if text else "it is empty", "", _CLOCK))
        return None
    first, last = recorded
    moment = datetime.combine(first.astimezone(UTC).date(), of_day.replace(tzinfo=None), UTC)
    moment = moment + timedelta(days=1) if moment < first - _SLACK else moment
    if moment > last + _SLACK:
        within = f"give a time from {time_of_day(first)} to {time_of_day(last)} UTC"
        wrong.add(field, UsageError(f"{text[:20]} is outside the recording", "", within))
        return None
    return moment


def _number(text: str, field: str, low: float, high: float) -> float | None:
    if not text.strip():
        return None
    value = typed.number(text, field, "write a number, or leave it empty")
    if not low <= value <= high:
        raise OutOfRangeError(value, low, high, field)
    return value


def _wind(text: str) -> tuple[float | None, float | None]:
    if not text.strip():
        return None, None
    direction, knots = stated_wind(typed.points(text), "wind")
    if knots > _STRONGEST:
        raise OutOfRangeError(knots, 0, _STRONGEST, "wind")
    return direction, knots


def _places(text: str, field: str) -> Any:
    """Return the places of a field as a debrief is asked with them; None where it was left empty."""
    said = text.split()
    if not said:
        return None
    problems: list[str] = []
    places = [_place(one, problems) for one in said]
    if len(said) != PLACES[field]:
        problems.append(f"{text!r} is not {'one place' if PLACES[field] == 1 else f'{PLACES[field]} places'}")
    if problems:
        between = "" if PLACES[field] == 1 else ", a space between places"
        raise UsageError(" and ".join(problems), field, f"{_DEGREES}{between}")
    return places[0] if PLACES[field] == 1 else tuple(places)


def _place(text: str, problems: list[str]) -> tuple[float, ...]:
    """Return latitude and longitude of a place; what is wrong with either is added to the problems."""
    parts = text.split(",")
    if len(parts) != len(_LIMITS) or not all(parts):
        problems.append(f"{text!r} is not a place")
        return ()
    degrees = []
    for part, (name, limit) in zip(parts, _LIMITS.items(), strict=True):
        try:
            degrees.append(typed.number(part, ""))
        except UsageError:
            problems.append(f"{part[:20]!r} is not a {name}")
        else:
            if abs(degrees[-1]) > limit:
                problems.append(f"{name} {part} is out of range")
    return tuple(degrees)
