"""What can hurt, in one place; each line also stands where the reader meets the risk.

What always holds stands above; below it what this plan calls for, and what a cord loses of the voltage.
"""

from typing import Final

from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.words import headline

WIDE: Final = 96
"""Narrow columns of the page."""
ALWAYS: Final = (
    "Back-feed kills. Never connect a unit or a generator to a building's wiring through an outlet. A "
    "building is fed only through a transfer switch or interlock that a licensed electrician installs "
    "(NEC 702 in the United States; local codes elsewhere).",
    "The voltage at the outlets is as deadly as that of mains. Use cords of the right gauge, unrolled, dry and "
    "undamaged; a hot plug or cord is a reason to stop.",
    "Carbon monoxide: a generator runs outdoors only, at least 20 feet (6 m) from the house, exhaust away "
    "from doors, windows and vents (US CPSC). Never in a garage, porch or carport. Have a CO alarm.",
    "Lithium batteries: keep them dry, upright, ventilated and off escape routes; follow the local fire code "
    "on indoor storage. A damaged, swollen or hot unit is taken outdoors and left to the fire service.",
    "Cold: lithium iron phosphate cells are not charged below 0 °C (32 °F) unless the maker says that the unit heats "
    "them; they may look full and be damaged for good.",
    "Solar modules are live whenever there is light. Never unplug under load. More than the maximum voltage "
    "of an input, even for a moment, destroys it; check the coldest morning.",
    "Medical loads: plan with the device's maker and the clinician, register with the power company where it "
    "keeps such a list, and keep a second way out. A computed runtime is not a promise.",
    "Vehicle charging: many chargers refuse a supply with a floating neutral. Bonding is a matter for the "
    "maker's instructions and a licensed electrician, and is never done on a supply that a building also "
    "feeds.",
    "Heavy lifts: 23 kg (51 lb) is the ideal one-person lift (NIOSH); stairs, reach and twisting lower it. Use two "
    "people or a cart.",
    "Numbers: a survey is an estimate, starting draws vary from motor to motor, storage ages. Measure what "
    "matters before relying on it.",
)


def _named(caution: str) -> str:
    """Whether a load that counts is called by a word of a caution."""
    return f'SUMIF({{caution_word.caution}},"{caution}",{{caution_word.count}})>0'


_DRIVES = "{vehicle.distance}>0"
_LEAVES = 'OR({about.purpose}="day away",{about.purpose}="trip")'
APPLIES: Final = {
    "furnace": _named("furnace"),
    "shared_neutral": 'AND({about.purpose}="outage",{sizing.feed}="120 V",ROUND({demand.ac_wh},6)>0)',
    "residual_current": f'OR({_LEAVES},{_DRIVES},{{about.purpose}}="off grid",{_named("residual_current")})',
    "adapter_plug": _DRIVES,
    "hot_places": f"OR({_LEAVES},ROUND({{sizing.storage_c}},6)>=35)",
    "flood": _named("flood"),
    "medical": _named("medical"),
    "transport": _LEAVES,
    "sine": _named("sine"),
    "array_disconnect": "{array.modules}>0",
    "cold_vehicle": f'AND(OR({_DRIVES},{{about.purpose}}="trip"),ROUND({{sizing.storage_c}},6)<10)',
    "cords": f"OR({_DRIVES},{_named('cords')})",
}
"""When each caution is told."""

CAUTION_WORD = Table(
    "caution_word",
    "Words by which loads call for a caution",
    "answer.called_for.words",
    (
        Column("caution", "Caution", width=34),
        Column("word", "Name, with * for more"),
        Column("dc", "At DC ports, too", "number"),
        Column(
            "count",
            "Loads called so",
            "number",
            formula='=IF({dc}=1,COUNTIFS({line.name},{word},{line.quantity},">0"),'
            'COUNTIFS({line.name},{word},{line.is_ac},">0"))',
        ),
    ),
)
CALLED_FOR = Table(
    "called_for",
    "Whether each caution is told",
    "answer.called_for",
    (
        *(
            Column(
                name, name.replace("_", " ").capitalize(), "number", path=f"all.{i}.applies", formula=f"=IF({text},1,0)"
            )
            for i, (name, text) in enumerate(APPLIES.items())
        ),
        Column("count", "So many are told", "number", formula="=SUM({called_for.flags})"),
        Column("said", "Their titles", formula="={caution.so_far[end]}"),
    ),
    kind="across",
    spans=(("flags", next(iter(APPLIES)), next(reversed(APPLIES))),),
    widths={"title": 34, "unit": 8, "record": 30},
)
CAUTION = Table(
    "caution",
    "Each caution",
    "answer.called_for.all",
    (
        Column("number", "No.", "number"),
        Column("title", "Caution"),
        Column("text", "What it says"),
        Column("source", "Source"),
        Column("applies", "Applies", "number", formula="=INDEX({called_for.flags},{number})"),
        Column("so_many", "So many so far", "number", first="={applies}", formula="={so_many[-1]}+{applies}"),
        Column(
            "so_far",
            "So far",
            first='=IF({applies}=1,{title},"")',
            formula='=IF({applies}=1,{so_far[-1]}&IF({so_far[-1]}="","",", ")&{title},{so_far[-1]}&"")',
        ),
    ),
    chained=True,
)


def _told(column: str) -> str:
    return (
        f'=IF({{number}}>{{called_for.count}},"",INDEX({{caution.{column}}},MATCH({{number}},{{caution.so_many}},0)))'
    )


HEAD = headline("cautions_head", "Read before anything is bought or plugged in.", WIDE)
LINES = Table(
    "caution_lines",
    "What this plan calls for",
    "answer.called_for.lines",
    (
        Column("number", "", "number", cells=3, role="row"),
        Column("title", "Caution", formula=_told("title"), role="row words", cells=17),
        Column("text", "What it says", formula=_told("text"), role="row words", cells=54),
        Column("source", "Source", formula=_told("source"), role="row words", cells=22),
    ),
    units=False,
)
CORD = Table(
    "cord",
    "What a cord loses of the voltage",
    "answer.called_for",
    (
        Column(
            "amps",
            "Most that one outlet's cord carries",
            "A",
            formula="=MAX(IF({vehicle.distance}>0,{vehicle.charger_a},0),MIN(IF({demand.house_v}<150,15,16),"
            "{demand.needed_va}/{demand.house_v}))",
            role="row",
        ),
        Column("volts", "House voltage", "V", formula="={demand.house_v}", role="row"),
    ),
    kind="across",
    cells={"title": 20, "unit": 4, "record": 8},
)
CORDS = Table(
    "cords",
    "",
    "answer.called_for.cords",
    (
        Column("gauge", "Gauge", role="row", cells=20),
        Column("ohm_per_km", "Resistance, ohm/km", "ohm/km", role="row", cells=14),
        Column(
            "lost_share",
            "Lost over 15 m (50 ft)",
            "share",
            formula="=2*{cord.amps}*15*{ohm_per_km}/1000/{cord.volts}",
            role="row",
            cells=16,
        ),
        Column(
            "longest_m",
            "Longest for 3 %, m",
            "m",
            formula='=IF(ROUND({cord.amps},6)>0,0.03*{cord.volts}*1000/(2*{cord.amps}*{ohm_per_km}),"")',
            role="row",
            cells=14,
        ),
    ),
    units=False,
)

CAUTIONS_SHEET = Sheet(
    "Cautions",
    "Local codes and licensed practice go before this workbook.",
    (HEAD, Words(ALWAYS, look="caution", cells=WIDE), LINES, CORD, CORDS),
    narrow=WIDE,
)
CAUTIONS_WORKING = (CAUTION_WORD, CALLED_FOR, CAUTION)
