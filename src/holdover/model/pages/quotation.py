"""The written offer: what is charged for the candidate that is followed, with everything that goes with it.

Amounts are those that are printed: each is rounded to two decimals before they are added up.
"""

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from holdover.case.papers import Item, Term
from holdover.case.schema import MAX_ITEMS, MAX_TERMS, Case, Money, Outage
from holdover.model.decision import with_packs
from holdover.model.desk import padded
from holdover.model.drive import offered_words
from holdover.model.dust import DUST
from holdover.model.offer import Offer
from holdover.model.outage.told import stretch_of, through, tiers_words, trips_unless
from holdover.model.spoken import spoken, thousands
from holdover.model.vehicle import vehicle_plan

UNSTATED: Final = "not stated"
"""What stands in place of an amount of which a price is missing."""
UNSIGNED: Final = "Not for signature: a draft"
"""Stands where an offer that does not fit would be signed [-]."""
OWN: Final = 6
"""Kind of a line that the case adds itself; the kinds before it are unit, packs, accessories, modules, labour [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """A line that the offer may have. `place` is its place on the paper, "" where it is not on it.

    `own` is which of the case's own lines it is, 1 where it is none of them.
    """

    number: int
    kind: int
    own: int
    name: str
    quantity: float
    counted_in: str
    each: float | str
    amount: float | str
    there: int
    place: int | str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """A line as it is printed; every field is "" behind the last."""

    number: int | str
    name: str
    quantity: float | str
    counted_in: str
    each: float | str
    amount: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class TermLine:
    """A line of the terms, and what is due by it."""

    given: Term
    included: str
    excluded: str
    share: float | str
    when: str
    due: float | str
    delivery: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quotation:
    """The offer as it is printed. `total` and what leads to it are words where a price is not stated."""

    items: tuple[Item, ...]
    given_terms: tuple[Term, ...]
    maker: str
    contact: str
    made_for: str
    what: str
    so_that: str
    title: str
    warning: str
    amount_head: str
    priced: tuple[Priced, ...]
    lines: int
    paper: tuple[PaperLine, ...]
    goods: float
    subtotal: float | str
    discount: float | str
    tax: float | str
    total: float | str
    rates: str
    first_page: str
    terms: tuple[TermLine, ...]
    signed_by: str
    accepted_by: str


def cents(amount: float) -> float:
    """An amount rounded to two decimals [money].

    Args:
        amount: Any amount [money].

    Holds for: magnitudes below 1e13.
    Source: the ROUND of spreadsheet programs, after six decimals have settled float dust.

    >>> cents(2.675), cents(-0.125)
    (2.68, -0.13)
    """
    settled = Decimal(repr(round(amount, DUST)))
    return float(settled.quantize(Decimal("0.01"), ROUND_HALF_UP)) + 0.0


def quotation_of(case: Case, shown: Offer, field_asks: str, unread: str = "") -> Quotation:
    """The offer of the candidate that is followed.

    Args:
        case: The case, with the business, its own lines and its terms.
        shown: The candidate; one without a name where none is listed.
        field_asks: What is to be asked of every candidate, "" where nothing.
        unread: That cells of the workbook can't be read, "" where all can.
    """
    items = padded(case.items, MAX_ITEMS, Item())
    priced = _placed(_standard(case, shown) + [_own(item, i) for i, item in enumerate(items, 1)])
    printed = sorted((line for line in priced if line.place != ""), key=lambda line: line.number)
    goods = sum(line.amount for line in priced[:2] if not isinstance(line.amount, str))
    subtotal, discount, tax, total = _sums(printed, goods, case)
    terms = padded(case.terms, MAX_TERMS, Term())
    maker = case.business.name or case.about.prepared_by
    draft = unread != "" or _warning(shown) != ""
    return Quotation(
        items=items,
        given_terms=terms,
        maker=maker,
        contact="; ".join(word for word in (case.business.licence, case.business.contact) if word),
        made_for=", ".join(word for word in (case.about.client, case.about.place) if word),
        what=_what(case, shown),
        so_that=_so_that(case, shown, field_asks),
        title=_title(shown, unread),
        warning=unread or _warning(shown),
        amount_head=f"Amount, {case.about.currency}",
        priced=priced,
        lines=len(printed),
        paper=_paper(printed, len(priced)),
        goods=goods,
        subtotal=subtotal,
        discount=discount,
        tax=tax,
        total=total,
        rates=_rates(case.money),
        first_page=_first_page(case, shown),
        terms=tuple(_term(term, total) for term in terms),
        signed_by=UNSIGNED if draft else f"For {maker}: name, date" if maker else "Offered by: name, date",
        accepted_by=UNSIGNED if draft else "Accepted: name, place, date",
    )


def _title(shown: Offer, unread: str) -> str:
    if unread:
        return "Draft, to be mended first"
    return "Draft, not what was asked for" if _warning(shown) else "Offer"


def _standard(case: Case, shown: Offer) -> list[Priced]:
    """Unit, packs, accessories, modules, labour."""
    c, money, array = shown.given, case.money, case.array
    size = "" if c.pack_wh is None else f", {thousands(c.pack_wh)} Wh"
    module = "" if array.power_w is None else f", {thousands(array.power_w)} W"
    module_price: float | str = "not offered" if case.offer.module_price is None else case.offer.module_price
    packs = shown.held.packs
    return [
        _line(1, _unit_words(shown), 1, UNSTATED if c.price is None else c.price, there=bool(shown.name)),
        _line(
            2,
            f"Expansion pack{size}",
            packs,
            0.0 if packs == 0 else UNSTATED if c.pack_price is None else c.pack_price,
            there=packs > 0,
        ),
        _line(3, "Accessories", 1, money.accessories_price, there=money.accessories_price > 0),
        _line(
            4,
            f"Solar module{module}",
            array.modules,
            module_price,
            there=array.modules > 0 and not isinstance(module_price, str),
        ),
        _line(5, "Labour", 1, money.labour_price, there=money.labour_price > 0),
    ]


def _line(kind: int, name: str, quantity: float, each: float | str, *, there: bool) -> Priced:
    return Priced(
        number=kind,
        kind=kind,
        own=1,
        name=name,
        quantity=quantity,
        counted_in="",
        each=each,
        amount=_amount(quantity, each),
        there=int(there),
        place="",
    )


def _own(item: Item, own: int) -> Priced:
    """One of the case's own lines."""
    quantity = 1.0 if item.quantity is None else item.quantity
    each: float | str = UNSTATED if item.price is None else item.price
    return Priced(
        number=OWN - 1 + own,
        kind=OWN,
        own=own,
        name=item.name,
        quantity=quantity,
        counted_in=item.counted_in,
        each=each,
        amount=_amount(quantity, each),
        there=int(item.name != "" or item.price is not None),
        place="",
    )


def _amount(quantity: float, each: float | str) -> float | str:
    return each if isinstance(each, str) else cents(quantity * each)


def _placed(lines: list[Priced]) -> tuple[Priced, ...]:
    """The lines with their places on the paper, one below the other."""
    placed: list[Priced] = []
    count = 0
    for line in lines:
        count += line.there
        placed.append(replace(line, place=count if line.there else ""))
    return tuple(placed)


def _paper(printed: list[Priced], size: int) -> tuple[PaperLine, ...]:
    lines = [
        PaperLine(
            number=i,
            name=line.name,
            quantity=line.quantity,
            counted_in=line.counted_in,
            each=line.each,
            amount=line.amount,
        )
        for i, line in enumerate(printed, 1)
    ]
    return padded(lines, size, PaperLine(number="", name="", quantity="", counted_in="", each="", amount=""))


def _sums(printed: list[Priced], goods: float, case: Case) -> tuple[float | str, float | str, float | str, float | str]:
    """Subtotal, discount, tax and total; words where an amount is missing."""
    if any(isinstance(line.amount, str) for line in printed):
        return (UNSTATED,) * 4
    subtotal = sum(float(line.amount) for line in printed)
    discount = -cents(case.money.discount_share * goods) + 0.0
    tax = cents(case.money.tax_share * (subtotal + discount))
    return subtotal, discount, tax, subtotal + discount + tax


def _unit_words(shown: Offer) -> str:
    """The unit and what it is, as far as its data sheet says."""
    c = shown.given
    figures = ((c.continuous_w, "W"), (c.ac_volts, "V"), (c.storage_wh, "Wh"))
    told = [f"{thousands(value)} {unit}" for value, unit in figures if value is not None]
    return ", ".join([shown.name, *told])


def _what(case: Case, shown: Offer) -> str:
    if not shown.name:
        return "No candidate is listed yet."
    said = with_packs(shown.name, shown.held.packs)
    modules = case.array.modules if case.offer.module_price is not None else 0
    return f"{said}, {modules} solar module{'' if modules == 1 else 's'}" if modules else said


def _so_that(case: Case, shown: Offer, field_asks: str) -> str:
    """What the promise is where the candidate keeps it, else what the first page says of each tier."""
    promise, outage, stretch = shown.carried.promise, case.outage, stretch_of(case)
    loads = f"{outage.promise} loads" if outage.promise != "all loads" else stretch.all
    if not shown.name:
        return ""
    if shown.given.storage_wh is None:
        return "Its storage is not stated, so nothing is said of how long loads run."
    goes = offered_words(vehicle_plan(case.vehicle, case.about.units), shown.arrival.left_own)
    open_yet = f"{goes}{_open_yet(shown, outage, field_asks)}"
    if promise.kept:
        margin = "" if promise.margin_held else ", without the margin"
        return f"{loads} run {through(stretch)}{margin}{open_yet}"
    told = tiers_words(shown.carried.tiers, stretch, output=shown.fit.output)
    return f"{told.removesuffix('.')}{open_yet}"


def _open_yet(shown: Offer, outage: Outage, field_asks: str) -> str:
    """What must prove right for the loads to run: a source that holds, and what the data sheet leaves open."""
    trips = trips_unless(outage, shown.carried)
    holds = f"; {trips}" if trips else ""
    asked = ", ".join(word for word in (shown.asked, field_asks) if word)
    return f"{holds}; if what is to be asked proves right: {asked}" if asked else holds


def _warning(shown: Offer) -> str:
    if not shown.name or shown.fit.fits:
        return ""
    return f"This is not all that was asked for: {shown.reason}."


def _rates(money: Money) -> str:
    less = f"Discount {_percent(money.discount_share)} on unit and packs. " if money.discount_share > 0 else ""
    more = f"Tax {_percent(money.tax_share)} on what is left of the subtotal." if money.tax_share > 0 else ""
    return (less + more).rstrip()


def _percent(share: float) -> str:
    return f"{spoken(100 * share, 2)} %"


def _first_page(case: Case, shown: Offer) -> str:
    total = shown.cost.total
    if isinstance(total, str):
        return "A price is not stated: ask for it before this is sent."
    return (
        "Unit, packs, accessories and labour with discount and tax: "
        f"{case.about.currency} {thousands(total, 2)}, the price on the first page."
    )


def _term(term: Term, total: float | str) -> TermLine:
    share = "" if term.paid_share is None else term.paid_share
    due = "" if isinstance(share, str) or isinstance(total, str) else cents(share * total)
    return TermLine(
        given=term,
        included=term.included,
        excluded=term.excluded,
        share=share,
        when=term.paid_when,
        due=due,
        delivery=term.delivery,
    )
