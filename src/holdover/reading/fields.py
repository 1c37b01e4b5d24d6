"""What may be asked of a row: the fields of the schema, and those that are turned into them while reading."""

from dataclasses import dataclass
from typing import Final

from holdover.case.schema import FORMS, RECORDS
from holdover.case.section import bounds_of, choices_of, is_needed, is_text, is_whole, unit_of
from holdover.case.words import vocabulary

TABLED: Final = ("loads", "candidates")
"""Parts whose rows may stand in a table of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One field as a reader sees it."""

    part: str
    name: str
    title: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    whole: bool = False
    text: bool = False
    choices: tuple[str, ...] = ()
    needed: bool = False
    watts_of_load: bool = False
    """Whether amps and volt-amperes are taken too."""


def _of_schema(part: str) -> dict[str, Asked]:
    model = (FORMS | RECORDS)[part]
    return {
        name: Asked(
            part=part,
            name=name,
            title=str(info.title),
            unit=_unit(part, name, unit_of(info)),
            low=bounds_of(info)[0],
            high=bounds_of(info)[1],
            whole=is_whole(info),
            text=is_text(info),
            choices=choices_of(info),
            needed=is_needed(info),
            watts_of_load=part == "loads" and name in {"running_w", "starting_w"},
        )
        for name, info in model.model_fields.items()
    }


def _unit(part: str, name: str, unit: str) -> str:
    # A distance and a consumption have their unit beside them, as a setting of its own; a price of fuel is for so much.
    kinds = {
        "vehicle": {"distance": "km", "consumption": "consumption"},
        "recharge": {"fuel_price": "money/l"},
    }
    return kinds.get(part, {}).get(name, unit)


def _extra(part: str, name: str, title: str, unit: str, high: float, *, watts_of_load: bool = False) -> Asked:
    return Asked(part=part, name=name, title=title, unit=unit, low=0, high=high, watts_of_load=watts_of_load)


EXTRA: Final[dict[str, dict[str, Asked]]] = {
    "loads": {
        "running_a": _extra("loads", "running_a", "Running", "A", 1_000),
        "running_va": _extra("loads", "running_va", "Running", "VA", 60_000),
        "starting_a": _extra("loads", "starting_a", "Starting", "A", 3_000),
        "starting_va": _extra("loads", "starting_va", "Starting", "VA", 250_000),
        "starting_adds_w": _extra(
            "loads", "starting_adds_w", "Starting, added to running", "W", 200_000, watts_of_load=True
        ),
        "ends_at": _extra("loads", "ends_at", "Until", "clock", 24),
        "when": Asked(part="loads", name="when", title="When", text=True),
        "motor": Asked(part="loads", name="motor", title="Motor", text=True),
    },
    "candidates": {
        "storage_ah": _extra("candidates", "storage_ah", "Storage", "Ah", 100_000),
        "pv_volts": _extra("candidates", "pv_volts", "Solar input, minimum and maximum voltage", "V", 1_500),
        "battery_v": _extra("candidates", "battery_v", "Battery voltage", "V", 1_000),
    },
}
"""Fields that are read and turned into fields of the schema."""

ALIASES: Final = {
    part: {word: name for name, words in fields.items() for word in words}
    for part, fields in vocabulary("headers")["keys"].items()
}
"""Other names a key of a case file may have."""

ASKED: Final[dict[str, dict[str, Asked]]] = {
    part: _of_schema(part) | EXTRA.get(part, {}) for part in (*FORMS, *RECORDS)
}
"""By part and name, everything that can be read."""
