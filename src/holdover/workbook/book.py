"""The workbook's table of contents, and the one call that turns a study into a file's bytes."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

from holdover.model.study import Slots, Study
from holdover.workbook.measures import in_us
from holdover.workbook.page import Sheet
from holdover.workbook.sheets.answer import ANSWER_SHEET
from holdover.workbook.sheets.as_read import with_reading
from holdover.workbook.sheets.assumptions import ASSUMPTIONS_SHEET
from holdover.workbook.sheets.business import BUSINESS_SHEET
from holdover.workbook.sheets.candidates import CANDIDATES_SHEET
from holdover.workbook.sheets.card import CARD_WORKING, card_sheet
from holdover.workbook.sheets.cautions import CAUTIONS_SHEET, CAUTIONS_WORKING
from holdover.workbook.sheets.comparison.ranking import RANKING
from holdover.workbook.sheets.comparison.sheet import COMPARISON_SHEET
from holdover.workbook.sheets.daily import DAILY_SHEET
from holdover.workbook.sheets.decision import DECIDED
from holdover.workbook.sheets.lists import LISTS_SHEET
from holdover.workbook.sheets.load import HOURS_BY_LOAD, LOAD_SHEET
from holdover.workbook.sheets.offer import OFFER_SHEET, OFFER_WORKING
from holdover.workbook.sheets.outage.field import PROMISE, SERVED
from holdover.workbook.sheets.outage.sheet import OUTAGE_SHEET, outage_working_sheet
from holdover.workbook.sheets.recharge import SOLAR_SHEET
from holdover.workbook.sheets.strings import IN_SERIES, LAYOUT_WORDS, STRINGS, layouts
from holdover.workbook.sheets.sun import SUN_SHEET
from holdover.workbook.sheets.vehicle import VEHICLE_SHEET
from holdover.workbook.sheets.words import WORDS_SHEET

PAPERS_SHEET = Sheet(
    "Papers",
    "Working sheet: the lines of the offer, the lists of the card, and which cautions are told. Nothing to type here.",
    (*OFFER_WORKING, *CARD_WORKING, *CAUTIONS_WORKING),
    working=True,
)
ON_PAPER: Final = dict.fromkeys(("Answer", "Load"), "case") | {
    "Offer": "decision.listed",
    "Card": "decision.listed",
    "Comparison": "decision.listed",
    "Solar recharge": "case.array.modules",
    "Vehicle": "case.vehicle.distance",
}
"""Sheets that are printed, each with the path in the study that must not be 0."""


@lru_cache(maxsize=8)
def sheets_for(slots: Slots) -> tuple[Sheet, ...]:
    """Every sheet of a workbook with that many slots, in reading order."""
    sheets = tuple(_sheets(slots))
    sheets = with_reading(in_us(sheets) if slots.us else sheets)
    return tuple(replace(sheet, printed=ON_PAPER.get(sheet.name, "")) for sheet in sheets)


def _sheets(slots: Slots) -> Iterator[Sheet]:
    yield from (
        ANSWER_SHEET,
        OFFER_SHEET,
        card_sheet(slots.days),
        LOAD_SHEET,
        DAILY_SHEET,
        CANDIDATES_SHEET,
        COMPARISON_SHEET,
        SOLAR_SHEET,
        OUTAGE_SHEET,
        VEHICLE_SHEET,
        ASSUMPTIONS_SHEET,
        BUSINESS_SHEET,
        CAUTIONS_SHEET,
        WORDS_SHEET,
        PAPERS_SHEET,
        HOURS_BY_LOAD,
        _by_candidate(slots.candidates),
        SUN_SHEET,
        outage_working_sheet(slots.candidates, slots.days),
        LISTS_SHEET,
    )


def _by_candidate(slots: int) -> Sheet:
    """What is worked out for every candidate: tables that refer to each other record by record share a sheet."""
    return Sheet(
        "By candidate",
        "Working sheet: the pick, and of each candidate storage, prices, margins, order, promise and layouts of modules. Nothing to type here.",
        (*DECIDED, *RANKING, PROMISE, SERVED, LAYOUT_WORDS, STRINGS, IN_SERIES, layouts(slots)),
        working=True,
    )


def build(study: Study, *, version: str, poison: float | None = None) -> bytes:
    """The workbook of a study, as a file's bytes; `poison` replaces every cached result, for tests."""
    from holdover.workbook.write import workbook_bytes

    return workbook_bytes(sheets_for(study.slots), study, version=version, poison=poison)
