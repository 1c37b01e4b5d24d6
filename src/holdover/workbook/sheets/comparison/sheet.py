"""Candidates side by side: a grid of words with what is there; what is asked stands once, the arithmetic is folded."""

from dataclasses import replace

from holdover.case.schema import Money
from holdover.workbook.column import SPARE, Column, Table, asked
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.comparison.checks import HANDLING, OUTAGE_HALF, OUTPUT_HALF, Check, counted, worst
from holdover.workbook.sheets.comparison.money import STAGES
from holdover.workbook.sheets.comparison.ranking import SETTING, WEIGHTS

CHOICE = Table("choice", "Ranking", "case.money", asked(Money, "rank_by"), kind="form", cells=SETTING)

LEAD = Table(
    "lead",
    "",
    "compared",
    (Column("words", "", path="lead", formula='={field.lead}&""', role="answer line"),),
    kind="across",
    cells={"title": 0, "unit": 0},
    gap=0,
)


_HALVES = (
    ("output", "Output", OUTPUT_HALF),
    ("outage", "Runtime", OUTAGE_HALF),
    ("handling", "Handling", HANDLING),
)
_CHECKS: dict[str, Check] = {check.key: check for _, _, checks in _HALVES for check in checks}


def _told(name: str, title: str, unit: str, path: str, formula: str, *, folded: bool = False) -> Column:
    role = "there money" if name == "total" else "there own"
    return Column(name, title, unit, path=path, formula=formula, role=role, cells=2, folded=folded)


_AFTER = {
    "promise": (
        _told(
            "promise_needed_wh",
            "asked for it",
            "Wh",
            "fit.promise.needed",
            "={check.promise_needed[same]}",
        ),
        _told(
            "without_refill_wh",
            "asked without recharging",
            "Wh",
            "/compared.without_refill_wh.@",
            "=IF(ISTEXT({promise.full_needed_without_refill_wh[same]}),{promise.full_needed_without_refill_wh[same]},"
            "(1-{sizing.reserve})*{promise.full_needed_without_refill_wh[same]})",
        ),
    ),
}
"""What stands below a check, each candidate's own."""
_SIZE = (
    _told("usable_wh", "Usable storage, Wh", "Wh", "held.usable_wh", "={storage.usable_wh[same]}"),
    _told("nameplate_wh", "on the label, Wh", "Wh", "held.nameplate_wh", "={storage.nameplate_wh[same]}", folded=True),
    _told("full_wh", "at its age and temperature, Wh", "Wh", "held.full_wh", "={storage.full_wh[same]}", folded=True),
    _told("reserve_wh", "kept in reserve, Wh", "Wh", "held.reserve_wh", "={storage.reserve_wh[same]}", folded=True),
    _told("days", "Days at the mean draw", "days", "held.days", "={storage.days[same]}"),
    _told("weight_kg", "Weight with packs, kg", "kg", "fit.weight_kg", "={fit.weight_kg[same]}"),
    _told("total", "Price with packs", "money", "cost.total", "={cost.total[same]}"),
    _told("per_usable_kwh", "per usable kWh", "money", "cost.per_usable_kwh", "={cost.per_usable_kwh[same]}"),
    _told("per_life_kwh", "per kWh over its life", "money", "cost.per_life_kwh", "={cost.per_life_kwh[same]}"),
)
_SAID = (
    ("reason", "Falls short"),
    ("ask", "To ask"),
    ("remarks", "Worth a look"),
)
_COUNTS = tuple(
    replace(column, role="quiet", folded=True)
    for column in (
        Column("unders", "Checks that fall short", "number", path="fit.unders", formula=f"={counted('UNDER')}"),
        Column("asks", "Checks that are open", "number", path="fit.asks", formula=f"={counted('CHECK')}"),
    )
)


def _rows() -> tuple[Column, ...]:
    """Words of every candidate, from its name to what is said of it."""
    return (
        Column(
            "label",
            "",
            path="/compared.labels.@",
            formula='=IF({fit.number[same]}={decision.pick_number},"1, advised",IF({rank.rank[same]}<>"",{rank.rank[same]}&"",'
            'IF({fit.number[same]}={decision.nearest_number},"nearest","")))',
            role="row label",
            cells=2,
        ),
        Column(
            "name",
            "Candidate",
            formula='=IF({candidates.name[same]}="","",{candidates.name[same]})',
            role="column name",
            off=SPARE,
            cells=2,
        ),
        Column(
            "packs", "Packs", "number", path="held.packs", formula="={storage.packs[same]}", role="row packs", cells=2
        ),
        *(
            column
            for name, title, checks in _HALVES
            for column in (
                Column(name, title, path=f"fit.{name}", formula=worst(name), role="group word", cells=2),
                *(one for check in checks for one in (check.word_column(), *_AFTER.get(check.key, ()))),
            )
        ),
        replace(_SIZE[0], skip=1),
        *_SIZE[1:],
        *(
            Column(name, title, path=name, formula=f'={{fit.{name}[same]}}&""', role="said", cells=2, printed=False)
            for name, title in _SAID
        ),
        *_COUNTS,
    )


WORD = Table(
    "word",
    "",
    "offers",
    _rows(),
    kind="across",
    cells={"title": 0, "unit": 0},
    step=2,
    left=2,
    beside=True,
    widths={"record": 6.4},
)


def _left() -> tuple[Column, ...]:
    """What is asked, once, beside the title of every row."""
    columns = []
    for row in WORD.columns:
        if row.skip:
            columns.append(Column("size", "Size and price", standing=("",), role="asked group"))
        role = {"group word": "asked group", "there own": "asked", "there money": "asked"}.get(row.role, "asked top")
        blank = Column(row.name, row.title, standing=("",), role=role)
        columns.append(_CHECKS[row.name].asked_column() if row.name in _CHECKS else blank)
    return tuple(columns)


def _right() -> tuple[Column, ...]:
    """What each candidate has, beside the word of every check."""
    columns, skipped = [], 0
    verdict = Column(
        "verdict", "", path="fit.verdict", formula='={fit.verdict[same]}&""', role="quiet", off=SPARE, folded=True
    )
    for row in WORD.columns:
        skipped += row.skip
        column = verdict if row.name == "unders" else _CHECKS[row.name].there_column() if row.name in _CHECKS else None
        if column is None:
            skipped += 1
            continue
        columns.append(replace(column, skip=skipped))
        skipped = 0
    return tuple(columns)


NEED = Table(
    "need",
    "",
    "compared",
    _left(),
    kind="across",
    cells={"unit": 0},
    widths={"title": 22, "record": 7.5},
)
THERE = Table(
    "there",
    "",
    "offers",
    _right(),
    kind="across",
    cells={"title": 0, "unit": 0},
    step=2,
    left=3,
    beside=True,
    widths={"record": 7.3},
)

COMPARISON_SHEET = Sheet(
    "Comparison",
    "UNDER: less than is asked. CHECK: somebody has to look. ?: not stated. –: not asked or not planned. A group says its "
    "worst word.",
    (
        LEAD,
        NEED,
        WORD,
        THERE,
        STAGES,
        CHOICE,
        WEIGHTS,
        Words(
            (
                "Folded rows: one leg, each DC socket, days without recharging, storage from label to usable. Open them with the plus "
                "signs.",
            ),
            look="small",
            cells=12,
        ),
    ),
    freeze="word",
    heads=3,
    listed="decision.listed",
)
