"""The JSON document and the series as bytes."""

from __future__ import annotations

import json
from datetime import datetime
from io import BytesIO

import numpy as np
import polars
import pytest

from groundref import export
from groundref.errors import UsageError


def test_json_holds_no_nan() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        export.to_json({"schema": "x", "value": float("nan")})
    assert json.loads(export.to_json({"name": "Ø", "value": None})) == {"name": "Ø", "value": None}


TIMES = [datetime(2026, 5, 1, 12, 0, 0), datetime(2026, 5, 1, 12, 0, 0, 250000)]
COLUMNS = {
    "time": np.array(TIMES, "datetime64[ms]"),
    "bank_deg": np.array([1.5, np.nan]),
    "maneuver": [1, None],
}


def test_series_as_csv() -> None:
    lines = export.to_series(COLUMNS, "lesson.csv").decode().splitlines()
    assert lines == [
        "time,bank_deg,maneuver",
        "2026-05-01T12:00:00.000Z,1.5,1",
        "2026-05-01T12:00:00.250Z,,",
    ]


def test_series_as_parquet() -> None:
    frame = polars.read_parquet(BytesIO(export.to_series(COLUMNS, "lesson.parquet")))
    assert frame.schema["time"] == polars.Datetime("ms", "UTC")
    assert frame["bank_deg"].to_list() == [1.5, None]
    assert frame["maneuver"].to_list() == [1, None]


def test_series_of_another_kind_is_refused() -> None:
    with pytest.raises(UsageError, match=r"as \.csv or \.parquet, not \.xlsx"):
        export.to_series(COLUMNS, "lesson.xlsx")
