"""Style and scripts are kept by browsers for good, and are never of two versions at once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from litestar.testing import TestClient

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web import assets
from groundref.web.app import build

NAME = "127.0.0.1:8735"
TEMPLATES = Path(assets.__file__).parent / "templates"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory):
    record = open_record(Place(path=tmp_path_factory.mktemp("assets") / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def test_every_page_names_its_files_with_the_version(client: TestClient) -> None:
    for path in ("/", "/students", "/plan", "/try", "/nowhere"):
        named = re.findall(r'(?:href|src)="([^"]+\.(?:css|js|svg))"', client.get(path).text)
        assert named
        for name in named:
            assert name.startswith(assets.address() + "/"), name
            assert client.get(name).status_code == 200, name


def test_no_template_names_a_file_past_the_version() -> None:
    for path in TEMPLATES.rglob("*.j2"):
        assert not re.findall(r'(?:href|src)="/[^"{]*\.(?:css|js|svg)"', path.read_text("utf-8")), path.name


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("page.css", "text/css; charset=utf-8"),
        ("debrief.css", "text/css; charset=utf-8"),
        ("debrief.js", "text/javascript; charset=utf-8"),
        ("seat.js", "text/javascript; charset=utf-8"),
        ("mark.svg", "image/svg+xml"),
        ("vendor/three-0.185.0/three.module.min.js", "text/javascript; charset=utf-8"),
        ("vendor/three-0.185.0/LICENSE", "text/plain; charset=utf-8"),
    ],
)
def test_a_file_is_what_it_is_called(client: TestClient, name: str, kind: str) -> None:
    answer = client.get(f"{assets.address()}/{name}")
    assert answer.headers["content-type"] == kind
    assert answer.content == assets.contents()[name]
    # RFC 8246: whoever has it need never ask again.
    assert answer.headers["cache-control"] == "max-age=31536000, immutable"


def test_without_a_version_it_is_looked_at_anew_each_time(client: TestClient) -> None:
    first = client.get("/static/page.css")
    assert first.headers["cache-control"] == "no-cache"
    again = client.get("/static/page.css", headers={"if-none-match": f'W/"other", {first.headers["etag"]}'})
    assert again.status_code == 304
    assert again.content == b""
    assert again.headers["etag"] == first.headers["etag"]
    other = client.get("/static/plan.css", headers={"if-none-match": first.headers["etag"]})
    assert other.status_code == 200


def test_another_version_has_no_files_here(client: TestClient) -> None:
    for path in ("/static/0123456789abcdef/page.css", f"{assets.address()}/nothing.js", assets.address()):
        assert client.get(path).status_code == 404


def test_no_name_stands_for_two_files() -> None:
    lying = {path.name for path in (TEMPLATES.parent / "static").iterdir()}
    assert not lying & {"debrief.css", "debrief.js", "planned.css", "progress.css"}


def test_any_change_is_another_version(monkeypatch: pytest.MonkeyPatch) -> None:
    contents = dict(assets.contents())
    versions = {assets.version()}
    for changed in (
        contents | {"page.css": contents["page.css"] + b" "},
        contents | {"new.js": b""},
        {name: content for name, content in contents.items() if name != "try.js"},
    ):
        monkeypatch.setattr(assets, "contents", lambda changed=changed: changed)
        versions.add(assets.version.__wrapped__())
    assert len(versions) == 4


def test_modules_name_each_other_from_where_they_lie() -> None:
    """A name from the root would lead out of the version."""
    for name, content in assets.contents().items():
        if name.endswith(".js") and not name.startswith("vendor/"):
            imported = re.findall(r'(?:from|import\()\s*"([^"]+)"', content.decode())
            assert all(one.startswith("./") for one in imported), name
