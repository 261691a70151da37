"""The first page: lessons and students, and a place to drop a recording."""

from __future__ import annotations

from litestar import Response, get

from groundref.record.lessons import listed, number_of_lessons
from groundref.web.pages import page
from groundref.web.served import Here

_SHOWN = 50


@get("/", include_in_schema=False)
async def home(served: Here) -> Response[str]:
    """Show the lessons."""
    rows, total = await served.read(
        lambda connection: (listed(connection, most=_SHOWN), number_of_lessons(connection))
    )
    return page("home.html.j2", lessons=rows, total=total)
