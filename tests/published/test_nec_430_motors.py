"""NEC Article 430: what motors draw running and with the rotor locked, held against the typical loads with motors.

Tables 430.248 and 430.251(A), single-phase, 430.250 and 430.251(B), three-phase, and 430.7(B), code letters, were read in
search results that show copies of the text of 2008 (of one that misprints the letter H, the neighbours tell it).
The tables bound what a disconnect must take: a start at the locked-rotor figure is the most, not the usual.
"""

from itertools import pairwise
from math import sqrt

import pytest

from holdover.case.typical import Typical, table
from holdover.reading.quantity.motor import LOCKED_TIMES, code_va, full_load_va

FULL_LOAD_A = {
    1 / 6: (4.4, 2.2), 1 / 4: (5.8, 2.9), 1 / 3: (7.2, 3.6), 1 / 2: (9.8, 4.9), 3 / 4: (13.8, 6.9), 1: (16, 8),
    1.5: (20, 10), 2: (24, 12), 3: (34, 17), 5: (56, 28),
}  # fmt: skip
"""Table 430.248: single-phase full-load current by horsepower, at 115 and 230 V [A]."""
LOCKED_A = {
    1 / 2: (58.8, 29.4), 3 / 4: (82.8, 41.4), 1: (96, 48), 1.5: (120, 60), 2: (144, 72), 3: (204, 102), 5: (336, 168),
}  # fmt: skip
"""Table 430.251(A): single-phase locked-rotor current, at 115 and 230 V [A]."""
THREE_PHASE_A = {1: (4.2, 30), 3: (9.6, 64)}
"""Tables 430.250 and 430.251(B): three-phase full-load and locked-rotor current at 230 V [A]."""
CODE_KVA = {
    "A": (0, 3.14), "B": (3.15, 3.54), "C": (3.55, 3.99), "D": (4, 4.49), "E": (4.5, 4.99), "F": (5, 5.59),
    "G": (5.6, 6.29), "H": (6.3, 7.09), "J": (7.1, 7.99), "K": (8, 8.99), "L": (9, 9.99), "M": (10, 11.19),
    "N": (11.2, 12.49), "P": (12.5, 13.99), "R": (14, 15.99), "S": (16, 17.99), "T": (18, 19.99), "U": (20, 22.39),
}  # fmt: skip
"""Table 430.7(B): locked-rotor kVA per horsepower by code letter."""
VOLTS = (115, 230)
SINGLE = {
    "Well pump, 1/3 hp": 1 / 3, "Well pump, 1/2 hp": 1 / 2, "Well pump, 3/4 hp": 3 / 4, "Well pump, 1 hp": 1,
    "Well pump, 2 hp": 2, "Well pump, 3 hp": 3, "Pressure pump (jet), 1/2 hp": 1 / 2, "Sump pump, 1/3 hp": 1 / 3,
    "Sump pump, 1/2 hp": 1 / 2, "Pool pump, 1 hp": 1, "Air compressor, 1/2 hp": 1 / 2, "Air compressor, 1 hp": 1,
    "Vacuum pump for milking, 1 hp": 1, "Vacuum pump for milking, 5 hp": 5, "Electric motor, 1/2 hp": 1 / 2,
    "Electric motor, 1 hp": 1,
}  # fmt: skip
"""Typical loads with a single-phase motor, by its horsepower."""


def called(name: str) -> Typical:
    (row,) = [row for row in table() if row.name == name]
    return row


def full_va(hp: float) -> float:
    return max(amps * volts for amps, volts in zip(FULL_LOAD_A[hp], VOLTS, strict=True))


def locked_va(hp: float) -> float:
    """The locked-rotor table, below a half horsepower six times full load as everywhere in it."""
    if hp in LOCKED_A:
        return max(amps * volts for amps, volts in zip(LOCKED_A[hp], VOLTS, strict=True))
    return 6 * full_va(hp)


def test_the_tables_agree_with_each_other() -> None:
    """Locked rotor is six times full load; half the current at twice the voltage; letters leave no gap."""
    for hp, locked in LOCKED_A.items():
        assert locked == pytest.approx([6 * amps for amps in FULL_LOAD_A[hp]])
    for low, high in (*FULL_LOAD_A.values(), *LOCKED_A.values()):
        assert low == pytest.approx(2 * high)
    for (_, high), (low, _) in pairwise(CODE_KVA.values()):
        assert low - high == pytest.approx(0.01)


@pytest.mark.parametrize("name", SINGLE)
def test_a_motor_of_the_table_draws_within_the_code(name: str) -> None:
    """It runs at no more than the full-load volt-amperes, and starts at no more than those of the locked rotor."""
    row, hp = called(name), SINGLE[name]
    assert row.high_w <= full_va(hp) * 1.01  # the table gives one decimal at most
    assert row.running_va <= full_va(hp) * 1.01
    assert row.start_va is not None
    assert row.start_va <= locked_va(hp) * 1.01
    assert row.start_va >= 0.7 * locked_va(hp)  # charts for generators have less than half of it


@pytest.mark.parametrize("name", [name for name in SINGLE if "ump" in name and "acuum" not in name])
def test_a_pump_s_start_is_that_of_a_code_letter(name: str) -> None:
    """Its kVA per horsepower is that of a letter from F to N; a seen nameplate of 1/3 hp has M."""
    start = called(name).start_va
    assert start is not None
    assert CODE_KVA["F"][0] <= start / 1000 / SINGLE[name] <= CODE_KVA["N"][1]


@pytest.mark.parametrize(("hp", "name"), [(hp, f"Pump, three-phase, 230 V, {hp} hp") for hp in THREE_PHASE_A])
def test_a_three_phase_pump(hp: int, name: str) -> None:
    """Full load and locked rotor at 230 V, times the root of three."""
    full, locked = (sqrt(3) * 230 * amps for amps in THREE_PHASE_A[hp])
    row = called(name)
    assert row.start_va == pytest.approx(locked, rel=0.01)
    assert row.high_w == pytest.approx(0.84 * full, rel=0.01)


def test_a_half_horsepower_pump_asks_for_more_than_a_chart_says() -> None:
    """29.4 A at 230 V are 6.8 kVA; a household chart has 3.1 kW. The typical figure stands between, near the code."""
    start = called("Well pump, 1/2 hp").start_va
    assert start is not None
    assert 3100 < start <= 29.4 * 230


def test_a_plate_is_read_by_these_tables() -> None:
    """Full load, six times that with the rotor locked, and each letter are what the reader of a plate reckons with."""
    for hp, amps in FULL_LOAD_A.items():
        assert full_load_va(hp) == pytest.approx(amps[0] * VOLTS[0])
        assert LOCKED_TIMES * (full_load_va(hp) or 0) == pytest.approx(locked_va(hp))
    for letter, band in CODE_KVA.items():
        assert code_va(letter, 1) == pytest.approx([1000 * kva for kva in band])


def test_half_a_horsepower_of_the_letter_g() -> None:
    """5.6 to 6.29 kVA for each horsepower are 24.3 to 27.3 A at 115 V."""
    least, most = (va / 115 for va in code_va("G", 0.5))
    assert (round(least, 1), round(most, 1)) == (24.3, 27.3)


def test_twenty_horsepower_of_the_letter_g() -> None:
    """An example of the code's handbook, as a forum quotes it (thread seen): 6.29 kVA x 20 hp = 125.8 kVA, 158 A at 460 V."""
    _, most = code_va("G", 20)
    assert most == pytest.approx(125_800)
    assert round(most / (sqrt(3) * 460)) == 158
