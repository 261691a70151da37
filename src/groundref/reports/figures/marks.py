"""Marks that several pictures share: wind, north, scale."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.estimation.wind_value import Wind
from groundref.reports import svg, words
from groundref.reports.figures.labels import Box
from groundref.reports.scales import bar_length, bar_words


def wind(value: Wind | None, x: float, y: float) -> Markup:
    """Return an arrow that flies with the wind, and the wind in two short lines beside it.

    Parameters
    ----------
    value
        The wind, None when it could not be told.
    x, y
        Middle of the arrow on paper.
    """
    if value is None or not words.has_direction(value):
        said = words.CANNOT_TELL if value is None else f"light, {words.speed(value.speed, digits=1)}"
        return svg.text(x - 22, y - 8, f"wind: {said}", class_="quiet")
    turn = f"translate({x:.1f} {y:.1f}) rotate({np.degrees(value.direction_to):.1f})"
    return svg.group(
        svg.tag("path", d="M0 26V-16M-8-11L0-28L8-11Z", class_="wind", transform=turn),
        svg.text(x + 38, y - 10, f"wind from {words.bearing(value.direction_from)}"),
        svg.text(x + 38, y + 15, words.speed(value.speed, digits=1)),
    )


def north(x: float, y: float) -> Markup:
    """Return a north arrow about the middle given."""
    return svg.group(
        svg.tag("path", d=f"M{x:.1f} {y + 24:.1f}v-40m-6 9l6-12l6 12", class_="north"),
        svg.text(x, y - 26, "N", "middle"),
    )


def scale_bar(scale: float, x: float, y: float, longest: float = 170.0, apart: float = 28.0) -> Markup:
    """Return bars of a round length in both units, that of the reader above the other.

    Parameters
    ----------
    scale
        Paper for each metre.
    x, y
        Left end of the upper bar on paper.
    longest
        Paper that a bar may take.
    apart
        Paper from one bar to the next, for letters to find room between.
    """
    parts = []
    for (unit, label), below in zip(words.length_units(), (0.0, apart), strict=True):
        value = bar_length(longest / scale / unit)
        end = x + value * unit * scale
        parts.append(
            svg.tag(
                "path",
                d=f"M{x:.1f} {y + below - 4:.1f}v8M{x:.1f} {y + below:.1f}H{end:.1f}m0-4v8",
                class_="scale",
            )
        )
        parts.append(
            svg.text(
                end + 7,
                y + below,
                bar_words(value, label),
                class_="quiet",
                dominant_baseline="central",
                # Round in its own unit, which it keeps for every reader.
                data_units="kept" if below and label == "ft" else None,
            )
        )
    return svg.group(*parts)


def chevron(x: float, y: float, course: float) -> Markup:
    """Return a mark that shows the way along a line at a place on paper; ``course`` in degrees."""
    turn = f"translate({x:.1f} {y:.1f}) rotate({course:.1f})"
    return svg.tag("path", d="M-5 5L0-5L5 5", class_="chevron", transform=turn)


_LETTER: Final = 28.0  # letters are up to so tall on paper, where they are largest for the drawing
_WIDE: Final = 0.58  # of its height is a letter wide, in the mean


def paper_of_wind(value: Wind | None, x: float, y: float) -> Box:
    """Return the paper that the wind takes; parameters as for it."""
    if value is None or not words.has_direction(value):
        return 0.0, 0.0, x - 22 + _LETTER * _WIDE * 20, y - 8 + 0.4 * _LETTER
    return 0.0, 0.0, x + 38 + _LETTER * _WIDE * 14, y + 15 + 0.4 * _LETTER


def paper_of_scale(x: float, y: float, longest: float = 170.0, apart: float = 28.0) -> Box:
    """Return the paper that the bars take; parameters as for them."""
    return x - 6, y - 0.7 * _LETTER, x + longest + 7 + _LETTER * _WIDE * 8, y + apart + 0.7 * _LETTER


def paper_of_north(x: float, y: float) -> Box:
    """Return the paper that the north arrow takes; parameters as for it."""
    return x - 16, y - 26 - _LETTER, x + 16, y + 28
