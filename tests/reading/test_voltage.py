"""AC voltages and feeds: how they are printed, what they mean in this house, and where they differ."""

from pathlib import Path
from typing import Any

import pytest

from holdover.advice.remarks import advise
from holdover.case.schema import Candidate, Case, Load, Sizing
from holdover.findings import Findings, render
from holdover.returned.read import read_any

UNITS = "name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"


def read(folder: Path, toml: str, loads: str, units: str = UNITS) -> tuple[Case | None, Findings]:
    (folder / "case.toml").write_text(toml, encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return read_any(folder)[:2]


def house(feed: str) -> str:
    return f'[sizing]\nfeed = "{feed}"\n' if feed else ""


WAYS = [
    ("230V ~ 50Hz", "230 V", "230 V"),
    ("AC 230 V", "230 V", "230 V"),
    ("~230 V", "230 V", "230 V"),
    ("230 V~", "230 V", "230 V"),
    ("230 V, 50/60 Hz", "230 V", "230 V"),
    ("120 V 60 Hz", "120 V", "120 V"),
    ("115V/60Hz", "120 V", "120 V"),
    ("230 V 60 Hz", "120 V", "240 V"),
    ("230V", "120 V", "240 V"),
    ("230 V 1ph", "230 V", "230 V"),
    ("220-240 V", "230 V", "230 V"),
    ("220–240V", "", "230 V"),
    ("220-240 V ~ 50 Hz", "", "230 V"),
    ("220-240 V", "240 V", "240 V"),
    ("220-240 V", "120 V", "240 V"),
    ("100-240 V", "120 V", "120 V"),
    ("100-240V 50/60Hz", "230 V", "230 V"),
    ("110-120 V", "", "120 V"),
    ("200-240 V", "208 V", "208 V"),
    ("240/120", "120 V", "240 V"),
    ("240/120 V", "", "240 V"),
]


@pytest.mark.parametrize(("typed", "feed", "meant"), WAYS)
def test_a_feed_as_nameplates_print_it(typed: str, feed: str, meant: str, tmp_path: Path) -> None:
    """Frequency and phase are left aside; a range means the house's feed if that lies in it, and a note says so."""
    case, found = read(tmp_path, house(feed), f"name;watts;hours;volts\nFan;60;5;{typed}\n")
    assert case is not None, render(found.found)
    assert case.loads[0].feed == meant
    assert ("Q026" in {f.code for f in found.found}) == ("-" in typed or "–" in typed or "240/120" in typed)


@pytest.mark.parametrize(
    ("typed", "feed", "made"),
    [
        ("220-240 V", "", (230, None)),
        ("220-240 V", "240 V", (240, None)),
        ("230V ~ 50Hz", "230 V", (230, None)),
        ("120/240 V 60 Hz", "120 V", (120, 240)),
        ("120V / 240V", "120 V", (120, 240)),
        ("240/120", "120 V", (240, 120)),
        ("100-120/200-240 V", "120 V", (120, 240)),
        ("230", "230 V", (230, None)),
    ],
)
def test_an_output_as_data_sheets_print_it(
    typed: str, feed: str, made: tuple[float, float | None], tmp_path: Path
) -> None:
    """One voltage, two, or a range that holds the house's."""
    units = f"name;storage_wh;continuous_w;surge_w;AC voltage\nU;2048;2400;4800;{typed}\n"
    case, found = read(tmp_path, house(feed), "name,watts,hours\nFan,60,5\n", units)
    assert case is not None, render(found.found)
    assert (case.candidates[0].ac_volts, case.candidates[0].ac_volts_2) == made


@pytest.mark.parametrize(("typed", "codes"), [("n/a", []), ("-", []), ("", []), ("tbd", ["Q016"])])
def test_an_output_that_is_not_stated(typed: str, codes: list[str], tmp_path: Path) -> None:
    """Blank words leave it blank; what is not known is told."""
    units = f"name;storage_wh;continuous_w;surge_w;AC voltage\nU;2048;2400;4800;{typed}\n"
    case, found = read(tmp_path, "", "name,watts,hours\nFan,60,5\n", units)
    assert case is not None, render(found.found)
    assert case.candidates[0].ac_volts is None
    assert [f.code for f in found.found] == codes


@pytest.mark.parametrize("typed", ["120/240", "115/230 V", "400 V", "220-240-260", "12-24 V", "50 Hz", "240-220 V"])
def test_what_is_no_feed_is_refused(typed: str, tmp_path: Path) -> None:
    """Two voltages that it may be wired for, and what is no AC voltage of a house, are asked about."""
    case, found = read(tmp_path, house("120 V"), f"name;watts;hours;volts\nFan;60;5;{typed}\n")
    assert case is None
    assert [f.code for f in found.errors] == ["Q007"]
    assert ("the one it is wired for" in found.errors[0].remedy) == ("/" in typed)


def test_the_feed_of_the_house_may_be_a_range(tmp_path: Path) -> None:
    """Where it is the house's own, 220 to 240 V is 230 V."""
    case, _ = read(tmp_path, house("220-240 V"), "name,watts,hours\nFan,60,5\n")
    assert case is not None
    assert case.sizing.feed == "230 V"


@pytest.mark.parametrize(
    ("feed", "typed", "codes"),
    [("240 V", "5 A @ 230 V", []), ("230 V", "5 A @ 240 V", []), ("120 V", "5 A @ 115 V", []), ("120 V", "5 A @ 230 V", ["L004"])],
)  # fmt: skip
def test_amps_at_a_nameplate_voltage(feed: str, typed: str, codes: list[str], tmp_path: Path) -> None:
    """Within a tenth of the feed it is no disagreement, and the watts are those of the nameplate."""
    case, found = read(tmp_path, "", f"name;power;hours;volts\nFan;{typed};5;{feed}\n")
    assert [f.code for f in found.errors] == codes
    if case is not None:
        assert case.loads[0].running_w == 5 * float(typed.split()[3])
        assert case.loads[0].feed == feed


def test_amps_at_a_nameplate_voltage_of_the_house(tmp_path: Path) -> None:
    """In a house of 240 V a nameplate of 230 V states no feed of its own."""
    case, _ = read(tmp_path, house("240 V"), "name;power;hours\nFan;5 A @ 230 V;5\n")
    assert case is not None
    assert (case.loads[0].feed, case.loads[0].running_w) == (None, 1150)


UNIT = Candidate(name="U", storage_wh=2000, continuous_w=2000, surge_w=4000)


@pytest.mark.parametrize(
    ("name", "feed", "said"),
    [
        ("Well pump 230V", None, True),
        ("Well pump 230 V", "230 V", False),
        ("Well pump 230V", "240 V", False),
        ("Fan 115 V", None, False),
        ("Deep well pump", None, True),
        ("Deep well pump", "120 V", False),
        ("Dryer 120/240 V", "240 V", False),
        ("12 V fridge", None, True),
        ("12V fridge", "12 V DC", False),
        ("12 V battery charger", None, False),
        ("12 V router", "USB", False),
        ("18 V drill", None, False),
        ("Lamp 2305", None, False),
        ("Radio", None, False),
    ],
)
def test_a_name_that_states_another_voltage(name: str, feed: Any, said: bool) -> None:
    """A voltage in the name of a load is held against its feed; what is mostly wired for 240 V is asked."""
    load = Load(name=name, running_w=9, starting_w=9, hours_per_day=1, duty=0.5, feed=feed)
    unit = UNIT.model_copy(update={"ac_volts": 120.0, "ac_volts_2": 240.0 if feed == "240 V" else 230.0, "dc_w": 100.0})
    assert ("A025" in {f.code for f in advise(Case(loads=(load,), candidates=(unit,)))}) == said


@pytest.mark.parametrize(
    ("feed", "volts", "second", "said"),
    [("230 V", 240, None, True), ("240 V", 230, None, True), ("230 V", 230, None, False), ("120 V", 240, None, False),
     ("240 V", 230, 240, False), ("230 V", None, None, False)],
)  # fmt: skip
def test_a_candidate_beside_the_voltage_of_the_house(
    feed: Any, volts: float | None, second: float | None, said: bool
) -> None:
    """230 V and 240 V count as different; a warning says what to write where the data sheet gives a range."""
    unit = UNIT.model_copy(update={"ac_volts": volts, "ac_volts_2": second})
    found = advise(Case(loads=(), candidates=(unit,), sizing=Sizing(feed=feed)))
    told = [f for f in found if f.code == "A026"]
    assert bool(told) == said
    if said:
        assert "220-240 V" in told[0].remedy


def test_a_load_beside_the_voltage_of_the_candidates() -> None:
    """Where a candidate makes a voltage that near, the remedy says how to count it."""
    load = Load(name="Fan", running_w=9, hours_per_day=1, feed="240 V")
    unit = UNIT.model_copy(update={"ac_volts": 230.0})
    found = advise(Case(loads=(load,), candidates=(unit,), sizing=Sizing(feed="230 V")))
    assert [("write 230 V" in f.remedy) for f in found if f.code == "A008"] == [True]


PHASES = ["230/400 V", "400/230 V", "127/220 V", "120/208 V", "277/480 V", "400 V", "400", "380-415 V", "3 x 400 V", "3×230 V",
          "400 V three-phase", "230 V 3-phase", "3~ 400 V", "3-phasig", "dreiphasig 230 V", "Drehstrom", "triphasé", "trifásico"]  # fmt: skip


@pytest.mark.parametrize("typed", PHASES)
def test_a_unit_of_three_phases_is_refused(typed: str, tmp_path: Path) -> None:
    """Its output is not that of one phase, which bears a third: nothing is sized on it, and what to write is told."""
    units = f"name;storage_wh;continuous_w;surge_w;AC voltage\nU;20480;12000;24000;{typed}\n"
    case, found = read(tmp_path, house("230 V"), "name,watts,hours\nFan,60,5\n", units)
    assert case is None
    (told,) = (each for each in found.found if each.level == "error")
    assert (told.code, told.column) == ("Q001", "AC voltage")
    assert "three phases" in told.message
    assert "ONE phase" in told.remedy


@pytest.mark.parametrize("typed", ["12 kW three-phase", "12 kW, 230/400 V", "12 kW (3 ph)", "3~ 12 kW"])
def test_an_output_of_three_phases_is_refused_beside_any_voltage(typed: str, tmp_path: Path) -> None:
    """The word is not left aside where it stands beside the output instead."""
    units = f"name;storage_wh;Output;surge_w\nU;20480;{typed};24000\n"
    case, found = read(tmp_path, house("230 V"), "name,watts,hours\nFan,60,5\n", units)
    assert case is None
    assert [each.code for each in found.found if each.level == "error"] == ["Q001"]
    assert "three phases" in render(found.found)


@pytest.mark.parametrize(("first", "second"), [("230", "400"), ("120", "208"), ("400", "")])
def test_two_columns_of_three_phases_are_refused_too(first: str, second: str, tmp_path: Path) -> None:
    """A voltage in each of two columns, or in a case file, is judged as a pair in one cell is."""
    columns = f"ac_volts = {first}\n{f'ac_volts_2 = {second}' if second else ''}"
    toml = f'[[candidates]]\nname = "U"\nstorage_wh = 20480\ncontinuous_w = 12000\nsurge_w = 24000\n{columns}\n'
    (tmp_path / "case.toml").write_text(house("230 V") + toml, encoding="utf-8")
    (tmp_path / "loads.csv").write_text("name,watts,hours\nFan,60,5\n", encoding="utf-8")
    case, found, *_ = read_any(tmp_path)
    assert case is None
    assert "three phases" in render(found.found)


def test_the_outputs_of_a_house_of_208_volts_are_one_phase(tmp_path: Path) -> None:
    """208 V alone, and ranges that hold it, are between two live wires: no unit of three phases."""
    for typed in ("208 V", "200-240 V", "100-120/200-240 V"):
        units = f"name;storage_wh;continuous_w;surge_w;AC voltage\nU;2048;2400;4800;{typed}\n"
        case, found = read(tmp_path, house("208 V"), "name,watts,hours\nFan,60,5\n", units)
        assert case is not None, render(found.found)


def test_a_motor_for_240_v_has_230_v_on_its_plate(tmp_path: Path) -> None:
    """In a house of 120 V a plate of 230 V is supplied at 240 V, as one of 115 V is at 120 V; no unit there makes 230 V."""
    case, found = read(tmp_path, house("120 V"), "name;nameplate;hours\nWell pump;230 V 3/4 hp;1.5\n")
    assert case is not None
    assert case.loads[0].feed == "240 V"
    assert "230 V read as the nominal 240 V" in [each.message for each in found.found]
