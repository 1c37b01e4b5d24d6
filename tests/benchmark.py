"""Speed as ratios in one run: `python tests/benchmark.py`. No test times anything; this script prints figures.

1. `holdover --help` against the `--help` of a typer application of one command.
2. `build` of a sample against writing the same cells straight with XlsxWriter, and what each stage takes.
3. How size, build and recalculation grow with candidates and with loads.
"""

import io
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import xlsxwriter

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


if __name__ == "__main__":
    help_ratio()
    growth(build_ratio(sorted((ROOT / "samples").iterdir())[-1]))
