"""From a plan to PDF and PNG: typst sets the page with the fonts that it carries, and nothing else counts."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any, Final, Literal

from groundref.planning import Plan
from groundref.reports import metric, reading
from groundref.reports.brief.content import People, content
from groundref.reports.figures import planned

_PICTURE: Final = (
    b"#set page(width: 640pt, height: auto, margin: 0pt, fill: white)\n"
    b'#image(bytes(sys.inputs.picture), format: "svg", width: 100%)\n'
)
_DOTS: Final = 144  # an inch of a picture; with fewer the typesetter cuts the last row of pictures in it


def page(
    plan: Plan,
    paper: str = "a4",
    people: People | None = None,
    form: Literal["pdf", "png"] = "pdf",
    units: str = reading.US,
) -> bytes:
    """Return the brief, one page, the same bytes for the same plan.

    Parameters
    ----------
    plan
        What was planned.
    paper
        `a4`, `letter` or `a5`.
    people
        Names to print.
    form
        As a document to print, or as a picture of it.
    units
        :data:`reading.US`, or :data:`reading.METRIC`.

    Raises
    ------
    UsageError
        When a name has a letter that the page cannot be set in.
    """
    with reading.reading(units):
        told = content(plan, paper, people or People())
    if units == reading.METRIC:
        told = {name: metric.data(value) for name, value in told.items()} | {"standard": _stated(told)}
    said = json.dumps(told, ensure_ascii=False, sort_keys=True)
    template = files(__package__).joinpath("brief.typ").read_bytes()
    return typeset(template, form, {"data": said})


def _stated(told: dict[str, Any]) -> dict[str, Any]:
    """Return the standard as its publication has it, each limit with its metric value in brackets."""
    standard = told["standard"]
    return {**standard, "limits": [(code, metric.beside(what)) for code, what in standard["limits"]]}


def picture_svg(plan: Plan, units: str = reading.US) -> bytes:
    """Return the picture from above as an SVG file, read in :data:`reading.US` or :data:`reading.METRIC`."""
    return _picture(plan, units).encode()


def picture_png(plan: Plan, units: str = reading.US) -> bytes:
    """Return the picture from above as a PNG file, on white; ``units`` as of the other."""
    return typeset(_PICTURE, "png", {"picture": _picture(plan, units)})


def _picture(plan: Plan, units: str) -> str:
    with reading.reading(units):
        drawn = str(planned.draw(plan))
    return metric.page(drawn) if units == reading.METRIC else drawn


def typeset(template: bytes, form: Literal["pdf", "png"], inputs: dict[str, str], dots: int = _DOTS) -> bytes:
    """Return a template set with its inputs, the same bytes each time, in the typesetter's own fonts.

    Parameters
    ----------
    template
        In typst.
    form
        What to make of it.
    inputs
        What it is given, by name.
    dots
        An inch of a picture.
    """
    import typst

    return typst.compile(template, format=form, sys_inputs=inputs, ignore_system_fonts=True, ppi=dots)
