"""Fields in the reader's units: what is typed in meters is shown after, and an address means one thing.

1 ft = 0.3048 m and 1 kt = 1.852 km/h exactly, as scipy.constants has them too.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from decimal import Decimal
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st
from litestar.testing import TestClient
from scipy import constants

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web import typed
from groundref.web.app import build
from groundref.web.planning.fields import fields, metric_inputs
from tests.record.invented import flown
from tests.web.sending import carried, send

NAME = "127.0.0.1:8735"
METRIC = {"cookie": "units=metric"}
CIRCLE = {"maneuver": "turns-around-a-point"}
NUMBERS = st.decimals(-99_999, 99_999, places=3)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path_factory.mktemp("typed") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
        yield client


def got(client: TestClient, path: str, sent: dict[str, str]) -> str:
    """Return the page that a form in metric units leads to: a redirect would lose the header of the test."""
    answer = client.get(path, params=sent, headers=METRIC, follow_redirects=False)
    assert answer.status_code == 303
    return client.get(answer.headers["location"], headers=METRIC).text


def field(page: str, name: str) -> str:
    """Return what a field of a page is filled in with, by its name in the form."""
    found = re.search(rf'<input [^>]*name="{name}"[^>]* value="([^"]*)"', page)
    area = re.search(rf'<textarea [^>]*name="{name}"[^>]*>([^<]*)<', page)
    assert found or area, name
    return html.unescape((found or area)[1])  # type: ignore[index]


@given(NUMBERS)
@pytest.mark.parametrize("name", ["radius_ft", "ias_kt"])
def test_what_is_typed_in_metric_is_what_is_shown(name: str, number: Decimal) -> None:
    again = typed.shown(name, typed.read(name, str(number)))
    assert Decimal(again) == number


@given(NUMBERS)
def test_the_address_has_the_same_length_and_speed(number: Decimal) -> None:
    assert float(typed.read("radius_ft", str(number))) * constants.foot == pytest.approx(
        float(number), abs=1e-6
    )
    kmh = float(typed.read("ias_kt", str(number))) * constants.knot / constants.kmh
    assert kmh == pytest.approx(float(number), abs=1e-6)


@given(st.integers(-2000, 60_000))
def test_whole_feet_and_knots_are_shown_exactly(number: int) -> None:
    for name in ("radius_ft", "tas_kt"):
        assert Decimal(typed.read(name, typed.shown(name, str(number)))) == number


@given(st.integers(0, 360), st.decimals(0, 180, places=1), st.none() | st.decimals(0, 270, places=1))
def test_a_wind_typed_in_metric_is_the_one_shown(whence: int, mean: Decimal, gust: Decimal | None) -> None:
    text = f"{whence:03d}/{mean}" + ("" if gust is None else f"G{gust}")
    shown = typed.shown("wind", typed.read("wind", text))
    there, back = (re.split("[/G]", each) for each in (text, shown))
    assert [Decimal(each) for each in there] == [Decimal(each) for each in back]


@pytest.mark.parametrize(
    ("name", "text", "turned"),
    [
        ("wind", "240/26", "240/14.038877"),
        ("wind", "240/14KT", "240/14"),
        ("wind", "240/26 km/h", "240/14.038877"),
        ("winds_aloft", "2412+05@914.4\n2620@1828.8", "2412+05@3000\n2620@6000"),
        ("winds_aloft", "2412+05@3000ft", "2412+05@3000"),
        ("radius_ft", "wide", "wide"),
        ("radius_ft", "1e3", "3280.839895"),
        ("radius_ft", "inf", "inf"),
        ("radius_ft", "nan", "nan"),
        ("max_bank_deg", "30", "30"),
        ("metar", "METAR KXYZ 121753Z 24014KT", "METAR KXYZ 121753Z 24014KT"),
    ],
)
def test_what_becomes_of_it(name: str, text: str, turned: str) -> None:
    assert typed.read(name, text) == turned


def test_every_field_in_feet_or_knots_has_a_metric_one() -> None:
    for name, one in fields().items():
        us = re.search(r"\b(ft|kt)\b", one.label) is not None
        assert (name in metric_inputs().values()) == us, name
        assert not re.search(r"\b(ft|kt)\b", one.words(metric=True))


def test_a_form_in_metric_leads_to_an_address_that_is_the_same_for_all(client: TestClient) -> None:
    sent = {**CIRCLE, "radius_m": "400", "wind_kmh": "240/25", "height_m": "250", "elevation_m": "180"}
    answer = client.get("/plan", params=sent, headers=METRIC, follow_redirects=False)
    assert answer.status_code == 303
    address = answer.headers["location"]
    assert set(parse_qs(urlsplit(address).query)) == {
        "maneuver", "radius_ft", "wind", "height_ft", "elevation_ft",
    }  # fmt: skip
    metric = client.get(address, headers=METRIC).text
    assert {name: field(metric, name) for name in sent if name != "maneuver"} == {
        name: text for name, text in sent.items() if name != "maneuver"
    }
    assert re.search(r"\b400 m\b", metric.replace("\N{NO-BREAK SPACE}", " "))
    us = client.get(address).text
    assert float(field(us, "radius_ft")) * constants.foot == pytest.approx(400)
    assert 'name="radius_m"' not in us
    # The interface for programs knows feet alone, whoever asks.
    query = urlsplit(address).query
    plans = [client.get(f"/api/plan?{query}", headers=headers).json() for headers in ({}, METRIC)]
    assert plans[0] == plans[1]
    assert plans[0]["radius_ft"] * constants.foot == pytest.approx(400, abs=0.2)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("radius_m", "5", "5 is out of range; give 61 to 4876 m"),
        ("ias_kmh", "900", "900 is out of range; give 56 to 463 km/h"),
        ("elevation_m", "9999", "9999 is out of range; give -609 to 4572 m"),
        ("radius_m", "wide", "is not a number"),
        ("wind_kmh", "north", "write it as direction from / km/h, such as 240/26"),
        ("wind_kmh", "240/400", "400 is out of range; give 0 to 183 km/h"),
        ("winds_aloft_m", "2412+05", "in m above sea level, such as 2412+05@900"),
    ],
)
def test_a_refusal_is_in_the_units_of_the_form(client: TestClient, name: str, text: str, says: str) -> None:
    page = got(client, "/plan", {**CIRCLE, name: text})
    beside = re.search(rf'id="{metric_inputs()[name]}-wrong">([^<]*)<', page)
    assert beside is not None
    assert says in html.unescape(beside[1])
    assert field(page, name) == text


def test_what_a_refusal_offers_is_taken(client: TestClient) -> None:
    for offered in ("61", "4876"):
        page = got(client, "/plan", {**CIRCLE, "radius_m": offered})
        assert "is out of range" not in page


def test_corrections_are_typed_in_the_readers_units(client: TestClient) -> None:
    page = client.get("/lessons/1", headers=METRIC).text
    assert "Ground, m above sea level" in page
    rows = dict(re.findall(r'<(?:input) name="((?:from|to)-\d+)" value="([^"]*)"', page))
    kinds = {
        name: re.search(rf'name="{name}">.*?value="([^"]+)" selected', page, re.DOTALL)[1]  # type: ignore[index]
        for name in re.findall(r'name="(kind-\d+)"', page)
    }
    made_of = carried(page, "/lessons/1/corrections")
    sent = {**made_of, **rows, **kinds, "ground_m": "150", "wind_kmh": "240/26"}
    headers = {**METRIC, "accept": "application/json"}
    wrong = client.post("/lessons/1/corrections", data={**sent, "ground_m": "99999"}, headers=headers)
    assert wrong.status_code == 400
    assert wrong.json()["error"] == "ground_m: 99999 is out of range; give -609 to 9144 m"
    assert client.post("/lessons/1/corrections", data=sent, headers=METRIC).status_code == 200
    again = client.get("/lessons/1", headers=METRIC).text
    assert (field(again, "ground_m"), field(again, "wind_kmh")) == ("150", "240/26")
    us = client.get("/lessons/1").text
    assert float(field(us, "ground_ft")) * constants.foot == pytest.approx(150, abs=1e-5)
    send(client, 1, "corrections", {**rows, **kinds, "ground_ft": "", "wind": ""})


def test_a_try_is_asked_for_in_the_readers_units(client: TestClient) -> None:
    sent = {"wind_kmh": "30", "tas_kmh": "170", "radius_m": "450", "from_deg": "240"}
    answer = client.get("/try", params=sent, headers=METRIC, follow_redirects=False)
    assert answer.status_code == 303
    said = parse_qs(urlsplit(answer.headers["location"]).query)
    assert (said["radius"], said["unit"]) == (["450"], ["m"])
    assert float(said["wind_kt"][0]) == pytest.approx(30 / 1.852, abs=1e-6)
    page = client.get(answer.headers["location"], headers=METRIC).text
    for name in ("wind_kmh", "tas_kmh", "radius_m"):
        assert field(page, name) == sent[name]
    us = client.get(answer.headers["location"]).text
    assert float(field(us, "radius_ft")) * constants.foot == pytest.approx(450, abs=1e-5)
    refused = client.get("/try", params={**sent, "wind_kmh": "200"}, headers=METRIC)
    assert refused.status_code == 400
    assert "0 to 111 km/h" in refused.text.replace("\N{NO-BREAK SPACE}", " ")
