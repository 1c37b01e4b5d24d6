"""The written offer: its lines, its sums, and what it says."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.papers import Business, Item, OfferPaper, Term
from holdover.case.schema import About, Array, Candidate, Case, Load, Money, Outage, Recharge
from holdover.model.pages.quotation import UNSIGNED, UNSTATED, Quotation, cents
from holdover.model.study import Slots, study

FRIDGE = Load(name="Fridge", running_w=100, duty=0.5, hours_per_day=24)
UNIT = Candidate(
    name="Unit",
    storage_wh=2000,
    continuous_w=1800,
    ac_volts=120,
    price=1500,
    pack_wh=2000,
    pack_price=900,
    packs_max=4,
)


def quoted(*, unit: Candidate = UNIT, outage: Outage | None = None, **parts: object) -> Quotation:
    case = Case(loads=(FRIDGE,), candidates=(unit,), outage=outage or Outage(days=1, packs=2))
    return study(case.model_copy(update=parts), Slots(loads=3, candidates=2, days=3)).quotation


def test_the_sums_are_worked_out_by_hand() -> None:
    """Unit 1500, two packs at 900, accessories 80, labour 400, 3 h at 60: 3960. Less 10 % of 3300: 3630. Tax 20 %: 726."""
    found = quoted(
        money=Money(accessories_price=80, labour_price=400, discount_share=0.1, tax_share=0.2),
        items=(Item(name="Digging", quantity=3, counted_in="h", price=60),),
    )
    assert [line.name for line in found.paper if line.number != ""] == [
        "Unit, 1,800 W, 120 V, 2,000 Wh",
        "Expansion pack, 2,000 Wh",
        "Accessories",
        "Labour",
        "Digging",
    ]
    assert (found.subtotal, found.discount, found.tax, found.total) == (3960, -330, 726, 4356)


@given(
    st.integers(0, 10**7),
    st.integers(0, 10**7),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(0, 9999, allow_subnormal=False),
)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_what_is_printed_adds_up(price: int, pack_price: int, discount: float, tax: float, each: float) -> None:
    """Amounts of two decimals are, to the cent, the subtotal, and that, the discount and the tax the total."""
    found = quoted(
        unit=UNIT.model_copy(update={"price": price / 100, "pack_price": pack_price / 100}),
        money=Money(discount_share=discount, tax_share=tax),
        items=(Item(name="x", quantity=3, price=each),),
    )
    amounts = [float(line.amount) for line in found.paper if line.number != ""]
    assert all(round(100 * amount) == pytest.approx(100 * amount, abs=1e-6) for amount in amounts)
    assert found.subtotal == pytest.approx(sum(amounts))
    assert found.total == pytest.approx(float(found.subtotal) + float(found.discount) + float(found.tax))


def test_a_price_that_is_not_stated_leaves_no_total() -> None:
    """Neither a total, nor an amount that is due, nor a figure of the first page."""
    found = quoted(
        unit=UNIT.model_copy(update={"price": None}), terms=(Term(paid_share=0.3, paid_when="with the order"),)
    )
    assert (found.subtotal, found.discount, found.tax, found.total) == (UNSTATED,) * 4
    assert found.terms[0].due == ""
    assert "not stated" in found.first_page


def test_packs_without_a_price_are_no_matter_where_there_are_none() -> None:
    """A pack's price that is not stated counts once a pack is on the offer."""
    bare = UNIT.model_copy(update={"pack_price": None})
    assert quoted(unit=bare, outage=Outage(days=1, packs=0)).total == 1500
    assert quoted(unit=bare).total == UNSTATED


def test_modules_are_offered_once_they_have_a_price() -> None:
    """Four modules planned: no line without a price, 4 x 250 with one, and a free one is a line too."""
    array = Array(modules=4, power_w=410)
    assert [line.name for line in quoted(array=array).paper][2] == ""
    with_price = quoted(array=array, offer=OfferPaper(module_price=250))
    assert (with_price.paper[2].name, with_price.paper[2].amount) == ("Solar module, 410 W", 1000)
    assert with_price.what == "Unit with 2 packs, 4 solar modules"
    assert quoted(array=array, offer=OfferPaper(module_price=0)).paper[2].amount == 0


def test_what_is_due_is_a_share_of_the_total() -> None:
    """30 % of 3300 is 990."""
    found = quoted(terms=(Term(paid_share=0.3, paid_when="with the order"), Term(delivery="in May")))
    assert (found.terms[0].due, found.terms[1].due) == (990, "")


def test_who_offers() -> None:
    """The business, else who prepared the case, else a line to write on."""
    about = About(prepared_by="An adviser")
    assert quoted(about=about, business=Business(name="A shop", licence="7", contact="x@y")).maker == "A shop"
    assert quoted(about=about, business=Business(licence="7", contact="x@y")).contact == "7; x@y"
    assert quoted(about=about).signed_by == "For An adviser: name, date"
    assert quoted().signed_by == "Offered by: name, date"


def test_it_says_what_runs_and_nothing_that_is_off() -> None:
    """A promise kept, one that breaks, one of which nothing is known, and no candidate."""
    assert quoted().so_that == "critical and essential loads run through the whole day"
    assert (quoted().title, quoted().warning) == ("Offer", "")
    broken = quoted(outage=Outage(days=3, packs=0, starts_at=18, month=1))
    assert broken.so_that == "Essential loads run until 15:00 on day 2, off or short 51 of their 72 h"
    assert broken.title == "Draft, not what was asked for"
    assert broken.warning.startswith("This is not all that was asked for: ")
    silent = quoted(unit=UNIT.model_copy(update={"storage_wh": None}))
    assert "not stated" in silent.so_that
    nobody = quoted(unit=Candidate())
    assert (nobody.what, nobody.so_that, nobody.lines) == ("No candidate is listed yet.", "", 0)


def test_nothing_is_promised_without_reservation_while_it_is_open() -> None:
    """A critical load bears 20 ms: a transfer time not stated is told beside the promise, of one candidate or of all."""
    critical = FRIDGE.model_copy(update={"tier": "critical", "gap_ms": 20.0})
    runs = "critical and essential loads run through the whole day"
    open_yet = f"{runs}; if what is to be asked proves right: transfer time"
    silent, sure = UNIT, UNIT.model_copy(update={"name": "Sure", "transfer_ms": 10.0, "price": 9000.0})
    follow = Outage(days=1, packs=2, candidate="Unit")
    assert quoted(loads=(critical,)).so_that == open_yet
    assert quoted(loads=(critical,), unit=sure).so_that == runs
    for other in (sure, silent.model_copy(update={"name": "Other"})):
        assert quoted(loads=(critical,), outage=follow, candidates=(silent, other)).so_that == open_yet


TRIPS = "the generator trips unless 50 W of loads are off beside it"


def test_a_promise_that_a_source_may_break_is_told_so() -> None:
    """The fridge draws 100 W at a generator of 50: it trips, which no setting of a charger cures."""
    found = quoted(recharge=Recharge(generator_w=50), outage=Outage(days=1, packs=2, generator_hours=3))
    assert found.so_that == "critical and essential loads run through the whole day; " + TRIPS


def test_cents_round_half_away_from_zero() -> None:
    """0.005 is a cent, whichever way a float falls."""
    assert [cents(x) for x in (0.005, 1.005, -0.005, 2.004999)] == [0.01, 1.01, -0.01, 2.0]


def test_no_amount_is_minus_nothing() -> None:
    """Less than half a cent off, or no discount at all, is 0, and is written without a sign."""
    assert [str(cents(x)) for x in (-0.001, -0.0, 0.0)] == ["0.0"] * 3
    assert str(quoted().discount) == "0.0"


def test_lines_stand_in_the_order_of_the_trade_and_own_ones_after_them() -> None:
    """Unit, packs, accessories, modules and labour are the first five; the case's own lines follow by their number."""
    found = quoted(items=(Item(name="Digging", price=60), Item(name="Cable", price=40))).priced
    assert [line.number for line in found] == list(range(1, len(found) + 1))
    assert [(line.kind, line.own) for line in found[:7]] == [(1, 1), (2, 1), (3, 1), (4, 1), (5, 1), (6, 1), (6, 2)]
    assert [line.name for line in found[5:7]] == ["Digging", "Cable"]


def test_a_draft_is_not_for_signature() -> None:
    """Where the candidate does not give what was asked for, the lines for names say so in place of inviting one."""
    found = quoted(unit=UNIT.model_copy(update={"continuous_w": 50}))
    assert found.title.startswith("Draft")
    assert found.signed_by == found.accepted_by == UNSIGNED
    assert quoted().accepted_by == "Accepted: name, place, date"
