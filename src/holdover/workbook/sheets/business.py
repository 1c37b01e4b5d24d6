"""What the offer and the card say and no sheet computes: who offers, on which terms, and whom to call."""

from dataclasses import replace

from holdover.case.papers import Business, Calls, Item, OfferPaper, Term
from holdover.workbook.column import Table, asked
from holdover.workbook.page import Sheet

BUSINESS = Table(
    "business",
    "Who offers",
    "case.business",
    asked(Business),
    kind="form",
    widths={"title": 30, "set": 32, "usual": 16, "used": 32, "unit": 9, "note": 60},
)
OFFER_PAPER = Table("offer", "The offer", "case.offer", asked(OfferPaper), kind="form")
ITEMS = Table(
    "items",
    "Lines of your own",
    "quotation.items",
    tuple(replace(column, note="") if column.name == "counted_in" else column for column in asked(Item)),
    note="They come after unit, packs, accessories, modules and labour, which are there of themselves. "
    "Counted in h, m, set, …; blank = pieces.",
)
TERMS = Table("terms", "Terms", "quotation.given_terms", asked(Term), note="A blank cell is not printed.")
CALLS = Table("calls", "Whom to call: on the card", "case.calls", asked(Calls), kind="form")

BUSINESS_SHEET = Sheet(
    "Business",
    "What the offer and the card say beside the numbers. It is not printed.",
    (BUSINESS, OFFER_PAPER, CALLS, ITEMS, TERMS),
)
