"""The load inventory, where the client types, and its working sheet, hour by hour."""

from holdover.case.schema import Load
from holdover.workbook.grid import Column, Table, asked, each, group
from holdover.workbook.page import Sheet, Words

_WIDTHS = {"name": 29, "place": 17, "tier": 13, "power_factor": 7, "duty": 8, "hours_per_day": 7, "starts_at": 7} | {
    "gap_ms": 8,
    "note": 26,
}


def _asked(title: str, *names: str) -> tuple[Column, ...]:
    """Inputs of a load under a heading of their own."""
    return group(title, *asked(Load, *names, prefix="given.", widths=dict.fromkeys(names, 9) | _WIDTHS))


_RECKONED = '{running_w}*IF({duty}="",1,{duty})*{line.hours[same]}'
_APART = (
    f'MAX({{measured_wh_per_day}}-{_RECKONED},IF(AND({{duty}}="",{{line.hours[same]}}>=24),0,'
    f"{_RECKONED}-{{measured_wh_per_day}}))"
)
_ASK = (
    '=MID(IF(AND({name}<>"",{running_w}="",{measured_wh_per_day}=""),"; no watts yet","")'
    '&IF(AND({name}="",OR({running_w}<>"",{measured_wh_per_day}<>"")),"; no name yet","")'
    '&IF(AND({running_w}<>"",{measured_wh_per_day}="",{line.hours[same]}<=0),"; no hours yet","")'
    '&IF({starting_w}="","",IF({starting_w}<{line.one_w[same]},"; starts below its running draw",""))'
    f'&IF(OR({{running_w}}="",{{measured_wh_per_day}}=""),"",IF(ROUND({_APART}-0.25*{{measured_wh_per_day}},6)>0,'
    '"; metered energy is not watts x duty x hours",""))'
    '&IF({basis}="typical","; a typical figure: measure it",""),3,200)'
)

SURVEY = Table(
    "survey",
    "The day in short",
    "demand",
    (
        Column("lines", "Loads listed", "number", formula="={demand.lines}", role="total"),
        Column("energy_wh", "Energy a day", "Wh", formula="={demand.energy_wh}", role="total"),
        Column("peak_running_w", "Running at the peak", "W", formula="={demand.peak_running_w}", role="total"),
        Column("peak_starting_w", "Starting at the peak", "W", formula="={demand.peak_starting_w}", role="total"),
        Column("peak_dc_w", "DC ports at the peak", "W", formula="={demand.peak_dc_w}", role="total"),
    ),
)

LOAD = Table(
    "load",
    "Load inventory",
    "lines",
    (
        *_asked("What it is", "name", "place", "tier"),
        *_asked("What it draws", "quantity", "running_w", "starting_w", "power_factor", "duty"),
        *_asked("When it runs", "hours_per_day", "starts_at"),
        *_asked("How it is fed", "feed", "turns", "measured_wh_per_day", "gap_ms", "basis", "note"),
        *group(
            "What it comes to",
            Column(
                "energy_wh",
                "Energy a day",
                "Wh",
                formula="={line.energy_wh[same]}",
                width=9,
                role="quiet",
                note="How many x watts x duty x hours, or how many x the metered figure.",
            ),
            Column(
                "energy_share",
                "Of the day's energy",
                "share",
                formula="={line.energy_share[same]}",
                width=9,
                role="quiet",
            ),
            Column(
                "total_w",
                "Running, all of them",
                "W",
                formula="={line.total_w[same]}",
                width=9,
                role="quiet",
            ),
            Column(
                "ask",
                "Worth asking",
                formula=_ASK,
                width=26,
                role="ask",
                note="What an adviser would ask about the line as it stands. It changes no number.",
            ),
        ),
    ),
    note="Type in the yellow cells. Spare lines at the end are ready; a cleared line counts for nothing.",
)

LOAD_SHEET = Sheet(
    "Load",
    "Every load that must run, what it draws, and when. Yellow cells are yours to change.",
    (
        SURVEY,
        Words(
            (
                "Loads that keep somebody alive or well (oxygen, ventilation, cooled medicine) are planned with the "
                "device's maker and the clinician, and never on this sheet alone.",
            ),
            look="caution",
        ),
        LOAD,
    ),
    freeze="load",
)

_LARGER = "(({line.#}>{#})+({line.#}={#})*({line.number}<{number}))"
_RANK = '=IF({turns}="",0,1+SUMPRODUCT(({line.turns}={turns})*({line.is_ac}={is_ac})*' + _LARGER + "))"
_COUNTED = (
    "=IF({share_#}<=0.000001,0,IF({turn_rank_$}=0,{total_$},IF(SUMPRODUCT(({line.turns}={turns})*({line.is_ac}={is_ac})"
    "*({line.turn_rank_$}<{turn_rank_$})*({line.share_#}>0.000001))>0,0,{total_$})))"
)

_SHARE = (
    '=IF({hours}>0,IF({starts}="",1/24,(MAX(0,MIN(#+1,{starts}+{hours})-MAX(#,{starts}))'
    "+MAX(0,MIN(#+25,{starts}+{hours})-MAX(#+24,{starts})))/{hours}),{metered}/24)"
)


def _by_hour(stem: str, unit: str, title: str, formula: str) -> tuple[Column, ...]:
    """A column for each clock hour, # standing for it."""
    hour = Column(f"{stem}_#", "#:00", unit, path=f"{stem}.#", formula=formula, role="quiet")
    return group(title, *each(range(24), hour))


LINE = Table(
    "line",
    "Each load, worked out",
    "lines",
    (
        Column("name", "Load", formula='=IF({load.name[same]}="","",{load.name[same]})', width=26),
        Column("number", "Line", "number"),
        Column("tier", "Tier", formula='=IF({load.tier[same]}="","essential",{load.tier[same]})', role="quiet"),
        Column("turns", "Takes turns", formula='=IF({load.turns[same]}="","",{load.turns[same]})'),
        Column("metered", "Metered", "number", formula='=IF({load.measured_wh_per_day[same]}="",0,1)', role="quiet"),
        Column("hours", "Hours a day", "h", formula="={load.hours_per_day[same]}+0", role="quiet"),
        Column("starts", "From", "clock", formula='=IF({load.starts_at[same]}="","",{load.starts_at[same]})'),
        Column(
            "quantity",
            "How many",
            "number",
            formula='=IF({load.quantity[same]}="",1,{load.quantity[same]})',
            role="quiet",
        ),
        Column(
            "volts",
            "AC voltage",
            "V",
            formula='=IF(OR({quantity}<=0,AND({load.running_w[same]}="",{load.measured_wh_per_day[same]}="")),0,'
            'IF({load.feed[same]}="",{demand.house_v},INDEX({feeds.volts},MATCH({load.feed[same]},{feeds.feed},0))))',
            role="quiet",
            note="0 = a DC port, or a spare line.",
        ),
        Column("is_ac", "AC", "number", formula="=IF({volts}>0,1,0)", role="quiet"),
        Column(
            "is_dc",
            "DC",
            "number",
            formula='=IF(AND({volts}=0,{quantity}>0,OR({load.running_w[same]}<>"",{load.measured_wh_per_day[same]}<>"")),1,0)',
            role="quiet",
        ),
        Column(
            "one_w",
            "Running, one",
            "W",
            formula='=IF(OR({load.running_w[same]}<>"",{metered}=0),{load.running_w[same]}+0,'
            "{load.measured_wh_per_day[same]}/IF({hours}>0,{hours},24))",
            role="quiet",
            note="A metered load without watts counts with its mean draw at least; measure its watts.",
        ),
        Column("total_w", "Running, all", "W", formula="={quantity}*{one_w}", role="quiet"),
        Column(
            "total_va",
            "Running, all",
            "VA",
            formula='={total_w}/IF({load.power_factor[same]}="",1,{load.power_factor[same]})',
            role="quiet",
        ),
        Column(
            "step_w",
            "Added at start, one",
            "W",
            formula='=IF({load.starting_w[same]}="",0,MAX(0,{load.starting_w[same]}-{one_w}))*{is_ac}',
            role="quiet",
        ),
        Column(
            "gap_ms",
            "Gap it rides out",
            "ms",
            formula='=IF(AND({is_ac}=1,{load.gap_ms[same]}<>""),{load.gap_ms[same]},"")',
            role="quiet",
        ),
        Column(
            "energy_wh",
            "Energy a day",
            "Wh",
            formula="={quantity}*IF({metered}=1,{load.measured_wh_per_day[same]},"
            '{load.running_w[same]}*IF({load.duty[same]}="",1,{load.duty[same]})*{hours})',
            role="quiet",
        ),
        Column(
            "energy_share",
            "Of the day",
            "share",
            formula="=IF(SUM({line.energy_wh})=0,0,{energy_wh}/SUM({line.energy_wh}))",
            role="quiet",
        ),
        Column(
            "incomplete",
            "Incomplete",
            "number",
            formula='=IF(OR({name}="",{quantity}=0,{metered}=1),0,IF(OR({load.running_w[same]}="",{hours}<=0),1,0))',
            role="quiet",
            note="A named line without watts counts for nothing, without hours for no energy.",
        ),
        Column("ac_wh", "AC energy", "Wh", formula="={energy_wh}*{is_ac}", role="quiet"),
        Column("dc_wh", "DC energy", "Wh", formula="={energy_wh}*{is_dc}", role="quiet"),
        Column(
            "turn_rank_w",
            "Place among its turns, W",
            "number",
            formula=_RANK.replace("#", "total_w"),
            role="quiet",
            note="1 = the largest of those that never run at once; only the largest that is on counts.",
        ),
        Column(
            "turn_rank_va", "Place among its turns, VA", "number", formula=_RANK.replace("#", "total_va"), role="quiet"
        ),
        *_by_hour("share", "share", "Share of its day's energy in the hour", _SHARE),
        *_by_hour("w", "W", "Running watts that count in the hour", _COUNTED.replace("$", "w")),
        *_by_hour("va", "VA", "Volt-amperes that count in the hour", _COUNTED.replace("$", "va")),
        *_by_hour("step", "W", "Added at start in the hour, one of them", "=IF({share_#}>0.000001,{step_w},0)"),
    ),
)

HOURS_BY_LOAD = Sheet(
    "Hours by load",
    "Working sheet: where the 24-hour picture comes from. Nothing to type here.",
    (LINE,),
    freeze="line",
    working=True,
)
