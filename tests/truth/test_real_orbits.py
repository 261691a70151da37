"""Orbits that real airplanes flew at a constant radius about a navigation aid.

Source: the sample recordings that come inside the package `traffic` 2.13 (calibration flights received by
ADS-B ground stations, 5 s apart). The package's metadata says MIT licence; there is no separate licence for
the sample data in it. They are therefore used as test input from the installed package only and are no part
of this repository.

Centres and radii to compare with were fitted beforehand by another program from the same recordings: Nouméa
4.001 NM about 22.3148° S 166.4735° E with 76 m rms; Ajaccio two circles of 4.39 and 4.33 NM about
41.770° N 8.774° E, with the airspeed changing between and in them.
"""

from __future__ import annotations

import gzip
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path

import numpy as np
import polars as pl
import pytest

import groundref
from groundref.geo.frame import LocalFrame
from groundref.mechanics.circle_fit import CircleFit, fit_circle
from groundref.track.recording import Recording

NAUTICAL_MILE = 1852.0
KNOT = 1852.0 / 3600.0
FOOT = 0.3048


@dataclass(frozen=True, slots=True)
class Orbit:
    """A circle in a sample: where, and the time it was flown in."""

    sample: str
    latitude: float
    longitude: float
    radius_nm: float
    begin: datetime
    end: datetime

    @property
    def frame(self) -> LocalFrame:
        return LocalFrame(np.radians(self.latitude), np.radians(self.longitude))


NOUMEA = Orbit(
    "noumea",
    -22.3148,
    166.4735,
    4.001,
    datetime(2017, 11, 5, 1, 31, 35, tzinfo=UTC),
    datetime(2017, 11, 5, 1, 51, 40, tzinfo=UTC),
)
AJACCIO_FIRST = Orbit(
    "ajaccio",
    41.770,
    8.774,
    4.39,
    datetime(2018, 1, 12, 9, 16, 0, tzinfo=UTC),
    datetime(2018, 1, 12, 9, 25, 30, tzinfo=UTC),
)
AJACCIO_SECOND = Orbit(
    "ajaccio",
    41.770,
    8.774,
    4.33,
    datetime(2018, 1, 12, 9, 25, 0, tzinfo=UTC),
    datetime(2018, 1, 12, 9, 36, 30, tzinfo=UTC),
)


def sample(name: str) -> pl.DataFrame:
    package = find_spec("traffic")
    assert package is not None
    assert package.origin is not None
    path = Path(package.origin).parent / "data" / "samples" / "calibration" / f"{name}.json.gz"
    return pl.read_json(BytesIO(gzip.decompress(path.read_bytes())), infer_schema_length=None)


def state_vectors(name: str, folder: Path) -> Path:
    """Write a sample as a table of ADS-B state vectors: epoch seconds, SI units."""
    path = folder / f"{name}.csv"
    sample(name).select(
        time=pl.col("timestamp") // 1000,
        icao24=pl.col("icao24"),
        lat=pl.col("latitude"),
        lon=pl.col("longitude"),
        velocity=pl.col("groundspeed") * KNOT,
        heading=pl.col("track") % 360,
        vertrate=pl.col("vertical_rate") * FOOT / 60.0,
        callsign=pl.col("callsign"),
        onground=pl.lit("false"),
        baroaltitude=pl.col("altitude") * FOOT,
    ).write_csv(path)
    return path


def part(recording: Recording, orbit: Orbit, margin: float = 0.0) -> Recording:
    begin, end = ((t - recording.epoch).total_seconds() for t in (orbit.begin, orbit.end))
    return recording.take((recording.time >= begin - margin) & (recording.time <= end + margin))


def fitted(recording: Recording, orbit: Orbit) -> CircleFit:
    """Fit a circle in a frame about the published centre."""
    flown = part(recording, orbit)
    return fit_circle(*orbit.frame.to_local(flown.latitude, flown.longitude))


@pytest.fixture(scope="module")
def noumea(tmp_path_factory: pytest.TempPathFactory) -> Recording:
    return groundref.read(state_vectors("noumea", tmp_path_factory.mktemp("orbits")))


@pytest.fixture(scope="module")
def ajaccio(tmp_path_factory: pytest.TempPathFactory) -> Recording:
    return groundref.read(state_vectors("ajaccio", tmp_path_factory.mktemp("orbits")))


def test_the_table_is_read_as_it_was_written(noumea: Recording) -> None:
    assert len(noumea) == sample("noumea").height
    assert {"ground_speed", "track", "altitude_pressure"} <= set(noumea.measured)


def test_noumea(noumea: Recording) -> None:
    fit = fitted(noumea, NOUMEA)
    assert fit.radius == pytest.approx(4.001 * NAUTICAL_MILE, abs=0.0015 * NAUTICAL_MILE)
    # the published centre has four decimals of a degree: about 10 m
    assert np.hypot(fit.x, fit.y) < 10.0
    assert fit.rms == pytest.approx(76.0, abs=1.0)


@pytest.mark.parametrize("orbit", [AJACCIO_FIRST, AJACCIO_SECOND], ids=["first", "second"])
def test_ajaccio(ajaccio: Recording, orbit: Orbit) -> None:
    fit = fitted(ajaccio, orbit)
    assert fit.radius == pytest.approx(orbit.radius_nm * NAUTICAL_MILE, abs=0.01 * NAUTICAL_MILE)
    # three decimals of a degree, and two circles that are 0.06 NM apart
    assert np.hypot(fit.x, fit.y) < 0.08 * NAUTICAL_MILE


def test_the_debrief_of_noumea(noumea: Recording) -> None:
    """Wind 175-180° at 1.5 kt and 150 kt of true airspeed by a fit of a circle to the ground velocities."""
    debrief = groundref.debrief(part(noumea, NOUMEA, margin=300.0))
    circles = [m.maneuver for m in debrief.maneuvers if m.maneuver.kind == "turns-around-a-point"]
    assert len(circles) == 1
    circle = circles[0]
    # 718° of turn; the way out, which bends the same way, is none of it
    assert circle.end == pytest.approx((NOUMEA.end - noumea.epoch).total_seconds(), abs=45.0)
    assert sum(abs(lap.turn) for lap in circle.laps) == pytest.approx(np.radians(718.0), abs=0.2)
    assert circle.radius == pytest.approx(4.001 * NAUTICAL_MILE, abs=max(2 * circle.radius_sd, 20.0))
    assert circle.radius == pytest.approx(4.001 * NAUTICAL_MILE, rel=0.005)
    latitude, longitude = debrief.track.frame.to_geographic(circle.reference.east, circle.reference.north)
    away = np.hypot(*NOUMEA.frame.to_local(latitude, longitude))
    assert away < max(2.5 * circle.reference.sd, 20.0)
    wind = circle.wind
    assert wind is not None
    published = 1.5 * KNOT * np.array([np.sin(np.radians(357.5)), np.cos(np.radians(357.5))])
    covariance = [[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]]
    off = np.array([wind.east, wind.north]) - published
    assert np.hypot(*off) < 2.5 * KNOT
    assert off @ np.linalg.solve(covariance, off) < 5.99
    assert wind.true_airspeed == pytest.approx(150.0 * KNOT, abs=3.0 * KNOT)
