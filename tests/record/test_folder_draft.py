"""What an export that was killed leaves: told by `check`, cleared away by the next export."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from groundref.cli.main import main
from groundref.errors import OutputError
from groundref.record.checking import check
from groundref.record.folder.draft import abandoned_folders, new_folder, write_file
from groundref.record.place import Place
from groundref.record.wiping import wipe
from tests.record.small import filled

WRITER = """
import sys, time
from pathlib import Path
from groundref.record.folder.draft import new_folder, write_file
with new_folder(Path(sys.argv[1])) as draft:
    write_file(draft, "lessons/1.json", b"{}")
    print("at it", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def killed(tmp_path: Path) -> Path:
    """A draft whose program was killed."""
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(tmp_path / "out")], stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout is not None
    assert writer.stdout.readline() == "at it\n"
    assert abandoned_folders(tmp_path) == []  # while it is written
    writer.send_signal(signal.SIGKILL)
    writer.wait()
    writer.stdout.close()
    (left,) = abandoned_folders(tmp_path)
    assert left.stat().st_mode & 0o777 == 0o700
    return left


def test_the_next_export_clears_away_what_a_killed_one_left(killed: Path) -> None:
    strange = killed.parent / ".groundref-export.txt"
    strange.write_text("A file of somebody's own.")
    elsewhere = killed.parent / "elsewhere"
    elsewhere.mkdir()
    link = killed.parent / ".groundref-export.link"
    link.symlink_to(elsewhere)
    with new_folder(killed.parent / "out") as draft:
        write_file(draft, "README.txt", b"whole")
        with new_folder(killed.parent / "other") as second:  # two at once leave each other alone
            write_file(second, "README.txt", b"whole")
        assert draft.is_dir()
    assert not killed.exists()
    assert sorted(path.name for path in killed.parent.iterdir()) == [
        link.name,
        strange.name,
        *("elsewhere", "other", "out"),
    ]


def test_check_names_it_and_mends_it(killed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = killed.parent / "record.sqlite"
    record = filled(Place(path=path), 1)
    (trouble,) = check(record).troubles
    assert (trouble.where, trouble.serious, trouble.mendable) == (str(killed), False, True)
    assert main(["record", "check", "--mend", "--yes", "--record", str(path)]) == 0
    assert not killed.exists()
    assert "an export that was interrupted" not in capsys.readouterr().out


def test_forgetting_leaves_none_beside_the_record(killed: Path) -> None:
    wipe(filled(Place(path=killed.parent / "record.sqlite"), 1))
    assert not killed.exists()


def test_what_fails_in_the_middle_leaves_nothing(tmp_path: Path) -> None:
    def fail() -> None:
        with new_folder(tmp_path / "out") as draft:
            write_file(draft, "a", b"")
            raise OSError(28, os.strerror(28))

    with pytest.raises(OutputError, match="the disk is full"):
        fail()
    assert list(tmp_path.iterdir()) == []
