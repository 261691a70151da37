"""Data files in TOML: found by name or by path, checked against a shape, refused in one sentence."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeVar

import msgspec

from groundref.errors import InputError, UsageError

Shape = TypeVar("Shape")

_WORDS: Final = {
    "int": "a whole number",
    "float": "a number",
    "str": "text",
    "bool": "true or false",
    "array": "a list",
    "object": "a table",
    "null": "nothing",
}


def names(package: str) -> list[str]:
    """Return the names of the data files inside a package, sorted.

    Parameters
    ----------
    package
        Such as `groundref.standards`.
    """
    return sorted(_packaged(package))


def find(name_or_file: str, package: str, noun: str) -> tuple[str, str]:
    """Return the text of a data file and the name to call it by in messages.

    Parameters
    ----------
    name_or_file
        A name from ``names(package)``, or a path that ends in `.toml` or has a folder in it.
    package
        Where the named files are.
    noun
        What such a file is, for the message: `standard`, `aircraft`.

    Raises
    ------
    UsageError
        When there is no such name.
    InputError
        When the file cannot be read.
    """
    if name_or_file.endswith(".toml") or "/" in name_or_file or "\\" in name_or_file:
        return _text_of(Path(name_or_file)), name_or_file
    known = _packaged(package)
    if name_or_file not in known:
        raise UsageError(
            f"no {noun} is called {name_or_file!r}",
            remedy=f"take one of {', '.join(sorted(known))}, or the path of your own .toml file",
        )
    return known[name_or_file], f"{name_or_file}.toml"


def parse(text: str, where: str, shape: type[Shape], keys: str = "docs/data-files.md") -> Shape:
    """Read TOML into a msgspec structure.

    Parameters
    ----------
    text
        TOML.
    where
        Name of the file, for messages.
    shape
        The structure, with unknown keys forbidden.
    keys
        What shows the keys, for messages.

    Raises
    ------
    InputError
        Naming the line where the TOML itself is wrong, or the table and the key that do not fit.
    """
    try:
        return msgspec.convert(tomllib.loads(text), shape)
    except tomllib.TOMLDecodeError as problem:
        what, _, place = str(problem).removesuffix(")").partition(" (at ")
        raise InputError(
            f"this is not valid TOML: {_lower_first(what)}", f"{where}: {place or 'end'}", "mend that line"
        ) from problem
    except msgspec.ValidationError as problem:
        what, _, path = str(problem).partition(" - at ")
        place = _place(path.strip("`"))
        raise InputError(
            _plain(what), f"{where}: {place}" if place else where, f"see {keys} for the keys"
        ) from problem


@cache  # what comes with the package does not change, and a plan asks for it several times
def _packaged(package: str) -> Mapping[str, str]:
    """Return the text of the data files inside a package by their names."""
    entries = (entry for entry in files(package).iterdir() if entry.name.endswith(".toml"))
    return MappingProxyType({entry.name.removesuffix(".toml"): entry.read_text("utf-8") for entry in entries})


def _text_of(path: Path) -> str:
    try:
        return path.read_text("utf-8")
    except UnicodeDecodeError as problem:
        raise InputError("this is not a text file", str(path), "give a TOML file in UTF-8") from problem
    except OSError as problem:
        raise InputError(
            f"the file cannot be read ({(problem.strerror or 'unknown reason').lower()})",
            str(path),
            "check the name and the permissions",
        ) from problem


def _place(path: str) -> str:
    """Turn `$.task[0].element[2].limit` into `task 1, element 3, limit`."""
    steps = re.findall(r"\.(\w+)(?:\[(\d+)\])?", path)
    return ", ".join(f"{name} {int(index) + 1}" if index else name for name, index in steps)


def _plain(what: str) -> str:
    """Say in plain words what msgspec found."""
    if missing := re.fullmatch(r"Object missing required field `(\w+)`", what):
        return f"the key `{missing[1]}` is missing"
    if unknown := re.fullmatch(r"Object contains unknown field `(.+)`", what):
        return f"the key `{unknown[1]}` is not known"
    plain = re.sub(r"`(\w+)(?: \| null)?`", lambda kind: _WORDS.get(kind[1], kind[0]), what)
    return _lower_first(plain.replace(", got", ", found"))


def _lower_first(clause: str) -> str:
    return clause[:1].lower() + clause[1:]
