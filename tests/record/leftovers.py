"""What is left of somebody in the files of a record, or in the tables of a server."""

from __future__ import annotations

import gzip
import sqlite3
import zlib
from pathlib import Path

from sqlalchemy import LargeBinary, select

from groundref.record.schema import METADATA
from groundref.record.store import Record

CODES = ("utf-8", "utf-16-le", "utf-16-be", "latin-1")


def spelled(word: str) -> set[bytes]:
    """Return a word in bytes, in all codes and capitals."""
    ways = {word, word.lower(), word.upper(), word.title()}
    return {way.encode(code) for way in ways for code in CODES if _encodes(way, code)}


def _encodes(word: str, code: str) -> bool:
    try:
        word.encode(code)
    except UnicodeEncodeError:
        return False
    return True


def stores(record: Record) -> dict[str, bytes]:
    """Return everything that is kept: bytes of all files beside a record, and all content, unpacked."""
    found = {}
    for path in _files(record):
        content = path.read_bytes()
        found[str(path)] = content + (gzip.decompress(content) if path.suffix == ".gz" else b"")
    with record.reading() as connection:
        for table in METADATA.sorted_tables:
            for number, row in enumerate(connection.execute(select(table)).mappings()):
                for column in table.columns:
                    value = row[column.name]
                    name = f"{table.name}.{column.name} {number}"
                    if isinstance(column.type, LargeBinary):
                        found |= {f"{name} {n}": plain for n, plain in enumerate(_unpacked(bytes(value)))}
                    else:
                        found[name] = str(value).encode("utf-8", "surrogatepass")
        if record.place.path is None:
            statistics = connection.exec_driver_sql(
                "SELECT most_common_vals::text, histogram_bounds::text FROM pg_stats "
                "WHERE schemaname = 'public'"
            )
            found["statistics"] = str(statistics.all()).encode()
    return found


def _unpacked(packed: bytes) -> list[bytes]:
    """Return packed bytes unpacked, and what is packed in them."""
    plain = gzip.decompress(packed)
    try:
        return [plain, gzip.decompress(plain)] if plain.startswith(b"\x1f\x8b") else [plain]
    except (zlib.error, EOFError):
        return [plain]


def _files(record: Record) -> list[Path]:
    path = record.place.path
    return [] if path is None else [each for each in path.parent.rglob("*") if each.is_file()]


def pieces(record: Record, size: int = 48) -> set[bytes]:
    """Return a piece out of the middle of each content as it is packed in a file."""
    assert record.place.path is not None
    with sqlite3.connect(record.place.path) as connection:
        packed = [row[0] for row in connection.execute("SELECT packed FROM content")]
    connection.close()
    return {each[len(each) // 2 :][:size] for each in packed}


def where(record: Record, *words: str) -> list[str]:
    """Return where words are left, in any capitals and code."""
    wanted = set().union(*map(spelled, words))
    return [place for place, content in stores(record).items() if any(word in content for word in wanted)]
