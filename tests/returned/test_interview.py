"""The questions one after the other: every answer is read at once, a step back is a step back, a pipe may answer."""

import io
from collections.abc import Sequence
from pathlib import Path

import pytest

from cli.running import process, ran
from holdover.ask import ask
from holdover.case.schema import Case
from holdover.findings import Findings, Place, report
from holdover.library import CaseError
from holdover.reading.case import Read, build_case
from holdover.returned.interview import Prompt, Unanswered, hold
from holdover.returned.read import read_any
from returned.forms import filled_form
from returned.test_offered import ROWAN, ROWAN_IS, stated

HOUSE = ("Wrenfold", "", "US", "", "3", "", "", "", "", "3,000", "")
"""Who, town, country, purpose, days, distance, generator, solar modules, temperature, budget, who fills in."""
FRIDGE = ("fridge", "", "", "")
"""A name, and what is usual for its nameplate, its hours and its number."""


class Person:
    """Somebody who gives one answer after the other, and remembers what was asked."""

    def __init__(self, answers: Sequence[str]) -> None:
        self.answers, self.asked = list(answers), list[Prompt]()

    def __call__(self, prompt: Prompt) -> str:
        """The next answer."""
        self.asked.append(prompt)
        if not self.answers:
            raise Unanswered(prompt.question)
        return self.answers.pop(0)

    def wrong(self) -> list[str]:
        """What was not taken, and why."""
        return [prompt.wrong for prompt in self.asked if prompt.wrong]


def case_of(person: Person) -> Case:
    """The case of the answers, all of which are used up."""
    read = build_case(*hold(person))
    assert person.answers == []
    assert read.case is not None, read.findings.found
    return read.case


def test_answers_make_the_case_that_a_form_makes(tmp_path: Path) -> None:
    """The same answers on paper and in conversation are the same case."""
    told = case_of(
        Person(
            [
                *HOUSE,
                *FRIDGE,
                "gizmo",
                "9 W",
                "evening",
                "2",
                "",
                "fridge",
                "Unit Rowan 2000",
                ROWAN.split("\n", 1)[1],
                "",
            ]
        )
    )
    form = filled_form(
        tmp_path / "form.xlsx",
        {"client": "Wrenfold", "country": "US", "days": "3", "never_stops": "fridge", "budget": "3,000"},
        [
            {"name": "fridge", "quantity": "1"},
            {"name": "gizmo", "running_w": "9 W", "hours_per_day": "evening", "quantity": "2"},
        ],
        [[line] for line in ROWAN.splitlines()],
    )
    case = read_any(form)[0]
    assert case is not None
    assert told.model_dump() == case.model_dump()
    assert told.money.budget == 3000
    assert stated(told.candidates[0]) == pytest.approx(ROWAN_IS)


def test_what_cannot_be_taken_is_asked_again_with_the_reason() -> None:
    """A country nobody knows, days without a number, a load without watts, hours that may be the clock."""
    person = Person(
        [
            "", "", "Nowhere", "Germany", "boat", "2", "a few", "1", "", "", "", "", "",
            "", "gizmo", "", "50 W", "8-17", "2 h", "two", "1", "", "kiln", "gizmo", "",
        ]
    )  # fmt: skip
    case = case_of(person)
    assert (case.sizing.feed, case.outage.repeats, case.outage.days) == ("230 V", "yes", 1)
    assert [(load.name, load.tier, load.running_w, load.hours_per_day) for load in case.loads] == [
        ("gizmo", "critical", 50, 2)
    ]
    wrong = person.wrong()
    assert len(wrong) == 8
    for said, part in zip(
        wrong, ("not known", "one of power cut", "read", "no name", "watts", "range", "read", "kiln"), strict=True
    ):
        assert part in said, said


def test_what_was_taken_out_of_a_phrase_is_told() -> None:
    """As on the form: nobody guesses in silence what an answer meant."""
    person = Person([*HOUSE[:8], "garage, about 45 F in winter", *HOUSE[9:], *FRIDGE, "", "", ""])
    content, findings = hold(person)
    assert [finding.code for finding in findings.found] == ["R004"]
    (sizing,) = [row for row in content.rows if row.part == "sizing"]
    assert sizing.entries["storage_c"].value == "45 F"


def test_a_step_back_asks_the_question_before_again() -> None:
    """Over a load that was begun, and from the first question, where there is nothing before."""
    case = case_of(
        Person(
            [
                "<",
                "Ashby",
                "<",
                "Wrenfold",
                *HOUSE[1:],
                "fridge",
                "<",
                "freezer",
                "<",
                "TV",
                "90 W",
                "<",
                "80 W",
                "4 h",
                "",
                "",
                "",
                "",
            ]
        )
    )
    assert case.about.client == "Wrenfold"
    assert [(load.name, load.running_w, load.hours_per_day) for load in case.loads] == [("TV", 80, 4)]


def test_a_name_of_several_things_asks_which() -> None:
    """They are listed, and one is chosen by its number; none of them is an answer, too."""
    person = Person([*HOUSE, "pump", "1", "", "", "", "pump", "none of these", "300 W", "1 h", "", "", "", ""])
    case = case_of(person)
    (which, _) = [prompt for prompt in person.asked if prompt.question == "Which pump?"]
    assert [load.name for load in case.loads] == [which.choices[0], "pump"]
    assert case.loads[1].running_w == 300


def test_a_data_sheet_is_asked_for_what_it_lacks() -> None:
    """Lines that were read are kept, one that can't be is typed anew, and what is wrong is told with its line."""
    sheet = ("Surge: 3000 W\nOutput: lots\nWeight: 20 kg", "Output: 1500 W", "Capacity: 2 kWh")
    person = Person([*HOUSE, *FRIDGE, "", "", "Unit A", *sheet, ""])
    (unit,) = case_of(person).candidates
    assert stated(unit) == {
        "name": "Unit A", "storage_wh": 2000, "continuous_w": 1500, "surge_w": 3000, "weight_kg": 20
    }  # fmt: skip
    first, second = person.wrong()
    assert "`Output: lots`" in first
    assert "lots" not in second
    assert "storage" in second.lower()
    assert all("- leaves this unit out; < goes back" in said for said in (first, second))


def test_a_data_sheet_without_labels_is_read_as_on_a_form() -> None:
    """Bare watts twice are asked about, with the lines quoted; those that are typed with a label count."""
    sheet = ("2048Wh Capacity\n2400 W\n4800 W\n51 lb\n$899", "Output: 2400 W\nSurge: 4800 W")
    person = Person([*HOUSE, *FRIDGE, "", "", "Unit A", *sheet, ""])
    (unit,) = case_of(person).candidates
    assert (unit.storage_wh, unit.continuous_w, unit.surge_w, unit.price) == (2048, 2400, 4800, 899)
    (told,) = person.wrong()
    assert "`2400 W`, `4800 W`" in told


@pytest.mark.parametrize("end", ["-", ""])
def test_a_unit_is_left_out_where_nothing_more_is_known_of_it(end: str) -> None:
    """A refused data sheet holds nobody: a dash, or nothing, leaves the unit out."""
    person = Person([*HOUSE, *FRIDGE, "", "", "Unit A", "Capacity: 2 kWh", end, ""])
    assert case_of(person).candidates == ()


def test_a_step_back_over_a_data_sheet_keeps_what_was_refused_first() -> None:
    """Its lines came in two goes; the question after it is asked anew, and they are still there."""
    sheet = ("Capacity: 2 kWh\nSurge: 3000 W", "Output: 1500 W")
    person = Person([*HOUSE, *FRIDGE, "", "", "Unit A", *sheet, "Unit B", "<", ""])
    (unit,) = case_of(person).candidates
    assert stated(unit) == {"name": "Unit A", "storage_wh": 2000, "continuous_w": 1500, "surge_w": 3000}


def test_what_is_not_to_the_point_is_not_asked() -> None:
    """A clinic is asked for no vehicle, and nobody without a generator how long it runs."""
    person = Person(["", "", "Kenya", "clinic", "", "", "", "", "", "", *FRIDGE, "", "", ""])
    assert case_of(person).outage.days == 3
    asked = [prompt.question for prompt in person.asked]
    assert not any("vehicle" in question or "How long may" in question for question in asked)
    assert any(
        "How long may" in each.question
        for each in _asked([*HOUSE[:6], "2 kW", "17:00-19:00", "", "", "", "", *FRIDGE, "", "", ""])
    )


def test_no_is_an_answer() -> None:
    """Who has no generator is not asked how long it runs, who has no modules nothing of the sun; no vehicle, no limit."""
    person = Person([*HOUSE[:5], "no", "no", "none", "", "no", "", *FRIDGE, "", "none", ""])
    case = case_of(person)
    assert (case.vehicle.distance, case.recharge.generator_w, case.array.modules, case.money.budget) == (0, 0, 0, None)
    assert not person.wrong()


def test_an_answer_is_read_at_its_question_however_long_that_is() -> None:
    """A season is no number of hours: it is told where it was answered, and asked again."""
    solar = "2 x 200 W, Voc 24.3 V, Vmp 20.4 V, Isc 10.4 A, Imp 9.8 A, -0.28 %/°C"
    person = Person(
        [
            *HOUSE[:6],
            "lots",
            "2 kW",
            "all the time",
            "2 h",
            solar,
            "41 N",
            "winter",
            "3",
            "0 F",
            "",
            "",
            "",
            *FRIDGE,
            "",
            "",
            "",
        ]
    )
    case = case_of(person)
    assert [month.peak_sun_hours for month in case.months] == [3] * 12
    asked = [prompt.question for prompt in person.asked if prompt.wrong]
    assert [question.split("?")[0] for question in asked] == [
        "What does a generator give, if there is one",
        "How long may it run a day",
        "How many hours of full sun has a day there",
    ]


def test_answers_that_cannot_be_taken_together_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody answers twice: they stand in the folder, and given again they lead as far."""
    lines = [*HOUSE, *FRIDGE, "", "", "Unit A", "Capacity: 2 kWh\nOutput: 1500 W", "Surge: 3000 W", ""]
    read = Read(case=None, findings=Findings([report("R003.no_country", Place(file="answers"))]))
    monkeypatch.setattr("holdover.reading.case.build_case", lambda *_: read)
    monkeypatch.setattr(
        "sys.stdin",
        io.StringIO("\n".join(lines[:16]) + "\nUnit A\nCapacity: 2 kWh\nOutput: 1500 W\n\nSurge: 3000 W\n\n\n"),
    )
    with pytest.raises(CaseError):
        ask(tmp_path / "house")
    kept = (tmp_path / "house" / "answers.txt").read_text(encoding="utf-8")
    assert kept.startswith("Wrenfold\n\nUS\n")
    assert kept.endswith("Unit A\nCapacity: 2 kWh\nOutput: 1500 W\n\nSurge: 3000 W\n\n\n")


def _asked(answers: Sequence[str]) -> list[Prompt]:
    person = Person(answers)
    case = case_of(person)
    assert (case.outage.generator_from, case.outage.generator_hours, case.recharge.generator_w) == (17, 2, 2000)
    return person.asked


def test_a_pipe_may_answer(tmp_path: Path) -> None:
    """A case folder is written that `build` takes; the answer stands on the terminal; `?` lists what there is."""
    lines = [*HOUSE, "?", *FRIDGE, "", "fridge", "Unit Rowan", *ROWAN.splitlines()[1:], "", ""]
    done = process("ask", tmp_path / "house", input="\n".join(lines).encode())
    assert done.code == 0, done.err
    assert "Microwave oven, 1000 W of output;" in done.out.replace("\n", " ")
    assert "Decision" in done.out
    assert "Unit Rowan" in done.out
    assert {file.name for file in (tmp_path / "house").iterdir()} == {"case.toml", "loads.csv", "candidates.csv"}
    assert ran("show", tmp_path / "house").code == 0


def test_a_pipe_that_ends_takes_what_is_usual_or_says_what_is_missing(tmp_path: Path) -> None:
    """After its end every answer is blank; where one is needed nothing is written."""
    lines = [*HOUSE, *FRIDGE]
    done = process("ask", tmp_path / "house", input="\n".join(lines).encode())
    assert (done.code, "Look for" in done.out) == (0, True)
    done = process("ask", tmp_path / "other", input=b"Wrenfold\n\n")
    assert (done.code, (tmp_path / "other").exists()) == (1, False)
    assert "Which country?" in done.err


def test_a_folder_that_holds_something_is_told_before_the_first_question(tmp_path: Path) -> None:
    """Nobody answers a dozen questions in vain."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    done = process("ask", tmp_path, input=b"")
    assert (done.code, done.out) == (4, "")
    assert "not empty" in done.err
