"""A fingerprint of what a case says, so that an edited workbook is known from one that is as it was written."""

import hashlib
import json
from typing import Any

from holdover.case.schema import FORMS, RECORDS, Case
from holdover.case.section import is_blank


def digest(case: Case) -> str:
    """SHA-256 of everything that was set, blank rows at the end apart; numbers to 12 digits."""
    told: dict[str, Any] = {
        part: {
            name: _told(value)
            for name in sorted(section.model_fields_set)
            if (value := getattr(section, name)) is not None
        }
        for part in FORMS
        for section in [getattr(case, part)]
    }
    for part in RECORDS:
        rows = [{name: _told(value) for name, value in row if value not in (None, "")} for row in getattr(case, part)]
        while rows and is_blank(getattr(case, part)[len(rows) - 1]):
            rows.pop()
        told[part] = rows
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def _told(value: Any) -> str:
    return value if isinstance(value, str) else f"{float(value):.12g}"
