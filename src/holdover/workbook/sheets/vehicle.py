"""A vehicle that must reach the next charger, and other one-off deliveries."""

from dataclasses import replace

from holdover.case.schema import MAX_DELIVERIES, Delivery, Vehicle
from holdover.model.vehicle import PACKS_SHOWN
from holdover.workbook.grid import Column, Table, asked, each, group
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE

VEHICLE = Table("vehicle", "The drive", "case.vehicle", asked(Vehicle), kind="form")


def _by_unit(**parts: str) -> str:
    """The figure in Wh/km, by the unit it is given in; the last is what is left."""
    *tests, (_, last) = [(key.replace("_per_", "/").replace("_", " "), value) for key, value in parts.items()]
    text = last
    for unit, value in reversed(tests):
        text = f'IF({{vehicle.consumption_unit}}="{unit}",{value},{text})'
    return f"={text}"


DRIVE = Table(
    "drive",
    "What the drive asks for",
    "vehicle",
    (
        Column("distance_unit", "Distance is in", formula="={vehicle.distance_unit}"),
        Column(
            "distance_km",
            "Distance",
            "km",
            formula='={vehicle.distance}*IF({vehicle.distance_unit}="mi",1.609344,1)',
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
            note="As stated, in one unit.",
        ),
        Column(
            "outlet_wh_per_km",
            "At the outlet",
            "Wh/km",
            formula='={consumption_wh_per_km}/IF({vehicle.consumption_at}="battery",{vehicle.charger_efficiency},1)',
            note="A label's figure holds the charging loss already.",
        ),
        Column("charger_v", "Charger voltage", "V", formula="={vehicle.charger_v}"),
        Column("charger_w", "Charger draw", "W", formula="={vehicle.charger_v}*{vehicle.charger_a}"),
        Column(
            "needed_outlet_wh",
            "Needed at the outlet",
            "Wh",
            formula="={distance_km}*(1+{vehicle.distance_margin})*{outlet_wh_per_km}",
            role="total",
            note="Distance with its margin x consumption.",
        ),
        Column("charging_h", "Charging takes", "h", formula="={needed_outlet_wh}/{charger_w}", role="total"),
        Column(
            "draw_needed_w",
            "Output needed",
            "W",
            formula="={charger_w}*(1+{sizing.running_margin})",
            role="total",
            note="Charger draw with the running margin: it draws for hours.",
        ),
    ),
    kind="across",
)

DELIVERIES = Table(
    "deliveries",
    "Other deliveries",
    "deliveries",
    (
        Column("number", "Delivery", "number"),
        *asked(Delivery, prefix="given."),
        Column("count", "Times in use", "number", path="plan.times", formula='=IF({times}="",1,{times})', role="quiet"),
        Column("total_wh", "All times", "Wh", path="plan.total_wh", formula="={energy_wh}*{count}", role="quiet"),
        Column(
            "hours",
            "It takes",
            "h",
            path="plan.hours",
            formula="=IF({power_w}+0>0,{total_wh}/{power_w},0)",
            role="quiet",
        ),
        Column(
            "draw_needed_w",
            "Output needed",
            "W",
            path="plan.draw_needed_w",
            formula="={power_w}*(1+{sizing.running_margin})",
            role="quiet",
            note="Draw with the running margin.",
        ),
    ),
    note="A tool battery, an e-bike, a pump run: one a line. What each candidate makes of them stands below.",
)

_ARRIVES = "With the packs it gets: what arrives, and what the nameplate seems to promise"
_TRIP = "The drive"
_BARE = "({candidates.storage_wh[same]}*{storage.per_wh[same]})"
_EACH = "({candidates.pack_wh[same]}*{storage.per_wh[same]})"
_FEWEST = f"ROUNDUP(({{storage_needed_wh}}-0.0000005-{_BARE})/{_EACH},0)"
_PER_OUTLET_WH = "(1/{storage.inverter_efficiency[same]}+{storage.idle_w[same]}/{drive.charger_w})"
_FEED = 'IF({candidates.ac_volts[same]}="",{demand.house_v},{candidates.ac_volts[same]})'


def _own(km: str) -> str:
    return f'{km}/IF({{drive.distance_unit}}="mi",1.609344,1)'


def _arrival(name: str, title: str, unit: str, formula: str, role: str = "", note: str = "") -> Column:
    return Column(f"{name}_held", title, unit, path=f"arrival.{name}", formula=formula, role=role, note=note)


def _with_packs(n: int) -> tuple[Column, ...]:
    """The range with so many packs."""
    return group("Without packs" if n == 0 else f"With {n} pack{'s' if n > 1 else ''}", *each((n,), *_RANGES))


_NAMEPLATE = "({candidates.storage_wh[same]}+#*{candidates.pack_wh[same]})"
_RANGES = tuple(
    Column(
        f"{name}_#",
        title,
        unit,
        path=f"vehicle.{name}.#",
        formula=f'=IF(#>{{candidates.packs_max[same]}}+0,"",{formula})',
        role="quiet" if unit == "km" else "",
    )
    for name, title, unit, formula in (
        ("range_own", "Arrives", "km or mi", _own("{range_km_#}")),
        ("nameplate_own", "Nameplate promises", "km or mi", _own("{nameplate_km_#}")),
        (
            "range_km",
            "Arrives",
            "km",
            f"{_NAMEPLATE}*{{storage.per_wh[same]}}/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}",
        ),
        ("nameplate_km", "Nameplate promises", "km", f"{_NAMEPLATE}/{{drive.consumption_wh_per_km}}"),
    )
)
"""The range, and the nameplate's, in the unit of the distance and in km; # is the number of packs."""

_ENERGY, _POWER = "{deliveries.energy_wh[#]}", "{deliveries.power_w[#]}"
_DELIVERY = (
    Column(
        "delivery_#_once_wh",
        "Out of storage, each time",
        "Wh",
        path="deliveries.#.once_wh",
        formula=f"={_ENERGY}/{{storage.inverter_efficiency[same]}}"
        f"+IF({_POWER}+0>0,{{storage.idle_w[same]}}*{_ENERGY}/{_POWER},0)",
        role="quiet",
    ),
    Column(
        "delivery_#_storage_needed_wh",
        "Out of storage, all times",
        "Wh",
        path="deliveries.#.storage_needed_wh",
        formula="={deliveries.total_wh[#]}/{storage.inverter_efficiency[same]}"
        "+{storage.idle_w[same]}*{deliveries.hours[#]}",
        role="quiet",
    ),
    Column(
        "delivery_#_times_possible",
        "Times possible",
        "number",
        path="deliveries.#.times_possible",
        formula="=IF({delivery_#_once_wh}>0,ROUNDDOWN(ROUND({storage.usable_wh[same]}/{delivery_#_once_wh},9),0),0)",
        role="quiet",
    ),
    Column(
        "delivery_#_holds",
        "Holds its draw",
        path="deliveries.#.holds",
        formula=f'=IF(OR({{name}}="",{_ENERGY}+0<=0),"",'
        'IF(ROUND({candidates.continuous_w[same]}-{deliveries.draw_needed_w[#]},6)>=0,"OK","SHORT"))',
        role="verdict",
    ),
)
"""What a candidate makes of a delivery; # is the number of the delivery, from 0."""


TRIP = Table(
    "trip",
    "What each candidate does for it",
    "offers",
    (
        replace(CANDIDATE, formula="={storage.name[same]}"),
        *group(
            _TRIP,
            Column(
                "storage_needed_wh",
                "Out of storage",
                "Wh",
                path="vehicle.storage_needed_wh",
                formula="={drive.needed_outlet_wh}/{storage.inverter_efficiency[same]}"
                "+{storage.idle_w[same]}*{drive.charging_h}",
                role="total",
            ),
            Column(
                "packs_needed",
                "Packs needed",
                "number",
                path="vehicle.packs_needed",
                formula=f'=IF(ROUND({_BARE}-{{storage_needed_wh}},6)>=0,0,IF({_EACH}<=0,"out of reach",'
                f'IF({_FEWEST}>{{candidates.packs_max[same]}}+0,"out of reach",{_FEWEST})))',
                role="total",
                note="The fewest whose usable storage brings the vehicle there, and nothing else.",
            ),
            Column(
                "reaches",
                "Gets there",
                path="vehicle.reaches",
                formula='=IF({name}="","",IF({vehicle.distance}<=0,"not planned",IF(ISTEXT({packs_needed}),"SHORT",'
                'IF({packs_needed}>{storage.packs_limit[same]},"SHORT","OK"))))',
                role="verdict",
            ),
            Column("charging_h", "Charging takes", "h", path="vehicle.charging_h", formula="={drive.charging_h}"),
            Column(
                "draw_needed_w",
                "Output needed",
                "W",
                path="vehicle.draw_needed_w",
                formula="={drive.draw_needed_w}",
            ),
            Column(
                "draw_margin_w",
                "Margin",
                "W",
                path="vehicle.draw_margin_w",
                formula="={candidates.continuous_w[same]}-{drive.draw_needed_w}",
                note="Continuous output less what is needed.",
            ),
            Column(
                "holds",
                "Holds the charger",
                path="vehicle.holds",
                formula='=IF({name}="","",IF({vehicle.distance}<=0,"not planned",IF(AND(ROUND({draw_margin_w},6)>=0,'
                f"OR({{drive.charger_v}}={_FEED},{{drive.charger_v}}={{candidates.ac_volts_2[same]}})),"
                '"OK","SHORT")))',
                role="verdict",
                note="Its draw with the margin, at the charger's voltage.",
            ),
        ),
        *group(
            _ARRIVES,
            _arrival("range_own", "Arrives", "km or mi", f"={_own('{range_km_held}')}", "total", "No margin in it."),
            _arrival(
                "nameplate_own",
                "Nameplate promises",
                "km or mi",
                f"={_own('{nameplate_km_held}')}",
                note="All of the nameplate into the traction battery: no loss, no reserve, no age. Nobody gets there.",
            ),
            _arrival(
                "lost_share",
                "Lost on the way",
                "share",
                "=IF({nameplate_km_held}>0,1-{range_km_held}/{nameplate_km_held},0)",
            ),
            _arrival(
                "range_km",
                "Arrives",
                "km",
                f"={{storage.usable_wh[same]}}/{_PER_OUTLET_WH}/{{drive.outlet_wh_per_km}}",
                "quiet",
            ),
            _arrival(
                "nameplate_km",
                "Nameplate promises",
                "km",
                "={storage.nameplate_wh[same]}/{drive.consumption_wh_per_km}",
                "quiet",
            ),
        ),
        *(column for n in range(PACKS_SHOWN + 1) for column in _with_packs(n)),
        *(column for j in range(MAX_DELIVERIES) for column in group(f"Delivery {j + 1}", *each((j,), *_DELIVERY))),
    ),
    kind="across",
    widths={"title": 32, "unit": 14, "record": 14},
    note="Full storage, given to this and to nothing else.",
)

VEHICLE_SHEET = Sheet(
    "Vehicle",
    "Whether the vehicle comes to the next charger, and what else storage delivers once. A distance of 0: no vehicle.",
    (
        Words(
            (
                (
                    "many vehicle chargers refuse a supply whose neutral floats. Bonding neutral to ground is a matter "
                    "for the maker's instructions and a licensed electrician, and is never done on a supply that a "
                    "building also feeds."
                ),
                (
                    "a charger draws its full current for hours. Use one short cord of the right gauge, unrolled; no "
                    "strips, no adapters; keep plugs out of the rain and feel them for heat. A hot plug or cord is a "
                    "reason to stop."
                ),
                (
                    "a generator that refills storage runs outdoors only, at least 20 feet (6 m) from the house, "
                    "exhaust away from doors, windows and vents, and never in a garage beside the vehicle."
                ),
                (
                    "what goes into the vehicle is gone from the house. Loads that keep somebody alive or well come "
                    "first, and are planned with the device's maker and the clinician."
                ),
            ),
            look="caution",
        ),
        VEHICLE,
        DRIVE,
        DELIVERIES,
        Chart(
            "Range: what the nameplate seems to promise, and what arrives",
            "column",
            (Series("Nameplate promises", "trip", "nameplate_own_held"), Series("Arrives", "trip", "range_own_held")),
            names=("trip", "name"),
            y_title="km or mi, as the distance",
        ),
        TRIP,
    ),
    wanted="errands",
)
