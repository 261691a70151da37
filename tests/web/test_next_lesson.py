"""The next lesson: what a plan takes from the one before stands in its fields, and what is typed wins."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient
from playwright.sync_api import Page

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.sending import send
from tests.web.waiting import until

NAME = "127.0.0.1:8735"
AFTER = "/plan?maneuver=turns-around-a-point&after=1"
METAR = "METAR KXYZ 121753Z 24014G22KT 10SM SCT045 22/12 A2992"
TAKEN = ("wind", "radius_ft", "elevation_ft", "tas_kt", "point", "when")
METRIC = {"cookie": "units=metric"}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path_factory.mktemp("next") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
        rows = _rows(client.get("/lessons/1").text)
        assert send(client, 1, "corrections", {**rows, "ground_ft": "620"}).status_code == 200
        yield client


def _rows(page: str) -> dict[str, str]:
    rows = dict(re.findall(r'<input[^>]* name="((?:from|to)-\d+)" value="([^"]*)"', page))
    kinds = re.findall(r'name="(kind-\d+)">.*?value="([^"]+)" selected', page, re.DOTALL)
    return {**rows, **dict(kinds)}


def shown(page: str) -> dict[str, str]:
    """Return what each field shows, by its id."""
    inputs = re.findall(r'<input id="(\w+)" [^>]*value="([^"]*)"', page)
    areas = re.findall(r'<textarea id="(\w+)"[^>]*>([^<]*)<', page)
    chosen = re.findall(r'<select id="(\w+)"(?:(?!</select>).)*?value="([^"]*)" selected', page, re.DOTALL)
    return {name: html.unescape(text) for name, text in [*inputs, *areas, *chosen]}


def used(client: TestClient, address: str) -> dict[str, object]:
    return client.get(address.replace("/plan?", "/api/plan?")).json()["inputs"]


def test_what_is_used_is_what_the_fields_show(client: TestClient) -> None:
    page = client.get(AFTER).text
    fields, plan = shown(page), used(client, AFTER)
    whence, _, speed = fields["wind"].partition("/")
    assert (float(whence), float(speed)) == (plan["wind_from_deg"], plan["wind_kt"])
    for name in ("radius_ft", "elevation_ft", "tas_kt"):
        assert float(fields[name]) == pytest.approx(plan[name], abs=1e-6), name
    assert float(fields["elevation_ft"]) == 620
    assert fields["direction"] == plan["direction"]
    assert [float(part) for part in fields["point"].split(",")] == pytest.approx([plan["lat"], plan["lon"]])
    assert fields["when"] == plan["day"]
    for name in (*TAKEN, "direction"):
        says = re.search(rf'id="{name}-from">([^<]*)<', page)
        assert says is not None
        assert re.fullmatch(r"(from|proposed after) the lesson of \d+ \w+ \d{4}", says[1]), name


def test_in_metric_the_fields_show_the_same_to_a_tenth(client: TestClient) -> None:
    us, si = shown(client.get(AFTER).text), shown(client.get(AFTER, headers=METRIC).text)
    for name in ("radius_ft", "elevation_ft"):
        assert float(si[name]) == round(float(us[name]) * 0.3048, 1)
    assert float(si["wind"].partition("/")[2]) == round(float(us["wind"].partition("/")[2]) * 1.852, 1)


def test_what_is_typed_wins_and_is_not_said_to_be_of_the_lesson(client: TestClient) -> None:
    other = {"left": "right", "right": "left"}[shown(client.get(AFTER).text)["direction"]]
    address = f"{AFTER}&radius_ft=1700&direction={other}&elevation_ft=0&wind=100%2F5"
    page = client.get(address).text
    plan = used(client, address)
    assert (plan["radius_ft"], plan["direction"], plan["elevation_ft"]) == (1700, other, 0)
    assert (plan["wind_from_deg"], plan["wind_kt"]) == (100, 5)
    for name in ("radius_ft", "direction", "elevation_ft", "wind"):
        assert f'id="{name}-from"></span>' in page
    assert shown(page)["radius_ft"] == "1700"


def test_a_form_without_script_sends_what_was_filled_in_and_it_stays_the_lessons(client: TestClient) -> None:
    page = client.get(AFTER).text
    was = html.unescape(re.search(r'name="was" value="([^"]*)"', page)[1])
    sent = {
        name: text for name, text in shown(page).items() if name not in ("student", "instructor", "paper")
    }
    sent = {**sent, "was": was, "height_ft": "900"}
    answer = client.get("/plan", params=sent, follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"{AFTER}&height_ft=900".replace(
        "&after=1&height_ft=900", "&height_ft=900&after=1"
    )
    again = shown(client.get(answer.headers["location"]).text)
    assert {name: again[name] for name in TAKEN} == {name: sent[name] for name in TAKEN}


def test_a_wrong_field_leaves_the_others_filled_in(client: TestClient) -> None:
    page = client.get(f"{AFTER}&radius_ft=wide").text
    fields = shown(page)
    assert fields["radius_ft"] == "wide"
    assert fields["wind"]
    assert fields["elevation_ft"] == "620"


@pytest.mark.parametrize(
    ("query", "field", "says"),
    [
        ({"wind": "240/14", "metar": METAR}, "metar", "leave “Wind at height” out to use the METAR's"),
        ({"winds_aloft": "2412+05@3000", "metar": METAR}, "metar", "The wind is taken from “Winds aloft”"),
        ({"oat_c": "10", "metar": METAR}, "oat_c", "not that of the METAR"),
        ({"altimeter_hpa": "1000", "metar": METAR}, "altimeter_hpa", "not that of the METAR"),
        ({"altimeter_inhg": "29.5", "metar": METAR}, "altimeter_inhg", "not that of the METAR"),
        ({"when": "2026-05-01", "metar": METAR}, "when", "not that of the METAR"),
        ({"oat_c": "10", "winds_aloft": "2412+05@3000"}, "winds_aloft", "“Temperature at height”"),
        (
            {"variation_deg": "3", "point": "40.1,-90.2", "when": "2026-05-01"},
            "variation_deg",
            "not that of “Point” and day",
        ),
        ({"magnetic": "on", "variation_deg": "2", "metar": METAR}, "magnetic", "Nothing given is taken as"),
        ({"obstacle_ft": "200"}, "obstacle_ft", "give “Below is” for it"),
        ({"rules": "europe"}, "rules", "give “Below is” for it"),
    ],
)
def test_what_is_not_used_is_said_beside_its_field(
    client: TestClient, query: dict[str, str], field: str, says: str
) -> None:
    page = client.get("/plan", params={"maneuver": "turns-around-a-point", **query}).text
    beside = re.search(rf'id="{field}-note">([^<]*)<', page)
    assert beside is not None
    assert says in html.unescape(beside[1])
    assert "--" not in beside[1]
    assert 'class="plan-head"' in page  # there is a plan


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"wind": "240/14", "winds_aloft": "2412+05@3000"}, "winds_aloft"),
        ({"altimeter_inhg": "29.92", "altimeter_hpa": "1013"}, "altimeter_hpa"),
        ({"ias_kt": "90", "tas_kt": "95"}, "ias_kt"),
        ({"point": "40.1,-90.2", "landing": "40.11,-90.21", "landing_from_point": "240/0.8"}, "landing"),
        ({"surface": "forest", "wind": "240/14"}, "surface"),
        ({"surface": "forest", "wind": "240/14", "metar": METAR}, "surface"),
    ],
)
def test_two_of_one_rank_are_refused_beside_a_field(
    client: TestClient, query: dict[str, str], field: str
) -> None:
    page = client.get("/plan", params={"maneuver": "turns-around-a-point", **query}).text
    beside = re.search(rf'id="{field}-wrong">([^<]*)<', page)
    assert beside is not None
    assert beside[1]


def bring(page: Page, address: str, recording: Path) -> None:
    answer = page.request.post(
        f"{address}/lessons",
        multipart={
            "recordings": {
                "name": "lesson.gpx", "mimeType": "application/gpx+xml", "buffer": recording.read_bytes(),
            }
        },
        headers={"origin": address},
    )  # fmt: skip
    assert answer.ok, answer.text()


def test_in_a_browser_fields_are_filled_in_and_a_change_by_hand_wins(
    opened: Callable[..., Page], address: str, recording: Path
) -> None:
    page = opened("/")
    bring(page, address, recording)
    page.goto(f"{address}{AFTER}")
    radius, wind = page.locator("#radius_ft"), page.locator("#wind")
    filled = radius.input_value()
    assert filled
    assert wind.input_value()
    assert "the lesson of" in page.locator("#radius_ft-from").inner_text()
    radius.fill("1700")
    until(page, "document.querySelector('.planned').dataset.query.includes('radius_ft=1700')")
    assert page.locator("#radius_ft-from").inner_text() == ""
    assert page.url.endswith("&radius_ft=1700&after=1")
    page.reload()
    assert radius.input_value() == "1700"
    page.goto(f"{address}/students")
    page.go_back()
    assert radius.input_value() == "1700"
    # Emptied, the field is the lesson's again as soon as it is left.
    radius.fill("")
    until(page, "!document.querySelector('.planned').dataset.query.includes('radius_ft')")
    page.locator("#height_ft").focus()
    until(page, f"document.querySelector('#radius_ft').value === '{filled}'")
    assert "the lesson of" in page.locator("#radius_ft-from").inner_text()


def test_in_a_browser_a_metar_beside_a_wind_is_told_of(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240%2F14")
    page.locator("#metar").fill(METAR)
    until(page, "document.querySelector('#metar-note').textContent !== ''")
    assert "leave “Wind at height” out" in page.locator("#metar-note").inner_text()
    page.locator("#wind").fill("")
    until(page, "document.querySelector('#metar-note').textContent === ''")


def test_in_a_browser_metric_fields_keep_a_shared_address(opened: Callable[..., Page], address: str) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240%2F14")
    page.get_by_role("button", name="Show meters and km/h").click()
    page.locator("#radius_ft").fill("400")
    until(page, "document.querySelector('.planned').dataset.query.includes('radius_ft=1312.33')")
    assert page.get_by_label("Radius, m").input_value() == "400"
    shared = page.url
    assert "radius_m" not in shared
    page.reload()
    assert page.get_by_label("Radius, m").input_value() == "400"
    other = opened(shared.removeprefix(address))
    assert other.get_by_label("Radius, ft").input_value() == "1312"
    other.locator("#max_bank_deg").fill("33")  # another field: the radius, shown rounded, stays 400 m
    until(other, "document.querySelector('.planned').dataset.query.includes('max_bank_deg=33')")
    assert "radius_ft=1312.335958" in other.url


def test_without_script_metric_fields_plan_too(opened: Callable[..., Page], address: str) -> None:
    page = opened("/plan", java_script_enabled=False)
    page.get_by_role("button", name="Show meters and km/h").click()
    page.get_by_label("Radius, m").fill("400")
    page.get_by_role("button", name="Plan it").click()
    assert "radius_ft=1312.33" in page.url
    assert page.get_by_label("Radius, m").input_value() == "400"
