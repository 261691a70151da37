"""Two maneuvers side by side: the figures are those of the record, the pictures those of the debriefs."""

from __future__ import annotations

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.testing import TestClient
from lxml import html

from groundref.record.lessons import add, shown
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from groundref.web.side_by_side import others, which
from tests.record.invented import another, flown

NAME = "127.0.0.1:8735"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory):
    record = open_record(Place(path=tmp_path_factory.mktemp("compared") / "record.sqlite"), make=True)
    for lesson in (flown(), flown(5), another(3, student="Ana Feld", day=3)):
        add(record, lesson)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield record, client


def spoken(page: str) -> str:
    """The text of a page, whatever holds numbers together or leads elsewhere in it."""
    return html.fromstring(page).text_content().replace("\N{NO-BREAK SPACE}", " ")


def cells(page: str) -> dict[str, list[str]]:
    rows = re.findall(r"<tr><th scope=\"row\"[^>]*>(.*?)</th>(.*?)</tr>", page, re.S)
    return {
        name: [" ".join(re.sub("<.*?>", " ", cell).split()) for cell in re.findall("<td.*?>(.*?)</td>", rest)]
        for name, rest in rows
    }


def test_figures_stand_side_by_side_as_the_record_has_them(served):
    record, client = served
    page = client.get("/compare?a=1.1&b=2.1").text
    with record.reading() as connection:
        both = [shown(connection, number).maneuvers[0] for number in (1, 2)]
    told = cells(page)
    assert [cell.split(" ")[0] for cell in told["mean radius"]] == [f"{one.radius_ft:,.0f}" for one in both]
    for element in both[0].elements:
        (other,) = (one for one in both[1].elements if one.what == element.what)
        for cell, one in zip(told[element.what], (element, other), strict=True):
            open_ = "not judged" if one.basis == "practice" else "can't tell"
            said = {"met": "met", "not-met": "not met", "undetermined": open_}[one.verdict]
            assert cell.replace("&#39;", "'").startswith(said)
    for number in (1, 2):
        for finding in client.get(f"/api/lessons/{number}/debrief").json()["maneuvers"][0]["findings"]:
            assert finding["says"] in spoken(page)


def said(drawing: str) -> str:
    """What a picture says to who does not see it."""
    return re.search(r"<desc[^>]*>(.*?)</desc>", drawing)[1]


def test_the_pictures_are_those_of_the_debriefs_on_like_paper(served):
    _, client = served
    page = client.get("/compare?a=1.1&b=2.1").text
    drawn = {}
    for number, name in ((1, "a"), (2, "b")):
        whole = client.get(f"/lessons/{number}").text
        for picture in ("circle", "bank"):
            own = re.search(rf'<svg [^>]*id="m1-{picture}".*?</svg>', whole, re.S)[0]
            drawn[name, picture] = re.search(rf'<svg [^>]*id="{name}-{picture}".*?</svg>', page, re.S)[0]
            assert said(own) == said(drawn[name, picture])
    for look in ("quiet", "place"):
        one, other = (
            re.findall(rf'<text[^>]*class="{look}"[^>]*>(.*?)</text>', drawn[name, "bank"]) for name in "ab"
        )
        assert one == other != []
    bars = [re.findall(r'<path [^>]*class="scale"[^>]*>', drawn[name, "circle"]) for name in "ab"]
    assert [len(re.findall("H", bar)) for bar in bars[0]] == [1, 1]
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_only_lessons_of_the_student_can_be_chosen(served):
    _, client = served
    page = client.get("/compare?a=1.1").text
    assert re.findall(r'<option value="([\d.]+)"', page) == ["2.1"]
    alone = client.get("/compare?a=3.1").text
    assert "There is no other" in alone
    assert "Only maneuvers of one student are set beside each other" in alone
    lesson = client.get("/lessons/3").text
    assert "/compare?" not in lesson
    assert 'href="#compare"' not in lesson
    assert "Only maneuvers of one student are set beside each other" in lesson
    assert 'href="/compare?a=1.1"' in client.get("/lessons/1").text


@pytest.mark.parametrize(
    ("asked", "status", "said"),
    [
        ("a=1", 400, "'1' names no maneuver"),
        ("a=1.9", 400, "lesson 1 has no maneuver 9"),
        ("a=9.1", 404, "lesson 9"),
        ("a=1.1&b=9.1", 404, "lesson 9"),
        ("a=1.1&b=../2", 400, "names no maneuver"),
    ],
)
def test_what_cannot_be_compared_is_said(served, asked: str, status: int, said: str):
    _, client = served
    answer = client.get(f"/compare?{asked}", headers={"accept": "application/json"})
    assert answer.status_code == status
    assert said in answer.json()["error"]


def test_what_can_be_set_beside_is_listed_in_the_readers_units(served):
    _, client = served
    us, si = (
        spoken(client.get("/compare?a=1.1", headers={"cookie": f"units={units}"}).text)
        for units in ("us", "metric")
    )
    assert re.search(r", wind \d+ kt", us)
    assert re.search(r", wind \d+ km/h", si.replace("\N{WORD JOINER}", ""))
    assert not re.search(r", wind \d+ kt", si)


def test_a_maneuver_is_never_set_beside_itself(served):
    record, _ = served
    with record.reading() as connection:
        lesson = shown(connection, 1)
    from groundref.progress.flown import LessonFlown

    alone = [LessonFlown(1, lesson.row.date, "", lesson.maneuvers)]
    assert others(alone, 1, lesson.maneuvers[0]) == []
    assert which("12.3", "a") == (12, 3)


def test_from_the_lesson_to_both_in_a_browser(opened, tmp_path):
    page = opened("/")
    for seed in (4, 5):
        file = tmp_path / f"{seed}.gpx"
        file.write_bytes(flown(seed).parts[0][1])
        page.goto(page.url.partition("/lessons")[0])
        page.set_input_files("#recordings", file)
        page.wait_for_url(re.compile(r"/lessons/\d+"))
        page.fill("#who input[name=student]", "Ana Feld")
        page.click("#who button")
        page.wait_for_load_state()
    page.click("#compare a")
    page.click("text='Compare'")
    page.wait_for_url(re.compile(r"/compare\?a=2.1&b=1.1"))
    assert page.locator(".twin svg.figure").count() == 4
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.set_viewport_size({"width": 360, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
