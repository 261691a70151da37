"""The shape of `record.json`, which docs/schema/record-1.json publishes.

It has a version of its own, apart from that of the database's tables: a change there need not be one here.
A key that is added, renamed or dropped here makes `groundref/record/2`, with a schema of its own beside the
first; what was written with the first stays readable, brought up to the second while it is read. So keys that
are not known are refused: to leave them out would be to lose something.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Final, Literal

import msgspec
from msgspec import Meta

SCHEMA: Final = "groundref/record/1"
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
MOST_BYTES: Final = 2**30  # of one file; PostgreSQL keeps no more in one value (documentation, appendix K)
LATEST: Final = 2**31 - 1  # number that both engines keep

_NO_NUL: Final = "^[^\\u0000]*$"  # PostgreSQL keeps no NUL in text (documentation, 8.3)

Id = Annotated[str, Meta(pattern="^[0-9a-f]{32}$", max_length=32)]
Sha256 = Annotated[str, Meta(pattern="^[0-9a-f]{64}$", max_length=64)]
Words = Annotated[str, Meta(pattern=_NO_NUL)]
Name = Annotated[str, Meta(pattern=_NO_NUL, min_length=1, max_length=200)]
Day = Annotated[str, Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", max_length=10)]
Moment = Annotated[
    str,
    Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\\.[0-9]{3}Z$", max_length=24),
]
Count = Annotated[int, Meta(ge=1, le=LATEST)]
Path = Annotated[
    str,
    Meta(pattern="^(recordings|debriefs|plans|airplanes|asked)/[a-z0-9][a-z0-9._-]*$", max_length=180),
]
Latitude = Annotated[float, Meta(ge=-90, le=90)]
Longitude = Annotated[float, Meta(ge=-180, le=180)]
Degrees = tuple[Latitude, Longitude]


class _Shape(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What all have in common: fixed, and no key that is not known."""


class File(_Shape, frozen=True):
    """A file of this folder."""

    file: Annotated[Path, Meta(description="Where it lies, from the folder; / parts folders.")]
    size_bytes: Annotated[int, Meta(ge=0, le=MOST_BYTES)]
    sha256: Annotated[Sha256, Meta(description="Digest of the file.")]


class Person(_Shape, frozen=True):
    """A student or instructor."""

    id: Id
    name: Annotated[Name, Meta(description="Single spaces; the record tells people apart by it.")]
    added: Annotated[
        Moment | None, Meta(description="When the person came into the record; null where that is left out.")
    ]


class Airplane(_Shape, frozen=True):
    """An airplane."""

    id: Id
    name: Annotated[str, Meta(pattern=_NO_NUL)]
    document: Annotated[File, Meta(description="Its data file, TOML.")]


class Site(_Shape, frozen=True):
    """A place where maneuvers are practiced."""

    id: Id
    name: Name
    type: Literal["point", "line", "rectangle", "pylons"]
    places_deg: Annotated[
        tuple[Degrees, ...], Meta(description="Latitude and longitude of each place, WGS 84.")
    ]
    ground_ft: Annotated[float | None, Meta(description="Elevation of the ground above mean sea level.")]
    remarks: Words


class Recording(_Shape, frozen=True):
    """A recorded flight, or a part of one."""

    id: Id
    name: Annotated[Words, Meta(description="Of the file as it was brought.")]
    brought_sha256: Annotated[Sha256, Meta(description="Digest of the file as it was brought.")]
    altered: Annotated[
        bool, Meta(description="Whether a name was taken out of it; then the two digests differ.")
    ]
    content: Annotated[File, Meta(description="The recording as it is kept, byte for byte.")]


class Stretch(_Shape, frozen=True):
    """A stretch of the flight that the instructor says what it was."""

    start: datetime
    end: datetime
    kind: Annotated[Words | None, Meta(description="What was flown; null for no maneuver.")]


class Asked(_Shape, frozen=True, omit_defaults=True):
    """How a lesson's debrief is asked for; what was not said is left out."""

    standard: Annotated[File | None, Meta(description="What it is judged by, TOML.")] = None
    airplane: Annotated[File | None, Meta(description="The airplane's data file, TOML.")] = None
    ground_ft: float | None = None
    altimeter_hpa: float | None = None
    wind_from_deg: Annotated[float | None, Meta(description="A wind that is known, true.")] = None
    wind_kt: float | None = None
    start: Annotated[datetime | None, Meta(description="Look only at what was flown after this.")] = None
    end: Annotated[datetime | None, Meta(description="Look only at what was flown before this.")] = None
    point: Degrees | None = None
    line: tuple[Degrees, Degrees] | None = None
    corners: tuple[Degrees, Degrees, Degrees, Degrees] | None = None
    pylons: tuple[Degrees, Degrees] | None = None
    runway: tuple[Degrees, Degrees] | None = None
    pylon_ft: Annotated[
        tuple[float, float] | None, Meta(description="Elevation of the ground at each pylon.")
    ] = None
    columns: Annotated[File | None, Meta(description="Which column of a table holds what, TOML.")] = None
    said: Annotated[tuple[Stretch, ...], Meta(description="What the instructor says was flown.")] = ()
    on_the_ground: Annotated[
        bool, Meta(description="Whether it is a try, flown on the ground; left out of progress.")
    ] = False


class Part(_Shape, frozen=True):
    """A recording's place in a lesson."""

    id: Id
    place: Annotated[Count, Meta(description="From 1.")]
    recording_id: Id


class Result(_Shape, frozen=True):
    """A debrief of a lesson."""

    id: Id
    turn: Annotated[Count, Meta(description="From 1; what was signed counts, else the highest.")]
    version: Annotated[Words, Meta(description="Of the program that worked it out.")]
    computed: Moment
    standard: Annotated[Words, Meta(description="Name of what it was judged by.")]
    debrief: Annotated[File, Meta(description="The debrief, groundref/debrief/1.")]


class OwnVerdict(_Shape, frozen=True):
    """The instructor's own verdict on an element, which goes before the program's."""

    id: Id
    maneuver_start: Annotated[Words, Meta(description="Start of the maneuver, by which it is found.")]
    kind: Annotated[Words, Meta(description="Kind of maneuver.")]
    code: Annotated[Words, Meta(description="The element's code in the standard.")]
    quantity: Annotated[Words, Meta(description="What the element compares.")]
    verdict: Literal["met", "not-met", "undetermined"]
    reason: Words
    person_id: Id | None
    given: Moment


class Signature(_Shape, frozen=True):
    """Who signed a lesson; what a forgotten person leaves of it may be null."""

    person_id: Id | None
    at: Moment | None
    turn: Annotated[Count | None, Meta(description="Turn of the debrief that was signed.")]


class Lesson(_Shape, frozen=True):
    """A lesson with everything that was concluded about it."""

    id: Id
    number: Count
    date: Annotated[Day, Meta(description="When it was flown.")]
    start: Annotated[Moment, Meta(description="Of the recording.")]
    end: Annotated[Moment, Meta(description="Of the recording.")]
    student_id: Id | None
    instructor_id: Id | None
    airplane_id: Id | None
    site_id: Id | None
    plan: Annotated[File | None, Meta(description="The plan that was to be flown, groundref/plan/1.")]
    asked: Asked
    remarks: Annotated[Words, Meta(description="The instructor's.")]
    signature: Signature | None
    added: Annotated[Moment, Meta(description="When it came into the record.")]
    parts: tuple[Part, ...]
    results: tuple[Result, ...]
    own_verdicts: tuple[OwnVerdict, ...]


class Document(_Shape, frozen=True):
    """A training record, or one student's part of it. Times are UTC; ids stay the same wherever it goes."""

    schema: Literal["groundref/record/1"]
    holds: Annotated[Literal["record", "student"], Meta(description="All of it, or one student's part.")]
    student_id: Annotated[Id | None, Meta(description="Whose part it is; null where it is the whole.")]
    people: tuple[Person, ...]
    airplanes: tuple[Airplane, ...]
    sites: tuple[Site, ...]
    recordings: tuple[Recording, ...]
    lessons: tuple[Lesson, ...]


def to_json(document: Document) -> bytes:
    """Return `record.json`."""
    return msgspec.json.format(msgspec.json.encode(document), indent=1) + b"\n"


def json_schema() -> bytes:
    """Return the published JSON Schema of `record.json`, draft 2020-12."""
    made: dict[str, Any] = {
        "$schema": DIALECT,
        "$id": "urn:groundref:schema:record:1",
        **msgspec.json.schema(Document),
    }
    return msgspec.json.format(msgspec.json.encode(made), indent=1) + b"\n"
