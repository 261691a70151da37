"""What a list and a student's progress ask of the database does not grow with the record."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Connection, event

from groundref.record.lessons import add, flown_by, listed, number_of_lessons, shown
from groundref.record.store import Record
from tests.record.invented import another


def asked(record: Record, work: Callable[[Connection], object]) -> int:
    """Return how many statements some work needs."""
    count = 0

    def one_more(*_: object) -> None:
        nonlocal count
        count += 1

    with record.reading() as connection:
        event.listen(connection, "after_cursor_execute", one_more)
        work(connection)
    return count


def test_statements_do_not_grow_with_lessons(record: Record) -> None:
    def statements() -> list[int]:
        return [
            asked(record, lambda connection: (listed(connection, most=2), number_of_lessons(connection))),
            asked(record, lambda connection: listed(connection, student="Jo Brandt")),
            asked(record, lambda connection: flown_by(connection, "Jo Brandt")),
            asked(record, lambda connection: shown(connection, 1)),
        ]

    for number in range(1, 4):
        add(record, another(number, day=number))
    few = statements()
    for number in range(4, 13):
        add(record, another(number, day=number, student="Ana Jones" if number % 2 else "Jo Brandt"))
    assert statements() == few
    assert max(few) <= 30
