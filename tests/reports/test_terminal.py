from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from groundref.reports import notices
from groundref.reports.html import page
from groundref.reports.terminal import COLUMNS, summary
from tests.reports import invented


def printed(debrief, width=200, *, terminal=False):
    file = io.StringIO()
    console = Console(file=file, width=width, force_terminal=terminal, legacy_windows=False)
    console.print(summary(debrief, console_width=width))
    return file.getvalue()


@pytest.mark.parametrize("width", [60, 80, 100, 240])
def test_no_line_is_wider_than_the_console_or_a_hundred_columns(debriefs, name, width):
    lines = printed(debriefs[name], width).splitlines()
    assert max(map(len, lines)) <= min(width, COLUMNS)


def test_it_is_plain_text_where_there_is_no_terminal(debriefs, name):
    assert "\x1b" not in printed(debriefs[name])


def test_a_terminal_gets_emphasis(debriefs):
    assert "\x1b[1m" in printed(debriefs["two laps left"], terminal=True)


def test_nothing_is_cut_off(debriefs, name):
    assert "…" not in printed(debriefs[name], 100)


def test_findings_come_before_everything_else(debriefs):
    text = printed(debriefs["two laps left"], 100)
    assert text.index("What to talk about first") < text.index("How it was flown") < text.index("Lap by lap")
    assert "Next time: " in text
    assert "240° ±4° at 14.0 ±0.9 kt (26 km/h)" in text
    assert "not for use in flight" in text


def test_what_nobody_looked_for_stands_with_the_findings_on_the_page_too(debriefs):
    seen = debriefs["two laps left"]
    said = "Not looked for: something, without its place."
    unseen = replace(seen, maneuvers=tuple(replace(one, not_looked_for=(said,)) for one in seen.maneuvers))
    for text in (printed(unseen, 100), page(unseen)):
        assert text.count(said) == 1
        talk = text.index("What to talk about first", text.index("</style>") if "</style>" in text else 0)
        assert talk < text.index(said)
    assert printed(unseen, 100).index(said) < printed(unseen, 100).index("How it was flown")


def test_a_hostile_file_name_cannot_command_the_terminal():
    text = printed(invented.debrief(source="\x1b]0;owned\x07[bold red]x[/].gpx"))
    assert "\x1b" not in text
    assert "\x07" not in text
    assert "[bold red]x[/].gpx" in text


def test_nothing_found_is_said(debriefs):
    assert "No ground-reference maneuver was found" in printed(debriefs["nothing found"])


def test_missing_values_are_said(debriefs):
    for case in ("no wind", "no altitude"):
        text = printed(debriefs[case])
        assert "can't tell" in text
        assert "nan" not in text.split()
        assert "None" not in text


def test_a_reason_has_the_width_of_the_line(debriefs):
    reason = "The limit lies within the uncertainty of the airspeed."
    for width in (60, 100):
        assert reason in printed(debriefs["two laps left"], width)


def test_nothing_found_says_why_as_the_page_does(debriefs):
    text = " ".join(printed(debriefs["nothing found"], 100).split())
    assert notices.NONE_WHY in text
    assert all(reason in text for reason in notices.NONE_REASONS)


def test_an_altitude_says_its_datum():
    debrief = invented.debrief(height_known=False)
    debrief = replace(debrief, states=replace(debrief.states, altitude_datum="pressure"))
    assert "pressure altitude" in printed(debrief, 100)


SUMMARY = """
from groundref.cli.screen import console
from groundref.reports.terminal import summary
from tests.reports import invented
out = console()
out.print(summary(invented.debrief(source="Flug über Wien.gpx"), console_width=out.width))
"""


def run(**environment):
    return subprocess.run(
        [sys.executable, "-c", SUMMARY],
        capture_output=True,
        cwd=Path(__file__).parents[2],
        env={**os.environ, "PYTHONUTF8": "0", **environment},
        check=False,
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp850", "cp1252", "utf-8"])
def test_an_output_that_lacks_letters_gets_plain_ones(encoding):
    done = run(PYTHONIOENCODING=encoding)
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode(encoding)
    assert "wind" in text
    if encoding == "ascii":
        assert "Flug uber Wien.gpx" in text
        assert '"+-" is one standard deviation' in text
        assert "?" not in text
    if encoding == "cp850":
        assert '"±" is one standard deviation' in text


def test_columns_are_obeyed_where_nobody_looks():
    lines = run(COLUMNS="60", PYTHONIOENCODING="utf-8").stdout.decode().splitlines()
    assert 55 < max(map(len, lines)) <= 60
    lines = run(COLUMNS="", PYTHONIOENCODING="utf-8").stdout.decode().splitlines()
    assert 90 < max(map(len, lines)) <= 100
