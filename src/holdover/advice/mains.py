"""What an adviser would remark on where voltages of loads, candidates and house differ. Pure over the case."""

import re
from collections.abc import Iterator
from typing import Final

from holdover.case.figures import figure
from holdover.case.kinds import says
from holdover.case.schema import AC_VOLTS, DC_VOLTS, Candidate, Case, Load, is_blank, is_near
from holdover.findings import Finding, report

IN_NAME: Final = re.compile(r"(?<![0-9.,])([0-9]{2,3}) ?v(?:olts?|ac|dc)?(?![a-z0-9])", re.IGNORECASE)
CHARGERS: Final = ("charger", "adapter", "adaptor", "battery", "batteries", "power supply", "converter", "transformer")
"""Words for loads in whose names the voltage of what they feed may stand."""


def voltage_of_load(load: Load, case: Case) -> Iterator[Finding]:
    """A voltage that no candidate makes, or another one than the load's own name states."""
    feed = load.feed or case.sizing.feed
    stated = [float(number) for number in IN_NAME.findall(load.name)]
    fed = 0.0 if feed == "USB" else (AC_VOLTS | DC_VOLTS)[feed]  # what a USB port agrees on is not known
    usual = [volts for volts in stated if volts in DC_VOLTS.values() or volts >= min(AC_VOLTS.values())]
    if fed and usual and not any(is_near(volts, fed) for volts in usual) and not says(load.name, CHARGERS):
        yield report("A025", stated=" and ".join(figure(volts) for volts in usual), feed=feed)
    if feed not in AC_VOLTS:
        return
    house = AC_VOLTS[case.sizing.feed]
    made = {
        volts for unit in case.candidates if not is_blank(unit) for volts in (unit.ac_volts or house, unit.ac_volts_2)
    }
    if made and AC_VOLTS[feed] not in made:
        near = sorted(volts for volts in made if volts is not None and is_near(volts, AC_VOLTS[feed]))
        yield report("A008.near", feed=feed, near=near[0]) if near else report("A008.far", feed=feed)


def voltage_of_candidate(unit: Candidate, case: Case) -> Iterator[Finding]:
    """A voltage beside that of the house, which counts as another one though many loads take both."""
    house = AC_VOLTS[case.sizing.feed]
    made = [volts for volts in (unit.ac_volts, unit.ac_volts_2) if volts is not None]
    near = [volts for volts in made if volts != house and is_near(volts, house)]
    if near and house not in made:
        yield report("A026", near=near[0], house_v=house)
