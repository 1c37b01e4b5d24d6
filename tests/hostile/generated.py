"""Cases that can't be plain files: too large to keep, links, pipes, a path to something else than a folder."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

CASE = b'schema = "holdover case 1"\n'
LOADS = b"name,running_w,hours_per_day\nLamp,10,5\n"
CANDIDATES = b"name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"
HEAD = b"name,running_w,hours_per_day\n"
CANDIDATE_HEAD = b"name,storage_wh,continuous_w,surge_w\n"


@dataclass(frozen=True, slots=True)
class Example:
    """One case: its files, and the codes or values that must come of it."""

    name: str
    files: Mapping[str, bytes]
    errors: frozenset[str] = frozenset()
    """Codes of all errors; none: the case is read."""
    remarks: frozenset[str] = frozenset()
    """Codes of warnings and notes that must be among the findings."""
    values: Mapping[str, Any] = field(default_factory=dict)
    """By path such as `loads.0.running_w`, what the case must hold."""
    entry: str = "."
    prepare: Callable[[Path], None] | None = None


def write(example: Example, folder: Path) -> Path:
    """Put the example on disk; the path is what `check` is given."""
    home = folder / "case"
    home.mkdir()
    for name, data in example.files.items():
        (home / name).write_bytes(data)
    if example.prepare:
        example.prepare(home)
    return home / example.entry


def _loads(name: str, loads: bytes, errors: str = "", values: Mapping[str, Any] | None = None) -> Example:
    files = {"case.toml": CASE, "loads.csv": loads, "candidates.csv": CANDIDATES}
    return Example(name, files, frozenset(errors.split()), values=values or {})


def _toml(name: str, text: str, errors: str) -> Example:
    return Example(name, {"case.toml": text.encode()}, frozenset(errors.split()))


def large() -> list[Example]:
    """More rows, columns, letters or keys than anybody needs."""
    watts = {"loads.0.running_w": 10}
    many = CANDIDATE_HEAD + b"".join(b"U%d,1,2,3\n" % n for n in range(201))
    return [
        _loads("2000 loads", HEAD + _rows(2000), values={"loads.1999.name": "L1999"}),
        _loads("2001 loads", HEAD + _rows(2001), "R002"),
        _loads("5001 rows", HEAD + _rows(5001), "C007"),
        _loads("100000 rows", HEAD + b"L,10,5\n" * 100_000, "C007"),
        Example("201 candidates", {"case.toml": CASE, "loads.csv": LOADS, "candidates.csv": many}, frozenset({"R002"})),
        _loads("totals without end", HEAD + b"L,10.5 W,5\nTotal,7777 W,\n" * 2400, "C009 R002"),
        _loads("19 MB", HEAD + b"L,10,5\n" * 2_700_000, "C007"),
        _loads("21 MB", HEAD + b"L,10,5\n" * 3_000_001, "F004"),
        _loads("a long row", HEAD + b"L,10,5" + b",9" * 45_000 + b"\n", "C006"),
        _loads("values beyond, many", HEAD + (b"L,10,5" + b",9" * 400 + b"\n") * 2500, "C006 R002"),
        _loads("wide", HEAD.rstrip() + b"," * 10_000 + b"\nL,10,5\n", values=watts),
        _loads("one long line", b"x" * 1_000_000, "C001"),
        _loads("one long field", HEAD + b"A," + b"9" * 140_000 + b",5\n", "C001"),
        _loads("delimiters only", b"," * 100_000, "C002"),
        _loads("quotes only", b'"' * 99_999, "C001"),
        _loads("breaks only", b"\n" * 100_000 + LOADS, values=watts),
        Example(
            "name too long",
            {"case.toml": CASE, "loads.csv": HEAD + b"x" * 40_000 + b",100,5\n", "candidates.csv": CANDIDATES},
            remarks=frozenset({"Q020"}),
            values={"loads.0.name": "x" * 32_000},
        ),
        _toml("toml dotted key", ".".join(["a"] * 20_000) + " = 1\n", "T002"),
        _toml("toml dotted key in quotes", '"a".' * 60_000 + '"a" = 1\n', "T002"),
        _toml("toml dotted table", "[" + ".".join("a" * 20_000) + "]\n", "T002"),
        _toml("toml many keys", _keys(), "T004"),
        _toml("toml many keys in a part", "[about]\n" + _keys(), "T003"),
        _toml("toml many rows", "[[loads]]\n" * 20_000, "R001 T007"),
        _toml("toml many days", "[[days]]\nx = 1\n" * 10_000, "T003 T007"),
        _toml("toml long word", "x" * 200_000 + " = 1\n", "T004"),
        _toml("toml long string", 'a = "' + "b." * 100_000 + '"\n', "T002"),
        _toml("toml quotes", '"' * 200_000, "T001"),
        _toml("toml large", "# " + "x" * 300_000, "T002"),
    ]


def _rows(count: int) -> bytes:
    return b"".join(b"L%d,10,5\n" % n for n in range(count))


def _keys() -> str:
    return "".join(f"k{n} = 1\n" for n in range(20_000))


def on_disk() -> list[Example]:
    """Links, pipes and paths to something else than a folder."""
    named = {"case.toml": CASE + b'loads = "loads.csv"\n', "candidates.csv": CANDIDATES}
    plain = {"case.toml": CASE, "candidates.csv": CANDIDATES}
    outside = frozenset({"F007"})
    return [
        Example("link out", named, outside, prepare=_link_out),
        Example("link out, unnamed", plain, outside, prepare=_link_out),
        Example("link out, the case file", named, outside, prepare=_link_case),
        Example("link loop", named, outside, prepare=lambda home: (home / "loads.csv").symlink_to("loads.csv")),
        Example("pipe", named, frozenset({"F003"}), prepare=lambda home: os.mkfifo(home / "loads.csv")),
        Example("no folder", {}, frozenset({"F001"}), entry="missing"),
        Example("a table as case", {"loads.csv": LOADS}, frozenset({"F003"}), entry="loads.csv"),
        Example("case file itself", plain | {"loads.csv": LOADS}, entry="case.toml"),
    ]


def _link_out(home: Path) -> None:
    (home.parent / "secret.csv").write_bytes(LOADS)
    (home / "loads.csv").symlink_to(home.parent / "secret.csv")


def _link_case(home: Path) -> None:
    (home.parent / "secret.toml").write_bytes(CASE)
    (home / "case.toml").unlink()
    (home / "case.toml").symlink_to(home.parent / "secret.toml")
