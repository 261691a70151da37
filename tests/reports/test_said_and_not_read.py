"""What the instructor said a stretch was, and cannot be read so: how to undo it, where it is read."""

from __future__ import annotations

import json
from datetime import datetime
from io import StringIO

import pytest
from rich.console import Console

from groundref.debriefing import Debrief
from groundref.record.asked import Asked, Stretch, debriefed
from groundref.reports import html
from groundref.reports.terminal import summary
from tests.record.invented import flown


@pytest.fixture(scope="module")
def unread() -> Debrief:
    """Turns around a point that were said to be S-turns."""
    lesson = flown()
    (one,) = json.loads(lesson.document)["maneuvers"]
    start, end = (datetime.fromisoformat(one[name]) for name in ("start", "end"))
    return debriefed(lesson.parts, Asked(said=(Stretch(start, end, "s-turns"),)))


def test_the_terminal_says_what_to_run(unread: Debrief) -> None:
    out = StringIO()
    Console(file=out, width=96).print(summary(unread))
    said = " ".join(out.getvalue().split())
    assert (
        "To undo that, run groundref serve, open the lesson and choose “as the recording was taken”" in said
    )


def test_the_page_says_where_in_the_page(unread: Debrief) -> None:
    said = html.content(unread)
    assert "To undo that, choose “as the recording was taken” for it under Corrections." in said
    assert "groundref serve" not in said
