"""An interrupt, whenever it comes: no traceback, what was reported is in the record, and no half lesson."""

from __future__ import annotations

import gc
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import pytest
from sqlalchemy.engine.default import DefaultDialect

from groundref.cli.interrupting import between_steps
from groundref.record import working
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.track.recording import Recording
from tests.cli.record.conftest import Run, Said

ROWS = 2
MOMENTS = 25
STOPPED = "which are in the record; run it again for the rest"


@pytest.fixture
def add(run: Run, monkeypatch: pytest.MonkeyPatch) -> Callable[[int], Said]:
    """Return what adds a table of lessons that need no debrief of their own to a new record."""
    content = Path("a.gpx").read_bytes()
    for number in range(ROWS):
        Path(f"{number}.gpx").write_bytes(content + f"<!-- {number} -->".encode())
    rows = "".join(f"{number}.gpx,Jo Brandt\n" for number in range(ROWS))
    Path("lessons.csv").write_text("recording,student\n" + rows, "utf-8")
    worked: list[working.Worked] = []
    work_out = working.work_out

    def once(recording: Recording, *asked: object) -> working.Worked:
        if not worked:
            worked.append(work_out(recording, *asked))
        return worked[0]

    monkeypatch.setattr(working, "work_out", once)
    open_record(Place(path=Path("empty.sqlite")), make=True)

    def add(code: int) -> Said:
        for left in Path().glob("record.sqlite*"):
            left.unlink()
        shutil.copy("empty.sqlite", "record.sqlite")
        return run("add", "--lessons", "lessons.csv", code=code)

    add(0)  # what is loaded and compiled only once
    return add


@contextmanager
def at_each_call(told: Callable[[int], None]) -> Iterator[None]:
    """Count what the record and its library call, and tell of each as it begins."""
    number = 0

    def seen(frame: FrameType, event: str, _: object) -> None:
        nonlocal number
        where = frame.f_code.co_filename
        if event == "call" and ("sqlalchemy" in where or f"groundref{os.sep}record{os.sep}" in where):
            number += 1
            told(number)

    gc.collect()  # what other tests left behind is not let go of while the command is looked at
    sys.setprofile(seen)
    try:
        yield
    finally:
        sys.setprofile(None)


def test_at_any_moment_while_lessons_are_added(add: Callable[[int], Said], run: Run) -> None:
    counted: list[int] = []
    with at_each_call(counted.append):
        assert add(0).out.splitlines()[-1] == f"{ROWS} added, 0 there already, 0 failed."
    kept_after = set()
    for moment in range(1, len(counted), len(counted) // MOMENTS):

        def interrupt(number: int, moment: int = moment) -> None:
            if number == moment:
                signal.raise_signal(signal.SIGINT)

        with at_each_call(interrupt):
            said = add(130)
        kept = run("list", "--json", "-").json["lessons_in_all"]
        kept_after.add(kept)
        assert "Traceback" not in said.err
        assert said.err in ("", f"groundref: stopped after {kept} of {ROWS}, {STOPPED}\n")
        assert sum(f"/{ROWS} lesson " in line for line in said.out.splitlines()) == kept
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    assert kept_after == set(range(ROWS + 1))


def test_where_a_connection_is_closed(
    add: Callable[[int], Said], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library reports what comes between there as a failure, with a traceback."""
    close, closed = DefaultDialect.do_close, []

    def interrupt(at: int) -> None:
        def interrupted(self: DefaultDialect, connection: object) -> None:
            closed.append(connection)
            if len(closed) == at:
                signal.raise_signal(signal.SIGINT)
            close(self, connection)

        closed.clear()
        monkeypatch.setattr(DefaultDialect, "do_close", interrupted)

    interrupt(at=0)
    add(0)
    in_all = len(closed)
    assert in_all > ROWS
    for at in range(1, in_all + 1):
        interrupt(at)
        said = add(130)
        kept = run("list", "--json", "-").json["lessons_in_all"]
        assert said.err in ("", f"groundref: stopped after {kept} of {ROWS}, {STOPPED}\n")


TWICE = """
import signal, sys
from groundref.cli.interrupting import between_steps
with between_steps() as look:
    print("working", flush=True)
    try:
        while True:
            sys.stdin.readline()
            print("noted", flush=True)
    finally:
        print("unwound", flush=True)
"""


def test_a_second_one_ends_it_at_once() -> None:
    words = [sys.executable, "-c", TWICE]
    pipe = subprocess.PIPE
    with subprocess.Popen(words, stdin=pipe, stdout=pipe, stderr=pipe, text=True) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stdout.readline() == "working\n"
        process.send_signal(signal.SIGINT)
        process.stdin.write("\n")
        process.stdin.flush()
        assert process.stdout.readline() == "noted\n"
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert (process.returncode, out, err) == (130, "", "")


def test_steps_within_a_step_and_one_that_comes_during_the_last() -> None:
    reached = []

    def last_step() -> None:
        with between_steps() as outer:
            with between_steps() as inner:
                signal.raise_signal(signal.SIGINT)
                reached.append("noted")
            for look in (inner, outer):
                with pytest.raises(KeyboardInterrupt):
                    look()
            reached.append("done")

    with pytest.raises(KeyboardInterrupt):
        last_step()
    assert reached == ["noted", "done"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_one_who_ignores_interrupts_goes_on_doing_so() -> None:
    usual = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with between_steps() as look:
            signal.raise_signal(signal.SIGINT)
            look()
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, usual)
