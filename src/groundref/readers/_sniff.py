"""What a file is, told from its first bytes and never from its name."""

from __future__ import annotations

import re
from typing import Final

from groundref.errors import InputError
from groundref.readers._source import Source

_READABLE: Final = "give a GPX file, a CSV log or an ADS-B state-vector table"
_MAGIC: Final = (
    (b"PK\x03\x04", "is a zip archive", "unpack it and give the recording inside"),
    (b"BZh", "is packed with bzip2", "unpack it first; only gzip is unpacked here"),
    (b"\xfd7zXZ", "is packed with xz", "unpack it first; only gzip is unpacked here"),
    (b"\x28\xb5\x2f\xfd", "is packed with Zstandard", "unpack it first; only gzip is unpacked here"),
    (b"\x1f\x8b", "is packed twice with gzip", "unpack it once"),
    (b"%PDF", "is a PDF document", _READABLE),
    (b"\x89PNG", "is a picture", _READABLE),
    (b"\xff\xd8\xff", "is a picture", _READABLE),
    (b"SQLite format 3", "is a database", "export the flight as GPX or CSV"),
)
_BYTE_ORDER: Final = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"))
_ROOT: Final = re.compile(r"<(?![?!])\s*(?:[\w.-]+:)?([\w.-]+)")
_COMMENT: Final = re.compile(r"<!--.*?-->", re.DOTALL)
_HTML: Final = re.compile(r"\s*<(!doctype\s+html|html|head|body)\b", re.IGNORECASE)
_NMEA: Final = re.compile(r"[$!][A-Z]{2}[A-Z0-9]{3,4},")
_OWN: Final = re.compile(r"""\A\{\s*"schema"\s*:\s*"groundref/""")
_IGC: Final = re.compile(r"\AA[A-Z0-9]{3,}.*?^(HFDTE|B\d{6}\d{7}[NS])", re.DOTALL | re.MULTILINE)


def head_text(head: bytes) -> str:
    """Return the beginning of a text file as text; an old eight-bit code is read as Western European."""
    for mark, encoding in _BYTE_ORDER:
        if head.startswith(mark):
            return head.decode(encoding, errors="replace")
    try:
        return head.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start >= len(head) - 4:  # only the cut at the end of the head went through a letter
            return head.decode("utf-8", errors="ignore")
        return head.decode("cp1252", errors="replace")


def kind_of(source: Source) -> str:
    """Return `gpx`, `json`, `parquet` or `table` by the content of a source.

    Raises
    ------
    InputError
        When it is empty, or is evidently something that cannot be read; the sentence says what it is.
    """
    head = source.head
    if not head.strip():
        raise InputError("is empty", source.name, "copy it again from the recorder")
    if head.startswith(b"PAR1"):
        return "parquet"
    for magic, what, remedy in _MAGIC:
        if head.startswith(magic):
            raise InputError(what, source.name, remedy)
    text = head_text(head).lstrip("\ufeff \t\r\n")
    if not text:
        raise InputError("is empty", source.name, "copy it again from the recorder")
    if text.startswith("<"):
        return _kind_of_markup(text, source.name)
    _refuse_binary(text, source.name)
    if text[0] in "{[":
        _refuse_own(text, source.name)
        return "json"
    _refuse_other_logs(text, source.name)
    return "table"


def _refuse_own(text: str, name: str) -> None:
    """Refuse what groundref itself wrote about a flight."""
    if _OWN.search(text):
        raise InputError(
            "is a result of groundref, not a recording", name, "give the recording that it was made from"
        )


def _kind_of_markup(text: str, name: str) -> str:
    if _HTML.match(text):
        raise InputError(
            "is a web page, not a recording",
            name,
            "download the file itself: the page behind the link was saved instead",
        )
    root = _ROOT.search(_COMMENT.sub("", text))
    tag = root.group(1).lower() if root else ""
    if tag == "gpx":
        return "gpx"
    if tag == "kml":
        raise InputError("is KML, which is not read yet", name, "export the flight as GPX or CSV")
    if "<!DOCTYPE" in text.split(">", 3)[0] + text:
        raise InputError(
            "carries a document type declaration, which a recording never needs",
            name,
            "export the flight again as GPX",
        )
    what = (
        f"is XML with the root element '{root.group(1)[:40]}'"
        if root
        else "begins like XML and has no element"
    )
    raise InputError(f"{what}, which is not a recording that can be read", name, _READABLE)


def _refuse_binary(text: str, name: str) -> None:
    sample = text[:4096]
    strange = sum(
        1 for letter in sample if letter == "\ufffd" or (ord(letter) < 32 and letter not in "\t\r\n\f")
    )
    if "\0" in sample or strange > 0.02 * len(sample):
        raise InputError("is binary data that no reader knows", name, _READABLE)


def _refuse_other_logs(text: str, name: str) -> None:
    if _NMEA.match(text):
        raise InputError("is an NMEA log, which is not read yet", name, "export the flight as GPX or CSV")
    if _IGC.search(text[:8192]):
        raise InputError("is an IGC file, which is not read yet", name, "export the flight as GPX or CSV")
