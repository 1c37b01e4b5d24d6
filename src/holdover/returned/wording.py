"""Standing words of a returned workbook that are not as they were written: headings, units, cautions, notes."""

from collections import Counter
from collections.abc import Iterator
from typing import Final

from holdover.returned.compare import Change, agree
from holdover.returned.read import Returned
from holdover.workbook.grid import xl
from holdover.workbook.page import Label, LabelKind, Page
from holdover.xlsx import CellData

CALLED: Final[dict[LabelKind, str]] = {
    "caution": "caution",
    "unit": "unit",
    "label unit": "unit",
    "plain": "note",
    "remark": "note",
    "note": "note",
    "small": "note",
}
"""What is said of a kind of standing text; any other is a heading."""
TOLD_ELSEWHERE: Final = "elsewhere"
"""What is typed over these words the reader of inputs tells."""
IN_MONEY: Final = "\N{CURRENCY SIGN}"
"""Stands for a currency until it is known."""
ORDER: Final = ("caution", "unit", "heading", "note")
"""What may mislead most comes first."""


def wording_changes(returned: Returned) -> tuple[Change, ...]:
    """Standing words that were changed, cleared or swapped with others, the cautions first."""
    currency = _currency(returned)
    found = [change for page in returned.shipped.pages for change in _of_page(returned, page, currency)]
    return tuple(change for _, change in sorted(found, key=lambda each: ORDER.index(each[0])))


def _of_page(returned: Returned, page: Page, currency: str) -> Iterator[tuple[str, Change]]:
    """The changes on a sheet, each with what kind of text it is."""
    sheet = returned.grid.sheets[page.sheet.name]
    changed: dict[tuple[str, str], list[tuple[Label, Change]]] = {}
    for label, cell, found in _labels(returned, page):
        want = label.written(currency, composed=page.sheet.narrow > 0)
        if agree(found, want):
            continue
        now = found.value if found and found.value != "" else None
        change = Change(what="", sheet=sheet, cell=cell, label=_whose(label), was=want or None, now=now)
        changed.setdefault((want, str(now or "")), []).append((label, change))
    told: set[tuple[str, str]] = set()
    for (want, now), those in changed.items():
        others = [other.cell for _, other in changed.get((now, want), ())]
        for i, (label, change) in enumerate(those):
            called = CALLED.get(label.kind, "heading")
            if i >= len(others):
                yield called, _told(change, called, "")
            elif (now, want) not in told:
                yield called, _told(change, called, others[i])
        told.add((want, now))


def _told(change: Change, called: str, other: str) -> Change:
    """The change in words; `other` is the cell with which a text was swapped."""
    if not change.cell:
        what = f"the {called} is gone with its cell"
    elif other:
        what = f"the {called} was swapped with that of {other}"
    elif change.now is None:
        what = f"the {called} is gone"
    elif called == "unit":
        what = "the unit was changed; what stands there still counts as written"
    else:
        what = f"the {called} was changed"
    return Change(what=what, sheet=change.sheet, cell=change.cell, label=change.label, was=change.was, now=change.now)


def _labels(returned: Returned, page: Page) -> Iterator[tuple[Label, str, CellData | None]]:
    """Every standing text of a sheet, its cell as it is called now ("" where that is gone), and what stands there."""
    grid, name = returned.grid, page.sheet.name
    rows = next((sheet.rows for sheet in returned.book.sheets if sheet.name == grid.sheets[name]), None)
    if rows is None:
        return
    down, along = grid.shifts(name)
    for label in page.labels():
        row, col = down(label.row), along(label.col)
        if label.kind != TOLD_ELSEWHERE:
            there = min(row, col) >= 0
            yield label, xl(row, col) if there else "", rows.get(row + 1, {}).get(col + 1) if there else None


def _currency(returned: Returned) -> str:
    """The currency that headings were written with: the one that most of them name, whatever is set by now."""
    named: Counter[str] = Counter()
    for page in returned.shipped.pages:
        for label, _, found in _labels(returned, page):
            before, sign, _ = label.written(IN_MONEY, composed=page.sheet.narrow > 0).partition(IN_MONEY)
            text = found.value if found else None
            if sign and isinstance(text, str) and text.startswith(before):
                named[text[len(before) :]] += 1
    return named.most_common(1)[0][0] if named else str(returned.case.about.currency)[:12]


def _whose(label: Label) -> str:
    """What a unit or a note is of."""
    return label.column.title if label.column and label.column.title != label.text else ""
