"""Invented lessons for the record: a real debrief of a simulated flight, and quick variations of it."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache

from groundref.export import to_json
from groundref.record.asked import Asked, debriefed
from groundref.record.lessons import NewLesson
from groundref.simulation.lesson import simulate
from groundref.simulation.write import to_bytes
from tests.once import once


@lru_cache(maxsize=4)
def flown(seed: int = 4) -> NewLesson:
    """A lesson that was simulated, written as a recording and debriefed from its bytes."""
    return once(f"flown-{seed}", lambda: _fly(seed))


def _fly(seed: int) -> NewLesson:
    recording, _ = simulate(faults={"overbanked-upwind": 8.0}, seed=seed)
    content = to_bytes(recording, "lesson.gpx")
    parts = (("lesson.gpx", content),)
    document = to_json(debriefed(parts, Asked()).to_dict())
    return NewLesson(parts, Asked(), document, "0.1.0", student="Jo Brandt", instructor="Ines Okafor")


def another(number: int, *, student: str = "Jo Brandt", day: int = 1) -> NewLesson:
    """A lesson that differs from the others in its recording and its day, without flying it again."""
    lesson = flown()
    name, content = lesson.parts[0]
    plain = json.loads(lesson.document)
    for times in (plain["flight"], *plain["maneuvers"]):
        for key in ("start", "end"):
            times[key] = f"2026-05-{day:02d}" + times[key][10:]
    marked = content + f"<!-- {number} -->".encode()
    return replace(lesson, parts=((f"{number}-{name}", marked),), document=to_json(plain), student=student)
