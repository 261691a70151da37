"""``groundref record forget``: it asks, it says what is gone, and says what it cannot reach."""

from __future__ import annotations

import io
import json
import stat
import sys
from pathlib import Path

import pytest

from groundref.cli import exits, main
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from tests.record.invented import another
from tests.record.leftovers import where


class Terminal(io.StringIO):
    """Somebody who types."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def kept(file_place: Place, monkeypatch: pytest.MonkeyPatch) -> Record:
    monkeypatch.setenv("GROUNDREF_RECORD", str(file_place))
    record = open_record(file_place, make=True)
    for number, student in enumerate(("Jo Brandt", "Ana Jones"), start=1):
        add(record, another(number, day=number, student=student))
    return record


def test_it_is_done_when_agreed_to(
    kept: Record, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", Terminal("y\n"))
    assert main(("record", "forget", "jo brandt")) == exits.DONE
    said = capsys.readouterr()
    assert "Forget Jo Brandt: 1 lesson flown, with recordings and debriefs: gone." in said.err
    assert "This cannot be undone. Go on? [y/N]" in said.err
    assert "Jo Brandt is forgotten" in said.out
    assert "Backups and exports elsewhere" in said.out
    assert where(kept, "Brandt") == []


@pytest.mark.parametrize("answer", ["n\n", "\n", ""])
def test_nothing_is_changed_otherwise(
    answer: str, kept: Record, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", Terminal(answer))
    assert main(("record", "forget", "Jo Brandt")) == exits.DONE
    assert "Nothing was changed." in capsys.readouterr().out
    assert where(kept, "Brandt")


def test_where_nobody_can_be_asked_it_must_be_agreed_to_before(
    kept: Record, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("y\n"))
    assert main(("record", "forget", "Jo Brandt")) == exits.USAGE
    said, refused = capsys.readouterr().err.splitlines()
    assert "Forget Jo Brandt: 1 lesson flown, with recordings and debriefs: gone. This cannot" in said
    assert "--yes: this cannot be undone" in refused
    assert where(kept, "Brandt")


def test_json(kept: Record, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(("record", "forget", "Ines Okafor", "--yes", "--json", "-")) == exits.DONE
    told = json.loads(capsys.readouterr().out)
    assert told["schema"] == "groundref/record-forget/1"
    assert (told["lessons_given"], told["lessons_removed"]) == (2, 0)
    assert "Okafor" not in json.dumps(told)
    out = tmp_path / "out.json"
    assert (
        main(("record", "forget", "Ana Jones", "--keep-lessons", "--yes", "--json", str(out))) == exits.DONE
    )
    assert json.loads(out.read_bytes())["lessons_anonymous"] == 1
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_somebody_who_is_not_in_the_record(kept: Record, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(("record", "forget", "Nobody", "--yes")) == exits.RECORD
    assert "there is no person called 'Nobody'" in capsys.readouterr().err


def test_a_record_that_was_replaced_is_named(
    kept: Record, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(("record", "backup", str(tmp_path / "backup.sqlite"))) == exits.DONE
    assert main(("record", "restore", str(tmp_path / "backup.sqlite"), "--yes")) == exits.DONE
    capsys.readouterr()
    assert main(("record", "forget", "Jo Brandt", "--yes")) == exits.DONE
    said = " ".join(capsys.readouterr().out.split())
    assert "A record that was replaced may still hold Jo Brandt" in said
    assert len(list(tmp_path.glob("record-replaced-*.sqlite"))) == 1
