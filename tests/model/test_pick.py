"""What is said of the pick: why it is the pick, what it runs, what is to be asked of it first."""

from holdover.case.schema import Load, Money, Outage
from model.test_decision import LOADS, unit, worked


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
