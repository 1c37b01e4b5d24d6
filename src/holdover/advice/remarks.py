"""What an experienced adviser would remark on in a case that can be read. Pure over the case."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Final

from holdover.advice.candidates import remarks_on_candidate
from holdover.advice.loads import offered_by, remarks_on_load
from holdover.advice.settings import remarks_on_settings
from holdover.case.schema import FORMS, RECORDS, Case
from holdover.case.section import is_blank
from holdover.case.words import folded
from holdover.findings import Finding, Place, at, report

Places = Mapping[tuple[str, int], Place]

SECTIONS: Final = FORMS | RECORDS
NEEDS_ALL: Final = {"loads": {"A014"}, "candidates": {"A007", "A008", "A015", "A016"}}
"""Remarks that would be false where a row of the part could not be read."""


def advise(case: Case, places: Places | None = None, unread: Collection[str] = ()) -> list[Finding]:
    """Remarks on a case.

    Args:
        case: the case; rows that could not be read are blank
        places: where its rows were read (`Findings.places`)
        unread: parts of which a row could not be read; what only the whole part can tell is left unsaid
    """
    where = places or {}
    found: list[Finding] = []
    offered = offered_by(case)
    for index, load in enumerate(case.loads):
        if not is_blank(load) and load.on != "no":
            place = where.get(("loads", index), Place(item=load.name))
            found.extend(at(remark, place) for remark in remarks_on_load(load, case, offered))
    for index, candidate in enumerate(case.candidates):
        if not is_blank(candidate):
            place = where.get(("candidates", index), Place(item=candidate.name))
            found.extend(at(remark, place) for remark in remarks_on_candidate(candidate, case))
    found.extend(_twins(case, where))
    whole = where.get(("case", 0), Place())
    for part, remark in remarks_on_settings(case):
        found.append(at(remark, where.get((part, 0), replace(whole, column=part))))
    found = [_as_on_sheets(remark, where) if remark.sheet else remark for remark in found]
    doubtful = {code for part in unread for code in NEEDS_ALL.get(part, ())}
    return [remark for remark in found if remark.code not in doubtful]


_SET: Final = re.compile(r'write [a-z_]+ = (?:\.\.\.|"(?P<words>[^"]+)"|(?P<figure>[^"\s,;:.]+(?:\.[0-9]+)?))')
"""What a remedy says of a key of a case file and its value; of one that only the place or a data sheet tells, dots."""


def _such_as(found: re.Match[str]) -> str:
    """The value of a remedy as an example, which is all that it is."""
    value = found["words"] or found["figure"]
    return f", such as {value}" if value else ""


def _as_on_sheets(remark: Finding, places: Places) -> Finding:
    """The remark with the titles of a sheet in what is advised, at the cell that is meant, if it is one: there a key of a
    case file is not to be found."""
    part = re.search(r"under \[(\w+)\]", remark.remedy)
    parts = [part[1]] if part and part[1] in SECTIONS else list(SECTIONS)

    def title(found: re.Match[str]) -> str:
        fields = [SECTIONS[each].model_fields[found[0]] for each in parts if found[0] in SECTIONS[each].model_fields]
        return f'"{fields[0].title}"' if fields else found[0]

    remedy = re.sub(r",? under \[\w+\]", "", remark.remedy)
    message = re.sub(r" \([a-z]+(?:_[a-z0-9]+)+\)", "", remark.message)
    meant = dict.fromkeys(
        places[f"{part[1]}.{name}", 0]
        for name in re.findall(r"\b[a-z]+(?:_[a-z0-9]+)*\b", remark.remedy)
        if part and (f"{part[1]}.{name}", 0) in places
    )
    told = at(remark, next(iter(meant))) if len(meant) == 1 else remark
    if len(meant) == 1 and told.cell:
        remedy = _SET.sub(lambda found: f"type it into {told.sheet} {told.cell}{_such_as(found)}", remedy)
    remedy = remedy.replace(" = ...", "")
    return replace(told, message=message, remedy=re.sub(r"\b[a-z]+(?:_[a-z0-9]+)+\b", title, remedy))


def _twins(case: Case, places: Places) -> Iterator[Finding]:
    """Names that stand twice; both rows count."""
    names = {
        "loads": ["" if load.on == "no" else load.name for load in case.loads],
        "candidates": [each.name for each in case.candidates],
    }
    for part in names:
        seen: dict[str, int] = {}
        for index, name in enumerate(names[part]):
            word = folded(name)
            if not word:
                continue
            if word not in seen:
                seen[word] = index
                continue
            first = places.get((part, seen[word]), Place()).row
            before = f" (also row {first})" if first is not None else ""
            twin = report("A012" if part == "loads" else "A013", name=name, before=before)
            yield at(twin, places.get((part, index), Place(item=name)))
