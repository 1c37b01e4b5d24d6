"""The map of each sheet as text, to be read aloud when it changes: HOLDOVER_SNAPSHOTS=write renews the files."""

import os
import re
from pathlib import Path

import pytest

from engines.cases import CORNERS
from holdover.model.study import Slots
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Chart, Sheet, Words

FOLDER = Path(__file__).resolve().parents[1] / "snapshots"
SHEETS = sheets_for(Slots(loads=len(CORNERS["one of each"].loads), candidates=1))


def told(sheet: Sheet) -> str:
    lines = [f"{sheet.name}: {sheet.title}"]
    for block in sheet.blocks:
        lines.append("")
        if isinstance(block, Words):
            lines += [f"  {block.look}: {line}" for line in block.lines]
        elif isinstance(block, Chart):
            lines.append(f"  chart, {block.kind}: {block.title}")
            lines += [f"    {s.title}: {s.table}.{s.column}" for s in block.series]
        elif isinstance(block, Table):
            lines += _table(block)
        else:
            lines.append(f"  stair of {block.table}.{block.column}")
    return "\n".join(lines) + "\n"


def _table(table: Table) -> list[str]:
    """A table's columns; those that repeat with another number once, with their count."""
    lines = [f"[{table.name}] {table.title} ({table.kind}, {table.records or 'constants'})"]
    alike: dict[str, list[Column]] = {}
    for column in table.columns:
        alike.setdefault(re.sub(r"\d+", "#", column.name + column.formula), []).append(column)
    for columns in alike.values():
        column = columns[0]
        many = f" x{len(columns)}" if len(columns) > 1 else ""
        unit = f" [{column.unit}]" if column.unit else ""
        lines.append(f"  {column.name}{many}: {column.title}{unit}" + (" (asked)" if column.field else ""))
        lines += [f"      {text}" for text in (column.first and f"first {column.first}", column.formula) if text]
    return lines


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_the_map_of_a_sheet_is_as_it_was_read(sheet: Sheet) -> None:
    """Title, unit and formula of every column are the ones in the snapshot."""
    file = FOLDER / f"{sheet.name.lower().replace(' ', '_')}.txt"
    text = told(sheet)
    if os.environ.get("HOLDOVER_SNAPSHOTS") == "write":
        file.write_text(text, encoding="utf-8")
    assert file.read_text(encoding="utf-8") == text, (
        f"{file.name}: renew it with HOLDOVER_SNAPSHOTS=write, and read the change"
    )


def test_no_snapshot_is_left_over() -> None:
    """Every snapshot belongs to a sheet."""
    names = {f"{sheet.name.lower().replace(' ', '_')}.txt" for sheet in SHEETS}
    assert {file.name for file in FOLDER.iterdir()} == names
