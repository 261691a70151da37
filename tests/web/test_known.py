"""Each figure on each page says how it is known."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from litestar.testing import TestClient

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.standards.loading import KINDS
from groundref.web.app import build
from tests.record.invented import flown
from tests.reports.told import untold
from tests.web.sending import send

NAME = "127.0.0.1:8735"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path_factory.mktemp("known") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        for seed in (1, 2):
            brought = client.post(
                "/lessons",
                files={"recordings": (f"lesson-{seed}.gpx", flown(seed=seed).parts[0][1])},
                headers={"accept": "application/json"},
            )
            send(client, brought.json()["lesson"], "who", {"student": "Ada Example", "instructor": ""})
        yield client


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/lessons/1",
        "/compare?a=1.1&b=2.1",
        "/lessons/1/seat",
        "/students",
        "/students/Ada%20Example",
        "/try",
        *(f"/plan?maneuver={kind}&wind=240%2F18" for kind in KINDS),
    ],
)
def test_every_figure_says_how_it_is_known(client: TestClient, path: str) -> None:
    page = client.get(path)
    assert page.status_code == 200
    assert untold(page.text) == []
    if path not in ("/", "/students"):
        assert "How is this known?" in page.text
