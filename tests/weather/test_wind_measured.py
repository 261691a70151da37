"""The wind of the last flight, from the JSON of `groundref wind`."""

from __future__ import annotations

import json
from math import degrees
from pathlib import Path
from typing import Any

import pytest

from groundref.cli import main
from groundref.errors import InputError
from groundref.weather.wind_measured import from_measured

KNOT = 1852 / 3600


def stretch(**other: object) -> dict[str, Any]:
    usual = {"from_deg": 239.1, "speed_kt": 12.05, "north_sd_kt": 1.5, "east_sd_kt": 1.4}
    times = {"start": "2026-05-01T14:05:00.000Z", "end": "2026-05-01T14:09:59.000Z"}
    return {**usual, **times, **other}


def document(*stretches: object, schema: str = "groundref/wind/1") -> str:
    return json.dumps({"schema": schema, "wind": list(stretches)})


def test_the_best_known_wind_is_taken() -> None:
    rough = stretch(from_deg=20.0, north_sd_kt=3.0, east_sd_kt=0.1)
    best = stretch(from_deg=238.0, north_sd_kt=0.6, east_sd_kt=0.7)
    for schema in ("groundref/wind/1", "groundref/debrief/1"):
        wind = from_measured(document(rough, best, stretch(), schema=schema), "wind.json")
        assert wind.direction_from is not None
        assert degrees(wind.direction_from) == pytest.approx(238.0)
        assert (wind.speed, wind.sd) == (pytest.approx(12.05 * KNOT), pytest.approx(0.7 * KNOT))
        assert (wind.height, wind.gust) == (None, None)
    assert wind.how == "measured in flight on 1 May 2026, 14:05 to 14:09 UTC: 238° at 12 kt (±0.7 kt)"


def test_what_the_command_writes_is_read(tmp_path: Path) -> None:
    """A simulated lesson in 240° at 12 kt gives that wind back within three of its own deviations."""
    lesson, written = tmp_path / "lesson.gpx", tmp_path / "wind.json"
    assert main(["simulate", "turns-around-a-point", "--wind", "240/12", "-o", str(lesson)]) == 0
    assert main(["wind", str(lesson), "--json", str(written)]) == 0
    wind = from_measured(written.read_text("utf-8"), "wind.json")
    assert wind.sd is not None
    assert wind.direction_from is not None
    assert abs(wind.speed - 12 * KNOT) < 3 * wind.sd
    assert abs(degrees(wind.direction_from) - 240) < 3 * degrees(wind.sd / wind.speed)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "wind.json: this is not JSON"),
        ("[" * 100_000, "this is not JSON"),
        ("[]", "this is not the JSON of a wind"),
        (document(stretch(), schema="groundref/plan/1"), "this is not the JSON of a wind"),
        ('{"schema": "groundref/wind/1"}', "the key `wind` is not a list"),
        (document(), "no wind could be told from that flight"),
        (document("calm"), "wind 1: a number is missing"),
        (document(stretch(), stretch(speed_kt=None)), "wind 2: a number is missing"),
        (document(stretch(speed_kt=float("nan"))), "a number is missing"),
        (document(stretch(speed_kt=10**400)), "a number is missing"),
        (document(stretch(speed_kt=True)), "a number is missing"),
        (document(stretch(speed_kt=-3)), "negative"),
        (document(stretch(east_sd_kt=-3)), "negative"),
        (document(stretch(start="noon")), "the key `start` of a wind is not a time"),
        (document(stretch(end=5)), "the key `end` of a wind is not a time"),
    ],
)
def test_refused_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        from_measured(text, "wind.json")
    assert says in str(refused.value)
    assert str(refused.value).startswith("wind.json")
    assert "\n" not in str(refused.value)
