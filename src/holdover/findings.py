"""What a reader has to say about a file: one shape, collected, never printed here."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

Level = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One problem or remark: where it is, what was found, what is allowed, what to do."""

    code: str
    level: Level
    message: str
    file: str = ""
    sheet: str = ""
    row: int | None = None
    column: str = ""
    cell: str = ""
    item: str = ""
    found: str = ""
    caret: int | None = None
    allowed: str = ""
    remedy: str = ""


@dataclass(slots=True)
class Findings:
    """A collector that readers pass along."""

    found: list[Finding] = field(default_factory=list)

    def add(self, finding: Finding) -> None:
        self.found.append(finding)

    def extend(self, findings: Iterable[Finding]) -> None:
        self.found.extend(findings)

    @property
    def errors(self) -> list[Finding]:
        return [f for f in self.found if f.level == "error"]

    def sorted(self) -> list[Finding]:
        """By file, sheet and row, in the order found within a row."""
        return sorted(self.found, key=lambda f: (f.file, f.sheet, f.row or 0))
