"""Style, scripts and libraries of the pages, under an address that changes with their content.

All lie under `/static/VERSION/`, VERSION being a digest of all of them together: modules that import each
other by relative names are always of one version, so that no page is half old after an upgrade, and a browser
may keep them for good (`immutable`, RFC 8246). Without a version in the address a browser keeps the same
files too, and asks each time whether they have changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from litestar import Request, Response, get
from litestar.exceptions import NotFoundException
from litestar.params import FromPath

from groundref.reports import html, plan_page
from groundref.reports.progress import html as progress

_FOLDER: Final = Path(__file__).parent / "static"
# Not out of the machine's own list, which may be wrong: no browser runs a module that is called plain text.
_TYPES: Final = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".json": "application/json",
}
_FOR_GOOD: Final = "max-age=31536000, immutable"  # a year, beyond which RFC 9111's readers need not go


@cache
def contents() -> Mapping[str, bytes]:
    """Return every file by its name below the address."""
    written = {
        "debrief.css": html.stylesheet(),
        "debrief.js": html.script(),
        "planned.css": plan_page.stylesheet(),
        "progress.css": progress.stylesheet(),
    }
    files = (
        path for path in sorted(_FOLDER.rglob("*")) if path.is_file() and path.suffixes[-2:] != [".d", ".ts"]
    )
    lying = {path.relative_to(_FOLDER).as_posix(): path.read_bytes() for path in files}
    return lying | {name: text.encode() for name, text in written.items()}


@cache
def address() -> str:
    """Return what the names stand below, with the version."""
    return f"/static/{version()}"


@cache
def version() -> str:
    """Return the digest of all names and contents."""
    digest = hashlib.sha256()
    for name, content in sorted(contents().items()):
        digest.update(f"{name}\n{len(content)}\n".encode() + content)
    return digest.hexdigest()[:16]


@get("/static/{name:path}", include_in_schema=False, sync_to_thread=False)
def asset(request: Request[Any, Any, Any], name: FromPath[Path]) -> Response[bytes]:
    """Return a file; of another version than this server's there is none."""
    asked = name.as_posix().removeprefix("/")
    first, _, rest = asked.partition("/")
    content = contents().get(rest if first == version() else asked)
    if content is None:
        raise NotFoundException(f"There is no {asked[:80]!r} here.")
    # Weak: the same file goes out compressed and not (RFC 9110, 8.8.1).
    tag = f'W/"{hashlib.sha256(content).hexdigest()[:16]}"'
    headers = {"etag": tag, "cache-control": _FOR_GOOD if first == version() else "no-cache"}
    known = [one.strip() for one in request.headers.get("if-none-match", "").split(",")]
    if tag in known:
        return Response(b"", status_code=304, headers=headers)
    kind = _TYPES.get(Path(asked).suffix, "text/plain")
    return Response(content, media_type=kind, headers=headers)
