"""Tiers as other surveys name them: taken where the whole file says in which order they run, else asked about.

What somebody's health hangs on is critical where nobody says another tier.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final, get_args

from holdover.case.kinds import is_medical
from holdover.case.schema import Tier
from holdover.case.words import choice_of, folded, vocabulary
from holdover.findings import Findings
from holdover.reading.entries import Entry, Row, is_empty, typed_text, unstated

TIERS: Final[tuple[Tier, ...]] = get_args(Tier)
SCALES: Final = tuple(
    ({word: step for step, words in enumerate(scale["steps"]) for word in words}, bool(scale["plain"]))
    for scale in vocabulary("words")["scales"]
)
"""Words of one scale, each with its place from the loads that are never shed to those shed first, and whether they say
by themselves which end is which; else the whole file must say so."""


def with_tiers(rows: Sequence[Row], findings: Findings) -> list[Row]:
    """The rows with tiers in place of the words of a scale, file by file; where their order is in doubt they stay."""
    files: dict[str, list[tuple[Row, Entry, str]]] = {}
    for row in rows:
        entry = row.entries.get("tier")
        word = "" if entry is None or is_empty(entry.value) else folded(typed_text(entry.value))
        if row.part == "loads" and entry is not None and word and not unstated(entry.value):
            files.setdefault(row.place.file, []).append((row, entry, word))
    meant: dict[str, dict[str, Tier]] = {}
    for file, entries in files.items():
        words = {word for _, _, word in entries}
        own = {word: tier for word in words if (tier := choice_of("tier", word, TIERS))}
        for scale, plain in SCALES:
            said = words - own.keys() if plain else words
            of_scale = [each for each in entries if each[2] in said]
            if said and said <= scale.keys() and _is_clear(of_scale, scale, set(own.values()), plain=plain):
                meant[file] = {word: TIERS[scale[word]] for word in said}
                _report_tiers(of_scale, scale, findings, plain=plain)
    return [_kept_on(_with_tier(row, meant.get(row.place.file, {})), findings) for row in rows]


def _kept_on(row: Row, findings: Findings) -> Row:
    """A medical load of which no tier is stated is critical: nobody is to be told to switch it off."""
    entry = row.entries.get("tier")
    silent = entry is None or is_empty(entry.value) or bool(unstated(entry.value))
    if row.part != "loads" or not silent or "name" not in row.entries or not is_medical(_name(row)):
        return row
    findings.report("Q025.medical", entry.place if entry else row.place, name=_name(row))
    critical = Entry(value=TIERS[0], place=entry.place if entry else row.place)
    return replace(row, entries=row.entries | {"tier": critical})


def _with_tier(row: Row, meant: Mapping[str, Tier]) -> Row:
    entry = row.entries.get("tier")
    tier = (
        meant.get(folded(typed_text(entry.value)))
        if entry and row.part == "loads" and not is_empty(entry.value)
        else None
    )
    return replace(row, entries=row.entries | {"tier": replace(entry, value=tier)}) if entry and tier else row


def _is_clear(entries: list[tuple[Row, Entry, str]], scale: dict[str, int], own: set[str], *, plain: bool) -> bool:
    """Whether the file says which end of a scale is which; beside critical nobody can tell whether high is as high."""
    steps = {scale[word] for _, _, word in entries}
    if plain:
        return not (0 in steps and TIERS[0] in own)
    medical = {scale[word] for row, _, word in entries if "name" in row.entries and is_medical(_name(row))}
    return steps == {0, 1, 2} and medical <= {0}


def _name(row: Row) -> str:
    return typed_text(row.entries["name"].value)


def _report_tiers(
    entries: list[tuple[Row, Entry, str]], scale: Mapping[str, int], findings: Findings, *, plain: bool
) -> None:
    typed = {word: typed_text(entry.value).strip() for _, entry, word in entries}
    order = sorted(typed, key=lambda word: scale[word])
    tiers = ", ".join(f"{typed[word]} as {TIERS[scale[word]]}" for word in order)
    findings.report("Q025.words" if plain else "Q025.levels", entries[0][1].place, tiers=tiers)
