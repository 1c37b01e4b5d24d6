"""What each clock hour of an outage takes out of storage and puts in, for each set of tiers: 1 critical, 2 and essential, 3 all."""

from collections.abc import Iterator

from holdover.workbook.grid import Column, Table, group

SETS = ((1, "critical"), (2, "and essential"), (3, "all"))


def window(start: str, hours: str) -> str:
    """The part of a clock hour that lies in a daily window, midnight crossed or not."""
    return (
        f"MAX(0,MIN({{hour}}+1,{start}+{hours})-MAX({{hour}},{start}))"
        f"+MAX(0,MIN({{hour}}+25,{start}+{hours})-MAX({{hour}}+24,{start}))"
    )


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
            Column(
                "mains_w",
                "Outlet gives",
                "W",
                formula='=IF({recharge.outlet_v}="",{demand.house_v},{recharge.outlet_v})*{recharge.outlet_a}',
            ),
            Column("generator_w", "Generator gives", "W", formula="={recharge.generator_w}"),
            *(
                Column(
                    f"day_{kind}_wh",
                    f"{kind.upper()} loads promised, a day",
                    "Wh",
                    formula="=CHOOSE({promised}," + ",".join(f"SUM({{clock.{kind}_{k}}})" for k, _ in SETS) + ")",
                )
                for kind in ("ac", "dc")
            ),
            Column(
                "day_on_h",
                "Inverter on for them",
                "h",
                formula="=CHOOSE({promised}," + ",".join(f"SUM({{clock.on_{k}}})" for k, _ in SETS) + ")",
            ),
        ),
        kind="across",
    )


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
    """What is connected, asked and on in each clock hour, and what each candidate then takes and charges."""
    columns = [
        Column("hour", "Hour from", "o'clock"),
        *group(
            "Sources",
            _quiet("mains_share", "Outlet", "share", f"={window('{outage.mains_from}', '{outage.mains_hours}')}"),
            _quiet(
                "generator_share",
                "Generator",
                "share",
                f"=MIN({window('{outage.generator_from}', '{outage.generator_hours}')},1-{{mains_share}})",
            ),
            _quiet("mains_running_w", "Runs beside the outlet", "W", "=IF({mains_share}>0,{hours.running_w[same]},0)"),
            _quiet(
                "generator_running_w",
                "Runs beside the generator",
                "W",
                "=IF({generator_share}>0,{hours.running_w[same]},0)",
            ),
        ),
        *_by_set("ac", "AC loads"),
        *_by_set("dc", "DC loads"),
        *group(
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
        ),
    ]
    for i in range(candidates):
        columns += _candidate(i)
    spans = [
        (f"c{i}_{what}", f"c{i}_{what}_1", f"c{i}_{what}_3") for i in range(candidates) for what in ("out", "charge")
    ]
    return Table(
        "clock",
        "Each clock hour",
        "hours",
        tuple(columns),
        spans=(
            *spans,
            ("ac", "ac_1", "ac_3"),
            ("dc", "dc_1", "dc_3"),
            ("taking", "c0_out_1", f"c{candidates - 1}_charge_3"),
        ),
    )


def _quiet(name: str, title: str, unit: str, formula: str) -> Column:
    return Column(name, title, unit, path=f"/outage.{name}.@", formula=formula, role="quiet")


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
                formula="=" + "+".join(f"{{hours.{kind}_{tier}_wh[same]}}" for tier in tiers[:k]),
                role="quiet",
            )
            for k, each_title in SETS
        ),
    )


def passed(ac: str, share: str, bypass: str, watts: str) -> str:
    """AC that a source gives straight to the loads."""
    return f"{share}*MIN({ac},{bypass},{watts})"


def charged(ac: str, share: str, bypass: str, watts: str, most: str) -> str:
    """What a source charges with, after the loads."""
    return f"{share}*MIN({watts}-MIN({ac},{bypass},{watts}),{most})"


def _candidate(i: int) -> Iterator[Column]:
    bypass, most = f"{{supply.bypass_w[{i}]}}", f"{{supply.ac_charge_w[{i}]}}"
    for k, title in SETS:
        given = "+".join(
            passed(f"{{ac_{k}}}", f"{{{source}_share}}", bypass, f"{{plan.{source}_w}}")
            for source in ("mains", "generator")
        )
        yield Column(
            f"c{i}_out_{k}",
            title,
            "Wh",
            path=f"/offers.{i}.carried.taking.sets.{k - 1}.out_wh.@",
            formula=f"=({{ac_{k}}}-({given}))/{{supply.inverter_efficiency[{i}]}}+{{supply.idle_w[{i}]}}*{{on_{k}}}"
            f"+{{dc_{k}}}/{{supply.dc_efficiency[{i}]}}",
            group=f"Out of storage: candidate {i + 1}",
            role="quiet",
        )
    for k, title in SETS:
        stored = "+".join(
            charged(f"{{ac_{k}}}", f"{{{source}_share}}", bypass, f"{{plan.{source}_w}}", most)
            for source in ("mains", "generator")
        )
        yield Column(
            f"c{i}_charge_{k}",
            title,
            "Wh",
            path=f"/offers.{i}.carried.taking.sets.{k - 1}.charge_wh.@",
            formula=f"=({stored})*{{supply.ac_charge_efficiency[{i}]}}/{{supply.charge_efficiency[{i}]}}",
            group=f"Charging, as solar energy of the same effect: candidate {i + 1}",
            role="quiet",
        )
