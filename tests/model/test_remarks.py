"""Remarks: what is worth a look and decides nothing, and what is said once for the whole field."""

from typing import Any

import pytest

from holdover.case.schema import Money
from holdover.model.verdict.fit import (
    CHECK,
    NOT_STATED,
    OK,
    common_remarks,
    limit,
    remarks_of,
)
from model.judging import AMPLE, LOADS, fit, worked


@pytest.mark.parametrize(
    ("name", "changed", "remark"),
    [
        ("sockets", {"ac_sockets": 2}, "more AC items than sockets"),
        ("lift", {"weight_kg": 23.5}, "more than one person lifts"),
        ("noise", {"noise_db": 50.5}, "louder than the limit"),
        ("transfer", {"transfer_ms": 20.5}, "its transfer gap is not stated, or too long for a load"),
        ("transfer", {"transfer_ms": None}, "its transfer gap is not stated, or too long for a load"),
        ("cold", {"charge_min_c": 21.0}, "too cold there to charge"),
    ],
)
def test_a_remark_is_made_and_decides_nothing(name: str, changed: dict[str, Any], remark: str) -> None:
    """The remark is made, and the candidate still fits without a question."""
    found = fit(**changed)
    assert getattr(found, name).verdict == CHECK
    assert (remarks_of(found, ()), found.fits, found.asks, found.output) == (remark, 1, 0, OK)
    assert remarks_of(found, (name,)) == ""


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("sockets", {"ac_sockets": 3}),
        ("lift", {"weight_kg": 23.0}),
        ("noise", {"noise_db": 50.0}),
        ("transfer", {"transfer_ms": 20.0}),
        ("cold", {"charge_min_c": 20.0}),
    ],
)
def test_on_its_limit_a_remark_is_silent(name: str, changed: dict[str, Any]) -> None:
    """A value at its limit is within it."""
    found = fit(**changed)
    assert getattr(found, name).verdict == OK
    assert remarks_of(found, ()) == ""


@pytest.mark.parametrize(("name", "field"), [("sockets", "ac_sockets"), ("lift", "weight_kg"), ("noise", "noise_db")])
def test_what_is_asked_and_not_stated_is_to_be_looked_at(name: str, field: str) -> None:
    """A blank is not fine: it is to be looked at, and so is its group; nothing is said of it that nobody knows."""
    open_ = fit(**{field: None})
    found = getattr(open_, name)
    assert (found.verdict, found.margin, open_.handling, remarks_of(open_, ())) == (CHECK, "", CHECK, "")


def test_no_socket_is_asked_for_where_nothing_runs_on_ac() -> None:
    """Without an AC load a data sheet that states no socket leaves nothing open."""
    assert fit({"loads": ()}, ac_sockets=None).sockets.verdict == OK


def test_what_only_some_state_is_said_of_those() -> None:
    """One is loud and one is silent about its noise: the field as a whole is not said to be loud."""
    whole = worked(
        AMPLE.model_copy(update={"noise_db": 60.0}), AMPLE.model_copy(update={"noise_db": None, "name": "other"})
    )
    assert whole.decision.field_remarks == ""
    assert [offer.remarks for offer in whole.offers[:2]] == ["louder than the limit", ""]


@pytest.mark.parametrize(
    ("budget", "price", "word", "margin", "remark"),
    [
        (1320.0, 1000.0, OK, 0.0, ""),
        (1319.0, 1000.0, CHECK, -1.0, "dearer than the budget"),
        (1319.0, None, CHECK, "", ""),
        (None, 1000.0, "not planned", "", ""),
    ],
)
def test_what_is_dearer_than_the_budget_is_told_and_not_left_out(
    budget: float | None, price: float | None, word: str, margin: float | str, remark: str
) -> None:
    """Worked by hand: 1,000 for the unit and 100 of accessories are 1,320 with 20 % of tax."""
    money = Money(budget=budget, accessories_price=100, tax_share=0.2)
    found = fit({"money": money}, price=price, packs_max=0)
    assert (found.budget.verdict, found.fits, remarks_of(found, ())) == (word, 1, remark)
    assert found.budget.margin == (margin if isinstance(margin, str) else pytest.approx(margin))


def test_a_remark_on_all_alike_is_said_once_for_the_field() -> None:
    """Worked by hand: both are too heavy, one is loud. The weight is said of the field, the noise of the one."""
    heavy = {"weight_kg": 31.0}
    whole = worked(
        AMPLE.model_copy(update=heavy | {"noise_db": 60.0}), AMPLE.model_copy(update=heavy | {"name": "other"})
    )
    assert common_remarks([offer.fit for offer in whole.offers[:2]]) == ("lift",)
    assert whole.decision.field_remarks == "more than one person lifts"
    assert [offer.remarks for offer in whole.offers[:2]] == ["louder than the limit", ""]
    alone = worked(AMPLE.model_copy(update=heavy))
    assert (alone.decision.field_remarks, alone.offers[0].remarks) == ("", "more than one person lifts")


def test_what_all_data_sheets_leave_open_is_asked_once() -> None:
    """No candidate states its 12 V output: that is asked of the field; one does not state its surge either."""
    mute = {"dc_12v_w": None}
    weak = {"surge_w": None, "continuous_w": 1500.0, "name": "weak"}
    whole = worked(AMPLE.model_copy(update=mute), AMPLE.model_copy(update=mute | weak))
    assert whole.decision.field_asks == "output of its 12 V DC ports"
    assert [offer.ask for offer in whole.offers[:2]] == ["", "ask for: surge output"]


def test_packs_of_unknown_weight_leave_the_weight_unstated() -> None:
    """A pack that was not weighed does not weigh nothing."""
    bought = fit(pack_wh=2000.0, packs_max=1, packs=1)
    assert (bought.weight_kg, bought.lift.verdict) == (NOT_STATED, CHECK)


def test_a_gap_that_no_load_states_is_no_limit() -> None:
    """Where every load tolerates any gap, the transfer time is not judged."""
    assert limit(None, 500).verdict == NOT_STATED
    assert fit({"loads": LOADS[:1]}, transfer_ms=5000.0).transfer.verdict == NOT_STATED


def test_the_pack_that_is_heavier_than_the_unit_is_what_must_be_lifted() -> None:
    """Pieces are lifted one by one; a pack that is not bought is not lifted."""
    heavy: dict[str, Any] = {"pack_wh": 2000.0, "packs_max": 1, "pack_weight_kg": 31.0}
    lifted = fit(**heavy, packs=1)
    assert (lifted.heaviest_kg, lifted.weight_kg, lifted.lift.verdict) == (31, 52, CHECK)
    left = fit(**heavy, packs=0)
    assert (left.heaviest_kg, left.weight_kg, left.lift.verdict) == (21, 21, OK)
