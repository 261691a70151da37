"""A server of the invented lessons of `groundref demo --open`, and what can be looked at on it.

What an instructor does first is done: a recording is dropped that nobody is named on yet, the first lesson is
remarked on and signed, the second was planned, and a try was flown.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final
from urllib.parse import quote

import httpx
import uvicorn

from groundref.cli import demo_record
from groundref.cli.demo import FAULTS
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from groundref.simulation.lesson import simulate
from groundref.simulation.summer import STUDENTS
from groundref.simulation.write import to_bytes
from groundref.web.app import build
from groundref.web.maps.source import MapSource
from groundref.web.server import listen
from groundref.web.trying.asked import asked
from groundref.web.trying.finished import Tries
from groundref.web.trying.flown import STEP, Flown
from groundref.web.trying.orders import Order

TRY: Final = {"from_deg": "240", "wind_kt": "15", "tas_kt": "90", "radius": "1200"}
PLAN: Final = {
    "maneuver": "turns-around-a-point",
    "aircraft": demo_record.AIRPLANE,
    "metar": "METAR KXXA 011352Z 24012G18KT 10SM FEW040 18/09 A3002",
    "elevation_ft": str(demo_record.GROUND_FT),
    "point": "40.1,-90.2",
    "when": "2026-05-01T14:00Z",
}
BANK_DEG: Final = -34.0
FLOWN: Final = 75.0  # [s]
REMARK: Final = "Looks out well. Next time: roll in on the wind line, then hold the altitude by the horizon."


@contextmanager
def served(record: Record, tries: Tries | None = None, source: MapSource | None = None) -> Iterator[str]:
    """Serve a record, with a map or without; give the address."""
    listening = listen("127.0.0.1", 0)
    name = f"127.0.0.1:{listening.getsockname()[1]}"
    server = uvicorn.Server(
        uvicorn.Config(build(record, [name], tries=tries, source=source), log_level="error")
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.05)
    yield f"http://{name}"
    server.should_exit = True
    thread.join(20)


@contextmanager
def lessons(folder: Path) -> Iterator[tuple[str, dict[str, str]]]:
    """Serve the lessons; give the address, and the path of each page under its name."""
    record, count = demo_record.filled(folder)
    tries = Tries()
    with served(record, tries) as address:
        with httpx.Client(base_url=address, timeout=120, follow_redirects=True) as client:
            recording, _ = simulate(faults=FAULTS, seed=4)
            files = {"recordings": ("lesson.gpx", to_bytes(recording, "lesson.gpx"))}
            _well(client.post("/lessons", files=files))
            _send(client, "remarks", {"remarks": REMARK})
            _send(client, "signature", {"instructor": STUDENTS[0].instructor})
            _well(client.post("/lessons/plan", data={**PLAN, "lesson": "2"}))
        yield address, paths(count + 1, STUDENTS[0].name, _tried(tries))


def paths(unnamed: int, student: str, tried: str) -> dict[str, str]:
    """Return the path of each page under its name."""
    flown = "&".join(f"{name}={value}" for name, value in TRY.items())
    return {
        "home": "/",
        "lesson": f"/lessons/{unnamed}?at=850",
        "lesson-signed": "/lessons/1",
        "lesson-planned": "/lessons/2",
        "corrections": f"/lessons/{unnamed}#corrections",
        "compare": "/compare?a=1.2&b=3.1",
        "plan": f"/plan?{httpx.QueryParams(PLAN)}",
        "seat": f"/lessons/{unnamed}/seat?at=850",
        "try": f"/try?{flown}",
        "tried": f"/tried/{tried}",
        "students": "/students",
        "student": f"/students/{quote(student)}",
        "failed": "/lessons/99",
    }


def _tried(tries: Tries) -> str:
    """Fly a try of one bank; return its name."""
    wanted = asked(TRY)
    flown = Flown(wanted)
    flown.order(Order(bank_deg=BANK_DEG))
    for _ in range(round(FLOWN / STEP)):
        flown.step()
    return tries.finish(wanted, flown.moments)


def _send(client: httpx.Client, part: str, data: Mapping[str, str]) -> None:
    """Send a form of the first lesson, with what its page says that it was made of."""
    page = client.get("/lessons/1").text
    form = page.partition(f'action="/lessons/1/{part}"')[2].partition("</form>")[0]
    seen = form.partition('name="seen" value="')[2].partition('"')[0]
    _well(client.post(f"/lessons/1/{part}", data={"seen": seen, **data}))


def _well(answer: httpx.Response) -> None:
    if answer.is_error:
        raise SystemExit(f"{answer.url} answered {answer.status_code}: {answer.text[-600:]}")


@contextmanager
def nothing(folder: Path) -> Iterator[str]:
    """Serve a record without lessons; give the address."""
    with served(open_record(Place(path=folder / "empty.sqlite"), make=True)) as address:
        yield address
