"""Case folders: the name of the candidate shown, file names nobody can open, links out of the folder."""

from pathlib import Path

import pytest

from holdover.advice.remarks import advise
from holdover.case.schema import Candidate, Case, Load, Outage
from holdover.findings import Findings
from holdover.model.study import study
from holdover.returned.read import read_any

LONG = "x" * 300


def shown(folder: Path, candidate: str, *names: str) -> tuple[Case, Findings]:
    """A case whose outage shows a candidate, beside the candidates on offer."""
    units = "".join(f'"{name}",1000,1000,2000\n' for name in names)
    (folder / "case.toml").write_text(f'[outage]\ncandidate = "{candidate}"\n', encoding="utf-8")
    (folder / "loads.csv").write_text("name,running_w,hours_per_day\nLamp,10,5\n", encoding="utf-8")
    (folder / "candidates.csv").write_text("name,storage_wh,continuous_w,surge_w\n" + units, encoding="utf-8")
    case, findings, _ = read_any(folder)
    assert case is not None
    return case, findings


@pytest.mark.parametrize("typed", ["Unit-Two example", "unit_two EXAMPLE", " Unit  Two example."])
def test_the_candidate_shown_takes_the_spelling_of_the_offer(tmp_path: Path, typed: str) -> None:
    """A name that differs by punctuation or spaces is that candidate's, with a note, and the outage follows it."""
    case, findings = shown(tmp_path, typed, "Unit One example", "Unit Two example")
    assert case.outage.candidate == "Unit Two example"
    (note,) = findings.found
    assert (note.code, note.level, note.file, note.row) == ("Q027", "note", "case.toml", 2)
    assert "Unit Two example" in note.message
    assert [offer.name for offer in study(case).offers if offer.shown] == ["Unit Two example"]


def test_the_candidate_shown_keeps_a_name_that_is_one(tmp_path: Path) -> None:
    """What the model takes as it stands is not changed; of two that are alike none is guessed."""
    case, findings = shown(tmp_path, "unit-one", "Unit-One", "Unit One")
    assert case.outage.candidate == "unit-one"
    assert [f.code for f in findings.found] == ["A013"]
    case, findings = shown(tmp_path, "unit.one", "Unit-One", "Unit One")
    assert case.outage.candidate == "unit.one"
    assert [f.code for f in findings.found] == ["A013", "A016"]


def test_advice_knows_a_candidate_by_the_model_s_rule() -> None:
    """In a workbook nothing is replaced: a name that the formulas do not find is told, one in small letters is not."""
    unit = Candidate(name="Unit One", storage_wh=1000, continuous_w=1000, surge_w=2000, ac_volts=120)
    load = Load(name="Lamp", running_w=10, hours_per_day=5)
    for name, codes in (("unit one", []), ("Unit-One", ["A016"])):
        case = Case(loads=(load,), candidates=(unit,), outage=Outage(candidate=name))
        assert [f.code for f in advise(case)] == codes
        assert bool(study(case).offers[0].shown) == (not codes)


@pytest.mark.parametrize("name", [LONG, f"{LONG}.toml", f"{LONG}/case.toml"])
def test_a_name_too_long_for_the_system_is_a_finding(tmp_path: Path, name: str) -> None:
    """The system refuses to look at it; that is told, with its reason."""
    case, findings, _ = read_any(tmp_path / name)
    assert case is None
    (found,) = findings.found
    assert found.code in {"F001", "F010"}  # from Python 3.14 on such a path is just not there
    assert found.level == "error"


def test_a_table_that_can_not_be_looked_at_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system forbids to look at loads.csv it is told that it can't be opened."""
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    stat = Path.stat

    def refuse(path: Path, *, follow_symlinks: bool = True) -> object:
        if path.name == "loads.csv":
            raise PermissionError(13, "Permission denied")
        return stat(path, follow_symlinks=follow_symlinks)

    monkeypatch.setattr(Path, "stat", refuse)
    case, findings, _ = read_any(tmp_path)
    assert case is None
    assert [(f.code, f.file) for f in findings.found] == [("F010", "loads.csv")]


def test_a_case_file_that_leads_out_of_the_folder(tmp_path: Path) -> None:
    """A link in a folder from elsewhere is not followed out of it; one that stays inside is."""
    (tmp_path / "secret.toml").write_text('[about]\ntitle = "Secret"\n', encoding="utf-8")
    home = tmp_path / "home"
    home.mkdir()
    (home / "case.toml").symlink_to(tmp_path / "secret.toml")
    case, findings, _ = read_any(home)
    assert case is None
    assert [(f.code, f.file) for f in findings.found] == [("F007", "case.toml")]
    (home / "case.toml").unlink()
    (home / "mine.toml").write_text('[about]\ntitle = "Mine"\n', encoding="utf-8")
    (home / "case.toml").symlink_to("mine.toml")
    case, *_ = read_any(home)
    assert case is not None
    assert case.about.title == "Mine"
