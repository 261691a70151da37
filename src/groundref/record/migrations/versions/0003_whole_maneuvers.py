"""Elements and faults in the maneuver that they belong to, as JSON, instead of in rows of their own."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import partial
from hashlib import blake2b
from typing import Any

import msgspec
import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

Row = Mapping[str, Any]
Rows = dict[str, list[dict[str, Any]]]

# As they stood when this shape was made; later shapes change them in steps of their own.
_FIGURES = {
    "element": (
        *("code", "what", "quantity", "verdict", "limit", "minimum", "target", "unit", "basis"),
        *("worst", "worst_sd"),
    ),
    "fault": ("fault", "size", "size_sd", "size_unit", "strength"),
}
_MANEUVER = (
    *("id", "result_id", "number", "kind", "direction", "confidence", "start", "end", "laps"),
    *("wind_from_deg", "wind_kt", "wind_sd_kt", "tas_kt", "radius_ft", "radius_sd_ft"),
)
_AT_ONCE = 500


def _table(name: str, *columns: str) -> sa.TableClause:
    return sa.table(name, *(sa.column(each) for each in columns))


_maneuver = _table("maneuver", *_MANEUVER, "elements", "faults", "seal")
_tally = _table("tally", "counted", "whose", "number", "mark", "seal")
_parts = {
    name: _table(name, "id", "maneuver_id", "number", *figures, "seal") for name, figures in _FIGURES.items()
}


def upgrade() -> None:
    """Move elements and faults into their maneuvers; what is damaged does not become sound by it."""
    for name in ("elements", "faults"):
        op.add_column("maneuver", sa.Column(name, sa.Text(), nullable=False, server_default="[]"))
    # With a column of no index, so that they come as they were written and not in the order of ids.
    ids = op.get_bind().execute(sa.select(_maneuver.c.id, _maneuver.c.laps)).scalars().all()
    for first in range(0, len(ids), _AT_ONCE):
        _move(ids[first : first + _AT_ONCE])
    for name in _FIGURES:
        op.drop_table(name)
        op.execute(sa.delete(_tally).where(_tally.c.counted == f"{name}.maneuver_id"))


def _move(ids: Iterable[str]) -> None:
    """Put the parts of some maneuvers into them, with new seals and tallies."""
    ids = list(ids)
    before = _mappings(sa.select(_maneuver).where(_maneuver.c.id.in_(ids)))
    parts = {name: _of(name, ids) for name in _FIGURES}
    tallies = {name: _tallies(f"{name}.maneuver_id", ids) for name in _FIGURES}
    after = []
    for row in before:
        whole = {**row, "elements": _json(parts, "element", row), "faults": _json(parts, "fault", row)}
        sound = _is_sound("maneuver", {**row, "elements": None, "faults": None}) and all(
            _are_whole(name, parts[name][row["id"]], tallies[name].get(row["id"])) for name in _FIGURES
        )
        # The old seal does not fit what is in the row now, so that damage goes on to be found and mended.
        after.append({**whole, "seal": _seal("maneuver", whole) if sound else row["seal"]})
    if after:
        names = ("elements", "faults", "seal")
        change = sa.update(_maneuver).where(_maneuver.c.id == sa.bindparam("which"))
        fresh = [{f"new_{name}": row[name] for name in names} | {"which": row["id"]} for row in after]
        op.get_bind().execute(change.values(**{name: sa.bindparam(f"new_{name}") for name in names}), fresh)
    _count(before, after)


def _mappings(wanted: sa.Select[Any]) -> list[dict[str, Any]]:
    return [dict(row) for row in op.get_bind().execute(wanted).mappings()]


def _of(name: str, ids: list[str]) -> Rows:
    """Return the elements or faults of maneuvers, each lot in its order."""
    table, found = _parts[name], defaultdict(list)
    for row in _mappings(sa.select(table).where(table.c.maneuver_id.in_(ids)).order_by(table.c.number)):
        found[row["maneuver_id"]].append(row)
    return found


def _tallies(counted: str, whose: list[str]) -> dict[str, Row]:
    wanted = sa.select(_tally).where(_tally.c.counted == counted, _tally.c.whose.in_(whose))
    return {row["whose"]: row for row in _mappings(wanted)}


def _json(parts: dict[str, Rows], name: str, maneuver: Row) -> str:
    figures = [{each: row[each] for each in _FIGURES[name]} for row in parts[name][maneuver["id"]]]
    return msgspec.json.encode(figures).decode()


def _are_whole(name: str, rows: list[dict[str, Any]], tally: Row | None) -> bool:
    """Whether rows are those that were written, none missing."""
    if not all(map(partial(_is_sound, name), rows)):
        return False
    if tally is None:
        return not rows
    mark = 0
    for row in rows:
        mark ^= int(row["seal"], 16)
    return _is_sound("tally", tally) and (tally["number"], tally["mark"]) == (len(rows), f"{mark:032x}")


def _count(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> None:
    """Put the new seals into the tallies of results in place of the old; what did not fit still does not."""
    marks: dict[str, int] = defaultdict(int)
    for old, new in zip(before, after, strict=True):
        if old["seal"] != new["seal"]:
            marks[old["result_id"]] ^= int(old["seal"], 16) ^ int(new["seal"], 16)
    change = sa.update(_tally).where(
        _tally.c.counted == "maneuver.result_id", _tally.c.whose == sa.bindparam("which")
    )
    fresh = []
    for whose, row in _tallies("maneuver.result_id", list(marks)).items():
        if _is_sound("tally", row):
            new = {**row, "mark": f"{int(row['mark'], 16) ^ marks[whose]:032x}"}
            fresh.append({"which": whose, "new_mark": new["mark"], "new_seal": _seal("tally", new)})
    if fresh:
        change = change.values(mark=sa.bindparam("new_mark"), seal=sa.bindparam("new_seal"))
        op.get_bind().execute(change, fresh)


def _seal(table: str, row: Row) -> str:
    under = {name: row[name] for name in sorted(row) if name != "seal" and row[name] is not None}
    return blake2b(msgspec.json.encode((table, under)), digest_size=16).hexdigest()


def _is_sound(table: str, row: Row) -> bool:
    try:
        return bool(_seal(table, row) == row["seal"])
    except (TypeError, ValueError):  # not even of the right kind
        return False
