"""Every folder two levels below is a case: its expected.txt is what `check` prints of it, word for word.

Drop a folder into a group, and it is a test. Files that lie in the group itself stand in for those a case lacks.
A workbook that is alone in its folder is checked as one that came back.
`values.json` holds, by path such as `loads.0.running_w`, what the case must have; null: not set.
HOLDOVER_SNAPSHOTS=write renews each expected.txt, to be read before it is committed.
"""

import json
import os
import shutil
import sys
from pathlib import Path

import pytest

from holdover.cli import main
from hostile.judge import judge

HERE = Path(__file__).parent
CASES = sorted(path for path in HERE.glob("*/*/") if path.parent.name != "__pycache__")


def laid_out(case: Path, folder: Path) -> Path:
    """What `check` is given: a folder with the files of the group, over which those of the case are laid."""
    home = folder / "case"
    home.mkdir()
    for shared in (path for path in case.parent.iterdir() if path.is_file()):
        shutil.copyfile(shared, home / shared.name)
    shutil.copytree(case, home, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt", "values.json"))
    files = list(home.iterdir())
    return files[0] if [file.suffix for file in files] == [".xlsx"] else home


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.parent.name}/{case.name}")
def test_folder(
    case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`check` prints what is expected, and the case that was read holds the values."""
    home = laid_out(case, tmp_path)
    monkeypatch.setattr(sys, "argv", ["holdover", "check", str(home)])
    with pytest.raises(SystemExit) as left:
        main()
    printed = capsys.readouterr().out
    expected = case / "expected.txt"
    if os.environ.get("HOLDOVER_SNAPSHOTS") == "write":
        expected.write_text(printed, encoding="utf-8", newline="\n")
    assert expected.is_file(), f"{expected} is missing: make it with HOLDOVER_SNAPSHOTS=write, and read it:\n{printed}"
    assert printed == expected.read_text(encoding="utf-8")
    values = case / "values.json"
    judged = judge(home, json.loads(values.read_text(encoding="utf-8")) if values.is_file() else {})
    assert left.value.code == (1 if judged.errors else 0)


def test_no_case_is_passed_by() -> None:
    """There are hundreds of folders, and none holds an expectation deeper or higher than a case stands."""
    assert len(CASES) >= 500
    assert {path.parent for path in HERE.rglob("expected.txt")} == set(CASES)
