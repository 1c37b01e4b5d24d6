"""One-off deliveries beside the loads and the drive: a tool battery, an e-bike, a pump run."""

import math
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Delivery
from holdover.model.dust import DUST
from holdover.model.vehicle import Verdict, storage_needed_wh, verdict

CONTINUOUS_H: Final = 3.0
"""From so many hours on a draw counts with the running margin [h], source: NEC Article 100, by transcription."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryPlan:
    """One delivery, whichever candidate is taken; `total_wh` and `hours` are for all its times."""

    name: str
    energy_wh: float
    power_w: float
    times: int
    total_wh: float
    hours: float
    draw_needed_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryFit:
    """What a candidate does for one delivery; `times_possible` is out of usable storage, with nothing else on."""

    once_wh: float
    storage_needed_wh: float
    times_possible: int
    holds: Verdict


def delivery_plan(delivery: Delivery, running_margin: float) -> DeliveryPlan:
    """What a delivery asks for; blank times count as once, other blanks as nothing.

    Its draw counts with the running margin where one time takes three hours or more, as a load's does.
    """
    energy_wh, power_w = delivery.energy_wh or 0.0, delivery.power_w or 0.0
    is_long = power_w > 0 and round(energy_wh / power_w, DUST) >= CONTINUOUS_H
    times = 1 if delivery.times is None else delivery.times
    return DeliveryPlan(
        name=delivery.name,
        energy_wh=energy_wh,
        power_w=power_w,
        times=times,
        total_wh=energy_wh * times,
        hours=energy_wh * times / power_w if power_w else 0.0,
        draw_needed_w=power_w * (1 + running_margin) if is_long else power_w,
    )


def delivery_fit(
    plan: DeliveryPlan,
    *,
    usable_wh: float,
    inverter_efficiency: float,
    idle_w: float,
    continuous_w: float,
    listed: bool = True,
) -> DeliveryFit:
    """What a candidate does for a delivery out of its usable storage.

    Args:
        plan: What the delivery asks for.
        usable_wh: Usable storage, with the packs chosen [Wh].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        continuous_w: Continuous output [W].
        listed: False: a spare column or a spare delivery, of which nothing is judged.

    Holds for: nothing else on at the time.
    Source: energy balance.
    """
    once_h = plan.energy_wh / plan.power_w if plan.power_w else 0.0
    once_wh = storage_needed_wh(plan.energy_wh, once_h, inverter_efficiency, idle_w)
    return DeliveryFit(
        once_wh=once_wh,
        storage_needed_wh=storage_needed_wh(plan.total_wh, plan.hours, inverter_efficiency, idle_w),
        times_possible=math.floor(round(usable_wh / once_wh, 9)) if once_wh > 0 else 0,
        holds=verdict(continuous_w - plan.draw_needed_w) if listed else "",
    )
