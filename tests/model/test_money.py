"""What a candidate costs, line by line."""

from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Candidate, Money
from holdover.model.money import Cost, cost_of, life_kwh, total_price


def cost(c: Candidate, *, packs: int = 0, usable_wh: float = 2000, new_wh: float = 2500, **money: object) -> Cost:
    """Only cycles, packs and storage of the other records are looked at."""
    held: Any = SimpleNamespace(packs=packs, usable_wh=usable_wh, nameplate_wh=new_wh / 0.8)
    storage: Any = SimpleNamespace(cycles=3000.0, usable_share=0.8)
    return cost_of(c, storage, held, Money.model_validate(money))


UNIT = Candidate(name="u", price=1385, pack_price=730)


def test_the_total_is_worked_out_by_hand() -> None:
    """(1385 + 2 x 730) less 10 %, plus 155 for accessories, plus 20 % tax: 3258.60."""
    found = cost(UNIT, packs=2, discount_share=0.1, accessories_price=155, tax_share=0.2)
    assert found.total == pytest.approx((2845 * 0.9 + 155) * 1.2, rel=1e-12)
    assert found.total == pytest.approx(3258.6, abs=1e-9)


@given(
    st.integers(0, 50_000),
    st.integers(0, 20_000),
    st.integers(0, 9),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(0, 9e3),
)
@settings(derandomize=True, deadline=None)
def test_the_lines_add_up_to_the_total(
    price: int, pack_price: int, packs: int, discount: float, tax: float, extra: float
) -> None:
    """Unit, packs, discount, accessories and tax are the total, to the last digit that is shown."""
    unit = Candidate(name="u", price=price, pack_price=pack_price)
    found = cost(unit, packs=packs, discount_share=discount, tax_share=tax, accessories_price=extra)
    lines = (found.unit_price, found.packs_price, found.discount, found.accessories, found.tax)
    assert sum(map(float, lines)) == pytest.approx(float(found.total), rel=1e-9, abs=1e-6)
    assert float(found.discount) <= 0 <= float(found.tax)


def test_discount_is_on_the_goods_alone_and_tax_on_everything() -> None:
    """A discount of all leaves the accessories; tax is added to them too."""
    assert total_price(1000, 1, 100, 0) == 100
    assert total_price(1000, 1, 100, 0.25) == 125


def test_a_price_not_stated_leaves_what_needs_it_unstated() -> None:
    """No price, no total, no figure per kWh; the energy over life needs none."""
    found = cost(Candidate(name="u"))
    assert (found.total, found.per_usable_kwh, found.per_life_kwh, found.tax) == ("not stated",) * 4
    assert found.life_kwh == pytest.approx(3000 * 2.5 * 0.9, rel=1e-12)


def test_the_price_of_packs_matters_only_where_packs_are_bought() -> None:
    """A unit whose pack price is unknown has a total as long as it takes no pack."""
    unit = Candidate(name="u", price=900)
    assert cost(unit, packs=0).total == 900
    assert cost(unit, packs=1).total == "not stated"
    assert cost(unit, packs=1).unit_price == 900
    assert cost(unit, packs=1).packs_price == "not stated"


def test_a_price_of_nothing_is_a_price() -> None:
    """A unit already owned costs 0; that is stated."""
    assert cost(Candidate(name="u", price=0)).total == 0


def test_price_per_kwh_by_hand() -> None:
    """1385 over 2 kWh usable, and over 3000 cycles of 2.5 kWh at nine tenths of new."""
    found = cost(UNIT)
    assert found.per_usable_kwh == pytest.approx(692.5, rel=1e-12)
    assert found.per_life_kwh == pytest.approx(1385 / 6750, rel=1e-12)


def test_capacity_over_life_is_the_mean_of_new_and_80_percent() -> None:
    """Falling straight from 100 % to 80 % over the cycles, the mean is 90 %: the sum of all cycles says so."""
    cycles, full_wh = 4000, 1870.0
    summed = sum(full_wh * (1 - 0.2 * (n + 0.5) / cycles) for n in range(cycles)) / 1000
    assert life_kwh(cycles, full_wh) == pytest.approx(summed, rel=1e-9)


def test_no_storage_has_no_price_per_kwh() -> None:
    """Nothing is divided by nothing."""
    found = cost(UNIT, usable_wh=0, new_wh=0)
    assert (found.per_usable_kwh, found.per_life_kwh) == ("no storage", "no storage")
