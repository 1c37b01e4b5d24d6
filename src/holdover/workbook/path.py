"""A path leads from a record, or from the study, to what stands in a cell: it is data, so it can't compute."""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache, partial
from typing import Any


def valued(study: object, records: str, path: str, silent: str | None = None) -> Callable[[int], Any]:
    """What stands at a path by the number of the record, from 0; `silent` is what stands there of what was not set.

    A path leads on from the record, or from the study where it begins with a slash: `@` in it is the record's number.
    So `held.packs` is what each record holds there, and `/months.3.cos_zenith.@` one value of the study a record.
    """
    if not path.startswith("/"):
        found, steps = many(follow(study, records)), steps_of(path)
        if silent is not None:
            return partial(stated, found, steps, silent)
        return lambda i: walk(found[i], steps)
    head, numbered, tail = path[1:].partition("@")
    one = walk(study, steps_of(head.strip(".")))
    steps = steps_of(tail.strip(".")) if tail else ()
    return (lambda i: walk(one[i], steps)) if numbered else (lambda _: one)


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
