"""From the answers to the first questions to the rows of a case, which are read like those of any file."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from holdover.case.figures import figure
from holdover.case.measure import TEMPERATURE
from holdover.case.schema import AC_VOLTS
from holdover.case.typical import meant
from holdover.case.words import either, folded, nearest, vocabulary
from holdover.findings import Findings, Place, show
from holdover.reading.entries import Entry, Row, bare_number, is_empty, typed_text, unstated
from holdover.reading.fields import ASKED
from holdover.reading.quantity.numbers import MARKS, Mark, plain
from holdover.reading.quantity.quantity import Quantity, amounts
from holdover.returned.questions import PURPOSES, AboutYou, Country, countries
from holdover.returned.solar import in_digits, months_of, read_modules

SETS: Final[Mapping[str, tuple[str, str]]] = {
    "client": ("about", "client"),
    "place": ("about", "place"),
    "prepared_by": ("about", "prepared_by"),
    "days": ("outage", "days"),
    "generator_w": ("recharge", "generator_w"),
    "generator_hours": ("outage", "generator_hours"),
    "latitude": ("sun", "latitude_deg"),
    "coldest_c": ("sun", "coldest_c"),
    "storage_c": ("sizing", "storage_c"),
    "budget": ("money", "budget"),
}
"""Part and field of the case that an answer is written to as it stands."""
MAY_BE_NONE: Final = frozenset({"generator_w", "generator_hours", "budget"})
"""Questions of these that may be answered with no."""
NONE: Final = frozenset(vocabulary("units")["module"]["none"])
USUAL_PURPOSE: Final = "power cut"
WANTED_FOR: Final = {
    purpose: [folded(word) for word in words] for purpose, words in vocabulary("words")["wanted_for"].items()
}
"""By purpose, the words that people say for it."""
NOBODY: Final = frozenset(vocabulary("words")["nobody"]["words"])
"""What is answered to who somebody is, and is no name."""
NAMES: Final = frozenset({"client", "prepared_by"})
"""Questions that ask for a name."""
LOW_POWER_A: Final = {"120 V": 12.0, "100 V": 12.0, "230 V": 10.0}
"""What the cable that comes with a vehicle draws from an outlet [A]: 80 % of 15 A, and 10 A in Europe (common practice)."""
FEWEST_WH: Final = 80.0
"""From here on a bare consumption is in watt-hours [Wh/km or Wh/mi]; common practice, half of a small car's."""
MOST_ROAD: Final = 9.0
"""Up to here it is road for each kilowatt-hour [km/kWh or mi/kWh]; common practice, less than any car's per 100."""

PHRASED: Final = frozenset({"°C", "W", "days", "km"})
"""Units of answers whose amount is found in a phrase."""
LONGEST_PHRASE: Final = 60
"""A longer one may say anything [characters]."""
_NUMBER: Final = re.compile(r"(?<!\w)[+-]?[0-9]+(?:[.,][0-9]+)*")
_TURNED: Final = re.compile(rf"\b{either(vocabulary('units')['amounts']['turned'])}\b", re.IGNORECASE)

Answers = Mapping[str, Entry]
"""By question, what was typed, and where."""


@dataclass(slots=True)
class _Settings:
    """Rows of settings, a part each."""

    place: Place
    findings: Findings
    rows: dict[str, Row]

    def set(self, part: str, name: str, value: Any, place: Place | None = None, unit: str = "") -> None:
        """A field of a part; what was set before gives way."""
        row = self.rows.setdefault(part, Row(part=part, place=self.place))
        row.entries[name] = Entry(value=value, place=place or self.place, unit=unit)


def settings_of(answers: Answers, place: Place, findings: Findings) -> list[Row]:
    """The settings that answers make: those of the purpose and of the country, then what was typed."""
    settings = _Settings(place, findings, {})
    purpose = _purpose(answers.get("purpose"), findings)
    for part, fields in PURPOSES[purpose].items():
        for name, value in fields.items():
            settings.set(part, name, value)
    country = _country(answers.get("country"), place, findings)
    if country:
        _set_country(country, settings)
    distance = answers.get("distance")
    if not _set_vehicle(distance, purpose, country, settings):
        findings.report("R003.no_distance", distance.place if distance else place)
    _set_consumption(answers.get("consumption"), country, settings)
    for question, (part, name) in SETS.items():
        entry = answers.get(question)
        if question in NAMES and entry and folded(typed_text(entry.value)) in NOBODY:
            continue
        if entry and not (states_none(entry) if question in MAY_BE_NONE else is_empty(entry.value)):
            unit = ASKED[part][name].unit
            entry = _amount_in(entry, unit, mark_of(answers), findings)
            if country and country.units == "US" and unit == TEMPERATURE.kept:
                entry = _in_fahrenheit(entry, mark_of(answers), findings)
            settings.set(part, name, entry.value, entry.place, entry.unit)
    solar = answers.get("solar")
    sun = [] if solar is None or states_none(solar) else _sun(solar, answers, settings)
    return [*settings.rows.values(), *sun]


def states_none(entry: Entry | None) -> bool:
    """Whether nothing was answered, or that there is none of what is asked for."""
    typed = "" if entry is None or entry.kind else typed_text(entry.value)
    return entry is None or is_empty(entry.value) or unstated(typed) == "left out" or folded(typed) in NONE


def _sun(solar: Entry, answers: Answers, settings: _Settings) -> list[Row]:
    """The months of the sun, and the modules among the settings; without a place and its cold these can't be counted."""
    lacking: dict[Place, list[str]] = {}
    for question in ("latitude", "sun_hours", "coldest_c"):
        entry = answers.get(question)
        if entry is None or is_empty(entry.value):
            lacking.setdefault(entry.place if entry else settings.place, []).append(
                str(AboutYou.model_fields[question].title)
            )
    for name, said in read_modules(solar, settings.findings).items():
        settings.set("array", name, said.value, said.place)
    for where, questions in lacking.items():
        settings.findings.report("R005.sun", where, questions=" ".join(questions))
    return months_of(answers.get("sun_hours"), mark_of(answers))


def _amount_in(entry: Entry, unit: str, mark: Mark | None, findings: Findings) -> Entry:
    """An answer with its amount alone, where that stands in a phrase and nothing else there may be meant; it is told.

    `garage, about 45 F in winter` says 45 F; two numbers, a bare one, or words that turn it round say nothing sure.
    """
    if unit not in PHRASED or not isinstance(entry.value, str) or len(entry.value) > LONGEST_PHRASE:
        return entry
    line, mark = plain(entry.value), mark or MARKS[0]
    digits = in_digits(line) if unit == "days" else line
    if digits != line and _is_read(digits, unit, mark):
        findings.report("R004", entry.place, typed=show(entry.value), amount=digits)
        return replace(entry, value=digits)
    numbers = [*_NUMBER.finditer(line)]
    if len(numbers) != 1 or _TURNED.search(line) or _is_read(line, unit, mark):
        return entry
    behind = line[numbers[0].end() :].split()
    for count in (2, 1):
        amount = f"{numbers[0].group()} {' '.join(behind[:count])}".strip(" .,;")
        if behind and _is_read(amount, unit, mark):
            findings.report("R004", entry.place, typed=show(entry.value), amount=amount)
            return replace(entry, value=amount)
    return entry


def _in_fahrenheit(entry: Entry, mark: Mark | None, findings: Findings) -> Entry:
    """A temperature in °F where no unit stands beside it and the client reads °F; both are told."""
    said = (
        None if entry.kind else amounts(typed_text(entry.value), TEMPERATURE.kept, TEMPERATURE.unit)[mark or MARKS[0]]
    )
    if not isinstance(said, Quantity) or said.unit:
        return entry
    typed, kept = figure(TEMPERATURE.shown(said.value)), figure(said.value)
    amount = f"{typed} {TEMPERATURE.unit}, which is {kept} {TEMPERATURE.kept}"
    findings.report("R004", entry.place, typed=show(typed_text(entry.value)), amount=amount)
    return replace(entry, unit=TEMPERATURE.unit)


def _is_read(text: str, unit: str, mark: Mark) -> bool:
    return isinstance(amounts(text, unit)[mark], Quantity)


def _purpose(entry: Entry | None, findings: Findings) -> str:
    if entry is None or is_empty(entry.value):
        return USUAL_PURPOSE
    purpose = purpose_of(typed_text(entry.value))
    if purpose:
        return purpose
    findings.report("R003.purpose", entry.place, found=typed_text(entry.value), allowed=", ".join(PURPOSES))
    return USUAL_PURPOSE


def purpose_of(text: str) -> str:
    """What an answer says that it is for: by the words in it, if they are those of one purpose; else ""."""
    word = f" {folded(text)} "
    said = {purpose for purpose, words in WANTED_FOR.items() if any(f" {each} " in word for each in words)}
    return said.pop() if len(said) == 1 else ""


def country_of(text: str) -> Country | None:
    """The country, or the voltage, that an answer names; None where it is neither."""
    word = folded(text)
    volts = {folded(feed): feed for feed in AC_VOLTS} | {folded(feed).split()[0]: feed for feed in AC_VOLTS}
    return countries().get(word) or (Country(name=text, feed=volts[word]) if word in volts else None)


def _country(entry: Entry | None, place: Place, findings: Findings) -> Country | None:
    if entry is None or is_empty(entry.value):
        findings.report("R003.no_country", entry.place if entry else place)
        return None
    typed = typed_text(entry.value)
    country = country_of(typed)
    if country is None:
        near = nearest(typed, [each.name for each in countries().values()])
        findings.report("R003.near_country" if near else "R003.country", entry.place, found=typed, near=near)
    return country


def mark_of(answers: Answers) -> Mark | None:
    """The decimal mark of the country, where it is known."""
    country = _answered_country(answers)
    return country.mark if country else None


def signs_of(answers: Answers) -> frozenset[str]:
    """How the currency of the country is written beside prices; nothing where it is not known, or needs no more."""
    country = _answered_country(answers)
    return frozenset((country.currency, *country.signs)) if country and country.signs else frozenset()


def _answered_country(answers: Answers) -> Country | None:
    entry = answers.get("country")
    return country_of(typed_text(entry.value)) if entry else None


def _set_country(country: Country, settings: _Settings) -> None:
    settings.set("sizing", "feed", country.feed)
    for name in ("units", "paper", "currency"):
        if getattr(country, name):
            settings.set("about", name, getattr(country, name))


def _set_vehicle(entry: Entry | None, purpose: str, country: Country | None, settings: _Settings) -> bool:
    """The drive, in the units of the country's roads; False where its distance is missing."""
    if entry is None or states_none(entry):
        return purpose != "vehicle"
    entry = _amount_in(entry, ASKED["vehicle"]["distance"].unit, country.mark if country else None, settings.findings)
    settings.set("vehicle", "distance", entry.value, entry.place)
    if country:
        if bare_number(entry) is not None:
            settings.set("vehicle", "distance_unit", country.distance)
        settings.set("vehicle", "charger_v", AC_VOLTS[country.feed])
        settings.set("vehicle", "charger_a", LOW_POWER_A.get(country.feed, min(LOW_POWER_A.values())))
    return True


def _set_consumption(entry: Entry | None, country: Country | None, settings: _Settings) -> None:
    """What the vehicle takes; the unit of a bare figure goes by its size and by the country's roads, and is told."""
    if entry is None or states_none(entry):
        return
    settings.set("vehicle", "consumption", entry.value, entry.place)
    number = bare_number(entry)
    if number is None:
        return
    road = country.distance if country else "km"
    unit = f"Wh/{road}" if number >= FEWEST_WH else f"{road}/kWh" if number <= MOST_ROAD else f"kWh/100 {road}"
    settings.set("vehicle", "consumption_unit", unit)
    settings.findings.report("R004", entry.place, typed=show(typed_text(entry.value)), amount=f"{number:g} {unit}")


def mark_critical(entry: Entry | None, loads: Sequence[Row], findings: Findings) -> list[Row]:
    """The loads, those that must never stop as critical; each name must be that of a load."""
    if entry is None or states_none(entry):
        return list(loads)
    marked = list(loads)
    for name in filter(None, (each.strip() for each in typed_text(entry.value).replace(";", ",").split(","))):
        meant_here = [i for i, row in enumerate(marked) if _is_meant(name, _name_of(row))]
        if not meant_here:
            listed = ", ".join(filter(None, map(_name_of, loads)))
            findings.report("R003.never", entry.place, name=name, found=typed_text(entry.value), allowed=listed)
        for i in meant_here:
            tier = Entry(value="critical", place=entry.place)
            marked[i] = replace(marked[i], entries={**marked[i].entries, "tier": tier})
    return marked


def _name_of(row: Row) -> str:
    return typed_text(row.entries["name"].value) if "name" in row.entries else ""


def _is_meant(name: str, load: str) -> bool:
    """Whether a load is meant by a name: by the same words, or as the same typical load."""
    words, others = set(folded(name).split()), set(folded(load).split())
    if not words or not others:
        return False
    kinds = {row.name for volts in (0.0, 230.0) for row in meant(name, volts)}
    return words <= others or bool(kinds & {row.name for volts in (0.0, 230.0) for row in meant(load, volts)})
