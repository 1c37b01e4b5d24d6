"""Many cases: none stops another, what is there already is minded, work that was broken off goes on."""

import json
import threading
import zipfile
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import holdover
from fleet.fleets import Here, house
from holdover.fleet.batch import Step
from holdover.workbook.save import NotWritten


@pytest.fixture
def street(tmp_path: Path) -> Path:
    """Four cases, one of which has an error."""
    for number in (1, 2, 4):
        house(tmp_path / "street" / f"house {number}", watts=str(20 * number), title=f"No. {number}")
    house(tmp_path / "street" / "house 3", watts="abc")
    return tmp_path / "street"


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, sample_bytes: bytes) -> None:
    """For tests of what is done and where files go, not of what is in them: each workbook is the same one."""
    monkeypatch.setattr(holdover, "build", lambda _: sample_bytes)


@pytest.fixture(scope="module")
def sample_bytes(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A workbook."""
    return holdover.build(holdover.study(holdover.read_case(house(tmp_path_factory.mktemp("one") / "house"))))


def states(done: holdover.Batch) -> dict[str, str]:
    return {Path(entry.case).name: entry.state for entry in done.entries}


def test_each_case_becomes_what_build_makes_of_it(street: Path, tmp_path: Path) -> None:
    """The workbooks are those that build writes; the index has a line a case, in order, with what is wrong where it is."""
    told: list[Step] = []
    done = holdover.batch([street], tmp_path / "out", executor=Here(), tell=told.append)
    assert states(done) == {"house 1": "written", "house 2": "written", "house 3": "errors", "house 4": "written"}
    assert [(step.done, step.of) for step in told] == [(1, 4), (2, 4), (3, 4), (4, 4)]
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {"house 1.xlsx", "house 2.xlsx", "house 4.xlsx", "index.json", "index.xlsx"}
    study = holdover.study(holdover.read_case(street / "house 2"))
    assert holdover.audit(tmp_path / "out" / "house 2.xlsx", against=street / "house 2").clean
    entry = done.entries[1]
    assert (entry.pick, entry.price, entry.energy_wh) == ("Unit Alder", 900, study.demand.energy_wh)
    assert entry.headline == study.decision.headline
    assert done.entries[2].headline.startswith('loads.csv, row 2 ("Lamp"), column watts')
    index = json.loads((tmp_path / "out" / "index.json").read_bytes())
    assert [case["title"] for case in index["cases"]] == ["No. 1", "No. 2", "", "No. 4"]
    assert index["cases"][2]["findings"][0]["code"] == "Q001"
    sheet = openpyxl.load_workbook(tmp_path / "out" / "index.xlsx")["Cases"]
    assert "No. 4" in [cell.value for cell in sheet["A"]]


@pytest.mark.usefixtures("quick")
def test_resume_leaves_what_is_up_to_date(street: Path, tmp_path: Path) -> None:
    """Only a case that changed, or whose workbook is gone, is worked out again; one with errors is not read twice."""
    out = tmp_path / "out"
    holdover.batch([street], out, executor=Here())
    again = Here()
    done = holdover.batch([street], out, executor=again, resume=True)
    assert (again.calls, done.reused, len(done.entries)) == (0, 4, 4)
    (street / "house 1" / "loads.csv").write_text("name,watts,hours\nLamp,33,5\n", encoding="utf-8")
    (out / "house 2.xlsx").unlink()
    done = holdover.batch([street], out, executor=again, resume=True)
    assert (again.calls, done.reused) == (2, 2)
    assert done.entries[0].energy_wh == 165
    assert (out / "house 2.xlsx").is_file()
    holdover.batch([street], out, executor=again)
    assert again.calls == 6


@pytest.mark.usefixtures("quick")
def test_an_edited_workbook_is_left(street: Path, tmp_path: Path) -> None:
    """Its case is told of as edited, and the file stays as it is; with force it is replaced."""
    out = tmp_path / "out"
    holdover.batch([street], out, executor=Here())
    file = out / "house 1.xlsx"
    book = openpyxl.load_workbook(file)
    sheet, cell = book.defined_names["load_running_w"].attr_text.split("!")
    book[sheet.strip("'")][cell.split(":")[0].replace("$", "")].value = 155
    book.save(file)
    edited = file.read_bytes()
    done = holdover.batch([street], out, executor=Here(), resume=True)
    assert states(done)["house 1"] == "edited"
    assert file.read_bytes() == edited
    assert states(holdover.batch([street], out, executor=Here(), force=True))["house 1"] == "written"
    assert file.read_bytes() != edited


def test_a_bug_in_one_case_keeps_none_of_the_others(
    street: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sample_bytes: bytes
) -> None:
    """It is told of as not worked out, and is tried again when work is resumed."""

    def breaks(study: holdover.Study) -> bytes:
        if study.case.about.title == "No. 2":
            raise RuntimeError("out of paint")
        return sample_bytes

    monkeypatch.setattr(holdover, "build", breaks)
    done = holdover.batch([street], tmp_path / "out", executor=Here())
    assert states(done) == {"house 1": "written", "house 2": "failed", "house 3": "errors", "house 4": "written"}
    assert done.entries[1].headline == "RuntimeError: out of paint"
    monkeypatch.undo()
    again = Here()
    assert states(holdover.batch([street], tmp_path / "out", executor=again, resume=True))["house 2"] == "written"
    assert again.calls == 1


@pytest.mark.usefixtures("quick")
def test_an_interrupt_leaves_whole_files_and_an_index(street: Path, tmp_path: Path) -> None:
    """What was done is in the index, what was not reached is done when work is resumed."""

    def interrupt(step: Step) -> None:
        if step.done == 2:
            raise KeyboardInterrupt

    out = tmp_path / "out"
    done = holdover.batch([street], out, executor=Here(), tell=interrupt, ahead=1)
    assert done.interrupted
    assert 2 <= len(done.entries) < 4
    assert all(zipfile.is_zipfile(path) for path in out.glob("*.xlsx"))
    assert len(json.loads((out / "index.json").read_bytes())["cases"]) == len(done.entries)
    resumed = holdover.batch([street], out, executor=Here(), resume=True)
    assert (len(resumed.entries), resumed.reused) == (4, len(done.entries))


@pytest.mark.usefixtures("quick")
def test_work_that_was_killed_goes_on_from_its_journal(street: Path, tmp_path: Path) -> None:
    """Where no index was written the journal tells what is done, but for a line that was cut off."""

    class Killed(BaseException):
        pass

    def kill(step: Step) -> None:
        if step.done == 3:
            raise Killed

    out = tmp_path / "out"
    with pytest.raises(Killed):
        holdover.batch([street], out, executor=Here(), tell=kill, ahead=1)
    assert not (out / "index.json").exists()
    journal = out / "index.part.jsonl"
    journal.write_bytes(journal.read_bytes()[:-9])
    again = Here()
    done = holdover.batch([street], out, executor=again, resume=True)
    assert (again.calls, done.reused, len(done.entries)) == (2, 2, 4)
    assert not journal.exists()


@pytest.mark.usefixtures("quick")
def test_one_list_of_candidates_for_all(street: Path, tmp_path: Path) -> None:
    """It takes the place of each case's own, of a workbook that came back, too; the index tells which unit fits most."""
    out = tmp_path / "out"
    back = tmp_path / "street" / "back.xlsx"
    back.write_bytes(holdover.build(holdover.study(holdover.read_case(street / "house 4"))))
    listed = tmp_path / "street" / "candidates for all.csv"
    listed.write_text(
        "name,storage_wh,continuous_w,surge_w,price\n=Unit Small,700,800,1600,300\nUnit Large,3000,800,1600,2000\n",
        encoding="utf-8",
    )
    done = holdover.batch([street], out, executor=Here(), candidates=listed)
    assert [set(entry.choices) for entry in done.entries if entry.choices] == [{"=Unit Small", "Unit Large"}] * 4
    assert [entry.choices["=Unit Small"] for entry in done.entries if entry.choices] == [300, 300, "", ""]
    sheet = openpyxl.load_workbook(out / "index.xlsx", data_only=True)["Index"]
    said = [str(cell.value) for row in sheet for cell in row]
    assert any(words.startswith("Unit Large alone fits 4 of 4 cases for $ 8,000.") for words in said)
    with pytest.raises(NotWritten):
        holdover.batch([street], out, executor=Here(), candidates=tmp_path / "gone.csv")


@pytest.mark.usefixtures("quick")
def test_where_there_is_no_case_it_is_said(tmp_path: Path) -> None:
    """An empty folder is an error with what to do; a path that is not there is a line of the index."""
    (tmp_path / "empty").mkdir()
    with pytest.raises(holdover.CaseError) as raised:
        holdover.batch([tmp_path / "empty"], tmp_path / "out", executor=Here())
    assert [finding.code for finding in raised.value.findings.found] == ["F015"]
    done = holdover.batch([tmp_path / "gone"], tmp_path / "out", executor=Here())
    assert done.entries[0].headline.endswith("there is no such file or folder: check the name")


def test_workbooks_are_not_written_among_the_cases(street: Path, tmp_path: Path) -> None:
    """A folder that is looked through for cases is none to write to: the next run would take workbooks for cases."""
    with pytest.raises(NotWritten):
        holdover.batch([street], street, executor=Here())
    (tmp_path / "taken").touch()
    with pytest.raises(NotWritten):
        holdover.batch([street], tmp_path / "taken", executor=Here())


@pytest.mark.usefixtures("quick")
def test_no_more_is_under_way_than_was_wished(street: Path, tmp_path: Path) -> None:
    """With two sent ahead no third is sent before one is back."""

    class Slow(Here):
        under_way = most = 0

        def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> "Future[Any]":
            future: Future[Any] = Future()
            self.under_way += 1
            self.most = max(self.most, self.under_way)

            def later() -> None:
                result = fn(*args, **kwargs)
                self.under_way -= 1
                future.set_result(result)

            threading.Timer(0.05, later).start()
            return future

    slow = Slow()
    holdover.batch([street], tmp_path / "out", executor=slow, ahead=2)
    assert slow.most == 2
