"""A workbook in US units: what people read and type is in lb, °F and gal, and every formula counts on as before.

A column that is shown in another unit says so (`Column.shown`): its heading, its cells, what may be typed and how it is
read follow. What it shows is kept, in the unit that all formulas know, on a working sheet; names lead there.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from holdover.case.measure import US, Measure, in_us_words, us_first
from holdover.case.section import measure_of
from holdover.workbook.column import Column, Table, Value
from holdover.workbook.grid import REFERENCE
from holdover.workbook.page import Block, Sheet, Words

if TYPE_CHECKING:
    import re

NAME: Final = "Metric"


def measured(amount: str, unit: str, decimals: int = 1) -> str:
    """An amount and its unit inside a sentence, as the client reads them: a sentence follows the setting at once."""
    us = US[unit]
    there = f'ROUND(ROUND({us.shown_text(f"({amount})")},6),1)&" {us.unit}"'
    return f'IF({{about.units}}="US",{there},ROUND(ROUND({amount},6),{decimals})&" {unit}")'


def in_us(sheets: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """The sheets as they are shown where units are US; what nobody reads or types stays as it is."""
    keepers = [keeper for sheet in sheets if not sheet.working for keeper in _keepers(sheet)]
    own = Sheet(
        NAME,
        "Working sheet: what other sheets show in US units, in those that formulas count with. Nothing to type here.",
        tuple(keepers),
        working=True,
    )
    return (*(sheet if sheet.working else shown_sheet(sheet) for sheet in sheets), own)


def _measure(column: Column) -> Measure | None:
    """How a column is shown; None where that is the same everywhere, or nothing is shown."""
    return US.get(measure_of(column.field) if column.field else column.unit)


def shown_sheet(sheet: Sheet) -> Sheet:
    """A sheet with its columns as they are shown and typed, and its standing text in the words of the country."""
    blocks: list[Block] = []
    for block in sheet.blocks:
        if isinstance(block, Table):
            blocks.append(_shown_table(block))
        elif isinstance(block, Words):
            blocks.append(replace(block, lines=tuple(map(in_us_words, block.lines))))
        else:
            blocks.append(block)
    return replace(sheet, blocks=tuple(blocks))


def _shown_table(table: Table) -> Table:
    columns = (_shown(table, replace(column, note=in_us_words(column.note))) for column in table.columns)
    constants = tuple(tuple(map(_worded, row)) for row in table.constants)
    return replace(table, columns=tuple(columns), constants=constants)


def _worded(value: Value) -> Value:
    return in_us_words(value) if isinstance(value, str) else value


def _shown(table: Table, column: Column) -> Column:
    measure, standing = _measure(column), tuple(map(_worded, column.standing))
    if measure is None:
        return replace(column, title=us_first(_titled(column)), standing=standing)
    column = replace(column, unit=measure.unit, title=measure.titled(column.title))
    if measure.is_same:
        return column
    column = replace(column, shown=measure)
    if not column.formula:
        return column
    kept = f"{{{_keeper(table)}.{column.name}[same]}}"
    return replace(column, formula=f"=IF(ISNUMBER({kept}),{measure.shown_text(kept)},{kept})", first="")


def _titled(column: Column) -> str:
    """The title of a word that stands for figures in a unit, such as a check of weights."""
    return next((m.titled(column.title) for m in US.values() if column.title.endswith(f", {m.kept}")), column.title)


def _keeper(table: Table) -> str:
    return f"kept_{table.name}"


def _keepers(sheet: Sheet) -> Iterator[Table]:
    """For each table that shows figures in other units: the settings in use and the results, as they are kept."""
    for table in sheet.blocks:
        if not isinstance(table, Table):
            continue
        kept = tuple(_kept(table, column) for column in table.columns if _is_reckoned(table, column))
        if kept:
            kind = "across" if table.kind == "form" else table.kind
            title = f"{table.title or table.name}, as kept"
            yield Table(_keeper(table), title, table.records, kept, kind=kind, keeps=table.name)


def _is_reckoned(table: Table, column: Column) -> bool:
    """Whether a formula gives it in another unit; what is typed into a table is kept where it is read."""
    measure = _measure(column)
    if measure is None or measure.is_same:
        return False
    return bool(column.formula) or (table.kind == "form" and column.field is not None)


def _kept(table: Table, column: Column) -> Column:
    if column.field is None:
        return Column(column.name, column.title, column.unit, path=column.path, formula=_from_there(table, column))
    read, usual = f"{{read_{table.name}.{column.name}}}", column.field.default
    formula = f"={read}" if usual is None else f'=IF({read}="",{usual:.15g},{read})'
    silent = "" if usual is None else None
    return Column(column.name, column.title, column.unit, path=column.path, formula=formula, silent=silent)


def _from_there(table: Table, column: Column) -> str:
    """The column's formula, as it reads from a table beside its own."""
    if column.first:
        raise KeyError(f"{table.name}.{column.name}: a first record of its own is not kept elsewhere")

    def there(found: "re.Match[str]") -> str:
        other, name, record = found.groups()
        return found[0] if other else f"{{{table.name}.{name}[{record or 'same'}]}}"

    return REFERENCE.sub(there, column.formula)
