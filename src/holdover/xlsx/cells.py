"""The cells of one sheet of a workbook from elsewhere."""

import math
import re
from dataclasses import dataclass
from datetime import datetime, time
from functools import lru_cache
from typing import Final, Literal, NamedTuple, NoReturn

from holdover.xlsx.archive import AGAIN, SMALLER, BadFile
from holdover.xlsx.shared import MAX_COLUMN, MAX_ROW, Moved, SharedFormula, column_letters, column_number
from holdover.xlsx.stream import MAIN, MAX_ATTRIBUTES, MAX_DEPTH, MAX_TEXT, Budget, Closes, Opens, Part, is_on

MAX_ROWS: Final = 20_000
"""Last row that may hold something."""
MAX_COLUMNS: Final = 1_700
"""Last column that may hold something; hours of 220 candidates beside each other take 1,552."""
MAX_MERGED: Final = 20_000
DAYS_TO_1904: Final = 1_462.0
"""Days between the two days from which workbooks count."""

DIGITS: Final = "0123456789"
LETTERS: Final = re.compile(r"[A-Z]{1,3}")
AREA: Final = re.compile(r"([A-Z]{1,3})([0-9]{1,7})(?::([A-Z]{1,3})([0-9]{1,7}))?")
ESCAPE: Final = re.compile(r"_x([0-9A-Fa-f]{4})_")
MAX_DIGITS: Final = 100

ROW: Final = MAIN + "row"
C: Final = MAIN + "c"
V: Final = MAIN + "v"
F: Final = MAIN + "f"
T: Final = MAIN + "t"
RPH: Final = MAIN + "rPh"
MERGE: Final = MAIN + "mergeCell"
COL: Final = MAIN + "col"
PROTECTION: Final = MAIN + "sheetProtection"
VALIDATION: Final = "dataValidation"
LOOK: Final = "conditionalFormatting"
LATER: Final = "http://schemas.microsoft.com/office/spreadsheetml/2009/9/main "
"""Rules that name other sheets are written apart, their areas as text."""
SQREF: Final = "http://schemas.microsoft.com/office/excel/2006/main sqref"

Area = tuple[int, int, int, int]
"""First row, first column, last row, last column, counted from 1."""
Kind = Literal["number", "text", "bool", "error", "date", "blank"]
Value = str | float | bool | None


class CellData(NamedTuple):
    """What a cell holds: value (of a formula the stored result), whatever says its formula or "", and kind.

    A date's value is its serial number, days since 1899-12-30. A formula without a stored result is blank.
    """

    value: Value
    worked_out: str | Moved
    kind: Kind
    percent: bool = False
    """Whether a number is shown as a percentage: 0.35 as 35 %."""

    @property
    def formula(self) -> str:
        """The formula with its =, or ""."""
        return str(self.worked_out)


@dataclass(frozen=True, slots=True)
class SheetData:
    """A sheet: its cells by row and column, counted from 1; cells that hold nothing are left out."""

    name: str
    hidden: bool
    rows: dict[int, dict[int, CellData]]
    hidden_rows: frozenset[int]
    merged: tuple[Area, ...]
    hidden_columns: tuple[tuple[int, int], ...] = ()
    """Columns that are not shown: first and last of each run."""
    protected: bool = False
    """Whether its locked cells can't be typed into."""
    validated: tuple[Area, ...] = ()
    """Areas in which not everything may be typed."""
    formatted: tuple[Area, ...] = ()
    """Areas of which the look depends on what stands there."""
    charts: tuple[tuple[int, int], ...] | None = ()
    """Row and column in which each chart begins; None where that can't be told."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """What the cells of all sheets refer to."""

    strings: list[str]
    dates: frozenset[str]
    """Formats that show a date, by their place in the list of formats as cells write it."""
    percents: frozenset[str]
    """Formats that show a percentage."""
    shift: float
    """Days to add where the workbook counts from 1904."""


def unescaped(text: str) -> str:
    """Text with its `_x000D_` escapes decoded; half characters become U+FFFD."""
    return ESCAPE.sub(_character, text) if "_x" in text else text


def _index(text: str) -> int:
    """A whole number from 0 on; -1 if the text is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else -1


@lru_cache(maxsize=1024)
def column_of(letters: str) -> int:
    """Number of a column from its letters; 0 if they are none of the grid's."""
    number = column_number(letters) if LETTERS.fullmatch(letters) else 0
    return number if number <= MAX_COLUMN else 0


def _character(match: re.Match[str]) -> str:
    code = int(match[1], 16)
    return "\ufffd" if 0xD800 <= code <= 0xDFFF else chr(code)


class SheetPart(Part):
    """Hears the tags of a sheet and keeps its cells."""

    def __init__(self, title: str, shelf: Shelf, budget: Budget) -> None:
        super().__init__(budget)
        self.title = title
        self.shelf = shelf
        self.rows: dict[int, dict[int, CellData]] = {}
        self.hidden_rows: set[int] = set()
        self.merged: list[Area] = []
        self.hidden_columns: list[tuple[int, int]] = []
        self.protected = False
        self.validated: list[Area] = []
        self.formatted: list[Area] = []
        self.ruled = self.formatted
        """The areas to which those of the rule at hand belong."""
        self.shared: dict[str, SharedFormula] = {}
        self.row = 0
        self.digits = ""
        """The row's number, with which the names of its cells end."""
        self.at = ""
        """The cell at hand, "" before the first of a row."""
        self.format: str | None = None
        self.type = ""
        self.in_cell = False
        self.stored: str | None = None
        self.runs: list[str] = []  # of a text within the cell
        self.formula = ""
        self.formula_is: dict[str, str] | None = None
        self.reading_aid = False

    def sheet(self, *, hidden: bool) -> SheetData:
        """The sheet, once it was heard."""
        return SheetData(
            name=self.title,
            hidden=hidden,
            rows=self.rows,
            hidden_rows=frozenset(self.hidden_rows),
            merged=tuple(self.merged),
            hidden_columns=tuple(self.hidden_columns),
            protected=self.protected,
            validated=tuple(self.validated),
            formatted=tuple(self.formatted),
        )

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {
            ROW: self.open_row,
            RPH: self._open_aid,
            MERGE: self._merge,
            COL: self._col,
            PROTECTION: self._protection,
            MAIN + VALIDATION: self._validation,
            MAIN + LOOK: self._look,
            LATER + VALIDATION: self._validation,
            LATER + LOOK: self._look,
        }

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {
            T: self._close_text,
            RPH: self._close_aid,
            SQREF: self._close_areas,
        }

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """A tag opens; those of cells are heard right here, since they are most."""
        self.depth += 1
        if self.depth > MAX_DEPTH or len(attributes) > MAX_ATTRIBUTES:
            self.refuse_shape()
        self.words.clear()
        if name == C:
            at = attributes.get("r")
            self.at = f"{column_letters(self.column + 1)}{self.row}" if at is None else at
            self.in_cell = True
            self.type = attributes.get("t", "n")
            self.format = attributes.get("s")
            self.stored = self.formula_is = None
            self.runs, self.formula = [], ""
        elif name == F and self.in_cell:
            self.formula_is = attributes
        elif hears := self.opening.get(name):
            hears(attributes)

    def end(self, name: str) -> None:
        """A tag closes."""
        self.depth -= 1
        if name == V:
            self.stored = "".join(self.words)
        elif name == F:
            self.formula = "".join(self.words)
        elif name == C:
            self.in_cell = False
            self._close_cell()
        elif hears := self.closing.get(name):
            hears()

    def _open_aid(self, _: dict[str, str]) -> None:
        self.reading_aid = True

    def _close_text(self) -> None:
        if not self.reading_aid:
            self.runs.append(self.heard())

    def _close_aid(self) -> None:
        self.reading_aid = False

    def open_row(self, attributes: dict[str, str]) -> None:
        """A row opens."""
        at = attributes.get("r")
        number = self.row + 1 if at is None else _index(at)
        self.begin_row(number, is_hidden=is_on(attributes.get("hidden")))

    def begin_row(self, number: int, *, is_hidden: bool) -> None:
        """A row of that number begins."""
        self.row, self.digits, self.at = number, str(number), ""
        if not 1 <= number <= MAX_ROW:
            raise BadFile(f"{self._where()} is damaged: it has a row outside of the grid.", AGAIN)
        if is_hidden and number <= MAX_ROWS:
            self.hidden_rows.add(number)

    @property
    def column(self) -> int:
        """Number of the column of the cell at hand, 0 before the first of a row."""
        if not self.at:
            return 0
        letters = self.at.rstrip(DIGITS)
        column, digits = column_number(letters) if LETTERS.fullmatch(letters) else 0, self.at[len(letters) :]
        if not column or not 0 < len(digits) < 8 or int(digits) != self.row:
            raise BadFile(f"{self._where()} is damaged: a cell of row {self.row} has an odd place.", AGAIN)
        if not self.row or column > MAX_COLUMN:
            raise BadFile(f"{self._where()} is damaged: it has a cell outside of the grid.", AGAIN)
        return column

    def _close_cell(self) -> None:
        self.budget.spend_cell()
        stored, about = self.stored, self.formula_is
        if stored is None and about is None and not self.runs:
            return
        column = column_of(self.at.removesuffix(self.digits)) or self.column
        kept = len(self.formula) + len(stored or "")
        self.budget.spend_text(kept)  # its runs are paid for
        if kept + sum(map(len, self.runs)) > MAX_TEXT:
            self._refuse(f"holds a text of more than {MAX_TEXT:,} characters", SMALLER)
        formula = "" if about is None else self.formula_of(about, column)
        value, kind = self.value_of(stored)
        if kind == "blank" and not formula:
            return
        if self.row > MAX_ROWS or column > MAX_COLUMNS:
            self._refuse(f"lies beyond row {MAX_ROWS:,} or column {MAX_COLUMNS}", SMALLER)
        cells = self.rows.setdefault(self.row, {})
        if column in cells:
            self._refuse("is there twice")
        cells[column] = CellData(value, formula, kind, kind == "number" and self.format in self.shelf.percents)

    def formula_of(self, about: dict[str, str], column: int) -> str | Moved:
        """The formula of the cell at hand, of which these are the attributes, and its column."""
        if about.get("t") == "dataTable":
            return f"=TABLE({about.get('r1', '')},{about.get('r2', '')})"
        number = about.get("si")
        if about.get("t") != "shared" or number is None:
            return "=" + self.formula if self.formula else ""
        if self.formula:
            self.shared[number] = SharedFormula(self.formula, self.row, column)
            return "=" + self.formula
        written = self.shared.get(number)
        if written is None:
            self._refuse("refers to a formula that is not there")
        self.budget.spend_moved(len(written.text), len(written.moving))
        return Moved(written, self.row, column)

    def value_of(self, stored: str | None) -> tuple[Value, Kind]:
        """What the cell at hand holds, None where no value is written."""
        kind = self.type
        if kind == "n" and stored:
            number = self.number_of(stored)
            is_date = self.format in self.shelf.dates
            return (number + self.shelf.shift, "date") if is_date else (number, "number")
        if kind == "inlineStr":
            inline = "".join(self.runs)
            return (unescaped(inline), "text") if inline else (None, "blank")
        if stored is None or (stored == "" and kind != "str"):
            return None, "blank"
        if kind == "s":
            return self.string_of(stored), "text"
        if kind == "str":
            return unescaped(stored), "text"
        if kind == "b":
            if stored not in ("0", "1", "true", "false"):
                self._refuse("is neither true nor false")
            return is_on(stored), "bool"
        if kind == "e":
            return stored, "error"
        if kind != "d":
            self._refuse("is of an unknown kind")
        return self._iso_date(stored), "date"

    def string_of(self, stored: str) -> str:
        """The text that is meant by its number in the list of texts."""
        index = _index(stored)
        if not 0 <= index < len(self.shelf.strings):
            self._refuse("refers to a text that is not there")
        return self.shelf.strings[index]

    def number_of(self, stored: str) -> float:
        """A number as it is written."""
        try:
            number = float(stored)
        except ValueError:
            self._refuse("holds a number that cannot be read")
        if len(stored) > MAX_DIGITS or not stored.isascii() or "_" in stored or "n" in stored.lower():
            self._refuse("holds a number that cannot be read")  # what Python takes for one, but no workbook
        if not math.isfinite(number):
            self._refuse("holds a number that is too large")
        return number

    def _iso_date(self, stored: str) -> float:
        try:
            if stored[:3].endswith(":"):
                at = time.fromisoformat(stored)
                return (at.hour * 3600 + at.minute * 60 + at.second) / 86_400
            day = datetime.fromisoformat(stored).replace(tzinfo=None)
        except ValueError:
            self._refuse("holds a date that cannot be read")
        passed = day - datetime(1899, 12, 30)
        return passed.days + passed.seconds / 86_400

    def _merge(self, attributes: dict[str, str]) -> None:
        match = AREA.fullmatch(attributes.get("ref", "").replace("$", ""))
        if match is None or len(self.merged) >= MAX_MERGED:
            raise BadFile(f"{self._where()} has an unreadable merged area, or too many.", AGAIN)
        first = int(match[2]), column_number(match[1])
        last = (int(match[4]), column_number(match[3])) if match[3] else first
        self.merged.append((*first, *last))

    def _col(self, attributes: dict[str, str]) -> None:
        first, last = _index(attributes.get("min", "")), _index(attributes.get("max", ""))
        if is_on(attributes.get("hidden")) and 1 <= first <= last and len(self.hidden_columns) < MAX_COLUMNS:
            self.hidden_columns.append((first, last))

    def _protection(self, attributes: dict[str, str]) -> None:
        self.protected = is_on(attributes.get("sheet"))

    def _validation(self, attributes: dict[str, str]) -> None:
        self.ruled = self.validated if attributes.get("type", "none") != "none" else []
        self._areas(attributes.get("sqref", ""))

    def _look(self, attributes: dict[str, str]) -> None:
        self.ruled = self.formatted
        self._areas(attributes.get("sqref", ""))

    def _close_areas(self) -> None:
        self._areas(self.heard())

    def _areas(self, text: str) -> None:
        """The areas of a rule; one that can't be read is left out."""
        self.budget.spend_areas(text.count(" ") + 1)
        for each in text.split():
            if match := AREA.fullmatch(each):
                first = int(match[2]), column_number(match[1])
                last = (int(match[4]), column_number(match[3])) if match[3] else first
                self.ruled.append((*first, *last))

    def _where(self) -> str:
        return f"Sheet {self.title} of {self.name}"

    def _refuse(self, what: str, remedy: str = AGAIN) -> NoReturn:
        raise BadFile(f"{self._where()}: the cell in row {self.row}, column {self.column} {what}.", remedy)
