"""The logo of a case: a picture in its own folder, vetted before anything else sees it.

Nothing that is computed depends on it, so one that can't be taken is told of and left out.
"""

import stat
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from holdover.case.picture import MAX_BYTES, MAX_PIXELS, NoPicture, Picture, picture_of
from holdover.findings import Findings, Place
from holdover.reading.beside import beside, outside, strays
from holdover.reading.case import Read
from holdover.reading.entries import Row


def with_logo(read: Read, rows: Sequence[Row], folder: Path) -> Read:
    """The case with the picture that its rows name; a finding where that is none."""
    place = next((row.entries["logo"].place for row in rows if row.part == "business" and "logo" in row.entries), None)
    if read.case is None or place is None or not read.case.business.logo:
        return read
    name = read.case.business.logo
    picture = _picture(name, folder, place, read.findings)
    return replace(read, case=read.case.model_copy(update={"logo": picture}))


def _picture(name: str, folder: Path, place: Place, findings: Findings) -> Picture | None:
    path = beside(name, folder)
    reason = outside(name)
    try:
        reason = reason or strays(path, folder)
        if reason:
            findings.report("F013.path", place, reason=reason, found=name)
            return None
        if not path.exists():
            findings.report("F013.missing", place, name=name, found=name)
            return None
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            findings.report("F014.kind", place, found=name)
            return None
        with path.open("rb") as opened:
            return picture_of(opened.read(MAX_BYTES + 1))
    except OSError as fault:
        findings.report("F013.closed", place, reason=fault.strerror or "unknown reason", found=name)
    except NoPicture as no:
        most = {"size": MAX_BYTES // 10**6, "pixels": MAX_PIXELS // 10**6}.get(no.fault, 0)
        findings.report(f"F014.{no.fault}", place, found=name, most=most, width=no.width, height=no.height)
    return None
