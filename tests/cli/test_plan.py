"""``groundref plan`` as a user types it: one wind out of many sources, and what is refused."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from groundref.cli import main

METAR = "METAR KXYZ 121753Z 24014G22KT 10SM SCT045 22/12 A2992"
POINT = "turns-around-a-point"


@pytest.fixture
def planned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Any:
    monkeypatch.chdir(tmp_path)

    def run(*words: str, maneuver: str = POINT) -> Any:
        assert main(["plan", maneuver, *words, "--json", "-"]) == 0, capsys.readouterr().err
        return json.loads(capsys.readouterr().out)

    return run


def wind_of(plan: Any) -> tuple[float, float]:
    return plan["inputs"]["wind_from_deg"], plan["inputs"]["wind_kt"]


def assumed(plan: Any) -> str:
    return " ".join(plan["inputs"]["assumptions"])


def test_a_typed_wind_with_gusts(planned: Any) -> None:
    plan = planned("--wind", "240/14G22")
    assert wind_of(plan) == (240.0, 14.0)
    assert plan["inputs"]["gust_kt"] == 22.0
    assert planned("--wind", "240/14")["inputs"]["gust_kt"] is None


def test_a_metar_gives_wind_temperature_and_setting(planned: Any) -> None:
    """Power law over open ground: 14 kt (80/1)^... to 800 ft = 243.84 m, (24.384)^(1/7) = 1.5782: 22.1 kt."""
    plan = planned("--metar", METAR.replace("A2992", "A3012"), "--elevation-ft", "620")
    assert wind_of(plan) == (240.0, pytest.approx(14 * 24.384 ** (1 / 7), abs=0.05))
    assert plan["inputs"]["oat_c"] == pytest.approx(22 - 0.0065 * 800 * 0.3048, abs=0.05)
    assert plan["inputs"]["altimeter_inhg"] == 30.12
    assert "by the power law over open ground (exponent 0.14)" in assumed(plan)
    assert "No turn of the wind with height is assumed." in assumed(plan)
    assert "the METAR's 22 °C and the standard lapse" in assumed(plan)
    given = planned("--metar", METAR, "--oat-c", "5", "--altimeter-hpa", "1000")
    assert (given["inputs"]["oat_c"], given["inputs"]["altimeter_inhg"]) == (5.0, 29.53)
    assert "standard lapse" not in assumed(given)


def test_surface_law_and_veer(planned: Any) -> None:
    plan = planned("--metar", METAR, "--surface", "suburb", "--growth", "log", "--veer-deg", "20")
    # U = U10 ln(243.84/0.5) / ln(10/0.5)
    assert wind_of(plan) == (260.0, pytest.approx(14 * 6.18966 / 2.99573, abs=0.05))


def test_winds_aloft_between_the_metar_and_a_level(planned: Any) -> None:
    """10 m + 700 ft to 3,000 ft: 1,000 ft above the ground lies 294.8 m of 691.04 m up."""
    words = ("--metar", METAR.replace("G22", ""), "--elevation-ft", "700", "--height-ft", "1000")
    plan = planned(*words, "--winds-aloft", "2418+05@3000")
    assert wind_of(plan) == (240.0, pytest.approx(14 + 4 * 294.8 / 691.04, abs=0.05))
    two = planned(
        "--elevation-ft", "3000", "--height-ft", "1000", "--winds-aloft", "1830-02@6000", "--winds-aloft",
        "2730@3500ft",
    )  # fmt: skip
    # A fifth of the way by vector: 24 kt from the west and 6 kt from the south.
    assert wind_of(two) == (pytest.approx(256.0, abs=0.05), pytest.approx(24.74, abs=0.05))
    assert two["inputs"]["oat_c"] == pytest.approx(-2 + 0.0065 * 2000 * 0.3048, abs=0.05)


def test_a_wind_measured_in_flight(planned: Any, tmp_path: Path) -> None:
    stretch = {"start": "2026-05-01T12:00:00.000Z", "end": "2026-05-01T12:10:00.000Z", "from_deg": 250.0}
    stretch |= {"speed_kt": 17.0, "north_sd_kt": 0.5, "east_sd_kt": 0.4}
    Path("wind.json").write_text(json.dumps({"schema": "groundref/wind/1", "wind": [stretch]}), "utf-8")
    plan = planned("--wind-file", "wind.json")
    assert wind_of(plan) == (250.0, 17.0)
    assert plan["inputs"]["wind_sd_kt"] == 0.5
    assert "measured in flight on 1 May 2026" in plan["inputs"]["wind_how"]


def test_magnetic_directions(planned: Any) -> None:
    """Variation at 40.1, −90.2 on 1 May 2026 by the World Magnetic Model: 2.1° west (docs/weather.md)."""
    place = ("--point", "40.1,-90.2", "--when", "2026-05-01", "--wind", "240/14")
    plan = planned(*place, "--magnetic", "--course-deg", "10", maneuver="s-turns")
    assert plan["inputs"]["variation_deg"] == -2.1
    assert plan["inputs"]["wind_from_deg"] == pytest.approx(237.9, abs=0.05)
    assert plan["inputs"]["course_deg"] == pytest.approx(7.9, abs=0.05)
    assert planned(*place)["inputs"]["wind_from_deg"] == 240.0
    given = planned("--wind", "240/14", "--variation-deg", "5", "--magnetic")
    assert given["inputs"]["wind_from_deg"] == 245.0


def test_the_mass_moves_the_stall(planned: Any) -> None:
    """Speeds go with the root of the mass."""
    heavy, light = planned("--mass-kg", "1050"), planned("--mass-kg", "800")
    ratio = light["stall_speed_at_bank_max_kt"] / heavy["stall_speed_at_bank_max_kt"]
    assert ratio == pytest.approx((800 / 1050) ** 0.5, abs=0.002)
    assert light["inputs"]["mass_kg"] == 800.0


REFUSED = [
    (("--wind", "240/14", "--wind-file", "w.json"), 2, "--wind and --wind-file give a wind each"),
    (("--wind", "240/14G10"), 2, "10 is out of range; give 14 to 150"),
    (("--wind", "VRB05"), 2, "'VRB05' has no direction"),
    (("--wind", "nan/14"), 2, "is not a wind"),
    (("--wind", "240/inf"), 2, "is not a wind"),
    (("--wind", "240/95"), 2, "is not less than the true airspeed of 91 kt"),
    (("--wind", "240/88"), 2, "needs 67° of bank"),
    (
        ("--radius-ft", "300"),
        2,
        "is no training maneuver; fly 740 ft (226 m) or more, which needs 45°",
    ),
    (("--metar", "EGXX 121753Z VRB03KT 22/12 Q1013"), 3, "no direction is known of this wind"),
    (("--metar", "EGXX 121753Z AUTO /////KT //// 22/12 Q1013"), 3, "the wind is missing from the report"),
    (("--metar", "EGXX 121753Z AUTO //// // ////// ///"), 3, "the wind is missing from the report"),
    (("--metar", "TAF EGXX 121753Z 1218/1318 24014KT"), 3, "this is a TAF, a forecast"),
    (("--metar", "EG1 121753Z 24014KT 22/12 Q1013"), 3, "'EG1' is not the four letters of a station"),
    (("--metar", "EGXX 121753Z 24014 22/12 Q1013"), 3, "has no unit"),
    (("--metar", ""), 3, "there is no report"),
    (("--metar", METAR, "--surface", "moon"), 2, "--surface: there is no surface 'moon'; choose water"),
    (("--metar", METAR, "--growth", "cubic"), 2, "--growth: there is no law 'cubic'"),
    (("--metar", METAR, "--veer-deg", "120"), 2, "--veer-deg: 120 is out of range"),
    (("--veer-deg", "10"), 2, "only the wind of a METAR is carried up"),
    (("--winds-aloft", "9900@3000"), 3, "no direction is known of this wind"),
    (("--winds-aloft", "2412+05"), 2, "has no level"),
    (("--winds-aloft", "2412+05@x"), 2, "'x' is not a level"),
    (("--winds-aloft", "2412+05@nan"), 2, "--winds-aloft, level: nan is out of range"),
    (("--winds-aloft", "2412+05@-50"), 2, "--winds-aloft, level: -50 is out of range; give 500 to 60000"),
    (("--winds-aloft", "2412+05@3000", "--winds-aloft", "2512+05@3000"), 2, "a level is given twice"),
    (("--winds-aloft", "2412@3000", "--elevation-ft", "3200"), 3, "below the ground"),
    (("--wind-file", "none.json"), 3, "cannot be opened"),
    (("--magnetic", "--wind", "240/14"), 2, "the magnetic variation is not known"),
    (("--point", "40.1,-90.2", "--when", "2031-01-01"), 2, "--when: 2031-01-01 is outside the span"),
    (
        ("--metar", METAR, "--wind", "200/10", "--surface", "city"),
        2,
        "leave it out: the wind is taken from --wind",
    ),
    (
        ("--metar", METAR + " KABC 121755Z 20010KT 10SM 20/10 A2990"),
        3,
        "this is more than one report; give one",
    ),
    (("--metar", METAR.replace("24014", "24O14")), 3, "24O14G22KT has the letter O among its digits"),
    (
        ("--metar", METAR.replace("22/12", "12/22")),
        3,
        "the dew point of 22 °C is above the temperature of 12 °C",
    ),
    (("--metar", METAR.replace("24014G22", "36060G80")), 2, "--metar: a wind of 95 kt"),
    (("--course-deg", "60"), 2, "--course-deg: a turn around a point has no line"),
    (("--spacing-ft", "3000"), 2, "--spacing-ft: this maneuver has no distance to choose"),
    (("--paper", "a5"), 2, "--paper: only the brief has use for it; give --pdf too"),
    (("--pdf", "x.txt"), 2, "--pdf: x.txt does not end in .pdf"),
    (("--svg", "x.jpg"), 2, "--svg: x.jpg does not end in .svg"),
    (("--landing", "40.1,-90.2"), 2, "--landing: its latitude and longitude are of no use"),
    (("--surroundings", "forest"), 2, "--surroundings: 'forest' is none of the surroundings"),
    (("--ladder", "none.json"), 3, "none.json: there is no such file"),
    (("--when", "May"), 2, "'May' is not a day"),
    (("--altimeter-inhg", "29.92", "--altimeter-hpa", "1013"), 2, "two altimeter settings"),
    (("--ias-kt", "90", "--tas-kt", "95"), 2, "two airspeeds"),
    (("--mass-kg", "5000"), 2, "5000 kg lies outside 740 to 1,050 kg"),
    (("--direction", "up"), 2, "'up' is not a direction"),
    (("--aircraft", "none.toml"), 3, "none.toml"),
]


@pytest.mark.parametrize(("words", "code", "says"), REFUSED, ids=lambda one: str(one)[:40])
def test_what_is_refused_is_said_in_one_sentence(
    words: tuple[str, ...],
    code: int,
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "w.json").write_text("{}", "utf-8")
    assert main(["plan", POINT, *words]) == code
    printed = capsys.readouterr()
    (line,) = printed.err.splitlines()
    assert says in line
    assert printed.out == ""


NUMBERS = ("ias-kt", "tas-kt", "mass-kg", "radius-ft", "max-bank-deg", "height-ft", "laps", "course-deg")
NUMBERS += ("spacing-ft", "elevation-ft", "oat-c", "altimeter-inhg", "altimeter-hpa", "variation-deg")


@pytest.mark.parametrize("value", ["nan", "inf", "-inf"])
@pytest.mark.parametrize("option", NUMBERS)
def test_numbers_that_are_not_finite_are_refused(
    option: str, value: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", POINT, f"--{option}", value]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert f"--{option}: {value} is out of range" in line


@pytest.mark.parametrize(
    ("maneuver", "words", "says"),
    [
        (
            "eights-on-pylons",
            ("--height-ft", "1500"),
            "--height-ft: on pylons the height follows from the speed",
        ),
        ("steep-turns", ("--radius-ft", "1500"), "--radius-ft: steep turns hold a bank and no radius"),
        (
            "eights-around-pylons",
            ("--spacing-ft", "2000"),
            "--spacing-ft: loops of 1,200 ft (365.8 m) overlap",
        ),
        (
            "eights-around-pylons",
            ("--spacing-ft", "2000"),
            "choose 2,400 ft (732 m) or more, or a radius of 1,000 ft",
        ),
        (
            "rectangular-course",
            ("--spacing-ft", "1000"),
            "--spacing-ft: the longer side of 1,000 ft (304.8 m) is shorter",
        ),
    ],
)
def test_what_a_maneuver_has_no_use_for_is_refused(
    maneuver: str, words: tuple[str, ...], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", maneuver, "--wind", "240/14", *words]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert says in line


def test_what_was_written_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["plan", POINT, "--wind", "240/14", "--json", "plan.json", "--svg", "plan.svg"]) == 0
    assert capsys.readouterr().out.endswith("Written: plan.json\nWritten: plan.svg\n")


def test_the_day_of_a_metar_is_said_and_its_time_is_not_that_of_the_flight(planned: Any) -> None:
    plan = planned("--metar", METAR, "--point", "40.1,-90.2")
    assert "-12: that of the METAR, month and year by this computer's clock." in assumed(plan)
    assert plan["safety"]["daylight"] is None
    dated = planned("--metar", METAR, "--point", "40.1,-90.2", "--when", "2026-05-12")
    assert "computer's clock" not in assumed(dated)


def test_a_wind_above_where_the_laws_hold_is_called_a_guess(planned: Any) -> None:
    said = assumed(planned("--metar", METAR, maneuver="steep-turns"))
    assert "at 2,000 ft (610 m) above the ground by the power law" in said
    assert "the wind at 2,500 ft (762 m) is a guess and taken as at 2,000 ft" in said
    assert "above 1,000 ft" not in assumed(planned("--metar", METAR))


def test_the_air_over_pylons_is_that_of_the_height_flown(planned: Any) -> None:
    """Pivotal height V²/g in still air; the wind of the METAR is carried there, and no other is assumed."""
    plan = planned("--metar", METAR.replace("G22", ""), "--elevation-ft", "620", maneuver="eights-on-pylons")
    height = (plan["tas_kt"] * 1852 / 3600) ** 2 / 9.80665 / 0.3048
    assert plan["inputs"]["height_ft"] == pytest.approx(height, abs=1.5)
    assert re.search(rf"kt \(\d+ km/h\) at {height:,.0f} ft", assumed(plan))
    assert "above the ground." not in assumed(plan).replace("above the ground by", "")
    heights = [each["height_agl_ft"] for each in plan["positions"]]
    assert min(heights) < height < max(heights)
