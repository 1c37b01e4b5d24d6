"""A vehicle that must reach the next charger, and other one-off deliveries."""

from dataclasses import replace

from holdover.case.schema import Delivery, Vehicle
from holdover.model.vehicle import PACKS_SHOWN
from holdover.workbook import style
from holdover.workbook.column import Column, Table, asked, each, group
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE
from holdover.workbook.sheets.outage.field import duration, thousands

NARROW = 78
"""Narrow columns of the page."""

VEHICLE = Table(
    "vehicle",
    "The drive",
    "case.vehicle",
    asked(Vehicle),
    kind="form",
    cells={"title": 13, "set": 7, "usual": 0, "used": 8, "unit": 3, "note": 0},
)


MILES = 'IF({vehicle.distance_unit}="",{about.units}="US",{vehicle.distance_unit}="mi")'
_KM = f"IF({MILES},1.609344,1)"


def _by_unit(**parts: str) -> str:
    """The figure in Wh/km, by the unit it is given in; the last is what is left. A usual figure has a unit of its own."""
    *tests, (_, last) = [(key.replace("_per_", "/").replace("_", " "), value) for key, value in parts.items()]
    text = last
    for unit, value in reversed(tests):
        text = f'IF({{vehicle.consumption_unit}}="{unit}",{value},{text})'
    return f'=IF({{vehicle.consumption}}="",180,{text})'


DRIVE = Table(
    "drive",
    "What the drive asks for",
    "vehicle",
    (
        Column("distance_km", "Distance", "km", formula=f"={{vehicle.distance}}*{_KM}"),
        Column(
            "wanted",
            "Distance with margin",
            "km or mi",
            formula="={vehicle.distance}*(1+{vehicle.distance_margin})",
            note="In the unit of the distance.",
        ),
        Column(
            "consumption_wh_per_km",
            "Consumption",
            "Wh/km",
            formula=_by_unit(
                Wh_per_km="{vehicle.consumption}",
                kWh_per_100_km="{vehicle.consumption}*1000/100",
                km_per_kWh="1000/{vehicle.consumption}",
                Wh_per_mi="{vehicle.consumption}/1.609344",
                kWh_per_100_mi="{vehicle.consumption}*1000/100/1.609344",
                mi_per_kWh="1000/({vehicle.consumption}*1.609344)",
            ),
            note="As stated, in one unit; where it is not, the usual one.",
        ),
        Column(
            "outlet_wh_per_km",
            "At the outlet",
            "Wh/km",
            formula='={consumption_wh_per_km}/IF({vehicle.consumption_at}="battery",{vehicle.charger_efficiency},1)',
            note="A label's figure holds the charging loss already.",
        ),
        Column(
            "charger_w",
            "Charger draw",
            "W",
            formula="={vehicle.charger_v}*{vehicle.charger_a}",
            note="What its circuit gives for hours: no margin is asked on it again.",
        ),
        Column(
            "needed_outlet_wh",
            "Needed at the outlet",
            "Wh",
            formula="={distance_km}*(1+{vehicle.distance_margin})*{outlet_wh_per_km}",
            note="Distance with its margin x consumption.",
        ),
        Column("charging_h", "Charging takes", "h", formula="={needed_outlet_wh}/{charger_w}"),
    ),
    kind="across",
    cells={"title": 12, "unit": 6, "record": 6},
    left=33,
    beside=True,
)

_PER_OUTLET_WH = "(1/{storage.inverter_efficiency[same]}+{storage.idle_w[same]}/{drive.charger_w})"
_BARE = "(N({candidates.storage_wh[same]})*{storage.per_wh[same]})"
_EACH = "(N({candidates.pack_wh[same]})*{storage.per_wh[same]})"
_FEED = 'IF({candidates.ac_volts[same]}="",{demand.house_v},{candidates.ac_volts[same]})'


def _packs(needed: str) -> str:
    """The fewest packs for a need that is a number, or the words that none do."""
    fewest = f"ROUNDUP(({needed}-0.0000005-{_BARE})/{_EACH},0)"
    return (
        f'IF(ROUND({_BARE}-{needed},6)>=0,0,IF({_EACH}<=0,"out of reach",'
        f'IF({fewest}>N({{candidates.packs_max[same]}}),"out of reach",{fewest})))'
    )


def _within(packs: str) -> str:
    """Whether the packs it may get are enough."""
    return (
        '=IF({name}="","",IF({vehicle.distance}<=0,"not planned",'
        f'IF(ISTEXT({packs}),"UNDER",IF({packs}>{{storage.packs_limit[same]}},"UNDER","OK"))))'
    )


def cut(number: str) -> str:
    """A number cut to a tenth, so that nobody is told of ground that is not reached."""
    return f"ROUND(ROUNDDOWN(ROUND({number},6),1),1)"


_AS_TOLD = {"range_own": "range_told", "left_own": "left_told"}
"""Distances that stand in the table as sentences tell them."""


def _arrival(name: str, title: str, unit: str, formula: str, cells: int = 6, note: str = "") -> Column:
    path = f"arrival.{_AS_TOLD.get(name, name)}"
    return Column(f"{name}_held", title, unit, path=path, formula=formula, role="row", note=note, cells=cells)


TRIP = Table(
    "trip",
    "What each candidate does for it",
    "offers",
    (
        replace(CANDIDATE, cells=10, role="row name"),
        *group(
            "With the packs it gets, and nothing else on",
            Column(
                "packs", "Packs", "number", path="held.packs", formula="={storage.packs[same]}", role="row", cells=4
            ),
            _arrival(
                "range_own",
                "Range",
                "km or mi",
                f"={cut(f'{{storage.usable_wh[same]}}/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}/{_KM}')}",
                5,
            ),
            _arrival(
                "nameplate_own",
                "Nameplate",
                "km or mi",
                f"={{storage.nameplate_wh[same]}}/{{drive.consumption_wh_per_km}}/{_KM}",
                6,
                note="All of the nameplate into the traction battery: no loss, no reserve, no age. Nobody gets there.",
            ),
            _arrival(
                "lost_share",
                "Lost",
                "share",
                f"=IF({{nameplate_own_held}}>0,1-{{storage.usable_wh[same]}}/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}/{_KM}"
                "/{nameplate_own_held},0)",
                4,
            ),
            _arrival(
                "left_own",
                "Loads first",
                "km or mi",
                "=IF(ISTEXT({loads_wh}),0,"
                f"{cut(f'MAX(0,{{storage.usable_wh[same]}}-{{loads_wh}})/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}/{_KM}')})",
                5,
                note="What arrives when the loads have theirs first.",
            ),
        ),
        *group(
            "The drive alone",
            Column(
                "storage_needed_wh",
                "Drawn from battery",
                "Wh",
                path="vehicle.storage_needed_wh",
                formula="={drive.needed_outlet_wh}/{storage.inverter_efficiency[same]}"
                "+{storage.idle_w[same]}*{drive.charging_h}",
                role="row",
                cells=5,
            ),
            Column(
                "packs_needed",
                "Packs",
                "number",
                path="vehicle.packs_needed",
                formula=f"={_packs('{storage_needed_wh}')}",
                role="row short",
                cells=4,
                note="The fewest whose usable storage brings the vehicle there.",
            ),
            Column(
                "reaches",
                "Gets there",
                path="vehicle.reaches",
                formula=_within("{packs_needed}"),
                role="row verdict",
                cells=5,
            ),
        ),
        *group(
            "Loads and drive from the same storage",
            Column(
                "loads_wh",
                "Loads alone",
                "Wh",
                path="vehicle.loads_wh",
                formula='=IF({sizing.basis}<>"planned days",{storage.needed_wh[same]},'
                'IF(ISTEXT({promise.full_needed_wh[same]}),"never",(1-{sizing.reserve})*{promise.full_needed_wh[same]}))',
                role="row",
                cells=5,
                note="Usable storage that the loads need.",
            ),
            Column(
                "needed_with_loads_wh",
                "Both",
                "Wh",
                path="vehicle.needed_with_loads_wh",
                formula='=IF(ISTEXT({loads_wh}),"never",{loads_wh}+{storage_needed_wh})',
                role="row",
                cells=5,
                note="The sum: no recharging is counted on to make up for the drive.",
            ),
            Column(
                "packs_with_loads",
                "Packs",
                "number",
                path="vehicle.packs_with_loads",
                formula=f'=IF(ISTEXT({{needed_with_loads_wh}}),"out of reach",{_packs("{needed_with_loads_wh}")})',
                role="row short",
                cells=5,
            ),
            Column(
                "reaches_with_loads",
                "Both held",
                path="vehicle.reaches_with_loads",
                formula=_within("{packs_with_loads}"),
                role="row verdict",
                cells=5,
            ),
        ),
        *group(
            "The charger",
            Column(
                "draw_margin_w",
                "Margin",
                "W",
                path="vehicle.draw_margin_w",
                formula="=N({candidates.continuous_w[same]})-{drive.charger_w}",
                role="row",
                cells=5,
                note="Continuous output less the charger's draw.",
            ),
            Column(
                "holds",
                "Fed",
                path="vehicle.holds",
                formula='=IF({name}="","",IF({vehicle.distance}<=0,"not planned",IF(AND(ROUND({draw_margin_w},6)>=0,'
                f"OR({{vehicle.charger_v}}={_FEED},{{vehicle.charger_v}}={{candidates.ac_volts_2[same]}})),"
                '"OK","UNDER")))',
                role="row verdict",
                cells=5,
                note="Its draw, at the charger's voltage, while nothing else is on.",
            ),
        ),
    ),
)

RANGES = Table(
    "ranges",
    "Real range by number of packs",
    "offers",
    (
        replace(CANDIDATE, cells=11, role="row name"),
        *each(
            range(PACKS_SHOWN + 1),
            Column(
                "range_own_#",
                "#",
                "km or mi",
                path="vehicle.range_told.#",
                formula='=IF(#>N({candidates.packs_max[same]}),"",'
                + cut(
                    "(N({candidates.storage_wh[same]})+#*N({candidates.pack_wh[same]}))"
                    f"*{{storage.per_wh[same]}}/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}/{_KM}"
                )
                + ")",
                role="row",
                cells=4,
            ),
        ),
        Column(
            "wanted",
            "Wanted",
            "km or mi",
            path="/vehicle.wanted",
            formula="={drive.wanted}",
            role="row",
            cells=5,
            note="The distance with its margin.",
        ),
    ),
    left=NARROW - 44,
    beside=True,
    units=False,
)


def _of(source: str) -> str:
    """What a row of the candidate followed says; `_beside` where candidates stand beside each other."""
    return f"INDEX({{{source}}},{{shown.number}})"


def _beside(source: str) -> str:
    return f"INDEX({{{source}}},1,{{shown.number}})"


_COUNT = 'IF({times}="",1,{times})'

DELIVERIES = Table(
    "deliveries",
    "Other deliveries, by the candidate followed",
    "deliveries",
    (
        Column("number", "No.", "number", cells=3, role="row"),
        *(
            replace(column, cells=cells)
            for column, cells in zip(asked(Delivery, prefix="given."), (13, 6, 5, 4), strict=True)
        ),
        Column(
            "storage_needed_wh",
            "Drawn from battery",
            "Wh",
            path="/shown.deliveries.@.storage_needed_wh",
            formula=f"={_COUNT}*{{once_wh}}",
            cells=6,
            role="row quiet",
            note="All times.",
        ),
        Column(
            "once_wh",
            "each time",
            "Wh",
            path="/shown.deliveries.@.once_wh",
            formula=f"=N({{energy_wh}})/{_beside('storage.inverter_efficiency')}"
            f"+IF(N({{power_w}})>0,{_beside('storage.idle_w')}*N({{energy_wh}})/{{power_w}},0)",
            cells=5,
            role="row quiet",
        ),
        Column(
            "times_possible",
            "Times possible",
            "number",
            path="/shown.deliveries.@.times_possible",
            formula=f"=IF({{once_wh}}>0,ROUNDDOWN(ROUND({_beside('storage.usable_wh')}/{{once_wh}},9),0),0)",
            cells=5,
            role="row quiet",
            note="Out of usable storage, nothing else on.",
        ),
        Column(
            "holds",
            "Fed",
            path="/shown.deliveries.@.holds",
            formula=f'=IF(OR({{solar.name}}="none",N({{energy_wh}})<=0),"",IF(ROUND(N({_beside("candidates.continuous_w")})'
            '-N({power_w})*IF(N({power_w})=0,1,IF(ROUND(N({energy_wh})/{power_w},6)>=3,1+{sizing.running_margin},1)),6)>=0,"OK","UNDER"))',
            cells=5,
            role="row verdict",
            note="A draw of three hours or more counts with the running margin.",
        ),
    ),
)


def _says(number: str, unit: str, decimals: int = 1) -> str:
    """A rounded number and its unit, inside a sentence."""
    return f'ROUND(ROUND({number},6),{decimals})&" {unit}"'


OWN = f'IF({MILES}," miles"," km")'
"""The unit of the distance, behind a number."""
_USABLE, _DRAWN = _beside("storage.usable_wh"), _of("trip.storage_needed_wh")
_RANGE, GOES = _of("trip.range_own_held"), "ROUND(ROUND({vehicle.distance},6),1)"
TAKES = (
    f'{GOES}&{OWN}&" take "&{thousands("{drive.needed_outlet_wh}")}&" Wh at the charger with the margin, loads apart; '
    f'1 kWh there brings "&{cut(f"1000/({{drive.outlet_wh_per_km}}*{_KM})")}&{OWN}&"."'
)
"""What the distance takes, before any candidate is known."""
CHARGING = (
    f'" Charging takes "&{duration("{drive.charging_h}")}&" and "&{_says(_DRAWN + "/1000", "of ")}'
    f"&{_says(_USABLE + '/1000', 'kWh')}"
    f'&IF({{vehicle.consumption}}="",", at "&IF({MILES},"29 kWh/100 mi","18 kWh/100 km")&", as is usual","")&"."'
)
"""How long the vehicle charges, and what of storage that takes."""
_ASKED = 'IF(OR({vehicle.distance}<=0,{solar.name}="none"),"",'

SAID = Table(
    "drive_said",
    "",
    "drive",
    (
        Column(
            "headline",
            "",
            formula='=IF({solar.name}="none","No candidate is listed yet.",IF({vehicle.distance}<=0,IF(AND(COUNTIF({deliveries.name},"?*")=0,'
            "COUNT({deliveries.energy_wh})=0,COUNT({deliveries.power_w})=0,COUNT({deliveries.times})=0),"
            '"No drive is planned.","No drive is planned; deliveries stand below."),'
            f'{{solar.name}}&IF({_of("trip.packs")}=0,""," with "&{_of("trip.packs")}&IF({_of("trip.packs")}=1," pack"," packs"))'
            f'&": "&{_RANGE}&IF(ROUND({_USABLE}*(1+{{vehicle.distance_margin}})-{_DRAWN},6)<0," of "&{GOES}&{OWN},{OWN}&", where "&{GOES}'
            f'&" are planned"&IF(ROUND({_USABLE}-{_DRAWN},6)<0," ("&ROUND(ROUND({{drive.wanted}},6),1)&" with the margin)",""))'
            '&"."))',
            role="hero",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": NARROW},
    gap=0,
    tall=27,
)

LEAD = Table(
    "drive_lead",
    "",
    "drive",
    (
        Column(
            "lead",
            "",
            formula=f'={_ASKED}"The drive takes "&{_says("{drive.needed_outlet_wh}/1000", "kWh at the charger, ")}'
            f'&{duration("{drive.charging_h}")}&" long, and "&{_says(_of("trip.storage_needed_wh") + "/1000", "kWh drawn from the battery, its margin of ")}'
            f"&{_says('100*{vehicle.distance_margin}', '% counted.', 0)}"
            f'&IF({_of("trip.holds")}="OK",""," "&{{solar.name}}&" does not feed this charger: it asks for "'
            f'&{thousands("{drive.charger_w}")}&" W at "&{_says("{vehicle.charger_v}", "V.", 0)})'
            f'&IF({_of("trip.reaches")}="OK"," Storage is enough for the drive by itself.",'
            f'IF(ISTEXT({_of("trip.packs_needed")})," The vehicle does not get there with its margin, not with every pack it may have.",'
            f'" It takes "&{_of("trip.packs_needed")}&IF({_of("trip.packs_needed")}=1," pack"," packs")&" to get there with the margin."))&" "&'
            f'IF(ISTEXT({_of("trip.needed_with_loads_wh")}),"Loads and drive together: no storage of this '
            'candidate carries the loads alone.","Loads and drive together need "'
            f"&{_says(_of('trip.needed_with_loads_wh') + '/1000', 'kWh of the ')}"
            f"&{_says(_beside('storage.usable_most_wh') + '/1000', 'kWh usable with the packs it may get: ')}"
            f'&{_of("trip.reaches_with_loads")}&"."))',
            role="lead",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": NARROW},
    tall=46,
)

_CAUTION = (
    "Many vehicle chargers refuse a supply whose neutral floats; bonding it, be it by an adapter plug, is a matter for the maker's instructions and a "
    "licensed electrician, and never done on a supply that a building also feeds. One short cord of the right gauge, "
    "unrolled, no adapters, out of the rain: a hot plug or cord is a reason to stop. A generator runs outdoors only, "
    "20 feet (6 m) from the house. What goes into the vehicle is gone from the house: loads that keep somebody alive or "
    "well come first, planned with the device's maker and the clinician."
)

VEHICLE_SHEET = Sheet(
    "Vehicle",
    "",
    (
        SAID,
        LEAD,
        Chart(
            "Nameplate range, and real range",
            "column",
            (
                Series("Nameplate range", "trip", "nameplate_own_held", color=style.SERIES[2]),
                Series("Real range", "trip", "range_own_held", color=style.TEAL),
                Series("Distance with margin", "ranges", "wanted", color=style.SERIES[3], over=True),
            ),
            names=("trip", "name"),
            y_title="km or mi, as the distance",
            rows=14,
            cells=33,
        ),
        RANGES,
        TRIP,
        Words((_CAUTION,), look="small", cells=NARROW),
        VEHICLE,
        DRIVE,
        DELIVERIES,
    ),
    wanted="errands",
    narrow=NARROW,
    screen="vehicle",
    printed="errands",
    foot="A full storage, given to this and to nothing else, unless it is said. A distance of 0: no vehicle.",
)
