"""Figures so small that kilowatts may be meant. Pure over the case."""

from collections.abc import Iterator
from typing import Final

from holdover.case.figures import figure
from holdover.case.kinds import is_heater, is_motor
from holdover.case.schema import Candidate, Load, unit_of
from holdover.case.typical import SMALL, small_for
from holdover.findings import Finding, report

SMALL_BESIDE: Final = {
    "continuous_va": 50.0,
    "pack_wh": 50.0,
    "ac_charge_w": 20.0,
    "pv_input_w": 20.0,
    "pv_total_w": 20.0,
}
"""Hardly a candidate states less [Wh, W]; common practice."""
SMALL_LOAD_W: Final = 5.0
"""No motor and no heater of a survey draws less [W]; common practice."""


def small_load(load: Load) -> Iterator[Finding]:
    """A load that draws so little that kilowatts may be meant."""
    watts = load.running_w or 0.0
    why = small_for(load.name, watts)
    if not why and 0 < watts < SMALL_LOAD_W and (is_heater(load.name) or is_motor(load.name)):
        why = "motors and heaters draw more"
    if why:
        yield report("A024.load", watts=watts, why=why, kilo=f"{figure(watts)} kW", whole=f"{figure(1000 * watts)} W")


def small_candidate(unit: Candidate) -> Iterator[Finding]:
    """A candidate with figures so small that kilowatts may be meant."""
    small = {
        name: value
        for name, least in (SMALL | SMALL_BESIDE).items()
        if (value := getattr(unit, name)) is not None and 0 < value < least
    }
    if small:
        fields = Candidate.model_fields
        told = ", ".join(f"{str(fields[n].title).lower()} {figure(v)} {unit_of(fields[n])}" for n, v in small.items())
        name, value = next(iter(small.items()))
        number, kind = figure(value), unit_of(fields[name])
        whole = f"{figure(1000 * value)} {kind}"
        yield report("A024.candidate", figures=told, kilo=f"{number} k{kind}", whole=whole)
