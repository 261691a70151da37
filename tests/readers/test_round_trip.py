"""Any recording, written in any dialect, reads back as it was."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from .reading import read_text

FOOT, KNOT = 0.3048, 1852 / 3600  # exact; written out here so that the check stands outside the package


@dataclass(frozen=True)
class Column:
    channel: str
    headings: tuple[str, ...]
    units: tuple[tuple[str, float], ...]
    low: float
    high: float


ANGLE = (("deg", np.pi / 180), ("rad", 1.0))
SPEED = (("kt", KNOT), ("m/s", 1.0), ("km/h", 1 / 3.6), ("mph", 1609.344 / 3600))
HEIGHT = (("ft", FOOT), ("m", 1.0))
FORCE = (("g", 9.80665), ("m/s2", 1.0))
COLUMNS = (
    Column("altitude_msl", ("Altitude MSL", "alt_msl", "Elevation AMSL"), HEIGHT, -400, 9000),
    Column("altitude_ellipsoid", ("GPS Altitude", "geoaltitude", "WGS84 Height"), HEIGHT, -400, 9000),
    Column("altitude_pressure", ("Pressure Altitude", "baro_alt", "Altitude 1013"), HEIGHT, -400, 9000),
    Column("ground_speed", ("Ground Speed", "groundspeed", "GS"), SPEED, 0, 200),
    Column("true_airspeed", ("TAS", "True Airspeed"), SPEED, 0, 200),
    Column("indicated_airspeed", ("IAS", "indicated airspeed"), SPEED, 0, 200),
    Column("vertical_speed", ("Vertical Speed", "VS"), (("fpm", FOOT / 60), ("m/s", 1.0)), -20, 20),
    Column("track", ("Track", "course", "COG"), ANGLE, 0, 6.28),
    Column("heading_magnetic", ("Magnetic Heading", "HDG mag"), ANGLE, 0, 6.28),
    Column("bank", ("Roll", "bank angle"), ANGLE, -1.5, 1.5),
    Column("pitch", ("Pitch",), ANGLE, -1.5, 1.5),
    Column("lateral_acceleration", ("Lateral Acceleration", "lat accel"), FORCE, -5, 5),
)
STYLES = ("{name} ({unit})", "{name} [{unit}]", "{name} {unit}", "row")


@st.composite
def written(draw):
    """Draw a recording, a dialect, and the text that it makes."""
    count = draw(st.integers(2, 6))
    delimiter, comma = draw(
        st.sampled_from([(",", False), (";", False), (";", True), ("\t", True), ("|", False)])
    )
    style = draw(st.sampled_from(STYLES))
    picked = draw(st.lists(st.sampled_from(COLUMNS), unique=True, max_size=6))
    start = draw(st.integers(1_577_836_800, 1_893_456_000))
    seconds = start + np.cumsum(draw(st.lists(st.integers(1, 90), min_size=count, max_size=count)))
    truth: dict[str, np.ndarray] = {}
    heads: list[str] = []
    units: list[str] = []
    columns: list[list[str]] = []

    def add(channel, name, unit, factor, low, high, blanks):
        value = st.floats(low, high, allow_subnormal=False)
        values = np.array(
            draw(st.lists(st.one_of(value, st.none()) if blanks else value, min_size=count, max_size=count)),
            dtype=float,
        )
        truth[channel] = values
        missing = draw(st.sampled_from(["", "--", "NaN", "n/a"]))
        cells = [missing if np.isnan(v) else f"{v / factor:.9f}" for v in values]
        columns.append([cell.replace(".", ",") if comma else cell for cell in cells])
        heads.append(name if style == "row" else style.format(name=name, unit=unit))
        units.append(unit)

    add("latitude", draw(st.sampled_from(["Latitude", "lat"])), "deg", np.pi / 180, 0.1, 1.5, False)
    add("longitude", draw(st.sampled_from(["Longitude", "lon"])), "deg", np.pi / 180, -3.1, 3.1, False)
    for column in picked:
        unit, factor = draw(st.sampled_from(column.units))
        add(
            column.channel,
            draw(st.sampled_from(column.headings)),
            unit,
            factor,
            column.low,
            column.high,
            True,
        )
    stamps, names = _stamps(draw(st.sampled_from(["iso", "epoch", "split", "offset"])), seconds)
    rows = list(zip(*(stamps + columns), strict=True))
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter, lineterminator=draw(st.sampled_from(["\n", "\r\n"])))
    writer.writerow(names + heads)
    if style == "row":
        writer.writerow([""] * len(names) + units)
    writer.writerows(rows)
    return draw(st.sampled_from(["", "# a comment, of sorts\n"])) + text.getvalue(), seconds, truth


def _stamps(kind: str, seconds: np.ndarray) -> tuple[list[list[str]], list[str]]:
    moments = [datetime.fromtimestamp(int(second), UTC) for second in seconds]
    if kind == "iso":
        return [[f"{moment:%Y-%m-%dT%H:%M:%SZ}" for moment in moments]], ["time"]
    if kind == "epoch":
        return [[str(second) for second in seconds]], ["time"]
    if kind == "split":
        return [[f"{m:%Y-%m-%d}" for m in moments], [f"{m:%H:%M:%S}" for m in moments]], [
            "UTC Date",
            "UTC Time",
        ]
    local = [datetime.fromtimestamp(int(second) - 5 * 3600, UTC) for second in seconds]
    dates, clocks = [f"{m:%d.%m.%Y}" for m in local], [f"{m:%H:%M:%S}" for m in local]
    return [dates, clocks, ["-05:00"] * len(local)], ["Date", "Time", "UTC Offset"]


@settings(max_examples=120)
@given(written())
def test_a_table_reads_back_as_it_was(case):
    text, seconds, truth = case
    recording = read_text(text)
    assert not recording.rejected
    assert recording.time + recording.epoch.timestamp() == pytest.approx(seconds, abs=1e-5)
    for channel, values in truth.items():
        read_back = getattr(recording, channel)
        if np.isnan(values).all():
            assert read_back is None
        else:
            assert read_back == pytest.approx(values, abs=1e-7, nan_ok=True), channel
    others = {c.channel for c in COLUMNS} - truth.keys()
    assert all(getattr(recording, channel) is None for channel in others)
