"""A try through the connection that flies it, without a browser."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import pairwise
from math import atan2, hypot, pi, radians, sin, tau
from time import monotonic, sleep

import pytest
from litestar.exceptions import WebSocketDisconnect
from litestar.testing import TestClient

from groundref.mechanics import circle, trochoid
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.simulation.by_hand import START
from groundref.units import foot, knot
from groundref.web.app import build
from groundref.web.trying import told
from groundref.web.trying.asked import Asked
from groundref.web.trying.finished import Tries
from groundref.web.trying.flown import LONGEST, STEP, Flown
from groundref.web.trying.orders import Order
from tests.web.sending import send

NAME = "127.0.0.1:8735"
USUAL = "from_deg=240&wind_kt=15&tas_kt=90&radius=1200&unit=ft&direction=left"


@pytest.fixture(scope="module")
def tries() -> Tries:
    return Tries(most=3)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory, tries: Tries) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path_factory.mktemp("try") / "record.sqlite"), make=True)
    app = build(record, [NAME], tries=tries)
    with TestClient(app, base_url=f"http://{NAME}") as client:
        yield client


def heard(line, kind: str, within: float = 20.0) -> dict:
    """Return the next of a kind that is told."""
    end = monotonic() + within
    while monotonic() < end:
        message = json.loads(line.receive_text(timeout=within))
        if message["told"] == kind:
            return message
    raise AssertionError(f"nothing of kind {kind} was told")


def closed(line, within: float = 20.0) -> tuple[int, str]:
    """Return how the connection ends."""
    try:
        while True:
            line.receive_text(timeout=within)
    except WebSocketDisconnect as ended:
        return ended.code, ended.detail


def test_the_page_says_what_the_circle_needs(client: TestClient) -> None:
    page = client.get(f"/try?{USUAL}")
    assert page.status_code == 200
    # derivations.md B: tan(bank) = (V ± W)² / (g R) downwind and upwind.
    for wind, place in ((15, "downwind"), (-15, "upwind")):
        needed = circle.bank_from_ground_speed((90 + wind) * knot, 0.0, 1200 * foot)
        row = re.search(rf"{place}.*?</tr>", page.text)
        assert row is not None
        assert f"{90 + wind} kt" in row[0]
        assert f"{needed / radians(1):.0f}° left" in row[0]
    assert "<script>" not in page.text
    assert "style=" not in page.text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("wind_kt=x", "the wind"),
        ("wind_kt=nan", "the wind"),
        ("tas_kt=50&wind_kt=40", "too strong"),
        ("radius=300&tas_kt=120", "bank downwind"),
        ("direction=up", "direction"),
        ("airplane=../../etc/passwd", "airplane"),
        ("radius=1e999", "radius"),
    ],
)
def test_what_cannot_be_flown_is_refused_in_one_sentence(client: TestClient, asked: str, said: str) -> None:
    page = client.get(f"/try?{asked}")
    assert page.status_code == 400
    assert said in page.text
    with client.websocket_connect(f"/try/fly?{asked}") as line:
        code, reason = closed(line)
    assert code == 4422
    assert said.split()[0] in reason


def test_what_is_refused_stands_in_the_form_with_the_sentence_at_its_field(client: TestClient) -> None:
    typed = {"from_deg": "310", "wind_kt": "60", "tas_kt": "90", "radius_ft": "1500", "direction": "right"}
    page = client.get("/try", params=typed)
    assert page.status_code == 400
    for name, value in (("from_deg", "310"), ("wind_kt", "60"), ("tas_kt", "90"), ("radius", "1500")):
        assert re.search(rf'<input id="{name}" [^>]*value="{value}"', page.text)
    assert "<option selected>right</option>" in page.text
    field = re.search(r'<input id="wind_kt" [^>]*aria-invalid="true"[^>]*>(<span.*?</span>)', page.text)
    assert "The wind is too strong for the airspeed: choose a wind below 60% of the airspeed." in field[1]
    assert page.text.count("aria-invalid") == 1
    assert client.get("/try", params={**typed, "wind_kt": "40"}).status_code == 200


def test_it_flies_when_told_and_stands_still_when_paused(client: TestClient) -> None:
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        begun = heard(line, "begun")
        assert begun["steps_a_second"] >= 20
        assert begun["radius_m"] == pytest.approx(1200 * foot, abs=0.01)
        assert heard(line, "moment")["seconds"] == 0.0
        assert "Ground speed 105 kt" in heard(line, "says")["says"]
        line.send_json({"paused": False})
        since, first = monotonic(), heard(line, "moment")["seconds"]
        moments = [heard(line, "moment") for _ in range(60)]
        rate = 60 / (monotonic() - since)
        steps = [b["seconds"] - a["seconds"] for a, b in pairwise(moments)]
        assert first == pytest.approx(STEP, abs=0.01)
        assert max(steps) <= STEP + 0.011
        assert rate > 20
        line.send_json({"bank_deg": -20})
        while heard(line, "moment")["bank_deg"] != -20.0:
            pass
        line.send_json({"paused": True, "bank_deg": -5})
        line.send_json({"paused": False})
        # What was flown before that order was heard may still be on its way.
        assert any(heard(line, "moment")["bank_deg"] > -20.0 for _ in range(90))


def test_a_bank_held_is_told_with_its_drift_and_debriefed_and_kept_when_asked(
    client: TestClient, tries: Tries
) -> None:
    """The clock is left out: the try is stepped, and what was flown is put at hand as its end does."""
    asked = Asked(radius=400.0, unit="m")
    flown = Flown(asked)
    said: list[dict] = []
    while flown.moments[-1].time < START - 1.0:
        said += flown.step()
    flown.order(Order(bank_deg=-30.0))
    while flown.moments[-1].time < START + 3.0:
        said += flown.step()
    (holding,) = flown.order(Order(hold=True))
    lap = float(trochoid.lap_time(90 * knot, radians(30)))
    while flown.moments[-1].time < START + 3.0 + 3.2 * lap:
        said += flown.step()
    # derivations.md C: 90/15 kt at 30° drift 396.488 m in 51.381 s.
    assert holding["drift_m"] == pytest.approx(396.49, abs=0.01)
    assert holding["lap_s"] == pytest.approx(51.38, abs=0.01)
    drifts = [one for one in said if one["told"] == "drifted"]
    assert [one["drift_m"] for one in drifts] == pytest.approx([396.49, 792.98, 1189.46], abs=0.02)
    east, north = (b - a for a, b in zip(drifts[0]["from_m"], drifts[0]["to_m"], strict=True))
    assert (east, north) == pytest.approx((396.49 * sin(radians(60)), 396.49 * 0.5), abs=0.1)
    assert "397 m downwind" in drifts[0]["says"] or "396 m downwind" in drifts[0]["says"]

    name = tries.finish(asked, flown.moments)
    assert "There is no lesson yet" in client.get("/").text
    debrief = client.get(f"/tried/{name}")
    assert debrief.status_code == 200
    assert "bank stayed near 30°" in debrief.text
    # 2πVW/(g tan φ) is 1,300.8 ft, and the circle's drift and the finding's are one figure.
    text = debrief.text.replace("\xa0", " ")
    (moved,) = re.findall(r"its center moved ([\d,]+ ±\d+ ft)", text)
    (worth,) = re.findall(r"none of the change the wind asked for was made, worth (.+?) of drift", text)
    assert (moved, worth) == ("1,301 ±8 ft", "1,301 ft (± 8 ft)")
    assert "There is no lesson yet" in client.get("/").text
    for _ in range(2):  # the second time it is recognized
        kept = client.post(f"/tried/{name}/keep", follow_redirects=False)
        assert kept.status_code == 303
        assert kept.headers["location"].partition("?")[0] == "/lessons/1"
    assert "bank stayed near 30°" in client.get("/lessons/1").text


def test_a_try_that_is_kept_stays_marked_and_counts_in_no_progress(client: TestClient, tries: Tries) -> None:
    flown = Flown(Asked())
    flown.order(Order(bank_deg=-33.0))
    while flown.moments[-1].time < 100.0:
        flown.step()
    kept = client.post(f"/tried/{tries.finish(flown.asked, flown.moments)}/keep", follow_redirects=False)
    assert kept.status_code == 303, kept.text
    page = kept.headers["location"].partition("?")[0]
    number = int(page.rpartition("/")[2])
    who = {"student": "Ana Petersen", "instructor": "Ines Okafor", "site": ""}
    assert send(client, number, "who", who, follow_redirects=False).status_code == 303
    assert "Flown on the ground" in client.get("/").text
    assert "0 lessons, 1 try on the ground" in client.get("/").text
    assert "0 lessons, 1 try on the ground" in client.get("/students").text
    lesson = client.get(page).text
    assert f"Lesson {number} · Flown on the ground" in lesson
    assert "counts in no progress" in lesson
    assert "a try on the ground" in lesson[lesson.index("sign-off") :]  # printed
    assert f"Lesson {number}, flown on the ground" in client.get(f"/compare?a={number}.1").text
    student = client.get("/students/Ana%20Petersen").text
    assert "No lessons yet; 1 try on the ground, not counted." in student
    assert "Flown on the ground, not counted" in student
    told = client.get("/api/students/Ana%20Petersen/progress").json()
    assert (told["lessons"], told["tries"], told["maneuvers"]) == (0, 1, [])
    signer = {"instructor": "Ines Okafor"}
    assert send(client, number, "signature", signer, follow_redirects=False).status_code == 303
    assert f"Lesson {number} · Flown on the ground · signed by Ines Okafor" in client.get(page).text


def test_a_try_cut_short_says_how_far_round_it_went_and_asks_for_nothing_known(
    client: TestClient, tries: Tries
) -> None:
    asked = Asked(direction="left")
    flown = Flown(asked)
    flown.begin()
    while flown.moments[-1].time < START - 1.0:
        flown.step()
    flown.order(Order(bank_deg=-30.0))
    while abs(flown.moments[-1].heading - flown.moments[0].heading) < radians(200):
        flown.step()
    page = client.get(f"/tried/{tries.finish(asked, flown.moments)}").text
    sentence = r"went (\d+)° round to the left .*? Once round, 360°, is needed: (\d+)° more"
    said = re.search(sentence, page)
    assert int(said[1]) + int(said[2]) == 360
    assert 100 < int(said[1]) < 300
    assert "Name what it was flown about" not in page
    assert "not named" not in page
    assert asked.aircraft.title in page


def test_a_turn_close_by_the_point_counts_by_what_the_track_turned(client: TestClient, tries: Tries) -> None:
    """Banked at once, the point lies far off the middle of the turn: its bearing runs ahead of the track."""
    flown = Flown(Asked())
    flown.order(Order(bank_deg=-30.0))
    while flown.moments[-1].time < 20.0:
        flown.step()
    moments = flown.moments
    track = [atan2(b.east - a.east, b.north - a.north) for a, b in pairwise(moments) if b.time > a.time]
    turned = sum((b - a + pi) % tau - pi for a, b in pairwise(track))
    page = client.get(f"/tried/{tries.finish(flown.asked, moments)}").text
    said = re.search(r"went (\d+)° round to the left", page)
    assert int(said[1]) == pytest.approx(abs(turned) / radians(1), abs=8)


def test_what_is_not_at_hand_gets_a_sentence(client: TestClient) -> None:
    for name in ("nothing", "..%2f..%2fetc", "x" * 300):
        answer = client.get(f"/tried/{name}")
        assert answer.status_code == 404
        assert "Traceback" not in answer.text


def test_the_end_leads_to_the_debrief(client: TestClient) -> None:
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        line.send_json({"done": True})
        assert "fly for 10 s" in [heard(line, "says") for _ in range(2)][1]["says"]
        assert closed(line)[0] == 1000


@pytest.mark.parametrize(
    ("message", "code"),
    [
        ("{", 4400),
        ("[]", 4400),
        ("null", 4400),
        ('{"bank_deg": "steep"}', 4400),
        ('{"bank_deg": NaN}', 4400),
        ('{"bank_deg": 1e9}', 4400),
        ('{"exec": "rm"}', 4400),
        ('{"bank_deg": ' + "1" * 300 + "}", 1009),
    ],
)
def test_a_message_that_is_none_ends_its_own_connection_with_a_reason(
    client: TestClient, message: str, code: int
) -> None:
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        line.send_text(message)
        ended, reason = closed(line)
    assert ended == code
    assert "send what the page sends" in reason
    assert client.get("/try").status_code == 200


def test_bytes_are_no_message(client: TestClient) -> None:
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        line.send_bytes(b"\xff\xfe")
        assert closed(line)[0] == 4400


def test_a_flood_is_ended(client: TestClient) -> None:
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        for _ in range(400):
            line.send_text("{}")
        assert closed(line) == (4429, "too many messages; send what the page sends")


def test_no_more_fly_than_there_is_room_for(client: TestClient, tries: Tries) -> None:
    with (
        client.websocket_connect(f"/try/fly?{USUAL}") as one,
        client.websocket_connect(f"/try/fly?{USUAL}") as two,
        client.websocket_connect(f"/try/fly?{USUAL}") as three,
    ):
        for line in (one, two, three):
            heard(line, "begun")
        with client.websocket_connect(f"/try/fly?{USUAL}") as four:
            assert closed(four) == (4429, "3 are flying already; try again when one is done")
    deadline = monotonic() + 20.0
    while tries.flying and monotonic() < deadline:
        sleep(0.05)
    assert tries.flying == 0
    with client.websocket_connect(f"/try/fly?{USUAL}") as again:
        heard(again, "begun")


def test_a_page_that_is_silent_is_let_go(
    client: TestClient, tries: Tries, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tries, "idle", 1.5)
    with client.websocket_connect(f"/try/fly?{USUAL}") as line:
        began = monotonic()
        assert closed(line)[0] == 4408
        assert 1.0 < monotonic() - began < 15.0


@pytest.mark.parametrize("headers", [{"origin": "http://evil.example"}, {"host": "evil.example"}])
def test_pages_of_other_sites_do_not_fly_here(client: TestClient, headers: dict[str, str]) -> None:
    with (
        pytest.raises(WebSocketDisconnect),
        client.websocket_connect(f"/try/fly?{USUAL}", headers=headers) as line,
    ):
        line.receive_text(timeout=10)


def test_the_airplane_stays_within_its_greatest_bank_and_the_flight_ends() -> None:
    flown = Flown(Asked())
    flown.order(Order(bank_deg=90.0))
    for _ in range(round(8 / STEP)):
        flown.step()
    assert told.moment(flown.moments[-1], Asked().task)["bank_deg"] == 60.0
    while not flown.over:
        flown.step()
    assert flown.moments[-1].time == pytest.approx(LONGEST, abs=0.2)


def test_level_wings_are_not_held() -> None:
    (answer,) = Flown(Asked()).order(Order(hold=True))
    assert answer["told"] == "says"
    assert "wings are level" in answer["says"].lower()


def test_the_words_say_their_moment_and_are_of_the_figures_where_it_is_paused() -> None:
    flown = Flown(Asked())
    flown.order(Order(paused=False))
    flown.order(Order(bank_deg=-32.0))
    said = [message for _ in range(round(12.5 / STEP)) for message in flown.step()]
    spoken = [(n, one["says"]) for n, one in enumerate(said) if one["told"] == "says"]
    assert [says.partition(": ")[0] for _, says in spoken] == ["At 0:08"]
    assert f"Ground speed {said[spoken[0][0] - 1]['ground_speed_kt']:.0f} kt" in spoken[0][1]
    (still,) = flown.order(Order(paused=True))
    assert still["says"].startswith("At 0:12: ")
    last = said[-1]
    assert f"Ground speed {last['ground_speed_kt']:.0f} kt" in still["says"]
    assert (
        f"Bank {abs(last['bank_deg']):.0f}° left, needed {abs(last['bank_needed_deg']):.0f}°" in still["says"]
    )
    assert flown.order(Order(paused=True)) == []


def test_words_for_who_does_not_see_the_picture() -> None:
    flown = Flown(Asked(wind_kt=0.0))
    begun = told.says(flown.moments[0], flown.asked)
    assert begun.startswith("At 0:00: downwind. Ground speed 90 kt. Bank 0°, needed 31° left.")
    east, north = flown.moments[0].east, flown.moments[0].north
    off = (hypot(east, north) - 1200 * foot) / foot
    assert f"{off:,.0f} ft outside of the circle" in begun
