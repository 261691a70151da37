"""The first page: lessons and students, and a place to drop a recording."""

from __future__ import annotations

from typing import Annotated, Final

from litestar import Response, get
from litestar.params import QueryParameter

from groundref.detection import named
from groundref.record.lessons import listed, number_of_lessons
from groundref.record.people import people
from groundref.web.called import address
from groundref.web.pages import page
from groundref.web.served import Here

_SHOWN: Final = 50
_MOST: Final = 10**9
Skipped = Annotated[int, QueryParameter(ge=0, le=_MOST)]


@get("/", include_in_schema=False)
async def home(served: Here, skip: Skipped = 0) -> Response[str]:
    """Show lessons, the latest first, after those that are to be left out, and students."""
    rows, total, everybody = await served.read(
        lambda connection: (
            listed(connection, most=_SHOWN, skip=skip),
            number_of_lessons(connection),
            people(connection),
        )
    )
    students = [(one, address(one.name)) for one in everybody if one.as_student or one.tries]
    return page(
        "home.html.j2",
        lessons=rows,
        total=total,
        skip=skip,
        step=_SHOWN,
        students=students,
        flown=named.kinds,
    )
