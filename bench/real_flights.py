"""What is reported of flights of real airplanes: surveys, gliders, relays, ambulances, calibration.

    python3 -m bench.real_flights [CATEGORY ...] [--draw FOLDER]

Prints one row a flight: how long, samples and interval, seconds taken, and what was reported with its
confidence, start and size. Few of these flights hold a maneuver; what is reported is to be looked at.
"""

from __future__ import annotations

import argparse
import itertools
import tempfile
import time
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table
from tests.truth import real

import groundref
from groundref.debriefing import Debrief
from groundref.errors import GroundrefError
from groundref.units import foot

COLORS = ("#c23b22", "#1f5fa8", "#2e7d32", "#8a4fa3")


def main() -> None:
    """Run the flights of the categories asked for, all when none is."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("categories", nargs="*", default=list(real.CATEGORIES))
    asked.add_argument("--draw", type=Path, help="write a picture from above of each flight to this folder")
    given = asked.parse_args()
    console = Console(width=150)
    out = Table("flight", "hours", "samples", "every, s", "took, s", "reported", title="Real flights")
    with tempfile.TemporaryDirectory() as folder:
        for category in given.categories:
            for name in real.names(category):
                out.add_row(*row(category, name, Path(folder), given.draw))
    console.print(out)


def row(category: str, name: str, folder: Path, draw: Path | None) -> tuple[str, ...]:
    """Return the row of one flight."""
    title = f"{category}/{name}"
    recording = real.recording(category, name, folder)
    if recording is None:
        return title, "", "", "", "", "no table of samples"
    begin = time.perf_counter()
    try:
        debrief = groundref.debrief(recording)
    except GroundrefError as problem:
        return title, "", str(len(recording)), "", "", str(problem)
    took = time.perf_counter() - begin
    if draw is not None:
        _draw(debrief, draw / f"{category}-{name}.svg", title)
    hours = (debrief.track.time[-1] - debrief.track.time[0]) / 3600.0
    return (
        title,
        f"{hours:.2f}",
        f"{len(recording):,}",
        f"{debrief.track.interval:.1f}",
        f"{took:.2f}",
        "\n".join(reported(debrief)) or "-",
    )


def reported(debrief: Debrief) -> list[str]:
    """Return one line for each maneuver: kind, confidence, start, how long, times round, size, bank."""
    lines = []
    for assessed in debrief.maneuvers:
        m = assessed.maneuver
        part = slice(m.first, m.last + 1)
        bank = float(np.degrees(np.nanmean(np.abs(debrief.states.bank[part]))))
        size = f", {m.radius / foot:,.0f} ft" if np.isfinite(m.radius) else ""
        at = m.start - debrief.track.time[0]
        lines.append(
            f"{m.kind} {m.confidence:.2f} at {at:,.0f} s for {m.end - m.start:,.0f} s, "
            f"{len(m.laps)} laps{size}, {bank:.0f}° of bank"
        )
    return lines


def _draw(debrief: Debrief, path: Path, title: str) -> None:
    """Write the path over the ground, with what was reported drawn over it in color."""
    east, north = debrief.states.east, -debrief.states.north
    parts = [(slice(None), "#bbbbbb", 1.0)]
    parts += [
        (slice(each.maneuver.first, each.maneuver.last + 1), color, 3.0)
        for each, color in zip(debrief.maneuvers, itertools.cycle(COLORS), strict=False)
    ]
    scale = 1000.0 / max(float(np.ptp(east)), float(np.ptp(north)), 1.0)
    x, y = scale * (east - east.min()) + 20.0, scale * (north - north.min()) + 40.0
    drawn = "".join(
        f'<polyline fill="none" stroke="{color}" stroke-width="{width}" points="'
        + " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x[part], y[part], strict=True))
        + '"/>'
        for part, color, width in parts
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1040 1060">'
        f'<text x="20" y="24">{title}, {1000.0 / scale / 1000.0:.1f} km across</text>{drawn}</svg>'
    )


if __name__ == "__main__":
    main()
