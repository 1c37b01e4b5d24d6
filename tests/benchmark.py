"""Speed as ratios in one run: `python tests/benchmark.py`. No test times anything; this script prints figures.

1. `holdover --help` against the `--help` of a typer application of one command.
2. `build` of a sample against writing the same cells straight with XlsxWriter, and what each stage takes.
3. How size, build and recalculation grow with candidates and with loads.
4. How lean the workbook is, each figure beside its goal: formulas, size, by sheet, how far one price reaches, and what
   LibreOffice takes to load, recalculate and save it, against the same workbook with a trivial formula in each cell.
"""

import io
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import xlsxwriter

from engines.circles import graph_of, reached
from engines.engines import libreoffice
from holdover.case.schema import Case
from holdover.model.study import study
from holdover.returned.read import read_any
from holdover.workbook.book import build, sheets_for
from holdover.workbook.page import lay_out

ROOT = Path(__file__).resolve().parents[1]
MINIMAL = """
import typer
app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
@app.command()
def hello(name: str) -> None:
    typer.echo(name)
app()
"""


def best(work: Callable[[], object], times: int) -> float:
    """Shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def help_ratio() -> None:
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "minimal.py"
        script.write_text(MINIMAL)
        commands = {"minimal typer app": [sys.executable, str(script)], "holdover": [sys.executable, "-m", "holdover"]}
        times: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(15):
            for name, command in commands.items():
                start = time.perf_counter()
                subprocess.run([*command, "--help"], check=True, capture_output=True)
                times[name].append(time.perf_counter() - start)
    floor, ours = (statistics.median(times[name]) for name in commands)
    print(f"--help: minimal typer app {floor * 1000:.0f} ms, holdover {ours * 1000:.0f} ms, ratio {ours / floor:.2f}")


def raw(case: Case) -> Callable[[], object]:
    """The same cells, written straight."""
    worked_out = study(case)
    grid, _ = lay_out(sheets_for(worked_out.slots), worked_out)
    cells = list(grid.cells(worked_out))
    names = [sheet.name for sheet in sheets_for(worked_out.slots)]

    def write() -> None:
        book = xlsxwriter.Workbook(io.BytesIO(), {"in_memory": True})
        sheets = {name: book.add_worksheet(name) for name in names}
        for cell in cells:
            sheet = sheets[cell.sheet]
            if cell.formula:
                sheet.write_formula(cell.row, cell.col, cell.formula, None, cell.value)
            elif isinstance(cell.value, str):
                sheet.write_string(cell.row, cell.col, cell.value)
            elif cell.value is not None:
                sheet.write_number(cell.row, cell.col, cell.value)
        book.close()

    print(f"cells: {len(cells)}, of them formulas: {sum(bool(c.formula) for c in cells)}")
    return write


def build_ratio(path: Path) -> Case:
    case, *_ = read_any(path)
    assert case is not None
    floor = best(raw(case), 5)
    worked_out = study(case)
    computed = best(lambda: study(case), 5)
    whole = best(lambda: build(study(case), version="benchmark"), 5)
    written = best(lambda: build(worked_out, version="benchmark"), 5)
    read = best(lambda: read_any(path), 5)
    print(
        f"build of {path.name}: read {read * 1000:.0f} ms, compute {computed * 1000:.0f} ms, write {written * 1000:.0f} ms; "
        f"the same cells straight with XlsxWriter {floor * 1000:.0f} ms; ratio {whole / floor:.2f}"
    )
    return case


def growth(case: Case) -> None:
    print("candidates  loads  formulas     kB  compute ms  write ms")
    for candidates, loads in ((1, 20), (6, 20), (14, 20), (30, 20), (6, 100), (6, 200), (6, 400)):
        units = (case.candidates * (candidates // len(case.candidates) + 1))[:candidates]
        grown = case.model_copy(
            update={"candidates": units, "loads": (case.loads * (loads // len(case.loads) + 1))[:loads]}
        )
        start = time.perf_counter()
        worked_out = study(grown)
        middle = time.perf_counter()
        data = build(worked_out, version="benchmark")
        end = time.perf_counter()
        grid, _ = lay_out(sheets_for(worked_out.slots), worked_out)
        formulas = sum(bool(cell.formula) for cell in grid.cells(worked_out))
        print(
            f"{candidates:10}  {loads:5}  {formulas:8}  {len(data) // 1000:5}  {(middle - start) * 1000:10.0f}  {(end - middle) * 1000:8.0f}"
        )


def lean(case: Case) -> None:
    """Formulas, size, and how far a price reaches, each beside its goal; formulas and size by sheet."""
    made = study(case)
    data = build(made, version="benchmark")
    sheets = sheets_for(made.slots)
    grid, _ = lay_out(sheets, made)
    cells = list(grid.cells(made))
    by_sheet = Counter(cell.sheet for cell in cells if cell.formula)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        sizes = [book.getinfo(f"xl/worksheets/sheet{i}.xml") for i in range(1, len(sheets) + 1)]
    prices = grid.tables["candidates"]
    price = (grid.places[prices.name].sheet, *grid.at(prices, "price", 0))
    print(f"formulas {by_sheet.total()} (goal 25000), size {len(data) / 1000:.0f} kB (goal 450)")
    print(f"a price reaches {len(reached(graph_of(cells, grid.names), price))} formulas (goal 2000)")
    print("sheet                  formulas  kB of XML  kB in the file")
    for sheet, size in zip(sheets, sizes, strict=True):
        print(
            f"{sheet.name:<21}  {by_sheet[sheet.name]:8}  {size.file_size / 1000:9.0f}  {size.compress_size / 1000:14.1f}"
        )
    if shutil.which("soffice"):
        recalculated(data)


def trivial(data: bytes) -> bytes:
    """The same workbook, each formula replaced by one that adds 1 to the formula cell before it."""
    target, before = io.BytesIO(), [""]

    def plain(cell: re.Match[str]) -> str:
        words = f"{before[0]}+1" if before[0] else "1"
        before[0] = cell[1]
        return f'<c r="{cell[1]}" s="{cell[2]}"><f>{words}</f><v>1</v></c>'

    formula = re.compile(r'<c r="([A-Z]+[0-9]+)" s="([0-9]+)"[^>]*><f[^>]*?(?:/>|>[^<]*</f>)<v>[^<]*</v></c>')
    with zipfile.ZipFile(io.BytesIO(data)) as book, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name in book.namelist():
            part = book.read(name)
            if name.startswith("xl/worksheets/sheet"):
                before[0] = ""
                part = formula.sub(plain, part.decode()).encode()
            made.writestr(name, part)
    return target.getvalue()


def recalculated(data: bytes) -> None:
    """What LibreOffice takes to load, recalculate and save: processor time of five runs in turn, its start left out."""
    empty = io.BytesIO()
    book = xlsxwriter.Workbook(empty)
    book.add_worksheet()
    book.close()
    books = {"start": empty.getvalue(), "trivial": trivial(data), "ours": data}
    times: dict[str, list[float]] = {name: [] for name in books}
    for _ in range(5):
        for name, content in books.items():
            with tempfile.TemporaryDirectory() as folder:
                file = Path(folder) / "book.xlsx"
                file.write_bytes(content)
                before = resource.getrusage(resource.RUSAGE_CHILDREN)
                libreoffice([file], Path(folder))
                after = resource.getrusage(resource.RUSAGE_CHILDREN)
                times[name].append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    start, plain, ours = (statistics.median(times[name]) for name in books)
    print(
        f"LibreOffice: start {start:.2f} s; beyond it as many trivial formulas {plain - start:.2f} s, ours {ours - start:.2f} s; "
        f"ratio {(ours - start) / (plain - start):.2f} (goal 1.5)"
    )


if __name__ == "__main__":
    help_ratio()
    sample = build_ratio(sorted((ROOT / "samples").iterdir())[-1])
    growth(sample)
    lean(sample)
