"""What is said of the pick: why it is the pick, what it runs, what is to be asked of it first."""

import pytest

from holdover.case.schema import Candidate, Load, Money, Outage
from model.test_decision import LOADS, VENTILATOR, unit, worked


def test_a_pick_whose_output_is_open_may_fit() -> None:
    """Nobody knows whether a surge that isn't stated is enough: the unit is not said to fit, nor simply to be chosen."""
    silent = unit("silent", storage_wh=9000.0, surge_w=None, price=500.0)
    found = worked(LOADS, silent, unit("feeble", storage_wh=10.0))
    assert found.answer.hero == "Ask first, then choose silent."
    assert found.decision.chosen_by == "The only one that may fit."
    twice = worked(LOADS, silent, silent.model_copy(update={"name": "as silent"}))
    assert twice.compared.lead == "silent: first of 2 that may fit, by price."


def test_apparent_power_is_not_asked_where_watts_fall_short() -> None:
    """No figure of volt-amperes helps a unit of 100 W; one of enough watts is asked for them."""
    drill = (Load(name="drill", running_w=1000, power_factor=0.8, hours_per_day=2),)
    feeble = unit("feeble", storage_wh=9000.0, continuous_w=100.0, continuous_va=None)
    asked = feeble.model_copy(update={"name": "asked", "continuous_w": 1100.0})
    found = worked(drill, feeble, asked)
    assert [offer.asked for offer in found.offers[:2]] == ["", "continuous apparent output"]
    assert worked(drill, feeble, feeble).decision.field_asks == ""


def test_all_loads_are_not_said_to_run_while_one_is_left_out() -> None:
    """One load is tried without, in whatever case of letters: the sentence names it, on the page and on the offer."""
    outage = Outage(days=1, starts_at=18, sky=0, promise="all loads", leave_out=LOADS[0].name.upper())
    found = worked(LOADS, unit("ample", storage_wh=9000.0), outage=outage)
    named = f"all loads but {LOADS[0].name.upper()} run through the whole day"
    assert found.answer.lead == f"A{named[1:]}."
    assert found.quotation.so_that.startswith(named)
    nobody = outage.model_copy(update={"leave_out": "nobody"})
    assert worked(LOADS, unit("ample", storage_wh=9000.0), outage=nobody).answer.lead.startswith("All loads run")


def test_a_rank_by_what_nobody_states_goes_by_price_and_says_so() -> None:
    """Two units without weights: the cheaper comes first; without prices too they stand as they are listed."""
    dear, cheap = (
        unit(name, storage_wh=9000.0, price=price, weight_kg=None) for name, price in (("A", 900.0), ("B", 800.0))
    )
    by_weight = Money(rank_by="weight")
    found = worked(LOADS, dear, cheap, money=by_weight).decision
    assert (found.pick, found.chosen_by) == ("B", "First of 2 that fit, by price, weight not stated.")
    blank = [one.model_copy(update={"price": None}) for one in (dear, cheap)]
    listed = worked(LOADS, *blank, money=by_weight).decision
    assert (listed.pick, listed.chosen_by) == ("A", "First of 2 that fit, as listed, weight not stated.")
    one_weighs = worked(LOADS, cheap, dear.model_copy(update={"weight_kg": 90.0}), money=by_weight).decision
    assert (one_weighs.pick, one_weighs.chosen_by) == ("A", "First of 2 that fit, by weight.")


_DEAR = unit("dear", storage_wh=12_000.0, weight_kg=9.0)
_GROWS = unit("grows", storage_wh=6000.0, price=700.0, pack_wh=6000.0, pack_price=300.0, packs_max=1)


@pytest.mark.parametrize(
    ("candidates", "bought"),
    [
        ((_DEAR,), "Nothing listed is known to be within it"),
        ((_DEAR, unit("unpriced", price=None, storage_wh=2000.0)), "Nothing listed is known to be within it"),
        (
            (_DEAR, unit("light", storage_wh=12_000.0, price=900.0, transfer_ms=None), unit("least", price=1.0)),
            "Within it the first is light for $ 900; ask for: transfer time",
        ),
        ((_GROWS,), "Within it is grows for $ 700, with 54 % of the storage needed; packs can follow"),
        (
            (_DEAR, unit("less", storage_wh=1000.0, price=400.0), unit("more", storage_wh=2000.0, price=500.0)),
            "Within it, nearest is more for $ 500: critical loads are off or short from 03:00 on day 3: "
            "storage 8,261 Wh less than the 10,061 needed with 10 % margin (1,800 usable)",
        ),
    ],
)
def test_a_price_above_the_budget_is_told_with_what_the_budget_buys(
    candidates: tuple[Candidate, ...], bought: str
) -> None:
    """A budget of 900 and a price of 1,000: the terminal and the first page say so, and who or what is within it.

    Seven days take 11,179.26 Wh of full storage (worked by hand for this load in `test_decision.py`), of which 6,000 Wh without the pack are 53.7 %.
    """
    found = worked((VENTILATOR,), *candidates, days=7, money=Money(budget=900))
    said = f" Its price is $ 100 above the budget of $ 900. {bought}."
    assert found.decision.headline.endswith(said)
    assert found.answer.lead.endswith(said)


def test_a_price_within_the_budget_is_not_spoken_of() -> None:
    """A budget of 900 and a price of 900: nothing is said of it."""
    enough = worked((VENTILATOR,), unit("other", storage_wh=12_000.0, price=900.0), days=7, money=Money(budget=900))
    assert enough.decision.pick == "other"
    assert "budget" not in enough.decision.headline
