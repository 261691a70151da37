"""``groundref demo``: an invented lesson, flown, recorded and debriefed."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Annotated, Final

from cyclopts import Parameter

from groundref.cli import options
from groundref.errors import OutputError, UsageError

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
    from groundref.cli.looking import Looking
    from groundref.simulation.lesson import simulate
    from groundref.simulation.write import to_bytes

    recording, _ = simulate(faults=FAULTS, seed=4)
    content = to_bytes(recording, str(lesson))
    _spare_another(lesson, content)
    writing.write(str(lesson), content)
    page = place / "debrief.html"
    debrief(
        [str(lesson)],
        html=str(page),
        json=str(place / "debrief.json"),
        looking=Looking(aircraft="high-wing-trainer"),
    )
    print(f"\nThe lesson is invented. Its page is {page.resolve()}")
    if show:
        import webbrowser

        webbrowser.open(page.resolve().as_uri())


def _spare_another(lesson: Path, content: bytes) -> None:
    """Refuse to write over a recording that is not a demo's."""
    beginning = content[: content.index(b"<trkpt")]  # names the program and the invented lesson
    with suppress(OSError):  # no such file yet, or one that writing will complain about
        with lesson.open("rb") as stream:
            other = stream.read(len(beginning)) != beginning
        if other:
            raise UsageError("the demo would overwrite this recording", str(lesson), "give another --folder")


def _make(folder: Path) -> Path:
    if folder.exists() and not folder.is_dir():
        raise OutputError("this is a file, not a folder", str(folder), "give another --folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise OutputError(f"the folder cannot be made ({reason})", str(folder), "give --folder") from problem
    return folder
