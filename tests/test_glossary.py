"""The glossary of every quantity is printed from its declarations: HOLDOVER_SNAPSHOTS=write renews it."""

import importlib
import inspect
import os
import pkgutil
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import holdover.model
from engines.cases import SAMPLES, sample
from holdover.case.schema import FORMS, RECORDS
from holdover.case.section import unit_of
from holdover.contract import contract
from holdover.model.study import study
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Column, Table
from holdover.workbook.page import lay_out
from holdover.workbook.sheets.words import MEANINGS

PAGE = Path(holdover.__file__).parent / "docs" / "glossary.md"
HEAD = """\
# Glossary

Every quantity by its word: one word has one meaning from the files over the model and the workbook to `show --json`.
`#` stands for a number, `…` for what lies between the first and the last, `[]` for each record of a list; `case.part` is
what was set.

The word of an input is its key in `case.toml` or its header in a table. A sheet's column has a defined name, the word
after the name of its table; where `show --json` gives the same figure, its place ends with the same word.

## Words in plain words

As the sheet Words of a workbook has them.

| word | what it means |
| --- | --- |
$terms

## Quantities
"""
SUFFIXES = {"w": "W", "wh": "Wh", "va": "VA", "v": "V", "a": "A", "c": "°C", "h": "h", "kg": "kg", "km": "km", "deg": "°", "share": "share"}  # fmt: skip
"""Units of figures that stand in no declaration, by the end of their word."""


@dataclass
class Quantity:
    """What is known of a word with a unit, each thing once and in the order found."""

    meanings: dict[str, None] = field(default_factory=dict)
    files: dict[str, None] = field(default_factory=dict)
    sheets: dict[str, None] = field(default_factory=dict)
    places: dict[str, None] = field(default_factory=dict)

    def means(self, title: str, note: str = "") -> None:
        """Take a meaning, unless the same title was taken with more beside it."""
        if not any(meaning.startswith(title) for meaning in self.meanings):
            self.meanings[". ".join(filter(None, (title, note.rstrip("."))))] = None


Glossary = dict[tuple[str, str], Quantity]


def leaves(content: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Every figure of a JSON content with its place, in which [] stands for each record of a list."""
    if isinstance(content, Mapping):
        for key, value in content.items():
            yield from leaves(value, f"{place}.{key}" if place else key)
    elif isinstance(content, list | tuple):
        for value in content:
            yield from leaves(value, f"{place}[]")
    else:
        yield place, content


def collected(pairs: Iterable[tuple[Any, Any]]) -> dict[Any, list[Any]]:
    """The values of each key, in order."""
    found: dict[Any, list[Any]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return found


@cache
def shown() -> tuple[dict[str, list[Any]], ...]:
    """What `show --json` gives of each sample, by place; what was set is known from the schema."""
    told = (contract(study(sample(folder))) for folder in SAMPLES)
    return tuple(collected(leaves({k: v for k, v in each.items() if k != "case"})) for each in told)


@cache
def worked_out() -> tuple[dict[tuple[str, str], list[Any]], ...]:
    """What the model says of each column of each sample's workbook."""
    studies = [study(sample(folder)) for folder in SAMPLES]
    return tuple(
        collected(
            ((cell.table.name, cell.column.name), cell.value)
            for cell in lay_out(sheets_for(each.slots), each)[0].cells(each)
            if not cell.part
        )
        for each in studies
    )


def figures(table: Table, family: Sequence[Column]) -> Iterator[list[Any]]:
    """The figures of a column in each sample; of one that repeats, those of a record stand beside each other."""
    for values in worked_out():
        columns = [values.get((table.name, column.name), []) for column in family]
        yield [value for row in zip(*columns, strict=True) for value in row]


def places_of(word: str, table: Table, family: Sequence[Column]) -> list[str]:
    """Where `show --json` gives a column: its word or its path at the end, and its figures; spare records are not in it."""
    samples = list(zip(shown(), figures(table, family), strict=True))
    path = ends(re.sub(r"^/offers|\b\d+\b|[@#]", "", family[0].path or word)).rstrip("_")
    named = (place for told in shown() for place in told if ends(place).endswith((f"_{word}", path)))
    places = [place for place in dict.fromkeys(named) if place.endswith("[]") == (len(family) > 1)]
    return [p for p in places if all(given[: len(told.get(p, []))] == told.get(p, []) for told, given in samples)]


def ends(place: str) -> str:
    """A place as the word of a column may end it."""
    return "_" + re.sub(r"\W+", "_", place.replace("[]", ""))


def add_inputs(found: Glossary) -> None:
    """What people set, from the schema."""
    for part, section in (FORMS | RECORDS).items():
        for word, info in section.model_fields.items():
            quantity = found.setdefault((word, unit_of(info)), Quantity())
            quantity.means(info.title or word, info.description or "")
            quantity.files[f"{part}.csv" if part in ("loads", "candidates") else f"[{part}]"] = None
            quantity.places[f"case.{part}{'[]' if part in RECORDS else ''}.{word}"] = None


def families() -> Iterator[tuple[str, Table, list[Column]]]:
    """The columns of every table, with their sheet; those that repeat with another number stand together."""
    for sheet in sheets_for(study(sample(SAMPLES[0])).slots):
        for table in sheet.blocks:
            if isinstance(table, Table):
                alike = collected((re.sub(r"\d+", "#", column.name), column) for column in table.columns)
                for family in alike.values():
                    yield from (
                        (sheet.name, table, each)
                        for each in (
                            [family] if len(family) > 2 and not family[0].field else map(list, zip(family, strict=True))
                        )
                    )


def title_of(first: Column, last: Column) -> str:
    """What heads a column, or the first and the last of several."""
    titles = " … ".join(dict.fromkeys((first.title, last.title)))
    if first.group != last.group:
        return f"{first.group}: {first.title} … {last.group}: {last.title}"
    return ": ".join(dict.fromkeys(filter(None, (first.group, titles))))


def add_columns(found: Glossary) -> None:
    """What the workbook shows, from its columns."""
    for sheet, table, family in families():
        first, last = family[0], family[-1]
        if not (title_of(first, last) or first.unit):
            continue  # a sentence of a composed page is no quantity
        word = first.name if first is last else re.sub(r"\d+", "#", first.name)
        quantity = found.setdefault((word, first.unit), Quantity())
        quantity.sheets[sheet] = None
        if first.field is None:
            quantity.means(title_of(first, last) or table.title or f"as the {sheet} sheet says beside it", first.note)
            quantity.places |= dict.fromkeys(places_of(re.sub("_?#", "", word), table, family))


def records() -> Iterator[type[Any]]:
    """Every record of the model."""
    for info in pkgutil.walk_packages(holdover.model.__path__, "holdover.model."):
        module = importlib.import_module(info.name)
        yield from (
            each
            for each in vars(module).values()
            if inspect.isclass(each) and is_dataclass(each) and each.__module__ == module.__name__
        )


def add_the_rest(found: Glossary) -> None:
    """Figures that `show --json` alone gives, told by the records of the model that have them."""
    known = {place for quantity in found.values() for place in quantity.places}
    for place in dict.fromkeys(p for told in shown() for p in told if "." in p and p not in known):
        word = re.findall(r"\w+", place)[-1]
        homes = [each for each in records() if word in {one.name for one in fields(each)}]
        quantity = found.setdefault((word, SUFFIXES.get(word.rsplit("_", 1)[-1], "")), Quantity())
        if not quantity.meanings:
            quantity.meanings |= dict.fromkeys(
                (inspect.getdoc(each) or "").splitlines()[0].rstrip(".") for each in homes
            )
        quantity.places[place] = None


@cache
def glossary() -> Glossary:
    """Every quantity by word and unit."""
    found: Glossary = {}
    for add in (add_inputs, add_columns, add_the_rest):
        add(found)
    return dict(sorted(found.items()))


def row(words: Sequence[str]) -> str:
    """A row of the page's table."""
    return f"| {' | '.join(word.replace('|', chr(92) + '|') for word in words)} |"


def page() -> str:
    """The whole page."""
    heads = ("Word", "Unit", "Meaning", "In files", "On sheets", "In `show --json`")
    lines = [row(heads), row(["---"] * len(heads))]
    for (word, unit), quantity in glossary().items():
        files, places = ([f"`{each}`" for each in found] for found in (quantity.files, quantity.places))
        lines.append(
            row(
                (
                    f"`{word}`",
                    unit,
                    " / ".join(quantity.meanings),
                    ", ".join(files),
                    ", ".join(quantity.sheets),
                    ", ".join(places),
                )
            )
        )
    terms = "\n".join(f"| {word} | {meaning} |" for word, meaning in MEANINGS)
    return f"{HEAD.replace('$terms', terms)}\n" + "\n".join(lines) + "\n"


def test_the_page_is_what_the_declarations_say() -> None:
    """The page is printed from the schema, the columns and `show --json`, and nothing stands in it besides."""
    text = page()
    if os.environ.get("HOLDOVER_SNAPSHOTS") == "write":
        PAGE.write_text(text, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == text, "renew it with HOLDOVER_SNAPSHOTS=write, and read the change"


def test_every_quantity_says_what_it_is_and_where_it_stands() -> None:
    """No quantity is without a meaning; each stands in a file, on a sheet or in `show --json`."""
    assert len(glossary()) > 300
    for word, quantity in glossary().items():
        assert any(quantity.meanings), word
        assert quantity.files or quantity.sheets or quantity.places, word


def test_every_figure_of_show_json_is_in_it() -> None:
    """Each place of `show --json` belongs to a quantity, and most are figures of a sheet."""
    told = {place for quantity in glossary().values() for place in quantity.places}
    places = {place for each in shown() for place in each if "." in place}
    assert places <= told
    on_sheets = {place for quantity in glossary().values() if quantity.sheets for place in quantity.places}
    assert len(places & on_sheets) > 0.8 * len(places)


@pytest.mark.parametrize(
    ("word", "unit", "sheet", "place"),
    [
        ("running_w", "W", "Load", "case.loads[].running_w"),
        ("peak_starting_w", "W", "Daily energy", "demand.peak_starting_w"),
        ("running_margin", "W", "By candidate", "candidates[].fit.running.margin"),
    ],
)
def test_some_quantities_are_where_they_are_known_to_be(word: str, unit: str, sheet: str, place: str) -> None:
    """A figure is found by its word and its values, on its sheet and in `show --json`."""
    found = glossary()[word, unit]
    assert sheet in found.sheets
    assert place in found.places
