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
    boxes = np.asarray(candidates, dtype=np.float64)
    off = np.array([not on_paper(box, height) for box in candidates])
    costs = hidden(boxes, taken) / _HIDDEN + inside(boxes, x, y) + off * _OFF_PAPER
    return int(np.argmin(np.round(costs, 6)))


def hidden(boxes: Floats, taken: Sequence[Box]) -> Floats:
    """Return how much of what is drawn already each box hides [paper²].

    Parameters
    ----------
    boxes
        One a row.
    taken
        Boxes of what is drawn already.
    """
    others = np.asarray(taken, dtype=np.float64).reshape(-1, 4)
    low = np.maximum(boxes[:, np.newaxis, :2], others[:, :2])
    high = np.minimum(boxes[:, np.newaxis, 2:], others[:, 2:])
    areas: Floats = np.maximum(high - low, 0.0).prod(axis=-1).sum(axis=-1)
    return areas


def inside(boxes: Floats, x: Floats, y: Floats) -> Floats:
    """Return how many points lie in each box, one a row."""
    left, top, right, bottom = (edge[:, np.newaxis] for edge in boxes.T)
    counts: Floats = ((x > left) & (x < right) & (y > top) & (y < bottom)).sum(axis=-1, dtype=np.float64)
    return counts


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
    covered = np.zeros(at.size, dtype=np.bool_)
    for left, top, right, bottom in boxes:
        covered |= (fine_x > left) & (fine_x < right) & (fine_y > top) & (fine_y < bottom)
    return np.where(covered, np.nan, fine_x), np.where(covered, np.nan, fine_y)
