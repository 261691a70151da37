"""A lesson that was planned leads to plan and flight on its page, whether the plan was flown or not."""

from __future__ import annotations

import json
from dataclasses import replace
from math import radians
from pathlib import Path

import pytest
from litestar.testing import TestClient

from groundref.planning import Blowing, Day, Wanted, Where, plan
from groundref.record.asked import Asked, recording_of
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.record.working import work_out
from groundref.units import foot, knot
from groundref.web.app import build
from tests.record.invented import flown

NAME = "127.0.0.1:8735"


@pytest.mark.parametrize(
    ("kind", "place"), [("turns-around-a-point", "m1-planned-says"), ("s-turns", "planned")]
)
def test_plan_and_flight_are_found_on_the_page(tmp_path: Path, kind: str, place: str):
    planned = plan(
        kind,
        wind=Blowing(14 * knot, radians(240)),
        wanted=Wanted(true_airspeed=90 * knot, radius=1200 * foot),
        day=Day(elevation=0.0),
        where=Where(radians(40.1), radians(-90.2)),
    )
    kept = json.dumps(planned.to_dict()).encode()
    lesson = flown()
    document = work_out(recording_of(lesson.parts), Asked(), kept).document
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    add(record, replace(lesson, plan=kept, document=document))
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        page = client.get("/lessons/1").text
    assert f'<a href="#{place}">Plan and flight</a>' in page
    assert page.count(f'id="{place}"') == 1
