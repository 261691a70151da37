"""Words across a picture of a plan that should not be flown so, which black-and-white print keeps."""

from __future__ import annotations

from math import atan2, degrees
from typing import Final

from markupsafe import Markup

from groundref.planning import Plan
from groundref.planning.cautions import Weight
from groundref.reports import svg
from groundref.reports.figures import on_paper

WORDS: Final = "NOT TO BE FLOWN SO"
_SHARE: Final = 0.8  # of the diagonal that the words take
_CAPITAL: Final = 1.5  # as wide as a letter in the mean is a bold capital
_LARGEST: Final = 38.0


def stopped(plan: Plan) -> bool:
    """Return whether any caution says not to fly the plan."""
    return any(caution.weight == Weight.STOP for caution in plan.cautions)


def draw(plan: Plan, height: float, letter: float) -> Markup:
    """Return the words from corner to corner; nothing where no caution stops the plan.

    Parameters
    ----------
    plan
        What was planned.
    height
        Of the picture, `svg.WIDTH` being its width.
    letter
        Height of the letters of its look.
    """
    if not stopped(plan):
        return Markup("")
    long = _SHARE * float((svg.WIDTH**2 + height**2) ** 0.5)
    size = min(long / (_CAPITAL * on_paper.wide(WORDS, 1.0)), _LARGEST)
    lean = degrees(atan2(-height, svg.WIDTH))
    turn = f"translate({svg.WIDTH / 2:.1f} {height / 2:.1f}) rotate({lean:.1f})"
    half = 0.53 * _CAPITAL * on_paper.wide(WORDS, size)
    return svg.tag(
        "g",
        svg.tag(
            "rect", x=-half, y=-0.75 * size, width=2 * half, height=1.5 * size, rx=0.2 * size, class_="stop"
        ),
        # Larger by a transform: the look of the picture says how tall letters are.
        svg.text(
            0.0, 0.34 * letter, WORDS, "middle", class_="strong stop", transform=f"scale({size / letter:.3f})"
        ),
        transform=turn,
    )
