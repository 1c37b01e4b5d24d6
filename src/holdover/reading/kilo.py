"""Kilowatts typed as bare numbers where watts are read: refused where it is as good as certain, else asked about."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from holdover.case.figures import figure
from holdover.case.typical import SMALL, small_for
from holdover.case.words import folded, vocabulary
from holdover.findings import Finding, report, show
from holdover.reading.entries import Entry, Row, bare_number, is_empty, typed_text
from holdover.reading.fields import ASKED

COLUMN: Final = {"running_w": 20.0, "measured_wh_per_day": 20.0}
"""A whole column of loads below this may be in kW or kWh [W, Wh/day]; common practice."""
COLUMN_ROWS: Final = 3
"""Rows from which a column says something of its unit [count]."""
START_MOST: Final = 15.0
"""How many times its running draw a load may ask for at start [-]; common practice, with room."""
SPELT: Final = frozenset(vocabulary("headers")["spelt"])
"""Words of a header that say the unit of its bare numbers."""


def refuse_kilo(row: Row, fields: Mapping[str, Any]) -> Iterator[Finding]:
    """Refuse, with both readings, a bare number that only makes sense in kW or kWh."""
    for name in SMALL if row.part == "candidates" else ("running_w", "starting_w"):
        entry, value = row.entries.get(name), fields.get(name)
        if entry is None or value is None or not _is_unsaid(entry):
            continue
        if name == "starting_w":
            why = _too_small_to_start(value, fields.get("running_w"))
        elif row.part == "loads":
            why = small_for(str(fields.get("name", "")), value)
        else:
            why = "no candidate is so small" if 0 < value < SMALL[name] else ""
        if why:
            asked = ASKED[row.part][name]
            typed = show(typed_text(entry.value))
            yield report("Q023", entry.place, title=asked.title, typed=typed, unit=asked.unit, why=why, found=typed)


def _too_small_to_start(starting: float, running: float | None) -> str:
    """Why a start [W] beside a running draw [W] may be in kW: as watts it is below it; "" where it is not."""
    if not running or not 0 < starting < running <= 1000 * starting <= START_MOST * running:
        return ""
    return f"it runs at {figure(running)} W"


def _is_unsaid(entry: Entry) -> bool:
    """Whether neither the cell nor its header says the unit."""
    return not entry.unit and bare_number(entry) is not None and not SPELT & set(folded(entry.place.column).split())


def doubt_columns(rows: Sequence[tuple[Row, Mapping[str, Any]]]) -> Iterator[Finding]:
    """Ask about a column of loads in which every bare number is small, unless one of its table was refused.

    Args:
        rows: loads and candidates, each with its fields
    """
    refused = {(row.place.file, row.place.sheet) for row, fields in rows if any(refuse_kilo(row, fields))}
    for name, most in COLUMN.items():
        columns: dict[tuple[str, str], list[tuple[Entry, float]]] = {}
        for row, fields in rows:
            entry = row.entries.get(name)
            if row.part == "loads" and entry and not is_empty(entry.value):
                columns.setdefault((row.place.file, row.place.sheet), []).append((entry, fields.get(name, most + 1)))
        for key, entries in columns.items():
            small = [value for entry, value in entries if _is_unsaid(entry) and value <= most]
            if len(small) < max(COLUMN_ROWS, len(entries)) or not any(small) or key in refused:
                continue
            unit = ASKED["loads"][name].unit
            yield report("Q024", entries[0][0].place, column=entries[0][0].place.column, most=most, unit=unit)
