"""Kinds of loads, told by the words in their names."""

from typing import Final

from holdover.case.words import folded

MOTORS: Final = (
    "fridge", "refrigerator", "freezer", "compressor", "pump", "motor", "air conditioner", "aircon", "heat pump",
    "dehumidifier", "washing machine", "washer", "furnace fan", "furnace", "blower", "saw", "disposal", "cooler",
)  # fmt: skip
"""Words for loads that draw more at start than running."""
CYCLING: Final = ("fridge", "refrigerator", "freezer", "dehumidifier", "pump", "compressor", "air conditioner")
"""Words for loads that switch themselves off and on."""
HEATERS: Final = (
    "heater", "kettle", "range", "oven", "stove", "cooker", "hot plate", "hotplate", "cooktop", "radiator", "boiler",
    "toaster", "hair dryer", "hairdryer", "geyser", "dryer", "coffee maker", "shower", "hob", "induction", "iron",
)  # fmt: skip
"""Words for loads that turn all they draw into heat."""
MEDICAL: Final = (
    "cpap", "bipap", "apap", "oxygen", "concentrator", "ventilator", "dialysis", "nebuliser", "nebulizer", "insulin",
    "feeding pump", "infusion", "suction", "defibrillator", "patient", "hospital bed", "medical", "medicine", "apnea",
    "apnoea", "breathing", "respirator",
)  # fmt: skip
"""Words for loads somebody's health depends on."""
BURNING: Final = ("kerosene", "gas", "propane", "pump")
"""Words by which a heater's heat is not its draw."""
BESIDE: Final = (
    "control", "controller", "thermostat", "alarm", "sensor", "thermometer", "igniter", "ignition", "display",
)  # fmt: skip
"""Words for what stands beside a motor or heater and has its name, but not its draw."""


def says(name: str, words: tuple[str, ...]) -> bool:
    """Whether a name says one of the words, be it in the plural."""
    said = f" {folded(name)} "
    return any(f" {word} " in said or f" {word}s " in said for word in words)


def is_heater(name: str) -> bool:
    """Whether a load turns what it draws into heat."""
    return says(name, HEATERS) and not says(name, BURNING) and not says(name, BESIDE)


def is_motor(name: str) -> bool:
    """Whether a load draws more at start than running."""
    return says(name, MOTORS) and not is_heater(name) and not says(name, BESIDE)


def cycles(name: str) -> bool:
    """Whether a load switches itself off and on."""
    return says(name, CYCLING) and not says(name, BESIDE)


def is_medical(name: str) -> bool:
    """Whether somebody's health depends on a load."""
    return says(name, MEDICAL)
