"""The timeline: the outage of the candidate followed in cells of equal width, with marks over and charges under them.

It is worked out on the first page; a page that shows it again takes it from there.
"""

from dataclasses import replace
from typing import Final

from holdover.model.pages.timeline import CELLS, STEP, TIMED_DAYS
from holdover.workbook.column import Column, Table
from holdover.workbook.sheets.outage.field import whole
from holdover.workbook.sheets.outage.hours import field_of_shown

LABELS: Final = 8
"""Narrow columns left of the cells."""
RIGHT: Final = LABELS + CELLS + 1
"""The column in which what stands beside the chart of the outage begins."""
_FULL = "{supplied.full_wh}"
_BETWEEN = STEP * 24 // CELLS
"""Hours from mark to mark, for each day of the outage."""


def _tier(name: str, place: int) -> Column:
    return Column(
        name,
        name.capitalize(),
        formula=f'=IF({{shown.{name}_told}}=0," ",'
        f'IF(SUMPRODUCT(({{hourly.t}}>={{from_h}})*({{hourly.t}}*{CELLS}<({{number}}+1)*24*{{plan.days}})*({{hourly.served}}<{place}))>0,"–",""))',
        role=f"strip {name}",
    )


def _share(name: str, title: str, field: str, above: str = "") -> Column:
    return Column(
        name,
        title,
        "share",
        formula=f'=IF({_FULL}<=0,"",({above}{field_of_shown(field, "{from_h}")})/{_FULL})',
        role="hidden",
    )


_DAY = "ROUNDDOWN({at_h}/24,0)"
_DAY_BEFORE = f"ROUNDDOWN(({{at_h}}-{_BETWEEN}*{{plan.days}})/24,0)"
_CLOCK = 'TEXT(MOD({at_h},24),"00")&":00"'
MARKS = Table(
    "marks",
    "What runs when",
    "answer.marks",
    (
        Column("number", "Mark", "number", role="hidden"),
        Column(
            "at_h",
            "Hours since the day began",
            "number",
            formula=f"={{outage.starts_at}}+{_BETWEEN}*{{plan.days}}*{{number}}",
            role="hidden",
        ),
        Column(
            "time",
            "",
            formula=f'=IF({{number}}=0,"day 1",IF({_DAY}>{_DAY_BEFORE},'
            f'IF({{plan.days}}>{TIMED_DAYS},"","day ")&({_DAY}+1),IF({{plan.days}}>{TIMED_DAYS},"",{_CLOCK})))',
            role="hours",
        ),
    ),
    kind="across",
    cells={"title": LABELS, "unit": 0, "record": STEP},
    gap=0,
)
STRIP = Table(
    "strip",
    "",
    "answer.cells",
    (
        Column("number", "Cell", "number", role="hidden"),
        Column(
            "from_h",
            "From hour",
            "h",
            formula=f"=ROUNDDOWN(ROUND({{number}}*24*{{plan.days}}/{CELLS},6),0)",
            role="hidden",
        ),
        Column(
            "night",
            "Night",
            formula='=IF(AND(MOD({outage.starts_at}+{from_h},24)>=6,MOD({outage.starts_at}+{from_h},24)<18)," ","·")',
            role="strip night",
        ),
        _tier("critical", 1),
        _tier("essential", 2),
        _tier("convenience", 3),
        _share("charge", "Charge", "state"),
        _share("critical_kept", "Kept for critical loads", "critical_need", "{supplied.reserve_wh}+"),
        _share("essential_kept", "Kept for critical and essential loads", "essential_need", "{supplied.reserve_wh}+"),
    ),
    kind="across",
    cells={"title": LABELS, "unit": 0, "record": 1},
    tall=13.5,
    gap=0,
)
CHARGES = Table(
    "charges",
    "",
    "answer.marks",
    (
        Column(
            "charge",
            "Charge left, %",
            formula=f'=IF({_FULL}<=0,"",{whole("100*INDEX({strip.charge},1," + f"{STEP}*{{marks.number[same]}}+1)")}&"")',
            role="hours",
        ),
    ),
    kind="across",
    cells={"title": LABELS, "unit": 0, "record": STEP},
    gap=0,
)


def again(table: Table, name: str, *columns: str) -> Table:
    """A table of the timeline on another page: what stands in some of its columns, not worked out a second time."""
    shown = (table.columns[table.index[column]] for column in columns)
    same = tuple(replace(column, formula=f'={{{table.name}.{column.name}[same]}}&""') for column in shown)
    return replace(table, name=name, title="", columns=same)
