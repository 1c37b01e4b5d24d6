"""Kilowatts typed as bare numbers where watts are read: refused where it is as good as certain, else asked about."""

from collections.abc import Iterator, Sequence
from typing import Any, Final

from holdover.case.asked import ASKED
from holdover.case.entries import Entry, Reading, Row, bare_number, is_empty, typed_text
from holdover.case.figures import figure
from holdover.case.kinds import BESIDE, is_heater, is_motor, says
from holdover.case.schema import Candidate, Load
from holdover.case.typical import best
from holdover.case.words import folded
from holdover.findings import Finding, show

SMALL: Final = {"storage_wh": 50.0, "continuous_w": 50.0, "surge_w": 50.0}
"""No candidate holds or gives less [Wh, W]; common practice."""
SMALL_BESIDE: Final = {
    "continuous_va": 50.0,
    "pack_wh": 50.0,
    "ac_charge_w": 20.0,
    "pv_input_w": 20.0,
    "pv_total_w": 20.0,
}
"""Hardly a candidate states less [Wh, W]; common practice."""
SMALL_LOAD_W: Final = 5.0
"""No motor and no heater of a survey draws less [W]; common practice."""
BELOW: Final = 20.0
"""Below the least that is common by this factor, a figure is no figure in watts [-]; common practice."""
AROUND: Final = 2.0
"""Within the common figures by this factor, a figure in kilowatts is meant [-]; common practice."""
COLUMN: Final = {"running_w": 20.0, "measured_wh_per_day": 20.0}
"""A whole column of loads below this may be in kW or kWh [W, Wh/day]; common practice."""
COLUMN_ROWS: Final = 3
"""Rows from which a column says something of its unit [count]."""
SPELT: Final = frozenset({"w", "wh", "watt", "watts", "wattage"})
"""Words of a header that say the unit of its bare numbers."""


def refuse_kilo(row: Row, fields: dict[str, Any], reading: Reading) -> None:
    """Refuse, with both readings, a bare number that only makes sense in kW or kWh."""
    for name in SMALL if row.part == "candidates" else ("running_w",):
        entry, value = row.entries.get(name), fields.get(name)
        if entry is None or value is None or not _is_unsaid(entry):
            continue
        if row.part == "loads":
            why = _usual(str(fields.get("name", "")), value)
        else:
            why = "no candidate is so small" if 0 < value < SMALL[name] else ""
        if why:
            asked = ASKED[row.part][name]
            typed = show(typed_text(entry.value))
            reading.say(
                "Q023",
                "error",
                f"{asked.title} may be {typed} {asked.unit} or {typed} k{asked.unit}: {why}",
                entry.place,
                found=typed,
                remedy=f"write {typed} k{asked.unit}, or head the column with (k{asked.unit}); "
                f"if it is so small indeed, write {typed} {asked.unit}",
            )


def _is_unsaid(entry: Entry) -> bool:
    """Whether neither the cell nor its header says the unit."""
    return not entry.unit and bare_number(entry) is not None and not SPELT & set(folded(entry.place.column).split())


def _usual(name: str, value: float) -> str:
    """What is usual for a load that draws far too little in watts and the usual in kilowatts; "" for any other."""
    row = best(name)
    if row is None or says(name, BESIDE) or not 0 < value < row.low_w / BELOW:
        return ""
    if not row.low_w / AROUND <= 1000 * value <= AROUND * row.high_w:
        return ""
    return f"{figure(row.low_w)} to {figure(row.high_w)} W are usual for {row.name}"


def doubt_columns(rows: Sequence[tuple[Row, dict[str, Any]]], reading: Reading) -> None:
    """Ask about a column of loads in which every bare number is small; each row comes with its fields."""
    refused = {(f.file, f.sheet) for f in reading.findings.found if f.code == "Q023"}
    for name, most in COLUMN.items():
        columns: dict[tuple[str, str], list[tuple[Entry, float]]] = {}
        for row, fields in rows:
            entry = row.entries.get(name)
            if entry and not is_empty(entry.value):
                key = (show(row.place.file, 200), show(row.place.sheet))
                columns.setdefault(key, []).append((entry, fields.get(name, most + 1)))
        for key, entries in columns.items():
            small = [value for entry, value in entries if _is_unsaid(entry) and value <= most]
            if len(small) < max(COLUMN_ROWS, len(entries)) or not any(small) or key in refused:
                continue
            unit = ASKED["loads"][name].unit
            reading.say(
                "Q024",
                "warning",
                f"no number in column {show(entries[0][0].place.column)} is above {figure(most)}; they were read as {unit}",
                entries[0][0].place,
                remedy=f"if these are k{unit}, write 1.5 k{unit} or head the column with (k{unit}); "
                f"if they are {unit}, head it with ({unit})",
            )


def small_load(load: Load) -> Iterator[Finding]:
    """A load that draws so little that kilowatts may be meant."""
    watts = load.running_w or 0.0
    why = _usual(load.name, watts)
    if not why and 0 < watts < SMALL_LOAD_W and (is_heater(load.name) or is_motor(load.name)):
        why = "motors and heaters draw more"
    if why:
        yield _kilo(f"draws {figure(watts)} W; {why}", f"{figure(watts)} kW", f"{figure(1000 * watts)} W")


def small_candidate(unit: Candidate) -> Iterator[Finding]:
    """A candidate with figures so small that kilowatts may be meant."""
    small = {
        name: value
        for name, least in (SMALL | SMALL_BESIDE).items()
        if (value := getattr(unit, name)) is not None and 0 < value < least
    }
    if small:
        asked = ASKED["candidates"]
        told = ", ".join(f"{asked[n].title.lower()} {figure(v)} {asked[n].unit}" for n, v in small.items())
        name, value = next(iter(small.items()))
        number, kind = figure(value), asked[name].unit
        yield _kilo(
            f"so small that another unit may be meant: {told}", f"{number} k{kind}", f"{figure(1000 * value)} {kind}"
        )


def _kilo(message: str, kilo: str, whole: str) -> Finding:
    return Finding(
        code="A024", level="warning", message=message, remedy=f"check the unit: if {kilo} is meant, write {whole}"
    )
