"""What a form takes of a nameplate, and what it takes as typical beside it."""

from pathlib import Path

import pytest

from holdover.case.schema import Case
from holdover.findings import render
from holdover.returned.read import read_any
from returned.forms import filled_form


def answers(**more: str) -> dict[str, str]:
    """What must be answered, and more."""
    return {"country": "Canada", **more}


def case_of(file: Path) -> Case:
    """The case of a form that can be read."""
    case, findings, _ = read_any(file)
    assert case is not None, render(findings.found)
    return case


def test_a_name_alone_is_enough(tmp_path: Path) -> None:
    """Watts, hours, duty and start are taken as typical, and told; the hours also beside a nameplate."""
    loads = [{"name": "Fridge"}, {"name": "Chest freezer", "running_w": "1.2 A"}]
    file = filled_form(tmp_path / "a.xlsx", answers(), loads)
    fridge, freezer = case_of(file).loads
    assert (fridge.hours_per_day, fridge.basis) == (24, "typical")
    assert fridge.running_w
    assert fridge.running_w * 24 * (fridge.duty or 1) == pytest.approx(1500)
    assert (freezer.running_w, freezer.hours_per_day, freezer.basis) == (144, 24, "typical")
    assert (freezer.running_w or 0) * 24 * (freezer.duty or 1) == pytest.approx(750)
    assert (freezer.starting_w or 0) > 144
    told = [finding.item for finding in read_any(file)[1].found if finding.code == "L007"]
    assert told == ["Fridge", "Chest freezer"]


def test_an_energy_label_in_place_of_the_nameplate_is_metered_energy(tmp_path: Path) -> None:
    """The energy of the label counts (365 days a year), and typical watts and start carry it on the inverter; both are told."""
    loads: list[dict[str, object]] = [
        {"name": "Fridge", "running_w": "230 kWh/yr"},
        {"name": "Chest freezer", "measured_wh_per_day": "700 Wh"},
    ]
    file = filled_form(tmp_path / "a.xlsx", answers(), loads)
    fridge, freezer = case_of(file).loads
    assert fridge.measured_wh_per_day == pytest.approx(230_000 / 365)
    assert freezer.measured_wh_per_day == 700
    for load in (fridge, freezer):
        assert (load.starting_w or 0) > (load.running_w or 0) > 50
        assert load.basis is None
    found = read_any(file)[1].found
    assert [finding.item for finding in found if finding.code == "L007"] == ["Fridge", "Chest freezer"]
    assert [finding.item for finding in found if finding.code == "L005"] == ["Fridge"]
    assert "A005" not in {finding.code for finding in found}


def test_nothing_is_filled_in_where_a_name_means_several_things(tmp_path: Path) -> None:
    """A bare pump is asked for, with the pumps that it may be."""
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), [{"name": "pump"}]))
    assert case is None
    (error,) = [each for each in findings.errors if each.column != "x" and "several" in each.message]
    assert "ump" in error.allowed


def test_a_maximum_on_a_plate_is_no_draw(tmp_path: Path) -> None:
    """A typical draw counts within it; above it the maximum; of a motor its horsepower, whatever its name says."""
    file = filled_form(
        tmp_path / "a.xlsx",
        answers(),
        [
            {"name": "furnace blower", "running_w": "MAX 10.2 A"},
            {"name": "toaster", "running_w": "max. 500 W"},
            {"name": "sump pump 1/3 hp", "running_w": "1/2 hp, max 12 A"},
            {"name": "LED bulb", "running_w": "max 60 W", "basis": "metered"},
        ],
    )
    case, findings, _ = read_any(file)
    assert case is not None
    assert [(load.running_w, load.basis) for load in case.loads[:2]] == [(600, "typical"), (500, None)]
    assert case.loads[2].running_w == pytest.approx(0.8 * 9.8 * 115)  # NEC Table 430.248, by transcription
    assert case.loads[2].starting_w == pytest.approx(58.8 * 115)  # NEC Table 430.251(A), by transcription
    assert (case.loads[3].running_w, case.loads[3].basis) == (60, "metered")
    said = [finding.message for finding in findings.found if finding.code == "L010"]
    assert len(said) == 3
    assert "1224 W" in said[0]
    assert "600 W are counted" in said[0]


def test_a_maximum_counts_whole_for_what_must_never_stop(tmp_path: Path) -> None:
    """A CPAP of `90W max` counts 90 W in a form as in a folder, its humidifier on, and all of its hours."""
    loads: list[dict[str, object]] = [
        {"name": "CPAP", "running_w": "90W max"},
        {"name": "Furnace blower", "running_w": "MAX 5 A", "tier": "critical"},
        {"name": "Oxygen concentrator 5 L", "running_w": "120 V 4 A"},
    ]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), loads))
    assert case is not None
    assert [(load.running_w, load.basis) for load in case.loads] == [(90, None), (600, "typical"), (480, None)]
    assert [load.duty for load in case.loads][::2] == [None, None]
    assert (case.loads[0].hours_per_day, case.loads[2].hours_per_day) == (8, 24)
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "case.toml").write_text('schema = "holdover case 1"\n', encoding="utf-8")
    (folder / "candidates.csv").write_text("name,wh,output\n", encoding="utf-8")
    (folder / "loads.csv").write_text("name,watts,hours,tier\nCPAP,90W max,8,critical\n", encoding="utf-8")
    told = [each.message for found in (findings, read_any(folder)[1]) for each in found.found if each.code == "L010"]
    assert [("90 W are counted" in each, "humidifier" in each) for each in told] == [
        (True, True),
        (False, True),
        (True, True),
    ]


def test_what_is_typical_of_a_refrigerator_says_so(tmp_path: Path) -> None:
    """Its plate is the most it draws, so that its start and the share of the day that it runs are typical ones."""
    loads = [{"name": "Refrigerator", "running_w": "115 V 6.5 A"}]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(country="US"), loads))
    assert case is not None
    (fridge,) = case.loads
    assert (fridge.running_w, fridge.starting_w, fridge.basis) == (747.5, 1800, "typical")
    assert 24 * 747.5 * (fridge.duty or 0) == pytest.approx(1500)
    (told,) = [each.message for each in findings.found if each.code == "L007"]
    assert "1800 VA at start; its plate states the most it draws" in told
