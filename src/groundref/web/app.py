"""The application: routes, layers, what lives as long as the server."""

from __future__ import annotations

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from typing import Final

from litestar import Litestar
from litestar.config.compression import CompressionConfig
from litestar.di import Provide
from litestar.exceptions import HTTPException
from litestar.openapi import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin
from litestar.types import ASGIApp

from groundref import __version__
from groundref.errors import GroundrefError
from groundref.record.store import Record
from groundref.web import reader
from groundref.web.assets import asset
from groundref.web.guard import Guard
from groundref.web.maps.source import MapSource
from groundref.web.pages import failed
from groundref.web.routes import (
    comparing,
    debriefs,
    desk,
    home,
    lessons,
    maps,
    plan,
    seat,
    students,
    trying,
    units,
)
from groundref.web.served import Served
from groundref.web.trying.finished import Tries
from groundref.web.workers import Workers

LARGEST: Final = 64 << 20  # [byte]  of a request; ten hours of a panel's log at 1 Hz are a third of it

ROUTES: Final = (
    home.home,
    lessons.bring,
    lessons.lesson,
    lessons.debrief_of,
    lessons.replay_of,
    debriefs.debrief_kept,
    debriefs.debrief_kept_json,
    desk.who,
    desk.remarks,
    desk.verdicts,
    desk.signature,
    desk.corrections,
    comparing.compare,
    seat.seat_of,
    seat.seat_of_plan,
    seat.seat_json_of_plan,
    plan.plan_page_of,
    plan.plan_pdf,
    plan.plan_json,
    plan.plan_of_lesson,
    plan.keep_plan,
    plan.take_off,
    students.students,
    students.student,
    students.progress_of,
    trying.try_page,
    trying.fly,
    trying.tried,
    trying.keep_try,
    maps.map_beneath,
    maps.map_around,
    units.choose,
)


def build(
    record: Record,
    names: Collection[str],
    workers: Workers | None = None,
    tries: Tries | None = None,
    source: MapSource | None = None,
) -> ASGIApp:
    """Return the application.

    Parameters
    ----------
    record
        The training record that it shows.
    names
        `host:port` that it answers under.
    workers
        Processes that read recordings; started and ended with the server unless given.
    tries
        Flown on the ground, with their limits.
    source
        Of a map beneath the pictures, where the user named one.
    """
    served = Served(record, workers or Workers(), tries=tries or Tries(), map=source)

    @asynccontextmanager
    async def living(_: Litestar) -> AsyncIterator[None]:
        try:
            yield
        finally:
            served.workers.close()

    app = Litestar(
        route_handlers=[*ROUTES, asset],
        before_request=reader.seen,
        dependencies={"served": Provide(lambda: served, sync_to_thread=False)},
        exception_handlers={GroundrefError: failed, HTTPException: failed, Exception: failed},
        # The quickest: higher levels save a sixth of the bytes for five times the work.
        compression_config=CompressionConfig(backend="gzip", minimum_size=1000, gzip_compress_level=1),
        openapi_config=OpenAPIConfig(
            title="groundref", version=__version__, path="/schema", render_plugins=[JsonRenderPlugin()]
        ),
        request_max_body_size=LARGEST,
        lifespan=[living],
    )
    return Guard(app, names, source.origin if source else None)
