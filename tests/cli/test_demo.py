"""The demo: it ends by itself, or serves the page with invented lessons on it until it is interrupted."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from urllib.request import urlopen

import pytest

from groundref.cli import demo_record, main
from groundref.record.lessons import listed
from groundref.record.place import Place
from groundref.record.store import open_record

TILES = ("--map", "https://tiles.example/{z}/{x}/{y}.png", "--map-credit", "© the mapmakers")


def test_the_page_opens_with_the_lessons_and_ends_when_interrupted(tmp_path: Path) -> None:
    opened = tmp_path / "opened"
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\necho "$1" > {opened}\n')
    browser.chmod(0o755)
    running = subprocess.Popen(
        [sys.executable, "-m", "groundref", "demo", "--folder", str(tmp_path / "demo"), "--open", *TILES],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"BROWSER": f"{browser} %s"},
    )
    assert running.stderr is not None
    try:
        said = next(line for line in running.stderr if "http://" in line)
        address = re.search(r"http://\S+", said).group()
        with urlopen(address, timeout=30) as answer:
            text = answer.read().decode()
        assert text.count('<th scope="row"><a href="/lessons/') == demo_record.LESSONS
        assert all(name in text for name in ("Jo Brandt", "Sam Reyes", "Mika Laine"))
        assert opened.read_text().strip() == address
        with urlopen(f"{address}lessons/1", timeout=30) as answer:
            assert 'data-credit="© the mapmakers"' in answer.read().decode()
    finally:
        running.send_signal(signal.SIGINT)
        running.wait(30)
        running.stderr.close()


def test_an_earlier_demo_keeps_what_was_written_into_its_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from groundref.record import deciding

    monkeypatch.setattr(demo_record, "LESSONS", 1)
    for _ in range(2):
        assert main(["demo", "--folder", str(tmp_path)]) == 0
        record = open_record(Place(path=tmp_path / demo_record.FILE_NAME))
        deciding.remark(record, 1, "look out more")
    with record.reading() as connection:
        lessons = listed(connection)
    assert [lesson.remarks for lesson in lessons] == ["look out more"]
    assert lessons[0].airplane == demo_record.AIRPLANE
    assert "With --open" in capsys.readouterr().out


def test_a_map_without_the_page_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--folder", str(tmp_path / "demo"), *TILES]) == 2
    assert "--open" in capsys.readouterr().err
    assert not (tmp_path / "demo").exists()


def test_what_lies_there_and_is_no_record_is_let_be(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / demo_record.FILE_NAME).write_text("mine", "utf-8")
    assert main(["demo", "--folder", str(tmp_path)]) != 0
    assert demo_record.FILE_NAME in capsys.readouterr().err
    assert (tmp_path / demo_record.FILE_NAME).read_text("utf-8") == "mine"
