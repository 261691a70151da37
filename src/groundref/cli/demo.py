"""``groundref demo``: an invented lesson, flown, recorded and debriefed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Final

from cyclopts import Parameter

from groundref.cli import options
from groundref.errors import OutputError

# A student who begins the turn late and holds too much bank on the upwind side.
FAULTS: Final = {"overbanked-upwind": 8.0, "late-turn-entry": 4.0}


def demo(
    *,
    folder: Annotated[str, options.taking("FOLDER")] = "groundref-demo",
    show: Annotated[bool, Parameter(name="--open", negative=(), show_default=False)] = False,
) -> None:
    """Fly an invented lesson, record it as a phone would, and debrief it.

    Parameters
    ----------
    folder
        Where recording, page and JSON go.
    show
        Open the page in the browser.
    """
    place = _make(Path(folder))
    lesson = place / "lesson.gpx"
    from groundref import writing
    from groundref.cli.debrief import debrief
    from groundref.simulation.lesson import simulate
    from groundref.simulation.write import to_bytes

    recording, _ = simulate(faults=FAULTS, seed=4)
    writing.write(str(lesson), to_bytes(recording, str(lesson)))
    page = place / "debrief.html"
    debrief([str(lesson)], html=str(page), json=str(place / "debrief.json"), aircraft="high-wing-trainer")
    print(f"\nThe lesson is invented. Its page is {page.resolve()}")
    if show:
        import webbrowser

        webbrowser.open(page.resolve().as_uri())


def _make(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise OutputError(f"the folder cannot be made ({reason})", str(folder), "give --folder") from problem
    return folder
