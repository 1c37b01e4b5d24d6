"""Everything that is typed, read once: tables to which all others refer, and what of it can't be read.

They are made from the declarations of the inputs: kind, bounds, choices. A cell that can't be read counts as not stated;
the first of them is named, with what it takes, and how many more there are.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

from holdover.case.schema import Weights
from holdover.case.section import choices_of, is_text
from holdover.model.outage.told import NOTHING_RECHARGES
from holdover.model.pages.notice import SPREAD
from holdover.model.storage import COLDER
from holdover.workbook.column import Column, Table
from holdover.workbook.grid import REFERENCE
from holdover.workbook.page import Sheet
from holdover.workbook.sheets.decision import of_pick
from holdover.workbook.typed import asked_for, formula_of, instead_of

NAME: Final = "Read"
BESIDE: Final = {"load": "Hours by load", "candidates": "By candidate", "months": "Sun by hour"}
"""Tables that are read on the sheet that refers to them most: what is on one sheet takes less room in the file."""
UNREAD: Final = "unread"
"""Name of a reading table's column that tells of its cells."""
FIRST: Final = ("load", "candidates")
"""Tables whose cells are named before all others: what is not counted there changes the advice most."""
NONE: Final = 99_999
"""Stands for no row, or no column; a sheet of ours has fewer [count]."""


@dataclass(frozen=True, slots=True)
class _Block:
    """Cells typed on one sheet, of one table: those of a form that are typed elsewhere are a block of their own."""

    table: Table
    sheet: str
    columns: tuple[Column, ...]
    part: str = ""  # tells two blocks of a form apart

    @property
    def form(self) -> bool:
        return self.table.kind == "form"

    @property
    def name(self) -> str:
        return f"{self.table.name}{self.part}"


def with_reading(sheets: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """The sheets, with what is typed on them read: on one of its own at their end, or where it is needed most."""
    named = _named(sheets)
    tables = [(sheet, table) for sheet in sheets for table in sheet.blocks if isinstance(table, Table)]
    slots = {c.slot: (sheet.name, table.name) for sheet, table in tables for c in table.columns if c.slot}
    readers: list[Table] = []
    blocks: list[_Block] = []
    for sheet, table in tables:
        columns = tuple(c for c in table.columns if c.field and _is_read(table, c, named))
        if columns:
            readers.append(_reader(table, columns))
            blocks.extend(_blocks(sheet, table, columns, slots))
    places = [sheet.name for sheet in sheets]
    ranked = sorted(blocks, key=lambda block: (block.table.name not in FIRST, places.index(block.sheet)))
    own = Sheet(
        NAME,
        "Working sheet: what is typed on the others, as it is read. What can't be read counts as blank. Nothing to type here.",
        (
            _unread(ranked),
            *(reader for reader in readers if reader.reads not in BESIDE),
            *map(_found, ranked, (None, *ranked)),
            *map(_takes, ranked),
        ),
        working=True,
        printed="",
    )
    return (*(_with_readers(sheet, readers) for sheet in sheets), own)


def _unknown(setting: str, names: str, words: str) -> str:
    """What is said of a name that is nobody's, after a blank."""
    return f'IF({{{setting}}}="","",IF(SUMPRODUCT(({{{names}}}={{{setting}}})*1)>0,""," "&{words}))'


_WEIGHTS = "+".join(f"{{weights.{name}}}" for name in Weights.model_fields)
_LACKING = "MATCH(1,{line.incomplete},0)"
_LACKS = (
    f'IF({{demand.incomplete}}=0,""," "&IF(INDEX({{load.name}},{_LACKING})="","Line "&{_LACKING},'
    f'INDEX({{load.name}},{_LACKING}))&" lacks its "&IF(INDEX({{load.running_w}},{_LACKING})="","watts","hours a day")'
    '&" and isn\'t counted."&IF({demand.incomplete}>1," And "&({demand.incomplete}-1)&" more.",""))'
)
_EMPTY = (
    'IF(OR({outage.promise}="all loads",ROUND({demand.critical_wh}+IF({outage.promise}="critical",0,{demand.essential_wh}),6)>0,'
    'ROUND({demand.energy_wh},6)<=0),""," No load is critical"&IF({outage.promise}="critical",""," or essential")'
    '&", so nothing is promised.")'
)
_RECHARGES = (
    'IF(AND({about.purpose}="off grid",{array.modules}=0,{outage.mains_hours}<=0,'
    f'OR({{recharge.generator_w}}<=0,{{outage.generator_hours}}<=0))," {NOTHING_RECHARGES}","")'
)
_UNTIMED = 'SUMPRODUCT(({load.starts_at}="")*({line.energy_wh}>0)*({line.hours}>0)*({line.hours}<24))'
_SPREAD = f'IF(AND({{about.purpose}}="day away",{{outage.mains_hours}}>0,{_UNTIMED}>0)," {SPREAD}","")'
_NOTICE = "&".join(
    (
        'IF({count}=0,""," "&{words}&IF({count}>1," And "&({count}-1)&" more.",""))',
        _LACKS,
        _EMPTY,
        "{colder}",
        _unknown(
            "outage.candidate",
            "candidates.name",
            '"No candidate is called "&{outage.candidate}&", so it is not followed."',
        ),
        _unknown("outage.leave_out", "load.name", '"No load is called "&{outage.leave_out}&", so it is not left out."'),
        _unknown("outage.without", "load.name", '"No load is called "&{outage.without}&" to do without."'),
        f'IF(AND({{choice.rank_by}}="weighted score",{_WEIGHTS}=0)," All weights are 0, so the score ranks nothing.","")',
        'IF(AND({array.modules}>0,{solar.missing}<>"")," With "&{solar.missing}&" not stated no layout of modules is counted.","")',
        _RECHARGES,
        _SPREAD,
    )
)


_MEND = (
    'IF({count}>0,"First mend "&IF({count}=1,"a cell that can\'t be read.",{count}&" cells that can\'t be read."),'
    'IF({demand.incomplete}>0,"First fill in what loads lack.",'
    'IF({plan.beyond}="","","First build this workbook anew.")))'
)
_WITHOUT = (
    'IF({first}="","",IF({count}+{demand.incomplete}=0,"","What follows leaves out what "'
    '&IF({count}>0,"stands there. ","lacks figures. "))&IF({decision.listed}=0,"No candidate is listed yet.",'
    'IF({count}+{demand.incomplete}>0,"Without it","For "&{plan.days}&" day"&IF({plan.days}=1,"","s"))'
    f'&IF({{decision.pick_number}}>0,": choose "&{of_pick("told.named")}&". "&{of_pick("told.words")},'
    '" no candidate is known to fit.")))'
)
_PAPER = (
    'IF({count}+{demand.incomplete}=0,{plan.beyond},IF({count}>0,IF({count}=1,"A cell of the workbook can\'t be read and is",'
    '{count}&" cells of the workbook can\'t be read and are"),"Loads lack watts or hours and are")&" left out: the first page names the first.")'
)


def _with_readers(sheet: Sheet, readers: Iterable[Table]) -> Sheet:
    here = [reader for reader in readers if BESIDE.get(reader.reads) == sheet.name]
    return replace(sheet, blocks=(*sheet.blocks, *here)) if here else sheet


def _named(sheets: Iterable[Sheet]) -> frozenset[tuple[str, str]]:
    """Table and column of everything that a formula names."""
    return frozenset(
        (other or table.name, name)
        for sheet in sheets
        for table in sheet.blocks
        if isinstance(table, Table)
        for column in table.columns
        for text in column.texts
        for other, name, _ in REFERENCE.findall(text)
    )


def _is_read(table: Table, column: Column, named: frozenset[tuple[str, str]]) -> bool:
    """Whether it matters what stands there: of remarks that no formula shows it doesn't."""
    info = column.field
    words = info is not None and is_text(info) and not choices_of(info)
    return not words or table.kind == "form" or (table.name, column.name) in named


def _reader(table: Table, columns: Sequence[Column]) -> Table:
    """The table that reads the typed cells of another, record by record."""
    form = table.kind == "form"
    read = [
        Column(
            column.name,
            column.title,
            column.shown.kept if column.shown else column.unit,
            path=column.path,
            formula=formula_of(
                column.field,
                # By its own cell, not by its number in the column: a row that is put in between must not move the others.
                f"{{set.{table.name}_{column.name}}}" if form else f"{{{table.name}.{column.name}[same]}}",
                column.shown,
            ),
            silent="",
        )
        for column in columns
        if column.field
    ]
    if not form:
        read.append(Column(UNREAD, "Can't be read", "number", path="/unread.count", formula=_filled(table, columns)))
    return Table(
        f"read_{table.name}",
        f"{table.title or table.name}, as read",
        table.records,
        tuple(read),
        kind="across" if form else table.kind,
        reads=table.name,
        literal=True,
    )


def _filled(table: Table, columns: Sequence[Column]) -> str:
    """Whether as many cells of a record can be read as are filled, as a formula: 1 if some can't, 2 of a critical load."""
    size = "COLUMNS" if table.kind == "down" else "ROWS"
    filled, read = [], []
    for first, last in _runs(table, columns):
        alone = first == last  # a range of one cell is written as that cell by some programs
        there, here = f"{{{table.name}.{first}[same]}}", f"{{{first}}}"
        cells = there if alone else f"{there}:{{{table.name}.{last}[same]}}"
        filled.append(f"{size}({cells})-COUNTBLANK({cells})")
        read.append(f"COUNTBLANK({here if alone else f'{here}:{{{last}}}'})")
    found = 'IF({tier}="critical",2,1)' if table.name == "load" else "1"
    return f"=IF({'+'.join(filled)}>{len(columns)}-{'-'.join(read)},{found},0)"


def _count(table: Table, columns: Sequence[Column]) -> str:
    """How many cells of a table are filled and can't be read, as a formula."""
    filled = []
    for name, sign in ((table.name, "+"), (f"read_{table.name}", "-")):
        for first, last in _runs(table, columns):
            cells = f"{{{name}.{first}[0]}}:{{{name}.{last}[end]}}"
            filled.append(f"{sign}(ROWS({cells})*COLUMNS({cells})-COUNTBLANK({cells}))")
    return f"={''.join(filled)[1:]}"


def _runs(table: Table, columns: Sequence[Column]) -> Iterator[tuple[str, str]]:
    """First and last of the columns that stand beside each other in a table."""
    places = [table.index[column.name] for column in columns]
    for _, run in groupby(enumerate(places), key=lambda each: each[1] - each[0]):
        found = [table.columns[place].name for _, place in run]
        yield found[0], found[-1]


def _blocks(
    sheet: Sheet, table: Table, columns: Sequence[Column], slots: Mapping[str, tuple[str, str]]
) -> Iterator[_Block]:
    """The cells of a table by where they are typed."""
    homes: dict[tuple[str, str], list[Column]] = {}
    for column in columns:
        homes.setdefault(slots.get(f"{table.name}.{column.name}", (sheet.name, "")), []).append(column)
    for (home, there), typed in homes.items():
        yield _Block(table, home, tuple(typed), f"_{there}" if there else "")


def _found(block: _Block, before: _Block | None) -> Table:
    """Which cell of a block is the first that can't be read, if any."""
    flags = [
        Column(f"flag_{column.name}", column.title, "number", path="/unread.line", formula=_flag(block, column.name))
        for column in block.columns
    ]
    mine, table, first = f"found_{block.name}", block.table, block.columns[0].name
    if block.form:
        count, at = f"=SUMPRODUCT(({{{mine}.flags}}<{NONE})*1)", "=1"
        address = f"ADDRESS({{line}},COLUMN({{set.{table.name}_{first}}}),4)"
    else:
        count = _count(table, block.columns)
        marks = f"{{read_{table.name}.unread}}"
        at = f"=IF({{count}}=0,1,MATCH(MAX({marks}),{marks},0))"
        corner = f"{{{table.name}.{first}[0]}}"
        down = f"ADDRESS(ROW({corner})+{{at}}-1,{{line}},4)"
        address = down if table.kind == "down" else f"ADDRESS({{line}},COLUMN({corner})+{_steps(table)},4)"
    takes = f"INDEX({{takes_{block.name}.words}},MATCH({{line}},{{{mine}.flags}},0))"
    said = f'IF({{line}}={NONE},"","{block.sheet} "&{address}&" can\'t be read and counts as blank: "&{takes}&".")'
    if before:
        said = f'IF({{found_{before.name}.words}}<>"",{{found_{before.name}.words}},{said})'
    return Table(
        mine,
        f"{table.title or table.name}: what can't be read",
        "unread",
        (
            Column("count", "Cells that can't be read", "number", formula=count),
            Column("at", "First record with one", "number", formula=at),
            *flags,
            Column(
                "line", "Its column" if table.kind == "down" else "Its row", "number", formula=f"=MIN({{{mine}.flags}})"
            ),
            Column("words", "The first so far, in words", formula=f"={said}", role="words"),
        ),
        kind="across",
        spans=(("flags", flags[0].name, flags[-1].name),),
        literal=True,
        of_cells=True,
    )


def _steps(table: Table) -> str:
    """How many of the sheet's columns lie between the first record and the one found, as a formula."""
    return "{at}-1" if table.stride == 1 else f"{table.stride}*({{at}}-1)"


def _flag(block: _Block, column: str) -> str:
    """The column of a cell that can't be read, of records side by side and forms its row; NONE where it can be."""
    table = block.table
    if block.form:
        raw, read, place = f"{{set.{table.name}_{column}}}", f"{{read_{table.name}.{column}}}", "ROW"
        where = raw
    else:
        one, other = ("{at}", "{at}")
        if table.kind == "across":
            one, other = f"1,{_steps(table)}+1", "1,{at}"
        raw, read = f"INDEX({{{table.name}.{column}}},{one})", f"INDEX({{read_{table.name}.{column}}},{other})"
        place, where = "COLUMN" if table.kind == "down" else "ROW", f"{{{table.name}.{column}[0]}}"
    return f'=IF({read}<>"",{NONE},IF(IFERROR(IF({raw}="",1,0),0)=1,{NONE},{place}({where})))'


def _takes(block: _Block) -> Table:
    """What the cells of a block take, in words."""
    words = tuple(_takes_in_words(column, form=block.form) for column in block.columns)
    return Table(
        f"takes_{block.name}",
        f"{block.table.title or block.table.name}: what the cells take",
        "",
        tuple(Column(column.name, column.title) for column in block.columns),
        kind="across",
        constants=(words,),
        literal=True,
        spans=(("words", block.columns[0].name, block.columns[-1].name),),
    )


def _takes_in_words(column: Column, *, form: bool) -> str:
    """What a cell takes, and of a setting what counts until it does."""
    if not column.field:
        return ""
    instead = instead_of(column.field, column.shown) if form else ""
    takes = f"{column.title} takes {asked_for(column.field, column.shown)}"
    return f"{takes}; {instead} counts instead" if instead else takes


def _unread(blocks: Sequence[_Block]) -> Table:
    """How many cells can't be read, and the first of them."""
    return Table(
        "unread",
        "What can't be read",
        "unread",
        (
            Column(
                "count",
                "Cells that can't be read",
                "number",
                formula="=" + "+".join(f"{{found_{b.name}.count}}" for b in blocks),
            ),
            Column("words", "The first of them", formula=f"={{found_{blocks[-1].name}.words}}", role="words"),
            Column("first", "What is said before the advice", formula=f"={_MEND}", role="words"),
            Column("advice", "The advice without them", formula=f"={_WITHOUT}", role="words"),
            Column("paper", "Why the papers are drafts", formula=f"={_PAPER}", role="words"),
            Column(
                "colder",
                "Colder than any point",
                path="/capacity.colder",
                formula=f'=IF(AND(ISTEXT({{capacity.lower_c}}),ISNUMBER({{capacity.upper_c}})),"{COLDER}","")',
                role="words",
            ),
            Column(
                "notice", "On the first page", path="/answer.notice", formula=f"=MID({_NOTICE},2,900)", role="words"
            ),
        ),
        kind="across",
        widths={"title": 34, "unit": 9, "record": 24},
        of_cells=True,
    )
