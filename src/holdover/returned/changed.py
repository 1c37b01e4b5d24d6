"""Inputs of a returned workbook that are not those of a case; rows that were sorted are told as such, not cell by cell."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from holdover.case.schema import FORMS, RECORDS, Case
from holdover.case.section import Section, is_blank
from holdover.returned.compare import Change, Value, label_of
from holdover.returned.read import ADDED, Returned, Spot

PAPER: Final = ("about", "business", "offer", "items", "terms", "calls")
"""Parts that say what stands on paper: nothing in them changes what is advised, so they are told last."""
ON_ITS_OWN: Final = 3
"""From so many cells on, a column in another order is told as one change [count]."""
ANOTHER_ORDER: Final = "in another order"
AS_BLANK: Final = "the file counts it as blank"

Spots = Mapping[tuple[str, int, str], Spot]
Pairs = list[tuple[int | None, int | None]]
"""Places of rows, from 0, in the case and in the workbook; None where one has no such row."""


@dataclass(frozen=True, slots=True)
class _Rows:
    """A part of a case that is rows, as it was and as it is."""

    part: str
    old: tuple[Section, ...]
    new: tuple[Section, ...]

    def pair(self, was: int | None, now: int | None) -> tuple[Section, Section]:
        """The two rows of a pair, a blank one where there is none."""
        blank = RECORDS[self.part]()
        return (
            self.old[was] if was is not None and was < len(self.old) else blank,
            self.new[now] if now is not None and now < len(self.new) else blank,
        )

    def differing(self, pairs: Pairs) -> int:
        """How many cells differ where rows are so paired [count]."""
        return sum(
            _given(old, name, self.part) != _given(new, name, self.part)
            for old, new in (self.pair(*pair) for pair in pairs)
            for name in RECORDS[self.part].model_fields
        )

    def by_name(self) -> Pairs:
        """Rows paired by their names, wherever they stand; none where two have the same, or one has none."""
        places = []
        for rows in (self.old, self.new):
            names = [str(getattr(row, "name", "")).casefold() for row in rows]
            if any(not name and not is_blank(row) for name, row in zip(names, rows, strict=True)):
                return []
            places.append({name: i for i, name in enumerate(names) if name})
            if len(places[-1]) < sum(map(bool, names)):
                return []
        old, new = places
        return [
            *((old.get(name), i) for name, i in new.items()),
            *((i, None) for name, i in old.items() if name not in new),
        ]

    def ordered_by(self) -> str:
        """What the rows, which are the same as before, were sorted by; "" if by no column."""
        rows = [row for row in self.new if not is_blank(row)]
        before = [row for row in self.old if not is_blank(row)]
        for name, info in RECORDS[self.part].model_fields.items():
            if _is_sorted(rows, name) and not _is_sorted(before, name):
                return str(info.title)
        return ""


def input_changes(returned: Returned, against: Case) -> Iterator[Change]:
    """Inputs that are not those of a case: first those on which the advice may depend, then those of the paper."""
    now, spots = returned.counted, returned.by_count
    for part in sorted(Case.model_fields, key=lambda part: part in PAPER):
        if part in FORMS:
            yield from _fields(returned, spots, part, getattr(against, part), getattr(now, part))
        elif part in RECORDS:
            yield from _row_changes(returned, spots, _Rows(part, getattr(against, part), getattr(now, part)))
    for (part, record, name), spot in returned.spots.items():
        rows = getattr(returned.case, part) if spot.counted == ADDED else ()
        if record < len(rows) and getattr(rows[record], name) not in (None, ""):
            sheet, label = returned.grid.sheets[spot.home], label_of(part, record, name, rows[record])
            value = _as_typed(getattr(rows[record], name), spot)
            yield Change(what="added", sheet=sheet, cell=spot.cell, label=label, now=value)


def _row_changes(returned: Returned, spots: Spots, rows: _Rows) -> Iterator[Change]:
    """The differences of a part's rows, held against those in their places, or of their names if that leaves fewer."""
    pairs: Pairs = [(i, i) for i in range(max(len(rows.old), len(rows.new)))]
    typed = any(part == rows.part for part, _, _ in returned.blank_by_count)
    differing = rows.differing(pairs)
    if not (differing or typed):
        return
    first = spots.get((rows.part, 0, next(iter(RECORDS[rows.part].model_fields))))
    sheet, cell = (returned.grid.sheets[first.home], first.cell) if first else ("", "")
    before, after = ([told for row in each if (told := _told(row))] for each in (rows.old, rows.new))
    if Counter(before) == Counter(after) and not typed:
        by = rows.ordered_by()
        how = f"were sorted by {by}" if by else "stand in other rows" if before == after else f"stand {ANOTHER_ORDER}"
        yield Change(what=f"the same {rows.part} {how}", sheet=sheet, cell=cell)
        return
    named = rows.by_name()
    if named and rows.differing(named) < differing:
        pairs = named
        kept = [was for was, now in pairs if was is not None and now is not None]
        if kept != sorted(kept):
            yield Change(what=f"the {rows.part} stand {ANOTHER_ORDER}", sheet=sheet, cell=cell)
    yield from _paired(returned, spots, rows, pairs)


def _paired(returned: Returned, spots: Spots, rows: _Rows, pairs: Pairs) -> Iterator[Change]:
    """The differences between paired rows; a column whose values only changed places is told in one."""
    changes: list[tuple[str, Change]] = []
    for was, now in pairs:
        old, new = rows.pair(was, now)
        if now is None:
            changes.append(
                ("", Change(what="the row is gone", sheet="", label=f"{getattr(old, 'name', '')}, {rows.part}"))
            )
            continue
        for name in RECORDS[rows.part].model_fields:
            changes += ((name, change) for change in _field(returned, spots, (rows.part, now, name), old, new))
    by_column: dict[str, list[Change]] = {}
    for name, change in changes:
        by_column.setdefault(name, []).append(change)
    swapped = {name for name, those in by_column.items() if name and _changed_places(those)}
    for name in swapped:
        first, title = by_column[name][0], str(RECORDS[rows.part].model_fields[name].title)
        what = "the same values of this column stand beside other rows than before"
        yield Change(what=what, sheet=first.sheet, cell=first.cell, label=title)
    yield from (change for name, change in changes if name not in swapped)


def _changed_places(changes: Sequence[Change]) -> bool:
    """Whether cells of a column hold the values that others of them held."""
    before, after = (
        Counter(str(value) for value in values) for values in zip(*((c.was, c.now) for c in changes), strict=True)
    )
    return len(changes) >= ON_ITS_OWN and before == after


def _fields(returned: Returned, spots: Spots, part: str, old: Section, new: Section) -> Iterator[Change]:
    """The differences of a form."""
    for name in FORMS[part].model_fields:
        yield from _field(returned, spots, (part, 0, name), old, new)


def _field(returned: Returned, spots: Spots, at: tuple[str, int, str], old: Section, new: Section) -> Iterator[Change]:
    """The difference of one input, if there is one."""
    part, record, name = at
    was, now = (_given(section, name, part) for section in (old, new))
    typed = returned.blank_by_count.get(at)
    if was == now and typed is None:
        return
    spot = spots.get(at)
    yield Change(
        what="" if typed is None else AS_BLANK,
        sheet=returned.grid.sheets[spot.home] if spot else "",
        cell=spot.cell if spot else "",
        label=label_of(part, record, name, new if getattr(new, "name", "") else old),
        was=_as_typed(was, spot),
        now=_as_typed(now, spot) if typed is None else typed,
    )


def _given(section: Section, name: str, part: str) -> Value:
    """What is typed: of a setting that was not set nothing is."""
    value: Value = getattr(section, name)
    return None if value == "" or (part in FORMS and name not in section.model_fields_set) else value


def _told(row: Section) -> str:
    """All that a row says."""
    return "" if is_blank(row) else repr([None if value == "" else value for _, value in row])


def _is_sorted(rows: Sequence[Section], name: str) -> bool:
    """Whether rows rise, or fall, by a column that is not the same all along; blank cells apart."""
    values = [value for row in rows if (value := getattr(row, name)) not in (None, "")]
    keys = [value.casefold() if isinstance(value, str) else value for value in values]
    if len(set(keys)) < 2:
        return False
    return any(all(one <= other for one, other in pairwise(line)) for line in (keys, keys[::-1]))


def _as_typed(value: Value, spot: Spot | None) -> Value:
    """A value of the case in the unit in which it is typed."""
    shown = spot.column.shown if spot else None
    return shown.shown(value) if shown and isinstance(value, int | float) else value
