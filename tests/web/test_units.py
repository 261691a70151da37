"""Units for each reader: chosen in the page, kept by the browser, the same address in either."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Iterator

import pypdf
import pytest
from litestar.testing import TestClient

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.sending import send

NAME = "127.0.0.1:8735"
METRIC = {"cookie": "units=metric"}
PLAN = "maneuver=turns-around-a-point&wind=240%2F18&radius_ft=1200"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path_factory.mktemp("units") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post(
            "/lessons",
            files={"recordings": ("lesson.gpx", flown().parts[0][1])},
            headers={"accept": "application/json"},
        )
        send(client, 1, "who", {"student": "Ada Example", "instructor": ""})
        send(client, 1, "remarks", {"remarks": "Next time at 900 ft."})
        yield client


def choose(client: TestClient, units: str, referer: str = ""):
    headers = {"referer": referer} if referer else {}
    return client.post("/units", data={"units": units}, headers=headers, follow_redirects=False)


def test_the_choice_is_kept_by_the_browser_alone_and_leads_back(client: TestClient) -> None:
    answer = choose(client, "metric", f"http://{NAME}/plan?{PLAN}")
    client.cookies.clear()
    assert (answer.status_code, answer.headers["location"]) == (303, f"/plan?{PLAN}")
    cookie = answer.headers["set-cookie"].lower()
    assert cookie.startswith("units=metric;")
    assert "samesite=strict" in cookie
    assert "path=/" in cookie


@pytest.mark.parametrize(
    "referer", ["", "http://evil.example/plan", f"http://{NAME}//evil.example/", "nonsense", "javascript:8"]
)
def test_it_never_leads_elsewhere(client: TestClient, referer: str) -> None:
    assert choose(client, "us", referer).headers["location"] == "/"
    client.cookies.clear()


def test_what_are_no_units_is_refused_and_a_strange_cookie_is_none(client: TestClient) -> None:
    assert choose(client, "cubits").status_code == 400
    assert 'data-units="us"' in client.get("/", headers={"cookie": "units=cubits"}).text


@pytest.mark.parametrize(
    ("path", "us", "si"),
    [
        ("/lessons/1", r"\d kt \(\d", r"\d km/h \(\d"),
        ("/students/Ada%20Example", r"\d kt</dd>", r"\d km/h</dd>"),
        ("/compare?a=1.1&b=1.1", r'class="whole">[^<]*\d ft', r'class="whole">[^<]*\d m\b'),
        (f"/plan?{PLAN}", r"1,200 ft \(366 m\)", r"366 m \(1,200 ft\)"),
        ("/try", r"\d kt \(\d", r"\d km/h \(\d"),
    ],
)
def test_one_address_is_read_in_either(client: TestClient, path: str, us: str, si: str) -> None:
    plain, turned = client.get(path).text, client.get(path, headers=METRIC).text
    plain, turned = (each.replace("\N{NO-BREAK SPACE}", " ") for each in (plain, turned))
    assert [bool(re.search(us, each)) for each in (plain, turned)] == [True, False]
    assert [bool(re.search(si, each)) for each in (plain, turned)] == [False, True]
    assert "Show meters and km/h" in plain
    assert "Show feet and knots" in turned


def test_what_was_typed_and_the_json_stay(client: TestClient) -> None:
    assert "Next time at 900 ft." in client.get("/lessons/1", headers=METRIC).text
    address = "/api/lessons/1/debrief"
    assert client.get(address).content == client.get(address, headers=METRIC).content


def test_paper_is_printed_in_either(client: TestClient) -> None:
    for path in (f"/plan.pdf?{PLAN}", "/students/Ada%20Example.pdf"):
        us, si = (
            "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.content)).pages)
            for answer in (client.get(path), client.get(path, headers=METRIC))
        )
        assert " km/h" in si.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")
        assert len(si) > 0.7 * len(us)
        assert len(re.findall(r"\d\s(?:ft|kt)\b", si)) < len(re.findall(r"\d\s(?:ft|kt)\b", us))


def test_a_try_begins_in_the_readers_lengths_but_keeps_those_of_an_address(client: TestClient) -> None:
    assert 'data-unit="m"' in client.get("/try", headers=METRIC).text
    assert 'data-unit="ft"' in client.get("/try?radius=1200", headers=METRIC).text
    with client.websocket_connect("/try/fly?wind_kt=15", headers=METRIC) as socket:
        said = next(text for _ in range(9) if (text := socket.receive_json().get("says")))
        assert " km/h" in said
        assert " kt" not in said


def told(page: str) -> str:
    return html.unescape(page).replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")


def test_a_reported_wind_is_turned_once(client: TestClient) -> None:
    report = "METAR EGXX 121753Z 24008MPS 9999 22/12 Q1019"
    page = told(client.get("/plan", params={"maneuver": "s-turns", "metar": report}, headers=METRIC).text)
    assert "240° at 28.8 km/h (15.6 kt)" in page
    assert "1019 hPa (30.09 inHg)" in page


def test_a_note_beside_a_report_quotes_the_label_that_is_there_and_only_where_they_differ(
    client: TestClient,
) -> None:
    report = "METAR EGXX 121753Z 24008MPS 9999 22/12 Q1019"
    for setting, noted in (("1013", True), ("1019", False)):
        sent = {"maneuver": "s-turns", "metar": report, "altimeter_hpa": setting}
        page = told(client.get("/plan", params=sent, headers=METRIC).text)
        assert (
            "The altimeter setting is that of “Altimeter setting in hPa”, not that of the METAR" in page
        ) == noted
        assert "“or in hPa”" not in page


def test_speeds_in_pictures_are_those_of_the_table(client: TestClient) -> None:
    sent = {"maneuver": "turns-around-a-point", "wind": "240/9.7"}
    page = told(client.get("/plan", params=sent, headers=METRIC).text)
    drawn = set(re.findall(r">(\d+) km/h, \d+ s<", page))
    rows = set(re.findall(r'class="whole">(\d+) km/h<', page))
    assert drawn
    assert drawn <= rows


def test_what_a_rule_prints_in_feet_has_meters_beside_it(client: TestClient) -> None:
    page = told(client.get("/plan", params={"maneuver": "s-turns"}, headers=METRIC).text)
    assert "305 m (1,000 ft) above the highest obstacle within 610 m (2,000 ft) (14 CFR 91.119(b))" in page


def test_the_band_of_the_standard_has_both_its_ends_in_either_unit(client: TestClient) -> None:
    us, si = (told(client.get("/lessons/1", headers=headers).text) for headers in ({}, METRIC))
    assert "height band of the standard: 600 to 1,000 ft (183 to 305 m)" in us
    assert "height band of the standard: 183 to 305 m (600 to 1,000 ft)" in si
