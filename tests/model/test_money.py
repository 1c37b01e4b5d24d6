"""What a candidate costs, line by line."""

from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Candidate, Money
from holdover.model.money import Cost, cost_of, cycles_kwh, stages_of, total_of, total_price

ALWAYS = 1e9
"""Drawn in one use [Wh]: so much that the cycles are what limits the energy over a life."""


def cost(
    c: Candidate,
    *,
    packs: int = 0,
    usable_wh: float = 2000,
    new_wh: float = 2500,
    use_wh: float = ALWAYS,
    **money: object,
) -> Cost:
    """Only cycles, packs and storage of the other records are looked at."""
    held: Any = SimpleNamespace(packs=packs, usable_wh=usable_wh, nameplate_wh=new_wh / 0.8)
    storage: Any = SimpleNamespace(cycles=3000.0, usable_share=0.8)
    return cost_of(c, storage, held, Money.model_validate(money), use_wh)


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
    """Unit, packs, discount, accessories, labour and tax are the total, to the last digit that is shown."""
    unit = Candidate(name="u", price=price, pack_price=pack_price)
    found = cost(
        unit, packs=packs, discount_share=discount, tax_share=tax, accessories_price=extra, labour_price=extra / 3
    )
    lines = (found.unit_price, found.packs_price, found.discount, found.accessories, found.labour, found.tax)
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
    assert cycles_kwh(cycles, full_wh) == pytest.approx(summed, rel=1e-9)


def test_no_storage_has_no_price_per_kwh() -> None:
    """Nothing is divided by nothing."""
    found = cost(UNIT, usable_wh=0, new_wh=0)
    assert (found.per_usable_kwh, found.per_life_kwh) == ("no storage", "no use")


def test_standby_does_not_pay_for_cycles_it_never_spends() -> None:
    """Worked by hand: a unit of 2.5 kWh new and 6,500 cycles could give 6500 x 2.5 x 0.9 = 14,625 kWh.

    On standby it is used 4 times a year for 10 years, 2 kWh each: 80 kWh. At 1,385 that is 17.3125 for each of them,
    not 0.0947; and one of 3,000 cycles costs no more a kWh.
    """
    many: Any = SimpleNamespace(cycles=6500.0, usable_share=0.8)
    few: Any = SimpleNamespace(cycles=3000.0, usable_share=0.8)
    held: Any = SimpleNamespace(packs=0, usable_wh=2000, nameplate_wh=3125)
    for storage in (many, few):
        found = cost_of(UNIT, storage, held, Money(), 2000)
        assert (found.uses_kwh, found.life_kwh) == (80, 80)
        assert found.per_life_kwh == pytest.approx(17.3125, rel=1e-12)
    assert cost_of(UNIT, many, held, Money(), 2000).cycles_kwh == pytest.approx(14625, rel=1e-12)


def test_daily_use_is_limited_by_the_cycles() -> None:
    """Every day for 20 years, 2 kWh a day, are 14,600 kWh; 3,000 cycles of 2.5 kWh at 0.9 give 6,750."""
    found = cost(UNIT, use_wh=2000, uses_per_year=365, years=20)
    assert (found.uses_kwh, found.cycles_kwh, found.life_kwh) == pytest.approx((14600, 6750, 6750), rel=1e-12)


def test_labour_is_taxed_and_not_discounted() -> None:
    """(1385 x 0.9 + 155 + 400) x 1.2 = 2161.80."""
    found = cost(UNIT, discount_share=0.1, accessories_price=155, labour_price=400, tax_share=0.2)
    assert found.total == pytest.approx(2161.8, abs=1e-9)
    assert found.labour == 400


def test_a_candidate_may_be_bought_in_stages() -> None:
    """Worked by hand: 1385 now, 730 a pack later; 1000, 2000 and 3000 Wh full against 2500 needed."""
    held: Any = SimpleNamespace(packs=2)
    storage: Any = SimpleNamespace(usable_share=0.8)
    unit = UNIT.model_copy(update={"storage_wh": 1250.0, "pack_wh": 1250.0})
    found = stages_of(unit, storage, held, Money(accessories_price=115), 2500, 1)
    assert [stage.full_wh for stage in found] == [1000, 2000, 3000]
    assert [stage.need_share for stage in found] == pytest.approx([0.4, 0.8, 1.2], rel=1e-12)
    assert [stage.word for stage in found] == ["UNDER", "UNDER", "OK"]
    assert [stage.total for stage in found] == [1500, 2230, 2960]
    assert [stage.added for stage in found] == [1500, 730, 730]


def test_a_stage_of_unknown_price_says_so() -> None:
    """The unit has a price, its pack has none: only the first stage is priced."""
    held: Any = SimpleNamespace(packs=1)
    storage: Any = SimpleNamespace(usable_share=0.8)
    found = stages_of(Candidate(name="u", price=900), storage, held, Money(), "never", 1)
    assert [(stage.total, stage.added, stage.need_share) for stage in found] == [
        (900, 900, "never"),
        ("not stated", "not stated", "never"),
    ]


def test_a_pack_may_be_given_away() -> None:
    """A price of nothing is a price: the stage with the pack costs what the unit costs."""
    held: Any = SimpleNamespace(packs=1)
    storage: Any = SimpleNamespace(usable_share=0.8)
    unit = Candidate(name="u", price=900, storage_wh=1000, pack_wh=1000, pack_price=0)
    assert [stage.total for stage in stages_of(unit, storage, held, Money(), 2500, 1)] == [900, 900]
    assert (cost(unit, packs=1).total, total_of(unit, 1, Money())) == (900, 900)


def test_storage_that_nobody_states_is_none() -> None:
    """Neither of the unit nor of a pack: no stage holds anything."""
    held: Any = SimpleNamespace(packs=1)
    storage: Any = SimpleNamespace(usable_share=0.8)
    assert [stage.full_wh for stage in stages_of(UNIT, storage, held, Money(), 2500, 1)] == [0, 0]
