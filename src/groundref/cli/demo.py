"""``groundref demo``: invented lessons, flown, recorded, debriefed and shown, or a summer of them."""

from __future__ import annotations

import csv
import shlex
from collections.abc import Sequence
from contextlib import suppress
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

from cyclopts import Parameter

from groundref.cli import demo_record, exits, options
from groundref.cli.serve import HOST, MapCreditOption, MapOption
from groundref.errors import OutputError, UsageError

if TYPE_CHECKING:
    from groundref.simulation.summer import SummerLesson

# A student who begins the turn late and holds too much bank on the upwind side.
FAULTS: Final = {"overbanked-upwind": 8.0, "late-turn-entry": 4.0}


def demo(
    *,
    folder: Annotated[str, options.taking("FOLDER")] = "groundref-demo",
    show: Annotated[bool, Parameter(name="--open", negative=(), show_default=False)] = False,
    map_: MapOption = None,
    map_credit: MapCreditOption = None,
    summer: Annotated[str | None, options.taking("FOLDER")] = None,
) -> None:
    """Fly invented lessons, record them as a phone would, and debrief them; or fly a summer of lessons.

    Parameters
    ----------
    folder
        Where recording, debrief, JSON and a record with some lessons more go.
    show
        Serve the page that an instructor works in, with these lessons, and open it in the browser.
    map_
        With --open, beneath the pictures from above: what groundref serve takes as --map.
    map_credit
        Whom the map is owed to, as for groundref serve.
    summer
        Instead of the one lesson, write the recordings of a summer's lessons of three invented students to
        this folder, with a table of them for groundref record add.
    """
    if map_ is not None and not show:
        raise UsageError("a map is laid beneath the pictures of the page", "--map", "give --open with it")
    if summer is not None:
        if show:
            raise UsageError("a summer has no page to open", "--open", "leave it out")
        _fly_summer(_make(Path(summer), "--summer"))
        return
    from groundref.web.maps.source import source_of

    source = source_of(map_, map_credit) if show else None
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
        looking=Looking(aircraft=demo_record.AIRPLANE),
    )
    print(f"\nThe lesson is invented. Its debrief is {page.resolve()}")
    record, lessons = demo_record.filled(place)
    print(f"{lessons} more invented lessons are in the record {place.resolve() / demo_record.FILE_NAME}")
    if not show:
        print("With --open they are on the page that an instructor works in.", flush=True)
        return
    print(f"On the page, drop {lesson.resolve()} to see how a recording is brought.", flush=True)
    from groundref.web.server import run

    run(record, HOST, 0, say=exits.say, show=True, source=source)


def _spare_another(lesson: Path, content: bytes) -> None:
    """Refuse to write over a recording that is not a demo's."""
    beginning = content[: content.index(b"<trkpt")]  # names the program and the invented lesson
    with suppress(OSError):  # no such file yet, or one that writing will complain about
        with lesson.open("rb") as stream:
            other = stream.read(len(beginning)) != beginning
        if other:
            raise UsageError("the demo would overwrite this recording", str(lesson), "give another folder")


def _fly_summer(folder: Path) -> None:
    """Write recordings of a summer's lessons, and last the table that names them."""
    from groundref import writing
    from groundref.cli.waiting import counting
    from groundref.simulation.summer import summer
    from groundref.simulation.write import to_bytes

    lessons = list(summer())
    table, sheet = _table(lessons), folder / "lessons.csv"
    _spare_table(sheet, table)
    with counting("flying lesson") as step:
        for number, lesson in enumerate(lessons, start=1):
            path = folder / f"{lesson.name}.gpx"
            content = to_bytes(lesson.fly(), str(path))
            _spare_another(path, content)
            writing.write(str(path), content)
            step(number, len(lessons))
    writing.write(str(sheet), table)
    print(f"{len(lessons)} invented lessons of a summer lie in {folder}.")
    print(f"groundref record add --lessons {shlex.quote(str(sheet))} keeps them.")


def _table(lessons: Sequence[SummerLesson]) -> bytes:
    """Return the table that says which recording is whose."""
    table = StringIO(newline="")
    rows = csv.writer(table, lineterminator="\n")
    rows.writerow(("recording", "student", "instructor", "airplane", "ground_ft"))
    for lesson in lessons:
        who = lesson.student
        rows.writerow(
            (f"{lesson.name}.gpx", who.name, who.instructor, demo_record.AIRPLANE, demo_record.GROUND_FT)
        )
    return table.getvalue().encode()


def _spare_table(sheet: Path, content: bytes) -> None:
    """Refuse to write over a table that is not a demo's."""
    with suppress(OSError):  # no such file yet, or one that writing will complain about
        if sheet.read_bytes() != content:
            raise UsageError("the demo would overwrite this table", str(sheet), "give another folder")


def _make(folder: Path, option: str = "--folder") -> Path:
    if folder.exists() and not folder.is_dir():
        raise OutputError("this is a file, not a folder", str(folder), f"give another {option}")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise OutputError(
            f"the folder cannot be made ({reason})", str(folder), f"give another {option}"
        ) from problem
    return folder
