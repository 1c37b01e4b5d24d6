"""The load inventory, where the client types, and its working sheet, hour by hour."""

from collections.abc import Callable
from dataclasses import replace

from holdover.case.schema import Load
from holdover.workbook.column import Column, Table, asked, group
from holdover.workbook.page import Sheet
from holdover.workbook.sheets.comparison.verdicts import SPARED

_WIDTHS = {
    "name": 27,
    "place": 17,
    "on": 6.5,
    "tier": 12,
    "power_factor": 7,
    "duty": 7,
    "hours_per_day": 7,
    "starts_at": 7,
    "quantity": 7,
    "basis": 9,
} | {
    "gap_ms": 8,
    "note": 26,
}


def _asked(title: str, *names: str) -> tuple[Column, ...]:
    """Inputs of a load under a heading of their own."""
    return group(title, *asked(Load, *names, prefix="given.", widths=dict.fromkeys(names, 8) | _WIDTHS))


_IN_HOURS = {
    "hours_per_day": "In hours: half an hour is 0.5, twelve minutes are 0.2.",
    "starts_at": "A time such as 21:30, or hours from 2 on: 21.5. Type one in the morning as 1:00.",
}

_RECKONED = '{running_w}*IF({duty}="",1,{duty})*N({hours_per_day})'
_APART = (
    f'MAX({{measured_wh_per_day}}-{_RECKONED},IF(AND({{duty}}="",N({{hours_per_day}})>=24),0,'
    f"{_RECKONED}-{{measured_wh_per_day}}))"
)
_ASK = (
    '=MID(IF(AND({name}<>"",{running_w}="",{measured_wh_per_day}=""),"; no watts yet","")'
    '&IF(AND({name}="",OR({running_w}<>"",{measured_wh_per_day}<>"")),"; no name yet","")'
    '&IF(AND({running_w}<>"",{measured_wh_per_day}="",N({hours_per_day})<=0),"; no hours yet","")'
    '&IF(AND({name}<>"",{running_w}<>"",{measured_wh_per_day}="",N({running_w})=0),"; draws 0 W","")'
    '&IF(AND(N({hours_per_day})>0,N({hours_per_day})<0.05),"; under 3 minutes a day: half an hour is 0.5","")'
    '&IF({starting_w}="","",IF({starting_w}<{line.one_w[same]},"; starts below its running draw",""))'
    f'&IF(OR({{running_w}}="",{{measured_wh_per_day}}=""),"",IF(ROUND({_APART}-0.25*{{measured_wh_per_day}},6)>0,'
    '"; metered energy is not watts x duty x hours",""))'
    '&IF({basis}="typical","; a typical figure: measure it",""),3,200)'
)

LOAD = Table(
    "load",
    "Load inventory",
    "lines",
    (
        *_asked("What it is", "name", "on", "tier"),
        *_asked("What it draws", "quantity", "running_w", "starting_w"),
        *(
            replace(column, note=f"{column.note} {_IN_HOURS.get(column.name, '')}".rstrip())
            for column in _asked("When it runs", "hours_per_day", "starts_at", "duty")
        ),
        *_asked("How it is fed and known", "feed", "measured_wh_per_day", "basis"),
        *group(
            "What it comes to",
            Column(
                "energy_wh",
                "Energy a day",
                "Wh",
                formula="={line.energy_wh[same]}",
                width=9,
                role="quiet",
                note="Watts x duty x hours, or the metered figure.",
            ),
            Column(
                "gain_wh",
                "Left out, a day it spares",
                "Wh",
                path="/gains.@.wh",
                formula="={line.ac_wh[same]}/{supplied.inverter_efficiency}"
                "+({line.energy_wh[same]}-{line.ac_wh[same]})/{supplied.dc_efficiency}",
                width=9,
                role="quiet",
                note="Out of storage, of the candidate followed.",
            ),
            Column(
                "gain_share",
                "of the storage needed",
                "share",
                path="/gains.@.share",
                formula='=IF(OR({look_for.day_wh}=0,AND({line.tier[same]}<>"critical",{look_for.promised}=1),'
                'AND({line.tier[same]}="convenience",{look_for.promised}=2)),0,'
                "({line.ac_wh[same]}/{assumed.inverter_efficiency}+({line.energy_wh[same]}-{line.ac_wh[same]})/{assumed.dc_efficiency})/{look_for.day_wh})",
                width=9,
                role="quiet",
                note="0 where the promise does not hold it.",
            ),
            Column(
                "ask",
                "Worth asking",
                formula=_ASK,
                width=26,
                printed=False,
                role="ask",
                note="It changes no number.",
            ),
        ),
        *(
            replace(column, folded=True)
            for column in _asked("Rarely used", "place", "power_factor", "turns", "gap_ms", "note")
        ),
    ),
    note="Type in the yellow cells; a cleared line counts for nothing. Where blank: tier essential, basis typical (metered: label). "
    "Plus sign: more columns.",
)

LOAD_SHEET = Sheet(
    "Load",
    "Every load that must run, what it draws, and when. Loads that keep somebody alive or well are planned with the "
    "device's maker and the clinician, and never on this sheet alone.",
    (LOAD,),
    freeze="load",
)

_LARGER = "(({line.#}>{#})+({line.#}={#})*({line.number}<{number}))"
_RANK = (
    '=IF(OR({load.turns[same]}<>"",{pool}=1),1+SUMPRODUCT(({load.turns}={load.turns[same]})*({line.pool}={pool})*({line.is_ac}={is_ac})*'
    + _LARGER
    + "),0)"
)
_STEPS, _MY_STEPS = "{line.quantity}*{line.step_w}", "{quantity}*{step_w}"
_PLACE_OF_START = (
    "=IF({pool}=1,1+SUMPRODUCT(({line.pool}=1)*({line.is_ac}={is_ac})*"
    f"(({_STEPS}>{_MY_STEPS})+({_STEPS}={_MY_STEPS})*({{line.number}}<{{number}}))),0)"
)
_AHEAD = "SUMPRODUCT(({line.turn}={turn})*({line.$}<{$})*{line.share_#})"
"""What of their day the larger ones of its turn take in the hour: nothing while they are off."""
_COUNTS = (
    '=IF({turn}="",{counted},'
    + "+".join(
        f"{times}({_AHEAD.replace('$', rank)}<0.000001)"
        for rank, times in (("rank_w", "8*"), ("rank_need_w", "2*"), ("rank_need_va", ""))
    )
    + ")"
)


def _share(hour: int) -> str:
    """What of a clock hour lies between start and end; an end after midnight reaches into the hours of the next day."""
    within = f"MEDIAN({hour},{hour + 1},"
    return (
        f"={{each_hour}}*({within}{{until_h}})-{within}N({{load.starts_at[same]}}))"
        f"+MEDIAN(0,1,{{until_h}}-{hour + 24}))"
    )


_RUNS_H = 'IF({load.starts_at[same]}="",24,{hours})'
_SILENT = 'AND({load.running_w[same]}="",{load.measured_wh_per_day[same]}="")'
_ALLOWANCE = "(1+{sizing.running_margin}*{continuous})"


def _by_hour(stem: str, unit: str, title: str, formula: Callable[[int], str]) -> tuple[Column, ...]:
    """A column for each clock hour."""
    hours = (
        Column(f"{stem}_{hour}", f"{hour}:00", unit, path=f"{stem}.{hour}", formula=formula(hour), role="quiet")
        for hour in range(24)
    )
    return group(title, *hours)


def _quiet(name: str, title: str, unit: str, formula: str, note: str = "", path: str = "") -> Column:
    return Column(name, title, unit, path=path, formula=formula, note=note, role="quiet")


_ITSELF = (
    _quiet(
        "quantity",
        "How many",
        "number",
        '=IF(OR({load.on[same]}="no",AND({outage.leave_out}<>"",{load.name[same]}={outage.leave_out})),0,'
        'IF({load.quantity[same]}="",1,{load.quantity[same]}))',
        "0 where the line is switched off or left out.",
    ),
    _quiet("hours", "Hours a day", "h", "=N({load.hours_per_day[same]})"),
    _quiet(
        "volts",
        "AC voltage",
        "V",
        f'=IF(OR({{quantity}}<=0,{_SILENT}),0,IF({{load.feed[same]}}="",{{demand.house_v}},'
        "INDEX({feeds.volts},MATCH({load.feed[same]},{feeds.feed},0))))",
        "0 = a DC port, or a line that counts for nothing.",
    ),
    _quiet(
        "dc_v",
        "DC voltage",
        "V",
        f'=IF(OR({{quantity}}<=0,{_SILENT},{{load.feed[same]}}=""),0,'
        "INDEX({feeds.dc_volts},MATCH({load.feed[same]},{feeds.feed},0)))",
    ),
    _quiet("is_ac", "AC", "number", "=IF({volts}>0,1,0)"),
    _quiet(
        "continuous",
        "Continuous",
        "number",
        '=IF(OR(ROUND({hours}-3,6)>=0,AND({hours}<=0,{load.measured_wh_per_day[same]}<>"")),1,0)',
        "1 = three hours a day or more: with the margin.",
    ),
    _quiet(
        "each_hour",
        "In an hour of it",
        "share",
        f"=IF({{hours}}>0,1/{_RUNS_H},{{continuous}}/24)",
        "Share of its day's energy; without a start time it is spread over all day.",
    ),
    _quiet(
        "until_h",
        "Until",
        "h",
        f"=N({{load.starts_at[same]}})+IF({{hours}}>0,{_RUNS_H},24*{{continuous}})",
        "By the clock, 24 more after midnight.",
    ),
    _quiet(
        "pool",
        "Short use",
        "number",
        '=IF(AND({is_ac}+{dc_v}>0,{load.starts_at[same]}="",{load.turns[same]}="",{tier}<>"critical",{hours}>0,{continuous}=0),1,0)',
        "1 = under three hours a day at no stated time.",
    ),
    _quiet(
        "one_w",
        "Running, one",
        "W",
        '=IF(OR({load.running_w[same]}<>"",{load.measured_wh_per_day[same]}=""),N({load.running_w[same]}),'
        "{load.measured_wh_per_day[same]}/IF({hours}>0,{hours},24))",
        "A metered load without watts counts with its mean draw at least; measure its watts.",
    ),
    _quiet("total_w", "Running, all", "W", "={quantity}*{one_w}"),
    _quiet("need_w", "With the margin", "W", f"={{total_w}}*{_ALLOWANCE}"),
    _quiet(
        "need_va",
        "With the margin",
        "VA",
        f'={{total_w}}/IF({{load.power_factor[same]}}="",1,{{load.power_factor[same]}})*{_ALLOWANCE}',
    ),
    _quiet(
        "step_w",
        "Added at start, one",
        "W",
        '=IF({load.starting_w[same]}="",0,MAX(0,{load.starting_w[same]}-{one_w}))*({is_ac}+IF({dc_v}>0,1,0))',
    ),
)
_AMONG_OTHERS = (
    _quiet(
        "turn",
        "Takes turns",
        "",
        '=IF({load.turns[same]}="","",{load.turns[same]}&" "&({is_ac}+{dc_v}))',
        "Its word, and 1 for AC or the DC voltage: lines that say the same never run at once.",
    ),
    _quiet(
        "rank_w",
        "Place by W",
        "number",
        _RANK.replace("#", "total_w"),
        "1 = the largest.",
    ),
    _quiet("rank_need_w", "Place by W with margin", "number", _RANK.replace("#", "need_w")),
    _quiet("rank_need_va", "Place by VA", "number", _RANK.replace("#", "need_va")),
    _quiet("rank_step_w", "Place by start", "number", _PLACE_OF_START),
    _quiet(
        "counted",
        "Counts when on",
        "number",
        "=IF({pool}=0,11,"
        + "+".join(
            f"IF({{rank_{rank}}}<={{demand.places}},{bit},0)" for rank, bit in (("w", 8), ("need_w", 2), ("need_va", 1))
        )
        + ")",
        "8 = its watts, 2 = watts with margin, 1 = volt-amperes, added up.",
    ),
    _quiet(
        "together_w",
        "Added, all starting",
        "W",
        "=IF(OR({pool}=0,{rank_step_w}<={demand.places}),{quantity}*{step_w},0)",
    ),
    Column(
        "gap_ms",
        "Longest gap tolerated",
        "ms",
        formula='=IF(AND({is_ac}=1,{tier}<>"critical",{load.gap_ms[same]}<>""),{load.gap_ms[same]},"")',
        role="quiet",
    ),
    Column(
        "critical_gap_ms",
        "Gap, critical",
        "ms",
        formula='=IF(AND({is_ac}=1,{tier}="critical",{load.gap_ms[same]}<>""),{load.gap_ms[same]},"")',
        role="quiet",
    ),
    _quiet(
        "energy_wh",
        "Energy a day",
        "Wh",
        '={quantity}*IF({load.measured_wh_per_day[same]}="",N({load.running_w[same]})'
        '*IF({load.duty[same]}="",1,{load.duty[same]})*{hours},{load.measured_wh_per_day[same]})',
    ),
    _quiet("ac_wh", "AC energy", "Wh", "={energy_wh}*{is_ac}"),
    _quiet(
        "incomplete",
        "Incomplete",
        "number",
        '=IF(OR(AND({name}="",{load.running_w[same]}=""),{quantity}=0,{load.measured_wh_per_day[same]}<>""),0,'
        'IF(OR({load.running_w[same]}="",{load.hours_per_day[same]}=""),1,0))',
        "Lacks its watts or hours, so it counts for nothing.",
    ),
    _quiet(
        "spread",
        "Doubt",
        "share",
        '=IF({load.basis[same]}="metered",{sizing.metered_spread},IF(OR({load.basis[same]}="label",'
        'AND({load.basis[same]}="",{load.measured_wh_per_day[same]}<>"")),{sizing.label_spread},'
        "{sizing.typical_spread}))",
        "By how its energy is known; a day's energy that does not say so may be a label's.",
        "/doubt.lines.@.spread",
    ),
    _quiet("doubt_wh", "Doubt", "Wh", "=ROUND({spread}*{energy_wh},6)", path="/doubt.lines.@.doubt_wh"),
)

LINE = Table(
    "line",
    "Each load, worked out",
    "lines",
    (
        Column("name", "Load", formula='=IF({load.name[same]}="","",{load.name[same]})', width=26),
        Column("number", "Line", "number"),
        Column("tier", "Tier", formula='=IF({load.tier[same]}="","essential",{load.tier[same]})', role="quiet"),
        *_ITSELF,
        *_AMONG_OTHERS,
        *_by_hour("share", "share", "Share of its day's energy in the hour", _share),
        *_by_hour(
            "counts",
            "number",
            "What counts of it in the hour if it is on: 8 its watts, 2 watts with margin, 1 VA",
            lambda hour: _COUNTS.replace("#", str(hour)),
        ),
    ),
    spans=(("counts", "counts_0", "counts_23"), ("share", "share_0", "share_23")),
)


def _so_far(kind: str) -> Column:
    at = "is_ac" if kind == "ac" else "dc_v"
    mine = f"AND({{line.pool[same]}}=1,{{line.{at}[same]}}>0)"
    name = 'IF({line.name[same]}="","line "&{line.number[same]},{line.name[same]})'
    return Column(
        kind,
        f"{kind.upper()} so far",
        first=f'=IF({mine},{name},"")',
        formula=f'=IF({mine},IF({{{kind}[-1]}}="",{name},{{{kind}[-1]}}&", "&{name}),{{{kind}[-1]}}&"")',
    )


POOL = Table(
    "pool",
    "Short-use loads, by name",
    "pool_names",
    (_so_far("ac"), _so_far("dc")),
    chained=True,
)

HOURS_BY_LOAD = Sheet(
    "Hours by load",
    "Working sheet: where the 24-hour picture comes from. Nothing to type here.",
    (LINE, SPARED, POOL),
    freeze="line",
    working=True,
)
