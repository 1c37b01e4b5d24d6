"""What each clock hour of an outage takes out of storage and puts in, for each set of tiers: 1 critical, 2 and essential, 3 all."""

from collections.abc import Callable, Iterator, Sequence

from holdover.workbook.column import Column, Table, group

SOURCES = ("mains", "generator")
ORDER = "outage.order"
"""Where the study keeps the clock hours in the order in which they come in the outage."""
LINES = 7
"""Lines of a candidate: its sun, and what each set takes, as it is and with the margin."""
ABOVE = "{shown.lines_above}"
"""Lines above those of the candidate followed."""
SETS = ((1, "critical"), (2, "and essential"), (3, "all"))


def window(start: str, hours: str, hour: str = "{hour}") -> str:
    """The part of a clock hour that lies in a daily window, midnight crossed or not."""
    return (
        f"MAX(0,MIN({hour}+1,{start}+{hours})-MAX({hour},{start}))"
        f"+MAX(0,MIN({hour}+25,{start}+{hours})-MAX({hour}+24,{start}))"
    )


_SUNSET_H = "INDEX({sky.sunset_deg},{outage.month})/15"
_SINCE_RISE = f"MOD({{outage.starts_at}}-{{sun.solar_noon_at}}+{_SUNSET_H},24)"


def _opens(source: str) -> str:
    """Whole hours until a source's window; a day where it has none."""
    start, hours = f"{{outage.{source}_from}}", f"{{outage.{source}_hours}}"
    return (
        f"IF({hours}<=0,24,IF(MOD({{outage.starts_at}}-{start},24)<{hours},0,"
        f"ROUNDDOWN(MOD({start}-{{outage.starts_at}},24),0)))"
    )


_UNASKED = ",".join(f"SUMPRODUCT({{clock.on_{k}}}*({{clock.ac_{k}}}<=0.000001))" for k, _ in SETS)
_BOUNDS = (
    # Storage that is down to its reserve feeds no inverter that is asked for nothing, and nobody goes without.
    Column(
        "unasked_h",
        "of them without an AC load",
        "h",
        path="/outage.bounds.unasked_h",
        formula=f"=CHOOSE({{promised}},{_UNASKED})",
    ),
    Column(
        "given_wh",
        "Sources give a day",
        "Wh",
        path="/outage.bounds.given_wh",
        formula="=SUM({clock.mains_share})*{mains_w}+SUM({clock.generator_share})*{generator_w}",
    ),
    Column(
        "dark_h",
        "Until the sun may be up",
        "h",
        path="/outage.bounds.dark_h",
        formula=f"=IF(ROUND({_SINCE_RISE}-2*{_SUNSET_H},6)<0,0,ROUNDDOWN(ROUND(24-{_SINCE_RISE},6),0))",
    ),
    Column(
        "alone_h",
        "Until a source is connected",
        "h",
        path="/outage.bounds.alone_h",
        formula=f"=MIN({_opens('mains')},{_opens('generator')})",
    ),
)
"""What bounds that which is not stated: hours in which nothing is asked, and the first in which it may come."""


def plan_table(days: int) -> Table:
    """The outage as it is worked out: its length within the tables, what is promised, its sources and readings."""
    return Table(
        "plan",
        "The outage as it is worked out",
        "outage",
        (
            Column("days", "Days", "number", formula=f"=MIN({{outage.days}},{days})"),
            Column("hours", "Hours", "number", formula="=24*{days}"),
            Column(
                "beyond",
                "Beyond this workbook",
                formula=f'=IF({{outage.days}}>{days},{{outage.days}}&" days are asked and this workbook reaches {days}: '
                'it is worked out to there. Build it anew for more.","")',
            ),
            Column(
                "promised",
                "Tiers promised",
                "number",
                formula='=IF({outage.promise}="critical",1,IF({outage.promise}="all loads",3,2))',
            ),
            Column("raised", "Loads with the margin, times", "number", formula="=1+{sizing.energy_margin}"),
            Column(
                "mains_w",
                "Outlet gives",
                "W",
                formula='=IF({recharge.outlet_v}="",{demand.house_v},{recharge.outlet_v})*{recharge.outlet_a}',
            ),
            Column("generator_w", "Generator gives", "W", formula="={recharge.generator_w}"),
            _promised("day_ac_wh", "AC loads promised, a day", "Wh", "ac"),
            _promised("day_dc_wh", "DC loads promised, a day", "Wh", "dc"),
            _promised("day_on_h", "Inverter on for them", "h", "on"),
            *_BOUNDS,
        ),
        kind="across",
    )


def _promised(name: str, title: str, unit: str, kind: str) -> Column:
    """What the promised tiers come to in a day."""
    sums = ",".join(f"SUM({{clock.{kind}_{k}}})" for k, _ in SETS)
    return Column(name, title, unit, formula=f"=CHOOSE({{promised}},{sums})")


READINGS = Table(
    "readings",
    "Readings of the display",
    "outage.readings",
    (
        Column(
            "after_h",
            "Hours after it begins",
            "h",
            formula="=MOD(CHOOSE({number},{outage.reading_1},{outage.reading_2},{outage.reading_3},{outage.reading_4})"
            "-{outage.starts_at},24)",
        ),
        Column("number", "Number", "number"),
    ),
)


def clock_table(candidates: int) -> Table:
    """What is connected, asked and on in each clock hour, and what each candidate then takes, charges and gets of the sun.

    The hours stand in the order in which they come in the outage, side by side like those of the outage itself: each of
    its hours finds its clock hour in this table by counting on, and from the last one on with the first again.
    """
    columns = (
        Column("hour", "Hour from", "o'clock", formula="={hourly.clock[same]}"),
        *_sources(),
        *_by_set("ac", "AC loads"),
        *_by_set("dc", "DC loads"),
        *_raised(),
        *_inverter(),
        *group("Every candidate", *(column for i in range(candidates) for column in _candidate(i))),
    )
    return Table(
        "clock",
        "Each clock hour, in the order of the outage",
        "hours",
        columns,
        kind="across",
        order=ORDER,
    )


def of_line(line: str, candidates: int, where: str = "daily") -> str:
    """What stands in a line of the candidates in a clock hour; it is chosen by who is followed or tried."""
    lines = f"{{clock.c0_sun_w[{where}]}}:{{clock.c{candidates - 1}_raised_3[{where}]}}"
    return f"INDEX({lines},{line})"


def _quiet(name: str, title: str, unit: str, formula: str) -> Column:
    return Column(name, title, unit, path=f"/outage.{name}.@", formula=formula, role="quiet")


def _sources() -> tuple[Column, ...]:
    return group(
        "Sources",
        _quiet("mains_share", "Outlet", "share", f"={window('{outage.mains_from}', '{outage.mains_hours}')}"),
        _quiet(
            "generator_share",
            "Generator",
            "share",
            f"=MIN({window('{outage.generator_from}', '{outage.generator_hours}')},1-{{mains_share}})",
        ),
        _quiet(
            "mains_running_w", "Runs beside the outlet", "W", "=IF({mains_share}>0,INDEX({hours.running_w},{hour}+1),0)"
        ),
        _quiet(
            "generator_running_w",
            "Runs beside the generator",
            "W",
            "=IF({generator_share}>0,INDEX({hours.running_w},{hour}+1),0)",
        ),
    )


def _inverter() -> tuple[Column, ...]:
    return group(
        "Inverter on (1 = yes)",
        *(
            Column(
                f"on_{k}",
                title,
                "number",
                path=f"/outage.on.{k - 1}.@",
                formula=f'=IF(IF({{sizing.inverter}}="always on",SUM({{clock.ac_{k}}}),{{ac_{k}}})>0.000001,1,0)',
                role="quiet",
            )
            for k, title in SETS
        ),
    )


def _by_set(kind: str, title: str) -> tuple[Column, ...]:
    tiers = ("critical", "essential", "convenience")
    return group(
        title,
        *(
            Column(
                f"{kind}_{k}",
                each_title,
                "Wh",
                path=f"/outage.{kind}_wh.{k - 1}.@",
                formula="=" + "+".join(f"INDEX({{hours.{kind}_{tier}_wh}},{{hour}}+1)" for tier in tiers[:k]),
                role="quiet",
            )
            for k, each_title in SETS
        ),
    )


def _raised() -> tuple[Column, ...]:
    """AC loads with the margin: where a source has to carry more of them, it charges less."""
    return group(
        "AC loads, with the margin",
        *(
            Column(
                f"raised_ac_{k}",
                title,
                "Wh",
                path=f"/outage.raised_ac_wh.{k - 1}.@",
                formula=f"={{ac_{k}}}*{{plan.raised}}",
                role="quiet",
            )
            for k, title in SETS
        ),
    )


def net_of(ac: str, rest: str, shares: Sequence[str], supply: Callable[[str], str]) -> str:
    """What the sources charge less what is taken out of storage; `rest` is what is taken beside AC.

    `shares` are of the hour in which the outlet and the generator are connected, `supply` names what a candidate brings.
    """
    ways = [
        (share, f"{{plan.{source}_w}}", supply(f"{source}_pass_w"))
        for share, source in zip(shares, SOURCES, strict=True)
    ]
    stored = "+".join(f"{share}*MIN({watts}-MIN({ac},{most}),{supply('ac_charge_w')})" for share, watts, most in ways)
    past = "".join(f"-{share}*MIN({ac},{most})" for share, _, most in ways)
    return f"=({stored})*{supply('charged_share')}-({ac}{past})/{supply('inverter_efficiency')}-{rest}"


def _candidate(i: int) -> Iterator[Column]:
    def supply(name: str) -> str:
        return f"{{supply.{name}[{i}]}}"

    yield Column(
        f"c{i}_sun_w",
        f"Candidate {i + 1}: array output, outage month",
        "W",
        path=f"/offers.{i}.recharge.outage_w.@",
        formula=f"=MIN({{strings.modules_used[{i}]}}*INDEX({{module.outage_w}},{{hour}}+1),{{strings.limit_w[{i}]}})",
        note="" if i else "Modules times output of one, cut at the limit of the inputs.",
        role="quiet",
    )
    for stem, title, more, margin in (
        ("plain", "", "", ""),
        ("raised", ", with the margin", "raised_", "{plan.raised}*"),
    ):
        for k, tiers in SETS:
            rest = f"{margin}({supply('idle_w')}*{{on_{k}}}+{{dc_{k}}}/{supply('dc_efficiency')})"
            shares = [f"{{{source}_share}}" for source in SOURCES]
            yield Column(
                f"c{i}_{stem}_{k}",
                f"Candidate {i + 1}: sources less what is taken, {tiers}{title}",
                "Wh",
                path=f"/offers.{i}.carried.taking.{stem}_day_wh.{k - 1}.@",
                formula=net_of(f"{{{more}ac_{k}}}", rest, shares, supply),
                role="quiet",
            )
