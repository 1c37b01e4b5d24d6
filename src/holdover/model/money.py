"""What a candidate costs: with packs, per usable kWh, and per kWh over its life."""

from dataclasses import dataclass

from holdover.case.schema import Candidate, Money
from holdover.model.storage import Held, Storage

LIFE_SHARE = 0.9
"""Mean capacity over the rated cycles [share of new]; the mean of new and 80 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Money of one candidate. A price that is not stated leaves every figure that needs it unstated."""

    unit_price: float | str
    packs_price: float | str
    discount: float | str
    accessories: float
    tax: float | str
    total: float | str
    per_usable_kwh: float | str
    life_kwh: float
    per_life_kwh: float | str


def total_price(goods: float, discount_share: float, accessories: float, tax_share: float) -> float:
    """Price with discount on the goods, accessories and tax [money].

    Args:
        goods: Price of unit and packs [money].
        discount_share: Discount on the goods [share].
        accessories: Cables, box, cart [money].
        tax_share: Tax on everything after the discount [share].

    Holds for: one rate of tax.
    Source: arithmetic.

    >>> round(total_price(1000, 0.1, 100, 0.2), 6)
    1200.0
    """
    return (goods * (1 - discount_share) + accessories) * (1 + tax_share)


def life_kwh(cycles: float, new_wh: float) -> float:
    """Energy that storage gives over its rated cycles [kWh].

    Args:
        cycles: Cycles to 80 % of new capacity [-].
        new_wh: Storage of a new unit, neither aged nor cold [Wh].

    Holds for: cycles counted down to 80 % of new; full cycles. Ageing is in the mean already, so it is not in new_wh.
    Source: common practice; 0.9 is the mean of new and 80 %.

    >>> life_kwh(3000, 2000)
    5400.0
    """
    return cycles * new_wh * LIFE_SHARE / 1000


def cost_of(c: Candidate, storage: Storage, held: Held, money: Money) -> Cost:
    """The candidate's price, line by line."""
    packs_price = held.packs * (c.pack_price or 0.0)
    life = life_kwh(storage.cycles, held.nameplate_wh * storage.usable_share)
    if c.price is None or (held.packs > 0 and c.pack_price is None):
        unstated = "not stated"
        return Cost(
            unit_price=unstated if c.price is None else c.price,
            packs_price=unstated if held.packs > 0 and c.pack_price is None else packs_price,
            discount=unstated,
            accessories=money.accessories_price,
            tax=unstated,
            total=unstated,
            per_usable_kwh=unstated,
            life_kwh=life,
            per_life_kwh=unstated,
        )
    goods = c.price + packs_price
    total = total_price(goods, money.discount_share, money.accessories_price, money.tax_share)
    return Cost(
        unit_price=c.price,
        packs_price=packs_price,
        discount=-goods * money.discount_share,
        accessories=money.accessories_price,
        tax=total - total / (1 + money.tax_share),
        total=total,
        per_usable_kwh=total / (held.usable_wh / 1000) if held.usable_wh > 0 else "no storage",
        life_kwh=life,
        per_life_kwh=total / life if life > 0 else "no storage",
    )
