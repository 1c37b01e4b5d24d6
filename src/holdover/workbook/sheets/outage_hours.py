"""The outage of the candidate that is followed, one hour a line, every step of it in sight."""

from holdover.workbook.grid import OVER, Column, Table, group


def _drawn(kind: str) -> str:
    tiers = [f"INDEX({{hours.{kind}_{tier}_wh}},{{clock}}+1)" for tier in ("critical", "essential", "convenience")]
    return f"=IF({{active}}=0,0,{tiers[0]}+{{essential_on}}*{tiers[1]}+{{convenience_on}}*{tiers[2]})"


def _stays(level: str) -> str:
    return f"=IF(AND({{active}}=1,ROUND({{state_before_wh}}-{{supplied.{level}}},6)>=0),1,0)"


HOURLY = Table(
    "hourly",
    "Hour by hour",
    "shown.run.hours",
    (
        *group(
            "When",
            Column("t", "Hours gone", "number", width=12),
            Column("day", "Day", "number", width=6),
            Column("clock", "Hour from", "o'clock", formula="=MOD({outage.starts_at}+{t},24)", width=8),
            Column(
                "active",
                "Outage still on",
                "number",
                formula="=IF({t}<24*{outage.days},1,0)",
                note="0 once it is over.",
                width=9,
                off=OVER,
            ),
            Column("state_before_wh", "State of charge", "Wh", formula="={state_wh[-1]}", first="={supplied.start_wh}"),
        ),
        *group(
            "Stays on (1 = yes)",
            Column("convenience_on", "Convenience loads", "number", formula=_stays("convenience_at_wh")),
            Column("essential_on", "Essential loads", "number", formula=_stays("essential_at_wh")),
        ),
        *group(
            "Out of storage",
            Column("ac_wh", "AC loads", "Wh", formula=_drawn("ac"), note="At their plugs."),
            Column("dc_wh", "DC loads", "Wh", formula=_drawn("dc"), note="At their plugs."),
            Column(
                "inverter_on",
                "Inverter on (1 = yes)",
                "number",
                formula='=IF(AND({active}=1,OR({sizing.inverter}="always on",{ac_wh}>0.000001)),1,0)',
            ),
            Column(
                "demand_wh",
                "Asked of storage",
                "Wh",
                formula="={ac_wh}/{supplied.inverter_efficiency}+{supplied.idle_w}*{inverter_on}+{dc_wh}/{supplied.dc_efficiency}",
                note="Losses and the inverter's own draw included.",
            ),
        ),
        *group(
            "Comes in",
            Column(
                "sun_wh",
                "Sun",
                "Wh",
                formula="=IF({active}=0,0,INDEX({sunny.outage_w},{shown.number},{clock}+1)*INDEX({skies.share},{day}))",
            ),
            Column(
                "generator_wh",
                "Generator",
                "Wh",
                formula="=IF({active}=0,0,{supplied.generator_in_w}*INDEX({clock.generator_h},{clock}+1))",
            ),
        ),
        *group(
            "What becomes of it",
            Column("net_wh", "Net", "Wh", formula="={sun_wh}+{generator_wh}-{demand_wh}", note="In less out."),
            Column("stored_wh", "Stored", "Wh", formula="=MAX(0,{state_wh}-{state_before_wh})"),
            Column(
                "wasted_wh",
                "Wasted",
                "Wh",
                formula="=MAX(0,{net_wh}-IF({supplied.may_charge}=1,MAX(0,{supplied.full_wh}-{state_before_wh}),0)"
                "/{supplied.charge_efficiency})",
            ),
            Column(
                "unserved_wh",
                "Not served",
                "Wh",
                formula="=IF({net_wh}<0,MAX(0,MIN({state_before_wh},{supplied.reserve_wh})-{state_before_wh}-{net_wh}),0)",
            ),
        ),
        *group(
            "At the end of the hour",
            Column(
                "state_wh",
                "State of charge",
                "Wh",
                formula="=IF({net_wh}<0,MAX(MIN({state_before_wh},{supplied.reserve_wh}),{state_before_wh}+{net_wh}),"
                "IF({supplied.may_charge}=1,MAX({state_before_wh},MIN({supplied.full_wh},{state_before_wh}"
                "+{net_wh}*{supplied.charge_efficiency})),{state_before_wh}))",
                role="total",
            ),
            Column(
                "served_share",
                "Served of the hour",
                "share",
                formula="=IF(ROUND({unserved_wh},6)>0,1+{unserved_wh}/{net_wh},1)",
            ),
            Column(
                "out_h",
                "Gives out at",
                "h",
                formula='=IF(ROUND({unserved_wh},6)>0,{t}+{served_share},"")',
                note="The earliest is how long it lasts.",
            ),
            Column("plot_h", "For the chart", "number", formula="=MIN({t}+1,24*{outage.days})", role="quiet"),
        ),
    ),
    chained=True,
)
