"""One lesson on its way into the record: what was asked, looked at, debriefed and put there."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import degrees
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groundref.asking.words import stated_wind
from groundref.cli.looking import Looking, Settled, warnings
from groundref.cli.options import check_names
from groundref.cli.waiting import waiting
from groundref.errors import UsageError
from groundref.units import foot, hectopascal

if TYPE_CHECKING:
    from groundref.debriefing import Debrief
    from groundref.record.asked import Asked
    from groundref.record.names import Newcomer
    from groundref.record.sites import Site
    from groundref.record.store import Record
    from groundref.track.recording import Recording


@dataclass(frozen=True)
class Wanted:
    """A lesson as it was asked for.

    Attributes
    ----------
    recordings
        Names of the files, or `-`.
    looking
        How the flight is looked at.
    student, instructor, site
        Names.
    plan
        File of the plan.
    remarks
        Of the instructor.
    """

    recordings: tuple[str, ...]
    looking: Looking
    student: str | None = None
    instructor: str | None = None
    site: str | None = None
    plan: str | None = None
    remarks: str | None = None


@dataclass(frozen=True)
class Taken:
    """A lesson that is in the record.

    Attributes
    ----------
    number
        Of the lesson.
    new
        Whether it is new; else the record held this recording already.
    plain
        Its debrief's JSON as plain data; empty when it is not new.
    newcomers
        People who were put into the record with it.
    warnings
        A sentence for each thing given that was not used.
    holder
        Whose lesson it is when it is not new; None for nobody.
    """

    number: int
    new: bool
    plain: dict[str, Any] = field(default_factory=dict)
    newcomers: tuple[Newcomer, ...] = ()
    warnings: tuple[str, ...] = ()
    holder: str | None = None


def take(store: Record, wanted: Wanted) -> Taken:
    """Debrief a lesson and put it into the record, unless that holds its recording already.

    Raises
    ------
    GroundrefError
        When something in what was asked, in the files or in the record is not as it should be; nothing was
        written then.
    """
    if wanted.student is None:
        raise UsageError("whose lesson it is was not said", "--student", "give the student's name")
    check_names(list(wanted.recordings))
    given = wanted.looking.settled()
    parts = tuple(_content(name) for name in wanted.recordings)
    from groundref.record.lessons import NewLesson, add, digests, holding, shown
    from groundref.record.names import newcomers, tidy
    from groundref.record.sites import site_called

    tidy(wanted.student, "--student")
    with store.reading() as connection:
        there = holding(connection, digests(parts))
        if there is not None:
            return Taken(there, new=False, holder=shown(connection, there).row.student)
        new_people = newcomers(connection, (wanted.student, wanted.instructor))
        site = None if wanted.site is None else site_called(connection, wanted.site)
        airplane = _airplane(store, wanted.looking.aircraft)
    plan = plan_in(wanted.plan) if wanted.plan is not None else None
    asked, recording = _asked(wanted.looking, given, site, airplane, parts)
    from groundref import __version__
    from groundref.record.working import work_out

    with waiting("working out the debrief"):
        worked = work_out(recording, asked, plan)
    said = tuple(_warnings(worked.debrief, wanted, given, recording, asked, site))
    if worked.comparison is not None and worked.comparison.number is None:
        said += worked.comparison.says
    number, new = add(
        store,
        NewLesson(
            parts=parts,
            asked=asked,
            document=worked.document,
            version=__version__,
            student=wanted.student,
            instructor=wanted.instructor,
            airplane=airplane,
            site=wanted.site,
            plan=plan,
            remarks=wanted.remarks or "",
        ),
    )
    if new:
        return Taken(number, True, worked.plain, new_people, said)
    with store.reading() as connection:  # somebody else was quicker
        return Taken(number, new=False, holder=shown(connection, number).row.student)


def _content(name: str) -> tuple[str, bytes]:
    """Return the name of a recording, without its folder, and its bytes."""
    if name == "-":
        return "standard input", sys.stdin.buffer.read()
    from groundref.documents import content_of

    return Path(name).name, content_of(name, "name the recording's file")


def plan_in(path: str) -> bytes:
    """Return a plan's JSON, looked at before the debrief, so that a wrong one costs no time."""
    from groundref.comparison.reading import parse_plan
    from groundref.documents import content_of

    content = content_of(path, "give the file that groundref plan --json wrote")
    parse_plan(content, path)
    return content


def _airplane(store: Record, named: str | None) -> tuple[str, str] | None:
    """Return name and text of an airplane: of a file, of the package, or one that the record knows."""
    if named is None:
        return None
    from groundref import datafile
    from groundref.aircraft.loading import aircraft_names, parse_aircraft
    from groundref.record import schema
    from groundref.record.names import found

    is_file = named.endswith(".toml") or "/" in named or "\\" in named
    if not is_file and named not in aircraft_names():
        with store.reading() as connection:
            kept = found(connection, schema.airplane, named)
        if kept:
            return kept[0]["name"], kept[0]["document"]
    text, where = datafile.find(named, "groundref.aircraft", "aircraft")
    return parse_aircraft(text, where).name, text


def _asked(
    looking: Looking,
    given: Settled,
    site: Site | None,
    airplane: tuple[str, str] | None,
    parts: tuple[tuple[str, bytes], ...],
) -> tuple[Asked, Recording]:
    """Return how the debrief is asked for, and the recording, whose day the times may need."""
    from msgspec import convert

    from groundref.datafile import find
    from groundref.record.asked import Asked, recording_of
    from groundref.record.sites import at_site
    from groundref.standards.loading import parse_standard

    standard = None
    if looking.standard is not None:
        standard, where = find(looking.standard, "groundref.standards", "standard")
        parse_standard(standard, where)
    columns = _columns(looking.columns)
    with waiting(f"reading {', '.join(name for name, _ in parts)}"):
        recording = recording_of(parts, columns)
    start, end = looking.between(recording)
    asked = _kept(looking, given) | {"start": start, "end": end, "standard": standard, "columns": columns}
    if airplane is not None:
        asked["airplane"] = airplane[1]
    found = convert(asked, Asked)
    return (found if site is None else at_site(found, site)), recording


def _columns(path: str | None) -> str | None:
    """Return the text of a file that says which column holds what, looked at."""
    if path is None:
        return None
    from groundref.readers._mapping import load_mapping

    load_mapping(Path(path))
    return Path(path).read_text("utf-8")


def _kept(looking: Looking, given: Settled) -> dict[str, Any]:
    """Return places, air and ground as the record keeps them, in the units of the options."""
    places = {
        name: None if found is None else [(_degrees(one[0]), _degrees(one[1])) for one in found]
        for name in ("point", "line", "corners", "pylons", "runway")
        for found in (getattr(given.places, name),)
    }
    pylons = given.places.pylon_elevations
    wind = stated_wind(looking.wind) if looking.wind else (None, None)
    return {
        **places,
        "point": places["point"][0] if places["point"] else None,
        "pylon_ft": None if pylons is None else [elevation / foot for elevation in pylons],
        "ground_ft": looking.ground_ft,
        "altimeter_hpa": None if given.altimeter is None else given.altimeter / hectopascal,
        "wind_from_deg": wind[0],
        "wind_kt": wind[1],
    }


def _degrees(angle: float) -> float:
    """Return an angle as it was written [deg]."""
    return round(degrees(angle), 10)


def _warnings(
    result: Debrief, wanted: Wanted, given: Settled, recording: Recording, asked: Asked, site: Site | None
) -> Iterator[str]:
    """Yield what of the options and of the site was not used, and why not."""
    ground = None
    if asked.ground_ft is not None:
        ground = "--ground-ft" if wanted.looking.ground_ft is not None else "--site"
    yield from warnings(result, given, recording, (asked.start, asked.end), ground)
    if site is not None:
        from groundref.cli.consistent import warn_of_site

        yield from warn_of_site(result, site.name, site.places)
