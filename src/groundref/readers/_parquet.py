"""Parquet, unpacked in a process of its own.

A damaged Parquet file can state sizes that end the whole process from inside the library that unpacks it,
which no `except` stops. So another Python unpacks it and hands the table back in a plain form; when that one
ends, the file is damaged, and the program that asked goes on. It costs the start of a Python, for Parquet
alone.
"""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from typing import TYPE_CHECKING, Final

from groundref.errors import InputError
from groundref.readers._source import Source

if TYPE_CHECKING:
    import polars

_UNPACK: Final = """
import sys
from io import BytesIO
import polars
try:
    frame = polars.read_parquet(BytesIO(sys.stdin.buffer.read()))
    frame.write_ipc(sys.stdout.buffer, compression="uncompressed")
except BaseException:
    sys.exit(1)
"""


def unpack(source: Source) -> polars.DataFrame:
    """Return the table in a Parquet file.

    Raises
    ------
    InputError
        When the file is damaged.
    """
    # -P: a file in the current folder must not take the place of a module.
    command = [sys.executable, "-P", "-W", "ignore", "-c", _UNPACK]
    done = subprocess.run(command, input=source.everything(), capture_output=True, check=False)
    if done.returncode != 0:
        raise InputError("is a Parquet file that is damaged", source.name, "copy it again from its origin")
    import polars

    return polars.read_ipc(BytesIO(done.stdout))
