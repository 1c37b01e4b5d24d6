"""The starter cases for a stall, a vehicle and a clinic, and what all starters have in common.

What the starter for a house tells beside that stands in `test_samples.py`.
"""

import re
import shutil
from functools import cache
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from cli.running import ran
from holdover.case.schema import Case
from holdover.cli import new
from holdover.model.study import Study, study
from holdover.model.verdict.fit import OUTAGE, OUTPUT, UNDER
from holdover.returned.form import answers_in
from holdover.returned.questions import PURPOSES
from holdover.returned.read import read_any
from holdover.xlsx import read_xlsx

ROOT = Path(__file__).resolve().parents[1]
TEMPLATES = ROOT / "templates"
STARTERS = ("home", "stall", "vehicle", "clinic")
FEEDS = {"home": "120 V", "stall": "230 V", "vehicle": "120 V", "clinic": "230 V"}
FILES = {"case.toml", "loads.csv", "candidates.csv"}


@cache
def started(name: str) -> Study:
    """What the starter case comes to."""
    case, findings, _ = read_any(TEMPLATES / name)
    assert case is not None, [one.message for one in findings.errors]
    return study(case)


def test_there_is_a_starter_for_every_word_and_no_other() -> None:
    """The words of `--from` are the folders that ship; help and README name each."""
    assert get_args(get_type_hints(new)["like"]) == STARTERS
    assert {each.name for each in TEMPLATES.iterdir()} == set(STARTERS)
    told, readme = ran("new", "--help").out, (ROOT / "README.md").read_text(encoding="utf-8")
    (row,) = (line for line in readme.splitlines() if line.startswith("| `holdover new "))
    for name in STARTERS:
        assert re.search(rf"Starter case:.*\b{name}\b", " ".join(told.split())), name
        assert f"`{name}`" in row


@pytest.mark.parametrize("name", STARTERS)
def test_new_copies_the_starter_that_is_asked_for(name: str, tmp_path: Path) -> None:
    """Byte for byte, and `check` has nothing to remark on it: no error, no warning, no note."""
    assert ran("new", tmp_path / "job", "--from", name).code == 0
    assert {each.name for each in (tmp_path / "job").iterdir()} == FILES
    for file in FILES:
        assert (tmp_path / "job" / file).read_bytes() == (TEMPLATES / name / file).read_bytes()
    told = ran("check", tmp_path / "job")
    assert (told.code, told.out) == (0, "nothing to remark\n")


def test_new_without_a_word_starts_a_house(tmp_path: Path) -> None:
    """As before there was a choice."""
    assert ran("new", tmp_path / "job").code == 0
    assert (tmp_path / "job" / "loads.csv").read_bytes() == (TEMPLATES / "home" / "loads.csv").read_bytes()


@pytest.mark.parametrize("word", ["shop", "../home", "Home", ""])
def test_another_word_is_refused_with_the_four_that_are_known(word: str, tmp_path: Path) -> None:
    """The command line was wrong: exit code 2, what was found, what is allowed, and no folder is left behind."""
    done = ran("new", tmp_path / "job", "--from", word)
    assert done.code == 2
    said = " ".join(done.err.split())
    assert "--from" in said
    assert f"'{word}'" in said
    assert all(f"'{name}'" in said for name in STARTERS)
    assert not (tmp_path / "job").exists()


def test_help_shows_how_to_ask_for_one() -> None:
    """An example that can be typed as it stands."""
    told = " ".join(ran("new", "--help").out.split())
    (folder, name) = re.findall(r"holdover new (\S+) --from (\w+)", told)[0]
    assert (folder, name in STARTERS) == ("my-stall", True)


@pytest.mark.parametrize("name", STARTERS)
def test_a_form_asks_for_what_its_starter_is_for(name: str, tmp_path: Path) -> None:
    """The purpose stands there already; the form is one workbook, and no folder."""
    assert ran("new", tmp_path / "job", "--from", name, "--form").code == 0
    assert [each.name for each in tmp_path.iterdir()] == ["job.xlsx"]
    book = read_xlsx((tmp_path / "job.xlsx").read_bytes(), "job.xlsx")
    purpose = answers_in(book, "job.xlsx")["purpose"].value
    assert purpose == ("power cut" if name == "home" else name)
    assert purpose in PURPOSES


@pytest.mark.parametrize("name", STARTERS)
def test_one_is_picked_and_the_others_fall_short_for_reasons_of_their_own(name: str) -> None:
    """At least one fits; each that does not is told in other words than the rest, its numbers aside."""
    found = started(name)
    listed = [offer for offer in found.offers if offer.name]
    short = [offer for offer in listed if not offer.fit.fits]
    assert 3 <= len(listed) <= 4
    assert found.decision.pick in {offer.name for offer in listed if offer.fit.fits}
    assert short
    for offer in short:
        assert UNDER in [getattr(offer.fit, check).verdict for check in (*OUTPUT, *OUTAGE)]
    assert len({re.sub(r"\d+", "", offer.reason) for offer in short}) == len(short)


@pytest.mark.parametrize("name", STARTERS)
def test_nothing_is_left_open_about_the_pick(name: str) -> None:
    """The promise is kept with its margin, and no figure of its data sheet has to be asked for."""
    found = started(name)
    assert found.case.sizing.feed == FEEDS[name]
    (pick,) = (offer for offer in found.offers if offer.name == found.decision.pick)
    assert (pick.fit.output, pick.fit.outage, pick.ask) == ("OK", "OK", "")
    assert pick.carried.promise.kept == 1


@pytest.mark.parametrize("name", STARTERS)
def test_the_rows_say_that_they_are_examples(name: str) -> None:
    """Nobody takes an invented figure for one of their own."""
    case = started(name).case
    for named in (*(load.name for load in case.loads), *(candidate.name for candidate in case.candidates)):
        assert named.endswith(" (example)")


def uncommented(name: str, folder: Path) -> Case:
    """The starter case with every line that only shows a value brought to life."""
    shutil.copytree(TEMPLATES / name, folder)
    file = folder / "case.toml"
    file.write_text(re.sub(r"(?m)^#(?=[a-z])", "", file.read_text(encoding="utf-8")), encoding="utf-8")
    case, findings, _ = read_any(folder)
    assert case is not None, [one.message for one in findings.errors]
    return case


@pytest.mark.parametrize("name", STARTERS[1:])
def test_a_line_that_shows_a_value_shows_the_usual_one(name: str, tmp_path: Path) -> None:
    """With the # taken away from all of them the case is the same."""
    text = (TEMPLATES / name / "case.toml").read_text(encoding="utf-8")
    assert len(re.findall(r"(?m)^#[a-z_]+ = ", text)) >= 8
    assert uncommented(name, tmp_path / "case").model_dump() == started(name).case.model_dump()


@pytest.mark.parametrize("name", STARTERS[1:])
def test_every_setting_is_explained(name: str) -> None:
    """Words stand behind each, or behind the first of a few that belong together."""
    text = (TEMPLATES / name / "case.toml").read_text(encoding="utf-8")
    plain = {"schema", "title", "client", "place", "prepared_by", "date", "note", "month", "ambient_c"}
    told = plain | {"reading_2", "reading_3", "reading_4", "sky", "distance_unit", "consumption_unit"}
    for line in re.findall(r"(?m)^#?[a-z_0-9]+ = .*$", text):
        assert "#" in line.lstrip("#") or line.lstrip("#").split(" = ")[0] in told, line


# What each is for


def test_a_stall_repeats_its_day() -> None:
    """It charges overnight at home: the day ends with as much as it began with, and without the outlet it would not."""
    found = started("stall")
    outage = found.case.outage
    assert outage.repeats == "yes"
    assert outage.mains_hours > 0
    assert found.shown.carried.daily_balance_wh >= 0
    away = found.case.model_copy(update={"outage": outage.model_copy(update={"mains_hours": 0.0})})
    assert study(away).shown.carried.daily_balance_wh < 0
    assert "outage" not in found.case.about.title.lower()


def test_a_stall_switches_the_kettle_off_before_the_terminal() -> None:
    """Tiers show something: the pick serves what is promised, and not all that would be nice."""
    tiers = started("stall").shown.carried.tiers
    assert tiers["critical"].served_share == tiers["essential"].served_share == 1
    assert tiers["convenience"].served_share < 1


def test_a_vehicle_arrives_on_level_1_charging() -> None:
    """At 120 V and 12 A, packs and all; one candidate can't feed the charger, another has too little storage."""
    found = started("vehicle")
    vehicle = found.case.vehicle
    assert (vehicle.distance > 0, vehicle.charger_v, vehicle.charger_a) == (True, 120, 12)
    assert found.shown.held.packs > 0
    reasons = " ".join(offer.reason for offer in found.offers if offer.name and not offer.fit.fits)
    assert "its charger draws 210 W more than this unit gives" in reasons
    assert "storage for loads and drive" in reasons


def test_a_clinic_carries_its_critical_loads_on_its_own_sun() -> None:
    """The refrigerator with its gap, and modules with all figures that a layout stands on; without sun it takes more.

    Off the grid nothing is transferred, so that the gap decides nothing; where mains feeds the practice it would.
    """
    found = started("clinic")
    case = found.case
    assert any(load.gap_ms and load.tier == "critical" and "refrigerator" in load.name for load in case.loads)
    assert case.array.modules > 0
    reasons = " ".join(offer.reason for offer in found.offers if offer.name and not offer.fit.fits)
    assert "transfer: a gap of" not in reasons
    on_mains = study(case.model_copy(update={"about": case.about.model_copy(update={"purpose": "outage"})}))
    assert any("transfer: a gap of" in offer.reason for offer in on_mains.offers)
    assert "too high in the cold" in reasons
    dark = case.model_copy(update={"array": case.array.model_copy(update={"modules": 0})})
    assert study(dark).shown.held.packs > found.shown.held.packs


@pytest.mark.parametrize("name", STARTERS)
def test_a_starter_builds_without_a_warning(name: str, tmp_path: Path) -> None:
    """A workbook is written, and nothing is said beside the summary."""
    done = ran("build", TEMPLATES / name, "-o", tmp_path / "job.xlsx")
    assert (done.code, done.err) == (0, "")
    assert (tmp_path / "job.xlsx").stat().st_size > 100_000
