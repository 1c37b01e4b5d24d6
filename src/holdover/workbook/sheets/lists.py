"""The lists that drop-downs offer."""

from holdover.case.schema import AC_VOLTS, DC_VOLTS, FORMS, RECORDS, Load
from holdover.case.section import choices_of
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet
from holdover.workbook.typed import list_name

FEEDS = Table(
    "feeds",
    "Feeds",
    "",
    (
        Column("feed", "Feed", width=30),
        Column("volts", "AC voltage", "V", note="0 = a DC port.", width=12),
        Column("dc_volts", "DC voltage", "V", note="0 = AC.", width=12),
    ),
    constants=tuple(
        (feed, AC_VOLTS.get(feed, 0.0), DC_VOLTS.get(feed, 0.0)) for feed in choices_of(Load.model_fields["feed"])
    ),
)


def _lists() -> tuple[Table, ...]:
    found: dict[str, Table] = {}
    for section in (*RECORDS.values(), *FORMS.values()):
        for info in section.model_fields.values():
            words = choices_of(info)
            name = list_name(words).removesuffix("_word") if words else ""
            if words and name not in found:
                column = Column("word", info.title or name)
                found[name] = Table(name, column.title, "", (column,), constants=tuple((word,) for word in words))
    return tuple(found.values())


LISTS_SHEET = Sheet(
    "Lists",
    "Working sheet: what the drop-downs offer. Nothing to type here.",
    (FEEDS, *_lists()),
    working=True,
)
