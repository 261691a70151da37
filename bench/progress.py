"""How well trends of a student are told, and how quickly: invented students whose progress is known.

Run it as `python bench/progress.py`. The slopes of the students are about −0.05 limits a lesson and vary by
as much, their lessons scatter by about 0.3 limits, varying twofold; each figure is measured to 0.1. The
median of slopes between pairs of lessons (Theil 1950, Sen 1968) is scipy's.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

import numpy as np
from scipy.stats import theilslopes

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.progress.invented import element, lesson, maneuver

from groundref.progress import progress
from groundref.progress.rows import Row
from groundref.progress.trends import trends

SD = 0.1
CASES = (
    ("3 to 5", 3, 5, False),
    ("3 to 5", 3, 5, True),
    ("3 to 12", 3, 12, False),
    ("3 to 12", 3, 12, True),
    ("2", 2, 2, False),
)
ELEMENTS, STUDENTS = 12, 150


def invented(random, lessons, heavy):
    """Return a slope and the figures about it."""
    scatter, slope = 0.3 * np.exp(0.6 * random.standard_normal()), -0.05 + 0.05 * random.standard_normal()
    days = random.standard_normal(lessons)
    if heavy:
        days *= np.where(random.random(lessons) < 0.1, 4.0, 1.0)
    return slope, 2.0 + slope * np.arange(lessons) + scatter * days + SD * random.standard_normal(lessons)


def coverage(name, least, most, heavy):
    """Print how often the intervals hold the truth, and how far the slopes are from it."""
    random = np.random.default_rng(20260501)
    held, errors, of_medians, told_wrong, told = [], [], [], [], []
    for _ in range(STUDENTS):
        pairs = [invented(random, random.integers(least, most + 1), heavy) for _ in range(ELEMENTS)]
        series = [[Row(n, float(each), SD, ()) for n, each in enumerate(y, 1)] for _, y in pairs]
        found, _ = trends(series, [1.0] * ELEMENTS)
        for (slope, y), trend in zip(pairs, found, strict=True):
            held.append(trend.low <= slope <= trend.high)
            errors.append(trend.a_lesson - slope)
            of_medians.append(theilslopes(y).slope - slope)
            told.append(trend.says in ("smaller", "larger"))
            told_wrong.append(trend.says == ("larger" if slope < 0.0 else "smaller"))
    rms, medians = (float(np.sqrt(np.mean(np.square(each)))) for each in (errors, of_medians))
    shares = f"told {np.mean(told):6.1%}, wrongly {np.mean(told_wrong):5.2%}"
    print(
        f"{name:>8} lessons, {'bad days' if heavy else 'normal':>8}: intervals hold {np.mean(held):6.1%}, "
        f"error {rms:.3f} (medians {medians:.3f}), {shares}"
    )


def record(lessons=100, kinds=4, elements=10):
    """Return a long record of one student."""
    random = np.random.default_rng(1)
    names = ("turns-around-a-point", "s-turns", "steep-turns", "rectangular-course")[:kinds]
    return [
        lesson(
            n,
            *(
                maneuver(
                    *(element(worst=60.0 + 20.0 * random.random(), code=f"X.{e}") for e in range(elements)),
                    kind=kind,
                    direction=("left", "right")[n % 2],
                    wind=float(random.uniform(3.0, 15.0)),
                    number=number,
                )
                for number, kind in enumerate(names, 1)
            ),
        )
        for n in range(1, lessons + 1)
    ]


def speed():
    """Print how long the progress of a long record takes."""
    lessons = record()
    times = []
    for _ in range(7):
        begin = process_time()
        progress("a student", lessons)
        times.append(process_time() - begin)
    print(f"100 lessons of 4 maneuvers with 10 elements: {1e3 * np.median(times):.0f} ms of processor time")


if __name__ == "__main__":
    speed()
    for case in CASES:
        coverage(*case)
