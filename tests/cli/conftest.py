"""Cases, workbooks and edits that the commands are tried on; no test changes one that others share."""

from pathlib import Path

import openpyxl
import pytest

import holdover.model.study
import holdover.workbook.book
import holdover.workbook.save
from cli.running import BROKEN, NASTY, UNITS, ran


@pytest.fixture(scope="session")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A case folder as `new` writes it."""
    folder = tmp_path_factory.mktemp("cli") / "house"
    assert ran("new", folder).code == 0
    return folder


@pytest.fixture(scope="session")
def built(house: Path) -> Path:
    """The workbook of that case, which no test changes."""
    target = house.parent / "built.xlsx"
    assert ran("build", house, "-o", target).code == 0
    return target


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """For tests of where a file goes, not of what is in it: the workbook takes no time to compute."""
    monkeypatch.setattr(holdover.workbook.book, "build", lambda *_, **__: b"new")


@pytest.fixture(scope="session")
def edits(built: Path) -> dict[str, Path]:
    """Copies of the workbook: one with an input changed, one with a formula overwritten by a number."""
    book = openpyxl.load_workbook(built)
    sheet, cell = book.defined_names["load_running_w"].attr_text.split("!")
    first = book[sheet.strip("'")][cell.split(":")[0].replace("$", "")]
    was, first.value = first.value, 155
    assert was == 150
    book.save(built.with_name("input.xlsx"))
    first.value = was
    sheet, cell = book.defined_names["demand_energy_wh"].attr_text.split("!")
    total = book[sheet.strip("'")][cell.replace("$", "")]
    assert str(total.value).startswith("=")
    total.value = 1
    book.save(built.with_name("formula.xlsx"))
    return {name: built.with_name(f"{name}.xlsx") for name in ("input", "formula")}


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A case with two mistakes."""
    (tmp_path / "case.toml").write_text('[about]\ntitle = "x"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(BROKEN, encoding="utf-8")
    return tmp_path


@pytest.fixture
def nasty(tmp_path: Path) -> Path:
    """A case whose names would act on a terminal."""
    folder = tmp_path / "nasty"
    folder.mkdir()
    text = '[about]\ntitle = "Ümläut \\u202e \\u001b[31m 🏠"\ncurrency = "€"\n'
    (folder / "case.toml").write_text(text, encoding="utf-8")
    (folder / "loads.csv").write_text(NASTY, encoding="utf-8")
    (folder / "candidates.csv").write_text(UNITS, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def beside(built: Path) -> Path:
    """A copy of the workbook with a line typed right below its loads."""
    book = openpyxl.load_workbook(built)
    sheet, area = book.defined_names["load_name"].attr_text.split("!")
    book[sheet.strip("'")].cell(int(area.rsplit("$", 1)[1]) + 1, 1).value = "Stray lamp"
    book.save(built.with_name("beside.xlsx"))
    return built.with_name("beside.xlsx")
