"""A path leads from a record, or from the study, to what stands in a cell: it is data, so it can't compute."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from operator import attrgetter
from typing import Any


def stated(records: Sequence[Any], steps: tuple[str | int, ...], silent: str, record: int) -> Any:
    """What the case says, `silent` where it says nothing: of a setting that was not set, too."""
    holder = walk(records[record], steps[:-1])
    value = walk(holder, steps[-1:]) if steps[-1] in holder.model_fields_set else None
    return silent if value is None else value


def many(found: Any) -> Sequence[Any]:
    """Records of a path: one that is not a sequence is the only one."""
    return found if isinstance(found, tuple | list) else (found,)


@lru_cache(maxsize=8192)
def steps_of(path: str) -> tuple[str | int, ...]:
    """A path such as `fit.running.margin` or `share.7` in steps."""
    return tuple(int(step) if step.isdigit() else step for step in path.split("."))


def walk(thing: Any, steps: Iterable[str | int]) -> Any:
    """Follow steps: names are attributes, numbers are places. A path is data, so it can't compute."""
    for step in steps:
        thing = thing[step] if isinstance(step, int) else getattr(thing, step)
    return thing


def follow(thing: Any, path: str) -> Any:
    """Follow a path written as text."""
    return walk(thing, steps_of(path))


def values_at(records: Iterable[Any], path: str) -> Iterable[Any]:
    """What a path leads to from each record."""
    steps = steps_of(path)
    if any(isinstance(step, int) for step in steps):
        return (walk(record, steps) for record in records)
    return map(attrgetter(path), records)
