"""The corpus: case folders as people and attackers make them, each with what must come of it.

`examples()` lists them; `write` of example.py puts one on disk. Nothing here reads the project's own output.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import make_cells
import make_files
import make_sheets
import make_tables
from example import Example


def examples() -> list[Example]:
    """The whole corpus."""
    parts = (make_cells, make_tables, make_files, make_sheets)
    found = [example for part in parts for example in part.examples()]
    names = [example.name for example in found]
    assert len(names) == len(set(names)), sorted(n for n in names if names.count(n) > 1)
    return found
