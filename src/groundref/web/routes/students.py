"""Students: who they are, and how each gets on."""

from __future__ import annotations

from typing import Any, Final

from litestar import MediaType, Response, get
from litestar.params import FromPath, FromQuery

from groundref.detection import named
from groundref.errors import UsageError
from groundref.export import to_json
from groundref.progress import Progress, to_dict
from groundref.progress import progress as tell
from groundref.record.lessons import flown_by, listed
from groundref.record.people import people
from groundref.reports.progress import html
from groundref.reports.progress.pdf import PAPERS, pdf
from groundref.reports.reading import reading
from groundref.web import called, reader
from groundref.web.described import refusals
from groundref.web.pages import page
from groundref.web.served import Here, Served

_PDF: Final = ".pdf"


@get("/students", include_in_schema=False)
async def students(served: Here) -> Response[str]:
    """Show everybody who had a lesson."""
    every = await served.read(people)
    rows = [(one, called.address(one.name)) for one in every if one.as_student or one.tries]
    return page("students.html.j2", rows=rows)


@get("/students/{name:str}", include_in_schema=False)
async def student(served: Here, name: FromPath[str], paper: FromQuery[str] = "a4") -> Response[Any]:
    """Show how a student gets on; as the pages for the folder where the name ends in `.pdf`."""
    if name.endswith(_PDF):
        return await _folder(served, called.named(name.removesuffix(_PDF)), paper)
    name = called.named(name)
    told = await _told(served, name)
    lessons = await served.read(lambda connection: listed(connection, student=name))
    with reading(reader.units()):
        content = await served.call(html.content, told)
    here = called.address(told.name)
    return page(
        "student.html.j2",
        name=told.name,
        content=content,
        lessons=lessons,
        latest=next((row for row in lessons if not row.on_the_ground), None),
        papers=PAPERS,
        address=here,
        flown=named.kinds,
    )


async def _folder(served: Served, name: str, paper: str) -> Response[bytes]:
    """Return the pages for a student's folder."""
    if paper not in PAPERS:
        raise UsageError(f"there is no paper {paper[:20]!r}", "paper", "choose a4 or letter")
    content = await served.call(pdf, await _told(served, name), paper, "pdf", reader.units())
    headers = {"content-disposition": 'inline; filename="progress.pdf"', "cache-control": "no-store"}
    return Response(content, media_type="application/pdf", headers=headers)


@get(
    "/api/students/{name:str}/progress",
    media_type=MediaType.JSON,
    responses=refusals("There is nobody of that name"),
)
async def progress_of(served: Here, name: FromPath[str]) -> Response[bytes]:
    """Return a student's progress, as the command line writes it."""
    return Response(to_json(to_dict(await _told(served, called.named(name)))), media_type=MediaType.JSON)


async def _told(served: Served, name: str) -> Progress:
    """Return how a student gets on."""
    known, lessons = await served.read(lambda connection: flown_by(connection, name))
    return await served.call(tell, known, lessons)
