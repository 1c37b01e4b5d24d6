"""Survey forms that somebody filled in."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import openpyxl

from holdover.returned.form import form_bytes
from holdover.xlsx import read_xlsx

Typed = Mapping[str, Any]


def filled_form(file: Path, about: Typed, loads: Sequence[Typed], offer: Sequence[Sequence[Any]] = ()) -> Path:
    """A form with answers by question, loads by column, and lines of cells pasted below the offers."""
    if not file.exists():
        file.write_bytes(form_bytes("test"))
    names = read_xlsx(file.read_bytes(), file.name).names
    book = openpyxl.load_workbook(file)

    def type_in(name: str, down: int, right: int, value: Any) -> None:
        sheet, area = names[name]
        cell = book[sheet][area.split(":")[0].replace("$", "")].offset(down, right)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"

    for question, value in about.items():
        type_in(f"form_about_{question}", 0, 0, value)
    for i, load in enumerate(loads):
        for field, value in load.items():
            type_in(f"form_loads_{field}", i, 0, value)
    for i, line in enumerate(offer):
        for j, value in enumerate(line):
            type_in("form_offer_a", i, j, value)
    book.save(file)
    return file
