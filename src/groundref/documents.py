"""JSON that groundref writes, and the same read back: checked against a shape and its schema."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Protocol, TypeVar

import msgspec

from groundref.errors import InputError


class Document(Protocol):
    """A document that names its schema."""

    schema: str


Shape = TypeVar("Shape", bound=Document)


def to_json(document: Mapping[str, Any]) -> bytes:
    """Return a document as UTF-8 JSON, refusing values that JSON does not have.

    Raises
    ------
    ValueError
        When a number is not finite: what could not be determined is null, never NaN.
    """
    return (json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1) + "\n").encode()


def content_of(path: str, remedy: str) -> bytes:
    """Return the bytes of a file.

    Parameters
    ----------
    path
        Of the file.
    remedy
        What to do where it cannot be read.

    Raises
    ------
    InputError
        When there is no such file, or it cannot be read.
    """
    try:
        return Path(path).read_bytes()
    except FileNotFoundError as problem:
        raise InputError("there is no such file", path, remedy) from problem
    except IsADirectoryError as problem:
        raise InputError("this is a folder", path, remedy) from problem
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise InputError(f"it cannot be read ({reason.lower()})", path, remedy) from problem


def parse(content: bytes, where: str, shape: type[Shape], *, schema: str, noun: str, remedy: str) -> Shape:
    """Return a document read from its bytes.

    Parameters
    ----------
    content
        UTF-8.
    where
        What to call it in messages.
    shape
        The part of it that is wanted; what else stands in it is let be.
    schema
        That it must name.
    noun
        What it is, for the message, such as `a plan`.
    remedy
        What to do where it is none.

    Raises
    ------
    InputError
        When it is no such document.
    """
    try:
        read = msgspec.json.decode(content, type=shape)
    except (msgspec.DecodeError, UnicodeDecodeError) as problem:
        raise InputError(f"this is not {noun} ({problem})", where, remedy) from problem
    if read.schema != schema:
        raise InputError(f"its schema is {read.schema!r} and not {schema!r}", where, remedy)
    return read
