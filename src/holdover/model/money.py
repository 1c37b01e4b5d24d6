"""What a candidate costs: with packs, per usable kWh, per kWh over its life as it is used, and bought in stages."""

from dataclasses import dataclass

from holdover.case.schema import Candidate, Money
from holdover.model.dust import holds
from holdover.model.storage import Held, Storage

LIFE_SHARE = 0.9
"""Mean capacity over the rated cycles [share of new]; the mean of new and 80 %."""
STAGES = 7
"""Stages of a purchase that are shown: the unit alone, then pack by pack [-]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Money of one candidate. A price that is not stated leaves every figure that needs it unstated."""

    unit_price: float | str
    packs_price: float | str
    discount: float | str
    accessories: float
    labour: float
    tax: float | str
    total: float | str
    per_usable_kwh: float | str
    cycles_kwh: float
    uses_kwh: float
    life_kwh: float
    per_life_kwh: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """The candidate with so many packs: what is paid by then, and how much of the promised storage stands there."""

    packs: int
    full_wh: float
    need_share: float | str
    word: str
    added: float | str
    total: float | str


def total_price(
    goods: float, discount_share: float, accessories: float, tax_share: float, labour: float = 0.0
) -> float:
    """Price with discount on the goods, accessories, labour and tax [money].

    Args:
        goods: Price of unit and packs [money].
        discount_share: Discount on the goods [share].
        accessories: Cables, box, cart [money].
        tax_share: Tax on everything after the discount [share].
        labour: Setting up and wiring [money].

    Holds for: one rate of tax.
    Source: arithmetic.

    >>> round(total_price(1000, 0.1, 100, 0.2), 6)
    1200.0
    """
    return (goods * (1 - discount_share) + accessories + labour) * (1 + tax_share)


def cycles_kwh(cycles: float, new_wh: float) -> float:
    """Energy that storage gives over its rated cycles [kWh].

    Args:
        cycles: Cycles to 80 % of new capacity [-].
        new_wh: Storage of a new unit, neither aged nor cold [Wh].

    Holds for: cycles counted down to 80 % of new; full cycles. Ageing is in the mean already, so it is not in new_wh.
    Source: common practice; 0.9 is the mean of new and 80 %.

    >>> cycles_kwh(3000, 2000)
    5400.0
    """
    return cycles * new_wh * LIFE_SHARE / 1000


def uses_kwh(uses_per_year: float, years: float, use_wh: float) -> float:
    """Energy that is really asked of a candidate over its years [kWh].

    Args:
        uses_per_year: How often it is used [1/year].
        years: How long it is kept [years].
        use_wh: Energy drawn in one use [Wh].

    Holds for: uses that are alike.
    Source: arithmetic.

    >>> uses_kwh(4, 10, 5000)
    200.0
    """
    return uses_per_year * years * use_wh / 1000


def life_kwh(cycles_kwh: float, uses_kwh: float) -> float:
    """Energy over a life: no more than the cycles give, and no more than is asked [kWh].

    Args:
        cycles_kwh: Over its rated cycles [kWh].
        uses_kwh: Asked over its years [kWh].

    Holds for: standby, which never spends its cycles, and daily use, which does.
    Source: definition.

    >>> life_kwh(5400, 200)
    200
    """
    return min(cycles_kwh, uses_kwh)


def cost_of(c: Candidate, storage: Storage, held: Held, money: Money, use_wh: float) -> Cost:
    """The candidate's price, line by line; `use_wh` is the energy drawn in one use [Wh]."""
    packs_price = held.packs * (c.pack_price or 0.0)
    cycles = cycles_kwh(storage.cycles, held.nameplate_wh * storage.usable_share)
    uses = uses_kwh(money.uses_per_year, money.years, use_wh)
    life = life_kwh(cycles, uses)
    unstated = c.price is None or (held.packs > 0 and c.pack_price is None)
    goods = (c.price or 0.0) + packs_price
    total = total_price(goods, money.discount_share, money.accessories_price, money.tax_share, money.labour_price)
    usable_kwh = held.usable_wh / 1000

    def told(value: float) -> float | str:
        return "not stated" if unstated else value

    return Cost(
        unit_price="not stated" if c.price is None else c.price,
        packs_price="not stated" if held.packs > 0 and c.pack_price is None else packs_price,
        discount=told(-goods * money.discount_share),
        accessories=money.accessories_price,
        labour=money.labour_price,
        tax=told(total - total / (1 + money.tax_share)),
        total=told(total),
        per_usable_kwh=_per(total, usable_kwh, "no storage", unstated=unstated),
        cycles_kwh=cycles,
        uses_kwh=uses,
        life_kwh=life,
        per_life_kwh=_per(total, life, "no use", unstated=unstated),
    )


def total_of(c: Candidate, packs: int, money: Money) -> float | str:
    """What a candidate costs with so many packs [money], or that a price of them is not stated."""
    if c.price is None or (packs > 0 and c.pack_price is None):
        return "not stated"
    goods = c.price + packs * (c.pack_price or 0.0)
    return total_price(goods, money.discount_share, money.accessories_price, money.tax_share, money.labour_price)


def stages_of(
    c: Candidate, storage: Storage, held: Held, money: Money, full_needed_wh: float | str, kept_share: float
) -> tuple[Stage, ...]:
    """Unit now, packs later: the price by then and the storage of each stage, up to the packs it gets."""
    found: list[Stage] = []
    for packs in range(held.packs + 1):
        full = ((c.storage_wh or 0.0) + packs * (c.pack_wh or 0.0)) * storage.usable_share * kept_share
        total = total_of(c, packs, money)
        before = found[-1].total if found else 0.0
        unsaid = isinstance(total, str) or isinstance(before, str)
        found.append(
            Stage(
                packs=packs,
                full_wh=full,
                need_share=_need_share(full, full_needed_wh),
                word=_stage_word(full, full_needed_wh),
                added="not stated" if unsaid else float(total) - float(before),
                total=total,
            )
        )
    return tuple(found)


def _per(total: float, kwh: float, none: str, *, unstated: bool) -> float | str:
    return "not stated" if unstated else total / kwh if kwh > 0 else none


def _need_share(full_wh: float, full_needed_wh: float | str) -> float | str:
    if isinstance(full_needed_wh, str):
        return full_needed_wh
    return full_wh / full_needed_wh if full_needed_wh > 0 else 1.0


def _stage_word(full_wh: float, full_needed_wh: float | str) -> str:
    """OK where the promise is held with its margin; else UNDER: what such a stage keeps was not worked out."""
    enough = not isinstance(full_needed_wh, str) and holds(full_wh, full_needed_wh)
    return "OK" if enough else "UNDER"
