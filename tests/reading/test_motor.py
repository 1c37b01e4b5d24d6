"""What a motor's plate and its starter say, as people copy it."""

from pathlib import Path

import pytest

from holdover.library import read
from holdover.reading.quantity.motor import Motor, read_motor, shaft_hp


@pytest.mark.parametrize(
    ("text", "motor"),
    [
        ("1/2 hp", Motor(hp=0.5)),
        ("½ HP 115 V", Motor(hp=0.5, volts=115)),
        ("1-1/2 hp, 230V, code K", Motor(hp=1.5, code="K", volts=230)),
        ("1 1/2 HP DOL", Motor(hp=1.5, starter="direct")),
        ("1,5 hp", Motor(hp=1.5)),
        ("0.5hp 9.8 A", Motor(hp=0.5, rest="9.8 A")),
        ("LRA 45 A", Motor(locked_a=45)),
        ("45 LRA", Motor(locked_a=45)),
        ("3 hp, 17 A, LRA: 102", Motor(hp=3, locked_a=102, rest="17 A")),
        ("KVA code g", Motor(code="G")),
        ("850 W with soft starter", Motor(starter="soft", rest="850 W with")),
        ("direct on line", Motor(starter="direct")),
        ("1200 W", Motor(rest="1200 W")),
        ("12 A @ 120 V", Motor(rest="12 A @ 120 V")),
        ("decode K 5", Motor(rest="decode K 5")),
        ("code I", Motor(rest="code I")),
    ],
)
def test_a_plate_is_read_as_it_stands(text: str, motor: Motor) -> None:
    """Horsepower, code letter, amperes at locked rotor and starter are found in any order; the rest is left."""
    assert read_motor(text) == motor


def loads_of(
    tmp_path: Path, rows: str, heads: str = "Load,Running,Starting,Hours/day,Volts"
) -> list[tuple[float | None, float | None]]:
    """Running and starting of each load of a table."""
    (tmp_path / "case.toml").write_text('schema = "holdover case 1"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(f"{heads}\n{rows}\n", encoding="utf-8")
    return [(load.running_w, load.starting_w) for load in read(tmp_path).case.loads]


@pytest.mark.parametrize(
    ("row", "running", "starting"),
    [
        ("Pump,1/2 hp,,2,", 0.8 * 9.8 * 115, 58.8 * 115),  # NEC Tables 430.248 and 430.251(A)
        ("Pump,1/2 hp,,2,230", 0.8 * 4.9 * 230, 29.4 * 230),
        ("Pump,1 hp,code J,2,", 0.8 * 16 * 115, 7990),  # NEC Table 430.7(B): 7.1 to 7.99 kVA for each hp
        ("Pump,1 hp,LRA 45 A,2,", 0.8 * 16 * 115, 45 * 120),
        ("Pump,1 hp,soft start,2,", 0.8 * 16 * 115, 96 * 115 / 2),
        ("Pump,900 W 1 hp,,2,", 900, 96 * 115),
        ("Pump,1 hp,3000,2,", 0.8 * 16 * 115, 3000),
        ("Pump,750 W,DOL,2,", 750, 6 * 750),
        ("Pump,750 W,soft starter,2,", 750, 3 * 750),
    ],
)
def test_a_motor_starts_by_what_is_known_best(tmp_path: Path, row: str, running: float, starting: float) -> None:
    """What is stated goes first, then amperes at locked rotor, then the code letter, then the power; a soft starter halves it."""
    (found,) = loads_of(tmp_path, row)
    assert found == pytest.approx((running, starting))


def test_a_power_factor_that_is_stated_counts(tmp_path: Path) -> None:
    """At 0.9 a motor of 9.8 A at 115 V draws 1014 W; six times its volt-amperes stay what they are."""
    (found,) = loads_of(tmp_path, "Pump,1/2 hp,2,0.9", "Load,Running,Hours/day,PF")
    assert found == pytest.approx((0.9 * 1127, 6762))


def test_where_no_motor_is_spoken_of_nothing_changes(tmp_path: Path) -> None:
    """A pump of so many watts starts as it always did: at what is stated, or not stated."""
    assert loads_of(tmp_path, "Pump,500,2000,2,\nFan,60,,5,") == [(500, 2000), (60, None)]


ONE_HP = (0.8 * 16 * 115, 96 * 115)
"""Running and starting of 1 hp: NEC Tables 430.248 and 430.251(A)."""


@pytest.mark.parametrize(
    ("heads", "row", "found"),
    [
        ("Load,Running,Starting,Hours/day", "Pump,0.75 kW DOL,,2", ONE_HP),
        ("Load,Running,Starting,Hours/day", "Pump,1 hp,DOL,2", ONE_HP),
        ("Load,Running,Starting,Hours/day", "Pump,0.75kW,DOL,2", ONE_HP),
        ("Load,Running,Starting,Hours/day", "Pump,0.75 kW 230 V DOL,,2", ONE_HP),
        ("Load,Running,Starting,Hours/day", "Pump,0.75 kW,soft start,2", (ONE_HP[0], ONE_HP[1] / 2)),
        ("Load,Running,Starting,Hours/day", "Pump,0.75 kW,code J,2", (ONE_HP[0], 7990)),
        ("Load,Running,Motor,Hours/day", "Pump,,0.75 kW,2", ONE_HP),
        ("Load,Running,Motor,Hours/day", "Pump,0.75 kW,DOL,2", ONE_HP),
        ("Load,Running,Motor (kW),Hours/day", "Pump,,0.75,2", ONE_HP),
        ("Load,Running,Motor,Hours/day", "Pump,900 W,0.75 kW,2", (900, ONE_HP[1])),
    ],
)
def test_kilowatts_of_a_plate_are_those_of_the_shaft(
    heads: str, row: str, found: tuple[float, float], tmp_path: Path
) -> None:
    """0.75 kW beside a starter, a code letter or in the column of motors draws and starts as 1 hp does."""
    assert loads_of(tmp_path, row, heads) == [pytest.approx(found)]


@pytest.mark.parametrize("row", ["Pump,0.75 kW,,2", "Pump,0.75 kW,3000,2", "Pump,0.75 kW 1 hp,,2"])
def test_kilowatts_that_no_starter_stands_beside_are_drawn(row: str, tmp_path: Path) -> None:
    """Kilowatts alone are what a load draws, and so are those beside the horsepower of its shaft."""
    ((running, _),) = loads_of(tmp_path, row, "Load,Running,Starting,Hours/day")
    assert running == 750


@pytest.mark.parametrize(
    ("kw", "hp"),
    [(0.18, 0.25), (0.25, 1 / 3), (0.37, 0.5), (0.55, 0.75), (0.75, 1), (1.1, 1.5), (1.5, 2), (2.2, 3), (3.7, 5), (5.5, 7.5),
     (7.5, 10)],
)  # fmt: skip
def test_ratings_are_paired_as_makers_pair_them(kw: float, hp: float) -> None:
    """The ratings in kilowatts that motors are made in stand for those in horsepower beside them; from memory."""
    assert shaft_hp(kw) == hp
    assert shaft_hp(3.0) == pytest.approx(3.0 / 0.746)
