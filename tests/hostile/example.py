"""What a case of the corpus is made of."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

CASE = b'schema = "holdover case 1"\n'

UNITS = b"name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"

LOADS = b"name,running_w,hours_per_day\nLamp,10,5\n"


@dataclass(frozen=True, slots=True)
class Example:
    """One case: its files, and the codes or values that must come of it."""

    name: str
    files: dict[str, bytes]
    errors: frozenset[str] = frozenset()
    """Codes of all errors; none: the case is read."""
    said: frozenset[str] = frozenset()
    """Codes of warnings and notes that must be among the findings."""
    values: dict[str, Any] = field(default_factory=dict)
    """By path such as `loads.0.running_w`, what the case must hold; None: not set."""
    entry: str = "."
    prepare: Callable[[Path], None] | None = None


def write(example: Example, folder: Path) -> Path:
    """Put the example on disk; the path is what read_case is given."""
    home = folder / "case"
    home.mkdir()
    for name, data in example.files.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(data)
    if example.prepare:
        example.prepare(home)
    return home / example.entry


def case(
    name: str,
    loads: bytes | str | None = LOADS,
    units: bytes | str | None = UNITS,
    toml: bytes | str = b"",
    *,
    errors: str = "",
    said: str = "",
    values: dict[str, Any] | None = None,
    **files: bytes,
) -> Example:
    made = {"case.toml": CASE + as_bytes(toml)}
    if loads is not None:
        made["loads.csv"] = as_bytes(loads)
    if units is not None:
        made["candidates.csv"] = as_bytes(units)
    made |= {key.replace("__", "."): data for key, data in files.items()}
    return Example(name, made, frozenset(errors.split()), frozenset(said.split()), values or {})


def as_bytes(text: bytes | str) -> bytes:
    return text.encode() if isinstance(text, str) else text
