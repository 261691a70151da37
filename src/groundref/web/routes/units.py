"""Units of measure: chosen in a browser, kept in that browser."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import urlsplit

from litestar import Request, post
from litestar.enums import RequestEncodingType
from litestar.params import Body
from litestar.response import Redirect

from groundref.errors import UsageError
from groundref.reports.reading import UNITS
from groundref.web import reader

Form = Annotated[dict[str, str], Body(media_type=RequestEncodingType.URL_ENCODED)]


@post("/units", include_in_schema=False, status_code=303, sync_to_thread=False)
def choose(data: Form, request: Request[Any, Any, Any]) -> Redirect:
    """Have the browser remember its units, and lead back to where it was."""
    value = data.get("units", "")
    if value not in UNITS:
        raise UsageError(f"there are no units {value[:20]!r}", "units", f"choose {' or '.join(UNITS)}")
    return Redirect(_back(request), status_code=303, cookies=[reader.chosen(value)])


def _back(request: Request[Any, Any, Any]) -> str:
    """Return the address on this site that the form was sent from; the first page where it is not said."""
    came = urlsplit(request.headers.get("referer", ""))
    # A path that begins with two strokes would name another site.
    if (
        came.netloc != request.headers.get("host")
        or not came.path.startswith("/")
        or came.path[1:2] in ("/", "\\")
    ):
        return "/"
    return f"{came.path}?{came.query}" if came.query else came.path
