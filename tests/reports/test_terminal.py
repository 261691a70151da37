from __future__ import annotations

import io

import pytest
from rich.console import Console

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
    assert "240° ±3° at 14.0 ±0.9 kt (26 km/h)" in text
    assert "not for use in flight" in text


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
