"""Students on the page: the progress of the record, for screen, folder and programs."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.testing import TestClient
from markupsafe import escape
from playwright.sync_api import Page
from pypdf import PdfReader

from groundref.cli import main
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.sending import send

NAME = "127.0.0.1:8735"
WHO = "Jo Brandt"


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    file = tmp_path / "record.sqlite"
    add(open_record(Place(path=file), make=True), flown())
    return file


@pytest.fixture
def client(kept: Path) -> Iterator[TestClient]:
    record = open_record(Place(path=kept))
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def test_students_are_found_from_the_first_page(client: TestClient) -> None:
    assert 'href="/students/Jo%20Brandt"' in client.get("/").text
    assert 'href="/students/Jo%20Brandt"' in client.get("/students").text
    page = client.get("/students/Jo%20Brandt")
    assert page.status_code == 200
    assert "From lesson to lesson" in page.text
    assert 'href="/lessons/1"' in page.text
    assert "style=" not in page.text


def test_the_json_is_that_of_the_command(
    client: TestClient, kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["record", "progress", WHO, "--json", "-", "--record", str(kept)]) == 0
    assert client.get("/api/students/Jo%20Brandt/progress").json() == json.loads(capsys.readouterr().out)


def test_pages_for_the_folder(client: TestClient) -> None:
    answer = client.get("/students/Jo%20Brandt.pdf?paper=letter")
    assert answer.headers["content-type"] == "application/pdf"
    page = PdfReader(BytesIO(answer.content)).pages[0]
    assert float(page.mediabox.width) == pytest.approx(612, abs=0.5)  # ANSI/ASME Y14.1
    assert WHO in page.extract_text()
    assert client.get("/students/Jo%20Brandt.pdf?paper=a0").status_code == 400


@pytest.mark.parametrize(
    "path", ["/students/Nobody", "/students/Nobody.pdf", "/api/students/Nobody/progress"]
)
def test_whom_the_record_does_not_know(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert "Nobody" in answer.text


@pytest.mark.parametrize(
    "name", ["Ann/Bo Berg", "Ann Berg.pdf", "A~2FB", "..", "Ann & Bo?", "Ærø Ø", "a\\b", "100% Jo#1", "x.PDF"]
)
def test_every_name_has_its_page_its_sheet_and_its_json(client: TestClient, name: str) -> None:
    who = {"student": name, "instructor": "", "site": ""}
    assert send(client, 1, "who", who, follow_redirects=False).status_code == 303
    shown = re.search(r'href="(/students/[^"]+)"', client.get("/").text)
    assert shown is not None
    address = shown[1]
    page = client.get(address)
    assert page.status_code == 200
    assert f"Progress of {escape(name)}</title>" in page.text
    for way in re.findall(rf'href="((?:/api)?{re.escape(address)}[^"]*)"', page.text):
        assert client.get(way).status_code == 200, way
    assert client.get(f"{address}.pdf").headers["content-type"] == "application/pdf"
    assert client.get(f"/api{address}/progress").json()["name"] == name


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (390, "dark")])
def test_it_is_for_everyone(
    opened: Callable[..., Page], address: str, recording: Path, width: int, scheme: str
) -> None:
    page = opened("/students", width, color_scheme=scheme)
    brought = page.request.post(
        f"{address}/lessons",
        multipart={"recordings": {"name": "a.gpx", "mimeType": "text/xml", "buffer": recording.read_bytes()}},
        headers={"accept": "application/json"},
    )
    number = brought.json()["lesson"]
    page.goto(f"{address}/lessons/{number}")
    page.fill("#who input[name=student]", WHO)
    page.click("#who button")
    page.goto(f"{address}/students")
    assert Axe().run(page).violations_count == 0
    page.get_by_role("link", name=WHO).click()
    page.get_by_role("heading", level=1, name=WHO).wait_for()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
