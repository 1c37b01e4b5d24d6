"""The sheets of the index: every formula against the model, in several engines; nothing that users typed computes."""

import io
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import openpyxl
import pytest

from engines.engines import Answer, Formualizer, cached, gnumeric, iron, libreoffice
from engines.walk import disagreeing
from fleet.fleets import NAMES, entry, fleet
from holdover.fleet.choices import MOST
from holdover.fleet.entry import Entry
from holdover.fleet.index import Fleet, fleet_of, index_bytes, sheets_of
from holdover.workbook.grid import Cell
from holdover.workbook.page import lay_out
from holdover.workbook.write import workbook_bytes

PLAIN = [entry(1, price=1200.0, pick="Unit Alder"), entry(2, fitting=0, kept="UNDER"), replace(fleet(0)[-1])]
FLEETS = {
    **{f"drawn {seed}": fleet(seed) for seed in range(14)},
    "each with its own list": PLAIN,
    "nothing could be read": [fleet(0)[-1]],
    "one candidate": fleet(3, names=NAMES[:1]),
    "none fits": [entry(n, fitting=0, choices=dict.fromkeys(NAMES, "")) for n in range(3)],
}


def cells_of(found: Fleet) -> list[Cell]:
    return list(lay_out(sheets_of(found), found)[0].cells(found))


def poisoned(found: Fleet) -> bytes:
    """The index with wrong stored results: what comes out right was computed."""
    return workbook_bytes(sheets_of(found), found, version="0", marks={"holdover_version": "0"}, poison=-999.0)


@pytest.mark.parametrize("name", FLEETS)
def test_formualizer_and_ironcalc_agree_with_the_model(name: str) -> None:
    """Every formula of an index comes out as the model says, in two engines."""
    found = fleet_of(FLEETS[name])
    cells, data = cells_of(found), poisoned(found)
    assert sum(cell.computed for cell in cells) >= 12
    for answer in (Formualizer(data), iron(data)):
        assert disagreeing(answer, cells) == {}


@pytest.mark.parametrize("program", ["libreoffice", "gnumeric"])
def test_programs_that_people_use_agree_with_the_model(program: str, tmp_path: Path) -> None:
    """Every formula of an index comes out as the model says in LibreOffice and Gnumeric."""
    found = fleet_of(FLEETS["drawn 5"])
    file = tmp_path / "index.xlsx"
    file.write_bytes(poisoned(found))
    saved = libreoffice([file], tmp_path)[0] if program == "libreoffice" else gnumeric(file, tmp_path)
    assert disagreeing(cached(saved), cells_of(found)) == {}


def retyped(found: Fleet, times: list[int | str | None]) -> Answer:
    """The index after somebody typed how many there are like each case."""
    book = Formualizer(index_bytes(found, version="0"))
    for cell in cells_of(found):
        if cell.column.name == "times" and cell.table.name == "cases":
            book.edit(cell.sheet, cell.row, cell.col, times[cell.record])
    book.recalculate()
    return book


@pytest.mark.parametrize("seed", range(6))
def test_the_index_is_live(seed: int) -> None:
    """Another number of cases alike changes sums and choices as in the model; a blank, or a text, leaves one out."""
    entries = fleet(seed)
    times: list[int | str | None] = [0, 40, None, "3", -1, *[2] * (len(entries) - 5)]
    answer = retyped(fleet_of(entries), times)
    changed = fleet_of(entries, times)
    typed = [cell for cell in cells_of(changed) if cell.computed]
    assert disagreeing(answer, typed) == {}


@pytest.mark.parametrize("seed", range(14))
def test_the_choice_is_the_best_there_is(seed: int) -> None:
    """No candidate fits more cases than the one chosen, no two more than the two; of those alike none is cheaper."""
    entries = fleet(seed)
    found = fleet_of(entries)
    worked = [each for each in entries if each.choices]

    def covered(names: tuple[str, ...]) -> list[Entry]:
        return [each for each in worked if any(each.choices[name] != "" for name in names)]

    def cost(names: tuple[str, ...]) -> float:
        low = [
            min([p for name in names if isinstance(p := each.choices[name], float)], default=1e14)
            for each in covered(names)
        ]
        return sum(low) if len({each.currency for each in worked}) == 1 else 0

    assert found.choice
    for size, chosen, fits, total in (
        (1, (found.choice.one,), found.choice.one_fits, found.choice.one_total),
        (2, (found.choice.first, found.choice.second), found.choice.two_fits, found.choice.two_total),
    ):
        picked = tuple(filter(None, chosen))
        rivals = [*combinations(NAMES, size), *((name,) for name in NAMES)][: 6 if size == 2 else 4]
        assert fits == len(covered(picked)) == max(len(covered(names)) for names in rivals)
        cheapest = min(cost(names) for names in rivals if len(covered(names)) == fits)
        if isinstance(total, str):
            assert cost(picked) >= 1e14 or total == "currencies differ"
        else:
            assert total == pytest.approx(cheapest, abs=0.006)


def test_the_choice_of_a_worked_example() -> None:
    """Four houses and three units by hand: one fits two of them, two fit all four, and the cheaper one counts in each."""
    entries = [
        entry(1, choices={"A": 100.0, "B": 90.0, "C": ""}),
        entry(2, choices={"A": 100.0, "B": "", "C": 300.0}),
        entry(3, choices={"A": "", "B": 90.0, "C": 310.0}),
        entry(4, choices={"A": "", "B": "", "C": 320.0}),
    ]
    choice = fleet_of(entries).choice
    assert choice
    assert (choice.one, choice.one_fits, choice.one_total) == ("C", 3, 930.0)
    assert (choice.first, choice.second, choice.two_fits) == ("B", "C", 4)
    assert choice.two_total == 90 + 300 + 90 + 320
    assert choice.words == "C alone fits 3 of 4 cases for $ 930. B and C together fit 4 for $ 800."


def test_units_that_fit_without_the_margin_are_counted_apart() -> None:
    """A pick keeps the margin where any unit does, so that a cheaper unit which fits without it is told as such."""
    entries = [
        entry(1, choices={"A": 100.0, "B": 90.0}, bare=("B",)),
        entry(2, choices={"A": 100.0, "B": 90.0}, bare=("B",)),
        entry(3, choices={"A": 100.0, "B": 90.0}),
    ]
    found = fleet_of(entries, [1, 4, 1])
    assert [(unit.name, unit.fits, unit.bare) for unit in found.units] == [("A", 6, 0), ("B", 6, 5)]
    assert found.choice
    assert found.choice.words.startswith("B alone fits 6 of 6 cases (5 of them without the margin) for $ 540.")
    answer = retyped(fleet_of(entries), [1, 4, 1])
    assert disagreeing(answer, [cell for cell in cells_of(found) if cell.column.name in ("bare", "words")]) == {}


def test_what_two_fit_without_the_margin_and_cases_with_errors_are_said() -> None:
    """An order for eight of twelve clinics, two of them below the margin, is not told as one that fits them all."""
    entries = [
        entry(1, choices={"A": 100.0, "B": ""}),
        entry(2, choices={"A": "", "B": 90.0}, bare=("B",)),
        entry(3, state="errors", fitting="", choices={}),
        entry(4, state="failed", fitting="", choices={}),
    ]
    found = fleet_of(entries)
    assert found.choice
    assert found.choice.words == (
        "B alone fits 1 of 2 cases (1 of them without the margin) for $ 90. "
        "A and B together fit 2 (1 of them without the margin) for $ 190. Not in this: 2 with errors."
    )
    answer = retyped(found, [1, 1, 1, 1])
    assert disagreeing(answer, [cell for cell in cells_of(found) if cell.column.name in ("words", "two_bare")]) == {}


def test_a_second_unit_that_fits_no_case_more_is_said_to_add_none() -> None:
    """A pair that fits the same cases is told for what it saves; one that saves nothing is no pair. Sums have thousands."""
    saves = [entry(1, choices={"A": 1100.0, "B": 1050.0}), entry(2, choices={"A": 1200.0, "B": ""})]
    choice = fleet_of(saves).choice
    assert choice
    assert choice.words == (
        "A alone fits 2 of 2 cases for $ 2,300. A second unit beside it adds no case, "
        "but A and B together fit them for $ 2,250."
    )
    choice = fleet_of([entry(n, choices={"B": "", "A": 1100.0}) for n in range(2)]).choice
    assert choice
    assert choice.words.endswith("A second unit beside it adds no case and saves nothing.")
    assert (choice.first, choice.second) == ("A", "")


def test_cases_left_over_are_named() -> None:
    """Up to three by name; where there are more, that there are others."""
    entries = [entry(n, client=f"Client {n}", choices={"A": 100.0 if n < 2 else "", "B": ""}) for n in range(6)]
    for count, said in ((3, "1 (Client 2)"), (5, "3 (Client 2, Client 3, Client 4)")):
        choice = fleet_of(entries[:count]).choice
        assert choice
        assert choice.words.endswith(f" Left over: {said}.")
    choice = fleet_of(entries).choice
    assert choice
    assert choice.words.endswith(" Left over: 4 (Client 2, Client 3, Client 4 and others).")


def test_what_counts_for_nothing_is_said() -> None:
    """A number typed as text is told as one that can't be read; where all are 0 no unit is said to fit most."""
    entries = [entry(n, choices={"A": 100.0, "B": ""}) for n in range(2)]
    choice = fleet_of(entries, ["3", 1]).choice
    assert choice
    assert choice.words.startswith("Figures under How many that can't be read, and count for nothing: 1; ")
    choice = fleet_of(entries, [0, 0]).choice
    assert choice
    assert choice.words == "Nothing is counted: type how many there are of a case on sheet Cases."
    assert (choice.one, choice.first, choice.second, choice.two_total) == ("", "", "", "")


def test_a_case_is_called_by_its_client_on_every_sheet() -> None:
    """Its title stands in where no client is stated, its file where neither is; those of one name are told apart."""
    known = {"choices": {"A": 100.0, "B": ""}, "packs_each": {"A": 2}}
    entries = [
        entry(1, client="Client A", **known),
        entry(2, **known),
        entry(3, title="Backup power proposal", case="homes/bo.xlsx", **known),
        entry(4, client="Client D", title="Stall", **known),
        entry(5, client="Client D", title="House", **known),
    ]
    names = ["Client A", "House 2", "bo", "Client D, Stall", "Client D, House"]
    book = openpyxl.load_workbook(io.BytesIO(index_bytes(fleet_of(entries), version="0")))
    for sheet in ("Cases", "Units"):
        first = [cell.value for cell in book[sheet]["A"]]
        assert [name for name in first if name in names] == names
    heads = {cell.value: cell.column for row in book["Units"].iter_rows() for cell in row if cell.value == "Packs"}
    assert heads
    last = [cell.value for cell in book["Units"][book["Units"].max_row]]
    assert last[heads["Packs"] - 1] == 2


def test_the_index_is_printed_as_its_cases_are() -> None:
    """On Letter where most cases are; the currency stands beside each price only where cases differ in it."""
    sizes = {}
    for paper in ("Letter", "A4"):
        book = openpyxl.load_workbook(
            io.BytesIO(index_bytes(fleet_of([entry(n, paper=paper) for n in range(2)]), version="0"))
        )
        sizes[paper] = {int(sheet.page_setup.paperSize) for sheet in book if sheet.sheet_state == "visible"}
    assert sizes == {"Letter": {1}, "A4": {9}}
    for currencies, shown in ((("$", "$"), False), (("$", "€"), True)):
        found = fleet_of([entry(n, currency=currency) for n, currency in enumerate(currencies)])
        sheet = openpyxl.load_workbook(io.BytesIO(index_bytes(found, version="0")))["Cases"]
        heads = [cell.value for row in sheet.iter_rows(max_row=6) for cell in row]
        assert (heads.index("Currency") < heads.index("What is promised")) == shown
        assert ("own currency" in heads) == shown


def test_a_case_that_could_not_be_read_is_not_said_to_fail() -> None:
    """It counts neither among those that a unit fits nor among those left over."""
    found = fleet_of(fleet(0))
    assert found.choice
    assert found.choice.counted == found.sums.cases - 1 == found.sums.fit + found.sums.none_fits


def test_long_lists_are_cut_to_those_that_fit_most() -> None:
    """Of 30 candidates 24 are compared, none of those left out fits more cases than one of them, and the sheet says so."""
    names = tuple(f"Unit {n}" for n in range(30))
    found = fleet_of(fleet(2, 20, names))
    fits = {name: sum(each.choices[name] != "" for each in fleet(2, 20, names)[:-1]) for name in names}
    kept = [unit.name for unit in found.units]
    assert len(kept) == MOST
    assert min(fits[name] for name in kept) >= max(fits[name] for name in names if name not in kept)
    book = openpyxl.load_workbook(io.BytesIO(index_bytes(found, version="0")))
    assert str(book["Units"]["A4"].value).startswith("Compared are the 24 of 30 units")


def test_words_of_users_never_compute() -> None:
    """A title, a candidate's name, a path or a fault that begins like a formula is a text in the index."""
    said = ["=1+1", "+1", "-2", "@x", "=cmd|'/c calc'!A0", "\u202e", "\uff1d1"]
    entries = [
        entry(
            n, title=word, pick=word, currency="$", case=f"{word}/{n}", headline=word, choices={word: 1.0, "=B1": 2.0}
        )
        for n, word in enumerate(said)
    ]
    book = openpyxl.load_workbook(io.BytesIO(index_bytes(fleet_of(entries), version="0")))
    written = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
    declared = {cell.formula for cell in cells_of(fleet_of(entries)) if cell.formula}
    texts = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "s"]
    assert {str(cell.value) for cell in written} <= declared
    assert set(said) - {"\u202e"} <= set(texts)
