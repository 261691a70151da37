"""SVG by hand: elements, paths and labels, escaped, the same bytes on every run."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup, escape
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WIDTH: Final = 640  # every picture is drawn this wide; the style sheet scales its letters to the screen


def tag(name: str, *children: str, **attributes: object) -> Markup:
    """Return one element.

    Parameters
    ----------
    name
        Of the element.
    children
        Text (escaped) or elements.
    attributes
        A trailing underscore is dropped, others become hyphens; those that are None are left out.
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_plain(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = "".join(escape(child) for child in children)
    return Markup(f"<{name}{written}>{inside}</{name}>" if children else f"<{name}{written}/>")


def _plain(value: object) -> str:
    """Return a number with at most two decimals, anything else as it prints."""
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(value)


def picture(
    name: str, title: str, description: str, height: int, *children: str, ground: str | None = None
) -> Markup:
    """Return a whole picture that says in words what it shows.

    Parameters
    ----------
    name
        Unique on the page; starts the ids inside.
    title, description
        Read aloud in place of the picture; the description holds its numbers.
    height
        Of the drawing, :data:`WIDTH` being its width.
    children
        What is drawn.
    ground
        Where on the earth it lies, if it is one from above, for a map beneath it.
    """
    return tag(
        "svg",
        tag("title", title, id=f"{name}-title"),
        tag("desc", description, id=f"{name}-desc"),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        id=name,
        class_="figure",
        viewBox=f"0 0 {WIDTH} {height}",
        role="img",
        aria_labelledby=f"{name}-title",
        aria_describedby=f"{name}-desc",
        data_ground=ground,
    )


def group(*children: str, **attributes: object) -> Markup:
    """Return a group of elements."""
    return tag("g", *children, **attributes)


def text(x: float, y: float, words: str, anchor: str = "start", **attributes: object) -> Markup:
    """Return a label; ``anchor`` is `start`, `middle` or `end`."""
    return tag("text", words, x=float(x), y=float(y), text_anchor=anchor, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> Markup:
    """Return a straight line."""
    return tag("line", x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2), **attributes)


def rectangle(left: float, top: float, right: float, bottom: float, **attributes: object) -> Markup:
    """Return a rectangle from its edges."""
    width, height = max(float(right - left), 0.0), max(float(bottom - top), 0.0)
    return tag("rect", x=float(left), y=float(top), width=width, height=height, **attributes)


def circle(x: float, y: float, radius: float, **attributes: object) -> Markup:
    """Return a circle."""
    return tag("circle", cx=float(x), cy=float(y), r=float(radius), **attributes)


def polyline(x: Floats, y: Floats, **attributes: object) -> Markup:
    """Return a path through the points, broken where one is NaN; empty when fewer than two are left."""
    data = path_data(x, y)
    return tag("path", d=data, **attributes) if "L" in data else Markup("")


def path_data(x: Floats, y: Floats) -> str:
    """Return the ``d`` of a path through the points, to a tenth, broken where one is NaN."""
    good = np.isfinite(x) & np.isfinite(y)
    starts = good & ~np.concatenate(([False], good[:-1]))
    letters = np.where(starts, "M", "L")[good]
    return "".join(
        f"{letter}{a:.1f} {b:.1f}"
        for letter, a, b in zip(letters.tolist(), x[good].tolist(), y[good].tolist(), strict=True)
    )


def band(x: Floats, low: Floats, high: Floats, **attributes: object) -> Markup:
    """Return the area between two curves over ``x``, one piece for each stretch without NaN."""
    good = np.isfinite(x) & np.isfinite(low) & np.isfinite(high)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], good.astype(np.int8), [0]))))
    pieces = [
        path_data(np.concatenate((x[a:b], x[a:b][::-1])), np.concatenate((low[a:b], high[a:b][::-1]))) + "Z"
        for a, b in edges.reshape(-1, 2)
        if b - a > 1
    ]
    return tag("path", d="".join(pieces), **attributes) if pieces else Markup("")
