"""Rows that were sorted, and columns that were, are told as such; the rest is told cell by cell."""

from collections.abc import Callable
from random import Random

import pytest

from holdover.case.schema import Case, Load
from holdover.returned.changed import input_changes
from holdover.returned.compare import Change, compare
from returned.altered import CASE, Parts, altered, as_delivered, taken

FIELDS = ("name", "place", "running_w", "hours_per_day")


def typed(rows: tuple[Load, ...], fields: tuple[str, ...] = FIELDS) -> Callable[[Parts], None]:
    """The alteration that types loads over the inventory."""

    def change(parts: Parts) -> None:
        for i, load in enumerate(rows):
            for field in fields:
                spot = as_delivered().spots["loads", i, field]
                value = getattr(load, field)
                parts.retype(spot.home, spot.cell, None if value in (None, "") else value)

    return change


def changes(alter: Callable[[Parts], None], against: Case = CASE) -> list[Change]:
    """The inputs of an altered file that are not those of a case."""
    return list(input_changes(taken(altered(alter)), against))


def orders() -> list[tuple[int, ...]]:
    """Twelve orders of the loads, none of which is theirs or sorted by a column."""
    rng = Random("orders")
    found: list[tuple[int, ...]] = []
    while len(found) < 12:
        order = tuple(rng.sample(range(len(CASE.loads)), len(CASE.loads)))
        if order != tuple(sorted(order)):
            found.append(order)
    return found


@pytest.mark.parametrize("order", orders())
def test_a_sorted_inventory_is_told_in_one_line(order: tuple[int, ...]) -> None:
    """In whichever order the same loads stand: one change, with sheet and cell; with a figure changed, two."""
    rows = tuple(CASE.loads[i] for i in order)
    (told,) = changes(typed(rows))
    assert told.what.startswith("the same loads ")
    first = as_delivered().spots["loads", 0, "name"]
    assert (told.sheet, told.cell) == (first.home, first.cell)
    changed = (rows[0].model_copy(update={"running_w": 777.0}), *rows[1:])
    order_told, figure = changes(typed(changed))
    assert order_told.what == "the loads stand in another order"
    assert (figure.label, figure.now) == (f"{rows[0].name}, Running", 777.0)


@pytest.mark.parametrize(("field", "title"), [("name", "Load"), ("running_w", "Running")])
def test_what_the_rows_were_sorted_by_is_told(field: str, title: str) -> None:
    """Sorted by a column, up or down, the audit says by which."""
    for turned in (False, True):
        rows = tuple(sorted(CASE.loads, key=lambda load: getattr(load, field), reverse=turned))
        (told,) = changes(typed(rows))
        assert told.what == f"the same loads were sorted by {title}"


@pytest.mark.parametrize("field", ["name", "running_w", "hours_per_day"])
def test_a_column_sorted_on_its_own_is_told_as_such(field: str) -> None:
    """Only one column was marked when the rows were sorted: what follows is nonsense, and is told in one line."""
    values = sorted(getattr(load, field) for load in CASE.loads)
    rows = tuple(load.model_copy(update={field: value}) for load, value in zip(CASE.loads, values, strict=True))
    (told,) = changes(typed(rows))
    assert told.what == "the same values of this column stand beside other rows than before"
    assert told.label == Load.model_fields[field].title


def test_a_load_that_was_taken_out_is_one_change() -> None:
    """The loads below it were moved up by hand: they are not told one by one."""
    rows = (*CASE.loads[:2], *CASE.loads[3:], Load())
    (told,) = changes(typed(rows))
    assert (told.what, told.label) == ("the row is gone", f"{CASE.loads[2].name}, loads")


def test_loads_of_one_name_are_held_by_their_places() -> None:
    """Nobody can tell which of two lamps is which: every cell that differs is told."""
    twins = tuple(load.model_copy(update={"name": "Lamp"}) for load in CASE.loads)
    case = CASE.model_copy(update={"loads": twins})
    rows = (twins[1].model_copy(update={"running_w": 5.0}), twins[0], *twins[2:])
    assert len(changes(typed(rows), case)) > 3


def test_what_is_on_paper_is_told_last() -> None:
    """A title and the reserve were changed: the reserve comes first, since the advice may depend on it."""
    title, reserve = as_delivered().spots["about", 0, "title"], as_delivered().spots["sizing", 0, "reserve"]

    def change(parts: Parts) -> None:
        parts.retype(title.home, title.cell, "My plan")
        parts.retype(reserve.home, reserve.cell, 0.4)

    assert [told.cell for told in changes(change)] == [reserve.cell, title.cell]


FIGURES = [
    (part, i, field)
    for part, rows in (("loads", CASE.loads), ("candidates", CASE.candidates), ("array", (CASE.array,)))
    for i, row in enumerate(rows)
    for field in type(row).model_fields
    if field in row.model_fields_set and isinstance(getattr(row, field), int | float)
]


@pytest.mark.parametrize("spot", Random("inputs").sample(FIGURES, 12), ids=str)
def test_an_input_that_was_turned_into_a_formula_is_named(spot: tuple[str, int, str]) -> None:
    """Though it shows what stood there: it follows other cells from now on."""
    part, record, field = spot
    row = getattr(CASE, part)[record] if part in ("loads", "candidates") else getattr(CASE, part)
    value = float(getattr(row, field))
    found = as_delivered().spots[spot]
    returned = taken(altered(lambda parts: parts.retype(found.home, found.cell, value, f"{value!r}+0")))
    (told,) = compare(returned).formulas
    assert told.what == "an input was turned into a formula"
    assert (told.sheet, told.cell, told.now) == (found.home, found.cell, f"={value!r}+0")
    assert list(input_changes(returned, CASE)) == []
