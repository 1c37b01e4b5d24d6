"""Speed as ratios in one run: `python tests/benchmark.py [--quick]`. No test times anything; this script prints figures.

What is held against each other runs in turn, and the processor time is taken, so that other work on the machine changes
little: the median of nine rounds, of three with `--quick`. Each figure stands beside its goal.

1. Whole commands against the imports that they need, `--help` against a typer application of one command.
2. `build` of a sample against the same cells written by XlsxWriter, that without its regular expressions, and the floor:
   their XML put together and packed, and nothing else. Reading it back, as it is and as openpyxl saves it, against a
   pass of expat over the file that keeps nothing.
3. How build grows with loads, candidates and days, as an exponent, and the memory it takes.
4. How many cases a batch does, and what a second process is worth: the one figure that other work on the machine changes.
5. How lean the workbook is: formulas, size, by sheet, how far one price reaches, and what LibreOffice takes to load,
   recalculate and save it, against the same workbook with a trivial formula in each cell.
"""

import io
import math
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
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final
from xml.parsers import expat

import openpyxl
import xlsxwriter
from xlsxwriter.worksheet import Worksheet

import holdover
from engines.circles import graph_of, reached
from engines.engines import libreoffice
from fleet.fleets import house
from holdover.case.schema import MAX_DAYS, Case
from holdover.model.study import study
from holdover.returned.extract import write_case
from holdover.returned.read import read_any
from holdover.workbook.book import build, sheets_for
from holdover.workbook.grid import Cell, xl
from holdover.workbook.page import _LAID_OUT as LAID_OUT
from holdover.workbook.page import lay_out

ROOT: Final = Path(__file__).resolve().parents[1]
ROUNDS: Final = 3 if "--quick" in sys.argv else 9
BATCH: Final = 100
"""Cases of a batch: so many that beginning is a small part of it."""
COMMAND: Final = [sys.executable, "-m", "holdover"]
MINIMAL: Final = """
import typer
app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
@app.command()
def hello(name: str) -> None:
    typer.echo(name)
app()
"""
IMPORTED: Final = """
import sys
from holdover.cli import app
try:
    app(sys.argv[1:])
except SystemExit:
    pass
print("import " + ", ".join(name for name in sys.modules if name.startswith(("holdover", "xlsxwriter", "pydantic", "typer"))
                            and "." in name), file=sys.stderr)
"""
Work = Callable[[], object]


def told(what: str, ratio: float, goal: str = "", digits: int = 2) -> None:
    """One figure, beside its goal."""
    print(f"{what}: {ratio:.{digits}f}" + (f" (goal {goal})" if goal else ""), flush=True)


def spent(work: Work) -> float:
    """Processor time of this process and of those that it started and waited for [s]."""
    before, children = time.process_time(), resource.getrusage(resource.RUSAGE_CHILDREN)
    work()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() - before + after.ru_utime + after.ru_stime - children.ru_utime - children.ru_stime


def race(runners: Mapping[str, Work], rounds: int = ROUNDS) -> dict[str, float]:
    """Median processor time of each [s]; they run in turn, after a first round that does not count."""
    for work in runners.values():
        work()
    times: dict[str, list[float]] = {name: [] for name in runners}
    for _ in range(rounds):
        for name, work in runners.items():
            times[name].append(spent(work))
    return {name: statistics.median(found) for name, found in times.items()}


def run(*command: str | Path) -> Work:
    """A process, whole."""
    return lambda: subprocess.run([*map(str, command)], check=True, capture_output=True)


def processes(path: Path) -> None:
    """Commands as people run them."""
    with tempfile.TemporaryDirectory() as folder:
        script, new, old = (Path(folder) / name for name in ("minimal.py", "new.xlsx", "old.xlsx"))
        script.write_text(MINIMAL)
        asked = ("build", path, "-o", old)
        imports = subprocess.run(
            [sys.executable, "-c", IMPORTED, *map(str, asked)], check=True, capture_output=True, text=True
        ).stderr.splitlines()[-1]

        def anew() -> None:
            new.unlink(missing_ok=True)
            run(*COMMAND, "build", path, "-o", new)()

        took = race(
            {
                "minimal": run(sys.executable, script, "--help"),
                "help": run(*COMMAND, "--help"),
                "imports": run(sys.executable, "-c", imports),
                "anew": anew,
                "over": run(*COMMAND, *asked),
                "show": run(*COMMAND, "show", old),
            }
        )
    told("holdover --help of the --help of one command", took["help"] / took["minimal"])
    told("holdover build of the imports that it needs", took["anew"] / took["imports"], "3")
    told("build over a workbook of build anew", took["over"] / took["anew"], "1.2")
    told("show of a workbook, whole process [s]", took["show"])


class PlainSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """XlsxWriter's sheet without its search of formulas by regular expressions."""

    def _prepare_formula(self, formula: str, _expand: bool = False) -> str:
        return formula.removeprefix("=")


def by_xlsxwriter(cells: Sequence[Cell], names: Sequence[str], kind: type[Any] = Worksheet) -> Work:
    """The same cells, written by XlsxWriter."""

    def write() -> None:
        book = xlsxwriter.Workbook(io.BytesIO(), {"in_memory": True})
        sheets = {name: book.add_worksheet(name, kind) for name in names}
        for cell in cells:
            sheet = sheets[cell.sheet]
            if cell.formula:
                sheet.write_formula(cell.row, cell.col, cell.formula, None, cell.value)
            elif isinstance(cell.value, str):
                sheet.write_string(cell.row, cell.col, cell.value)
            elif cell.value is not None:
                sheet.write_number(cell.row, cell.col, cell.value)
        book.close()

    return write


def floor(cells: Sequence[Cell], names: Sequence[str]) -> Work:
    """The same cells as XML, packed: no styles, no escapes, in the order in which they come."""

    def write() -> None:
        with zipfile.ZipFile(io.BytesIO(), "w", zipfile.ZIP_DEFLATED) as book:
            sheets: dict[str, list[str]] = {name: [] for name in names}
            for cell in cells:
                kind = ' t="str"' if isinstance(cell.value, str) else ""
                words = f"<f>{cell.formula}</f>" if cell.formula else ""
                sheets[cell.sheet].append(f'<c r="{xl(cell.row, cell.col)}"{kind}>{words}<v>{cell.value}</v></c>')
            for name, tags in sheets.items():
                book.writestr(name, "".join(tags))

    return write


def parsed(file: Path) -> None:
    """A pass of expat over every part of a workbook, which tells of each tag and text and keeps nothing."""
    with zipfile.ZipFile(file) as book:
        for name in book.namelist():
            if name.endswith(".xml"):
                parser = expat.ParserCreate()
                parser.buffer_text = True
                parser.StartElementHandler = lambda _name, _values: None
                parser.EndElementHandler = parser.CharacterDataHandler = lambda _: None
                parser.Parse(book.read(name), True)


def library(case: Case) -> None:
    """Calls of the library."""
    made = study(case)
    sheets = sheets_for(made.slots)
    # Formulas are put together before the clock runs: whoever writes the same cells is handed their text.
    cells = [cell._replace(fill=cell.formula) for cell in lay_out(sheets, made)[0].cells(made)]
    names = [sheet.name for sheet in sheets]
    with tempfile.TemporaryDirectory() as folder:
        file, saved = Path(folder) / "book.xlsx", Path(folder) / "saved.xlsx"
        file.write_bytes(build(made, version="benchmark"))
        openpyxl.load_workbook(file).save(saved)
        took = race(
            {
                "study": lambda: holdover.study(case),
                "build": lambda: holdover.build(made),
                "plain": by_xlsxwriter(cells, names, PlainSheet),
                "floor": floor(cells, names),
                "read": lambda: holdover.read(file),
                "expat": lambda: parsed(file),
                "read saved": lambda: holdover.read(saved),
                "expat saved": lambda: parsed(saved),
            }
        )
        took |= race({"xlsxwriter": by_xlsxwriter(cells, names)}, 1)
    print(
        f"study {took['study'] * 1000:.0f} ms, build {took['build'] * 1000:.0f} ms, read {took['read'] * 1000:.0f} ms"
    )
    told("build of the same cells by XlsxWriter", took["build"] / took["xlsxwriter"])
    told("build of the same, without its regular expressions", took["build"] / took["plain"], "0.9")
    told("build of the floor", took["build"] / took["floor"], "2.5")
    told("reading back of a pass of expat that keeps nothing", took["read"] / took["expat"], "3")
    told("the same of the workbook as openpyxl saves it", took["read saved"] / took["expat saved"], "3")


def grown(case: Case, loads: int, candidates: int, days: int = 1) -> Case:
    """A case of so many loads, candidates and days: those that it has again and again, under names of their own."""

    def again(rows: tuple[Any, ...], count: int) -> tuple[Any, ...]:
        several = (rows * (count // len(rows) + 1))[:count]
        return tuple(row.model_copy(update={"name": f"{row.name} {i}"}) for i, row in enumerate(several, start=1))

    outage = case.outage.model_copy(update={"days": days})
    return case.model_copy(
        update={
            "loads": again(case.loads, loads),
            "candidates": again(case.candidates, candidates),
            "outage": outage,
        }
    )


def afresh(case: Case) -> None:
    """Study and build as in a new process: nothing that was laid out before is kept."""
    sheets_for.cache_clear()
    LAID_OUT.clear()
    build(study(case), version="")


def growth(case: Case) -> None:
    """How the processor time of study and build grows as one thing doubles and doubles again, the last step."""
    steps = {
        "loads": [grown(case, count, 4) for count in (500, 1000)],
        "candidates": [grown(case, 20, count) for count in (50, 100)],
        "days": [grown(case, 20, 20, days) for days in (MAX_DAYS // 2, MAX_DAYS - 1)],
    }
    for name, (less, more) in steps.items():
        took = race({"less": lambda c=less: afresh(c), "more": lambda c=more: afresh(c)}, max(1, ROUNDS // 3))  # type: ignore[misc]
        times = {"loads": 2, "candidates": 2, "days": MAX_DAYS / (MAX_DAYS // 2 + 1)}[name]
        told(f"growth with {name}, exponent", math.log(took["more"] / took["less"]) / math.log(times), "1.05")


PEAK: Final = """
import resource, sys
from pathlib import Path
from holdover.library import build, read_case, study
build(study(read_case(Path(sys.argv[1]))))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def large(case: Case) -> None:
    """Memory of a build of 2,000 loads and 100 candidates; 2,000 and 200 shown as JSON."""
    with tempfile.TemporaryDirectory() as folder:
        for name, candidates in (("wide", 100), ("widest", 200)):
            write_case(grown(case, 2000, candidates), Path(folder) / name)
        made = subprocess.run(
            [sys.executable, "-c", PEAK, f"{folder}/wide"], check=True, capture_output=True, text=True
        )
        told("memory of a build of 2,000 loads and 100 candidates [MB]", float(made.stdout), "300", 0)
        took = race({"show": run(*COMMAND, "show", f"{folder}/widest", "--json")}, max(1, ROUNDS // 3))
        told("show --json of 2,000 loads and 200 candidates [s]", took["show"], "2")


def batches() -> None:
    """Small cases in a batch: how many a second of processor time, and two processes against one by the clock."""
    with tempfile.TemporaryDirectory() as folder:
        for number in range(BATCH):
            house(Path(folder) / "cases" / f"{number:03}", title=f"House {number}")
        clock: dict[int, list[float]] = {1: [], 2: []}

        def done(jobs: int) -> None:
            shutil.rmtree(f"{folder}/done", ignore_errors=True)
            began = time.perf_counter()
            run(*COMMAND, "batch", f"{folder}/cases", "-o", f"{folder}/done", "--jobs", str(jobs))()
            clock[jobs].append(time.perf_counter() - began)

        took = race({"one": lambda: done(1), "two": lambda: done(2)}, max(1, ROUNDS // 3))
        told("batch, cases a second of processor time", BATCH / took["one"], "5")
        one, two = (statistics.median(clock[jobs]) for jobs in clock)
        told("batch by two processes as fast as by one, by the clock of an idle machine", one / two, "1.8")


def lean(case: Case) -> None:
    """Formulas, size, and how far a price reaches, each beside its goal; formulas and size by sheet."""
    made = study(case)
    data = build(made, version="benchmark")
    sheets = sheets_for(made.slots)
    grid, _ = lay_out(sheets, made)
    cells = list(grid.cells(made))
    by_sheet = Counter(cell.sheet for cell in cells if cell.computed)
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
    folder = sorted((ROOT / "samples").iterdir())[-1]
    sample, *_ = read_any(folder)
    assert sample is not None
    processes(folder)
    library(sample)
    growth(sample)
    large(sample)
    batches()
    lean(sample)
