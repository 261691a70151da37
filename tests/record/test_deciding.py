"""On each engine: what the instructor decides, a signature, and lessons worked out anew."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from groundref.documents import to_json
from groundref.errors import DamagedError, UsageError
from groundref.record import schema
from groundref.record.deciding import give_verdict, remark, sign, withdraw_signature
from groundref.record.lessons import NewLesson, add, flown_by, shown
from groundref.record.people import join_people, people
from groundref.record.recomputing import recompute
from groundref.record.sites import put_site, site_called
from groundref.record.store import Record
from groundref.record.telling import told
from tests.record.invented import flown

ALTITUDE = "PA.V.B.S7:altitude"


def as_another_version_saw_it(*, later_s: float = 0.0) -> NewLesson:
    """A lesson whose kept debrief says something else than this version: a verdict, a figure, a finding."""
    lesson = flown()
    document: dict[str, Any] = json.loads(lesson.document)
    (maneuver,) = document["maneuvers"]
    start = datetime.fromisoformat(maneuver["start"]) + timedelta(seconds=later_s)
    maneuver["start"] = start.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    (altitude,) = [one for one in maneuver["elements"] if one["quantity"] == "altitude"]
    altitude |= {"verdict": "not-met", "worst": 140.0}
    maneuver["findings"] = []
    return replace(lesson, document=to_json(document), version="0.0.9")


def test_what_changed_is_said_and_the_old_result_stays_beside_the_new(record: Record) -> None:
    old = as_another_version_saw_it()
    add(record, old)
    found = recompute(record, 1, "0.1.0")
    assert (found.before, found.before_version, found.after, found.counts) == (1, "0.0.9", 2, 2)
    said = {(one.about, one.what): (one.before, one.after) for one in found.changes}
    assert said["verdict", ALTITUDE] == ("not-met", "met")
    assert said["figure", f"{ALTITUDE} worst"][0] == 140.0
    assert said["finding", "overbanked-upwind"][0] is None
    with record.reading() as connection:
        lesson = told(connection, 1)
    assert [version for _, version, _ in lesson.lesson.results] == ["0.0.9", "0.1.0"]
    assert lesson.turn == 2
    assert to_json(lesson.debrief) == flown().document
    again = recompute(record, 1, "0.1.0")
    assert (again.after, again.changes) == (None, ())


def test_the_signed_result_goes_on_to_count_until_the_signature_is_taken_back(record: Record) -> None:
    add(record, as_another_version_saw_it())
    assert sign(record, 1) == "Ines Okafor"
    found = recompute(record, 1, "0.1.0")
    assert (found.signed, found.after, found.counts) == (True, 2, 1)
    with record.reading() as connection:
        assert told(connection, 1).turn == 1
        _, (lesson,) = flown_by(connection, "Jo Brandt")
    assert not lesson.maneuvers[0].faults
    for attempt in (lambda: remark(record, 1, "x"), lambda: give_verdict(record, 1, ALTITUDE, "met")):
        with pytest.raises(UsageError, match="was signed on"):
            attempt()
    assert withdraw_signature(record, 1) == "Ines Okafor"
    with record.reading() as connection:
        assert told(connection, 1).turn == 2
        assert shown(connection, 1).maneuvers[0].faults


@pytest.mark.parametrize(("later_s", "stays"), [(0.0, True), (45.0, True), (600.0, False)])
def test_the_instructors_verdict_stays_with_its_maneuver(record: Record, later_s: float, stays: bool) -> None:
    add(record, as_another_version_saw_it(later_s=later_s))
    give_verdict(record, 1, ALTITUDE, "met", reason="Seen on the altimeter")
    found = recompute(record, 1, "0.1.0")
    assert bool(found.own_left) is not stays
    with record.reading() as connection:
        lesson = told(connection, 1)
    own = [one for one in lesson.lesson.maneuvers[0].elements if one.own is not None]
    assert [(one.quantity, one.own, one.reason) for one in own] == (
        [("altitude", "met", "Seen on the altimeter")] if stays else []
    )
    if stays:  # and is replaced, not doubled, when it is given again
        give_verdict(record, 1, ALTITUDE, "not-met", reason="Seen otherwise")
        with record.reading() as connection:
            (own_now,) = [one for one in shown(connection, 1).maneuvers[0].elements if one.own is not None]
        assert own_now.own == "not-met"


def test_a_damaged_recording_is_not_worked_out_anew(record: Record) -> None:
    add(record, flown())
    with record.writing() as connection:
        table = schema.content
        sha256 = shown(connection, 1).parts[0][1]
        connection.execute(table.update().where(table.c.id == sha256), {"packed": b"nothing"})
    with pytest.raises(DamagedError, match="lesson 1, recording"):
        recompute(record, 1, "0.1.0")
    with record.reading() as connection:
        assert len(told(connection, 1).lesson.results) == 1


def test_two_entries_of_one_person_are_joined(record: Record) -> None:
    add(record, flown())
    sign(record, 1, "Jo Brandt")
    assert join_people(record, "Ines Okafor", "Jo Brandt") == ("Jo Brandt", 1)
    with record.reading() as connection:
        (jo,) = people(connection)
        row = shown(connection, 1).row
    assert (jo.name, jo.as_student, jo.as_instructor) == ("Jo Brandt", 1, 1)
    assert (row.student, row.instructor, row.signed_by) == ("Jo Brandt", "Jo Brandt", "Jo Brandt")


def test_a_site_comes_back_as_it_went_in_and_is_changed_in_parts(record: Record) -> None:
    places = ((40.1, -90.2), (40.12, -90.21))
    site, new = put_site(record, "Mill road", place=("line", places), ground_ft=620.0)
    assert new
    changed, new = put_site(record, "mill  ROAD", remarks="Power line")
    assert not new
    assert changed == replace(site, remarks="Power line")
    with record.reading() as connection:
        assert site_called(connection, "Mill Road") == changed
    with pytest.raises(UsageError, match="a new site needs its place"):
        put_site(record, "Lake", ground_ft=600.0)
