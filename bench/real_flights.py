"""What is reported of flights of real airplanes: surveys, gliders, relays, ambulances, calibration.

    python3 -m bench.real_flights [CATEGORY ...] [--draw FOLDER]

Prints one row a flight: how long, samples and interval, seconds taken, and what was reported with its
confidence, start and size. Few of these flights hold a maneuver; what is reported is to be looked at.
"""

from __future__ import annotations

import argparse
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
    """Write the path over the ground with what was reported in color."""
    from matplotlib.figure import Figure

    states = debrief.states
    figure = Figure(figsize=(10, 10))
    axes = figure.add_subplot(aspect="equal", title=title, xlabel="east, km", ylabel="north, km")
    axes.plot(states.east / 1e3, states.north / 1e3, color="0.75", linewidth=0.6)
    for assessed in debrief.maneuvers:
        part = slice(assessed.maneuver.first, assessed.maneuver.last + 1)
        axes.plot(states.east[part] / 1e3, states.north[part] / 1e3, linewidth=1.4)
    path.parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(path)


if __name__ == "__main__":
    main()
