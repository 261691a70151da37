"""Where a label can stand without hiding another or the line it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.reports import svg

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]  # left, top, right, bottom on paper

_LETTER: Final = 21.0  # letters are up to so tall on a small screen, where they are largest for the drawing
_WIDE: Final = 0.56  # of its height is a letter wide, in the mean
_OFF_PAPER: Final = 1e6  # worse than any overlap
_HIDDEN: Final = 25.0  # hiding so much of another label [paper²] is as bad as a point of a line


def text_box(x: float, y: float, words: str, anchor: str = "start") -> Box:
    """Return the paper that a label takes, for letters as large as they get; parameters as for the label."""
    wide = _LETTER * _WIDE * len(words)
    left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return left, y - 0.8 * _LETTER, left + wide, y + 0.25 * _LETTER


def badge_box(x: float, y: float, radius: float = 14.0) -> Box:
    """Return the paper that a number in a ring takes."""
    return x - radius, y - radius, x + radius, y + radius


def freest(candidates: Sequence[Box], taken: Sequence[Box], x: Floats, y: Floats, height: float) -> int:
    """Return the first of the candidates that hides least.

    Parameters
    ----------
    candidates
        Boxes, the best place first.
    taken
        Boxes of what is drawn already.
    x, y
        Points of lines that should stay in sight.
    height
        Of the paper.
    """
    costs = [
        sum(_overlap(box, other) for other in taken) / _HIDDEN
        + _inside(box, x, y)
        + (0.0 if on_paper(box, height) else _OFF_PAPER)
        for box in candidates
    ]
    return int(np.argmin(np.round(costs, 6)))


def _overlap(a: Box, b: Box) -> float:
    across, down = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(across, 0.0) * max(down, 0.0)


def _inside(box: Box, x: Floats, y: Floats) -> float:
    return float(np.sum((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])))


def on_paper(box: Box, height: float) -> bool:
    """Return whether a box lies on paper of a height wholly."""
    return box[0] >= 0 and box[1] >= 0 and box[2] <= svg.WIDTH and box[3] <= height


_FINE: Final = 3.0  # paper between the points of a line that is broken at a label


def broken(x: Floats, y: Floats, boxes: Sequence[Box]) -> tuple[Floats, Floats]:
    """Return a line that leaves out the boxes: points close together, NaN inside of one."""
    if x.size < 2:
        return x, y
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    at = np.linspace(0.0, along[-1], max(int(along[-1] / _FINE), 1) + 1)
    fine_x, fine_y = np.interp(at, along, x), np.interp(at, along, y)
    hidden = np.zeros(at.size, dtype=np.bool_)
    for left, top, right, bottom in boxes:
        hidden |= (fine_x > left) & (fine_x < right) & (fine_y > top) & (fine_y < bottom)
    return np.where(hidden, np.nan, fine_x), np.where(hidden, np.nan, fine_y)
