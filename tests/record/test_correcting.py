"""Who flew a lesson and where, put right in one transaction, on each engine."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from groundref.errors import RecordError
from groundref.record.correcting import Anew, asked_at, say_who
from groundref.record.lessons import shown
from groundref.record.people import people
from groundref.record.place import Place
from groundref.record.store import Record
from tests.record.small import filled, small


@pytest.fixture
def kept(place: Place) -> Record:
    """Two lessons and the site Elm Farm."""
    return filled(place, 2)


def test_what_is_not_said_stays(kept: Record) -> None:
    with kept.reading() as connection:
        before = shown(connection, 1).row
    done = say_who(kept, 1, {"student": "Sam Reyes"})
    assert ([one.name for one in done.newcomers], done.debrief) == (["Sam Reyes"], None)
    with kept.reading() as connection:
        after = shown(connection, 1).row
    assert (after.student, after.instructor, after.site) == ("Sam Reyes", before.instructor, before.site)


def test_another_site_comes_with_its_debrief_or_not_at_all(kept: Record) -> None:
    with kept.reading() as connection:
        before = shown(connection, 1)
        asked, after = asked_at(connection, 1, "Elm Farm")
    assert (after.point, after.ground_ft) == ((40.1, -90.2), 612.5)
    other = Anew(replace(after, ground_ft=600.0), small(2).document, "9")
    for anew in (None, other, Anew(asked, small(2).document, "9")):
        with pytest.raises(RecordError, match="lesson 1 was changed meanwhile; do it again"):
            say_who(kept, 1, {"student": "Somebody New", "site": "Elm Farm"}, anew)
    with kept.reading() as connection:
        assert shown(connection, 1) == before
        assert "Somebody New" not in {one.name for one in people(connection)}
    done = say_who(kept, 1, {"site": "Elm Farm"}, Anew(after, small(2).document, "9"))
    assert done.debrief is not None
    assert (done.debrief.before, done.debrief.after, done.debrief.counts) == (1, 2, 2)
    with kept.reading() as connection:
        now = shown(connection, 1)
    assert (now.row.site, now.asked, len(now.results)) == ("Elm Farm", after, 2)
