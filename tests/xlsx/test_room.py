"""The room stands alone: it knows nothing of ours, needs the standard library only, and is entered by its door."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import holdover.xlsx

ROOM = Path(holdover.xlsx.__file__).parent


def imported(path: Path) -> Iterator[str]:
    """The modules that a file imports, wherever it does."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path.name}: imports are absolute"
            yield node.module or ""


def test_the_room_knows_nothing_of_ours() -> None:
    """Its modules import each other and the standard library."""
    for path in ROOM.glob("*.py"):
        for module in imported(path):
            assert module.startswith("holdover.xlsx.") or module.partition(".")[0] in sys.stdlib_module_names, path.name


def test_the_room_is_entered_by_its_door() -> None:
    """The others import what the room exports, not its modules."""
    users = 0
    for path in ROOM.parent.rglob("*.py"):
        modules = set(imported(path))
        users += "holdover.xlsx" in modules
        assert path.parent == ROOM or not [m for m in modules if m.startswith("holdover.xlsx.")], path.name
    assert users > 5


def test_its_tests_need_no_other_room() -> None:
    """What stands beside this file imports no room but this one."""
    tests = Path(__file__).parents[1]
    for path in Path(__file__).parent.glob("*.py"):
        for module in imported(path):
            top = module.partition(".")[0]
            assert top == "xlsx" or not (tests / top).exists(), path.name
            assert top != "holdover" or module.startswith("holdover.xlsx"), path.name


def test_every_export_is_there() -> None:
    """What the room says it exports, it has."""
    assert {"BadFile", "Book", "CellData", "SheetData", "read_xlsx"} < set(holdover.xlsx.__all__)
    assert [name for name in holdover.xlsx.__all__ if not hasattr(holdover.xlsx, name)] == []
