"""Mutants of a workbook of ours, in its properties and its defined names: a case or findings, never an exception."""

import io
import re
import time
import zipfile
from pathlib import Path
from random import Random

import pytest

from holdover.case.schema import Candidate, Case, Load
from holdover.findings import render
from holdover.model.study import Slots
from holdover.returned.read import read_any, read_returned
from returned.books import thin

CASE = Case(
    loads=(Load(name="Fridge", running_w=110, hours_per_day=24), Load(name="TV", running_w=80, hours_per_day=3)),
    candidates=(Candidate(name="Unit A", storage_wh=2050, continuous_w=1900, surge_w=3900, ac_volts=120),),
)
PARTS = ("docProps/custom.xml", "xl/workbook.xml")
ODD = ("", "0", "-1", "1", "999", "9999", "999999", "1048576", "9" * 30, "1e999", "500 999", "999 999", "500 40", "x")
MUTANTS = 200
SECONDS = 5.0
"""Longest time for one mutant [s of the processor]."""


def mutant(parts: dict[str, bytes], luck: Random) -> bytes:
    """The workbook with one to three numbers, texts or corners of areas changed in one of the parts."""
    name = luck.choice(PARTS)
    text = parts[name].decode()
    for _ in range(luck.choice((1, 1, 3))):
        found = list(re.finditer(r"(?<=\$)[0-9]+(?=[<:])|(?<=\$)[A-Z]+(?=\$)|(?<=lpwstr>)[^<]+", text))
        if not found:
            break
        match = luck.choice(found)
        text = text[: match.start()] + luck.choice((*ODD, "A", "XFD", "ZZZ")) + text[match.end() :]
    if luck.random() < 0.3:
        text = re.sub(r"(\$[A-Z]+\$[0-9]+):(\$[A-Z]+\$[0-9]+)", r"\2:\1", text)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for each, data in parts.items():
            pack.writestr(each, text if each == name else data)
    return out.getvalue()


@pytest.mark.parametrize("reader", [read_any, read_returned], ids=lambda reader: reader.__name__)
def test_mutants_of_a_returned_workbook(reader: object, tmp_path: Path) -> None:
    """Each is read or refused in good time."""
    assert callable(reader)
    with zipfile.ZipFile(io.BytesIO(thin(CASE, Slots(loads=4, candidates=2)))) as pack:
        parts = {name: pack.read(name) for name in pack.namelist()}
    luck, file, read = Random(7), tmp_path / "a.xlsx", 0
    for number in range(MUTANTS):
        file.write_bytes(mutant(parts, luck))
        begin = time.process_time()
        try:
            found, findings, *_ = reader(file)
        except Exception as fault:
            raise AssertionError(number) from fault
        assert time.process_time() - begin < SECONDS, number
        assert found is not None or findings.errors, number
        assert render(findings.found).replace("\n", "").isprintable()
        read += found is not None
    assert read > 0
