"""What any candidate must give, and how sure the day's energy is: both out of the loads alone."""

from holdover.model.look_for import LESS
from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.outage.field import BY_KIND, thousands


def _up(name: str) -> str:
    return thousands(f"ROUNDUP(ROUND({{{name}}},6),0)")


def _promised(kind: str) -> str:
    """A day's energy of the loads that the promise holds."""
    return (
        f'SUMPRODUCT(({{line.tier}}="critical")*{BY_KIND[kind]})'
        f'+IF({{promised}}>=2,SUMPRODUCT(({{line.tier}}="essential")*{BY_KIND[kind]}),0)'
        f'+IF({{promised}}=3,SUMPRODUCT(({{line.tier}}="convenience")*{BY_KIND[kind]}),0)'
    )


_HELPS = (
    'IF({array.modules}>0," and sun","")'
    '&IF(AND({recharge.generator_w}>0,{outage.generator_hours}>0)," and generator","")'
    '&IF({outage.mains_hours}>0," and outlet","")'
)
_HELPED = f'IF(ISTEXT({{nameplate_wh}}),"",IF({_HELPS}="","","{LESS}"))'
_WORDS = (
    f'IF({{continuous_w}}>0,"; "&{_up("continuous_w")}&" W continuous ("&{_up("continuous_va")}&" VA), "'
    f'&{_up("surge_w")}&" W at a start, "&{{ac_voltages}}&IF({{both_at_once}}=1," both at once",""),"")'
    f'&IF({{dc_w}}>0,"; "&{_up("dc_w")}&" W at DC ports","")'
    f'&IF(ISTEXT({{nameplate_wh}}),"","; "&{_up("nameplate_wh")}'
    f'&" Wh of nameplate storage with packs"&IF({_HELPS}="",", where nothing recharges it"," if it goes without "&MID({_HELPS},6,99)))'
    f'&IF({{solar_w}}>0,"; solar inputs for "&{_up("solar_w")}&" W","")'
)

LOOK_FOR = Table(
    "look_for",
    "What to look for on a data sheet",
    "look_for",
    (
        Column(
            "words",
            "In short",
            formula=f'=IF({{demand.lines}}=0,"","Look for "&MID({_WORDS},3,500)&"."&{_HELPED})',
            role="line",
        ),
        *group(
            "Storage",
            Column(
                "promised",
                "Tiers that the promise holds",
                "number",
                formula='=IF({outage.promise}="critical",1,IF({outage.promise}="all loads",3,2))',
                note="1 = critical loads, 2 = essential ones too, 3 = all.",
            ),
            Column("day_ac_wh", "AC loads of the promise, a day", "Wh", formula=f"={_promised('ac')}"),
            Column("day_dc_wh", "DC loads of the promise, a day", "Wh", formula=f"={_promised('dc')}"),
            Column(
                "day_wh",
                "Drawn from battery in a day",
                "Wh",
                formula="={day_ac_wh}/{assumed.inverter_efficiency}"
                "+IF({day_ac_wh}>0,{assumed.idle_w}*{demand.inverter_hours},0)+{day_dc_wh}/{assumed.dc_efficiency}",
                note="At the usual efficiencies and idle draw; a candidate's own count where one is listed.",
            ),
            Column(
                "nameplate_wh",
                "Nameplate storage, with packs",
                "Wh",
                formula="=IF({day_wh}<=0,0,IF(OR({assumed.usable_share}*{capacity.kept_share}<=0,"
                'ROUND({outage.start_share}-{sizing.reserve},9)<=0),"never",{day_wh}*{plan.days}*(1+{sizing.energy_margin})'
                "/(({outage.start_share}-{sizing.reserve})*{assumed.usable_share}*{capacity.kept_share})))",
                role="total",
                note="Carries the promise through the days planned where neither sun nor generator recharges it.",
            ),
        ),
        *group(
            "Output",
            Column("continuous_w", "Continuous output", "W", formula="={demand.needed_running_w}", role="total"),
            Column("continuous_va", "Continuous output", "VA", formula="={demand.needed_va}", role="total"),
            Column(
                "surge_w",
                "Surge output",
                "W",
                formula="={demand.peak_starting_w}*(1+{sizing.starting_margin})",
                role="total",
            ),
            Column("ac_voltages", "AC voltages", formula='={demand.ac_voltages}&""'),
            Column(
                "both_at_once",
                "both at once",
                "number",
                formula='=IF(AND(COUNTIF({line.volts},">=150")>0,COUNTIFS({line.volts},">0",{line.volts},"<150")>0),1,0)',
                note="1 = loads ask for a lower and a higher voltage.",
            ),
            Column("leg_w", "Output on one leg", "W", formula="={demand.needed_leg_w}"),
            Column("dc_w", "DC ports, together", "W", formula="={demand.peak_dc_starting_w}"),
            Column("usb_w", "USB ports", "W", formula="={demand.usb_needed_w}"),
            Column("dc_12v_w", "12 V DC ports", "W", formula="={demand.dc_12v_needed_w}"),
            Column("dc_24v_w", "24 V DC ports", "W", formula="={demand.dc_24v_needed_w}"),
            Column("dc_48v_w", "48 V DC ports", "W", formula="={demand.dc_48v_needed_w}"),
            Column("transfer_ms", "Transfer gap at most", "ms", formula="={demand.critical_gap_ms}"),
        ),
        *group(
            "Solar inputs",
            Column(
                "solar_w",
                "Modules that are planned",
                "W",
                formula='={array.modules}*IF({array.power_w}="",0,{array.power_w})',
            ),
            Column(
                "module_cold_v",
                "One module in the cold",
                "V",
                formula='=IF(OR({array.modules}=0,{sun.coldest_c}="",{array.voc_v}="",{array.voc_tempco}=""),"",'
                "{array.voc_v}*(1+{array.voc_tempco}*({sun.coldest_c}-25))*(1+{array.voltage_margin}))",
                note="An input must bear this for each module in series.",
            ),
        ),
    ),
    kind="across",
)

_LARGEST = "MAX({line.doubt_wh})"

DOUBT = Table(
    "doubt",
    "How sure the day's energy is",
    "doubt",
    (
        Column("low_wh", "Low day", "Wh", formula="=MAX(0,{likely_wh}-{doubt_wh})"),
        Column("likely_wh", "Likely day", "Wh", formula="={demand.energy_wh}", role="total"),
        Column("high_wh", "High day", "Wh", formula="={likely_wh}+{doubt_wh}"),
        Column(
            "doubt_wh",
            "Up or down",
            "Wh",
            formula="=SQRT(SUMPRODUCT({line.doubt_wh}*{line.doubt_wh}))",
            note="Doubts of different loads are independent, so their squares add up.",
        ),
        Column("low_scale", "Low day", "share", formula="=IF({likely_wh}=0,1,{low_wh}/{likely_wh})"),
        Column("high_scale", "High day", "share", formula="=IF({likely_wh}=0,1,{high_wh}/{likely_wh})"),
        Column(
            "measure_number",
            "Line to measure first",
            "number",
            formula=f"=IF({_LARGEST}<=0,0,MATCH({_LARGEST},{{line.doubt_wh}},0))",
            note="The load that moves the day's energy most.",
        ),
        Column(
            "measure_first",
            "Measure first",
            formula='=IF({measure_number}=0,"",IF(INDEX({line.name},{measure_number})="","line "&{measure_number},'
            "INDEX({line.name},{measure_number})))",
        ),
        Column(
            "measure_share",
            "of all doubt",
            "share",
            formula=f"=IF({{measure_number}}=0,0,{_LARGEST}*{_LARGEST}/SUMPRODUCT({{line.doubt_wh}}*{{line.doubt_wh}}))",
        ),
        Column(
            "words",
            "In short",
            formula='=IF({measure_first}="","","Measure first: "&{measure_first}&".")',
            role="line",
        ),
    ),
    kind="across",
)
