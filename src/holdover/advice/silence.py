"""What was taken where a data sheet or a setting is silent and it decides something. Pure over the case."""

from collections.abc import Iterator
from typing import Final

from holdover.case.schema import AC_VOLTS, Candidate, Case, is_blank
from holdover.findings import Finding, show

SOLAR: Final = ("pv_min_v", "pv_max_v", "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w")
"""Figures that only a solar input has."""
NAMED: Final = 8
"""Candidates that are named one by one [count]."""


def silent_candidate(unit: Candidate, case: Case) -> Iterator[Finding]:
    """Blank fields of a data sheet that decide something in this case."""
    if unit.pv_inputs is None and any(getattr(unit, name) for name in SOLAR):
        yield _say(
            "A027",
            "solar figures are stated, but not how many solar inputs; it counts as having none",
            "write the number of inputs into the column Solar inputs (pv_inputs), often 1 or 2",
        )
    if case.array.modules and unit.pv_inputs and unit.pv_min_v is None:
        yield _say(
            "A029",
            "the lowest voltage of its solar input (pv_min_v) is not stated; it is taken to charge from 0 V up",
            "ask the maker: below it nothing is charged, on a hot day first",
        )
    fed = [load for load in case.loads if not is_blank(load) and load.feed is not None and load.feed not in AC_VOLTS]
    if fed and unit.dc_w is None:
        yield _say(
            "A028",
            f"the output of its DC ports (dc_w) is not stated and counts as 0 W; loads on DC ports: {len(fed)}",
            "take it from the data sheet; write 0 if there are none",
        )
    generator = case.recharge.generator_w or case.outage.generator_hours
    if generator and unit.ac_charge_w is None:
        yield _say(
            "A030",
            "a generator is planned, but charging from AC (ac_charge_w) is not stated; it counts as 0 W",
            "take it from the data sheet; write 0 if it can't be charged from AC",
        )


def silent_settings(case: Case) -> Iterator[tuple[str, Finding]]:
    """Settings of which one is stated and the other, which it needs, is not; each with its part."""
    outage, recharge = case.outage, case.recharge
    if recharge.generator_w and "generator_hours" not in outage.model_fields_set:
        yield (
            "outage",
            _say(
                "A031",
                "a generator is stated, but not for how many hours a day it runs; in the outage it does not run",
                "write generator_hours = 2 under [outage], or 0 if it is not to run",
            ),
        )
    if outage.generator_hours and not recharge.generator_w:
        yield (
            "recharge",
            _say(
                "A031",
                "a generator is to run, but its output is not stated and counts as 0 W",
                "write generator_w = 1800 under [recharge], its continuous output",
            ),
        )
    units = [unit for unit in case.candidates if not is_blank(unit)]
    clipped = [show(u.name) for u in units if u.pv_inputs and u.pv_max_isc_a is None]
    if case.array.modules and clipped:
        more = f" and {len(clipped) - NAMED} more" if len(clipped) > NAMED else ""
        yield (
            "array",
            Finding(
                code="A032",
                level="note",
                message="no highest short-circuit current (pv_max_isc_a) is stated for "
                f"{', '.join(clipped[:NAMED])}{more}; more than the working current is taken to be cut off without harm",
                remedy="ask the maker, and write the current if there is a limit",
            ),
        )


def _say(code: str, message: str, remedy: str) -> Finding:
    return Finding(code=code, level="warning", message=message, remedy=remedy)
