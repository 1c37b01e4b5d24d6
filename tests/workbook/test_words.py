"""The words of the sheets: each that a client meets is explained, and they are those of the country."""

import re
from collections.abc import Iterator
from typing import get_args

import pytest

from holdover.case.measure import US_WORDS, in_us_words
from holdover.case.schema import Basis, Tier
from holdover.case.words import data
from holdover.model.study import Slots
from holdover.model.verdict.fit import CHECK, OK, UNDER
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Table
from holdover.workbook.page import Chart, Sheet, Words
from holdover.workbook.sheets.words import MEANINGS, WORDS_SHEET

METRIC, AMERICAN = (sheets_for(Slots(loads=3, candidates=2, us=us)) for us in (False, True))
ABROAD = re.compile(rf"\b({'|'.join(US_WORDS)})\b", re.IGNORECASE)
# Sources keep their words, ground is what an array stands on, and Canada is metric and calls an RCD a GFCI.
AT_HOME = re.compile(
    rf"\b({'|'.join(word for word in US_WORDS.values() if word not in ('ground', 'gasoline', 'GFCI'))})\b",
    re.IGNORECASE,
)

BODIES = frozenset(
    ["ADR", "CFR", "CPSC", "EIA", "FAA", "IATA", "JPEG", "NEC", "NIOSH", "NREL", "PNG", "SAE", "UN", "US", "USB"]
)
TRADE = (
    "promise", "pack", "tier", "duty", "VA", "neutral", "surge", "interlock", "transfer switch", "power factor", "reserve",
    "pass-through", "string", "leg", "basis", "idle draw",
)  # fmt: skip


def standing(sheet: Sheet) -> Iterator[str]:
    """What stands on a sheet for people to read, apart from figures."""
    for block in sheet.blocks:
        if isinstance(block, Chart):
            yield from (block.title, *(series.title for series in block.series))
        elif isinstance(block, Words):
            yield from block.lines
        elif isinstance(block, Table):
            yield block.title
            yield from (column.note for column in block.columns)
            yield from (column.title for column in block.columns)
            yield from (text for row in block.constants for text in row if isinstance(text, str))


@pytest.mark.parametrize("sheet", [sheet for sheet in AMERICAN if not sheet.working], ids=lambda sheet: sheet.name)
def test_in_us_units_a_sheet_speaks_of_utility_power(sheet: Sheet) -> None:
    """Where units are US nothing is called mains, petrol, earth or RCD."""
    assert [text for text in standing(sheet) if ABROAD.search(text)] == []


@pytest.mark.parametrize("sheet", [sheet for sheet in METRIC if not sheet.working], ids=lambda sheet: sheet.name)
def test_elsewhere_a_sheet_speaks_of_mains(sheet: Sheet) -> None:
    """Where units are metric nothing is called by the word of the United States."""
    assert [text for text in standing(sheet) if AT_HOME.search(text)] == []


def test_a_word_keeps_its_capital_and_its_article() -> None:
    """A word at the head of a sentence stays a capital one, and parts of longer words stay."""
    assert (
        in_us_words("Mains fail; an RCD trips; earthed; earthen.")
        == "Utility power fail; a GFCI trips; grounded; earthen."
    )


def test_what_a_verdict_a_tier_and_a_basis_say_is_explained() -> None:
    """The words that decide are in the list, each once, in a line that fits its column."""
    words = [word for word, _ in MEANINGS]
    assert {OK, CHECK, UNDER, *get_args(Tier), "basis"} <= set(words)
    assert len({word.casefold() for word in words}) == len(words)
    means = dict(MEANINGS)
    assert all(word in means["basis"] for word in get_args(Basis))
    assert [word for word, meaning in MEANINGS if len(meaning) > 130 or meaning.endswith(".")] == []


def read_by_clients() -> str:
    """What stands on the sheets that are in sight, and what the cautions say."""
    texts = [text for sheet in METRIC if not sheet.working and sheet is not WORDS_SHEET for text in standing(sheet)]
    cautions = [
        text for caution in data("cautions.toml").values() for text in caution.values() if isinstance(text, str)
    ]
    return "\n".join((*texts, *cautions))


def test_letters_that_stand_for_words_are_explained() -> None:
    """VA, LRA, DC: each that a client reads is in the list; bodies and standards, which name a source, need not be."""
    letters = set(re.findall(r"\b[A-Z]{2,6}\b", read_by_clients())) - {sheet.name.upper() for sheet in METRIC} - BODIES
    explained = " ".join(f"{word} {meaning}" for word, meaning in MEANINGS)
    assert {each for each in letters if not re.search(rf"\b{each}\b", explained)} == set()


def test_words_of_the_trade_are_explained() -> None:
    """What a householder did not know when it was tried: each stands on the sheets, and in the list."""
    explained = " ".join(word for word, _ in MEANINGS)
    for word in TRADE:
        assert re.search(rf"\b{word}s?\b", read_by_clients(), re.IGNORECASE), word
        assert re.search(rf"\b{word}\b", explained, re.IGNORECASE), word


@pytest.mark.parametrize("word", [word for word, _ in MEANINGS])
def test_a_word_that_is_explained_is_met(word: str) -> None:
    """No word stands in the list that stands nowhere else in the workbook."""
    texts = [text for sheet in METRIC if sheet.name != WORDS_SHEET.name for text in standing(sheet)]
    texts += [text for caution in data("cautions.toml").values() for text in caution.values() if isinstance(text, str)]
    formulas = [
        column.formula
        for sheet in METRIC
        for block in sheet.blocks
        if isinstance(block, Table)
        for column in block.columns
    ]
    plain = word.split(" (")[0]
    assert any(re.search(rf"\b{re.escape(plain)}s?\b", text, re.IGNORECASE) for text in (*texts, *formulas))


def test_the_card_names_carbon_monoxide_and_what_harms_a_battery() -> None:
    """The card is read where the generator stands and the unit is charged: both dangers are named on that page."""
    card = next(sheet for sheet in METRIC if sheet.name == "Card")
    said = " ".join(
        str(text)
        for block in card.blocks
        if isinstance(block, Table)
        for column in block.columns
        for text in column.standing
    )
    assert "carbon monoxide kills; have a CO alarm" in said
    assert "Never charge a unit that is damaged, wet" in said


def test_in_us_units_cords_are_told_in_feet() -> None:
    """What is told in both units has the client's in front, and how long a cord may be is in feet."""
    titles = {
        column.name: column.title
        for sheet in AMERICAN
        if sheet.name == "Cautions"
        for block in sheet.blocks
        if isinstance(block, Table)
        for column in block.columns
    }
    assert (titles["lost_share"], titles["longest_m"]) == ("Lost over 50 ft (15 m)", "Longest for 3 %, ft")
