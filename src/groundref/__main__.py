"""Let ``python -m groundref`` be the command."""

from groundref.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
