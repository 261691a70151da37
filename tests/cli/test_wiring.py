"""The command as a user meets it: what goes where, which exit code, which one line on an error."""

from __future__ import annotations

import gzip
import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from groundref.cli import exits, main

ROOT = Path(__file__).parents[2]


def run(*words: str, cwd: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "groundref", *words],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONWARNINGS": "error", **variables},
    )


class Refused:
    """Run commands that must fail with one line on standard error, here in this process."""

    def __init__(self, folder: Path, captured: pytest.CaptureFixture[str]) -> None:
        self.folder = folder
        self.captured = captured

    def __call__(self, *words: str, code: int) -> str:
        assert main(words) == code
        printed = self.captured.readouterr()
        assert printed.out == ""
        (line,) = printed.err.splitlines()
        assert line.startswith("groundref: ")
        assert "Traceback" not in line
        return line


@pytest.fixture
def refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Refused:
    """Return what runs a command in an empty folder and checks how it was refused."""
    monkeypatch.chdir(tmp_path)
    return Refused(tmp_path, capsys)


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the recording of a simulated lesson."""
    path = tmp_path_factory.mktemp("lesson") / "lesson.gpx"
    done = run("simulate", "turns-around-a-point", "-o", str(path), cwd=path.parent)
    assert done.returncode == 0, done.stderr
    return path


def test_summary_of_at_most_100_columns(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    lines = done.stdout.splitlines()
    assert len(lines) > 10
    assert max(len(line.rstrip()) for line in lines) <= 100


def test_json_to_standard_output_is_alone_there(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), "--json", "-", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["schema"] == "groundref/debrief/1"


def test_quiet_prints_nothing_and_writes_what_was_asked(lesson: Path, tmp_path: Path) -> None:
    names = {"--json": "d.json", "--html": "d.html", "--series": "d.parquet"}
    words = [word for option, name in names.items() for word in (option, name)]
    done = run("debrief", str(lesson), *words, "--quiet", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(names.values())
    assert (tmp_path / "d.html").read_text("utf-8").lstrip().lower().startswith("<!doctype html>")


def test_standard_input_plain_and_packed(lesson: Path, tmp_path: Path) -> None:
    plain = run("debrief", str(lesson), "--json", "-", cwd=tmp_path)
    for content in (lesson.read_bytes(), gzip.compress(lesson.read_bytes())):
        done = subprocess.run(
            [sys.executable, "-m", "groundref", "debrief", "-", "--json", "-"],
            input=content,
            capture_output=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert json.loads(done.stdout)["maneuvers"] == json.loads(plain.stdout)["maneuvers"]


def test_options_reach_the_debrief(lesson: Path, tmp_path: Path) -> None:
    options = ["--point", "40.1,-90.2", "--wind", "240/12", "--ground-ft", "620", "--from", "14:08"]
    done = run(
        "debrief", str(lesson), *options, "--aircraft", "high-wing-trainer", "--json", "-", cwd=tmp_path
    )
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    (maneuver,) = document["maneuvers"]
    assert maneuver["reference"]["source"] == "given"
    assert (maneuver["reference"]["lat"], maneuver["reference"]["lon"]) == pytest.approx(
        (40.1, -90.2), abs=1e-6
    )
    assert document["flight"]["start"] == "2026-05-01T14:08:00.000Z"
    assert document["aircraft"] == "high-wing-trainer"
    assert maneuver["wind"]["from_deg"] == pytest.approx(240, abs=3)


def test_an_altimeter_setting_reaches_the_debrief(tmp_path: Path) -> None:
    """Recorded on a day of 30.10 inHg; what the altimeter shows is 165 ft more than pressure altitude."""
    told = ["--recorder", "adsb", "--altimeter-inhg", "30.10", "--tas-kt", "95", "--truth", "t.json"]
    assert run("simulate", "turns-around-a-point", *told, "-o", "a.csv", cwd=tmp_path).returncode == 0
    options = ["--ground-ft", "620", "--json", "-"]
    flown = json.loads((tmp_path / "t.json").read_text("utf-8"))["maneuvers"][0]
    altitudes = []
    for given in ([], ["--altimeter-inhg", "30.10"], ["--altimeter-hpa", "1019.3"]):
        done = run("debrief", "a.csv", *given, *options, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        document = json.loads(done.stdout)
        altitudes.append(document["maneuvers"][0]["altitude"])
        assert document["flight"]["altimeter_setting_hpa"] == (
            pytest.approx(1019.3, abs=0.05) if given else None
        )
    assert [each["datum"] for each in altitudes] == ["pressure", "indicated", "indicated"]
    # 0.18 inHg above standard at 920 to 930 ft an inch, near sea level; 27.3 ft a hectopascal gives the same.
    assert altitudes[1]["reference_ft"] - altitudes[0]["reference_ft"] == pytest.approx(165, abs=2)
    assert altitudes[2]["reference_ft"] == pytest.approx(altitudes[1]["reference_ft"], abs=1.0)
    # The air is 7 °C warmer than standard: 2.4 % of 800 ft is what the altimeter shows too little.
    assert altitudes[1]["height_agl_ft"] == pytest.approx(flown["height_agl_ft"] - 19, abs=15)


def test_an_altimeter_setting_for_an_altitude_above_the_sea_is_refused(
    refused: Refused, lesson: Path, tmp_path: Path
) -> None:
    line = refused("debrief", str(lesson), "--altimeter-hpa", "1004.6", code=exits.USAGE)
    assert "altitude is above mean sea level already; leave the altimeter setting out" in line


def test_a_schools_own_standard_reaches_the_debrief(lesson: Path, tmp_path: Path) -> None:
    from groundref import standards

    text = Path(standards.__file__).with_name("private-pilot.toml").read_text("utf-8")
    (tmp_path / "own.toml").write_text(text.replace("limit = 1000\n", "limit = 650\n"), "utf-8")
    done = run("debrief", str(lesson), "--standard", "own.toml", "--json", "-", cwd=tmp_path)
    (maneuver,) = json.loads(done.stdout)["maneuvers"]
    verdicts = {element["limit"]: element["verdict"] for element in maneuver["elements"]}
    assert verdicts[650] == "not-met"  # 800 ft were flown


def test_several_parts_are_one_flight(lesson: Path, tmp_path: Path) -> None:
    lines = lesson.read_text("utf-8").split("<trkpt")
    middle = len(lines) // 2
    head, tail = lines[0], "</trkseg>\n</trk>\n</gpx>\n"
    (tmp_path / "a.gpx").write_text(head + "<trkpt" + "<trkpt".join(lines[1:middle]) + tail)
    (tmp_path / "b.gpx").write_text(head + "<trkpt" + "<trkpt".join(lines[middle:]))
    whole = json.loads(run("debrief", str(lesson), "--json", "-", cwd=tmp_path).stdout)
    parts = run("debrief", "b.gpx", "a.gpx", "--json", "-", cwd=tmp_path)
    assert parts.returncode == 0, parts.stderr
    assert json.loads(parts.stdout)["flight"]["samples"] == whole["flight"]["samples"]


def test_two_airplanes_are_refused(refused: Refused, lesson: Path, tmp_path: Path) -> None:
    moved = lesson.read_text("utf-8").replace('lon="-90.', 'lon="-91.')
    (tmp_path / "other.gpx").write_text(moved, "utf-8")
    line = refused("debrief", str(lesson), "other.gpx", code=exits.USAGE)
    assert re.search(
        r"lesson\.gpx and other\.gpx: .*that differ: 4\d\.\d NM apart at 14:",
        line,
    )


def test_a_file_given_twice_is_used_once(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), str(lesson), "--json", "-", cwd=tmp_path)
    flight = json.loads(done.stdout)["flight"]
    assert flight["source"] == "lesson.gpx"
    assert "lesson.gpx was given more than once; it was used once." in flight["notes"]


def test_a_point_far_away_is_warned_of_at_once(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), "--point", "41,-90.2", "--quiet", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, "")
    (line,) = done.stderr.splitlines()
    nearest = (
        r"groundref: warning: --point: this point lies 5\d\.\d NM from the nearest place of the flight; "
    )
    assert re.match(nearest, line)
    beside = run("debrief", str(lesson), "--point", "40.108,-90.2", "--quiet", cwd=tmp_path)
    assert "lies 0.5 NM from the middle of turns that were flown; the point fitted" in beside.stderr
    used = run("debrief", str(lesson), "--point", "40.1,-90.2", "--quiet", cwd=tmp_path)
    assert used.stderr == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--from", "09:05"], "--from: 09:05:00 UTC is before the recording begins"),
        (["--to", "19:05"], "--to: 19:05:00 UTC is after the recording ends"),
        (["--to", "2026-05-02T14:20"], "--to: 2026-05-02 14:20:00 UTC is after the recording ends"),
    ],
)
def test_a_time_outside_the_recording_is_warned_of(
    lesson: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert main(["debrief", str(lesson), *words, "--quiet"]) == exits.DONE
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"groundref: warning: {said}; it goes from 14:00:00 to 14:")
    assert line.endswith("UTC on 2026-05-01; is this a local time?")


def test_times_within_the_recording_are_not_warned_of(
    lesson: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["debrief", str(lesson), "--from", "14:00", "--to", "14:25", "--quiet"]) == exits.DONE
    assert capsys.readouterr().err == ""


def test_times_the_wrong_way_round_are_refused(lesson: Path, refused: Refused) -> None:
    line = refused("debrief", str(lesson), "--from", "14:20", "--to", "14:10", code=exits.USAGE)
    assert line.startswith("groundref: --from: 14:20 lies after --to 14:10; exchange the two")


def test_a_circle_that_no_one_flies_is_refused(refused: Refused) -> None:
    words = ["simulate", "turns-around-a-point", "-o", "x.csv", "--recorder", "avionics"]
    line = refused(*words, "--radius-ft", "200", code=exits.USAGE)
    smallest = re.search(r"needs 7\d° of bank downwind, more than 60°; choose (\d+) ft or more", line)
    assert smallest
    refused(*words, "--radius-ft", str(int(smallest[1]) - 11), code=exits.USAGE)
    assert main([*words, "--radius-ft", smallest[1]]) == exits.DONE


@pytest.mark.parametrize(
    ("recorder", "name", "warned"),
    [
        ("avionics", "x.gpx", True),
        ("adsb", "x.GPX.gz", True),
        ("phone", "x.gpx", False),
        ("avionics", "x.csv", False),
    ],
)
def test_what_gpx_cannot_hold_is_warned_of(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], recorder: str, name: str, warned: bool
) -> None:
    path = str(tmp_path / name)
    assert main(["simulate", "turns-around-a-point", "-o", path, "--recorder", recorder]) == exits.DONE
    said = capsys.readouterr().err
    assert ("groundref: warning: " in said and "GPX holds positions only" in said) is warned


def test_a_wind_that_the_recording_contradicts_is_warned_of(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), "--wind", "60/30", "--quiet", cwd=tmp_path)
    assert done.returncode == 0
    (line,) = done.stderr.splitlines()
    assert line.startswith(
        "groundref: warning: --wind: the wind was given, 060° at 30 kt, and used; the recording"
    )
    assert "contradicts" in line
    assert run("debrief", str(lesson), "--wind", "240/12", "--quiet", cwd=tmp_path).stderr == ""


def test_a_ground_above_the_flight_is_refused(refused: Refused, lesson: Path, tmp_path: Path) -> None:
    line = refused("debrief", str(lesson), "--ground-ft", "5000", code=exits.USAGE)
    assert re.search(
        r"--ground-ft: the airplane, at 1,\d{3} ft, would be 3,\d{3} ft below this ground;", line
    )


def test_wind(lesson: Path, tmp_path: Path) -> None:
    document = json.loads(run("wind", str(lesson), "--json", "-", cwd=tmp_path).stdout)
    assert document["schema"] == "groundref/wind/1"
    printed = run("wind", str(lesson), cwd=tmp_path).stdout
    assert printed.startswith("Wind along lesson.gpx, flown on 1 May 2026\ntime, UTC ")
    assert "“±” is one standard deviation" in printed
    around = next(row for row in document["wind"] if row["start"] == "2026-05-01T14:10:00.000Z")
    line = next(line for line in printed.splitlines() if line.startswith("14:10:00 to 14:14:59"))
    # What is printed behind ± is the standard deviation itself, as it is in the debrief.
    assert f" {around['tas_kt']:.1f} ±{around['tas_sd_kt']:.1f} kt" in line
    assert f"{around['from_deg']:.0f}° ±" in line


def test_wind_leaves_taxiing_out(lesson: Path, tmp_path: Path) -> None:
    document = json.loads(run("wind", str(lesson), "--json", "-", cwd=tmp_path).stdout)
    series = run("debrief", str(lesson), "--series", "s.csv", "--quiet", cwd=tmp_path)
    assert series.returncode == 0, series.stderr
    header, *rows = (tmp_path / "s.csv").read_text("utf-8").splitlines()
    time_column, speed_column = (header.split(",").index(name) for name in ("time", "ground_speed_kt"))
    slow = [row.split(",")[time_column] for row in rows if float(row.split(",")[speed_column]) < 29]
    assert len(slow) > 60
    for wind in document["wind"]:
        assert not [time for time in slow if wind["start"] <= time <= wind["end"]]
        assert wind["tas_kt"] > 60


def test_wind_that_cannot_be_told_says_so_with_the_reason(lesson: Path, tmp_path: Path) -> None:
    text = lesson.read_text("utf-8")
    head, *points = text.split("<trkpt")
    straight = [point for point in points if re.search(r"T14:0[56]:", point)]
    (tmp_path / "straight.gpx").write_text("<trkpt".join([head, *straight]) + "</trkseg></trk></gpx>")
    printed = run("wind", "straight.gpx", cwd=tmp_path).stdout
    assert re.search(r"14:05:00 to 14:06:59 +can't tell +can't tell", printed)
    assert "Where the wind can't be told, the direction of flight changed too little." in printed


def test_what_was_simulated_is_said(tmp_path: Path) -> None:
    words = ["simulate", "turns-around-a-point", "-o", "a.gpx", "--truth", "a.json"]
    done = run(*words, cwd=tmp_path)
    first, second = done.stdout.splitlines()
    assert re.fullmatch(r"Written: a\.gpx \([\d,]+ samples, 14:00:00 to 14:\d\d:\d\d UTC\)", first)
    assert second == "Written: a.json (what was really flown)"
    alone = run("simulate", "turns-around-a-point", "-o", "b.gpx", "--truth", "-", cwd=tmp_path)
    assert json.loads(alone.stdout) == json.loads((tmp_path / "a.json").read_text("utf-8"))


def test_the_same_seed_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.csv", "b.csv"):
        assert (
            run(
                "simulate", "turns-around-a-point", "--recorder", "avionics", "-o", name, cwd=tmp_path
            ).returncode
            == 0
        )
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["debrief", "--help"],
        ["--version"],
        ["standards"],
        ["standards", "private-pilot"],
        ["aircraft", "low-wing-trainer"],
    ],
)
def test_what_only_prints(words: list[str], tmp_path: Path) -> None:
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.strip()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["fly"], 'unknown command "fly"'),
        (["debrief"], "requires an argument"),
        (["debrief", "x.gpx", "--jsn", "y"], "there is no option --jsn"),
        (["debrief", "x.gpx", "--ground-ft", "high"], "--ground-ft"),
        (["debrief", "x.gpx", "--ground-ft", "nan"], "--ground-ft: nan is out of range"),
        (["debrief", "x.gpx", "--altimeter-inhg", "1013"], "--altimeter-inhg: 1013 is out of range"),
        (["debrief", "x.gpx", "--altimeter-hpa", "29.92"], "--altimeter-hpa: 29.92 is out of range"),
        (["debrief", "x.gpx", "--altimeter-hpa", "nan"], "--altimeter-hpa: nan is out of range"),
        (
            ["debrief", "x.gpx", "--altimeter-inhg", "29.92", "--altimeter-hpa", "1013"],
            "--altimeter-hpa: the altimeter setting is given twice",
        ),
        (["debrief", "x.gpx", "--wind", "strong"], "--wind: 'strong' is not a wind"),
        (["debrief", "x.gpx", "--point", "here"], "--point: 'here' is not a position"),
        (["debrief", "x.gpx", "--standard", "none"], "no standard is called 'none'"),
        (["debrief", "x.gpx", "--aircraft", "none"], "no aircraft is called 'none'"),
        (["debrief", "x.gpx", "--json", "-", "--html", "-"], "-: two results cannot go to one place"),
        (["debrief", "x.gpx", "--json", "a", "--html", "./a"], "./a: two results cannot go to one place"),
        (["debrief", "x.gpx", "--wind", "240/100"], "--wind: 100 is out of range; give 0 to 99"),
        (["demo", "extra"], "nothing is expected where 'extra' stands"),
        (["debrief", "-", "x.gpx"], "standard input is one recording"),
        (["simulate", "turns-around-a-point"], "requires an argument"),
        (["simulate", "loops", "-o", "x.gpx"], "'loops' cannot be simulated"),
        (["simulate", "turns-around-a-point", "-o", "x.doc"], "x.doc"),
        (["simulate", "turns-around-a-point", "-o", "x.gpx", "--seed", "-1"], "--seed"),
        (
            ["simulate", "turns-around-a-point", "-o", "x.gpx", "--fault", "sleepy"],
            "there is no fault 'sleepy'",
        ),
        (
            ["simulate", "turns-around-a-point", "-o", "x.gpx", "--fault", "late-turn-entry=x"],
            "is not a size",
        ),
        (["simulate", "turns-around-a-point", "-o", "x.gpx", "--wind", "240/90"], "wind is too strong"),
        (
            ["simulate", "turns-around-a-point", "-o", "x.gpx", "--ias-kt", "90", "--tas-kt", "95"],
            "two airspeeds",
        ),
    ],
)
def test_wrong_usage_is_2(refused: Refused, words: list[str], says: str, tmp_path: Path) -> None:
    assert says in refused(*words, code=exits.USAGE)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "content", [b"", b"\x00\x01\x02binary", b"<html><body>sign in</body></html>", b"<gpx><trk>"]
)
def test_input_that_cannot_be_read_is_3(refused: Refused, content: bytes, tmp_path: Path) -> None:
    (tmp_path / "bad.gpx").write_bytes(content)
    assert "bad.gpx" in refused("debrief", "bad.gpx", code=exits.INPUT)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["debrief", "missing.gpx"], "missing.gpx"),
        (["wind", "missing.gpx"], "missing.gpx"),
        (["standards", "missing.toml"], "missing.toml"),
        (["aircraft", "missing.toml"], "missing.toml"),
        (["debrief", "."], "."),
    ],
)
def test_a_file_that_is_not_there_is_3(refused: Refused, words: list[str], name: str, tmp_path: Path) -> None:
    assert f"groundref: {name}:" in refused(*words, code=exits.INPUT)


def test_what_is_a_file_and_what_a_folder(refused: Refused, lesson: Path, tmp_path: Path) -> None:
    assert f"{lesson}: this is a file, not a folder" in refused(
        "demo", "--folder", str(lesson), code=exits.OUTPUT
    )
    line = refused("debrief", str(lesson), "--terrain", ".", code=exits.INPUT)
    assert ".: this is a folder, not a terrain file" in line


def test_nothing_to_work_on_is_4(refused: Refused, tmp_path: Path) -> None:
    empty = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1"><trk><trkseg></trkseg></trk></gpx>'
    (tmp_path / "empty.gpx").write_text(empty)
    refused("debrief", "empty.gpx", code=exits.NOTHING)


def test_times_outside_the_recording_are_wrong_usage(refused: Refused, lesson: Path, tmp_path: Path) -> None:
    assert "UTC" in refused("debrief", str(lesson), "--from", "23:00", code=exits.USAGE)


def test_no_maneuver_is_done(lesson: Path, tmp_path: Path) -> None:
    done = run("debrief", str(lesson), "--to", "14:08", "--json", "-", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["maneuvers"] == []


def test_what_cannot_be_written_is_73_and_nothing_is(refused: Refused, lesson: Path, tmp_path: Path) -> None:
    line = refused("debrief", str(lesson), "--json", "d.json", "--html", "no/d.html", code=exits.OUTPUT)
    assert "no/d.html: the folder does not exist" in line
    assert not list(tmp_path.iterdir())


def test_a_full_standard_output_is_73(lesson: Path, tmp_path: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "groundref", "debrief", str(lesson), "--json", "-"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == exits.OUTPUT
    assert (
        done.stderr
        == "groundref: standard output: the disk is full; make room and run it again; nothing was written\n"
    )


def test_a_closed_pipe_is_quiet(lesson: Path, tmp_path: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "groundref", "debrief", str(lesson), "--json", "-"],
        stdout=writing,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (exits.PIPE_CLOSED, b"")


def test_an_interrupt_is_quiet(tmp_path: Path) -> None:
    reading, writing = os.pipe()
    waits = subprocess.Popen(
        [sys.executable, "-m", "groundref", "debrief", "-"],
        stdin=reading,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=tmp_path,
    )
    os.close(reading)
    os.write(writing, b"<gpx>")
    time.sleep(1.5)  # until it waits for more of its input
    waits.send_signal(signal.SIGINT)
    out, error = waits.communicate(timeout=20)
    os.close(writing)
    assert (waits.returncode, out, error) == (exits.INTERRUPTED, b"", b"")


DEFECT = """
import sys
from groundref.cli import standards
from groundref.cli.main import main
import groundref.standards.loading as loading
def broken(): raise RuntimeError("first line\\nsecond line")
loading.standard_names = broken
sys.exit(main(["standards"]))
"""


def test_a_defect_of_ours_is_70_and_says_how_to_report_it(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", DEFECT], capture_output=True, text=True, cwd=tmp_path, check=False
    )
    assert done.returncode == exits.DEFECT
    first, second = done.stderr.splitlines()
    assert "a defect of groundref" in first
    assert "first line second line" in first
    assert "CONTRIBUTING.md" in second
    assert (ROOT / "CONTRIBUTING.md").read_text("utf-8").count("## Reporting a defect") == 1


def test_a_defect_shows_its_traceback_when_asked(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", DEFECT],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        check=False,
        env={**os.environ, exits.SHOW_TRACEBACK: "1"},
    )
    assert "Traceback (most recent call last)" in done.stderr


def test_the_table_of_exit_codes_stands_in_the_page() -> None:
    page = (ROOT / "docs" / "commands.md").read_text("utf-8")
    for code in {exits.DONE, exits.DEFECT, *(code for _, code in exits.CODES)}:
        assert f"| {code} |" in page


@pytest.mark.parametrize("seed", [4, 7])
def test_an_airspeed_hidden_in_step_with_the_laps_is_not_called_held(seed: int, tmp_path: Path) -> None:
    """12 kt lost and regained once a lap looks like wind to a phone: the verdict stays open."""
    fault = ("--radius-ft", "1800", "--fault", "airspeed-not-held=12", "--seed", str(seed))
    run("simulate", "turns-around-a-point", *fault, "-o", "lesson.gpx", cwd=tmp_path)
    done = run("debrief", "lesson.gpx", "--json", "-", cwd=tmp_path)
    (maneuver,) = json.loads(done.stdout)["maneuvers"]
    verdicts = {each["verdict"] for each in maneuver["elements"] if each["unit"] == "kt"}
    assert verdicts == {"undetermined"}
