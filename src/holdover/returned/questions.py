"""What a person is asked before a case can be worked out, each question declared once: the survey form and `ask` put the same.

A question is a text, as people type it; what becomes of it is in `answers.py`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any, Final, Literal

from holdover.case.section import Section, ask
from holdover.case.typical import table
from holdover.case.words import data, folded
from holdover.reading.quantity.numbers import Mark

Purpose = Literal["power cut", "stall", "vehicle", "clinic"]


class AboutYou(Section):
    """Who asks, where, and what for."""

    client: str = ask(
        "Who is it for?", usual="", example="The Wrenfold household", note="Stands at the head of the answer."
    )
    place: str = ask("Which town?", usual="", example="Larkmere", note="Stands beside it; nothing is looked up.")
    country: str = ask(
        "Which country?",
        usual="",
        example="Canada",
        needed=True,
        note="It sets voltage, paper, units and currency. Not listed, or several voltages there: type 120 V or 230 V.",
    )
    purpose: Purpose | None = ask(
        "What is it for?",
        example="power cut",
        note="power cut: a house. stall: a day away from the outlet. vehicle: a stranded electric one. clinic: a small practice.",
    )
    days: str = ask(
        "How many days must it last?",
        usual="",
        example="3",
        note="Without mains. Blank = 2 for a power cut, 3 for a clinic, else 1.",
    )
    never_stops: str = ask(
        "What must never stop?",
        usual="",
        example="CPAP, refrigerator",
        note="By the names of your list, with commas between. It runs first, and is switched off last.",
    )
    distance: str = ask(
        "How far must an electric vehicle get?",
        usual="",
        example="6 mi",
        note="Along the road to the next charger. Blank = no vehicle is to be charged.",
    )
    consumption: str = ask(
        "What does it take on such a road?",
        usual="",
        example="30 kWh/100 mi",
        note="As its dashboard shows it, with the unit. Blank = 18 kWh/100 km, which is 29 kWh/100 mi.",
    )
    generator_w: str = ask(
        "What does a generator give, if there is one?",
        usual="",
        example="2000 W",
        note="Its continuous output. Blank = none.",
    )
    generator_hours: str = ask(
        "How long may it run a day?", usual="", example="17:00-19:30", note="From when on, or only how long."
    )
    solar: str = ask(
        "Which solar modules are there or wanted?",
        usual="",
        example="2 x 200 W, Voc 24.3 V, Vmp 20.4 V, Isc 10.4 A, Imp 9.8 A, -0.28 %/°C",
        note="How many, and what their data sheet says: its lines may be pasted. Blank = none.",
    )
    latitude: str = ask(
        "How far north or south is it?",
        usual="",
        example="40.7 N",
        note="The latitude, as maps show it. It is needed with solar modules, and asked for nothing else.",
    )
    sun_hours: str = ask(
        "How many hours of full sun has a day there?",
        usual="",
        example="2.5",
        note="Peak sun hours of the poorest month that counts; solar maps have them. Needed with solar modules.",
    )
    coldest_c: str = ask(
        "How cold can a day get there?",
        usual="",
        example="0 °F or -18 °C",
        note="The coldest ever in daylight: cold modules give most volts, which an input must stand.",
    )
    storage_c: str = ask(
        "How cold is it where the unit stands?",
        usual="",
        example="50 °F or 10 °C",
        note="Cold storage gives less. Blank = 20 °C, 68 °F.",
    )
    budget: str = ask(
        "What may it cost?",
        usual="",
        example="3000",
        note="All of it, tax in. What costs more is told, not left out. Blank = no limit.",
    )
    prepared_by: str = ask(
        "Who fills this in?", usual="", example="M. Hale", note="Stands on the answer as who prepared it."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Country:
    """What a country sets."""

    name: str
    feed: str
    paper: str = ""
    currency: str = ""
    signs: tuple[str, ...] = ()
    """Other ways to write its currency, where several countries call theirs $."""
    units: str = "metric"
    distance: str = "km"
    mark: Mark | None = None


@cache
def countries() -> Mapping[str, Country]:
    """Every country that is known, by its name and other names of it, folded."""
    known: dict[str, Country] = {}
    for feed, listed in data("countries.toml").items():
        for name, sets in listed.items():
            own = {key: value for key, value in sets.items() if key not in ("also", "signs")}
            country = Country(name=name, feed=feed, signs=tuple(sets.get("signs", ())), **own)
            known |= {folded(each): country for each in (name, *sets.get("also", ()))}
    return MappingProxyType(known)


PURPOSES: Final[Mapping[str, Mapping[str, Mapping[str, Any]]]] = MappingProxyType(
    {
        "power cut": {"about": {"title": "Backup power for a house"}, "outage": {"days": 2}},
        "stall": {
            "about": {"title": "A day on stored power", "purpose": "day away"},
            "sizing": {"inverter": "only with AC loads"},
            "outage": {"days": 1, "starts_at": 6, "repeats": "yes", "mains_from": 19.0, "mains_hours": 10.5},
        },
        "vehicle": {
            "about": {"title": "To the next charger", "purpose": "trip"},
            "sizing": {"inverter": "only with AC loads"},
            "outage": {"days": 1, "starts_at": 15},
        },
        "clinic": {
            "about": {"title": "Power for a small practice"},
            "sizing": {"energy_margin": 0.15},
            "outage": {"days": 3, "starts_at": 17},
        },
    }
)
"""What a purpose sets, by part and field; the rest is as usual. The stall hangs on its outlet overnight."""
STARTERS: Final = {"home": "power cut"}
"""Starter cases that have another name than their purpose."""


@cache
def offered() -> Mapping[str, tuple[str, ...]]:
    """Words that a cell offers where others may be typed, too."""
    return MappingProxyType(
        {
            "countries": tuple(sorted({country.name for country in countries().values()})),
            "loads": tuple(sorted({row.name for row in table()}, key=str.casefold)),
        }
    )
