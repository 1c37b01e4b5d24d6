"""The offer and the card: an engine that starts from nothing computes what the model says, as written and once edited."""

from typing import TYPE_CHECKING, Any

import pytest

from engines.bench import Bench
from engines.cases import CORNERS, SAMPLES, generated, sample
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
SLOTS = Slots(loads=9, candidates=3, days=4)
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
    outage=Outage(days=3, starts_at=17, generator_hours=1.5),
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
    "another candidate": changed("outage", candidate="bramble"),
    "packs by hand": changed("outage", packs=3),
    "a load left out": changed("outage", leave_out="TV"),
    "a longer outage": changed("outage", days=4),
    "read twice": changed("outage", reading_1=20, reading_2=8, reading_3=20, reading_4=8),
    "the device drops": changed("outage", drop_convenience_at=0.4, drop_essential_at=0.2),
    "nearly empty": changed("outage", start_share=0.11),
    "an outlet at night": changed("outage", mains_hours=8),
    "no generator": changed("recharge", generator_w=0),
    "all day": changed("outage", generator_hours=24),
    "modules are not offered": changed("offer", module_price=None),
    "no price": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"price": None}),)}),
    "a silent data sheet": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"storage_wh": None}),)}),
    "too small": PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"storage_wh": 600.0}),)}),
    "nobody": PLAIN.model_copy(update={"candidates": ()}),
}


@pytest.mark.parametrize("name", CASES)
def test_every_cell_is_what_the_model_says(name: str) -> None:
    """Offer, card, their working sheet and what is typed for them."""
    assert not Bench(worked(CASES[name]), MINE).differences()


OTHERS = {
    **{path.name: sample(path) for path in SAMPLES},
    **{name: CORNERS[name] for name in ("empty", "twins", "doll's house", "on the hour")},
    **{f"drawn {seed}": generated(seed) for seed in range(4)},
}


@pytest.mark.parametrize("name", OTHERS)
def test_so_it_is_in_other_cases(name: str) -> None:
    """The samples, corners, and cases drawn at random, in workbooks of the usual size."""
    assert not Bench(study(OTHERS[name]), MINE).differences()


EDITS: dict[str, tuple[tuple[str, str, Any, int], Case]] = {
    "packs on Answer": (("outage", "packs", 3, 0), changed("outage", packs=3)),
    "days on Answer": (("outage", "days", 2, 0), changed("outage", days=2)),
    "a load left out on Answer": (("outage", "leave_out", "Kettle", 0), changed("outage", leave_out="Kettle")),
    "candidate on Answer": (("outage", "candidate", "Bramble", 0), changed("outage", candidate="Bramble")),
    "generator hours on Answer": (("outage", "generator_hours", 3, 0), changed("outage", generator_hours=3)),
    "the tax": (("money", "tax_share", 0.065, 0), changed("money", tax_share=0.065)),
    "accessories": (("money", "accessories_price", 0, 0), changed("money", accessories_price=0)),
    "the number": (("offer", "number", "18-B", 0), changed("offer", number="18-B")),
    "whom to call": (("calls", "installer", "12 34", 0), changed("calls", installer="12 34")),
    "a reading": (("outage", "reading_1", 7, 0), changed("outage", reading_1=7)),
    "a price": (
        ("candidates", "price", 999.5, 0),
        PLAIN.model_copy(update={"candidates": (UNIT.model_copy(update={"price": 999.5}), *PLAIN.candidates[1:])}),
    ),
    "a load's tier": (
        ("load", "tier", "essential", 5),
        PLAIN.model_copy(update={"loads": (*PLAIN.loads[:5], PLAIN.loads[5].model_copy(update={"tier": "essential"}))}),
    ),
    "one more line": (
        ("items", "price", 12.345, 1),
        PLAIN.model_copy(update={"items": (*PLAIN.items, Item(price=12.345))}),
    ),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_reaches_every_cell(name: str) -> None:
    """Typed into the workbook, the same as a case that says it."""
    (table, column, value, record), case = EDITS[name]
    bench = Bench(worked(PLAIN), MINE)
    bench.type_in(table, column, value, record)
    bench.engine.recalculate()
    bench.made = worked(case)
    assert not bench.differences()


def test_the_edits_change_something() -> None:
    """Each of them is told on the offer or on the card."""
    as_it_is = worked(PLAIN)
    for name, (_, case) in EDITS.items():
        found = worked(case)
        told, before = (
            (each.quotation, each.door_card, each.case.calls, each.case.offer) for each in (found, as_it_is)
        )
        assert told != before, name
