"""Kill the program at random moments while it makes, adds, backs up, migrates, imports and forgets.

`python bench/kills.py --kills 5000 --seed 1` prints how often each was met, what was found afterwards, and
what was wrong, which should be nothing.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.record.killing import main

if __name__ == "__main__":
    main()
