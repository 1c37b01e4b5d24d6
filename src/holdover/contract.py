"""A study as `show --json` gives it: a stable shape for programs, keyed by the names of the fields."""

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from holdover.model.offer import Offer
    from holdover.model.study import Study

SCHEMA: Final = "holdover show 2"
"""Name of the shape; its number goes up when a field goes, or means something else."""

_OF_A_CANDIDATE = (
    "storage", "held", "cost", "stages", "fit", "mend", "rank", "recharge", "vehicle", "arrival", "deliveries",
)  # fmt: skip
_HANDED = ("handed_key", "handed_rank")
"""What a workbook keeps of the day it was handed over: here it is as now."""
_OF_AN_OUTAGE = (
    "safe_drop_share", "lowest_wh", "lowest_share", "sun_wh", "charge_wh", "used_wh", "wasted_wh", "mains_wh",
    "generator_wh", "fuel_l", "daily_balance_wh", "runs_down", "source_trips_w",
)  # fmt: skip


def contract(study: "Study") -> dict[str, Any]:
    """Everything that a program may want of a study."""
    from holdover import version

    return {
        "schema": SCHEMA,
        "version": version(),
        "case": study.case.model_dump(mode="json", exclude_unset=True),
        "demand": _plain(study.demand),
        "doubt": _plain(study.doubt),
        "hours": _plain(study.hours),
        "capacity": _plain(study.capacity),
        "months": _plain(study.months),
        "look_for": _plain(study.look_for),
        "candidates": [_candidate(offer) for offer in study.offers if offer.name],
        "vehicle": _plain(study.vehicle),
        "decision": _plain(study.decision),
        "cautions": [_plain(line) for line in study.answer.called_for.lines if line.title],
        "hold": _plain(study.shown.carried.hold),
        "outage": {
            "candidate": study.shown.name,
            "hours": _plain(study.shown.carried.hours),
            "what_if": _plain(study.trials),
            "sure": _plain(study.sure),
        },
    }


def as_lines(content: Mapping[str, Any], *, ascii_only: bool) -> str:
    """JSON with a line a record: of many, line breaks between all their figures would take longer than all the rest."""
    from json import JSONEncoder

    told = JSONEncoder(ensure_ascii=ascii_only, allow_nan=False).encode
    lines = []
    for name, value in content.items():
        rows = value if isinstance(value, list) else []
        words = "[\n  {}\n ]".format(",\n  ".join(map(told, rows))) if rows else told(value)
        lines.append(f" {told(name)}: {words}")
    return "{{\n{}\n}}".format(",\n".join(lines))


def _candidate(offer: "Offer") -> dict[str, Any]:
    carried = offer.carried
    return {
        "name": offer.name,
        "output": offer.fit.output,
        "outage": offer.fit.outage,
        "promise": _plain(carried.promise),
        "tiers": _plain(carried.tiers),
        "carried": {name: _plain(getattr(carried, name)) for name in _OF_AN_OUTAGE},
        **{part: _plain(getattr(offer, part), skip=_HANDED) for part in _OF_A_CANDIDATE},
        "strings": _plain(offer.strings, skip=("in_series", "layouts")),
        "reason": offer.reason,
        "ask": offer.ask,
        "remarks": offer.remarks,
    }


def _plain(value: Any, skip: tuple[str, ...] = ()) -> Any:
    """Records as objects, rows of them as lists."""
    if isinstance(value, str | int | float):
        return value
    kind: Any = type(value)
    if names := _names(kind):
        return {name: _plain(getattr(value, name)) for name in names if name not in skip}
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    return [_plain(each) for each in value] if isinstance(value, tuple) else value


@cache
def _names(kind: Any) -> tuple[str, ...]:
    """The fields of records of a kind; none of what is no record."""
    from dataclasses import fields, is_dataclass

    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()
