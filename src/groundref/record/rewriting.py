"""Our own documents with a person's name taken out: debriefs, plans, and how a debrief was asked for.

Parts of a name can be ordinary words (Mark, Banks, Field), and our documents are full of such words that mean
something. So there, parts go only where somebody's own words stand; the whole name goes everywhere.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from typing import Any

import msgspec

from groundref.aircraft.loading import parse_aircraft
from groundref.documents import to_json
from groundref.errors import GroundrefError
from groundref.record.asked import Asked, asked_in
from groundref.record.spelling import Name
from groundref.standards.loading import parse_standard, standard_names

Path = tuple[str, ...]


def reworded_document(content: bytes, name: Name) -> bytes | None:
    """Return a debrief or plan without a name, None when that does not stand in it."""
    text = content.decode()
    if not name.may_stand_in(text) and "\\u" not in text:
        return None
    document = json.loads(text)
    reworded = _reworded(document, name, (), _named_by_us(document))
    if reworded == document:
        return None
    return to_json(reworded)


def reworded_standard(called: str, name: Name) -> str:
    """Return what a standard is called, without a name; one of ours stays as it is."""
    return called if called in standard_names() else name.out_of(called)


def reworded_asked(text: str, name: Name) -> str:
    """Return how a debrief is asked for, without a name."""
    if not name.may_stand_in(text) and "\\u" not in text:
        return text
    asked = asked_in(text)
    changed: Asked = msgspec.structs.replace(
        asked,
        standard=_data_file(asked.standard, name, lambda new: parse_standard(new, "standard")),
        airplane=_data_file(asked.airplane, name, lambda new: parse_aircraft(new, "airplane")),
        columns=None if asked.columns is None else _comments_reworded(asked.columns, name),
    )
    return text if changed == asked else changed.to_json()


def reworded_airplane(document: str, name: Name) -> str:
    """Return the text of an airplane's data file without a name."""
    return _data_file(document, name, lambda new: parse_aircraft(new, "airplane")) or ""


def _named_by_us(document: Any) -> bool:
    """Whether the standard that a document names is one of ours."""
    standard = document.get("standard") or document.get("inputs", {}).get("standard")
    return (standard.get("name") if isinstance(standard, dict) else standard) in standard_names()


def _reworded(value: Any, name: Name, path: Path, ours: bool) -> Any:
    """Return a value of a document, and all in it, without a name."""
    if isinstance(value, dict):
        return {key: _reworded(each, name, (*path, key), ours) for key, each in value.items()}
    if isinstance(value, list):
        return [_reworded(each, name, path, ours) for each in value]
    if isinstance(value, str):
        return name.out_of(value, parts=_own_words(path, ours))
    return value


def _own_words(path: Path, ours: bool) -> bool:
    """Whether somebody's own words stand at a place of a document."""
    if path in (("flight", "source"), ("flight", "notes")) or path[-1:] == ("aircraft",):
        return True
    return not ours and (path[:1] == ("standard",) or path == ("inputs", "standard"))


def _data_file(text: str | None, name: Name, parse: Callable[[str], object]) -> str | None:
    """Return the text of a data file without a name, in the first way that leaves what it means."""
    if text is None or not name.may_stand_in(text):
        return text
    shape = _without_texts(tomllib.loads(text))
    for new in (name.out_of(text), _comments_reworded(text, name)):
        try:
            parse(new)
            if _without_texts(tomllib.loads(new)) == shape:
                return new
        except (GroundrefError, tomllib.TOMLDecodeError):
            continue
    return name.out_of(text, parts=False)


def _without_texts(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_texts(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_without_texts(each) for each in value]
    return "" if isinstance(value, str) else value


def _comments_reworded(text: str, name: Name) -> str:
    """Return TOML with the whole name taken out, and its parts out of comments."""
    return "".join(_line(line, name) for line in text.splitlines(keepends=True))


def _line(line: str, name: Name) -> str:
    said, mark, comment = line.partition("#")
    return name.out_of(said, parts=False, apart=True) + mark + name.out_of(comment)
