"""Places, parts and standards that cannot be, and maneuvers that were cut off: sentences and honest nulls."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from groundref import standards
from groundref.asking.places import away
from groundref.cli import exits, main
from groundref.simulation.shapes import APPLYING, SHAPES

Captured = pytest.CaptureFixture[str]
SQUARE = "40.1,-90.2,40.11,-90.2,40.11,-90.187,40.1,-90.187"
PYLONS = "40.1,-90.2,40.11,-90.2"
PRIVATE = Path(standards.__file__).with_name("private-pilot.toml").read_text("utf-8")
CUTS = (0.12, 0.3, 0.5, 0.75, 0.95)
OPTION = {"point": "--point", "line": "--line", "rectangle": "--corners", "pylons": "--pylons"}


class Flights:
    """Simulated lessons with their truth, each flown once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def recording(self, kind: str, *words: str) -> str:
        path = self.folder / f"{'_'.join((kind, *words))}.gpx"
        if not path.exists():
            code = main(
                ["simulate", kind, *words, "-o", str(path), "--truth", str(path.with_suffix(".json"))]
            )
            assert code == exits.DONE
        return str(path)

    def truth(self, kind: str) -> dict[str, Any]:
        document = json.loads(Path(self.recording(kind)).with_suffix(".json").read_text("utf-8"))
        maneuver: dict[str, Any] = document["maneuvers"][0]
        return maneuver


@pytest.fixture(scope="module")
def flights(tmp_path_factory: pytest.TempPathFactory) -> Flights:
    """Return the lessons."""
    return Flights(tmp_path_factory.mktemp("flights"))


def debriefed(folder: Path, *words: str) -> list[dict[str, Any]]:
    """Return the maneuvers of a debrief with its page and its series, all of which must be made."""
    out = {"--json": "d.json", "--html": "d.html", "--series": "d.csv"}
    files = [word for option, name in out.items() for word in (option, str(folder / name))]
    assert main(["debrief", *words, *files]) == exits.DONE
    maneuvers: list[dict[str, Any]] = json.loads((folder / "d.json").read_text("utf-8"))["maneuvers"]
    return maneuvers


def refused(captured: Captured, *words: str, code: int = exits.USAGE) -> str:
    captured.readouterr()
    assert main(words) == code
    printed = captured.readouterr()
    assert printed.out == ""
    (line,) = printed.err.splitlines()
    assert line.startswith("groundref: ")
    return line.removeprefix("groundref: ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["--line", "40.1,-90.2"],
            "--line: '40.1,-90.2' has 2 numbers in place of 4; write latitude,longitude",
        ),
        (["--line", "40.1,-90.2,40.1,-90.2"], "--line: the two places on the line are 0 m apart; give 100 m"),
        (["--line", "40.1,-90.2,40.1005,-90.2"], "--line: the two places on the line are 56 m apart"),
        (["--line", "40.1,-90.2,40.11,90.2"], "--line: the two places on the line are 6,0"),
        (["--line", "40.1,-90.2,91,-90.2"], "--line: '91,-90.2' does not lie on the earth; write"),
        (["--line", "nan,-90.2,40.1,-90.2"], "--line: 'nan,-90.2' does not lie on the earth; write"),
        (["--line", "here,there,40.1,-90.2"], "--line: 'here,there,40.1,-90.2' is not a position; write"),
        (["--corners", PYLONS], "--corners: '40.1,-90.2,40.11,-90.2' has 4 numbers in place of 8; write"),
        (
            ["--corners", "40.1,-90.2,40.11,-90.187,40.11,-90.2,40.1,-90.187"],
            "--corners: the sides of the rectangle cross each other; give the four corners in order round it",
        ),
        (
            ["--corners", "40.1,-90.2,40.1,-90.2,40.11,-90.187,40.1,-90.187"],
            "--corners: two neighboring corners",
        ),
        (
            ["--corners", "40.1,-90.2,40.11,-90.2,40.13,-90.187,40.1,-90.187"],
            "--corners: these corners are not",
        ),
        (
            ["--pylons", "40.1,-90.2,40.1,-90.199883"],
            "--pylons: the pylons are 10 m apart; give 100 m or more",
        ),
        (["--pylons", "40.1,-90.2"], "--pylons: '40.1,-90.2' has 2 numbers in place of 4; write"),
        (["--runway", "40.1,-90.2,40.1,-90.2"], "--runway: the two ends of the runway lie 0 m apart; give"),
        (["--runway", "40.1,-90.2"], "--runway: '40.1,-90.2' has 2 numbers in place of 4; write"),
        (
            ["--pylon-ft", "620,640"],
            "--pylon-ft: the pylons that stand on this ground are not given; give --pyl",
        ),
        (
            ["--pylons", PYLONS, "--pylon-ft", "620"],
            "--pylon-ft: '620' are not two elevations; write one in feet",
        ),
        (
            ["--pylons", PYLONS, "--pylon-ft", "620,x"],
            "--pylon-ft: '620,x' are not two elevations; write one",
        ),
        (
            ["--pylons", PYLONS, "--pylon-ft", "620,1e9"],
            "--pylon-ft: 1e+09 is out of range; give -2000 to 30000",
        ),
    ],
)
def test_places_that_cannot_be_are_refused_before_anything_is_read(
    capsys: Captured, words: list[str], said: str
) -> None:
    assert refused(capsys, "debrief", "not-even-there.gpx", *words).startswith(said)


def test_distance_from_an_outline() -> None:
    # A rectangle of 300 by 400 m: beside a side, beyond a corner (3-4-5), inside, on it.
    corners = np.array([0.0, 300.0, 300.0, 0.0]), np.array([0.0, 0.0, 400.0, 400.0])
    east, north = np.array([-50.0, 303.0, 100.0, 150.0]), np.array([200.0, 404.0, 200.0, 0.0])
    assert away(east, north, *corners) == pytest.approx([50.0, 5.0, 100.0, 0.0])
    point = np.array([10.0]), np.array([20.0])
    assert away(np.array([13.0]), np.array([24.0]), *point) == pytest.approx([5.0])


def given(reference: dict[str, Any], north: float = 0.0) -> list[str]:
    """Return the option that states the true reference, moved north by some degrees."""
    kind = reference["type"]
    if kind == "point":
        places = [[reference["lat"], reference["lon"]]]
    else:
        places = reference[{"line": "ends", "rectangle": "corners", "pylons": "points"}[kind]]
    numbers = (
        f"{value + moved:.7f}" for place in places for value, moved in zip(place, (north, 0), strict=True)
    )
    return [OPTION[kind], ",".join(numbers)]


@pytest.mark.parametrize("kind", [kind for kind in SHAPES if kind != "steep-turns"])
def test_places_that_were_given_are_used(
    flights: Flights, tmp_path: Path, capsys: Captured, kind: str
) -> None:
    lesson, words = flights.recording(kind), given(flights.truth(kind)["reference"])
    capsys.readouterr()
    (maneuver,) = debriefed(tmp_path, lesson, *words)
    assert capsys.readouterr().err == ""
    assert maneuver["kind"] == kind
    assert maneuver["reference"]["source"] == "given"


# The simulator's invented airfield has a runway of 900 m; the way home ends on it, into the wind from 240°.
RUNWAY = "40.05517,-90.27161,40.05111,-90.28074"


def test_the_runway_reaches_the_debrief(flights: Flights, tmp_path: Path, capsys: Captured) -> None:
    lesson = flights.recording("s-turns")
    capsys.readouterr()
    debriefed(tmp_path, lesson, "--runway", RUNWAY)
    assert capsys.readouterr().err == ""
    (pattern,) = json.loads((tmp_path / "d.json").read_text("utf-8"))["traffic_patterns"]
    assert pattern["runway_bearing_deg"] == pytest.approx(240, abs=0.5)
    assert pattern["direction"] == "left"
    assert [leg["name"] for leg in pattern["legs"]][-3:] == ["downwind", "base", "final"]


@pytest.mark.parametrize(
    ("runway", "said"),
    [
        ("40.1,-90.2,40.1,-90.21", "it was not used"),
        (
            "41.1,-90.3,41.1,-90.29",
            r"it lies [56]\d\.\d NM from the nearest place of the flight; check latitude",
        ),
    ],
)
def test_a_runway_that_was_not_flown_to(
    flights: Flights, tmp_path: Path, capsys: Captured, runway: str, said: str
) -> None:
    lesson = flights.recording("s-turns")
    capsys.readouterr()
    debriefed(tmp_path, lesson, "--runway", runway)
    (line,) = capsys.readouterr().err.splitlines()
    assert re.match(rf"groundref: warning: --runway: no circuit of this runway was found; {said}", line)
    assert json.loads((tmp_path / "d.json").read_text("utf-8"))["traffic_patterns"] == []


def test_pylons_above_the_airplane_are_refused(flights: Flights, capsys: Captured) -> None:
    words = given(flights.truth("eights-on-pylons")["reference"])
    lesson = flights.recording("eights-on-pylons")
    line = refused(capsys, "debrief", lesson, *words, "--pylon-ft", "600,5000")
    assert re.match(r"--pylon-ft: the airplane, at 1,\d{3} ft, would be 3,\d{3} ft below this ground;", line)


def test_elevations_of_the_pylons_reach_the_debrief(flights: Flights, tmp_path: Path) -> None:
    words = given(flights.truth("eights-on-pylons")["reference"])
    lesson = flights.recording("eights-on-pylons")
    (maneuver,) = debriefed(tmp_path, lesson, *words, "--pylon-ft", "600,640")
    # The simulator's first pylon is the one turned about first.
    assert maneuver["reference"]["elevations_ft"] == [600, 640]


@pytest.mark.parametrize("kind", [kind for kind in SHAPES if kind != "steep-turns"])
@pytest.mark.parametrize(
    ("north", "said"),
    [
        (0.013, r" (lies?|stands?) 0\.\d NM from .* fitted .*used instead"),
        (1.0, r" (lies?|stands?) 5\d\.\d NM from the nearest place of the flight; check latitude, longitude"),
    ],
)
def test_places_far_from_what_was_flown_are_not_used_and_warned_of(
    flights: Flights, tmp_path: Path, capsys: Captured, kind: str, north: float, said: str
) -> None:
    lesson, (option, places) = flights.recording(kind), given(flights.truth(kind)["reference"], north)
    capsys.readouterr()
    (maneuver,) = debriefed(tmp_path, lesson, option, places)
    (line,) = capsys.readouterr().err.splitlines()
    assert re.match(rf"groundref: warning: {option}: th[a-z]+ [a-z]+{said}", line), line
    assert maneuver["reference"]["source"] == "fitted"
    assert maneuver["reference"]["type"] == flights.truth(kind)["reference"]["type"]


@pytest.mark.parametrize(
    ("words", "about"),
    [
        (["--line", "40.09,-90.2,40.11,-90.2"], "a line"),
        (["--corners", SQUARE], "a rectangle"),
        (["--pylons", PYLONS], "two pylons"),
    ],
)
def test_places_for_a_maneuver_that_was_not_flown_are_warned_of(
    flights: Flights, tmp_path: Path, capsys: Captured, words: list[str], about: str
) -> None:
    lesson = flights.recording("turns-around-a-point")
    capsys.readouterr()
    (maneuver,) = debriefed(tmp_path, lesson, *words)
    said = f"groundref: warning: {words[0]}: no maneuver about {about} was found; it was not used\n"
    assert capsys.readouterr().err == said
    assert maneuver["kind"] == "turns-around-a-point"


@pytest.mark.parametrize("side", ["--to", "--from"])
@pytest.mark.parametrize("kind", SHAPES)
def test_a_flight_cut_in_the_middle_of_a_maneuver(
    flights: Flights, tmp_path: Path, capsys: Captured, kind: str, side: str
) -> None:
    """What is left is the maneuver, with fewer laps, or nothing; never more than was recorded."""
    lesson, truth = flights.recording(kind), flights.truth(kind)
    start, end = (datetime.fromisoformat(truth[name]) for name in ("start", "end"))
    for part in CUTS:
        cut = start + part * (end - start)
        capsys.readouterr()
        maneuvers = debriefed(tmp_path, lesson, side, f"{cut:%Y-%m-%dT%H:%M:%SZ}")
        assert capsys.readouterr().err == ""
        assert len(maneuvers) <= 1
        for each in maneuvers:
            # What is left may look like another kind as well; then that is said.
            named = {each["kind"], *(other["kind"] for other in each["alternatives"])}
            lone_loop = kind.startswith("eights") and len(each["laps"]) == 1
            assert kind in named or (lone_loop and each["kind"] == "turns-around-a-point")
            assert len(each["laps"]) <= len(truth["laps"])
            first, last = (datetime.fromisoformat(each[name]) for name in ("start", "end"))
            slack = timedelta(seconds=1)
            assert last <= cut + slack if side == "--to" else first >= cut - slack
            if side == "--from" and part > 0.2:  # the way in is not in the recording
                assert each["entry"]["track_deg"] is None or not each["entry"]["recorded"] or last > cut


@pytest.mark.parametrize(
    ("kind", "laps"),
    [
        ("turns-around-a-point", "0.5"),
        ("s-turns", "1"),
        ("rectangular-course", "0.5"),
        ("eights-on-pylons", "0.5"),
        ("eights-around-pylons", "0.5"),
        ("eights-across-a-road", "0.5"),
    ],
)
def test_half_of_a_maneuver_is_none(flights: Flights, tmp_path: Path, kind: str, laps: str) -> None:
    assert debriefed(tmp_path, flights.recording(kind, "--laps", laps)) == []


def test_a_standard_with_an_unknown_maneuver(flights: Flights, tmp_path: Path, capsys: Captured) -> None:
    own = tmp_path / "own.toml"
    own.write_text(PRIVATE.replace('kind = "s-turns"', 'kind = "figure-nines"'), "utf-8")
    lesson = flights.recording("s-turns")
    for words in (["standards", str(own)], ["debrief", lesson, "--standard", str(own)]):
        line = refused(capsys, *words, code=exits.INPUT)
        assert re.match(
            rf"{re.escape(str(own))}: task \d, kind: there is no maneuver 'figure-nines'; take", line
        )


def test_what_a_standard_prints_no_limit_for_is_not_judged(flights: Flights, tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(re.sub(r"^limit = 100?\n", "", PRIVATE, flags=re.MULTILINE), "utf-8")
    lesson = flights.recording("s-turns")
    (own_elements,) = (each["elements"] for each in debriefed(tmp_path, lesson, "--standard", str(own)))
    (elements,) = (each["elements"] for each in debriefed(tmp_path, lesson))
    without = [now for was, now in zip(elements, own_elements, strict=True) if was["limit"] in (10, 100)]
    assert len(without) >= 2
    assert {(each["verdict"], each["limit"]) for each in without} == {("undetermined", None)}
    assert all(each["why"] for each in without)


def test_a_height_band_without_its_ends(flights: Flights, tmp_path: Path, capsys: Captured) -> None:
    own = tmp_path / "own.toml"
    own.write_text(PRIVATE.replace("limit = 1000\n", ""), "utf-8")
    lesson = flights.recording("s-turns")
    line = refused(capsys, "debrief", lesson, "--standard", str(own), code=exits.INPUT)
    assert re.search(
        r"own\.toml: task 1, element 1, limit: a height band needs both ends; give `minimum` and", line
    )


def test_a_standard_that_says_nothing_of_the_maneuver(flights: Flights, tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    head, *tasks = PRIVATE.split("[[task]]\n")
    others = [task for task in tasks if 'kind = "s-turns"' not in task]
    own.write_text("[[task]]\n".join([head, *others]), "utf-8")
    (maneuver,) = debriefed(tmp_path, flights.recording("s-turns"), "--standard", str(own))
    assert maneuver["elements"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["figure-nines"],
            "maneuver: 'figure-nines' cannot be simulated; choose turns-around-a-point, s-turns",
        ),
        (["s-turns+"], "maneuver: '' cannot be simulated; choose"),
        (
            ["+".join(["s-turns"] * 13)],
            "maneuver: 13 maneuvers are more than a lesson holds; name 12 or fewer",
        ),
        (
            ["turns-around-a-point", "--course-deg", "30"],
            "--course-deg: a turn around a point has no line; leave",
        ),
        (["s-turns", "--course-deg", "361"], "--course-deg: 361 is out of range; give 0 to 360"),
        (
            ["s-turns", "--spacing-ft", "3000"],
            "--spacing-ft: this maneuver has no distance to choose; leave it",
        ),
        (["eights-on-pylons", "--spacing-ft", "30"], "--spacing-ft: 30 is out of range; give 500 to 50000"),
        (["s-turns", "--height-ft", "30"], "--height-ft: 30 is out of range; give 200 to 10000"),
        (["s-turns", "--laps", "0"], "--laps: the number of laps is out of range; choose 0.25 to 100"),
        (
            ["s-turns", "--fault", "steep-turns:altitude-not-held"],
            "--fault steep-turns:altitude-not-held: 'steep-turns' is not flown in this lesson; name one of",
        ),
        (
            ["s-turns", "--fault", "altitude-not-held=high"],
            "--fault altitude-not-held: 'high' is not a size; write",
        ),
        (
            ["s-turns", "--fault", "rollout-heading-missed"],
            "--fault: rollout-heading-missed cannot be committed in",
        ),
        (
            ["s-turns+steep-turns", "--fault", "steep-turns:unequal-half-circles"],
            "steep-turns: --fault: unequal-half-circles cannot be committed in steep-turns; choose among",
        ),
        (
            ["turns-around-a-point+s-turns", "--fault", "no-such"],
            "--fault: there is no fault 'no-such'; choose among",
        ),
        (["steep-turns+s-turns", "--radius-ft", "300"], "s-turns: --radius-ft: these half circles need "),
        (
            ["rectangular-course", "--radius-ft", "200", "--tas-kt", "160"],
            "--radius-ft: the field is too small: ",
        ),
    ],
)
def test_what_cannot_be_simulated(capsys: Captured, tmp_path: Path, words: list[str], said: str) -> None:
    assert refused(capsys, "simulate", *words, "-o", str(tmp_path / "x.gpx")).startswith(said)
    assert not list(tmp_path.iterdir())


def test_a_lesson_of_many_parts_with_errors_in_some(tmp_path: Path) -> None:
    lesson, truth = str(tmp_path / "lesson.gpx"), tmp_path / "truth.json"
    errors = ["--fault", "s-turns:overbanked-upwind=7", "--fault", "altitude-not-held"]
    parts = ["s-turns", "turns-around-a-point", "steep-turns"]
    assert main(["simulate", "+".join(parts), "-o", lesson, "--truth", str(truth), *errors]) == exits.DONE
    document = json.loads(truth.read_text("utf-8"))
    committed = [{each["fault"]: each["size"] for each in one["faults"]} for one in document["maneuvers"]]
    held = {"altitude-not-held": 200}
    assert committed == [{"overbanked-upwind": 7, **held}, held, held]
    assert [each["fault"] for each in document["faults"]] == ["overbanked-upwind", *["altitude-not-held"] * 3]
    found = debriefed(tmp_path, lesson)
    assert [each["kind"] for each in found] == parts == [one["kind"] for one in document["maneuvers"]]
    # Well apart: no two about places less than 3 km from each other.
    places = [one["reference"] for one in document["maneuvers"][:2]]
    assert abs(places[0]["lon"] - places[1]["lon"]) * 85.0 > 3.0  # 85 km to a degree at 40° N


def test_the_help_names_every_maneuver_that_can_be_simulated(capsys: Captured) -> None:
    assert main(["simulate", "--help"]) == exits.DONE
    shown = re.sub(r"[│\s]+", " ", capsys.readouterr().out)
    assert all(kind in shown for kind in SHAPES)
    assert SHAPES.keys() == APPLYING.keys()


@pytest.mark.parametrize("command", ["plan", "debrief", "simulate", "wind", "standards", "aircraft", "demo"])
def test_no_hyphen_of_the_help_is_shown_as_a_list(command: str, capsys: Captured) -> None:
    assert main([command, "--help"]) == exits.DONE
    assert "•" not in capsys.readouterr().out


def test_the_help_speaks_of_both_before_and_after_the_flight(capsys: Captured) -> None:
    assert main(["--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Plan ground reference maneuvers" in said
    assert "before and after the flight" in said
