"""What the pages say is said in words of people: no name out of the code's tables stands in their text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient
from lxml import html

from groundref.aircraft.loading import aircraft_names
from groundref.assessment.findings import FAULTS
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.reports.verdict_words import WORDS
from groundref.simulation.lesson import simulate
from groundref.simulation.write import to_bytes
from groundref.standards.loading import KINDS, load_standard, standard_names
from groundref.web.app import build
from tests.record.invented import flown

NAME = "127.0.0.1:8735"
CODES = {
    element.code
    for name in standard_names()
    for task in load_standard(name).tasks
    for element in task.elements
    if element.code.islower()
}
IDENTIFIERS = {
    name for name in {*KINDS, *CODES, *FAULTS, *WORDS, *aircraft_names(), *standard_names()} if "-" in name
}
ODD = r"\bs turns\b|\b1 (?:laps|turns|lessons|loops|half circles|circuits)\b"
# The title of a maneuver within a sentence; in lists and headings each stands by itself.
CAPITAL = r"[a-z,] (?:Turns around|Steep turns|Rectangular course|Eights (?:a|on))"
PAGES = (
    "/",
    "/lessons/1",
    "/lessons/2",
    "/compare?a=1.1&b=3.1",
    "/compare?a=2.1",
    "/students",
    "/students/Jo%20Brandt",
    "/try",
    *(f"/plan?maneuver={kind}&wind=240/15" for kind in KINDS),
    "/lessons/99",
    "/compare?a=1.1&b=2.1",
)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder: Path = tmp_path_factory.mktemp("words")
    record = open_record(Place(path=folder / "record.sqlite"), make=True)
    add(record, flown())
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        recording, _ = simulate("s-turns", seed=3)
        client.post("/lessons", files={"recordings": ("half-circles.gpx", to_bytes(recording, "a.gpx"))})
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown(5).parts[0][1])})
        yield client


def text(page: str) -> str:
    """What a reader or a listener gets of a page."""
    tree = html.fromstring(page)
    for hidden in tree.xpath("//script | //style"):
        hidden.drop_tree()
    heard = tree.xpath("//@aria-label | //@data-says | //@placeholder | //@title | //@alt")
    return "\n".join([*tree.itertext(), *heard])


@pytest.mark.parametrize("address", PAGES)
def test_no_name_of_the_code_stands_in_a_page(client: TestClient, address: str) -> None:
    said = text(client.get(address).text)
    words = set(re.findall(r"(?<![\w/.-])[a-z]+(?:-[a-z]+)+(?![\w/.-])", said))
    assert words & IDENTIFIERS == set()
    assert re.findall(ODD, said) == []
    assert re.findall(CAPITAL, said) == []
