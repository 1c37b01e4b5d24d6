"""The questions of the survey form, one after the other, as a conversation that anybody may hold: it prints nothing.

`interview()` is a generator: it gives a `Prompt`, is sent what was answered, and ends with the case file. An answer that
can't be taken brings the same prompt again, with what is wrong. `hold` lets go one question back.
"""

import re
from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from holdover.case.figures import figure
from holdover.case.schema import AC_VOLTS
from holdover.case.section import choices_of, example_of
from holdover.case.typical import Typical, meant
from holdover.case.words import folded
from holdover.findings import Finding, Findings, Place, report, show
from holdover.reading.case import build_case, lacking
from holdover.reading.entries import Context, Entry, Row
from holdover.reading.kilo import refuse_kilo
from holdover.reading.row import read_row
from holdover.reading.table.offered import read_pasted
from holdover.reading.table.source import RawCell, RawTable
from holdover.reading.toml import CaseFile
from holdover.returned.answers import country_of, mark_critical, mark_of, purpose_of, settings_of, signs_of, states_none
from holdover.returned.questions import AboutYou, offered

BACK: Final = "<"
"""What leads back to the question before."""
LIST: Final = "?"
"""What lists what may be answered."""
FILE: Final = "answers"
"""What answers are called where they stand in place of a file."""
LEAVE: Final = "-"
"""What leaves out the unit whose data sheet is asked for."""
FIRST_LINE: Final = 2
"""Row of the first line that is typed of a data sheet; its name stands above it."""
AGAIN: Final = (
    "The other lines are kept: type only what is wrong or missing, its label first, such as Surge: 4800 W. "
    f"{LEAVE} leaves this unit out; {BACK} goes back to its name."
)
AFRESH: Final = f"Type or paste it anew. {LEAVE} leaves this unit out; {BACK} goes back to its name."
"""What is said of a data sheet that was not taken."""
AFTER_LOADS: Final = "never_stops"
"""The question that speaks of the list of loads."""
RESTS_ON: Final = {
    "consumption": "distance",
    "generator_hours": "generator_w",
    "latitude": "solar",
    "sun_hours": "solar",
    "coldest_c": "solar",
}
"""Questions that ask nothing where another was not answered."""
Talk = Generator["Prompt", str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prompt:
    """A question, with what is taken where nothing is answered, an example, and what it is for."""

    question: str
    usual: str = ""
    example: str = ""
    help: str = ""
    choices: tuple[str, ...] = ()
    """Words to choose from, by name or by number."""
    listed: tuple[str, ...] = ()
    """Words that are listed on demand; others may be answered, too."""
    several: bool = False
    """Whether it takes several lines, up to a blank one."""
    wrong: str = ""
    """Why the answer before was not taken."""


class Unanswered(Exception):  # noqa: N818  nobody is at fault: there was nobody to answer
    """The answers came to an end before a question that needs one."""


def hold(listen: Callable[[Prompt], str], given: list[list[str]] | None = None) -> tuple[CaseFile, Findings]:
    """Ask everything, and give the case file of the answers, with what there is to say about them.

    Args:
        listen: shows a prompt and gives what was answered; `<` leads one question back
        given: gets what was answered, by question, with what was refused before

    Raises:
        Unanswered: `listen` says so.
    """
    given = [] if given is None else given
    while True:
        talk = interview()
        prompt = next(talk)
        tries: list[str] = []  # what was refused before an answer belongs to it: of a data sheet lines are kept
        try:
            for answer in (each for answers in given for each in answers):
                prompt = talk.send(answer)
            while True:
                answer = listen(prompt)
                if answer.strip() == BACK:
                    del given[-1:]
                    break
                tries.append(answer)
                try:
                    prompt = talk.send(answer)
                except StopIteration:
                    given.append(tries)
                    raise
                if not prompt.wrong:
                    given.append(tries)
                    tries = []
        except StopIteration as done:
            content: CaseFile
            findings: Findings
            content, findings = done.value
            return content, findings


def interview() -> Generator[Prompt, str, tuple[CaseFile, Findings]]:
    """Who and where, what is to run, what must never stop, what is on offer."""
    answers: dict[str, Entry] = {}
    for name in AboutYou.model_fields:
        if name != AFTER_LOADS and not _is_idle(name, answers):
            yield from _about(name, answers)
    country = country_of(str(answers["country"].value))
    content = CaseFile(name=FILE, use_typical=True, fill_in=True, mark=mark_of(answers), signs=signs_of(answers))
    house = country.feed if country else "120 V"
    loads = yield from _loads(Context(marks={FILE: content.mark}, house=house, house_is_set=True))
    yield from _about(AFTER_LOADS, answers, loads)
    findings = Findings()
    content.rows.extend(settings_of(answers, Place(file=FILE), findings))
    content.rows.extend(mark_critical(answers.get(AFTER_LOADS), loads, findings))
    content.rows.extend((yield from _offers(content)))
    return content, findings


def _is_idle(name: str, answers: Mapping[str, Entry]) -> bool:
    """Whether a question asks nothing after what was answered."""
    purpose = purpose_of(str(answers["purpose"].value)) if "purpose" in answers else ""
    rests_on = RESTS_ON.get(name)
    return (rests_on is not None and rests_on not in answers) or (name == "distance" and purpose in ("stall", "clinic"))


def _about(name: str, answers: dict[str, Entry], loads: Sequence[Row] = ()) -> Generator[Prompt, str, None]:
    """A question of the first sheet; its answer, if there is one, is among the answers then."""
    info = AboutYou.model_fields[name]
    choices = choices_of(info)
    prompt = Prompt(
        question=str(info.title),
        usual=choices[0] if choices else "",
        example="" if choices else example_of(info),
        help=info.description or "",
        choices=choices,
        listed=offered()["countries"] if name == "country" else (),
    )
    place = Place(file=FILE, column=str(info.title))

    def wrong(text: str) -> list[Finding]:
        told, trial = Findings(), {**answers, name: Entry(value=text, place=place)}
        rows = settings_of(trial, Place(file=FILE), told)
        mark_critical(trial[name] if name == AFTER_LOADS else None, loads, told)
        context = Context(marks={FILE: mark_of(trial)}, signs=signs_of(trial))
        read = [finding for row in rows for finding in read_row(row, context)[1]]
        return [each for each in (*told.errors, *read) if each.level == "error" and each.column == place.column]

    answer = yield from _asked(prompt, wrong)
    answers.pop(name, None)
    entry = Entry(value=answer, place=place)
    if answer and not (name in RESTS_ON.values() and states_none(entry)):
        answers[name] = entry


def _asked(prompt: Prompt, wrong: Callable[[str], Iterable[Finding]]) -> Talk:
    """The answer to a question, once it can be taken."""
    asked = prompt
    while True:
        answer = (yield asked).strip() or prompt.usual
        if prompt.choices:
            chosen = _chosen(answer, prompt.choices)
            if chosen:
                return chosen
            asked = replace(prompt, wrong=f"answer one of {', '.join(prompt.choices)}")
            continue
        faults = list(wrong(answer))
        if not faults:
            return answer
        asked = replace(prompt, wrong=" ".join(f"{each.message}: {each.remedy}." for each in faults))


def _chosen(answer: str, choices: Sequence[str]) -> str:
    """The choice that an answer names, or numbers; of what it is for, in other words, too."""
    by_word = {folded(choice): choice for choice in choices}
    by_number = {str(number): choice for number, choice in enumerate(choices, 1)}
    meant = by_number.get(answer) or by_word.get(folded(answer)) or purpose_of(answer)
    return meant if meant in choices else ""


def _loads(context: Context) -> Generator[Prompt, str, list[Row]]:
    """What is to run, a load after the other, up to a blank name."""
    rows: list[Row] = []
    while True:
        first = Prompt(
            question="What is to run?" if not rows else "And what else?",
            example="refrigerator" if not rows else "",
            help=f"A name, as you call it; {LIST} lists typical ones." + (" Blank = that is all." if rows else ""),
            listed=offered()["loads"],
        )
        name = yield from _asked(first, lambda text: () if text or rows else (_missing("name"),))
        if not name:
            return rows
        rows.append((yield from _load(name, context)))


def _missing(field: str) -> Finding:
    return report(f"R001.no_{field}", Place(file=FILE), found="")


def _load(name: str, context: Context) -> Generator[Prompt, str, Row]:
    """What there is to say of a load: which of several, its nameplate, its hours, how many."""
    rows = meant(name, AC_VOLTS[context.house])
    if len(rows) > 1:
        none = "none of these"
        which = Prompt(question=f"Which {name}?", usual=none, choices=(*(row.name for row in rows), none))
        chosen = yield from _asked(which, lambda _: ())
        name, rows = (name, ()) if chosen == none else (chosen, meant(chosen, AC_VOLTS[context.house]))
    typical = rows[0] if len(rows) == 1 else None
    row = Row(part="loads", place=Place(file=FILE, item=name))
    row.entries["name"] = Entry(value=name, place=row.place)
    for field, prompt in _of_load(name, typical):
        answer = yield from _asked(prompt, partial(_wrong_in, field, row=row, context=context, typical=typical))
        if answer:
            row.entries[field] = Entry(value=answer, place=replace(row.place, column=prompt.question))
    return row


def _of_load(name: str, typical: Typical | None) -> list[tuple[str, Prompt]]:
    watts = f"Blank = {figure(typical.running_w)} W, which is typical." if typical else ""
    hours = f"Blank = {figure(typical.hours_per_day)} h, which is usual." if typical else ""
    plate = Prompt(
        question=f"{name}: what does its nameplate say?",
        example="12 A, or 220-240 V 1.5 kW",
        help=watts or "Its watts or amperes.",
    )
    when = Prompt(
        question=f"{name}: when, or how long a day?", example="17:00-22:00, evening, 2-3 h, all day", help=hours
    )
    count = Prompt(question=f"{name}: how many?", usual="1")
    return [("running_w", plate), ("hours_per_day", when), ("quantity", count)]


def _wrong_in(field: str, text: str, *, row: Row, context: Context, typical: Typical | None) -> list[Finding]:
    """What is wrong with a field of a load, or that it is missing where nothing typical stands in."""
    if not text:
        fields, _ = read_row(row, context)
        needed = typical is None and field in lacking(row, fields)
        return [_missing(field)] if needed else []
    place = replace(row.place, column=field)
    trial = replace(row, entries={**row.entries, field: Entry(value=text, place=place)})
    fields, found = read_row(trial, context)
    return [each for each in (*found, *refuse_kilo(trial, fields)) if each.level == "error"]


def _offers(content: CaseFile) -> Generator[Prompt, str, list[Row]]:
    """What is on offer, a unit after the other, up to a blank name."""
    rows: list[Row] = []
    while True:
        prompt = Prompt(
            question="What is on offer? The name of a unit" if not rows else "Another unit?",
            example="Unit Rowan" if not rows else "",
            help="Blank = nothing more." if rows else "Blank = nothing yet; you are told what to look for.",
        )
        name = yield from _asked(prompt, lambda _: ())
        if not name:
            return rows
        rows.extend((yield from _offer(name, content)))


def _offer(name: str, content: CaseFile) -> Generator[Prompt, str, list[Row]]:
    """The data sheet of a unit; none where nothing is typed: then the unit is left out.

    Of what is refused the lines that were read are kept; a line that says the same anew takes its place.
    """
    prompt = Prompt(
        question=f"{name}: its data sheet, line by line",
        example="Capacity: 2048 Wh / Output: 2400 W / Surge: 4800 W / Price: 1299",
        help=f"Type or paste its lines; a blank line ends them. {LEAVE} or nothing at all leaves this unit out.",
        several=True,
    )
    kept: list[str] = []
    asked = prompt
    while True:
        typed = [line for line in (yield asked).splitlines() if line.strip()]
        if [line.strip() for line in typed] in ([], [LEAVE]):
            return []
        lines = _renewed(kept, typed)
        rows, faults = _sheet(name, lines, content)
        if rows and not faults:
            return rows
        faulty = _faulty(faults)
        kept = [line for i, line in enumerate(lines) if i not in faulty] if rows and not _is_table(lines) else []
        told = " ".join(dict.fromkeys(_told_of(each, lines) for each in faults))
        told = told or "nothing of it says what it stores or gives."
        asked = replace(prompt, wrong=f"{told} {AGAIN if kept else AFRESH}")


def _is_table(lines: Sequence[str]) -> bool:
    return any("\t" in line for line in lines)


def _renewed(kept: Sequence[str], typed: Sequence[str]) -> list[str]:
    """Lines that were kept and those that are typed now, of which a label goes before the same one that was kept."""
    if _is_table(typed):
        return list(typed)
    labels = {_label(line) for line in typed}
    return [*(line for line in kept if _label(line) not in labels), *typed]


def _label(line: str) -> str:
    """What a line of a data sheet is about: what stands before its colon, or before its first figure."""
    return folded(re.split(r"[:=0-9]", line, maxsplit=1)[0]) or folded(line)


def _faulty(faults: Iterable[Finding]) -> frozenset[int]:
    """Lines that can't be read, by their number from 0."""
    return frozenset(map(_line_of, faults))


def _line_of(fault: Finding) -> int:
    """Number of the line that a fault is about, from 0; below where it is about none, as what is only lacking."""
    return -1 if fault.row is None or fault.code == "R001" else fault.row - FIRST_LINE


def _told_of(fault: Finding, lines: Sequence[str]) -> str:
    """What is wrong, with the line it is about."""
    number = _line_of(fault)
    line = f"`{show(lines[number])}`: " if 0 <= number < len(lines) else ""
    return f"{line}{fault.message}: {fault.remedy}."


def _sheet(name: str, lines: Sequence[str], content: CaseFile) -> tuple[list[Row], list[Finding]]:
    raw = RawTable(file=FILE)
    for number, line in enumerate([f"Name: {name}", *lines], 1):
        raw.rows[number] = {i: RawCell(value=cell) for i, cell in enumerate(line.split("\t"), 1) if cell.strip()}
    told = Findings()
    rows = read_pasted(raw, told)
    settings = [row for row in content.rows if row.part in ("about", "sizing")]
    trial = build_case(replace(content, rows=[*settings, *rows]), Findings())
    return rows, [*told.errors, *trial.findings.errors]
