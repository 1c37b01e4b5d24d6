"""The offer and the card: an engine that starts from nothing computes what the model says, as written and once edited.

Samples, corners and cases drawn at random are held cell by cell, these sheets among them, in `engines/test_walk.py`.
"""

from typing import TYPE_CHECKING, Any

import pytest

from engines.bench import Bench
from holdover.case.papers import Business, Calls, Item, OfferPaper, Term
from holdover.case.schema import Array, Candidate, Case, Load, Money, Outage, Recharge
from holdover.model.study import Slots, Study, study
from holdover.workbook.column import Table
from holdover.workbook.sheets.business import BUSINESS_SHEET
from holdover.workbook.sheets.card import CARD_WORKING, card_sheet
from holdover.workbook.sheets.offer import OFFER_SHEET, OFFER_WORKING

if TYPE_CHECKING:
    from holdover.case.section import Section

MINE = tuple(
    block.name
    for block in (*OFFER_SHEET.blocks, *card_sheet(3).blocks, *BUSINESS_SHEET.blocks, *OFFER_WORKING, *CARD_WORKING)
    if isinstance(block, Table)
)
SLOTS = Slots(loads=8, candidates=3, days=3)
UNIT = Candidate(
    name="Alder",
    storage_wh=3000,
    continuous_w=1800,
    surge_w=4000,
    ac_volts=120,
    dc_w=100,
    pack_wh=2000,
    packs_max=3,
    price=1500,
    pack_price=900,
    ac_charge_w=900,
)
PLAIN = Case(
    loads=(
        Load(name="Breathing device", place="Bedroom", running_w=40, hours_per_day=8, tier="critical"),
        Load(name="Fridge", running_w=100, duty=0.5, hours_per_day=24),
        Load(name="Lamps", running_w=60, hours_per_day=5, starts_at=17),
        Load(name="Kettle", running_w=1500, hours_per_day=0.2, tier="convenience"),
        Load(name="Radio", running_w=75, hours_per_day=4, tier="convenience"),
        Load(name="TV", running_w=100, hours_per_day=4, starts_at=18, tier="convenience"),
    ),
    candidates=(UNIT, UNIT.model_copy(update={"name": "Bramble", "price": 1700.0, "pack_price": None})),
    outage=Outage(days=2, starts_at=17, generator_hours=1.5),
    recharge=Recharge(generator_w=1000),
    money=Money(accessories_price=80, labour_price=400, discount_share=0.1, tax_share=0.2),
    business=Business(name="A shop", licence="7"),
    offer=OfferPaper(number="17-A", module_price=250),
    items=(Item(name="Digging", quantity=3, counted_in="h", price=60),),
    terms=(Term(included="Delivery", paid_share=0.3, paid_when="with the order"),),
    calls=Calls(neighbour="two doors down"),
    array=Array(modules=2),
)


def changed(part: str, **update: object) -> Case:
    """The case with some settings of a form changed; None clears one."""
    section: Section = getattr(PLAIN, part)
    given = {name: getattr(section, name) for name in section.model_fields_set}
    kept = {name: value for name, value in (given | update).items() if value is not None}
    return PLAIN.model_copy(update={part: type(section)(**kept)})


def worked(case: Case) -> Study:
    return study(case, SLOTS)


CASES = {
    "plain": PLAIN,
    **{
        f"a transfer time to be asked of {name}": PLAIN.model_copy(
            update={
                "loads": (
                    Load(name="Device", running_w=90, hours_per_day=8, tier="critical", gap_ms=20, feed="120 V"),
                ),
                "candidates": (UNIT, UNIT.model_copy(update={"name": "Bramble", "price": 9e3, "transfer_ms": other})),
                "outage": Outage(days=2, starts_at=17, generator_hours=1.5, candidate="Alder"),
                "recharge": Recharge(generator_w=watts),
            }
        )
        for name, other, watts in (("one", 10.0, 1000.0), ("all", None, 50.0))
    },
    "a gap that a critical load bears": PLAIN.model_copy(
        update={
            "loads": (
                Load(name="Pump", running_w=100, hours_per_day=8, tier="critical"),
                Load(name="Alarm", running_w=40, hours_per_day=0, tier="critical", gap_ms=10),
                Load(name="Breathing device", running_w=40, hours_per_day=8, tier="critical", gap_ms=20),
            )
        }
    ),
    "no price": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"price": None}),)}),
    "a silent data sheet": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"storage_wh": None}),)}),
    "too small": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"storage_wh": 600.0}),)}),
    "nobody": PLAIN.model_copy(update={"candidates": ()}),
}


@pytest.mark.parametrize("name", CASES)
def test_every_cell_is_what_the_model_says(name: str) -> None:
    """Offer, card, their working sheet and what is typed for them."""
    assert not Bench(worked(CASES[name]), MINE).differences()


Typed = tuple[str, str, Any, int]
"""Table, column, value and record."""


def typed(part: str, **values: Any) -> tuple[tuple[Typed, ...], Case]:
    """Values typed into a form, and the case that says the same; None clears a cell."""
    return tuple((part, name, value, 0) for name, value in values.items()), changed(part, **values)


EDITS: dict[str, tuple[tuple[Typed, ...], Case]] = {
    "packs on Answer": typed("outage", packs=3),
    "days on Answer": typed("outage", days=1),
    "a load left out on Answer": typed("outage", leave_out="Kettle"),
    "candidate on Answer": typed("outage", candidate="Bramble"),
    "generator hours on Answer": typed("outage", generator_hours=3),
    "the tax": typed("money", tax_share=0.065),
    "accessories": typed("money", accessories_price=0),
    "the number": typed("offer", number="18-B"),
    "whom to call": typed("calls", installer="12 34"),
    "a reading": typed("outage", reading_1=7),
    "another candidate": typed("outage", candidate="bramble"),
    "a load left out": typed("outage", leave_out="TV"),
    "a longer outage": typed("outage", days=3),
    "read twice": typed("outage", reading_1=20, reading_2=8, reading_3=20, reading_4=8),
    "the device drops": typed("outage", drop_convenience_at=0.4, drop_essential_at=0.2),
    "nearly empty": typed("outage", start_share=0.11),
    "an outlet at night": typed("outage", mains_hours=8),
    "no generator": typed("recharge", generator_w=0),
    "all day": typed("outage", generator_hours=24),
    "modules are not offered": typed("offer", module_price=None),
    "a price": (
        (("candidates", "price", 999.5, 0),),
        PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"price": 999.5}), *PLAIN.candidates[1:])}),
    ),
    "a load's tier": (
        (("load", "tier", "essential", 5),),
        PLAIN.model_copy(update={"loads": (*PLAIN.loads[:5], PLAIN.loads[5].model_copy(update={"tier": "essential"}))}),
    ),
    "one more line": (
        (("items", "price", 12.345, 1),),
        PLAIN.model_copy(update={"items": (*PLAIN.items, Item(price=12.345))}),
    ),
}


@pytest.fixture(scope="module")
def plain() -> Bench:
    """A workbook that each test leaves as it was."""
    return Bench(worked(PLAIN), MINE)


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_reaches_every_cell(plain: Bench, name: str) -> None:
    """Typed into the workbook, the same as a case that says it."""
    edits, case = EDITS[name]
    before = {
        (cell.table.name, cell.column.name, cell.record): cell.value or None
        for cell in plain.grid.cells(worked(PLAIN))
        if cell.typed
    }
    for edit in edits:
        plain.type_in(*edit)
    plain.engine.recalculate()
    plain.made = worked(case)
    assert not plain.differences()
    for table, column, _, record in edits:
        plain.type_in(table, column, before[table, column, record], record)


def test_the_edits_change_something() -> None:
    """Each of them is told on the offer or on the card."""
    as_it_is = worked(PLAIN)
    for name, (_, case) in EDITS.items():
        found = worked(case)
        told, before = (
            (each.quotation, each.door_card, each.case.calls, each.case.offer) for each in (found, as_it_is)
        )
        assert told != before, name
