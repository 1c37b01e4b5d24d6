"""The logo of a returned workbook: the picture that was put in, known by its fingerprint, vetted as one from a folder is."""

from contextlib import suppress

from holdover.case.picture import FINGERPRINT, MAX_BYTES, NoPicture, Picture, picture_of
from holdover.case.schema import Case
from holdover.findings import Findings, Place
from holdover.xlsx import Archive, Book


def keep_logo(case: Case, book: Book, data: bytes, file: str, findings: Findings) -> Case:
    """The case with the picture that its workbook was written with; a finding where that is gone.

    Any other picture is left where it is: nobody said that it is a logo.
    """
    if not case.business.logo:
        return case
    picture = _picture(book.properties.get(FINGERPRINT, ""), Archive(data, file))
    if picture is None:
        findings.report("F013.gone", Place(file=file), name=case.business.logo)
    return case.model_copy(update={"logo": picture})


def _picture(fingerprint: str, archive: Archive) -> Picture | None:
    """The picture of that fingerprint; vetting leaves its bytes as they are, since it has been vetted before."""
    for found in archive.pictures(MAX_BYTES):
        with suppress(NoPicture):
            picture = picture_of(found)
            if picture.fingerprint == fingerprint:
                return picture
    return None
