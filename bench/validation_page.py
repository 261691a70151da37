"""The validation page: what came out over a block of lessons, as text with tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from bench.validation_run import Run, share, targets
from bench.validation_tables import (
    astray_said,
    calibration_table,
    closer_table,
    coverage_table,
    detection_table,
    error_table,
    fault_table,
    flown_table,
    interval_table,
    outcomes,
    placed_fault_table,
    placed_table,
    recorder_table,
    target_table,
    verdict_table,
    wind_table,
)
from tests.truth.lessons import NO_MANEUVER_EVERY
from tests.truth.recorded import HEADLINE, RECORDERS
from tests.truth.tally import Case
from tests.truth.totals import (
    confusion,
    detected,
    false_in_ordinary,
    kinds_flown,
)

TEMPLATE: Final = Path(__file__).with_name("validation_template.md")


def weak(run: Run) -> str:
    """Return in words what is below its target, kind by kind and error by error."""
    usual = run.usual
    lines = [
        f"- {each.what}: {each.reached}, target {each.asked}." for each in targets(run) if not each.enough
    ]
    for kind in kinds_flown(usual):
        found = detected(usual, kind)
        if found.f1 < 0.97:
            lines.append(f"- Detection of {kind}: F1 {share(found.f1)}; {_instead(usual, kind)}.")
    for name, count in sorted(outcomes(usual, lambda case, fault: f"{fault} in {case.flown}").items()):
        right, missed = count["found"] + count["explained"], count["missed"]
        if right + missed >= 5 and right < 0.8 * (right + missed):
            lines.append(f"- {name}: {right} of {right + missed} found.")
        if count["false"] > 0.1 * max(right, 10):
            lines.append(f"- {name}: said {count['false']} times where it was not made.")
    return "\n".join(lines) if lines else "Nothing is below its target."


def _instead(usual: Iterable[Case], kind: str) -> str:
    """Return what was found where a kind was flown and not found."""
    count = Counter(case.found or "nothing" for case in usual if case.flown == kind and not case.same)
    false = sum(case.found == kind and not case.same for case in usual)
    told = ", ".join(f"{name} {number} times" for name, number in count.most_common())
    return f"where it was flown and not found: {told or 'never'}; said {false} times where it was not flown"


def counted(run: Run) -> dict[tuple[str, str], int]:
    """Return the confusion table."""
    return confusion(run.usual)


def page(run: Run, notes: str) -> str:
    """Return the page.

    Parameters
    ----------
    run
        What came out.
    notes
        What else is written on it, at the end.
    """
    hours = sum(each.minutes for each in run.results if each.recorder == HEADLINE[0]) / 60.0
    ordinary = false_in_ordinary(run.results)
    false = Counter((what, found) for _, _, what, found in ordinary)
    said = "; ".join(f"{found} in a flight of {what}: {number}" for (what, found), number in false.items())
    unflown = "; ".join(f"lesson {each.lesson}" for each in run.failed)
    return TEMPLATE.read_text(encoding="utf-8").format(
        command=run.command,
        block=run.block,
        lessons=run.lessons,
        every=NO_MANEUVER_EVERY,
        hours=f"{hours:.0f}",
        failed=f"{len(run.failed)} could not be flown to their end ({unflown}) and are left out"
        if run.failed
        else "all were flown to their end",
        recorders=", ".join(RECORDERS),
        headline=", ".join(HEADLINE),
        targets=target_table(run),
        weak=weak(run),
        flown=flown_table(run),
        astray=astray_said(run),
        detection=detection_table(run),
        closer=closer_table(run),
        ordinary=said or "none",
        calibration=calibration_table(run),
        errors=error_table(run),
        coverage=coverage_table(run),
        faults=fault_table(run),
        faults_by_kind=fault_table(run, by_kind=True),
        verdicts=verdict_table(run),
        placed=placed_table(run),
        placed_faults=placed_fault_table(run),
        winds=wind_table(run),
        by_recorder=recorder_table(run),
        intervals=interval_table(run),
        notes=notes,
    )
