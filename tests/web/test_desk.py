"""What the instructor writes on a lesson, from a dropped recording to a signed lesson."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.testing import TestClient
from lxml import html
from playwright.sync_api import expect

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.bringing import bring
from tests.web.sending import carried, send

NAME = "127.0.0.1:8735"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
        yield client


def write(client: TestClient, part: str, **fields: str):
    return send(client, 1, part, fields, json=True)


def debrief(client: TestClient) -> dict:
    return client.get("/api/lessons/1/debrief").json()


def test_who_flew_is_kept(client: TestClient) -> None:
    assert write(client, "who", student="Jo Brandt", instructor="Ines Okafor").status_code == 200
    assert "Jo Brandt" in client.get("/").text


def test_other_bounds_change_the_debrief_and_can_be_taken_back(client: TestClient) -> None:
    before = debrief(client)
    (one,) = before["maneuvers"]
    second = one["laps"][1]["start"][11:19]
    fields = {"kind-1": one["kind"], "from-1": second, "to-1": one["end"][11:19]}
    assert write(client, "corrections", **fields).status_code == 200
    (after,) = debrief(client)["maneuvers"]
    assert len(after["laps"]) == len(one["laps"]) - 1
    assert "2 debriefs are kept" in client.get("/lessons/1").text
    again = {"kind-1": "", "from-1": after["start"][11:19], "to-1": after["end"][11:19]}
    assert write(client, "corrections", **again).status_code == 200
    assert debrief(client)["maneuvers"] == before["maneuvers"]


def test_what_was_no_maneuver_is_left_out_and_stays_in_the_form(client: TestClient) -> None:
    (one,) = debrief(client)["maneuvers"]
    fields = {"kind-1": "none", "from-1": one["start"][11:19], "to-1": one["end"][11:19]}
    write(client, "corrections", **fields)
    assert debrief(client)["maneuvers"] == []
    page = client.get("/lessons/1").text
    assert '<option value="none" selected>' in page
    write(client, "corrections", **fields | {"kind-1": ""})
    assert len(debrief(client)["maneuvers"]) == 1


def test_the_ground_and_the_wind_are_used(client: TestClient) -> None:
    (one,) = debrief(client)["maneuvers"]
    fields = {"kind-1": one["kind"], "from-1": one["start"][11:19], "to-1": one["end"][11:19]}
    write(client, "corrections", ground_ft="500", wind="240/14", **fields)
    (after,) = debrief(client)["maneuvers"]
    assert after["wind"]["speed_kt"] == pytest.approx(14, abs=1.5)
    assert after["altitude"]["height_agl_ft"] != one["altitude"]["height_agl_ft"]
    assert len(after["laps"]) == len(one["laps"])


def said_after(client: TestClient, **fields: str) -> str:
    return html.fromstring(send(client, 1, "corrections", fields).text).xpath("string(//*[@id='said'])")


def test_a_kind_that_cannot_be_made_of_a_stretch_is_not_kept_until_it_is_insisted_on(
    client: TestClient,
) -> None:
    before, row = debrief(client), shown_row(client)
    answer = send(client, 1, "corrections", row | {"kind-1": "s-turns"})
    assert answer.status_code == 400
    assert debrief(client) == before
    page = html.fromstring(answer.text)
    assert page.xpath("string(//p[@role='alert'])") == (
        "One stretch would be left without a maneuver; nothing of this was kept yet."
    )
    (field,) = page.xpath("//*[@aria-invalid]")
    assert field.xpath("string(option[@selected]/@value)") == "s-turns"
    beside = page.xpath(f"string(//*[@id='{field.get('aria-describedby')}'])")
    assert beside.startswith("No S-turns could be made of it: that takes two")
    assert field.xpath("string(../span[@class='now'])") == "now: Turns around a point"
    assert beside.endswith("keep it all the same: the debrief then has no maneuver there.")
    first, last = row["from-1"], row["to-1"]
    insisted = page.xpath("string(//button[@name='anyway']/@value)")
    assert insisted == f"{first} to {last} UTC is S-turns"
    # It is insisted on what was told alone, and the button that works it out asks again.
    for fields in ({"kind-1": "eights-across-a-road", "anyway": insisted}, {"kind-1": "s-turns"}):
        assert send(client, 1, "corrections", row | fields).status_code == 400
    assert "anyway" not in client.get("/lessons/1").text
    said = said_after(client, **row | {"kind-1": "s-turns", "anyway": insisted})
    assert shown_row(client) == row | {"kind-1": "s-turns"}
    assert said_after(client, **shown_row(client)).startswith("Nothing was changed")
    assert said.startswith(f"Kept: {first} to {last} UTC is S-turns. The debrief was worked out anew.")


def test_a_kind_that_was_kept_though_it_cannot_be_made_is_told_with_why_and_how_to_undo_it(
    client: TestClient,
) -> None:
    row = shown_row(client)
    first, last = row["from-1"], row["to-1"]
    insisted = f"{first} to {last} UTC is S-turns"
    said = said_after(client, **row | {"kind-1": "s-turns", "anyway": insisted})
    assert said.startswith(f"Kept: {first} to {last} UTC is S-turns. The debrief was worked out anew.")
    why = (
        f"The instructor said that {first} to {last} UTC is S-turns; "
        "no S-turns could be made of it: that takes two"
    )
    assert why in said
    assert "choose “as the recording was taken”" in said
    page = html.fromstring(client.get("/lessons/1").text)
    (none,) = page.xpath("//section[h2[@id='none-head']]")
    assert why in none.text_content()
    assert "usual reasons" not in none.text_content()
    assert none.xpath(".//a/@href") == ["#corrections"]
    assert said_after(client, **row | {"kind-1": ""}).endswith(
        "is as the recording was taken. The debrief was worked out anew."
    )
    assert len(debrief(client)["maneuvers"]) == 1


def test_times_are_told_alike_everywhere_and_stay_what_was_typed(client: TestClient) -> None:
    before = shown_row(client)
    (one,) = debrief(client)["maneuvers"]
    assert before["from-1"] in client.get("/lessons/1").text.partition('id="corrections"')[0]
    minute = datetime.fromisoformat(one["end"]) - timedelta(seconds=20)
    typed = f"{minute:%H:%M:%S}"
    said = said_after(client, **before | {"to-1": typed})
    assert said.startswith(f"Kept: {before['from-1']} to {typed} UTC is turns around a point.")
    assert shown_row(client) == before | {"to-1": typed}
    (after,) = debrief(client)["maneuvers"]
    assert after["start"] == one["start"]
    assert said_after(client, **shown_row(client)).startswith("Nothing was changed")
    page = client.get("/lessons/1").text
    began = f"{datetime.fromisoformat(after['start']) + timedelta(seconds=0.5):%H:%M:%S}"
    assert began == before["from-1"]
    assert f"Turns around a point, {began} UTC" in page.partition('id="verdicts"')[2]


def shown_row(client: TestClient) -> dict[str, str]:
    """The first stretch as the form of corrections has it."""
    page = html.fromstring(client.get("/lessons/1").text)
    return {
        "kind-1": page.xpath("string(//select[@name='kind-1']/option[@selected]/@value)"),
        **{name: page.xpath(f"string(//input[@name='{name}']/@value)") for name in ("from-1", "to-1")},
    }


CLOCK = "write a time of day, UTC, such as 14:05:30"
NUMBER = "write a number, or leave it empty"


def test_what_makes_no_sense_changes_nothing(client: TestClient) -> None:
    before = debrief(client)
    answer = write(client, "corrections", ground_ft="high")
    assert answer.status_code == 400
    assert answer.json()["error"] == f"Ground elevation: 'high' is not a number; {NUMBER}."
    assert debrief(client) == before


def test_all_that_is_wrong_is_told_at_once_and_beside_its_field(client: TestClient) -> None:
    fields = {"ground_ft": "high", "wind": "strong", "to-1": "later", "corners": "1,2 3,4"}
    answer = send(client, 1, "corrections", shown_row(client) | fields)
    page = html.fromstring(answer.text)
    assert page.xpath("string(//p[@role='alert'])") == "4 fields are not right; nothing of this was kept yet."
    named = {
        item.xpath("string(a/@href)")[1:]: item.text_content()
        for item in page.xpath("//ul[@class='wrongs']/li")
    }
    assert list(named.values()) == [
        f"Ground elevation: 'high' is not a number; {NUMBER}.",
        "Wind: 'strong' is not a wind; write it as direction from / knots, such as 240/14, 240/14G22, "
        "24014G22KT or calm.",
        "Corners of the rectangle: '1,2 3,4' is not 4 places; write latitude,longitude in degrees, −90 to 90 "
        "and −180 to 180, a space between places.",
        f"End of maneuver 1: 'later' is not a time; {CLOCK}.",
    ]
    for field, says in named.items():
        (one,) = page.xpath(f"//form//*[@id='{field}']")
        assert one.get("aria-invalid") == "true"
        (beside,) = page.xpath(f"//*[@id='{one.get('aria-describedby')}']")
        assert says.endswith(beside.text_content())
        assert page.xpath(f"string(//label[@for='{field}'])") in says.partition(":")[0] or says.startswith(
            page.xpath(f"string(//label[@for='{field}'])").partition(",")[0]
        )
    assert len(page.xpath("//*[@aria-invalid]")) == 4
    again = client.get("/lessons/1").text
    assert "aria-invalid" not in again.partition('id="corrections"')[2].partition("</section>")[0]


def test_verdicts_remarks_and_the_signature(client: TestClient) -> None:
    write(client, "who", student="Jo Brandt", instructor="Ines Okafor")
    (one,) = debrief(client)["maneuvers"]
    place = 1 + [each["quantity"] for each in one["elements"]].index("altitude")
    refused = write(client, "verdicts", maneuver="1", **{f"verdict-{place}": "not-met"})
    reason = "it was held by the instructor"
    fields = {f"verdict-{place}": "not-met", f"reason-{place}": reason, "verdict-3": "met"}
    given = write(client, "verdicts", maneuver="1", **fields)
    assert (refused.status_code, given.status_code) == (400, 200)
    write(client, "remarks", remarks="Look outside.\r\n<b>More</b>")
    before = client.get("/lessons/1").text
    write(client, "signature", instructor="Ines Okafor")
    page = client.get("/lessons/1").text
    assert "signed by Ines Okafor" in page
    assert "it was held by the instructor" in page
    assert "&lt;b&gt;More&lt;/b&gt;" in page
    for part, late in (("remarks", {"remarks": "other"}), ("corrections", {"ground_ft": "500"})):
        action = f"/lessons/1/{part}"
        assert client.post(action, data=carried(before, action) | late).status_code == 409
    write(client, "signature", withdraw="yes")
    assert write(client, "remarks", remarks="other").status_code == 200


def rows(text: str) -> dict[str, list[str]]:
    """The debrief's table of verdicts, by element."""
    table = html.fromstring(text).xpath("//table[contains(@class, 'elements')]")[0]
    return {
        " ".join(row[1].text_content().split()): [" ".join(cell.text_content().split()) for cell in row]
        for row in table.xpath("./tbody/tr")
    }


def test_an_own_verdict_stands_in_the_debriefs_table_and_counts(client: TestClient) -> None:
    write(client, "who", student="Jo Brandt", instructor="Ines Okafor")
    (one,) = debrief(client)["maneuvers"]
    quantities = [each["quantity"] for each in one["elements"]]
    held, seen = 1 + quantities.index("altitude"), 1 + quantities.index("observed")
    what, watched = one["elements"][held - 1]["what"], one["elements"][seen - 1]["what"]
    before = next(row for name, row in rows(client.get("/lessons/1").text).items() if what in name)
    assert before[0] == "met"
    fields = {f"verdict-{held}": "not-met", f"reason-{held}": "I held it", f"verdict-{seen}": "met"}
    assert write(client, "verdicts", maneuver="1", **fields).status_code == 200
    told = rows(client.get("/lessons/1").text)
    (after,) = (row for name, row in told.items() if what in name)
    assert after[0] == "not met the instructor’s; recording: met"
    assert re.match(r"Ines Okafor, \d+ \w+ \d{4}: I held it\. Recording: ", after[4])
    assert after[4].endswith(before[4])
    (board,) = (row for name, row in told.items() if watched in name)
    assert board[0] == "met the instructor’s; recording: can't tell"
    write(client, "verdicts", maneuver="1", **{f"verdict-{held}": "", f"verdict-{seen}": "met"})
    assert next(row for name, row in rows(client.get("/lessons/1").text).items() if what in name) == before


def test_a_verdict_against_the_recording_needs_a_reason_and_one_with_it_none(client: TestClient) -> None:
    write(client, "who", student="Jo Brandt", instructor="Ines Okafor")
    (one,) = debrief(client)["maneuvers"]
    held = 1 + [each["quantity"] for each in one["elements"]].index("altitude")
    refused = write(client, "verdicts", maneuver="1", **{f"verdict-{held}": "not-met"})
    assert refused.status_code == 400
    assert refused.json()["error"] == (
        "altitude held within 100 ft: Your verdict is “not met”, the recording's “met”; say why."
    )
    assert write(client, "verdicts", maneuver="1", **{f"verdict-{held}": "met"}).status_code == 200


def test_all_verdicts_that_need_a_reason_are_told_at_once_and_beside_themselves(client: TestClient) -> None:
    (one,) = debrief(client)["maneuvers"]
    met = [place for place, each in enumerate(one["elements"], start=1) if each["verdict"] == "met"]
    assert len(met) > 1
    sent = {"maneuver": "1", "instructor": "Ines Okafor", **{f"verdict-{place}": "not-met" for place in met}}
    page = html.fromstring(send(client, 1, "verdicts", sent).text)
    items = page.xpath("//ul[@class='wrongs']/li")
    assert [item.xpath("string(a)") for item in items] == [
        one["elements"][place - 1]["what"] for place in met
    ]
    for place, item in zip(met, items, strict=True):
        assert item.text_content().endswith("Your verdict is “not met”, the recording's “met”; say why.")
        (why,) = page.xpath(f"//textarea[@id='{item.xpath('string(a/@href)')[1:]}']")
        assert (why.get("name"), why.get("aria-invalid")) == (f"reason-{place}", "true")
        assert page.xpath(f"//*[@id='{why.get('aria-describedby')}']")


def test_in_a_browser_a_second_button_keeps_what_nothing_could_be_made_of(opened, recording: Path) -> None:
    page = opened("/", refused=400)
    bring(page, recording)
    page.locator("#corrections-kind-1").select_option("eights-across-a-road")
    page.get_by_role("button", name="Work it out anew").click()
    expect(page.get_by_role("alert")).to_contain_text("would be left without a maneuver")
    kind = page.locator("#corrections-kind-1")
    expect(kind).to_have_value("eights-across-a-road")
    expect(page.locator("#corrections-kind-1-wrong")).to_contain_text("No eights across a road could be made")
    page.get_by_role("button", name="Keep it all the same").click()
    expect(page.locator("#said")).to_contain_text("is eights across a road")
    expect(page.locator("article.maneuver")).to_have_count(0)
    page.locator("#corrections-kind-1").select_option("")
    page.get_by_role("button", name="Work it out anew").click()
    expect(page.locator("article.maneuver")).to_have_count(1)


def test_the_page_asks_for_a_reason_before_it_sends(opened, recording: Path) -> None:
    page = opened("/")
    bring(page, recording)
    own = page.locator(".fields.own", has_text="altitude held").first
    own.locator("select").select_option("not-met")
    expect(own.locator(".whether")).to_have_text("(needed: it differs from the recording)")
    page.get_by_role("button", name="Keep these verdicts").click()
    why = own.locator("textarea")
    expect(why).to_be_focused()
    why.fill("I saw 580 ft on the radio altimeter for half a lap, and it was corrected only when I said so")
    assert why.evaluate("(f) => f.scrollWidth <= f.clientWidth && f.scrollHeight <= f.clientHeight + 1")
    page.locator("#verdicts input[name=instructor]").fill("Ines Okafor")
    page.get_by_role("button", name="Keep these verdicts").click()
    row = page.locator("table.elements tr", has_text="altitude held").first
    expect(row).to_contain_text("the instructor’s; recording: met")
    expect(row).to_contain_text("Ines Okafor")
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 725, "height": 1000})  # Letter within the margins
    table = row.locator("xpath=ancestor::table").bounding_box()
    why = row.locator(".why").bounding_box()
    assert table["width"] <= 725.5
    assert why["width"] > 0.3 * table["width"]
    for paper in ("Letter", "A4"):  # two for the maneuver, one where the flight, remarks and signature end
        assert len(re.findall(rb"/Type /Page[\n/]", page.pdf(format=paper))) <= 3
    page.emulate_media(media="screen")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_the_whole_way_in_a_browser(opened, recording: Path) -> None:
    page = opened("/")
    bring(page, recording)
    page.fill("#who input[name=student]", "Ana Feld")
    page.reload()
    expect(page.locator("#who input[name=student]")).to_have_value("Ana Feld")  # not lost
    page.fill("#who input[name=instructor]", "Ines Okafor")
    page.click("#who button")
    expect(page.locator("h1")).to_contain_text("Ana Feld")
    page.fill("#remarks-text", "Next time look at the road first.")
    page.click("#remarks button")
    page.click("#signature button")
    expect(page.locator(".eyebrow").first).to_contain_text("signed by Ines Okafor")
    expect(page.locator("#remarks .written")).to_have_text("Next time look at the road first.")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.goto(page.url.partition("/lessons")[0])
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
