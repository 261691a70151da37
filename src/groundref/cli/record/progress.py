"""``groundref record progress``: how a student gets on, told from the lessons."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.record.common import JsonOption, RecordOption, UnitsOption, opened
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.progress import Progress

_PAPERS: Final = ("a4", "letter")


def progress(
    student: str,
    /,
    *,
    html: Annotated[str | None, options.taking("FILE|-")] = None,
    pdf: Annotated[str | None, options.taking("FILE|-")] = None,
    paper: Annotated[str | None, options.taking("a4|letter")] = None,
    svg: Annotated[str | None, options.taking("FILE|-")] = None,
    units: UnitsOption = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Show how a student gets on: trends, sides, winds, the last three lessons, the evidence there is.

    Parameters
    ----------
    student
        The name.
    html
        Write it as one self-contained page to this file.
    pdf
        Write it as pages for the student's folder to this file.
    paper
        Paper of those; a4 unless given.
    svg
        Write the pictures, one panel an element, to this file.
    units
        Units that page, sheet and pictures are read in: us, feet and knots, unless metric, meters and km/h,
        is said.
    json
        Write it as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    destinations = [name for name in (html, pdf, svg, json) if name is not None]
    check_destinations(destinations)
    if paper is not None and (paper not in _PAPERS or pdf is None):
        raise UsageError(
            "only --pdf has use for it" if paper in _PAPERS else f"{paper!r} is no paper",
            "--paper",
            "give --pdf too" if paper in _PAPERS else "choose a4 or letter",
        )
    for ending, name in ((".svg", svg), (".pdf", pdf)):
        if name is not None and Path(name).suffix.lower() not in ("", ending):
            raise UsageError(f"{name} does not end in {ending}", f"--{ending[1:]}", f"name it *{ending}")
    read_in = options.units(units, uses=any(name is not None for name in (html, pdf, svg)))
    from groundref.progress import progress as tell
    from groundref.record.lessons import flown_by

    store = opened(record)
    with store.reading() as connection:
        name, lessons = flown_by(connection, student)
    found = tell(name, lessons)
    _write(found, html, pdf, paper, svg, json, read_in)
    if "-" not in destinations:
        _show(found, destinations)


def _write(
    found: Progress,
    html: str | None,
    pdf: str | None,
    paper: str | None,
    svg: str | None,
    json: str | None,
    units: str,
) -> None:
    """Make every result that was asked for before the first is written."""
    from groundref import documents, writing

    outputs: dict[str, bytes] = {}
    if json is not None:
        from groundref.progress import to_dict

        outputs[json] = documents.to_json(to_dict(found))
    if html is not None:
        from groundref.reports.progress.html import page

        outputs[html] = page(found, units).encode()
    if svg is not None:
        from groundref.reports.progress.figure import svg_file

        outputs[svg] = svg_file(found, units).encode()
    if pdf is not None:
        from groundref.reports.progress.pdf import pdf as pages

        outputs[pdf] = pages(found, paper or _PAPERS[0], units=units)
    writing.write_all(outputs, private=True)


def _show(found: Progress, written: list[str]) -> None:
    from groundref.cli.screen import console
    from groundref.reports.progress.terminal import summary

    out = console()
    out.print(summary(found, console_width=out.width))
    for name in written:
        out.print(f"Written: {name}", markup=False, soft_wrap=True)
