"""The outage: the answer in clock time, the charge and what runs when, what to hold, and what would follow from a change."""

from dataclasses import replace
from typing import Final

from holdover.case.schema import Day, Outage
from holdover.model.demand import TIERS
from holdover.model.pages.outage import PROMISED
from holdover.model.pages.timeline import CELLS
from holdover.workbook import style
from holdover.workbook.column import Column, Table, asked
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.outage.clock import LINES, READINGS, clock_table, plan_table
from holdover.workbook.sheets.outage.field import SUPPLY, TO_TRY, clock_words, thousands, whole
from holdover.workbook.sheets.outage.hours import FIELDS, SKY_CELLS, field_of_shown, hourly_table
from holdover.workbook.sheets.outage.timeline import LABELS, MARKS, RIGHT, STRIP, again
from holdover.workbook.sheets.outage.tried import (
    LEFT,
    OUTCOME,
    SUPPLIED,
    TRIED,
    WHAT_IF,
    tried_day_table,
    tried_hours,
)

OFFERS: Final = {"candidate": "candidates_name", "leave_out": "load_name"}
"""Lists of names that an input offers, as they are typed on other sheets."""

OTHERWISE: Final = {"without": (TO_TRY, "outage.without")}
"""What counts where a setting is left blank, if it is worked out: its formula, and where the model keeps what is in use."""

OUTAGE = Table(
    "outage",
    "Change a yellow cell",
    "case.outage",
    tuple(
        replace(column, offers=OFFERS.get(column.name, ""), otherwise=OTHERWISE.get(column.name))
        for column in asked(Outage)
    ),
    kind="form",
    cells={"title": 19, "set": 13, "usual": 0, "used": 13, "unit": 4, "note": 41},
)

SKIES = Table(
    "skies",
    "Day by day under the sky",
    "skies",
    (
        Column("day", "Day since it began", "number", role="caption right"),
        *asked(Day, prefix="given."),
        Column("share", "In use", "share", path="sky", formula='=IF({sky}="",{outage.sky},{sky})', role="row"),
    ),
    kind="across",
    cells={"title": 20, "unit": 0, "record": SKY_CELLS},
)

_SUN = "=INDEX({months.harvest_wh},{outage.month})*SUMPRODUCT({hourly.lasts}*{hourly.sky})/24"
"""What the array of the one followed gives on a clear day of the month, times the shares of the days planned."""

SHOWN = Table(
    "shown",
    "The candidate followed",
    "shown",
    (
        Column(
            "number",
            "Its number",
            "number",
            formula="=IF(COUNT({promise.shown})>0,MIN({promise.shown}),{decision.told_number})",
            note="The one named to be followed; else the pick; else the first.",
        ),
        Column("name", "Candidate", formula="=INDEX({promise.name},1,{number})"),
        Column(
            "lines_above",
            "Lines of the clock hours above its own",
            "number",
            path="/outage.lines_above",
            formula=f"={LINES}*({{number}}-1)",
            role="quiet",
        ),
        Column(
            "fields_above",
            "Lines of the hours above its own",
            "number",
            path="/outage.fields_above",
            formula=f"={len(FIELDS)}*({{number}}-1)",
            role="quiet",
        ),
        *(
            Column(
                f"{tier}_told",
                f"{tier.capitalize()} loads are told of",
                "number",
                path=f"/outage_page.told.{i}",
                formula=f'=IF(OR({{supplied.full_wh}}<=0,INDEX({{fit.output}},1,{{number}})="UNDER",'
                f"ROUND(INDEX({{served.{tier}_asked_wh}},1,{{number}}),6)<=0),0,1)",
                note="0 = not: output falls short, or they ask for nothing.",
                role="quiet",
            )
            for i, tier in enumerate(TIERS)
        ),
        Column("sun_wh", "Sun", "Wh", path="carried.sun_wh", formula=_SUN),
        Column(
            "generator_wh",
            "Generator",
            "Wh",
            path="carried.generator_wh",
            formula="=SUM({tried_day.generator_wh})",
        ),
        Column(
            "fuel_l",
            "Fuel in all",
            "l",
            path="carried.fuel_l",
            formula="={generator_wh}/1000*{recharge.fuel_l_per_kwh}",
        ),
        Column(
            "lowest_wh",
            "Lowest charge",
            "Wh",
            path="carried.lowest_wh",
            formula="=INDEX({promise.lowest_wh},1,{number})",
        ),
        Column(
            "lowest_share",
            "of full storage",
            "share",
            path="carried.lowest_share",
            formula="=IF({supplied.full_wh}>0,{lowest_wh}/{supplied.full_wh},0)",
        ),
        Column(
            "wasted_wh",
            "Sun and charging that find no room",
            "Wh",
            path="carried.wasted_wh",
            formula="=SUM({hourly.wasted_wh})",
        ),
        Column(
            "safe_drop_share",
            "Convenience off below, set in the device",
            "share",
            path="carried.safe_drop_share",
            formula="=IF({supplied.full_wh}>0,MIN(1,{sizing.reserve}+MAX({tried_day.drop_wh})/{supplied.full_wh}),1)",
            note="So that critical and essential loads are carried; 1 = off from the start.",
        ),
    ),
    kind="across",
)


def _held(tier: str, below: str) -> str:
    """What the display must read to leave a tier on; the set without it must find room in every hour that comes."""
    later = f"SUMPRODUCT(({{hourly.t}}>={{t}})*({{hourly.{below}_need}}>=$))"
    held = f"({{supplied.reserve_wh}}+{field_of_shown(f'{tier}_hold')})"
    nothing, over = later.replace("$", "0.0000005"), later.replace("$", "0.0000005+{supplied.room_wh}")
    return (
        f'=IF({{t}}="","",IF({{supplied.full_wh}}<=0,"off",'
        f"IF({nothing}=0,ROUNDUP(ROUND(100*{{sizing.reserve}},6),0)/100,"
        f'IF(OR({over}>0,ROUND({held}-{{supplied.full_wh}},6)>0),"off",'
        f"MIN(1,ROUNDUP(ROUND(100*{held}/{{supplied.full_wh}},6),0)/100)))))"
    )


HOLD = Table(
    "hold",
    "Charge to hold, by reading of the display",
    "outage.hold",
    (
        Column("day", "Day since it began", "number"),
        Column("place", "Reading", "number"),
        Column(
            "at_h",
            "Comes after",
            "h",
            formula="=IF({place}=0,0,24*({day}-1)+SMALL({readings.after_h},MAX(1,{place})))",
        ),
        Column(
            "t",
            "Read after",
            "h",
            first="=0",
            formula='=IF(OR({at_h}>={plan.hours},{at_h}=0,AND({place}>1,{at_h}={at_h[-1]})),"",{at_h})',
            note="Blank: an hour named twice, or the outage is over.",
        ),
        Column("clock", "Read at", "o'clock", formula='=IF({t}="","",MOD({outage.starts_at}+{t},24))'),
        *(
            Column(
                f"{tier}_share",
                f"{tier.capitalize()} on from",
                "share",
                formula=_held(tier, below),
            )
            for tier, below in (("essential", "critical"), ("convenience", "essential"))
        ),
    ),
)

WIDE: Final = 92
"""Narrow columns of the page."""
_NUMBER = "{shown.number}"


def _of(name: str) -> str:
    return f"INDEX({{{name}}},1,{_NUMBER})"


def _line(name: str, role: str, formula: str, tall: float, path: str, gap: int = 0) -> Table:
    """A sentence across the page."""
    return Table(
        f"outage_{name}",
        "",
        "outage_page",
        (Column("text", "", path=path, formula=formula, role=role, cells=WIDE),),
        heads=False,
        tall=tall,
        gap=gap,
    )


_FALLS = f'{_of("promise.broken_tier")}&" loads are off or short"'
_HERO = (
    f'=IF({{shown.name}}="","No candidate is listed yet.",'
    f'IF({_of("fit.output")}="UNDER","Output falls short; by storage alone t","T")&IF({_of("promise.kept")}=0,'
    f'IF({_of("promise.until_h")}<=0,"he promise is not kept: "&{_FALLS}&" from the start on.",'
    f'"he promise is kept until "&{clock_words(_of("promise.until_h"))}&"; then "&{_FALLS}&"."),'
    f'"he promise is kept"&IF({_of("promise.margin_held")}=1,"",", without the margin")&": "'
    f'&CHOOSE({{plan.promised}},"{PROMISED[0]}","{PROMISED[1]}","{PROMISED[2]}")&" "'
    '&{decision.through}&"."))'
)
_LOADS_TRIP = f"({_of('promise.source_trips_w')}-{_of('supply.lowest_charge_w')})"
_LEAD = (
    f'=IF({{shown.name}}="",{{plan.beyond}},{_of("told.named")}&". "&{_of("told.words")}&" The charge falls to "'
    f'&{whole("100*{shown.lowest_share}")}&" %, "&{thousands("MAX(0,{shown.lowest_wh}-{supplied.reserve_wh})")}'
    '&" Wh above the reserve."'
    f'&IF({whole("{shown.wasted_wh}")}>0," Of sun and charging "&{thousands("{shown.wasted_wh}")}&" Wh find no room.","")'
    f'&IF(ROUND({_LOADS_TRIP},6)>0," Loads alone draw "&{thousands(_LOADS_TRIP)}&" W more than a source gives: it trips.",'
    f'IF(ROUND({_of("promise.source_trips_w")},6)>0," Loads and charger ask "&{thousands(_of("promise.source_trips_w"))}'
    '&" W more than a source gives: it trips.",""))'
    f'&IF({_of("promise.runs_down")}=1," The last day ends "&{thousands("-" + _of("promise.daily_balance_wh"))}'
    '&" Wh lower than it began: it can\'t repeat.","")&IF({plan.beyond}="",""," "&{plan.beyond}))'
)

HOURS = again(MARKS, "outage_marks", "time")
_AGAIN = again(STRIP, "timeline", "night", *TIERS)
TIMELINE = replace(
    _AGAIN,
    columns=(
        *_AGAIN.columns,
        Column("is_night", "Night, 1 = yes", "number", formula='=IF({strip.night[same]}=" ",0,1)', role="hidden"),
    ),
    tall=15,
    gap=1,
)
CHARGE = Chart(
    "Charge hour by hour, and the charge to hold, as shares of full storage",
    "column",
    (
        Series("night", "timeline", "is_night", color=style.NIGHT),
        Series("charge left", "strip", "charge", color=style.TEAL, over=True),
        Series(
            "to hold for critical and essential loads",
            "strip",
            "essential_kept",
            color=style.SERIES[1],
            dashed=True,
            over=True,
        ),
        Series("to hold for critical loads", "strip", "critical_kept", color=style.INK, dashed=True, over=True),
    ),
    names=("strip", "number"),
    rows=14,
    cells=LABELS + CELLS,
    labels=LABELS,
)
TIER_LINES = Table(
    "tier_lines",
    "What each tier gets",
    "outage_page.tiers",
    (
        Column("name", "Tier", cells=8, role="row", standing=tuple(tier.capitalize() for tier in TIERS)),
        Column(
            "served_share",
            "Served",
            "share",
            cells=4,
            role="row",
            formula="=INDEX({served.t@_served_share},1,{shown.number})",
        ),
        Column("off_h", "Off, h", "number", cells=5, role="row", formula="=INDEX({served.t@_off_h},1,{shown.number})"),
        Column(
            "until",
            "Without a gap until",
            cells=15,
            role="row words",
            formula='=IF(ROUND(INDEX({served.t@_asked_wh},1,{shown.number}),6)<=0,"asks for nothing",'
            'IF(INDEX({served.t@_until_h},1,{shown.number})="","throughout",'
            + clock_words("INDEX({served.t@_until_h},1,{shown.number})")
            + "))",
        ),
    ),
    left=RIGHT,
    beside=True,
    units=False,
)


def _read(k: int) -> Column:
    """A reading of a day: the clock time, and the charge for all loads and without convenience ones."""
    row = f"4*({{day}}-1)+{k + 1}" if k else "1"

    def percent(tier: str, unit: str = "") -> str:
        share = f"INDEX({{hold.{tier}_share}},{row})"
        return f"IF(ISTEXT({share}),{share},{whole(f'100*{share}')}" + f'&"{unit}")'

    told = (
        f'IF(INDEX({{hold.t}},{row})="","",TEXT(INDEX({{hold.clock}},{row}),"00")&":00  "'
        f'&{percent("convenience")}&" / "&{percent("essential", " %")})'
    )
    formula = f'=IF({{day}}=1,{told},"")' if k == 0 else f"={told}"
    title = "At the start" if k == 0 else f"Reading {k}"
    return Column(f"reading_{k}", title, path=f"readings.{k}", formula=formula, cells=10, role="row words")


HOLD_DAYS = Table(
    "hold_days",
    "Charge to hold at each reading: for all loads / for critical and essential",
    "outage_page.hold",
    (Column("day", "Day", "number", cells=4, role="row"), *(_read(k) for k in range(5))),
    units=False,
)

_SET = "ROUNDUP(ROUND(100*{shown.safe_drop_share},6),0)"
DROP = _line(
    "drop",
    "row words",
    f'=IF({{shown.name}}="","",IF(ROUND({{shown.safe_drop_share}},8)>0.99,"No one threshold, set in the device, leaves convenience loads on and carries '
    f'the others: off from the start.","One threshold, set in the device, in place of readings: convenience loads off below "'
    f'&{_SET}&" %."))',
    15,
    "drop",
    gap=1,
)

WHAT_IF_OF = Table(
    "what_if_of",
    "",
    "outage_page",
    (
        Column(
            "heading",
            "What if",
            formula='=IF({tried.name}="","What if","What if: "&INDEX({told.named},1,{tried.number}))',
            role="heading",
            cells=35,
        ),
    ),
    heads=False,
    tall=style.TITLE_TALL,
    left=RIGHT,
    gap=0,
)
_READ_IT = (
    "Below the first figure convenience loads go off until the next reading, below the second essential ones, too; off: "
    "storage can't hold enough. A what-if is of the candidate that it names, leaves the promised loads on and nothing else; packs are the fewest that keep the "
    "promise with its margin, the price is with them. Low and high day: all loads as far off as their figures may be."
)
_CAUTION = (
    "A computed runtime is not a promise. Loads that keep somebody alive or well need a second way out, planned with the "
    "device's maker and the clinician. A generator runs outdoors only, at least 20 feet (6 m) from the house, exhaust away "
    "from doors, windows and vents; carbon monoxide kills unnoticed: have a CO alarm. Its cord has the right gauge and stays dry."
)

OUTAGE_SHEET = Sheet(
    "Outage",
    "",
    (
        _line("hero", "hero", _HERO, 26, "hero"),
        _line("lead", "lead", _LEAD, 44, "lead"),
        HOURS,
        TIMELINE,
        WHAT_IF_OF,
        CHARGE,
        WHAT_IF,
        HOLD_DAYS,
        TIER_LINES,
        DROP,
        Words((_READ_IT, _CAUTION), look="small", cells=WIDE),
        OUTAGE,
        SKIES,
    ),
    narrow=WIDE,
    screen="outage",
    foot="Steps of an hour. A display is read as Settings say; what is decided then holds until the next reading.",
)


def outage_working_sheet(candidates: int, days: int) -> Sheet:
    """The outage hour by hour, of every candidate and every what-if, and what comes of it."""
    return Sheet(
        "Outage hours",
        "Working sheet: the outage hour by hour, for the candidate followed, for each, and for each change tried. Nothing to type here.",
        # What the hours refer to record by record stands on their sheet, so that they can share a formula. They come
        # first: half of what is written are addresses in them, which are shorter at the top.
        (
            hourly_table(candidates, days, tried_hours(candidates)),
            clock_table(candidates),
            tried_day_table(candidates, days),
            LEFT,
            plan_table(days),
            READINGS,
            SHOWN,
            HOLD,
            TRIED,
            SUPPLIED,
            OUTCOME,
            SUPPLY,
        ),
        working=True,
    )
