"""A folder read and looked through as a whole, before anything of it goes into a record."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

import msgspec

from groundref.errors import InputError
from groundref.progress.flown import ManeuverFlown, flown_in
from groundref.record.folder.consistent import check
from groundref.record.folder.files import AGAIN, read_file, read_named
from groundref.record.folder.shape import MOST_BYTES, SCHEMA, Document, File
from groundref.record.folder.spool import Spool, spool

RECORD: Final = "record.json"
_PLANS: Final = "groundref/plan/"

Step = Callable[[int, int], None]


class _Headed(msgspec.Struct):
    schema: str = ""


@dataclass(frozen=True, slots=True)
class Brought:
    """A folder that was found right.

    Attributes
    ----------
    folder
        Where it lies.
    document
        Its `record.json`.
    texts
        Text of airplanes, standards and columns, by the SHA-256 of their files.
    spool
        Recordings, debriefs and plans, by their SHA-256.
    """

    folder: Path
    document: Document
    texts: dict[str, str]
    spool: Spool


@contextmanager
def brought(
    folder: Path, *, beside: Path | None = None, step: Step = lambda done, of: None
) -> Iterator[Brought]:
    """Read a folder that ``write_folder`` wrote, here or elsewhere, and look through all of it.

    Parameters
    ----------
    folder
        Where it lies.
    beside
        A folder on a disk with room for it all, packed, for as long as it is needed.
    step
        Told how many files of how many are read.

    Raises
    ------
    InputError
        When anything in it is not as it should be: one sentence that names the file.
    RecordError
        When there is no room to keep what was read.
    """
    if not folder.is_dir():
        what = "this is no folder" if folder.exists() else "there is no such folder"
        raise InputError(what, str(folder), "name a folder that groundref record export wrote")
    document = _document(read_file(folder, RECORD, MOST_BYTES), str(folder / RECORD))
    wanted = _wanted(document)
    with spool(beside) as kept:
        found = Brought(folder, document, {}, kept)
        for done, (file, take) in enumerate(wanted.values(), start=1):
            take(found, read_named(folder, file), str(folder / file.file))
            step(done, len(wanted))
        yield found


def figures_in(debrief: bytes, where: str) -> tuple[ManeuverFlown, ...]:
    """Return the figures of a debrief, each of the kind that it should be.

    Raises
    ------
    InputError
        When it is no debrief.
    """
    plain = _plain(debrief, where)
    try:
        flown = flown_in(plain, where)
    except InputError as problem:
        raise InputError(problem.what, where, AGAIN) from problem
    try:
        return msgspec.convert(msgspec.to_builtins(flown), tuple[ManeuverFlown, ...])
    except msgspec.ValidationError as problem:
        raise InputError(f"this is not a debrief ({problem})", where, AGAIN) from problem


def _document(content: bytes, where: str) -> Document:
    try:
        named = msgspec.json.decode(content, type=_Headed).schema
        if named == SCHEMA:
            document = msgspec.json.decode(content, type=Document)
            check(document, where)
            return document
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as problem:
        raise InputError(_told(str(problem)), where, AGAIN) from problem
    family, _, version = named.rpartition("/")
    if family == SCHEMA.rpartition("/")[0] and version.isdecimal():
        raise InputError(
            f"it was written by a newer groundref (it is {named}, this one knows {SCHEMA})",
            where,
            "update groundref",
        )
    raise InputError(f"its schema is {named!r} and not {SCHEMA!r}", where, "name a folder of a record")


def _told(problem: str) -> str:
    """Say what msgspec found; of a file's name, what is wrong with it."""
    if problem.endswith(".file`"):
        place = problem.rpartition(" - at ")[2].strip("`").removeprefix("$.")
        return f"{place} leads out of the folder, or is no name that an export gives"
    return f"this is not an exported record ({problem})"


Take = Callable[[Brought, bytes, str], None]


def _wanted(document: Document) -> dict[tuple[str, Take], tuple[File, Take]]:
    """Return every file that is named, each once, with what is to be made of it."""
    wanted: dict[tuple[str, Take], tuple[File, Take]] = {}

    def want(file: File | None, take: Take) -> None:
        if file is not None:
            wanted[file.file, take] = file, take

    for airplane in document.airplanes:
        want(airplane.document, _take_text)
    for recording in document.recordings:
        want(recording.content, _take)
    for lesson in document.lessons:
        want(lesson.plan, _take_plan)
        for result in lesson.results:
            want(result.debrief, _take_debrief)
        for text in (lesson.asked.standard, lesson.asked.airplane, lesson.asked.columns):
            want(text, _take_text)
    return wanted


def _take(found: Brought, content: bytes, where: str) -> None:
    found.spool.put(content)


def _take_debrief(found: Brought, content: bytes, where: str) -> None:
    figures_in(content, where)
    found.spool.put(content)


def _take_plan(found: Brought, content: bytes, where: str) -> None:
    schema = str(_plain(content, where).get("schema"))
    if not schema.startswith(_PLANS):
        raise InputError(f"its schema is {schema!r} and not {_PLANS}1", where, AGAIN)
    found.spool.put(content)


def _take_text(found: Brought, content: bytes, where: str) -> None:
    try:
        text = content.decode()
    except UnicodeDecodeError as problem:
        raise InputError("this is not a text in UTF-8", where, AGAIN) from problem
    if "\0" in text:
        raise InputError("this is not a text", where, AGAIN)
    found.texts[sha256(content).hexdigest()] = text


def _plain(content: bytes, where: str) -> dict[str, Any]:
    try:
        plain = msgspec.json.decode(content, type=dict[str, Any])
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as problem:
        raise InputError(f"this is not the JSON of an export ({problem})", where, AGAIN) from problem
    if b"\\u0000" in content and any("\0" in text for text in _texts(plain)):
        raise InputError("a text in it holds a NUL, which no record keeps", where, AGAIN)
    return plain


def _texts(value: Any) -> list[str]:
    """Return every text in plain data."""
    if isinstance(value, str):
        return [value]
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for part in parts for text in _texts(part)]
