"""The look of a picture that stands alone, on paper or in a file of its own.

Plum is what is asked, ink is what is flown and seen; every difference shows in weight or dash, too, so that
it prints black on white. Colors are literal, letters of one family.
"""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from groundref.reports import svg

FAMILY: Final = "'Libertinus Serif', Charter, 'Bitstream Charter', Palatino, Georgia, 'DejaVu Serif', serif"
_INK, _QUIET, _RULE, _WASH = "#1d2126", "#55595f", "#c9c5ba", "#f1eee6"
_PLUM, _PLUM_WASH = "#7a2f63", "#ead7e4"
_LOOK: Final = f"""
text {{ fill: {_INK}; font-family: {FAMILY} }}
text {{ paint-order: stroke; stroke: #ffffff; stroke-width: LETTERpx; stroke-linejoin: round }}
text.quiet {{ fill: {_QUIET} }}
text.strong {{ font-weight: 700 }}
text.place {{ font-style: italic }}
text.plum {{ fill: {_PLUM} }}
text.badge-number {{ font-weight: 700; stroke: none }}
path, line, circle, rect {{ fill: none }}
.asked {{ stroke: {_PLUM}; stroke-width: 3; stroke-linejoin: round }}
.chevron {{ stroke: {_PLUM}; stroke-width: 2.2; stroke-linejoin: round; stroke-linecap: round }}
.entry-line {{ stroke: {_INK}; stroke-width: 1.6; stroke-dasharray: 7 5 }}
.arrow {{ fill: {_INK}; stroke: none }}
.airplane {{ fill: {_INK}; stroke: #ffffff; stroke-linejoin: round }}
.track {{ stroke: {_INK}; stroke-width: 1.3 }}
.badge {{ fill: #ffffff; stroke: {_INK}; stroke-width: 1.5 }}
.badge.hidden {{ fill: #d9d7d2; stroke-dasharray: 3 2.4 }}
.leader {{ stroke: {_QUIET}; stroke-width: 0.8 }}
.radius {{ stroke: {_PLUM}; stroke-width: 1; stroke-dasharray: 2 3 }}
.point {{ fill: {_INK}; stroke: #ffffff; stroke-width: 1.5 }}
.ring {{ stroke: {_INK}; stroke-width: 1.5 }}
.wind {{ fill: {_INK}; stroke: {_INK}; stroke-width: 2.4; stroke-linejoin: round }}
.north, .scale {{ stroke: {_INK}; stroke-width: 1.3 }}
.road {{ stroke: {_RULE}; stroke-width: 10 }}
.road-middle {{ stroke: {_QUIET}; stroke-width: 1.25; stroke-dasharray: 9 7 }}
.field {{ fill: {_WASH}; stroke: {_INK}; stroke-width: 1.3 }}
.pylon {{ fill: {_INK}; stroke: #ffffff; stroke-width: 1.5 }}
.grid {{ stroke: {_RULE}; stroke-width: 1 }}
.axis {{ stroke: {_INK}; stroke-width: 1.2 }}
.limit {{ stroke: {_INK}; stroke-width: 1.4; stroke-dasharray: 6 4 }}
.limit.fine {{ stroke: {_QUIET}; stroke-width: 1.2; stroke-dasharray: 2 4 }}
.under {{ fill: {_PLUM_WASH}; stroke: none }}
.reach {{ stroke: {_QUIET}; stroke-width: 1.4; stroke-dasharray: 10 4 2 4 }}
.landing {{ fill: #ffffff; stroke: {_INK}; stroke-width: 2 }}
.stop {{ fill: #ffffff; fill-opacity: 0.8; stroke: {_INK}; stroke-width: 2.5 }}
text.stop {{ fill: {_INK}; fill-opacity: 1; stroke: none }}
.dot {{ fill: {_PLUM}; stroke: #ffffff; stroke-width: 1.5 }}
.wing {{ fill: #d9d7d2; stroke: {_INK}; stroke-width: 1.4; stroke-linejoin: round }}
"""
NARROW: Final = 0.48
"""Of its height is a letter wide, in the mean."""


def style(letter: float) -> Markup:
    """Return the look, for letters so tall on paper."""
    halo = f"{0.22 * letter:.2f}"
    return svg.tag("style", Markup(_LOOK.replace("LETTER", halo) + f"text {{ font-size: {letter:g}px }}\n"))


def wide(words: str, letter: float) -> float:
    """Return how wide some words are."""
    return NARROW * letter * len(words)
