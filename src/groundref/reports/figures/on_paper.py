"""The look of a picture that stands alone, on paper or in a file of its own.

Plum is what is asked, ink is what is flown and seen; every difference shows in weight or dash, too, so that
it prints black on white. Colors are literal, letters of one family.
"""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from groundref.reports import svg

FAMILY: Final = "'Libertinus Serif', Charter, 'Bitstream Charter', Palatino, Georgia, 'DejaVu Serif', serif"
# Where it stands alone, and as the style sheet of a page calls it.
_COLORS: Final = {
    "ink": ("#1d2126", "--ink"),
    "quiet": ("#55595f", "--quiet"),
    "rule": ("#c9c5ba", "--rule"),
    "plum-wash": ("#ead7e4", "--accent-wash"),
    "plum": ("#7a2f63", "--accent"),
    "wash": ("#f1eee6", "--wash"),
    "paper": ("#ffffff", "--paper"),
    "gray": ("#d9d7d2", "--rule"),
}
_LOOK: Final = """
text { fill: $ink; font-family: FAMILY }
text { paint-order: stroke; stroke: $paper; stroke-width: LETTERpx; stroke-linejoin: round }
text.quiet { fill: $quiet }
text.strong { font-weight: 700 }
text.place { font-style: italic }
text.plum { fill: $plum }
text.badge-number { font-weight: 700; stroke: none }
path, line, circle, rect { fill: none }
.asked { stroke: $plum; stroke-width: 3; stroke-linejoin: round }
.chevron { stroke: $plum; stroke-width: 2.2; stroke-linejoin: round; stroke-linecap: round }
.entry-line { stroke: $ink; stroke-width: 1.6; stroke-dasharray: 7 5 }
.arrow { fill: $ink; stroke: none }
.airplane { fill: $ink; stroke: $paper; stroke-linejoin: round }
.track { stroke: $ink; stroke-width: 1.3 }
.badge { fill: $paper; stroke: $ink; stroke-width: 1.5 }
.badge.hidden { fill: $gray; stroke-dasharray: 3 2.4 }
.leader { stroke: $quiet; stroke-width: 0.8 }
.radius { stroke: $plum; stroke-width: 1; stroke-dasharray: 2 3 }
.point { fill: $ink; stroke: $paper; stroke-width: 1.5 }
.ring { stroke: $ink; stroke-width: 1.5 }
.wind { fill: $ink; stroke: $ink; stroke-width: 2.4; stroke-linejoin: round }
.north, .scale { stroke: $ink; stroke-width: 1.3 }
.road { stroke: $rule; stroke-width: 10 }
.road-middle { stroke: $quiet; stroke-width: 1.25; stroke-dasharray: 9 7 }
.field { fill: $wash; stroke: $ink; stroke-width: 1.3 }
.pylon { fill: $ink; stroke: $paper; stroke-width: 1.5 }
.grid { stroke: $rule; stroke-width: 1 }
.axis { stroke: $ink; stroke-width: 1.2 }
.limit { stroke: $ink; stroke-width: 1.4; stroke-dasharray: 6 4 }
.limit.fine { stroke: $quiet; stroke-width: 1.2; stroke-dasharray: 2 4 }
.under { fill: $plum-wash; stroke: none }
.reach { stroke: $quiet; stroke-width: 1.4; stroke-dasharray: 10 4 2 4 }
.landing { fill: $paper; stroke: $ink; stroke-width: 2 }
.stop { fill: $paper; fill-opacity: 0.8; stroke: $ink; stroke-width: 2.5 }
text.stop { fill: $ink; fill-opacity: 1; stroke: none }
.dot { fill: $plum; stroke: $paper; stroke-width: 1.5 }
.wing { fill: $gray; stroke: $ink; stroke-width: 1.4; stroke-linejoin: round }
"""
NARROW: Final = 0.48
"""Of its height is a letter wide, in the mean."""


def style(letter: float) -> Markup:
    """Return the look, for letters so tall on paper."""
    said = _LOOK.replace("FAMILY", FAMILY)
    for name, (literal, _) in _COLORS.items():
        said = said.replace(f"${name}", literal)
    return svg.tag("style", Markup(_lettered(said, letter) + f"text {{ font-size: {letter:g}px }}\n"))


def sheet(letter: float, within: str) -> str:
    """Return the same look as a style sheet, with the colors of its page.

    Parameters
    ----------
    letter
        How tall letters are, in the units of the pictures.
    within
        Selector of what the pictures stand in.
    """
    said = _LOOK.replace("FAMILY", "var(--sans)")
    for name, (_, variable) in _COLORS.items():
        said = said.replace(f"${name}", f"var({variable})")
    every = f"{within} .figure * {{ vector-effect: none }}\n"
    size = f"{within} :is(text, text.badge-number) {{ font-size: {letter:g}px }}\n"
    return every + "".join(_inside(line, within) for line in _lettered(said, letter).splitlines()) + size


def _lettered(said: str, letter: float) -> str:
    return said.replace("LETTER", f"{0.22 * letter:.2f}")


def _inside(rule: str, within: str) -> str:
    """Return a rule for what stands in something alone."""
    selectors, brace, rest = rule.partition("{")
    return (
        ", ".join(f"{within} {one.strip()}" for one in selectors.split(",")) + brace + rest + "\n"
        if brace
        else ""
    )


class Letter(float):
    """How tall letters are, and how wide in the mean: a page's family is wider than that on paper."""

    __slots__ = ("narrow",)
    narrow: float

    def __new__(cls, tall: float, narrow: float) -> Letter:
        """Return a height with the share of it that a letter is wide."""
        made = super().__new__(cls, tall)
        made.narrow = narrow
        return made


def on_a_page(letter: float) -> Letter:
    """Return the height of letters with how wide those of a page's family are."""
    return Letter(letter, _PAGE)


_PAGE: Final = 0.6  # the widest family that a system draws pages with
_STRONG: Final = 1.12  # bold letters are so much wider


def wide(words: str, letter: float, *, strong: bool = False) -> float:
    """Return how wide some words are.

    Parameters
    ----------
    words
        As written.
    letter
        Height of the letters, a `Letter` where they are not those on paper.
    strong
        Whether they are bold.
    """
    narrow = letter.narrow if isinstance(letter, Letter) else NARROW
    return narrow * letter * len(words) * (_STRONG if strong else 1.0)
