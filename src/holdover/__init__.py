"""From a survey of loads to a live workbook that decides which portable battery-inverter unit to buy.

    case = holdover.read_case("samples/wrenfold-120v")
    study = holdover.study(case)
    Path("wrenfold.xlsx").write_bytes(holdover.build(study))

What is named here is loaded when it is first asked for.
"""

TYPE_CHECKING = False
"""What mypy takes for true; to import it from `typing` would take longer than all of the rest."""

if TYPE_CHECKING:
    from holdover.case.schema import Case
    from holdover.findings import Finding, Findings
    from holdover.fleet.batch import Batch, batch
    from holdover.library import CaseError, Received, audit, build, pdf, read, read_case, study
    from holdover.model.study import Slots, Study
    from holdover.returned.audit import Audit

__all__ = [
    "Audit",
    "Batch",
    "Case",
    "CaseError",
    "Finding",
    "Findings",
    "Received",
    "Slots",
    "Study",
    "audit",
    "batch",
    "build",
    "pdf",
    "read",
    "read_case",
    "study",
    "version",
]

_HOMES = {
    "Audit": "holdover.returned.audit",
    "Batch": "holdover.fleet.batch",
    "Case": "holdover.case.schema",
    "Finding": "holdover.findings",
    "Findings": "holdover.findings",
    "Slots": "holdover.model.study",
    "Study": "holdover.model.study",
    "batch": "holdover.fleet.batch",
}
"""Where a name stands that is not in the library itself."""


def version() -> str:
    """The installed version."""
    from importlib.metadata import version as installed

    return installed("holdover")


if not TYPE_CHECKING:  # mypy knows the names from above, and no others

    def __getattr__(name: str) -> object:
        if name not in __all__:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        globals()[name] = found = getattr(import_module(_HOMES.get(name, "holdover.library")), name)
        return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
