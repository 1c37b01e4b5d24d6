"""German, French and Spanish names of loads: the typical row that is meant, the motor, and words that turn it away."""

import pytest

from holdover.case.kinds import is_heater, is_medical, is_motor
from holdover.case.typical import meant
from holdover.case.words import data

LANGUAGES = ("de", "fr", "es")
NOTHING = {
    "control", "controller", "sensor", "thermostat", "alarm", "medicine", "vaccine", "wine", "filter", "gas", "rv", "caravan",
}  # fmt: skip
"""English words beside which another load is meant: they name none by themselves."""
ROWS = {
    "Kühlschrank": "Fridge-freezer, 250 to 350 L", "frigo": "Fridge-freezer, 250 to 350 L",
    "nevera": "Fridge-freezer, 250 to 350 L", "Kühl-/Gefrierkombination": "Fridge-freezer, 250 to 350 L",
    "Medikamentenkühlschrank": "Medicine or vaccine refrigerator, 5 cu ft",
    "frigo à vaccins": "Medicine or vaccine refrigerator, 5 cu ft",
    "nevera de vacunas": "Medicine or vaccine refrigerator, 5 cu ft", "Gefriertruhe": "Chest freezer, 7 cu ft",
    "congélateur": "Upright freezer, 14 to 20 cu ft", "Tauchpumpe Keller": "Sump pump, 1/3 hp",
    "Brunnenpumpe": "Well pump, 1/2 hp", "pompe de puits": "Well pump, 1/2 hp", "bomba sumergible": "Well pump, 1/2 hp",
    "bomba de piscina": "Pool pump, 1 hp", "Umwälzpumpe": "Boiler circulator, standard",
    "Gastherme": "Gas boiler with its pump", "chaudière à gaz": "Gas boiler with its pump",
    "caldera de gas": "Gas boiler with its pump", "Pelletofen": "Pellet stove",
    "pompe à chaleur": "Air-source heat pump, 2 to 3 ton", "Waschmaschine": "Washing machine that heats its water",
    "lave-linge": "Washing machine that heats its water", "sèche-linge": "Tumble dryer, 230 V", "secadora": "Tumble dryer, 230 V",
    "Wasserkocher": "Kettle, 230 V", "bouilloire": "Kettle, 230 V", "micro-ondes": "Microwave oven, 1000 W of output",
    "Four à micro-ondes": "Microwave oven, 1000 W of output", "Bohrmaschine": "Corded drill", "perceuse": "Corded drill",
    "taladro": "Corded drill", "Winkelschleifer": "Angle grinder", "Druckluftkompressor": "Air compressor, 1 hp",
    "Sauerstoffkonzentrator 10 l": "Oxygen concentrator, 10 L/min", "Beatmungsgerät": "Home ventilator",
    "Fernseher": "Television, 43 to 55 in", "ordinateur portable": "Laptop", "Drucker": "Inkjet printer",
    "WLAN-Router": "Wi-Fi router", "ampoules": "LED bulb", "bombillas": "LED bulb", "Kartenterminal": "Card terminal",
    "friteuse": "Deep fryer", "Treppenlift": "Stairlift, its charger", "Tischventilator": "Table or pedestal fan",
    "Deckenventilator": "Ceiling fan", "ventilador de techo": "Ceiling fan", "Föhn": "Hair dryer", "sèche-cheveux": "Hair dryer",
}  # fmt: skip


@pytest.mark.parametrize("said", ROWS)
def test_a_name_means_the_row_that_is_meant(said: str) -> None:
    """In a house of 230 V, as people write it: with capitals, hyphens, plurals and words beside it."""
    assert [row.name for row in meant(said, 230.0)] == [ROWS[said]]


@pytest.mark.parametrize("said", ["Pumpe", "Kompressor", "bomba", "chaudière", "Heizung", "ventilateur", "Ladegerät"])
def test_a_bare_word_asks_which(said: str) -> None:
    """As their English words do, they may mean several rows."""
    assert len(meant(said, 230.0)) > 1


@pytest.mark.parametrize(
    "said", ["Kühlschrank Fühler", "capteur de pompe", "termostato de caldera", "Licht im Kühlschrank"]
)
def test_what_stands_beside_a_load_is_not_the_load(said: str) -> None:
    """A sensor, a thermostat or the light in a refrigerator has the name, and not the draw."""
    assert not [row for row in meant(said, 230.0) if "ridge" in row.name or "ump" in row.name or "oiler" in row.name]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_name_leads_somewhere(language: str) -> None:
    """Each name of a language is a typical load or asks which, but for words beside which another load is meant."""
    names = data(f"typical-{language}.toml")["spellings"]
    assert len(names) >= 60
    assert [name for name, word in names.items() if word not in NOTHING and not meant(name, 230.0)] == []


def test_kinds_are_told_in_each_language() -> None:
    """Motors draw more at start, heaters turn it all into heat, and on others somebody's health depends."""
    assert all(map(is_motor, ("Kühlschrank", "Tauchpumpe", "Kompressor", "frigo", "pompe de puits", "nevera")))
    assert all(map(is_heater, ("Wasserkocher", "bouilloire", "hervidor", "Heizlüfter")))
    assert all(map(is_medical, ("Beatmungsgerät", "concentrateur d'oxygène", "nevera de medicina")))
    assert not any(map(is_motor, ("Licht", "capteur de pompe", "Pumpe Steuerung", "lámpara")))
