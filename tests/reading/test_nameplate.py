"""Nameplates as they stand, and lengths of time as people say them."""

from pathlib import Path

import pytest

from holdover.reading.quantity.nameplate import adapter_output, read_plate, read_two_voltages
from holdover.reading.quantity.numbers import Fault
from holdover.reading.quantity.quantity import Quantity, read_quantity
from holdover.returned.read import read_any


def watts(text: str) -> Quantity:
    """What a text says where a load's watts are asked for."""
    return read_quantity(text, "W", ".", watts_of_load=True)


@pytest.mark.parametrize(
    ("text", "value", "kind", "volts"),
    [
        ("220-240 V 1.5 kW", 1500, "", 230),
        ("220-240V~50Hz 1500W", 1500, "", 230),
        ("Input: 230V 50Hz 2.2kW", 2200, "", 230),
        ("AC 120V 60Hz 1000W", 1000, "", 120),
        ("230V 1~ 0.75kW", 750, "", 230),
        ("1500 W 120 V", 1500, "", 120),
        ("120V 60Hz 6.5A", 6.5, "A", 120),
        ("120 V 60 Hz 6.5 A 780 W", 780, "", 120),
        ("220-240 V 50 Hz 4 A", 4, "A", 230),
        ("230 V 50 Hz 140 VA", 140, "VA", 230),
        ("230 V 140 VA", 140, "VA", 230),
        ("230V~ 50Hz 0.6A 140VA", 140, "VA", 230),
        ("1.2 kVA 120 V 60 Hz", 1200, "VA", 120),
        ("max 1400 W", 1400, "", None),
        ("45W LED", 45, "", None),
        ("Rated power: 850 W", 850, "", None),
    ],
)
def test_a_nameplate_is_taken_as_it_stands(text: str, value: float, kind: str, volts: float | None) -> None:
    """Words, frequency, phase and volts beside the draw are set aside; the middle of a range of volts is its nominal."""
    said = watts(text)
    assert (said.value, said.kind, said.volts) == (value, kind, volts)


@pytest.mark.parametrize(
    ("text", "value", "kind", "is_ceiling"),
    [
        ("MAX 10.2 A", 10.2, "A", True),
        ("120V 60Hz MAX 10.2A", 10.2, "A", True),
        ("10.2 A MAX 120V 60Hz", 10.2, "A", True),
        ("max. 1400 W", 1400, "", True),
        ("up to 60 W", 60, "", True),
        ("MCA 8.5", 8.5, "A", True),
        ("MCA 8.5 A MOCP 15 A", 8.5, "A", True),
        ("Max. fuse 15 A", 15, "A", True),
        ("8 A, max 10.2 A", 8, "A", False),
        ("rated 850 W max 1400 W", 850, "", False),
        ("115V 60Hz 12A max fuse 15A", 12, "A", False),
        ("FLA 4.2 A MAX FUSE 15A", 4.2, "A", False),
        ("4.2 FLA", 4.2, "A", False),
    ],
)
def test_a_maximum_is_told_from_a_draw(text: str, value: float, kind: str, is_ceiling: bool) -> None:
    """MCA sizes the wire and MOCP the breaker (NEC 440.4(B), by transcription): neither is what is drawn; FLA is."""
    said = watts(text)
    assert (said.value, said.kind, read_plate(text).is_ceiling) == (value, kind, is_ceiling)


@pytest.mark.parametrize("text", ["100-240 V 50/60 Hz 1.5 A", "INPUT 100-240V~ 1.5A 50-60Hz"])
def test_a_supply_for_any_outlet_draws_its_current_at_the_lowest_voltage(text: str) -> None:
    """A supply of constant power draws most amperes at 100 V: 1.5 A there are 150 VA, not 360 at 240 V (Ohm)."""
    said = watts(text)
    assert (said.value, said.kind, said.volts) == (150, "VA", None)


@pytest.mark.parametrize("text", ["1800-2200 W", "1.5 kW 3 ph", "60 W or so", "230 V", "220-240 V", "50 Hz"])
def test_what_is_no_one_draw_is_refused(text: str) -> None:
    """A range of watts, three phases, words that may mean something, and plates that state no draw."""
    with pytest.raises(Fault):
        watts(text)


def test_the_fault_is_shown_at_its_place() -> None:
    """What is set aside leaves the places of the rest as they were typed."""
    with pytest.raises(Fault) as wrong:
        watts("230 V 50 Hz 1.5 kWx")
    assert wrong.value.at < len("230 V 50 Hz 1.5 kWx")


@pytest.mark.parametrize(
    ("text", "hours", "starts_at"),
    [
        ("evening", 5, 18),
        ("2 h in the evening", 2, 18),
        ("evening, 2 h", 2, 18),
        ("90 min every night", 1.5, 22),
        ("Night", 8, 22),
        ("overnight", 8, 22),
        ("17:00-22:00", 5, 17),
        ("2-3 h", 3, None),
        ("2 to 3 hours", 3, None),
        ("20-30 min", 0.5, None),
        ("half an hour", 0.5, None),
    ],
)
def test_time_is_taken_as_people_say_it(text: str, hours: float, starts_at: float | None) -> None:
    """A time of day by its name, the longer of two lengths: what was counted for them is told."""
    said = read_quantity(text, "h", ".")
    assert (said.value, said.starts_at) == (hours, starts_at)
    assert bool(said.guessed) == (text not in ("17:00-22:00", "half an hour"))


@pytest.mark.parametrize("text", ["8-17", "8-17 h", "3-2 h", "morning and evening", "7 in the morning", "morning 7"])
def test_what_may_be_the_clock_is_refused(text: str) -> None:
    """`8-17 h` may be from eight to five, and two times of day are two rows."""
    with pytest.raises(Fault):
        read_quantity(text, "h", ".")


@pytest.mark.parametrize(
    ("plate", "gives"),
    [
        ("Input 100-240V~ 50-60Hz 2A; output 24V 3.75A", "24V 3.75A"),
        ("INPUT: 100-240V 1.5A, OUTPUT: 19V⎓3.42A", "19V 3.42A"),
        ("Input 230 V 2 A", ""),
        ("1000 W output", ""),
        ("24V 3.75A", ""),
    ],
)
def test_an_adapter_states_what_it_takes_and_what_it_gives(plate: str, gives: str) -> None:
    """What it takes at most is for any outlet of the world; what is plugged into it takes what it gives."""
    assert adapter_output(plate) == gives


@pytest.mark.parametrize(
    ("plate", "watts", "feed"),
    [("Input 100-240V~ 2A; output 24V 3.75A", 90, None), ("Input 100-240V~ 2A; output 24V 3.75A 90W", 90, None), ("230 V", 600, "230 V")],
)  # fmt: skip
def test_a_plate_of_an_adapter_or_of_volts_alone_is_read(plate: str, watts: float, feed: str, tmp_path: Path) -> None:
    """The adapter is plugged into an outlet; volts alone are the feed, and the draw is what is typical."""
    (tmp_path / "case.toml").write_text("use_typical = true\n", encoding="utf-8")
    (tmp_path / "loads.csv").write_text(f'name,nameplate,hours\nGas boiler,"{plate}",8\n', encoding="utf-8")
    case, found, *_ = read_any(tmp_path)
    assert case is not None, found.found
    assert case.loads[0].feed == feed
    assert feed or case.loads[0].running_w == watts


@pytest.mark.parametrize("plate", ["115/230V 9.6/3.2A", "115/400 V 9.6/4.8 A", "115/230V 9.6/4.8A max", "9.6/4.8A"])
def test_only_a_current_that_halves_is_that_of_a_motor_for_two_voltages(plate: str) -> None:
    """At twice the voltage a motor draws half the current; any other plate is left to be refused."""
    assert read_two_voltages("115/230V 9.6/4.8A") is not None
    assert read_two_voltages(plate) is None
