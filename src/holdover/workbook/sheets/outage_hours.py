"""The outage of the candidate that is followed, one hour a line, every step of it in sight."""

from holdover.workbook.grid import Column, Table


def _hour(
    name: str, title: str, unit: str, formula: str, group: str, *, first: str = "", note: str = "", role: str = ""
) -> Column:
    return Column(name, title, unit, formula=formula, group=group, first=first, note=note, role=role)


def _drawn(kind: str) -> str:
    tiers = [f"INDEX({{hours.{kind}_{tier}_wh}},{{clock}}+1)" for tier in ("critical", "essential", "convenience")]
    return f"=IF({{active}}=0,0,{tiers[0]}+{{essential_on}}*{tiers[1]}+{{convenience_on}}*{tiers[2]})"


def _stays(level: str) -> str:
    return f"=IF(AND({{active}}=1,ROUND({{state_before_wh}}-{{supplied.{level}}},6)>=0),1,0)"


_WHEN, _ON, _OUT, _IN = "When", "Stays on (1 = yes)", "Out of storage", "Comes in"
_WHAT, _END = "What becomes of it", "At the end of the hour"

HOURLY = Table(
    "hourly",
    "Hour by hour",
    "shown.run.hours",
    (
        Column("t", "Hours gone", "number", group=_WHEN),
        Column("day", "Day", "number", group=_WHEN),
        _hour("clock", "Hour from", "o'clock", "=MOD({outage.starts_at}+{t},24)", _WHEN),
        _hour("active", "Outage still on", "number", "=IF({t}<24*{outage.days},1,0)", _WHEN, note="0 once it is over."),
        _hour("state_before_wh", "State of charge", "Wh", "={state_wh[-1]}", _WHEN, first="={supplied.start_wh}"),
        _hour("convenience_on", "Convenience loads", "number", _stays("convenience_at_wh"), _ON),
        _hour("essential_on", "Essential loads", "number", _stays("essential_at_wh"), _ON),
        _hour("ac_wh", "AC loads", "Wh", _drawn("ac"), _OUT, note="At their plugs."),
        _hour("dc_wh", "DC loads", "Wh", _drawn("dc"), _OUT, note="At their plugs."),
        _hour(
            "inverter_on",
            "Inverter on (1 = yes)",
            "number",
            '=IF(AND({active}=1,OR({sizing.inverter}="always on",{ac_wh}>0.000001)),1,0)',
            _OUT,
        ),
        _hour(
            "demand_wh",
            "Asked of storage",
            "Wh",
            "={ac_wh}/{supplied.inverter_efficiency}+{supplied.idle_w}*{inverter_on}+{dc_wh}/{supplied.dc_efficiency}",
            _OUT,
            note="Losses and the inverter's own draw included.",
        ),
        _hour(
            "sun_wh",
            "Sun",
            "Wh",
            "=IF({active}=0,0,INDEX({sunny.outage_w},{shown.number},{clock}+1)*INDEX({skies.share},{day}))",
            _IN,
        ),
        _hour(
            "generator_wh",
            "Generator",
            "Wh",
            "=IF({active}=0,0,{supplied.generator_in_w}*INDEX({clock.generator_h},{clock}+1))",
            _IN,
        ),
        _hour("net_wh", "Net", "Wh", "={sun_wh}+{generator_wh}-{demand_wh}", _WHAT, note="In less out."),
        _hour("stored_wh", "Stored", "Wh", "=MAX(0,{state_wh}-{state_before_wh})", _WHAT),
        _hour(
            "wasted_wh",
            "Wasted",
            "Wh",
            "=MAX(0,{net_wh}-IF({supplied.may_charge}=1,MAX(0,{supplied.full_wh}-{state_before_wh}),0)"
            "/{supplied.charge_efficiency})",
            _WHAT,
        ),
        _hour(
            "unserved_wh",
            "Not served",
            "Wh",
            "=IF({net_wh}<0,MAX(0,MIN({state_before_wh},{supplied.reserve_wh})-{state_before_wh}-{net_wh}),0)",
            _WHAT,
        ),
        _hour(
            "state_wh",
            "State of charge",
            "Wh",
            "=IF({net_wh}<0,MAX(MIN({state_before_wh},{supplied.reserve_wh}),{state_before_wh}+{net_wh}),"
            "IF({supplied.may_charge}=1,MAX({state_before_wh},MIN({supplied.full_wh},{state_before_wh}"
            "+{net_wh}*{supplied.charge_efficiency})),{state_before_wh}))",
            _END,
            role="total",
        ),
        _hour(
            "served_share",
            "Served of the hour",
            "share",
            "=IF(ROUND({unserved_wh},6)>0,1+{unserved_wh}/{net_wh},1)",
            _END,
        ),
        _hour(
            "out_h",
            "Gives out at",
            "h",
            '=IF(ROUND({unserved_wh},6)>0,{t}+{served_share},"")',
            _END,
            note="The earliest is how long it lasts.",
        ),
        _hour("plot_h", "For the chart", "number", "=MIN({t}+1,24*{outage.days})", _END, role="quiet"),
    ),
    chained=True,
)
