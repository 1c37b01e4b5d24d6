"""The outage hour by hour: what the client sets, and what becomes of the candidate that is followed."""

from holdover.case.schema import Day, Outage
from holdover.workbook import style
from holdover.workbook.grid import Column, Table, asked, group
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.outage_field import COMES, ENDURANCE, ENERGY
from holdover.workbook.sheets.outage_hours import HOURLY
from holdover.workbook.sheets.outage_runs import clock_table, ledger_table, trial_table

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

_WHO = "Followed here"


def _of_storage(name: str, title: str, unit: str, path: str = "") -> Column:
    return Column(
        name,
        title,
        unit,
        path=path or f"supply.{name}",
        formula=f"=INDEX({{storage.{name}}},1,{{shown.number}})",
    )


def _of_endurance(name: str, title: str, unit: str, path: str) -> Column:
    return Column(name, title, unit, path=path, formula=f"=INDEX({{endurance.{name}}},1,{{shown.number}})")


def _sum(name: str, title: str) -> Column:
    return Column(name, title, "Wh", path=f"run.{name}", formula=f"=SUM({{hourly.{name}}})")


SHOWN = Table(
    "shown",
    "What becomes of it",
    "shown",
    (
        *group(
            _WHO,
            Column(
                "name",
                "Candidate",
                formula='=IF(INDEX({endurance.name},1,{number})="","none",INDEX({endurance.name},1,{number}))',
                role="head",
            ),
            Column(
                "number",
                "Its column",
                "number",
                formula="=IF(COUNT({endurance.shown})>0,MIN({endurance.shown}),MAX(1,{decision.pick_number}))",
                note="The one named above; else the pick; else the first.",
            ),
        ),
        *group(
            COMES,
            Column(
                "endurance_h",
                "Lasts",
                "h",
                path="run.endurance_h",
                formula="=IF(COUNT({hourly.out_h})=0,24*{outage.days},MIN({hourly.out_h}))",
                role="total",
                note="Until the first load goes without; the whole outage where none does.",
            ),
            Column(
                "gained_h",
                "of it thanks to shedding",
                "h",
                formula="={endurance_h}-{shedding.endurance_h[1]}",
                role="total",
            ),
            Column(
                "unserved_wh",
                "Not served",
                "Wh",
                path="run.unserved_wh",
                formula="=SUM({hourly.unserved_wh})",
                role="total",
                note="What loads left on would have drawn once storage is down to its reserve.",
            ),
            Column(
                "lowest_wh",
                "Lowest state of charge",
                "Wh",
                path="run.lowest_wh",
                formula="=MIN({supplied.start_wh},{hourly.state_wh})",
            ),
            Column(
                "lowest_share",
                "of full storage",
                "share",
                path="run.lowest_share",
                formula="=IF({supplied.full_wh}>0,{lowest_wh}/{supplied.full_wh},0)",
            ),
            Column(
                "convenience_off_h",
                "Convenience loads shed",
                "h",
                path="run.convenience_off_h",
                formula="=24*{outage.days}-SUM({hourly.convenience_on})",
            ),
            Column(
                "essential_off_h",
                "Essential loads shed",
                "h",
                path="run.essential_off_h",
                formula="=24*{outage.days}-SUM({hourly.essential_on})",
            ),
        ),
        *group(
            ENERGY,
            _sum("demand_wh", "Asked of storage"),
            Column(
                "idle_wh",
                "of it for the inverter itself",
                "Wh",
                path="run.idle_wh",
                formula="={supplied.idle_w}*SUM({hourly.inverter_on})",
                note="Idle draw while the inverter is on: nothing runs on it.",
            ),
            _sum("sun_wh", "Sun"),
            _sum("generator_wh", "Generator"),
            Column(
                "used_wh",
                "Sun and generator used",
                "Wh",
                path="run.used_wh",
                formula="={sun_wh}+{generator_wh}-{wasted_wh}",
            ),
            Column(
                "wasted_wh",
                "Sun and generator wasted",
                "Wh",
                path="run.wasted_wh",
                formula="=SUM({hourly.wasted_wh})",
                note="It finds no room in storage, or the cells are too cold to charge.",
            ),
        ),
    ),
    kind="across",
)


SUPPLIED = Table(
    "supplied",
    "What it brings",
    "shown",
    (
        _of_storage("full_wh", "Full storage", "Wh"),
        _of_storage("reserve_wh", "Reserve", "Wh"),
        _of_endurance("start_wh", "At the start", "Wh", "levels.start_wh"),
        _of_endurance("convenience_at_wh", "Convenience loads drop below", "Wh", "levels.convenience_at_wh"),
        _of_endurance("essential_at_wh", "Essential loads drop below", "Wh", "levels.essential_at_wh"),
        _of_storage("inverter_efficiency", "Inverter efficiency", "share"),
        _of_storage("idle_w", "Idle draw", "W"),
        _of_storage("dc_efficiency", "DC port efficiency", "share"),
        _of_storage("charge_efficiency", "Charge efficiency", "share"),
        _of_endurance("may_charge", "Warm enough to charge (1 = yes)", "number", "supply.may_charge"),
        _of_endurance("generator_in_w", "Generator, while it runs", "W", "generator_in_w"),
    ),
    kind="across",
)


def _unshed(column: str) -> str:
    """A column of the last trial, in which nothing is shed."""
    return f"{{trial.unshed_{column}}}"


SHEDDING = Table(
    "shedding",
    "What shedding buys",
    "shown.plans",
    (
        Column("name", "Loads are", role="head", standing=("Shed as set above", "Nothing shed")),
        Column(
            "endurance_h",
            "Lasts",
            "h",
            first="={shown.endurance_h}",
            formula=f"=IF(COUNT({_unshed('out_h')})=0,24*{{outage.days}},MIN({_unshed('out_h')}))",
            role="total",
        ),
        Column(
            "unserved_wh",
            "Not served",
            "Wh",
            first="={shown.unserved_wh}",
            formula=f"=SUM({_unshed('unserved_wh')})",
            role="total",
        ),
        Column(
            "lowest_wh",
            "Lowest state of charge",
            "Wh",
            first="={shown.lowest_wh}",
            formula=f"=MIN({{supplied.start_wh}},{_unshed('state_wh')})",
        ),
        Column(
            "lowest_share",
            "of full storage",
            "share",
            formula="=IF({supplied.full_wh}>0,{lowest_wh}/{supplied.full_wh},0)",
        ),
    ),
    kind="across",
)

WHAT_IF = Table(
    "what_if",
    "What if the loads drew more, or less",
    "what_if",
    (
        Column("scale", "Energy of every load", "share", note="100 % = as listed. The inverter's own draw stays."),
        Column(
            "endurance_h",
            "Lasts",
            "h",
            path="run.endurance_h",
            formula="=IF(COUNT({trial.s@_out_h})=0,24*{outage.days},MIN({trial.s@_out_h}))",
            role="total",
        ),
        Column(
            "gained_h",
            "Against as listed",
            "h",
            formula="={endurance_h}-{shown.endurance_h}",
        ),
        Column("unserved_wh", "Not served", "Wh", path="run.unserved_wh", formula="=SUM({trial.s@_unserved_wh})"),
    ),
    note="For the candidate followed here, with shedding as set above.",
)


def _level(name: str, title: str) -> Column:
    return Column(name, title, "Wh", path=f"/shown.levels.{name}", formula=f"={{supplied.{name}}}", role="quiet")


MARKS = Table(
    "marks",
    "Level lines of the chart",
    "shown.marks",
    (
        Column("h", "Hour", "h", path="/shown.marks.@", first="=0", formula="=24*{outage.days}"),
        _level("full_wh", "Full"),
        _level("convenience_at_wh", "Convenience loads drop"),
        _level("essential_at_wh", "Essential loads drop"),
        _level("reserve_wh", "Reserve"),
    ),
)


OUTAGE_SHEET = Sheet(
    "Outage",
    "What happens when the mains are gone: set the outage in the yellow cells, and read how long storage lasts.",
    (
        Words(
            (
                (
                    "a computed runtime is not a promise. Loads that keep somebody alive or well need a second way "
                    "out, planned with the device's maker and the clinician."
                ),
                (
                    "a generator runs outdoors only, at least 20 feet (6 m) from the house, exhaust away from doors, "
                    "windows and vents; carbon monoxide kills unnoticed. Have a CO alarm. Its cord has the right gauge "
                    "and stays dry."
                ),
            ),
            look="caution",
        ),
        OUTAGE,
        SHOWN,
        Chart(
            "State of charge through the outage",
            "scatter",
            (
                Series("State of charge", "hourly", "state_wh", x="plot_h"),
                Series(
                    "Convenience loads drop", "marks", "convenience_at_wh", x="h", color=style.CONVENIENCE, dashed=True
                ),
                Series("Essential loads drop", "marks", "essential_at_wh", x="h", color=style.ESSENTIAL, dashed=True),
                Series("Reserve", "marks", "reserve_wh", x="h", color=style.RESERVE, dashed=True),
            ),
            x_title="hours since it began",
            y_title="Wh in storage",
            beside="name",
        ),
        SHEDDING,
        SKIES,
        WHAT_IF,
        ENDURANCE,
        SUPPLIED,
    ),
)


def outage_working_sheets(candidates: int) -> tuple[Sheet, ...]:
    """The outage hour by hour: of the candidate followed, of every candidate, of every what-if, and the clock's."""
    return (
        Sheet(
            "Outage hours",
            "The outage of the candidate that the Outage sheet follows. Hours after the end stand still. Nothing to type here.",
            (HOURLY, MARKS),
            freeze="hourly",
            working=True,
        ),
        Sheet(
            "Outage by clock",
            "Working sheet: what a clock hour takes out of storage, by what is left on. Nothing to type here.",
            (clock_table(candidates),),
            freeze="clock",
            working=True,
        ),
        Sheet(
            "Outage by candidate",
            "Working sheet: the outage of every candidate. Spare columns are worked out too. Nothing to type.",
            (ledger_table(candidates),),
            freeze="ledger",
            working=True,
        ),
        Sheet(
            "Outage what-ifs",
            "Working sheet: the same outage with other loads, and without shedding. Nothing to type here.",
            (trial_table(),),
            freeze="trial",
            working=True,
        ),
    )
