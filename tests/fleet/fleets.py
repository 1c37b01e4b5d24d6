"""Invented fleets: cases as the index tells them, with prices drawn at random."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from pathlib import Path
from random import Random
from typing import Any

from holdover.fleet.entry import Entry

NAMES = ("Unit Alder", "Unit Bramble", "=Unit Clover", "Unit Dogwood")
"""Candidates; one of them begins like a formula."""


def entry(number: int, **more: object) -> Entry:
    """A case that was worked out."""
    given: dict[str, object] = {
        "case": f"cases/{number}",
        "state": "written",
        "title": f"House {number}",
        "workbook": f"{number}.xlsx",
        "currency": "$",
        "fitting": 1,
        "days": 2,
        "promise": "critical",
        "output": "OK",
        "kept": "OK",
        "energy_wh": 1000.0 + number,
    }
    return Entry(**(given | more))  # type: ignore[arg-type]


def fleet(seed: int, count: int = 12, names: tuple[str, ...] = NAMES) -> list[Entry]:
    """Cases with a list of candidates in common; one of them has errors."""
    luck = Random(seed)
    found = []
    for number in range(count):
        choices = {}
        for name in names:
            price: float | str = round(luck.uniform(900, 9000), 2)
            choices[name] = "" if luck.random() < 0.5 else "not stated" if luck.random() < 0.04 * (seed % 3) else price
        fitting = [price for price in choices.values() if price != ""]
        pick = min(fitting, key=lambda price: (isinstance(price, str), price), default="")
        currency = "€" if seed % 7 == 6 and number == 3 else "$"
        bare = tuple(name for i, name in enumerate(names) if choices[name] != "" and (number + i) % 3 == 0)
        told = {"choices": choices, "bare": bare, "fitting": len(fitting), "price": pick}
        found.append(entry(number, **told, currency=currency, warnings=number % 3))
    broken = Entry(case="cases/x", state="errors", headline="=loads.csv: no watts", errors=2)
    return [*found, broken]


def house(folder: Path, *, watts: str = "20", title: str = "Small") -> Path:
    """A case of one load and one candidate, which is quickly worked out."""
    folder.mkdir(parents=True)
    (folder / "case.toml").write_text(f'[about]\ntitle = "{title}"\n[outage]\ndays = 1\n', encoding="utf-8")
    (folder / "loads.csv").write_text(f"name,watts,hours\nLamp,{watts},5\n", encoding="utf-8")
    units = "name,storage_wh,continuous_w,surge_w,price\nUnit Alder,1000,800,1600,900\n"
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return folder


class Here(Executor):
    """Works in this process at once, and counts."""

    def __init__(self, _jobs: int = 1) -> None:
        self.calls = 0

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> "Future[Any]":
        self.calls += 1
        future: Future[Any] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as wrong:
            future.set_exception(wrong)
        return future
