"""Whole records, invented by hypothesis: odd names, things missing, several parts and debriefs."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Any

from hypothesis import strategies as st
from sqlalchemy import delete

from groundref.progress.flown import flown_in
from groundref.record import schema
from groundref.record.asked import Asked, Stretch
from groundref.record.results import put_figures
from groundref.record.sealed import pack, put, put_content
from groundref.record.store import Record

WORDS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=30)
NAMES = WORDS.map(lambda text: " ".join(text.split())).filter(lambda text: bool(text) and text.isprintable())
IDS = st.uuids().map(lambda made: made.hex)
MOMENTS = st.datetimes(datetime(1970, 1, 1), datetime(2199, 12, 31)).map(
    lambda made: made.isoformat(timespec="milliseconds") + "Z"
)
FIGURES = st.none() | st.floats(allow_nan=False, allow_infinity=False)
MOMENT = st.datetimes(timezones=st.timezones())
PLACES = st.tuples(st.floats(-90, 90), st.floats(-180, 180))
VERDICTS = st.sampled_from(["met", "not-met", "undetermined"])
MOST = 2**31 - 1


def maybe(ids: list[str]) -> st.SearchStrategy[str | None]:
    return st.none() | st.sampled_from(ids) if ids else st.none()


@dataclass
class Invented:
    """Rows of a record by table, contents by what they are, and figures by result."""

    rows: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    contents: list[bytes] = field(default_factory=list)
    debriefs: dict[str, bytes] = field(default_factory=dict)

    def keep(self, content: bytes) -> str:
        self.contents.append(content)
        return sha256(content).hexdigest()

    def add(self, table: str, **row: Any) -> str:
        self.rows.setdefault(table, []).append(row)
        return str(row["id"])


def asked() -> st.SearchStrategy[Asked]:
    two = st.none() | st.tuples(PLACES, PLACES)
    return st.builds(
        Asked,
        **dict.fromkeys(("standard", "airplane", "columns"), st.none() | WORDS),
        **dict.fromkeys(("ground_ft", "altimeter_hpa", "wind_from_deg", "wind_kt"), FIGURES),
        **dict.fromkeys(("start", "end"), st.none() | MOMENT),
        **dict.fromkeys(("line", "pylons", "runway"), two),
        said=st.lists(st.builds(Stretch, MOMENT, MOMENT, st.none() | WORDS), max_size=2).map(tuple),
        point=st.none() | PLACES,
        on_the_ground=st.booleans(),
        corners=st.none() | st.tuples(PLACES, PLACES, PLACES, PLACES),
        pylon_ft=st.none() | st.tuples(st.floats(-1e3, 1e4), st.floats(-1e3, 1e4)),
    )


@st.composite
def debriefs(draw: st.DrawFn) -> bytes:
    element = st.fixed_dictionaries(
        {"code": WORDS, "what": WORDS, "quantity": WORDS, "verdict": VERDICTS, "unit": st.none() | WORDS}
        | dict.fromkeys(("limit", "worst", "worst_sd", "minimum"), FIGURES)
    )
    finding = st.fixed_dictionaries(
        {"fault": WORDS, "size": FIGURES, "size_sd": FIGURES, "size_unit": WORDS},
        optional={"strength": FIGURES},
    )
    maneuver = st.fixed_dictionaries(
        {
            "kind": WORDS,
            "direction": WORDS,
            "start": MOMENTS,
            "end": MOMENTS,
            "laps": st.lists(st.just({}), max_size=3),
            "elements": st.lists(element, max_size=3),
            "findings": st.lists(finding, max_size=2),
        },
        optional={"confidence": FIGURES, "radius_ft": FIGURES, "wind": st.none() | st.just({"speed_kt": 3})},
    )
    found = draw(st.lists(maneuver, max_size=3))
    return json.dumps({"schema": "groundref/debrief/1", "maneuvers": found}, ensure_ascii=False).encode()


@st.composite
def records(draw: st.DrawFn) -> Invented:
    """Invent a record; a lesson without parts or people is what forgetting somebody leaves."""
    made = Invented()
    names = [draw(st.lists(NAMES, max_size=4, unique=True)) for _ in range(3)]
    people, airplanes, sites = ([draw(IDS) for _ in each] for each in names)
    for identity, name in zip(people, names[0], strict=True):
        made.add("person", id=identity, name=name, added=draw(MOMENTS))
    for identity, name in zip(airplanes, names[1], strict=True):
        made.add("airplane", id=identity, name=name, document=draw(WORDS))
    for identity, name in zip(sites, names[2], strict=True):
        _site(draw, made, identity, name)
    digests: set[str] = set()
    for number in draw(st.lists(st.integers(1, MOST), max_size=4, unique=True)):
        _lesson(draw, made, number, (people, airplanes, sites), digests)
    return made


def _site(draw: st.DrawFn, made: Invented, identity: str, name: str) -> None:
    kind, count = draw(st.sampled_from([("point", 1), ("line", 2), ("rectangle", 4), ("pylons", 2)]))
    places = json.dumps(draw(st.lists(PLACES, min_size=count, max_size=count)))
    row = {"type": kind, "places": places, "ground_ft": draw(FIGURES), "remarks": draw(WORDS)}
    made.add("site", id=identity, name=name, **row)


def _lesson(
    draw: st.DrawFn,
    made: Invented,
    number: int,
    known: tuple[list[str], list[str], list[str]],
    digests: set[str],
) -> None:
    people, airplanes, sites = known
    signed = draw(st.booleans())
    plan = draw(st.none() | WORDS)
    if plan is not None:
        plan = made.keep(json.dumps({"schema": "groundref/plan/1", "maneuver": plan}).encode())
    lesson = made.add(
        "lesson",
        id=draw(IDS),
        number=number,
        date=draw(st.dates()).isoformat(),
        start=draw(MOMENTS),
        end=draw(MOMENTS),
        student_id=draw(maybe(people)),
        instructor_id=draw(maybe(people)),
        airplane_id=draw(maybe(airplanes)),
        site_id=draw(maybe(sites)),
        plan_id=plan,
        asked=draw(asked()).to_json(),
        remarks=draw(WORDS),
        signed_by_id=draw(maybe(people)) if signed else None,
        signed_at=draw(MOMENTS) if signed else None,
        signed_turn=draw(st.none() | st.integers(1, 3)) if signed else None,
        added=draw(MOMENTS),
    )
    for place in draw(st.lists(st.integers(1, 9), max_size=3, unique=True)):
        _part(draw, made, lesson, place, digests)
    for turn in draw(st.lists(st.integers(1, 9), max_size=2, unique=True)):
        _result(draw, made, lesson, turn)
    for code in draw(st.lists(WORDS, max_size=2, unique=True)):
        _verdict(draw, made, lesson, code, people)


def _part(draw: st.DrawFn, made: Invented, lesson: str, place: int, digests: set[str]) -> None:
    brought = draw(st.binary(max_size=40).filter(lambda content: sha256(content).hexdigest() not in digests))
    digest = sha256(brought).hexdigest()
    digests.add(digest)
    altered = draw(st.booleans())
    content = made.keep(draw(st.binary(max_size=40)) if altered else brought)
    name = draw(WORDS | st.sampled_from(["../../a.gpx", "CON", "a/b\\c.csv", ".gpx", "Ü.GPX", "a.tar.gz"]))
    recording = made.add(
        "recording", id=draw(IDS), content_id=content, sha256=digest, name=name, altered=altered
    )
    made.add("part", id=draw(IDS), lesson_id=lesson, place=place, recording_id=recording)


def _result(draw: st.DrawFn, made: Invented, lesson: str, turn: int) -> None:
    document = draw(debriefs())
    result = made.add(
        "result",
        id=draw(IDS),
        lesson_id=lesson,
        turn=turn,
        version=draw(WORDS),
        computed=draw(MOMENTS),
        standard=draw(WORDS),
        document_id=made.keep(document),
    )
    made.debriefs[result] = document


def _verdict(draw: st.DrawFn, made: Invented, lesson: str, code: str, people: list[str]) -> None:
    made.add(
        "own_verdict",
        id=draw(IDS),
        lesson_id=lesson,
        maneuver_start=draw(MOMENTS),
        kind=draw(WORDS),
        code=code,
        quantity=draw(WORDS),
        verdict=draw(VERDICTS),
        reason=draw(WORDS),
        person_id=draw(maybe(people)),
        given=draw(MOMENTS),
    )


def write(record: Record, made: Invented) -> None:
    """Write an invented record in place of all that a record holds."""
    with record.writing() as connection:
        for table in reversed(schema.METADATA.sorted_tables):
            connection.execute(delete(table))
        for content in made.contents:
            put_content(connection, pack(content))
        for table in schema.METADATA.sorted_tables:
            put(connection, table, made.rows.get(table.name, []))
        for result, document in made.debriefs.items():
            put_figures(connection, result, flown_in(json.loads(document)))
