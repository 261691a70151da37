"""Accuracy of debriefs of whole lessons: flies, records, debriefs and compares them, and writes the page.

    python bench/accuracy.py                   the reserved block: writes docs/validation.md and its pictures
    python bench/accuracy.py --development     the development block: prints the page, writes nothing

The circles of docs/accuracy.md are flown by bench/circles.py.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from bench.validation_figures import calibration_figure, confusion_figure, coverage_figure, wind_figure
from bench.validation_page import counted, page
from bench.validation_run import QUANTITIES, Run
from tests.truth.estimates import LEVELS
from tests.truth.flown import KNOT
from tests.truth.lessons import DEVELOPMENT, RESERVED, WINDS_KT
from tests.truth.tally import Case
from tests.truth.totals import calibration, cases, fly_block, spread

from groundref.detection.maneuver import KINDS

ROOT = Path(__file__).parents[1]
NOTES = Path(__file__).with_name("validation_notes.md")
SERIES = {
    "phone": ("phone 1 s",),
    "ADS-B": ("ADS-B 1.2 s",),
    "phone with airspeed": ("phone with airspeed 1 s",),
    "panel": ("panel 1 s",),
}


def figures(run: Run) -> dict[str, str]:
    """Return the pictures by name."""
    kinds = [kind for kind in KINDS if any(case.flown == kind for case in run.usual)]
    inside = {}
    for quantity, (words, _, _) in QUANTITIES.items():
        errors = spread(run.usual, quantity)
        if errors is not None and quantity != "bank in a slip":
            inside[words] = errors.inside
    return {
        "confusion": confusion_figure(counted(run), kinds),
        "coverage": coverage_figure(inside, LEVELS),
        "calibration": calibration_figure(calibration(run.usual)),
        "wind": wind_figure(WINDS_KT, _wind_series(run)),
    }


def _wind_series(run: Run) -> dict[str, list[float]]:
    series = {
        name: [_median([c for c in cases(run.results, who) if c.wind_kt == wind]) for wind in WINDS_KT]
        for name, who in SERIES.items()
    }
    phones = cases(run.results, SERIES["phone"])
    series["least, positions"] = [
        _middle([c.bound for c in phones if c.same and c.wind_kt == wind]) for wind in WINDS_KT
    ]
    return series


def _median(among: list[Case]) -> float:
    errors = spread(among, "wind")
    return float("nan") if errors is None else errors.median / KNOT


def _middle(values: list[float]) -> float:
    return float(np.median(values)) / KNOT if values else float("nan")


def main() -> None:
    """Fly a block and write the page, or print it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--development", action="store_true", help="fly the development block and only print")
    parser.add_argument("--lessons", type=int, default=300)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--pages", type=Path, default=ROOT / "docs", help="folder that the page goes to")
    asked = parser.parse_args()
    begun = perf_counter()
    block = DEVELOPMENT if asked.development else RESERVED
    results, failed = fly_block(block, range(asked.lessons), processes=asked.processes)
    run = Run(
        block="development" if asked.development else "reserved",
        lessons=asked.lessons,
        results=[result for result in results if not result.placed],
        placed=[result for result in results if result.placed],
        failed=failed,
        command=f".venv/bin/python bench/accuracy.py --lessons {asked.lessons}",
    )
    text = page(run, NOTES.read_text(encoding="utf-8") if NOTES.exists() else "")
    if asked.development:
        print(text)
    else:
        pictures = asked.pages / "pictures"
        pictures.mkdir(parents=True, exist_ok=True)
        for name, drawn in figures(run).items():
            (pictures / f"validation-{name}.svg").write_text(drawn, encoding="utf-8")
        (asked.pages / "validation.md").write_text(text, encoding="utf-8")
    print(f"{asked.lessons} lessons in {perf_counter() - begun:.0f} s", file=sys.stderr)


if __name__ == "__main__":
    main()
