"""``groundref serve``: the page that an instructor works in, on this machine alone."""

from __future__ import annotations

from typing import Annotated, Final

from cyclopts import Parameter

from groundref.cli import exits, options
from groundref.cli.record.common import RecordOption, opened
from groundref.errors import UsageError

HOST: Final = "127.0.0.1"
USUAL_PORT: Final = 8735
MapOption = Annotated[str | None, options.taking("FILE.pmtiles|https://…", name="--map")]
MapCreditOption = Annotated[str | None, options.taking("TEXT")]


def serve(
    *,
    port: Annotated[int, options.taking("N")] = USUAL_PORT,
    record: RecordOption = None,
    map_: MapOption = None,
    map_credit: MapCreditOption = None,
    show: Annotated[bool, Parameter(name="--open", negative=(), show_default=False)] = False,
) -> None:
    """Open the page that an instructor works in, on this machine and for nobody else.

    Parameters
    ----------
    port
        Of the address http://127.0.0.1:PORT/; 0 takes one that is free.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    map_
        Beneath the pictures from above: a PMTiles file, or the address of image tiles with {z}, {x} and {y},
        which the page then fetches from there. The variable GROUNDREF_MAP names one, too.
    map_credit
        Whom the map is owed to; tiles need it, a file may say it itself. Or GROUNDREF_MAP_CREDIT.
    show
        Open it in the browser.
    """
    if not 0 <= port <= 65535:
        raise UsageError(f"{port} is no port", "--port", "give 0 to 65535")
    from groundref.web.maps.source import source_of

    source = source_of(map_, map_credit)
    store = opened(record, make=True)
    from groundref.web.server import run

    run(store, HOST, port, say=exits.say, show=show, source=source)
