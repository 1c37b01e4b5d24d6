"""How long each candidate lasts in the outage, side by side."""

from dataclasses import replace

from holdover.workbook.grid import Column, Table, group
from holdover.workbook.sheets.candidates import CANDIDATE

COMES, ENERGY = "What it comes to", "Energy, at the storage"


def _result(name: str, title: str, unit: str, formula: str, role: str = "") -> Column:
    return Column(name, title, unit, path=f"outage.{name}", formula=formula, role=role)


def _worked(name: str, title: str, unit: str, path: str, formula: str, note: str = "") -> Column:
    return Column(name, title, unit, path=path, formula=formula, note=note)


ENDURANCE = Table(
    "endurance",
    "How long each candidate lasts",
    "offers",
    (
        replace(CANDIDATE, formula="={storage.name[same]}"),
        Column(
            "shown",
            "Named above, its column",
            "number",
            formula='=IF(AND({name}<>"",{name}={outage.candidate}),{storage.number[same]},"")',
        ),
        *group(
            COMES,
            _result(
                "endurance_h",
                "Lasts",
                "h",
                "=IF(COUNT({ledger.c@_out_h})=0,24*{outage.days},MIN({ledger.c@_out_h}))",
                "total",
            ),
            _result("unserved_wh", "Not served", "Wh", "=SUM({ledger.c@_unserved_wh})", "total"),
            _result("lowest_wh", "Lowest state of charge", "Wh", "=MIN({start_wh},{ledger.c@_state_wh})"),
            _result(
                "lowest_share",
                "of full storage",
                "share",
                "=IF({storage.full_wh[same]}>0,{lowest_wh}/{storage.full_wh[same]},0)",
            ),
            _result(
                "convenience_off_h",
                "Convenience loads shed",
                "h",
                "=24*{outage.days}-COUNTIF({ledger.c@_kept},4)-COUNTIF({ledger.c@_kept},2)",
            ),
            _result(
                "essential_off_h", "Essential loads shed", "h", '=24*{outage.days}-COUNTIF({ledger.c@_kept},">=3")'
            ),
        ),
        *group(
            ENERGY,
            _result("demand_wh", "Asked of storage", "Wh", "=SUM({ledger.c@_demand_wh})"),
            _result(
                "idle_wh",
                "of it for the inverter itself",
                "Wh",
                "={storage.idle_w[same]}*SUM({ledger.c@_inverter_on})",
            ),
            _result("sun_wh", "Sun", "Wh", "=SUM({ledger.c@_sun_wh})"),
            _result("generator_wh", "Generator", "Wh", "={generator_in_w}*SUM({ledger.generator_h})"),
            _result("used_wh", "Sun and generator used", "Wh", "={sun_wh}+{generator_wh}-{wasted_wh}"),
            _result("wasted_wh", "Sun and generator wasted", "Wh", "=SUM({ledger.c@_wasted_wh})"),
        ),
        *group(
            "What it starts from",
            _worked(
                "start_wh", "At the start", "Wh", "levels.start_wh", "={outage.start_share}*{storage.full_wh[same]}"
            ),
            _worked(
                "convenience_at_wh",
                "Convenience loads drop below",
                "Wh",
                "levels.convenience_at_wh",
                "={outage.drop_convenience_at}*{storage.full_wh[same]}",
            ),
            _worked(
                "essential_at_wh",
                "Essential loads drop below",
                "Wh",
                "levels.essential_at_wh",
                "={outage.drop_essential_at}*{storage.full_wh[same]}",
            ),
            _worked(
                "may_charge",
                "Warm enough to charge (1 = yes)",
                "number",
                "supply.may_charge",
                "=IF({sizing.storage_c}>={storage.charge_min_c[same]},1,0)",
            ),
            _worked(
                "generator_in_w",
                "Generator, while it runs",
                "W",
                "generator_in_w",
                "=MIN({recharge.generator_w},{candidates.ac_charge_w[same]}+0)*{storage.ac_charge_efficiency[same]}"
                "/{storage.charge_efficiency[same]}",
                "The smaller of generator and AC charger, as solar power of the same effect: x AC charge efficiency / "
                "charge efficiency.",
            ),
        ),
    ),
    kind="across",
)
