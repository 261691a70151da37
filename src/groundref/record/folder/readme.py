"""README.txt, which explains the folder to whoever finds it, years later and without the program."""

from __future__ import annotations

from typing import Final

from groundref.record.folder.shape import SCHEMA, Document

_WHOLE: Final = "A training record of ground-reference maneuvers, written by groundref."
_ONE: Final = "One student's part of a training record of ground-reference maneuvers, written by groundref."
_TEXT: Final = """\
{title}

{lessons}, {recordings}. This is personal data about people's training: keep it as you keep their papers.
A training aid: what stands here is evidence, never permission.

record.json         Everything that is not a file of its own: people, airplanes, sites, lessons with their
                    recordings, debriefs, the instructor's remarks and own verdicts, signatures. UTF-8 JSON;
                    "schema" is {schema}. Every file beside it is named there with its size and SHA-256.
record.schema.json  What may stand in record.json, as JSON Schema (draft 2020-12).
recordings/         The recorded flights as they were brought, byte for byte. Where record.json says that one
                    is altered, a name was taken out of it.
debriefs/           What was found in each lesson, JSON. The result that was signed counts, else that of the
                    highest number.
plans/              What was to be flown, JSON.
airplanes/          The airplanes' data files, TOML.
asked/              Standards, airplanes and settings that debriefs were asked for with, TOML.
tables/             The same in tables for a spreadsheet: lessons, maneuvers, elements, faults. They are for
                    reading; nothing is read back from them.

Units stand in the names: _ft feet, _kt knots, _deg degrees (true), _hpa hectopascals; _sd is a standard
deviation. Times are UTC, places WGS 84. null means that nobody said it or that it could not be determined.

To take the folder into a record, also on another computer: groundref record import FOLDER
"""


def readme(document: Document) -> bytes:
    """Return README.txt of a folder."""
    return _TEXT.format(
        title=_WHOLE if document.holds == "record" else _ONE,
        lessons=_counted(len(document.lessons), "lesson"),
        recordings=_counted(len(document.recordings), "recording"),
        schema=SCHEMA,
    ).encode()


def _counted(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
