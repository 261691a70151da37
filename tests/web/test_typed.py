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

from groundref.errors import UsageError
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
NUMBERS = st.decimals(-99_999, 99_999, places=1)


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
    return html.unescape((found or area)[1])


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
def test_whole_feet_and_knots_are_shown_to_a_tenth_and_sent_again_exactly(number: int) -> None:
    for name in ("radius_ft", "tas_kt"):
        said = {name: str(number)}
        field = typed.shown(name, said[name])
        assert len(field.partition(".")[2]) <= 1
        form = {typed.metric_name(name): field, typed.EXACT: typed.exact(said, metric=True)}
        assert typed.in_address(form, {typed.metric_name(name): name}) == said


@given(st.decimals(1, 9_999, places=1))
def test_metres_are_shown_in_whole_feet_and_sent_again_exactly(number: Decimal) -> None:
    said = {"radius_ft": typed.read("radius_ft", str(number))}
    field = typed.shown("radius_ft", said["radius_ft"], metric=False)
    assert abs(float(field) * constants.foot - float(number)) <= 0.5 * constants.foot + 1e-6
    form = {"radius_ft": field, typed.EXACT: typed.exact(said, metric=False)}
    assert typed.in_address(form, {"radius_m": "radius_ft"}) == said
    form["radius_ft"] = "77"
    assert typed.in_address(form, {"radius_m": "radius_ft"}) == {"radius_ft": "77"}


@pytest.mark.parametrize(
    ("text", "value"),
    [("189,5", 189.5), ("189.5", 189.5), ("-3,25", -3.25), ("−3", -3.0), ("0,125", 0.125), ("1e3", 1000.0)],
)
def test_a_comma_is_a_decimal_sign(text: str, value: float) -> None:
    assert typed.number(text, "radius") == value


@pytest.mark.parametrize(
    "text", ["1,200", "1 200", "1.200,5", "1,200.5", "1'200", "1\u00a0200", "12,345,678"]
)
def test_what_parts_thousands_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(UsageError, match=r"may part thousands or decimals; .* 1200"):
        typed.number(text, "radius")


@pytest.mark.parametrize("text", ["wide", "inf", "nan", "1,2,3", ""])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="is not a number"):
        typed.number(text, "radius")


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
        ("wind", "240/26,5", "240/14.308855"),
        ("wind", "240/14KT", "240/14KT"),  # as typed, wherever it is shown
        ("wind", "240/26 km/h", "240/26 km/h"),
        ("wind", "240/8m/s", "240/8m/s"),
        ("wind", "24008MPS", "24008MPS"),
        ("winds_aloft", "2412+05@914.4\n2620@1828.8", "2412+05@3000\n2620@6000"),
        ("winds_aloft", "2412+05@3000ft", "2412+05@3000"),
        ("radius_ft", "wide", "wide"),
        ("radius_ft", "1e3", "3280.839895"),
        ("radius_ft", "304,8", "1000"),
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
    assert field(us, "radius_ft") == "1312"
    exact = field(us, "exact")  # so what is shown rounded, and not touched, stays 400 m
    again = client.get(
        "/plan", params={**CIRCLE, "radius_ft": "1312", "exact": exact}, follow_redirects=False
    )
    assert parse_qs(urlsplit(again.headers["location"]).query)["radius_ft"] == ["1312.335958"]
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
        (
            "radius_m",
            "1,200",
            "'1,200' may part thousands or decimals; write it without parting thousands: 1200",
        ),
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
    assert "is out of range" not in got(client, "/plan", {**CIRCLE, "ias_kmh": "463"})
    too_short = got(client, "/plan", {"maneuver": "rectangular-course", "spacing_m": "914"})
    assert "915 m (3,000 ft) or more" in too_short.replace("\N{NO-BREAK SPACE}", " ")
    assert "or more, or a smaller" not in got(
        client, "/plan", {"maneuver": "rectangular-course", "spacing_m": "915"}
    )


@pytest.mark.parametrize(
    ("typed_in", "knots"),
    [
        ("240/8m/s", 15.55),
        ("240/8mps", 15.55),
        ("24008MPS", 15.55),
        ("240/12KT", 12.0),
        ("240/26 km/h", 14.04),
    ],
)
def test_a_wind_may_have_its_unit_behind_it(client: TestClient, typed_in: str, knots: float) -> None:
    page = got(client, "/plan", {**CIRCLE, "wind_kmh": typed_in})
    assert field(page, "wind_kmh") == typed_in
    made = client.get("/api/plan", params={**CIRCLE, "wind": typed_in}).json()["inputs"]
    assert made["wind_from_deg"] == 240
    assert made["wind_kt"] == pytest.approx(knots, abs=0.06)
    assert client.get("/plan", params={**CIRCLE, "wind": "240/8mph"}).status_code == 200
    assert "is not a wind" in client.get("/plan", params={**CIRCLE, "wind": "240/8mph"}).text


def test_a_comma_is_taken_by_either_reader(client: TestClient) -> None:
    assert field(got(client, "/plan", {**CIRCLE, "elevation_m": "189,5"}), "elevation_m") == "189.5"
    made = client.get("/api/plan", params={**CIRCLE, "elevation_ft": "620,5", "wind": "240/8,5"}).json()
    assert made["inputs"]["elevation_ft"] == pytest.approx(620.5, abs=0.5)
    assert made["inputs"]["wind_kt"] == pytest.approx(8.5)


@pytest.mark.parametrize(("metres", "kept"), [("149", False), ("150", True), ("152", True)])
def test_a_rule_printed_in_meters_is_kept_in_meters(client: TestClient, metres: str, kept: bool) -> None:
    page = got(client, "/plan", {**CIRCLE, "height_m": metres, "surroundings": "open", "rules": "europe"})
    page = html.unescape(page).replace("\N{NO-BREAK SPACE}", " ")
    assert ("below the 150 m (500 ft) that SERA.5005(f)(2)" not in page) == kept
    assert ("plan 150 m (500 ft) or more" not in page) == kept


def test_corrections_are_typed_in_the_readers_units(client: TestClient) -> None:
    page = client.get("/lessons/1", headers=METRIC).text
    assert "Ground elevation, m above sea level" in page
    rows = dict(re.findall(r'<input[^>]* name="((?:from|to)-\d+)" value="([^"]*)"', page))
    kinds = {
        name: re.search(rf'name="{name}">.*?value="([^"]+)" selected', page, re.DOTALL)[1]
        for name in re.findall(r'name="(kind-\d+)"', page)
    }
    made_of = carried(page, "/lessons/1/corrections")
    sent = {**made_of, **rows, **kinds, "ground_m": "150", "wind_kmh": "240/26"}
    headers = {**METRIC, "accept": "application/json"}
    wrong = client.post("/lessons/1/corrections", data={**sent, "ground_m": "99999"}, headers=headers)
    assert wrong.status_code == 400
    assert wrong.json()["error"] == "Ground elevation: 99999 is out of range; give -609 to 9144 m."
    assert client.post("/lessons/1/corrections", data=sent, headers=METRIC).status_code == 200
    again = client.get("/lessons/1", headers=METRIC).text
    assert (field(again, "ground_m"), field(again, "wind_kmh")) == ("150", "240/26")
    us = client.get("/lessons/1").text
    assert field(us, "ground_ft") == "492"
    # Sent again as shown, rounded, it stays what it is.
    sent = {**carried(us, "/lessons/1/corrections"), **rows, **kinds, "ground_ft": "492", "wind": "240/14"}
    assert client.post("/lessons/1/corrections", data=sent).status_code == 200
    kept = client.get("/lessons/1", headers=METRIC).text
    assert (field(kept, "ground_m"), field(kept, "wind_kmh")) == ("150", "240/26")
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
    assert field(us, "radius_ft") == "1476"
    fresh = client.get("/try", headers=METRIC).text
    assert [field(fresh, name) for name in ("wind_kmh", "tas_kmh", "radius_m")] == ["30", "170", "400"]
    refused = client.get("/try", params={**sent, "wind_kmh": "200"}, headers=METRIC)
    assert refused.status_code == 400
    assert "0 to 111 km/h" in refused.text.replace("\N{NO-BREAK SPACE}", " ")
