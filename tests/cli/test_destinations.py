"""No result takes the place of what is read, or of another result."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from groundref.cli import demo_record, exits, main
from groundref.cli.destinations import check_destinations
from groundref.errors import UsageError

OVER_RECORDING = "the result would overwrite the recording; name another file for it"


@pytest.fixture(autouse=True)
def recording(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a file in the current folder."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "flight.gpx"
    path.write_text("the only copy")
    return path


@pytest.mark.parametrize("option", ["--html", "--json", "--series"])
def test_a_result_over_the_recording_is_refused(
    option: str, recording: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["debrief", "flight.gpx", option, "flight.gpx"]) == exits.USAGE
    assert capsys.readouterr().err == f"groundref: flight.gpx: {OVER_RECORDING}\n"
    assert recording.read_text() == "the only copy"


def test_the_wind_over_the_recording_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["wind", "flight.gpx", "--json", "flight.gpx"]) == exits.USAGE
    assert OVER_RECORDING in capsys.readouterr().err


def test_a_recording_over_its_truth_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["simulate", "turns-around-a-point", "-o", "new.gpx", "--truth", "./new.gpx"]
    assert main(words) == exits.USAGE
    assert "two results cannot go to one place" in capsys.readouterr().err


@pytest.mark.parametrize("option", ["--standard", "--aircraft", "--terrain", "--columns"])
def test_a_result_over_a_file_among_the_options_is_refused(
    option: str, recording: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    recording.with_name("own.toml").write_text("mine")
    assert main(["debrief", "flight.gpx", option, "own.toml", "--json", "own.toml"]) == exits.USAGE
    assert "own.toml: the result would overwrite a file that this command reads" in capsys.readouterr().err


def test_other_spellings_and_links_are_the_same_file(recording: Path) -> None:
    folder = recording.parent
    (folder / "sub").mkdir()
    (folder / "symbolic").symlink_to(recording)
    (folder / "hard").hardlink_to(recording)
    (folder / "way").symlink_to(folder, target_is_directory=True)
    for spelled in (
        "./flight.gpx",
        "sub/../flight.gpx",
        str(recording),
        "symbolic",
        "hard",
        "way/flight.gpx",
    ):
        for read, result in ((spelled, "flight.gpx"), ("flight.gpx", spelled)):
            with pytest.raises(UsageError, match=OVER_RECORDING):
                check_destinations([None, result], ["other", read])


def test_links_to_one_new_file_are_one_place(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to("new.json")
    with pytest.raises(UsageError, match="two results"):
        check_destinations(["new.json", "link"])


def test_a_file_on_standard_input_is_the_recording(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with recording.open() as stream:
        monkeypatch.setattr("sys.stdin", stream)
        with pytest.raises(UsageError, match=OVER_RECORDING):
            check_destinations(["flight.gpx"], ["-"])


def test_what_is_no_clash(monkeypatch: pytest.MonkeyPatch) -> None:
    check_destinations(["new.json", "new.html", "-", None], ["flight.gpx"], ["private-pilot", None])
    check_destinations(["/dev/null", "/dev/null"], ["/dev/null"])
    for stdin in (None, io.StringIO()):
        monkeypatch.setattr("sys.stdin", stdin)
        check_destinations(["new.json", "-"], ["-"])


def test_the_demo_spares_a_recording_of_another_origin(
    recording: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(demo_record, "LESSONS", 1)
    recording.rename("lesson.gpx")
    assert main(["demo", "--folder", "."]) == exits.USAGE
    assert "lesson.gpx: the demo would overwrite this recording" in capsys.readouterr().err
    assert Path("lesson.gpx").read_text() == "the only copy"
    assert main(["demo", "--folder", "fresh"]) == exits.DONE
    assert main(["demo", "--folder", "fresh"]) == exits.DONE
