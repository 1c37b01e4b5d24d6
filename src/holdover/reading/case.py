"""From rows to a case: what a row lacks, what is filled in, what only the whole case can tell."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from holdover.case.figures import exact, figure
from holdover.case.kinds import is_medical, is_motor, volts_in
from holdover.case.safe_text import safe_text
from holdover.case.schema import AC_VOLTS, FORMS, RECORDS, Case, Point
from holdover.case.typical import Typical, meant
from holdover.case.words import folded
from holdover.findings import Finding, Findings, Place, report, show, where
from holdover.reading.composite import holding, without_peak
from holdover.reading.context import context_of
from holdover.reading.entries import Context, Row, is_empty, typed_text, unstated
from holdover.reading.fields import ASKED, TABLED
from holdover.reading.kilo import doubt_columns, refuse_kilo
from holdover.reading.motor import in_watts, without_factor
from holdover.reading.quantity.motor import Motor, read_motor
from holdover.reading.quantity.nameplate import adapter_output, states_ceiling
from holdover.reading.quantity.numbers import MARKS
from holdover.reading.quantity.quantity import Quantity, amounts
from holdover.reading.row import Fields, read_row
from holdover.reading.tier import with_tiers
from holdover.reading.toml import MOST, CaseFile

METERED: Final = frozenset({"running_w", "hours_per_day"})
"""Fields that a metered load does without."""
OF_SETTINGS: Final = frozenset({"Q013", "Q018"})
"""Codes of findings that a setting may answer: they are not told where the case file could not be read."""
OF_MODULES: Final = frozenset({"A017", "A018", "A020"})
"""Codes of what there is to say of modules that can't be counted yet: a form says it in the words of its questions."""
FILLED: Final = {
    "running_w": "{} W running",
    "hours_per_day": "{} h a day",
    "duty": "running {} % of them",
    "starting_w": "{} VA at start",
    "power_factor": "a power factor of {}",
}
"""What is told of typical figures that stand in beside stated watts or metered energy."""
LINES: Final = {"storage_wh": "Capacity: 2048 Wh", "continuous_w": "Output: 2400 W", "surge_w": "Surge: 4800 W"}
"""By what a candidate can't be counted without, a line of a data sheet that states it [-]."""
WHOLE: Final = "; the {} h that you state are counted whole"
"""What is told of hours that somebody states, where of the usual ones only a share counts."""
OF_MOST: Final = "; its plate states the most it draws, the heater of its defrost included, so its start is not larger"
"""What is told of the start of a load whose plate says nothing of its motor."""
NEVER_SHED: Final = "critical"
"""Tier of what must never stop [-]."""
DC_MOST_V: Final = 60.0
"""Adapters of what people carry about give no more [V]; common practice."""
OWN: Final = frozenset({"running_w", "measured_wh_per_day"})
"""A load that states one of these takes no typical figures."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What the files of a case say, before anybody remarks on it."""

    case: Case | None
    """None where a setting or a file can't be read; rows that can't be read are blank."""
    findings: Findings
    unread: frozenset[str] = frozenset()
    """Parts of which a row can't be read."""
    told: frozenset[str] = frozenset()
    """Codes of remarks that were made already, in the words of what was asked."""

    def remarked(
        self, advise: Callable[[Case, Mapping[tuple[str, int], Place], frozenset[str]], Iterable[Finding]]
    ) -> tuple[Case | None, Findings]:
        """The case with what an adviser would remark on; none where there is an error."""
        if self.case is not None:
            remarks = advise(self.case, self.findings.places, self.unread)
            self.findings.extend(remark for remark in remarks if remark.code not in self.told)
        return None if self.findings.errors else self.case, self.findings


@dataclass(frozen=True, slots=True, kw_only=True)
class RowRead:
    """A row that was read: its fields, and what there is to say about it."""

    row: Row
    fields: Fields
    findings: tuple[Finding, ...] = ()

    @property
    def failed(self) -> bool:
        """Whether there is an error in it."""
        return any(finding.level == "error" for finding in self.findings)


def build_case(content: CaseFile, findings: Findings) -> Read:
    """The case of what its files say; `findings` are those of the files, and get what there is to say about the rows."""
    findings.places["case", 0] = Place(file=content.name)
    context = context_of(content.rows, findings, content.mark, content.signs)
    rows = with_tiers(content.rows, findings)
    whole = not findings.errors
    parts = _parts(rows, context, findings, content)
    if not content.is_whole:
        findings.found = [each for each in findings.found if each.code not in OF_SETTINGS]
    whole &= _has_points(parts, content, findings)
    if not whole or any(each.failed for part, rows in parts.items() if part not in TABLED for each in rows):
        return Read(case=None, findings=findings)
    findings.extend(without_factor([(each.row, each.fields) for each in parts.get("loads", ()) if not each.failed]))
    told = (
        OF_MODULES
        if any(each.code == "R005" and each.level == "warning" for each in findings.found)
        else frozenset[str]()
    )
    fields = {part: [{} if each.failed else each.fields for each in rows] for part, rows in parts.items()}
    if "outage" in parts:
        fields["outage"][0] |= _candidate_meant(parts["outage"][0], fields.get("candidates", []), findings)
    unread = frozenset(part for part, rows in parts.items() if any(each.failed for each in rows))
    return Read(case=_made(fields, content), findings=findings, unread=unread, told=told)


def _parts(given: Sequence[Row], context: Context, findings: Findings, content: CaseFile) -> dict[str, list[RowRead]]:
    """Every row, read, by its part; where each stands and what there is to say goes to the findings."""
    parts: dict[str, list[RowRead]] = {}
    for row in given:
        rows = parts.setdefault(row.part, [])
        findings.places[row.part, len(rows)] = row.place
        read = _read(row, context, content, one_too_many=len(rows) == MOST.get(row.part))
        findings.extend(read.findings)
        rows.append(read)
    findings.extend(doubt_columns([(each.row, each.fields) for part in TABLED for each in parts.get(part, [])]))
    return parts


def _read(row: Row, context: Context, content: CaseFile, *, one_too_many: bool) -> RowRead:
    typical: Sequence[Typical] = ()
    apart: Sequence[Finding] = ()
    if row.part == "recharge":
        row, apart = without_peak(row)
    if row.part == "loads":
        row = _fed_by_its_plate(row)
        row, typical = _meant(row, AC_VOLTS[context.house], by_horsepower=content.fill_in)
    plugged = _at_the_adapter(row)
    if plugged is row and content.fill_in and len(typical) == 1:
        plugged = _plugged_in(row, typical, context)
    fields, found = read_row(plugged, context)
    found = [*apart, *found]
    if plugged is not row:
        found.append(_through_adapter(row, fields))
    row = plugged
    fields = {name: _kept(value) for name, value in fields.items()}
    if content.fill_in and row.part == "candidates" and _is_silent_of_inputs(row, fields):
        fields["pv_inputs"] = 1
        found.append(report("R006", row.place))
    if row.part not in TABLED:
        return RowRead(row=row, fields=fields, findings=tuple(found))
    if one_too_many:
        found.append(report("R002.loads" if row.part == "loads" else "R002.candidates", row.place, most=MOST[row.part]))
    if row.part == "loads" and _is_ceiling(row, fields) and not any(each.code == "L010" for each in found):
        row, fields, capped = _under_ceiling(row, fields, typical if content.use_typical else ())
        found.append(capped)
    if content.use_typical and len(typical) == 1 and not OWN & fields.keys() and _is_open("running_w", row):
        fields |= _typical(typical[0], row, fields)
        if not any(each.code == "L010" for each in found):
            found.append(_taken(typical[0], row, fields))
    if content.fill_in and len(typical) == 1 and len(OWN & fields.keys()) == 1:
        is_told = fields.get("basis") == "typical"
        fill = _filled_in if "running_w" in fields else _with_watts
        fields, filled = fill(typical[0], row, fields)
        found += [] if is_told else filled
    lacks = [_lack(name, row, typical) for name in lacking(row, fields)]
    places = [where(each) for each in lacks]
    found = [each for each in found if each.code != "Q016" or where(each) not in places]  # it is said once
    found += lacks
    return RowRead(row=row, fields=fields, findings=(*found, *refuse_kilo(row, fields)))


def _fed_by_its_plate(row: Row) -> Row:
    """A load of which only the volts of its plate are typed, such as `230 V`: they are its feed."""
    entry, feed = row.entries.get("running_w"), row.entries.get("feed")
    if entry is None or not isinstance(entry.value, str) or (feed is not None and not is_empty(feed.value)):
        return row
    said = amounts(entry.value, "V")[MARKS[0]]
    if not isinstance(said, Quantity) or not said.unit:
        return row
    left = {name: each for name, each in row.entries.items() if name != "running_w"}
    return replace(row, entries={**left, "feed": entry})


def _meant(row: Row, house_v: float, *, by_horsepower: bool) -> tuple[Row, Sequence[Typical]]:
    """A load with the typical ones that its name may mean.

    A plate that states horsepower alone says with the name which one is meant, so that a sump pump of 1/2 hp is the same load
    whichever cell the horsepower stands in; the plate then says nothing more.
    """
    name = _name_of(row)
    plate = row.entries.get("running_w")
    if by_horsepower and plate and isinstance(plate.value, str):
        said = read_motor(plate.value)
        rows = meant(f"{name} {plate.value}", house_v) if said.hp and said == Motor(hp=said.hp) else ()
        if len(rows) == 1 and read_motor(rows[0].name).hp == said.hp:
            return replace(row, entries={key: each for key, each in row.entries.items() if key != "running_w"}), rows
    return row, meant(name, house_v)


def _name_of(row: Row) -> str:
    return typed_text(row.entries["name"].value) if "name" in row.entries else ""


def _plugged_in(row: Row, typical: Sequence[Typical], context: Context) -> Row:
    """A load whose adapter's output is typed, such as `12 V 2 A`, with the watts of that: the adapter is plugged in.

    A typical load with a power factor has a plug; one that says its voltage may be fed by it.
    """
    entry = row.entries.get("running_w")
    named = volts_in(typed_text(row.entries["name"].value)) or volts_in(typical[0].name)
    feed = row.entries.get("feed")
    if not entry or not isinstance(entry.value, str) or typical[0].power_factor is None or named:
        return row
    said = amounts(entry.value, "W", entry.unit, watts_of_load=True)[context.marks.get(entry.place.file) or MARKS[0]]
    if not isinstance(said, Quantity) or said.kind not in ("", "A") or not 0 < (said.volts or 0.0) <= DC_MOST_V:
        return row
    if feed is not None and not is_empty(feed.value):
        return row
    return _with_watts_of(said, row)


def _at_the_adapter(row: Row) -> Row:
    """A load whose adapter's whole plate is typed, with the watts that the adapter gives: it is what is plugged in."""
    entry = row.entries.get("running_w") if row.part == "loads" else None
    gives = adapter_output(entry.value) if entry else ""
    said = amounts(gives, "W", watts_of_load=True)[MARKS[0]] if gives else None
    return _with_watts_of(said, row) if isinstance(said, Quantity) and said.kind in ("", "A") else row


def _with_watts_of(said: Quantity, row: Row) -> Row:
    """A load with the watts of a plate in amperes and volts, or in watts beside them."""
    count = f"{said.count} x " if said.count else ""
    watts = said.value * ((said.volts or 0.0) if said.kind else 1.0)
    entry = replace(row.entries["running_w"], value=f"{count}{exact(watts)} W")
    return replace(row, entries={**row.entries, "running_w": entry})


def _through_adapter(row: Row, fields: Fields) -> Finding:
    """That an adapter's output was taken for the draw of what is plugged in."""
    entry = row.entries["running_w"]
    return report("L005.adapter", entry.place, typed=show(typed_text(entry.value)), watts=fields.get("running_w", 0.0))


def _is_silent_of_inputs(row: Row, fields: Fields) -> bool:
    """Whether a data sheet has figures of a solar input and doesn't say how many there are: there is one at least."""
    entry = row.entries.get("pv_inputs")
    return (entry is None or is_empty(entry.value)) and any(fields[name] for name in fields if name.startswith("pv_"))


def _is_ceiling(row: Row, fields: Fields) -> bool:
    """Whether the watts of a load are the most that its plate allows; what was metered is a draw."""
    entry = row.entries.get("running_w")
    draws = "running_w" in fields and fields.get("basis") != "metered"
    return entry is not None and draws and states_ceiling(entry.value)


def _under_ceiling(row: Row, fields: Fields, typical: Sequence[Typical]) -> tuple[Row, Fields, Finding]:
    """A load whose plate states a maximum: its typical draw is open to be taken, where that lies below it.

    Of what must never stop the maximum counts: whether a humidifier is on, nobody can tell from a plate.
    """
    entry, most = row.entries["running_w"], fields["running_w"]
    typed = show(typed_text(entry.value))
    if fields.get("tier") == NEVER_SHED or is_medical(_name_of(row)):
        return row, fields, report("L010.kept", entry.place, typed=typed, most=most)
    if len(typical) != 1:
        return row, fields, report("L010.alone", entry.place, typed=typed, most=most)
    name, watts, low = typical[0].name, typical[0].running_w, typical[0].low_w
    if watts > most:
        return row, fields, report("L010.below", entry.place, typed=typed, most=most, watts=watts, name=name)
    left = replace(row, entries={name: each for name, each in row.entries.items() if name != "running_w"})
    capped = report(
        "L010.typical",
        entry.place,
        typed=typed,
        most=most,
        watts=watts,
        name=name,
        low=min(low, watts),
        high=min(most, typical[0].high_w),
        source=typical[0].source,
    )
    return left, {name: value for name, value in fields.items() if name != "running_w"}, capped


def _taken(typical: Typical, row: Row, fields: Fields) -> Finding:
    """That typical figures were taken, and which."""
    return report(
        "L007.watts",
        row.place,
        name=typical.name,
        watts=typical.running_w,
        start=max(typical.running_va, typical.starting_w),
        kwh=typical.day_wh / 1000,
        hours="" if fields.get("duty", 1.0) != 1 else _whole(typical, fields.get("hours_per_day"), typical.running_w),
        low=typical.low_w,
        high=typical.high_w,
        source=typical.source,
    )


def _whole(typical: Typical, hours: float | None, watts: float) -> str:
    """That hours that somebody states count whole, where of the usual ones only a share does."""
    rests = hours is not None and typical.usual_share not in (None, 1.0) and typical.share_over(hours, watts) == 1
    return WHOLE.format(figure(hours or 0.0)) if rests else ""


def _lack(name: str, row: Row, typical: Sequence[Typical]) -> Finding:
    """That a row lacks a field; of a load without watts, what is typical for it, or which typical loads it may be."""
    place, found = stands(name, row)
    if name == "running_w" and len(typical) == 1:
        named, watts = typical[0].name, typical[0].running_w
        return report("R001.typical", place, typical=named, watts=watts, found=found)
    if name == "running_w" and typical:
        return report("R001.which", place, which="; ".join(each.name for each in typical), found=found)
    held = holding(row.aside, ASKED[row.part][name].unit) if name in LINES else []
    if held:
        title = ASKED[row.part][name].title
        lines = ", ".join(f"`{show(line)}`" for line in held)
        return report("R001.aside", place, title=title, name=name, lines=lines, like=LINES[name], found=found)
    return report(f"R001.no_{name}", place, found=found)


def stands(name: str, row: Row) -> tuple[Place, str]:
    """Where a figure is lacking: at its cell, with the word that stands there and states none, or in the row."""
    entry = row.entries.get(name)
    if entry is None or is_empty(entry.value):
        return row.place, ""
    return entry.place, typed_text(entry.value)


def _kept(value: Any) -> Any:
    """A number with the digits that every spreadsheet program keeps, so that a case comes back from one unchanged."""
    return float(exact(value)) if isinstance(value, float) else value


def _typical(typical: Typical, row: Row, fields: Fields) -> Fields:
    """Typical figures in place of what a load leaves open."""
    figures = {
        "running_w": typical.running_w,
        "starting_w": typical.starting_w,
        "duty": None if typical.usual_share is None else typical.share_over(fields.get("hours_per_day")),
        "power_factor": typical.power_factor,
    }
    taken = {n: _kept(v) for n, v in figures.items() if v is not None and n not in fields and _is_open(n, row)}
    return taken | {"basis": "typical"}


def _filled_in(typical: Typical, row: Row, fields: Fields) -> tuple[Fields, list[Finding]]:
    """Hours, duty and start as is typical, where a load states its watts alone; and what was taken."""
    watts, stated = fields["running_w"], fields.get("hours_per_day")
    of_its_energy = typical.plate_is_most or not is_medical(_name_of(row))  # what health depends on counts whole
    figures = {
        "hours_per_day": typical.hours_per_day if stated is None else stated,
        "duty": typical.share_over(stated, watts) if of_its_energy else None,
        "starting_w": typical.start_at(watts),
        "power_factor": typical.power_factor if is_motor(_name_of(row)) and in_watts(row) else None,
    }
    more = "" if "duty" in fields else _whole(typical, stated, watts)
    if typical.plate_is_most and watts > typical.high_w and "starting_w" not in fields:
        more += OF_MOST
    filled, told = _told_with(figures, typical, row, fields, more)
    rests = "duty" not in fields and "duty" in filled
    return ({"basis": "typical"} | filled if rests else filled), told


def _with_watts(typical: Typical, row: Row, fields: Fields) -> tuple[Fields, list[Finding]]:
    """Watts and start as is typical beside metered energy, which alone would count for storage but not for the inverter."""
    figures = {
        "running_w": typical.running_w,
        "starting_w": typical.start_at(typical.running_w),
    }
    # An energy that stood in place of the draw states no draw.
    left = replace(row, entries={name: entry for name, entry in row.entries.items() if name != "running_w"})
    return _told_with(figures, typical, left, fields)


def _told_with(
    figures: Mapping[str, float | None], typical: Typical, row: Row, fields: Fields, whole: str = ""
) -> tuple[Fields, list[Finding]]:
    """The fields with those of typical figures that nothing stands for, and which these are."""
    taken = {n: _kept(v) for n, v in figures.items() if v is not None and n not in fields and _is_open(n, row)}
    if taken.get("duty") == 1.0:
        del taken["duty"]
    if not taken:
        return fields, []
    told = [
        f"{text.format(figure(taken[n] * (100 if n == 'duty' else 1)))}" for n, text in FILLED.items() if n in taken
    ]
    return fields | taken, [report("L007.filled", row.place, name=typical.name, taken=", ".join(told) + whole)]


def _is_open(name: str, row: Row) -> bool:
    """Whether nothing stands for a field, not even what was refused; a word such as `n/a` states no figure."""
    entry = row.entries.get(name)
    nothing = entry is None or is_empty(entry.value) or not safe_text(typed_text(entry.value))
    return nothing or (entry is not None and not ASKED[row.part][name].text and bool(unstated(entry.value)))


def lacking(row: Row, fields: Mapping[str, Any]) -> list[str]:
    """What a load or candidate can't be counted without, where nothing stands for it."""
    spared = METERED if "measured_wh_per_day" in fields else frozenset[str]()
    return [
        name
        for name, asked in ASKED[row.part].items()
        if asked.needed and name not in fields and name not in spared and _is_open(name, row)
        if name not in row.unread
        and (row.headed is None or name in row.headed)  # else it may stand in the column that is not known
    ]


def is_rising(points: Sequence[Point]) -> bool:
    """Whether a line of capacity against temperature has two points or more, none of them open, the coldest first."""
    stated = [p.temperature_c for p in points if p.temperature_c is not None and p.capacity_share is not None]
    return len(stated) >= max(2, len(points)) and stated == sorted(set(stated))


def _has_points(parts: Mapping[str, Sequence[RowRead]], content: CaseFile, findings: Findings) -> bool:
    """Whether the points of capacity can be counted with, where any are stated; else there is a finding."""
    stated = "points" in parts or "points" in content.parts
    if not stated or is_rising([Point(**each.fields) for each in parts.get("points", ())]):
        return True
    findings.report("T008.case", findings.places.get(("points", 0), Place(file=content.name)))
    return False


def _candidate_meant(outage: RowRead, candidates: Sequence[Fields], findings: Findings) -> Fields:
    """The name of the candidate that the outage shows, where it differs only by case, spaces or punctuation.

    The model and the workbook compare names as spreadsheet programs do, where only case is left aside.
    """
    typed = outage.fields.get("candidate", "")
    names = [candidate["name"] for candidate in candidates if "name" in candidate]
    alike = [name for name in names if folded(name) == folded(typed)]
    if not folded(typed) or typed.lower() in {name.lower() for name in names} or len(alike) != 1:
        return {}
    findings.report("Q027", outage.row.entries["candidate"].place, name=alike[0], written=typed)
    return {"candidate": alike[0]}


def _made(fields: Mapping[str, Sequence[Fields]], content: CaseFile) -> Case:
    made: dict[str, Any] = {part: model(**fields[part][0]) for part, model in FORMS.items() if part in fields}
    for part, model in RECORDS.items():
        if part in fields or part in content.parts:
            made[part] = tuple(model(**each) for each in fields.get(part, ()))
    return Case(**made)
