"""Plans on the page: every number the command's, each refusal beside its field, at once in a real browser."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.testing import TestClient
from playwright.sync_api import Page, expect

from groundref import datafile
from groundref.cli import main
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from groundref.web.planning.fields import KINDS, fields
from tests.record.invented import flown

NAME = "127.0.0.1:8735"
METAR = "METAR KXYZ 121753Z 24014G22KT 10SM SCT045 22/12 A2992"
# To the new picture on the screen; asked for are 150 ms, on a machine that does nothing else.
SLOWEST = 2000


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def of_command(words: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert main(["plan", *words, "--json", "-"]) == 0
    return json.loads(capsys.readouterr().out)


ALOFT = (
    "--winds-aloft 2412+05@3000 --winds-aloft 2620@6000 --elevation-ft 600 --point 40.1,-90.2 "
    "--when 2026-05-01T14:05Z --landing-from-point 240/0.8"
)
MAGNETIC = "--wind 200/12 --magnetic --variation-deg -3 --direction right --tas-kt 95"


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"wind": "240/14G22", "radius_ft": "1000"}, ["--wind", "240/14G22", "--radius-ft", "1000"]),
        (
            {"metar": METAR, "surface": "forest", "when": "2026-05-01", "max_bank_deg": "30"},
            ["--metar", METAR, "--surface", "forest", "--when", "2026-05-01", "--max-bank-deg", "30"],
        ),
        (
            {
                "winds_aloft": "2412+05@3000\n2620@6000",
                "elevation_ft": "600",
                "point": "40.1,-90.2",
                "when": "2026-05-01T14:05Z",
                "landing_from_point": "240/0.8",
            },
            ALOFT.split(),
        ),
        (
            {"wind": "200/12", "magnetic": "on", "variation_deg": "-3", "direction": "right", "tas_kt": "95"},
            MAGNETIC.split(),
        ),
    ],
)
def test_the_json_is_that_of_the_command(
    client: TestClient, query: dict[str, str], words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    asked = {"maneuver": "turns-around-a-point", **query}
    assert client.get("/api/plan", params=asked).json() == of_command(
        ["turns-around-a-point", *words], capsys
    )


@pytest.mark.parametrize("kind", KINDS)
def test_every_maneuver_has_its_plan_in_words_and_pictures(client: TestClient, kind: str) -> None:
    query = {"maneuver": kind, "wind": "240/14"}
    plan = client.get("/api/plan", params=query).json()
    page = client.get("/plan", params=query)
    assert page.status_code == 200
    assert f"{plan['bank_max_deg']:.0f}°" in page.text
    assert f"{plan['ground_speed_max_kt']:.0f} kt" in page.text.replace("\u00a0", " ")
    assert 'id="planned-above"' in page.text
    # What the policy forbids would be let go silently by the browser.
    assert not re.search(r"<style|\sstyle=|<script(?! type=\"module\" src=)", page.text)
    assert "Training aid, not for use in flight" in page.text


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("radius_ft", "wide", "'wide' is not a number"),
        ("radius_ft", "nan", "'nan' is not a number"),
        ("radius_ft", "20", "give 200 to 16000"),
        ("wind", "north", "'north' is not a wind"),
        ("metar", "METAR KXYZ 121753Z 10SM", "There is no wind group"),
        ("winds_aloft", "2412+05", "has no level"),
        ("course_deg", "90", "a turn around a point has no line"),
        ("point", "91,0", "does not lie on the earth"),
        ("landing", "40.1,-90.2", "give “Point” too"),
        ("aircraft", "/etc/passwd", "There is no '/etc/passwd'"),
        ("standard", "../../secret.toml", "There is no"),
        ("surface", "moon", "There is no 'moon'"),
        ("after", "one", "is no number of a lesson"),
        ("veer_deg", "5", "only the wind of a METAR"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(client: TestClient, field: str, text: str, says: str) -> None:
    page = client.get("/plan", params={"maneuver": "turns-around-a-point", field: text})
    assert page.status_code == 200
    beside = re.search(rf'id="{field}-wrong">([^<]*)<', page.text)
    assert beside is not None
    shown = beside[1].replace("&#39;", "'")
    assert says.lower() in shown.lower()
    assert shown.count(".\n") == 0
    assert "--" not in shown
    answer = client.get("/api/plan", params={"maneuver": "turns-around-a-point", field: text})
    assert answer.status_code in (400, 422)
    assert answer.json()["error"]


def test_an_airplane_of_the_record_may_be_chosen(client: TestClient, tmp_path: Path) -> None:
    text, _ = datafile.find("high-wing-trainer", "groundref.aircraft", "aircraft")
    ours = re.sub(r"^name = .*$", 'name = "club-trainer"', text, count=1, flags=re.MULTILINE)
    record = open_record(Place(path=tmp_path / "record.sqlite"))
    add(record, replace(flown(), airplane=("club-trainer", ours)))
    query = {"maneuver": "steep-turns", "aircraft": "club-trainer"}
    page = client.get("/plan", params=query)
    assert '<option value="club-trainer" selected>' in page.text
    plan = client.get("/api/plan", params=query).json()
    assert plan["inputs"]["aircraft"] == "club-trainer"
    kept = client.post("/lessons/plan", data={**query, "lesson": "1"}, follow_redirects=False)
    assert kept.status_code == 303, kept.text
    assert (
        "aircraft=club-trainer" in client.get("/lessons/1/plan", follow_redirects=False).headers["location"]
    )


def test_the_interface_describes_what_a_plan_is_asked_with(client: TestClient) -> None:
    paths = client.get("/schema/openapi.json").json()["paths"]
    for path in ("/api/plan", "/api/plan/seat"):
        described = {one["name"]: one["schema"] for one in paths[path]["get"]["parameters"]}
        assert set(described) == set(fields())
        assert described["radius_ft"] == {"type": "number"}
        assert set(described["maneuver"]["enum"]) == set(KINDS)


def test_each_option_of_the_command_has_a_field() -> None:
    from inspect import signature

    from groundref.asking.surroundings import Lying
    from groundref.cli.plan import plan

    # Files are the command's alone; `after` names a lesson of the record.
    apart = {"wind_file", "ladder", "full", "json", "printed", "surroundings"}
    options = (set(signature(plan).parameters) - apart) | set(Lying.__dataclass_fields__)
    assert set(fields()) == options | {"after"}


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_brief_is_one_page_on_its_paper(client: TestClient, paper: str) -> None:
    from io import BytesIO

    from pypdf import PdfReader

    answer = client.get("/plan.pdf", params={"wind": "240/14", "paper": paper, "student": "Ada Berg"})
    assert answer.headers["content-type"] == "application/pdf"
    pages = PdfReader(BytesIO(answer.content)).pages
    assert len(pages) == 1
    assert "Ada Berg" in pages[0].extract_text()
    # ISO 216 and ANSI/ASME Y14.1, in points.
    sizes = {"a4": (595.28, 841.89), "letter": (612, 792), "a5": (419.53, 595.28)}
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(
        sizes[paper], abs=0.5
    )


def test_no_such_paper(client: TestClient) -> None:
    assert client.get("/plan.pdf", params={"paper": "a0"}).status_code == 400


def test_a_plan_is_kept_with_a_lesson_and_found_from_it(client: TestClient) -> None:
    files = {"recordings": ("lesson.gpx", flown().parts[0][1])}
    assert client.post("/lessons", files=files, headers={"accept": "application/json"}).status_code == 201
    assert client.get("/lessons/1/plan", follow_redirects=False).headers["location"] == "/plan"
    query = {"maneuver": "turns-around-a-point", "wind": "240/12G18", "max_bank_deg": "40", "ias_kt": "90"}
    kept = client.post("/lessons/plan", data={**query, "lesson": "1"}, follow_redirects=False)
    assert (kept.status_code, kept.headers["location"].partition("?")[0]) == (303, "/lessons/1")
    assert "plan" in client.get("/api/lessons/1/debrief").json()
    assert 'href="/lessons/1/plan"' in client.get("/lessons/1").text
    there = client.get("/lessons/1/plan", follow_redirects=False).headers["location"]
    again = client.get(there.replace("/plan?", "/api/plan?")).json()
    first = client.get("/api/plan", params=query).json()
    for name in ("tas_kt", "radius_ft", "bank_max_deg", "ground_speed_min_kt", "height_max_ft"):
        assert again[name] == pytest.approx(first[name], abs=0.11, rel=1e-3), name
    assert again["inputs"]["gust_kt"] == 18
    following = client.get("/plan", params={"maneuver": "turns-around-a-point", "after": "1"})
    assert "The next exercise, and why" in following.text
    assert client.post("/lessons/plan", data={**query, "lesson": "9"}).status_code == 404
    assert client.post("/lessons/plan", data={**query, "lesson": "x"}).status_code == 400


CHANGED = """async ({name, value}) => {
  const field = document.getElementById(name), result = document.querySelector(".result");
  const begun = performance.now();
  const seen = new Promise((done) => new MutationObserver((_, watch) => {
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
  }).observe(result, {childList: true}));
  field.value = value;
  field.dispatchEvent(new Event("input", {bubbles: true}));
  return await seen;
}"""


def test_a_changed_number_is_a_new_picture_at_once(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240/14")
    times = sorted(
        page.evaluate(CHANGED, {"name": "radius_ft", "value": str(900 + 10 * n)}) for n in range(7)
    )
    print(f"from a changed number to the new picture: {times[3]:.0f} ms, the slowest of 7 {times[-1]:.0f} ms")
    assert times[3] < SLOWEST
    assert "960 ft" in (page.locator("#planned-above").text_content() or "")
    assert page.url.endswith("radius_ft=960&wind=240%2F14")
    shown = page.locator(".plan-head .says").inner_text()
    page.locator("[role=status]", has_text="960 ft").wait_for(state="attached")
    page.reload()
    assert page.locator(".plan-head .says").inner_text() == shown


def test_half_typed_the_plan_before_stays_and_the_field_says_why(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240/14")
    page.locator("#wind").fill("240/")
    page.locator("#wind-wrong", has_text="is not a wind").wait_for()
    assert page.locator("#wind").get_attribute("aria-invalid") == "true"
    assert page.locator("#planned-above").is_visible()
    page.locator("#wind").fill("200/10")
    page.locator(".plan-head", has_text="Plan").wait_for()
    page.locator(".result.stale").wait_for(state="detached")
    assert page.locator("#wind-wrong").inner_text() == ""
    page.locator("#maneuver").select_option("s-turns")
    page.locator("h2", has_text="S-turns").or_(page.locator("h2", has_text="s-turns")).first.wait_for()
    assert page.locator("#course_deg").is_visible()


def test_the_button_says_what_is_wrong_and_leads_to_its_field(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240/14")
    page.locator("#radius_ft").fill("100000000000000000000")
    page.locator("#laps").evaluate("field => field.closest('details').open = true")
    page.locator("#laps").focus()
    says = "No plan: Radius: 100000000000000000000 is out of range; give 200 to 16000 ft."
    page.locator(".at-once.wrong-so", has_text=says).wait_for()
    for place in (".at-once a", ".result .no-plan a"):
        line = page.locator(place)
        assert line.inner_text() == says
        assert line.get_attribute("href") == "#radius_ft"
        box = line.bounding_box()
        assert box is not None
        assert box["height"] >= 44
        assert box["width"] > 200
    button = page.get_by_role("button", name="Plan it")
    button.scroll_into_view_if_needed()
    beside = page.locator(".at-once").bounding_box()
    pressed = button.bounding_box()
    assert beside is not None
    assert pressed is not None
    assert abs(beside["y"] - pressed["y"]) < 120
    button.click()
    expect(page.locator("#radius_ft")).to_be_focused()
    page.locator(".asked [role=status]", has_text=says).wait_for(state="attached")
    page.locator("#radius_ft").fill("900")
    page.locator(".at-once.wrong-so").wait_for(state="detached")
    assert page.locator(".no-plan").is_hidden()


def test_without_script_the_wrong_field_is_named_and_has_the_focus(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point", java_script_enabled=False)
    page.locator("#radius_ft").fill("20")
    page.get_by_role("button", name="Plan it").click()
    assert page.locator(".at-once a").inner_text().startswith("No plan: Radius: 20 is out of range")
    assert page.evaluate("document.activeElement.id") == "radius_ft"


def test_with_script_the_page_takes_the_focus_from_nobody(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&radius_ft=20")
    expect(page.locator("#radius_ft")).to_have_attribute("aria-invalid", "true")
    assert page.locator("[autofocus]").count() == 0
    page.locator("#wind").focus()
    page.reload()
    assert page.evaluate("document.activeElement.id") != "radius_ft"
    assert "without_script" not in page.url


def test_without_script_the_button_plans(opened: Callable[..., Page]) -> None:
    page = opened("/plan", java_script_enabled=False)
    page.locator("#radius_ft").fill("900")
    page.get_by_role("button", name="Plan it").click()
    assert "radius_ft=900" in page.url
    assert "900 ft" in (page.locator("#planned-above").text_content() or "")


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (820, "dark"), (390, "light"), (360, "dark")])
def test_it_is_for_everyone(opened: Callable[..., Page], width: int, scheme: str) -> None:
    page = opened("/plan?maneuver=rectangular-course&wind=240/22&radius_ft=700", width, color_scheme=scheme)
    page.wait_for_load_state("networkidle")
    for folded in page.locator(".asked summary").all():
        folded.click()
    page.wait_for_timeout(300)
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    low = page.evaluate(
        """[...document.querySelectorAll("main :is(button, input, select, textarea, summary, label.tick)")]
        .filter((one) => one.checkVisibility() && one.type !== "checkbox" && one.type !== "hidden")
        .filter((one) => one.getBoundingClientRect().height < 43.9).map((one) => one.outerHTML)"""
    )
    assert low == []


@pytest.mark.parametrize("kind", KINDS)
def test_each_plan_is_seen_from_the_seat(client: TestClient, kind: str) -> None:
    query = {"maneuver": kind, "wind": "240/14"}
    seen = client.get("/api/plan/seat", params=query).json()
    schedule = client.get("/api/plan", params=query).json()["positions"]
    assert seen["bank_deg"] == pytest.approx([one["bank_deg"] for one in schedule], abs=0.06)
    at = seen["seconds"][len(seen["seconds"]) // 2]
    page = client.get("/plan/seat", params={**query, "at": str(at)})
    assert page.status_code == 200
    assert f'value="{at}"' in page.text
    assert 'id="side-view"' in page.text
    assert 'href="/plan/seat?maneuver=' in client.get("/plan", params=query).text


def test_without_a_plan_the_seat_leads_to_why(client: TestClient) -> None:
    answer = client.get("/plan/seat", params={"radius_ft": "wide"}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"].partition("?")[0]) == (303, "/plan")
    assert (
        "'wide' is not a number" in client.get("/api/plan/seat", params={"radius_ft": "wide"}).json()["error"]
    )


def test_the_seat_of_a_plan_goes_round_and_its_address_follows(opened: Callable[..., Page]) -> None:
    page = opened("/plan/seat?maneuver=turns-around-a-point&wind=240%2F14&at=12")
    page.wait_for_selector(".from-seat.in-space .view canvas", timeout=60_000)
    page.locator("#at").fill("24")
    assert "past downwind" in page.locator(".slide output").inner_text()
    page.wait_for_url("**/plan/seat?maneuver=turns-around-a-point&wind=240%2F14&at=24.0")
    said = page.locator(".from-seat > .says").inner_text()
    page.reload()
    assert page.locator(".from-seat > .says").inner_text() == said


@pytest.mark.parametrize("kind", ["turns-around-a-point", "eights-on-pylons", "rectangular-course"])
def test_a_telephone_shows_what_is_set_first_and_says_that_there_is_more(
    opened: Callable[..., Page], kind: str
) -> None:
    page = opened(f"/plan?maneuver={kind}&wind=240/14", 360)
    expect(page.locator(".drawn.narrow")).to_be_visible()  # asked for again, with larger letters
    table = page.locator("section.to-fly .scroll")
    heads = table.locator("thead th").all_text_contents()
    assert heads[:4] == ["bank", "ground speed", "crab", "height"]
    edge = table.evaluate("(one) => one.getBoundingClientRect().right")
    shown = table.locator("thead th").evaluate_all(
        "(all) => all.map((one) => one.getBoundingClientRect().right)"
    )
    assert shown[3] <= edge < shown[-1]
    said = "(one) => getComputedStyle(one, '::before').content"
    assert "scroll sideways" in table.evaluate(said)
    page.set_viewport_size({"width": 820, "height": 1180})
    assert table.evaluate(said) == "none"
