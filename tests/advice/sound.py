"""A sound load, a sound candidate and sound modules, to spoil one thing at a time."""

from typing import Any

from holdover.advice.remarks import advise
from holdover.case.schema import Array, Candidate, Case, Load

UNIT = Candidate(name="U", storage_wh=2000, continuous_w=2000, surge_w=4000, ac_volts=120)
LAMP = Load(name="Lamp", running_w=10, hours_per_day=5)


def codes(case: Case) -> list[str]:
    return [finding.code for finding in advise(case)]


def with_load(**fields: Any) -> list[str]:
    thing = Load.model_validate({"name": "Thing", "running_w": 100, "hours_per_day": 2} | fields)
    return codes(Case(loads=(thing,), candidates=(UNIT,)))


def with_unit(**fields: Any) -> list[str]:
    return codes(Case(loads=(LAMP,), candidates=(UNIT.model_copy(update=fields),)))


def modules(**fields: Any) -> Array:
    """Two modules with everything their data sheet says."""
    sheet = {"power_w": 390, "voc_v": 37.2, "vmp_v": 30.9, "isc_a": 13.6, "imp_a": 12.7, "voc_tempco": -0.0027}
    return Array(**{"modules": 2} | sheet | fields)


def whole(**parts: Any) -> list[str]:
    return codes(Case(**{"loads": (LAMP,), "candidates": (UNIT,)} | parts))
