"""The candidates as their data sheets state them, and what their storage really holds."""

from dataclasses import replace

from holdover.case.schema import Assumed, Candidate
from holdover.workbook.column import SPARE, Column, Table, asked, group
from holdover.workbook.page import Sheet, Words

_GROUPS = {
    "Storage": ("storage_wh", "usable_share", "cycles"),
    "Output": (
        "continuous_w",
        "continuous_va",
        "surge_w",
        "ac_volts",
        "ac_volts_2",
        "volts_at_once",
        "leg_w",
        "bypass_w",
        "ac_sockets",
        "dc_w",
        "usb_w",
        "dc_12v_w",
        "dc_24v_w",
        "dc_48v_w",
        "inverter_efficiency",
        "idle_w",
        "dc_efficiency",
        "transfer_ms",
    ),
    "Expansion packs": ("pack_wh", "packs_max", "packs", "pack_weight_kg", "pack_price"),
    "Charging": ("charge_efficiency", "ac_charge_w", "ac_charge_min_w", "ac_charge_efficiency", "charge_min_c"),
    "Solar inputs": (
        "pv_inputs",
        "pv_min_v",
        "pv_max_v",
        "pv_max_a",
        "pv_max_isc_a",
        "pv_input_w",
        "pv_total_w",
    ),
    "Handling and price": ("weight_kg", "noise_db", "warranty_years", "price", "note"),
}

CANDIDATE = Column(
    "name",
    "Candidate",
    formula='=IF({candidates.name[same]}="","",{candidates.name[same]})',
    role="head",
    off=SPARE,
)
"""Whose column it is; the numbers of a spare one are not shown."""

CANDIDATES = Table(
    "candidates",
    "Data sheets",
    "offers",
    (
        replace(*asked(Candidate, "name", prefix="given."), role="head", off=SPARE),
        *(
            column
            for title, names in _GROUPS.items()
            for name in names
            for column in group(title, *asked(Candidate, name, prefix="given."))
        ),
    ),
    kind="across",
    widths={"title": 32, "unit": 10, "record": 14},
    note="One column a candidate. A blank cell takes the assumed figure where there is one.",
)

CANDIDATES_SHEET = Sheet(
    "Candidates",
    "What is on offer, as the data sheets state it. Yellow cells are yours; spare columns are ready.",
    (
        Words(
            (
                "a solar input is destroyed by more than its maximum voltage, even for a moment and even in shade; the "
                "cold morning is the worst case. Storage is heavy, and full of energy: indoors, dry, upright, per the "
                "maker's instructions and the local fire code.",
                "a unit that makes both 120 V and 240 V at once gives about half its output on each 120 V leg, and its "
                "whole output only when both are loaded alike. Where a leg's limit is blank, half is taken: ask the maker.",
            ),
            look="caution",
        ),
        CANDIDATES,
    ),
    freeze="candidates",
)


def _stated(name: str) -> Column:
    info = Assumed.model_fields[name]
    (column,) = asked(Assumed, name)
    return Column(
        name,
        info.title or name,
        column.unit,
        path=f"storage.{name}",
        formula=f'=IF({{candidates.{name}[same]}}="",{{assumed.{name}}},{{candidates.{name}[same]}})',
    )


STORAGE = Table(
    "storage",
    "Storage, from the label to what can be used",
    "offers",
    (
        CANDIDATE,
        Column("number", "Column", "number"),
        *group(
            "In use: the data sheet's figure, or the assumed one", *(_stated(name) for name in Assumed.model_fields)
        ),
        *group(
            "Drawn from battery in a day",
            Column(
                "ac_draw_wh",
                "For AC loads",
                "Wh",
                path="storage.ac_draw_wh",
                formula="={demand.ac_wh}/{inverter_efficiency}",
            ),
            Column(
                "idle_draw_wh",
                "For the inverter itself",
                "Wh",
                path="storage.idle_draw_wh",
                formula="={idle_w}*{demand.inverter_hours}",
                note="Idle draw while the inverter is on. People forget it, and it often decides.",
            ),
            Column(
                "dc_draw_wh",
                "For DC loads",
                "Wh",
                path="storage.dc_draw_wh",
                formula="={demand.dc_wh}/{dc_efficiency}",
            ),
            Column(
                "day_draw_wh",
                "Day's draw",
                "Wh",
                path="storage.day_draw_wh",
                formula="={ac_draw_wh}+{idle_draw_wh}+{dc_draw_wh}",
                role="total",
            ),
            Column(
                "needed_wh",
                "For the days without recharging",
                "Wh",
                path="storage.needed_wh",
                formula="={day_draw_wh}*{sizing.autonomy_days}*(1+{sizing.energy_margin})",
                role="total",
            ),
        ),
        *group(
            "Packs",
            Column(
                "per_wh",
                "Usable of each nameplate Wh",
                "share",
                path="storage.per_wh",
                formula="={usable_share}*{capacity.kept_share}*(1-{sizing.reserve})",
                note="Usable share x temperature x age x what is not reserve.",
            ),
            Column(
                "packs_limit",
                "Packs at most",
                "number",
                path="storage.packs_limit",
                formula='=IF(AND({candidates.packs[same]}="",{outage.packs}=""),N({candidates.packs_max[same]}),'
                'MIN(IF({candidates.packs[same]}="",{outage.packs},{candidates.packs[same]}),N({candidates.packs_max[same]})))',
                note="As fixed by hand for it, or for all candidates; else all it can take.",
            ),
            Column(
                "usable_most_wh",
                "Usable with packs at most",
                "Wh",
                path="storage.usable_most_wh",
                formula="=(N({candidates.storage_wh[same]})+{packs_limit}*N({candidates.pack_wh[same]}))*{per_wh}",
            ),
            Column(
                "packs_for_loads",
                "Packs for days without recharging",
                "number",
                path="storage.packs_for_loads",
                formula="=IF(OR(N({candidates.pack_wh[same]})<=0,{per_wh}<=0),0,MIN(N({candidates.packs_max[same]}),MAX(0,ROUNDUP(ROUND("
                "({needed_wh}/{per_wh}-N({candidates.storage_wh[same]}))/{candidates.pack_wh[same]},9),0))))",
                note="The fewest that hold the need, or the most there can be.",
            ),
            Column(
                "packs",
                "Packs it gets",
                "number",
                path="held.packs",
                formula='=IF(OR({candidates.packs[same]}<>"",{outage.packs}<>""),{packs_limit},IF({vehicle.distance}>0,'
                "IF(ISTEXT({trip.packs_with_loads[same]}),{packs_limit},{trip.packs_with_loads[same]}),"
                'IF({sizing.basis}="planned days",{promise.packs[same]},{packs_for_loads})))',
                role="total",
                note="Fixed by hand; or the fewest for the promise, for loads and drive where one is planned, or for the "
                "days without recharging; all where none do.",
            ),
        ),
        *group(
            "With the packs it gets",
            Column(
                "nameplate_wh",
                "Nameplate",
                "Wh",
                path="held.nameplate_wh",
                formula="=N({candidates.storage_wh[same]})+{packs}*N({candidates.pack_wh[same]})",
            ),
            Column(
                "full_wh",
                "Full storage",
                "Wh",
                path="held.full_wh",
                formula="={nameplate_wh}*{usable_share}*{capacity.kept_share}",
            ),
            Column(
                "reserve_wh",
                "Reserve",
                "Wh",
                path="held.reserve_wh",
                formula="={full_wh}*{sizing.reserve}",
            ),
            Column(
                "usable_wh",
                "Usable storage",
                "Wh",
                path="held.usable_wh",
                formula="={full_wh}-{reserve_wh}",
                role="total",
            ),
            Column(
                "runtime_h",
                "Runtime at the mean draw",
                "h",
                path="held.runtime_h",
                formula='=IF({day_draw_wh}>0,{usable_wh}/({day_draw_wh}/24),"no draw")',
                role="total",
            ),
            Column(
                "days",
                "Days at the mean draw",
                "days",
                path="held.days",
                formula='=IF({day_draw_wh}>0,{usable_wh}/{day_draw_wh},"no draw")',
                role="total",
            ),
        ),
    ),
    kind="across",
    widths={"title": 32, "unit": 10, "record": 14},
)
