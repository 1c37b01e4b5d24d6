"""The worked IEEE 1013 sheet for a medical refrigerator in a university's course slides (Oregon State University,
ESE 471, section 6, slides 38 to 54), as transcribed; the slides were not opened here, nor IEEE's own text.

A 12 V compressor of 6 A (3 x 1 h to chill, 1 x 5 h to make ice, starting at 15 A, four times for a minute) and controls
of 0.1 A, carried 6 days.

The difference: the sheet takes the largest of the needs by depth of discharge, by daily depth and by end of life; this
model multiplies the usable share by the share of new capacity that is left. Sized for a new battery both say the same;
with 80 % left this model asks for a quarter more, on the safe side.
"""

from typing import Any

import pytest

from holdover.case.schema import Candidate, Case, Load, Sizing
from holdover.model.study import Study, study

VOLTS = 12.0
COMPRESSOR: dict[str, Any] = {
    "running_w": 6 * VOLTS,
    "starting_w": 15 * VOLTS,
    "turns": "compressor",
    "feed": "12 V DC",
}
LOADS = (
    Load(name="compressor, chilling", hours_per_day=3, **COMPRESSOR),
    Load(name="compressor, ice", hours_per_day=5, **COMPRESSOR),
    Load(name="starts", measured_wh_per_day=15 * VOLTS * 4 / 60, running_w=0, feed="12 V DC"),
    Load(name="controls", running_w=0.1 * VOLTS, hours_per_day=24, feed="12 V DC"),
)


def sheet(age_share: float = 1.0) -> Study:
    sizing = Sizing(
        basis="days without recharging",
        autonomy_days=6,
        energy_margin=0.1,
        reserve=0,
        age_share=age_share,
        storage_c=25,
    )
    battery = Candidate(
        name="batteries of 110 Ah",
        storage_wh=110 * VOLTS,
        pack_wh=110 * VOLTS,
        packs_max=9,
        usable_share=0.8,
        dc_efficiency=1,
        idle_w=0,
    )
    return study(Case(loads=LOADS, sizing=sizing, candidates=(battery,)))


def test_the_load_of_the_sheet() -> None:
    """18, 30, 1 and 2.4 Ah are 51.4 Ah a day; 6.1 A running, 15.1 A at the moment of the start."""
    demand = sheet().demand
    assert [line.energy_wh / VOLTS for line in sheet().lines[:4]] == pytest.approx([18, 30, 1, 2.4], rel=1e-9)
    assert demand.energy_wh / VOLTS == pytest.approx(51.4, abs=0.05)
    assert demand.peak_dc_w / VOLTS == pytest.approx(6.1, abs=0.05)
    assert demand.peak_dc_starting_w / VOLTS == pytest.approx(15.1, abs=0.05)
    assert demand.sockets[1].needed_w == demand.peak_dc_starting_w  # all of it hangs on the 12 V socket


def test_the_battery_of_the_sheet() -> None:
    """308 Ah unadjusted, 386 Ah at 80 % depth, 424 Ah with the margin of 1.1: four strings of 110 Ah, 440 Ah."""
    storage = sheet().offers[0].storage
    nominal_ah = storage.needed_wh / storage.per_wh / VOLTS
    assert storage.needed_wh / 1.1 / VOLTS == pytest.approx(308, abs=0.5)
    assert nominal_ah / 1.1 == pytest.approx(386, abs=0.51)  # 385.5 exactly, printed rounded up
    assert nominal_ah == pytest.approx(424, abs=0.5)
    assert 1 + storage.packs_for_loads == 4


def test_ageing_is_multiplied_here() -> None:
    """With 80 % of new left the sheet keeps its 424 Ah and four strings; this model asks for 530 Ah and five."""
    storage = sheet(0.8).offers[0].storage
    assert storage.needed_wh / storage.per_wh / VOLTS == pytest.approx(424.05 / 0.8, abs=0.05)  # arithmetic
    assert 1 + storage.packs_for_loads == 5
