"""Write the published JSON Schema of an exported record anew: python -m tests.docs.rewrite_schema.

It comes from the shapes that the program reads and writes with. A change here, once a version is out, means a
new number and a file of its own (see groundref.record.folder.shape).
"""

from __future__ import annotations

from pathlib import Path

from groundref.record.folder.shape import json_schema

FILE = Path(__file__).parents[2] / "docs" / "schema" / "record-1.json"


if __name__ == "__main__":
    FILE.write_bytes(json_schema())
