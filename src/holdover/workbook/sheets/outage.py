"""The outage: the answer in clock time, the charge and what runs when, what to hold, and what would follow from a change."""

from holdover.case.schema import Day, Outage
from holdover.model.demand import TIERS
from holdover.workbook.grid import Column, Table, asked
from holdover.workbook.page import Sheet
from holdover.workbook.sheets.outage_clock import READINGS, clock_table, plan_table
from holdover.workbook.sheets.outage_field import PROMISE, SERVED, SUPPLY
from holdover.workbook.sheets.outage_hours import hourly_table
from holdover.workbook.sheets.outage_tried import OUTCOME, SUPPLIED, SURE_TABLE, TRIALS_TABLE, TRIED, TRIED_DAY

OUTAGE = Table("outage", "The outage", "case.outage", asked(Outage), kind="form", widths={"title": 30, "set": 12})

SKIES = Table(
    "skies",
    "Day by day under the sky",
    "skies",
    (
        Column("day", "Day of the outage", "number"),
        *asked(Day, prefix="given."),
        Column("share", "In use", "share", path="sky", formula='=IF({sky}="",{outage.sky},{sky})'),
    ),
    note="Days count from the hour it begins. A blank day takes the share set above.",
)

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
        Column("sun_wh", "Sun", "Wh", path="carried.sun_wh", formula="=SUM({tried.sun_wh})"),
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
    ),
    kind="across",
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
        Column(
            "calendar_day",
            "Day",
            "number",
            formula='=IF({t}="","",ROUNDDOWN(({outage.starts_at}+{t})/24,0)+1)',
            note="A day ends at midnight.",
        ),
        Column("clock", "Read at", "o'clock", formula='=IF({t}="","",MOD({outage.starts_at}+{t},24))'),
        *(
            Column(
                f"{tier}_share",
                f"{tier.capitalize()} on from",
                "share",
                formula=f'=IF({{t}}="","",INDEX({{hourly.{tier}_hold}},{{t}}+1))',
            )
            for tier in TIERS[1:]
        ),
    ),
)

OUTAGE_SHEET = Sheet(
    "Outage",
    "What happens when the mains are gone: set the outage in the yellow cells, and read what runs until when.",
    (OUTAGE, SHOWN, SKIES, HOLD),
)


def outage_working_sheets(candidates: int, days: int) -> tuple[Sheet, ...]:
    """The outage hour by hour: of every candidate, of every what-if, and the clock's."""
    return (
        Sheet(
            "Outage hours",
            "Working sheet: the outage hour by hour, for the candidate followed and for each. Nothing to type here.",
            (hourly_table(candidates, days),),
            freeze="hourly",
            working=True,
        ),
        Sheet(
            "Outage by candidate",
            "Working sheet: what each candidate brings, whether it keeps the promise, what each tier gets. Nothing to type.",
            (SUPPLY, PROMISE, SERVED),
            freeze="supply",
            working=True,
        ),
        Sheet(
            "Outage by clock",
            "Working sheet: what a clock hour takes out of storage and puts in, by set of tiers. Nothing to type here.",
            (plan_table(days), READINGS, clock_table(candidates)),
            working=True,
        ),
        Sheet(
            "Outage what-ifs",
            "Working sheet: the outage of the candidate followed, tried with changes. Nothing to type here.",
            (TRIALS_TABLE, SURE_TABLE, SUPPLIED, OUTCOME, TRIED_DAY, TRIED),
            working=True,
        ),
    )
