"""A case as its folder of files, in one spelling: what was set, in the schema's order, so that a diff shows the edits.

A table that a spreadsheet opens must not compute: a text that begins like a formula gets an apostrophe before it,
which the reader of tables takes off again. Blank rows between others are closed up; nothing depends on them.
"""

import csv
import io
import json
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from holdover.case.figures import exact
from holdover.case.schema import FORMS, RECORDS, SCHEMA, Case
from holdover.case.section import Section, is_blank, is_needed
from holdover.reading.beside import outside
from holdover.reading.table.totals import names_total
from holdover.reading.toml import CASE_FILE
from holdover.workbook.save import write_folder

FORMULA: Final = re.compile(r"'*[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]")
"""Beginnings that a spreadsheet program would take for a formula, with apostrophes before them or not.

The full-width = + - @ are such signs, too, to a program in an East Asian language."""
PICTURE: Final = re.compile(r"[^/.][^/]*\.(png|jpe?g)", re.IGNORECASE)
"""Names that a logo may have."""
LISTED: Final = {"months": "monthly", "days": "daily"}
"""Parts that are written as a list for each field."""


def write_case(case: Case, folder: Path) -> list[str]:
    """Write a case as a folder, which must be new or empty.

    Raises:
        NotWritten: the folder holds something already, or can't be written to.
    """
    files = {name: text.encode() for name, text in case_files(case).items()}
    logo = case.business.logo
    # Where a file goes is no workbook's to say: its name is taken if it is the bare one of a picture.
    if case.logo and PICTURE.fullmatch(logo) and not outside(logo):
        files[logo] = case.logo.data
    write_folder(folder, files)
    return list(files)


def case_files(case: Case) -> dict[str, str]:
    """The text of each file of a case's folder, by name."""
    rows = {part: [row for row in getattr(case, part) if not is_blank(row)] for part in ("loads", "candidates")}
    inside = [part for part, filled in rows.items() if any(map(_looks_like_total, filled))]
    blocks = [f"[[{part}]]\n" + "\n".join(_keys(row)) for part in inside for row in rows[part]]
    return {
        CASE_FILE: "\n\n".join([*_toml(case), *blocks]) + "\n",
        **{
            f"{part}.csv": _csv(RECORDS[part], filled) for part, filled in rows.items() if filled and part not in inside
        },
    }


def _looks_like_total(row: Section) -> bool:
    """Whether a reader of tables would take the row for one that adds up the others; in the case file it can't."""
    return any(names_total(value) for _, value in row if isinstance(value, str))


def _toml(case: Case) -> Iterator[str]:
    """The paragraphs of the case file."""
    head = [f'schema = "{SCHEMA}"']
    if all(map(is_blank, case.points)):
        head.append("points = []")
    yield "\n".join(head)
    for part in Case.model_fields:
        value = getattr(case, part)
        if part in FORMS:
            lines = [
                f"{name} = {_literal(getattr(value, name))}"
                for name in FORMS[part].model_fields
                if _is_set(value, name)
            ]
            if lines:
                yield "\n".join([f"[{part}]", *lines])
        elif part in LISTED and value != Case.model_fields[part].default:
            yield "\n".join([f"[{LISTED[part]}]", *_lists(RECORDS[part], value)])
        elif part in RECORDS and part not in {"loads", "candidates"} and value != Case.model_fields[part].default:
            last = max((i for i, row in enumerate(value) if not is_blank(row)), default=-1)
            for row in value[: last + 1]:
                yield "\n".join([f"[[{part}]]", *_keys(row)])


def _is_set(section: Section, name: str) -> bool:
    """Whether a setting says anything that its absence would not."""
    return name in section.model_fields_set and getattr(section, name) not in (None, "")


def _keys(row: Section) -> list[str]:
    return [f"{name} = {_literal(value)}" for name, value in row if value not in (None, "")]


def _lists(section: type[Section], rows: Sequence[Section]) -> list[str]:
    """A list for each field that any row fills; a blank is an empty text."""
    filled = [name for name in section.model_fields if any(getattr(row, name) is not None for row in rows)]
    return [
        f"{name} = [{', '.join(_literal(getattr(row, name)) for row in rows)}]"
        for name in filled or list(section.model_fields)[:1]
    ]


def _literal(value: float | str | None) -> str:
    """A value as TOML has it."""
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return '""' if value is None else _number(value)


def _number(value: float) -> str:
    """A number with no more digits than it has."""
    return str(int(value)) if value == int(value) else exact(value)


def _csv(section: type[Section], rows: Sequence[Section]) -> str:
    """A table of the columns that any row fills, and of those without which none can be read."""
    columns = [
        name
        for name, info in section.model_fields.items()
        if is_needed(info) or any(getattr(row, name) not in (None, "") for row in rows)
    ]
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(columns)
    table.writerows([_field(getattr(row, name)) for name in columns] for row in rows)
    return out.getvalue()


def _field(value: Any) -> str:
    """A value as a cell of a table; three decimals get a fourth, lest the point be read as one between thousands."""
    if isinstance(value, str):
        return f"'{value}" if FORMULA.match(value) else value
    if value is None:
        return ""
    text = _number(value)
    return f"{text}0" if re.fullmatch(r"-?[0-9]{1,3}\.[0-9]{3}", text) else text
