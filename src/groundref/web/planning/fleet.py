"""The airplanes of the training record, to plan with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from sqlalchemy import Connection

from groundref.aircraft.loading import aircraft_names
from groundref.record import schema
from groundref.record.sealed import whole

Airplanes = Mapping[str, str]
NONE: Final[Airplanes] = MappingProxyType({})


def fleet(connection: Connection) -> Airplanes:
    """Return the data file of each airplane of the record by its name, without those of the package.

    Parameters
    ----------
    connection
        In a transaction.
    """
    own = aircraft_names()
    rows = sorted(whole(connection, schema.airplane), key=lambda row: str(row["name"]))
    return {row["name"]: row["document"] for row in rows if row["name"] not in own}
