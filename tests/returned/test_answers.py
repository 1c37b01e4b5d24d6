"""What people answer on a form in words, and what it is read as."""

from pathlib import Path

import pytest

from holdover.returned.read import read_any
from returned.forms import filled_form

LAMP = {"name": "Lamp", "running_w": 9, "hours_per_day": "evening"}


def answers(**more: str | int) -> dict[str, str | int]:
    """What must be answered, and more."""
    return {"country": "Canada", **more}


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("garage, about 45 F in winter", 7.2222),
        ("45 degrees F in the garage", 7.2222),
        ("cellar: 12 °C", 12),
        ("shed, -5 C", -5),
        ("5 below zero C", None),
        ("45 F, 90 F in summer", None),
        ("about 45 in winter", None),
    ],
)
def test_an_amount_is_taken_out_of_a_phrase(typed: str, celsius: float | None, tmp_path: Path) -> None:
    """A single number with its unit says what is meant, and it is told; whatever may mean another is refused."""
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(storage_c=typed), [LAMP]))
    assert (case is None) == (celsius is None)
    if case is not None and celsius is not None:
        assert case.sizing.storage_c == pytest.approx(celsius, abs=1e-4)
        assert "R004" in {finding.code for finding in findings.found}


@pytest.mark.parametrize(
    ("country", "typed", "celsius", "told"),
    [
        ("US", 45, 7.2222, "`45` read as 45 °F, which is 7.222 °C"),
        ("US", "45", 7.2222, "`45` read as 45 °F, which is 7.222 °C"),
        ("US", "45 C", 45, ""),
        ("US", "10 C", 10, ""),
        ("Canada", 10, 10, ""),
    ],
)
def test_a_bare_temperature_is_in_what_the_country_reads(
    country: str, typed: str | int, celsius: float, told: str, tmp_path: Path
) -> None:
    """In the United States 45 is a cold garage, not a hot one; what was read is told in both units."""
    about = answers(country=country, storage_c=typed)
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", about, [LAMP]))
    assert case is not None
    assert case.sizing.storage_c == pytest.approx(celsius, abs=1e-4)
    assert [finding.message for finding in findings.found if finding.code == "R004"] == [told] * bool(told)


def test_a_motor_takes_the_same_whichever_cell_its_horsepower_stands_in(tmp_path: Path) -> None:
    """A sump pump of 1/2 hp for 2 h: in the name or on the plate; its hours count whole."""
    loads: list[dict[str, object]] = [
        {"name": "Sump pump, 1/2 hp", "hours_per_day": "2 h"},
        {"name": "Sump pump ", "running_w": "1/2 hp", "hours_per_day": "2 hours a day"},
        {"name": "Garage door opener", "running_w": "1/2 hp"},
    ]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), loads))
    assert case is not None
    drawn = [(load.running_w, load.starting_w, load.hours_per_day, load.duty) for load in case.loads]
    assert drawn[0] == drawn[1] == (940, drawn[0][1], 2, 1)
    assert case.loads[2].running_w == pytest.approx(901.6)  # of the plate: no typical one is known by its horsepower
    told = [finding for finding in findings.found if "the 2 h that you state are counted whole" in finding.message]
    assert [finding.code for finding in told] == ["L007"] * 2


def test_what_people_say_of_times_and_plates_is_read(tmp_path: Path) -> None:
    """A length within a part of the day, days in words; what an adapter gives is drawn at the outlet, and it is told."""
    loads: list[dict[str, object]] = [
        {"name": "coffee machine", "running_w": "900 W", "hours_per_day": "morning, 10 min"},
        {"name": "toaster", "running_w": "900 W", "hours_per_day": "10 min in the morning"},
        {"name": "internet box", "running_w": "12V 2A", "hours_per_day": "always"},
        {"name": "12 V cooler", "running_w": "12 V 4 A", "hours_per_day": 8},
        {"name": "router", "running_w": "12V 1A", "feed": "12 V DC", "hours_per_day": 8},
        {"name": "CPAP", "running_w": "24V 3.75A 90W", "hours_per_day": 8},
    ]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(country="US", days="two days"), loads))
    assert case is not None
    assert case.outage.days == 2
    assert [(load.starts_at, round(load.hours_per_day or 0, 4)) for load in case.loads[:2]] == [(6, 0.1667)] * 2
    assert [load.running_w for load in case.loads] == [900, 900, 24, 48, 12, 90]
    assert [load.feed for load in case.loads[2:]] == [None, "12 V DC", "12 V DC", None]
    told = [finding.message for finding in findings.found if "adapter" in finding.message]
    assert told == [
        "`12V 2A` is what its adapter gives: 24 W are counted, plugged into an outlet",
        "`24V 3.75A 90W` is what its adapter gives: 90 W are counted, plugged into an outlet",
    ]


def test_a_data_sheet_with_solar_figures_has_one_input_at_least(tmp_path: Path) -> None:
    """Its number is often left out where there is one; that one is counted, and it is told."""
    sheet = ["Unit A", "Capacity: 2048 Wh", "Output: 2400 W", "Surge: 4800 W", "Solar input 500 W max, 11-60 V, 15 A"]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), [LAMP], [[line] for line in sheet]))
    assert case is not None
    assert (case.candidates[0].pv_inputs, case.candidates[0].pv_max_v) == (1, 60)
    codes = {finding.code for finding in findings.found}
    assert "R006" in codes
    assert "A027" not in codes
