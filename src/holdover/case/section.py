"""A part of a case: how an input is declared, and what its declaration says."""

from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo


def ask(
    title: str,
    unit: str = "",
    *,
    usual: Any = None,
    low: float | None = None,
    high: float | None = None,
    note: str = "",
    source: str = "",
    needed: bool = False,
    measure: str = "",
    example: str = "",
) -> Any:
    """A field of the case: what a person is asked, and what is taken when they are silent.

    `measure` is what it is shown by where units are US, if its unit does not tell: see measure.py; `example` is what
    somebody might answer.
    """
    return Field(
        default=usual,
        ge=low,
        le=high,
        title=title,
        description=note,
        json_schema_extra={
            "unit": unit,
            "source": source,
            "needed": needed,
            "measure": measure or unit,
            "example": example,
        },
    )


def carried() -> Any:
    """A field that goes with the case and is no input: no file and no JSON states it."""
    return Field(default=None, exclude=True, repr=False)


class Section(BaseModel):
    """A part of the case. Frozen; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def unit_of(info: FieldInfo) -> str:
    """Unit of a field, "" where it has none."""
    return str(_extra(info)["unit"])


def source_of(info: FieldInfo) -> str:
    """Where a field's usual value comes from."""
    return str(_extra(info)["source"])


def measure_of(info: FieldInfo) -> str:
    """What a field is shown by where units are US: its unit, or what stands in its place."""
    return str(_extra(info)["measure"])


def example_of(info: FieldInfo) -> str:
    """What somebody might answer."""
    return str(_extra(info)["example"])


def is_needed(info: FieldInfo) -> bool:
    """Whether a row without this field can't be computed."""
    return bool(_extra(info)["needed"])


def bounds_of(info: FieldInfo) -> tuple[float | None, float | None]:
    """Lowest and highest value allowed, None where there is no bound."""
    low = next((m.ge for m in info.metadata if getattr(m, "ge", None) is not None), None)
    high = next((m.le for m in info.metadata if getattr(m, "le", None) is not None), None)
    return low, high


def choices_of(info: FieldInfo) -> tuple[str, ...]:
    """Words a field allows, () where it is not a choice."""
    for kind in (info.annotation, *get_args(info.annotation)):
        if get_origin(kind) is Literal:
            return get_args(kind)
    return ()


def is_text(info: FieldInfo) -> bool:
    """Whether the field holds free text or a choice, not a number."""
    return info.annotation is str or bool(choices_of(info))


def is_whole(info: FieldInfo) -> bool:
    """Whether the field holds a whole number."""
    return int in (info.annotation, *get_args(info.annotation))


def is_blank(row: Section) -> bool:
    """Whether every field of a row is blank."""
    return all(value in (None, "") for value in vars(row).values())


def _extra(info: FieldInfo) -> dict[str, Any]:
    return info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
