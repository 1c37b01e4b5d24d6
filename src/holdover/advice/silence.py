"""What was taken where a data sheet or a setting is silent and it decides something. Pure over the case."""

from collections.abc import Iterator
from typing import Final

from holdover.case.schema import AC_VOLTS, Candidate, Case, is_blank
from holdover.findings import Finding, report, show

SOLAR: Final = ("pv_min_v", "pv_max_v", "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w")
"""Figures that only a solar input has."""
NAMED: Final = 8
"""Candidates that are named one by one [count]."""


def silent_candidate(unit: Candidate, case: Case) -> Iterator[Finding]:
    """Blank fields of a data sheet that decide something in this case."""
    if unit.pv_inputs is None and any(getattr(unit, name) for name in SOLAR):
        yield report("A027")
    if case.array.modules and unit.pv_inputs and unit.pv_min_v is None:
        yield report("A029")
    fed = [load for load in case.loads if not is_blank(load) and load.feed is not None and load.feed not in AC_VOLTS]
    if fed and unit.dc_w is None:
        yield report("A028", loads=len(fed))
    generator = case.recharge.generator_w or case.outage.generator_hours
    if generator and unit.ac_charge_w is None:
        yield report("A030")


def silent_settings(case: Case) -> Iterator[tuple[str, Finding]]:
    """Settings of which one is stated and the other, which it needs, is not; each with its part."""
    outage, recharge = case.outage, case.recharge
    if recharge.generator_w and "generator_hours" not in outage.model_fields_set:
        yield "outage", report("A031.hours")
    if outage.generator_hours and not recharge.generator_w:
        yield "recharge", report("A031.output")
    units = [unit for unit in case.candidates if not is_blank(unit)]
    clipped = [show(u.name) for u in units if u.pv_inputs and u.pv_max_isc_a is None]
    if case.array.modules and clipped:
        more = f" and {len(clipped) - NAMED} more" if len(clipped) > NAMED else ""
        yield "array", report("A032", names=f"{', '.join(clipped[:NAMED])}{more}")
