"""Mutants of honest case files: only findings come out, never an exception."""

import random
import resource
import time

import pytest

from holdover.advice.remarks import advise
from holdover.case.schema import Case
from holdover.findings import Findings, render
from holdover.reading.case import build_case
from holdover.reading.table.table import read_table
from holdover.reading.toml import CaseFile, read_toml

LOADS = """Survey of a cabin;;;;;
Appliance;Qty;Running (kW);Surge W;Hours/day;Duty %
Fridge;1;0,15;1.200 W;24;35
Well pump;1;8 A @ 120 V;;1h30;
LED lamps;;2 x 9 W;;18:00-22:30;
"TV, living room";2;0,1;"~150";½;n/a
Total;4;0,35;;;
"""
UNITS = """name,storage_wh,continuous_w,surge_w,ac_volts,weight_kg,price
Unit A,160 Ah @ 12.8 V,2.4 kW,4800,120/240,50 lb,"$1,299.50"
Unit B,"2,048 Wh",2000,4000,120,22.5,999
"""
CASE = """schema = "holdover case 1"
[about]
title = "Cabin"
[sizing]
reserve = "15 %"
storage_c = "68 °F"
[sun]
latitude_deg = "40.7 N"
coldest_c = -24
month = "Dec"
[array]
modules = 2
power_w = 390
voc_v = 37.2
vmp_v = 30.9
isc_a = 13.6
imp_a = 12.7
voc_tempco = "-0.27 %/°C"
[monthly]
peak_sun_hours = [1.9, 2.8, 3.7, 4.4, 5.0, 5.4, 5.5, 5.0, 4.1, 3.0, 2.0, 1.6]
[[days]]
sky = 0.2
[[deliveries]]
name = "Bike"
energy_wh = "0.5 kWh"
"""
PIECES = [
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\xef\xbb\xbf",
    b'"',
    b'""',
    b"'",
    b";",
    b",",
    b"\t",
    b"|",
    b"\n",
    b"\r",
    b"\r\n\r\n",
    b"1e999",
    b"nan",
    b"-inf",
    b"9" * 50,
    b"9" * 400,
    b"-",
    b"1,200",
    b"1.200",
    b"(",
    b"]",
    b"[[",
    b"{",
    b"=",
    b"=1+1",
    b"true",
    b"1979-05-27",
    b"07:32:00",
    b"\xe2\x80\xae",
    b"\x1b[2J",
    b"\xed\xa0\x80",
    b"\xc2\xbd",
    b"@",
    b" x ",
    b"%",
    b"24/7",
    b"12/0",
    b"V",
    b"A",
    b"kWh/yr",
    b"..",
    b"Total",
    b"#",
]
FILES = {"loads.csv": LOADS, "candidates.csv": UNITS, "case.toml": CASE}
MUTANTS = 5_000
SECONDS = 30.0
"""Time for all mutants of one file [s of the processor]; 5 s were taken."""
GROWTH_KB = 150_000
"""Most that the memory of the process may grow [kB]; about 10,000 were seen here."""


def mutant(data: bytes, chance: random.Random) -> bytes:
    """One to four edits: a bit, a piece put in, a stretch cut, doubled or swapped, a line dropped."""
    made = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 4))):
        place = chance.randrange(len(made) + 1)
        span = chance.randrange(1, 30)
        kind = chance.randrange(6)
        if kind == 0 and place < len(made):
            made[place] ^= 1 << chance.randrange(8)
        elif kind == 1:
            made[place:place] = chance.choice(PIECES)
        elif kind == 2:
            del made[place : place + span]
        elif kind == 3:
            made[place:place] = made[place : place + span] * chance.choice((1, 2, 50))
        elif kind == 4:
            made[place : place + span] = bytes(reversed(made[place : place + span]))
        else:
            lines = bytes(made).split(b"\n")
            chance.shuffle(lines)
            made = bytearray(b"\n".join(lines))
    return bytes(made)


def read(name: str, data: bytes) -> tuple[Case | None, Findings]:
    """What read_any does with one file, without the disk."""
    findings = Findings()
    if name == "case.toml":
        content = read_toml(data, name, findings)
    else:
        content = CaseFile(rows=read_table(name.removesuffix(".csv"), data, name, findings))
    return build_case(content, findings).remarked(advise) if content else (None, findings)


@pytest.mark.parametrize("name", FILES)
def test_mutants(name: str) -> None:
    """Thousands of edits of each file: a case or errors come back, rendered without a control character."""
    chance = random.Random(f"mutants of {name}")
    original = FILES[name].encode()
    case, findings = read(name, original)
    assert case is not None, render(findings.found)
    before, begin = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
    survived = 0
    for _ in range(MUTANTS // 3 + 1):
        data = mutant(original, chance)
        try:
            case, findings = read(name, data)
            told = render(findings.sorted())
        except Exception as fault:
            raise AssertionError(data) from fault
        assert (case is None) == bool(findings.errors), data
        assert told.replace("\n", "").isprintable(), data
        survived += case is not None
    assert 0 < survived < MUTANTS // 3, "the mutants must be neither all read nor all refused"
    assert time.process_time() - begin < SECONDS
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < GROWTH_KB
