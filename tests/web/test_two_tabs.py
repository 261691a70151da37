"""A lesson open twice: nobody writes over what was not seen, and what was typed is not lost by it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from html import unescape
from typing import Any

import pytest
from litestar.testing import TestClient

from groundref.record.correcting import say_who
from groundref.record.deciding import give_verdict, remark, sign, withdraw_signature
from groundref.record.lessons import LessonShown, add, shown
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from groundref.web.app import build
from tests.record.invented import another
from tests.web.sending import carried, send

NAME = "127.0.0.1:8735"
ALTITUDE = "PA.V.B.S7:altitude"
numbers = itertools.count(1)


@dataclass
class Open:
    """A lesson that a tab has open since before somebody else changed it."""

    client: TestClient
    record: Record
    number: int
    page: str

    def sends(self, part: str, **fields: str) -> Any:
        """Send a form of the old page."""
        action = f"/lessons/{self.number}/{part}"
        hidden = carried(self.page, action, fields.get("maneuver"))
        return self.client.post(action, data=hidden | fields)

    def sends_again(self, page: str, action: str = "", **fields: str) -> Any:
        """Send the form of a page that gave it back, as it stands there."""
        form = next(
            found for found in re.findall(r'<form method="post" action="/lessons/.*?</form>', page, re.DOTALL)
        )
        where = action or re.search(r'action="([^"]+)"', form)[1]
        data = {k: unescape(v) for k, v in re.findall(r'name="([^"]+)"[^>]*? value="([^"]*)"', form)}
        for name, text in re.findall(r'<textarea[^>]* name="([^"]+)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
            data[name] = unescape(text)
        for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
            chosen = re.search(r'<option value="([^"]*)" selected', options)
            data[name] = chosen[1] if chosen else ""
        return self.client.post(where, data=data | fields)

    def there(self) -> LessonShown:
        with self.record.reading() as connection:
            return shown(connection, self.number)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, Record]]:
    record = open_record(Place(path=tmp_path_factory.mktemp("tabs") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client, record


@pytest.fixture
def tab(served: tuple[TestClient, Record]) -> Open:
    client, record = served
    number, new = add(record, another(next(numbers)))
    assert new
    return Open(client, record, number, client.get(f"/lessons/{number}").text)


def corrected_by_another(tab: Open) -> None:
    assert send(tab.client, tab.number, "corrections", {"ground_ft": "650"}).status_code == 200


def planned_by_another(tab: Open) -> None:
    plan = {"maneuver": "turns-around-a-point", "wind": "240/14", "lesson": str(tab.number)}
    assert tab.client.post("/lessons/plan", data=plan).status_code == 200


CHANGES: dict[str, tuple[Callable[[Open], object], str]] = {
    "remarks": (lambda tab: remark(tab.record, tab.number, "Theirs."), "the remarks were changed"),
    "who": (
        lambda tab: say_who(tab.record, tab.number, {"student": "Ana Feld"}),
        "who flew, who taught or where was changed",
    ),
    "verdict": (
        lambda tab: give_verdict(tab.record, tab.number, ALTITUDE, "met", reason="seen"),
        "own verdicts were changed, the last by Ines Okafor on ",
    ),
    "debrief": (corrected_by_another, "the debrief was worked out anew on "),
    "plan": (planned_by_another, "the debrief was worked out anew on "),
    "signature": (lambda tab: sign(tab.record, tab.number), "Ines Okafor signed lesson "),
}
MINE = {
    "remarks": {"remarks": "Mine, <b>and long</b>"},
    "who": {"student": "Per Lund", "instructor": "Ines Okafor"},
    "verdicts": {"maneuver": "1", "verdict-1": "not-met", "reason-1": "mine, seen from the seat"},
    "corrections": {"ground_ft": "650", "wind": "230/17"},
    "signature": {"instructor": "Ines Okafor"},
}
RELIES = {
    "remarks": {"remarks", "signature"},
    "who": {"who", "signature"},
    "verdicts": {"verdict", "debrief", "plan", "signature"},
    "corrections": {"debrief", "plan", "signature"},
    "signature": set(CHANGES),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_form_is_refused_where_what_it_relies_on_was_changed_and_keeps_what_was_typed(
    tab: Open, change: str
) -> None:
    does, says = CHANGES[change]
    does(tab)
    for part, fields in MINE.items():
        before = tab.there()
        if change not in RELIES[part]:
            continue
        answer = tab.sends(part, **fields)
        assert answer.status_code == 409, part
        assert tab.there() == before
        said = unescape(re.search(r'role="alert">(.*?)</p>', answer.text)[1])
        assert says in said
        typed = unescape(answer.text.partition('id="typed"')[2])
        over = change == "signature" and part == "signature"  # nothing is left to sign
        assert over or fields.get("remarks", fields.get("wind", fields.get("reason-1", "Ines"))) in typed


def test_parts_that_do_not_rely_on_each_other_do_not_hinder_each_other(tab: Open) -> None:
    assert tab.sends("remarks", remarks="Mine.").status_code == 200
    assert tab.sends("who", **MINE["who"]).status_code == 200
    given = {"maneuver": "1", "verdict-1": "not-met", "reason-1": "seen"}
    assert tab.sends("verdicts", **given).status_code == 200
    assert tab.sends("corrections", ground_ft="650").status_code == 200
    there = tab.there()
    assert (there.row.remarks, there.row.student, there.asked.ground_ft) == ("Mine.", "Per Lund", 650.0)
    assert there.maneuvers[0].elements[0].own == "not-met"


def test_what_was_typed_is_kept_upon_the_newer_state_when_it_is_sent_again(tab: Open) -> None:
    remark(tab.record, tab.number, "Theirs.")
    page = tab.sends("remarks", remarks="Mine.").text
    assert "Theirs." in page.partition('id="typed"')[0]
    assert tab.sends_again(page).status_code == 200
    assert tab.there().row.remarks == "Mine."

    corrected_by_another(tab)
    page = tab.sends("corrections", ground_ft="", wind="230/17").text
    assert tab.sends_again(page).status_code == 200
    asked = tab.there().asked
    # The newer ground was not typed over: only what this tab typed goes upon it.
    assert (asked.ground_ft, asked.wind_from_deg, asked.wind_kt) == (650.0, 230.0, 17.0)

    give_verdict(tab.record, tab.number, ALTITUDE, "met", reason="theirs")
    page = tab.sends("verdicts", **MINE["verdicts"]).text
    assert tab.sends_again(page).status_code == 200
    own = {one.reason for one in tab.there().maneuvers[0].elements if one.own}
    assert own == {"theirs", "mine, seen from the seat"}


@pytest.mark.parametrize("part", ["remarks", "who", "verdicts", "corrections"])
def test_typed_before_the_signature_it_is_carried_on_after_it_was_taken_back(tab: Open, part: str) -> None:
    sign(tab.record, tab.number)
    late = tab.sends(part, **MINE[part])
    assert late.status_code == 409
    assert "Take the signature back, to go on with this" in late.text
    opened = tab.sends_again(late.text, withdraw="yes")
    assert opened.status_code == 200
    assert "not kept yet" in opened.text
    assert tab.there().row.signed_at is None
    kept = tab.sends_again(opened.text)
    assert kept.status_code == 200
    assert 'role="status"' in kept.text
    there = tab.there()
    wanted = {
        "remarks": there.row.remarks == MINE["remarks"]["remarks"],
        "who": there.row.student == "Per Lund",
        "verdicts": there.maneuvers[0].elements[0].reason == MINE["verdicts"].get("reason-1"),
        "corrections": there.asked.wind_kt == 17.0,
    }
    assert wanted[part]


def test_what_is_kept_is_shown_beside_what_was_typed_where_the_signature_was_taken_back(tab: Open) -> None:
    remark(tab.record, tab.number, "Good lookout.")
    before = tab.client.get(f"/lessons/{tab.number}").text
    sign(tab.record, tab.number)
    tab.page = before
    late = tab.sends("remarks", remarks="Late words.")
    opened = tab.sends_again(late.text, withdraw="yes")
    for page in (late.text, opened.text):
        assert "now: Good lookout." in page.partition('id="typed"')[2]
    assert tab.there().row.remarks == "Good lookout."


def test_only_the_signature_that_was_seen_is_taken_back(tab: Open) -> None:
    sign(tab.record, tab.number)
    signed = tab.client.get(f"/lessons/{tab.number}").text
    withdraw_signature(tab.record, tab.number)
    remark(tab.record, tab.number, "Once more.")
    sign(tab.record, tab.number)
    action = f"/lessons/{tab.number}/signature"
    refused = tab.client.post(action, data=carried(signed, action) | {"withdraw": "yes"})
    assert refused.status_code == 409
    assert tab.there().row.signed_at is not None


def test_another_plan_is_replaced_only_by_who_was_told_of_it(tab: Open) -> None:
    plan = {"maneuver": "turns-around-a-point", "wind": "240/14", "lesson": str(tab.number)}
    assert "The plan is kept with this lesson" in tab.client.post("/lessons/plan", data=plan).text
    assert tab.client.post("/lessons/plan", data=plan).status_code == 200  # the very same
    other = plan | {"wind": "200/8"}
    refused = tab.client.post("/lessons/plan", data=other)
    assert refused.status_code == 409
    assert "has another plan" in refused.text
    assert "wind_from_deg=200" not in refused.text
    assert tab.sends_again(refused.text).status_code == 200
    there = tab.client.get(f"/lessons/{tab.number}/plan", follow_redirects=False).headers["location"]
    assert "wind=200%2F8" in there


def test_a_form_that_does_not_say_what_it_was_made_of_changes_nothing(tab: Open) -> None:
    before = tab.there()
    for part, fields in MINE.items():
        for carries in ({}, {"seen": "who: remarks:1 x"}, {"seen": "::", "shown": "[1"}, {"shown": "7"}):
            answer = tab.client.post(f"/lessons/{tab.number}/{part}", data=fields | carries)
            assert answer.status_code == 409
            said = tab.client.post(
                f"/lessons/{tab.number}/{part}", data=fields, headers={"accept": "application/json"}
            )
            assert (said.status_code, "changed meanwhile" in said.json()["error"]) == (409, True)
    assert tab.there() == before


def test_what_was_kept_is_said_once_and_in_this_tab_alone(tab: Open) -> None:
    def status(page: str) -> str:
        found = re.search(r'<p[^>]* id="said" role="status"[^>]*>(.*?)</p>', page)
        return unescape(found[1]) if found else ""

    said: list[str] = []
    for part, fields in (
        ("remarks", {"remarks": "Look out."}),
        ("remarks", {"remarks": ""}),
        ("who", {"student": "Ana Feld", "instructor": "Ines Okafor"}),
        ("verdicts", MINE["verdicts"]),
        ("corrections", {"kind-1": "none", "from-1": "", "to-1": ""}),
        ("signature", {"instructor": "Ines Okafor"}),
        ("signature", {"withdraw": "yes"}),
    ):
        if part == "corrections":
            page = tab.client.get(f"/lessons/{tab.number}").text
            fields |= {
                name: re.search(rf'name="{name}" value="([^"]+)"', page)[1] for name in ("from-1", "to-1")
            }
        answer = send(tab.client, tab.number, part, fields, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        where = answer.headers["location"]
        assert where.endswith("#said")
        assert status(tab.client.get(f"/lessons/{tab.number}").text) == ""  # another tab
        said.append(status(tab.client.get(where).text))
        assert status(tab.client.get(where).text) == ""  # read again
    assert said[:4] == [
        "The remarks are kept.",
        "The remarks are taken out.",
        "Kept: student Ana Feld, instructor Ines Okafor.",
        "1 own verdict is kept.",
    ]
    assert re.fullmatch(
        r"Kept: \d\d:\d\d:\d\d to \d\d:\d\d:\d\d UTC is not a maneuver\. The debrief was worked out anew\.",
        said[4],
    )
    assert said[5:] == [
        "Signed by Ines Okafor.",
        "The signature is taken back; the lesson can be changed again.",
    ]
