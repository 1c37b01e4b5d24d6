"""The sheets of the index: every case, what they come to, and what each candidate of a shared list does for them."""

from collections.abc import Sequence
from dataclasses import replace

from holdover.case.section import Section, ask
from holdover.fleet.answer import CHOICE, FRONT, SAID, TWO, over
from holdover.fleet.choices import DIFFER, NOT_STATED, UNFIT, UNPRICED, UNREAD
from holdover.workbook.column import Column, Table, asked, each, group
from holdover.workbook.page import Sheet, Words


class Counted(Section):
    """What may be typed beside a case."""

    times: int | None = ask(
        "How many",
        "number",
        usual=1,
        low=0,
        high=100_000,
        note="How many such cases there are: 40 flats alike are 40. A case with 0 or a blank is left out",
    )


CURRENCY = Column("currency", "Currency", path="entry.currency", width=9)
PICKED = (
    Column("title", "Case", width=32),
    *asked(Counted, widths={"times": 9}),
    Column(
        "counts",
        "Counted",
        "number",
        formula=f'=IF({{times}}="",0,IF(ISNUMBER({{times}}),IF({{times}}>=0,{{times}},"{UNREAD}"),"{UNREAD}"))',
        width=11,
    ),
    Column("pick", "Pick", path="entry.told_pick", width=24),
    Column("packs", "Packs", "number", path="entry.packs", width=8),
    Column("price", "Price", "money", path="entry.price", width=12),
)
KEPT = (
    Column("fitting", "Candidates that fit", "number", path="entry.fitting", width=11),
    Column(
        "output",
        "Output",
        path="entry.output",
        role="verdict",
        width=9,
        note="Of the pick, or of the candidate that comes nearest where none fits: what it gives at any moment.",
    ),
    Column(
        "kept",
        "Runtime",
        path="entry.kept",
        role="verdict",
        width=9,
        note="Of the same: whether its storage keeps the promise. It fits where neither falls short.",
    ),
    Column("state", "Workbook", path="entry.state", width=10),
    Column(
        "promise",
        "What is promised",
        path="entry.promise",
        width=21,
        note="Loads that never go without.",
        printed=False,
    ),
    Column("days", "Days", "number", path="entry.days", width=7, note="Of outage that the promise holds for."),
    Column("energy_wh", "Demand", "Wh/day", path="entry.energy_wh", width=10),
    Column("errors", "Errors", "number", path="entry.errors", width=8),
    Column("warnings", "Warnings", "number", path="entry.warnings", width=9),
)
FILES = (
    Column("workbook", "Its name", path="entry.workbook", width=24),
    Column("case", "Read from", path="entry.case", width=36),
    Column("headline", "Advice, or what is wrong", path="entry.headline", role="words", width=80),
)


def _cases(*, alike: bool) -> Table:
    """Every case. The currency stands beside each price where they differ in it; else headings say it."""
    beside, behind = ((), (CURRENCY,)) if alike else ((CURRENCY,), ())
    return Table("cases", "Cases", "entries", (*PICKED, *beside, *KEPT, *behind, *FILES), units=True)


SUMS = Table(
    "sums",
    "All cases",
    "sums",
    (
        Column("cases", "Cases", "number", formula="=COUNTA({cases.case})"),
        Column("written", "Workbooks written", "number", formula='=COUNTIF({cases.state},"written")'),
        Column(
            "edited",
            "Left as they are, since somebody edited them",
            "number",
            formula='=COUNTIF({cases.state},"edited")',
        ),
        Column("errors", "Cases with errors: no workbook", "number", formula='=COUNTIF({cases.state},"errors")'),
        Column("failed", "Could not be worked out", "number", formula='=COUNTIF({cases.state},"failed")'),
        Column("fit", "Cases for which a candidate fits", "number", formula='=COUNTIF({cases.fitting},">0")'),
        Column("none_fits", "Cases for which none fits", "number", formula="=COUNTIF({cases.fitting},0)"),
        Column(
            "unread",
            "Cells under How many that can't be read",
            "number",
            formula=f'=COUNTIF({{cases.counts}},"{UNREAD}")',
        ),
        Column("warnings", "Warnings", "number", formula="=SUM({cases.warnings})"),
        Column("energy_wh", "Demand", "Wh/day", formula="=SUMPRODUCT({cases.energy_wh},{cases.counts})"),
        Column("currency", "Currency"),
        Column(
            "alike",
            "All have this currency",
            "number",
            formula='=IF(SUMPRODUCT(({cases.currency}<>{currency})*({cases.currency}<>""))=0,1,0)',
            role="quiet",
        ),
        Column(
            "unpriced", "Picks whose price is not stated", "number", formula=f'=COUNTIF({{cases.price}},"{NOT_STATED}")'
        ),
        Column(
            "price",
            "Price of all picks",
            "money",
            formula=f'=IF({{alike}}=0,"{DIFFER}",ROUND(ROUND(SUMPRODUCT({{cases.price}},{{cases.counts}}),6),2))',
            role="total",
        ),
    ),
    kind="across",
    widths=FRONT,
)

WIDTHS = {"title": 32, "unit": 12, "record": 22}
COST, OTHER = "{costs.cost_@}", "{costs.cost_#}"


def _sum(what: str) -> str:
    """A product by case, times how many there are like it."""
    return f"SUMPRODUCT({what}*{{costs.times}})"


def _total(unstated: str, amount: str) -> str:
    return f'IF({{sums.alike}}=0,"{DIFFER}",IF({unstated}>0,"{NOT_STATED}",ROUND(ROUND({amount},6),2)))'


CHEAPER = f"(({COST}<={OTHER})*({COST}<{UNPRICED})*{COST}+({COST}>{OTHER})*({OTHER}<{UNPRICED})*{OTHER})"
"""The lower of two prices, 0 where neither is stated."""
NEITHER = f"({COST}>={UNPRICED})*({OTHER}>={UNPRICED})*((({COST}<{UNFIT})+({OTHER}<{UNFIT}))>0)"
"""Cases that one of two fits, and no price is stated of those that do."""


def _named(names: Sequence[str], column: Column) -> tuple[Column, ...]:
    """The column once a candidate, by its name."""
    return tuple(replace(each([i], column)[0], title=name) for i, name in enumerate(names))


def _prices(names: Sequence[str]) -> Table:
    costs = f"{{costs.cost_0[same]}}:{{costs.cost_{len(names) - 1}[same]}}"
    first, second = f"INDEX({costs},1,{{two.first_number}})", f"INDEX({costs},1,{{two.second_number}})"
    cheaper = f"IF({first}<={second},{{choice.first}},{{choice.second}})"
    return Table(
        "prices",
        "What it costs where it fits, and its packs",
        "lines",
        (
            Column("title", "Case"),
            Column("times", "Counts", "number", formula="={costs.times[same]}"),
            *group("Price", *_named(names, Column("price_#", "", "money", path="prices.#"))),
            Column("of_two", "Of the two", formula=f'=IF(MIN({first},{second})>={UNFIT},"",{cheaper})', width=18),
            *group("Packs", *_named(names, Column("packs_#", "", "number", path="packs.#"))),
        ),
        note="Blank where it does not fit.",
        units=False,
    )


RANK = Column(
    "rank",
    "Rank",
    "number",
    formula='=IF({fits}=0,"",1+SUMPRODUCT(({units.fits}>{fits})*1)'
    "+SUMPRODUCT(({units.fits}={fits})*({units.order}<{order}))"
    "+SUMPRODUCT(({units.fits}={fits})*({units.order}={order})*({units.number}<{number})))",
    role="total",
    note="Who fits most cases comes first, of those alike the cheaper one.",
)


def _units() -> Table:
    return Table(
        "units",
        "One unit for all",
        "units",
        (
            Column("number", "Number", "number", role="quiet"),
            Column("name", "Unit", role="head"),
            Column("fits", "Cases that it fits", "number", formula=f"={_sum(f'({COST}<{UNFIT})')}", role="total"),
            Column(
                "bare",
                "of these without the margin",
                "number",
                formula=f"={_sum('{costs.bare_@}')}",
                note="It keeps the promise there, with less than the margin on energy. A pick keeps the margin where any unit does.",
            ),
            Column("unpriced", "of these without a price", "number", formula=f"={_sum(f'({COST}={UNPRICED})')}"),
            Column(
                "total",
                "Price in all",
                "money",
                formula=f"={_total('{unpriced}', _sum(f'({COST}<{UNPRICED})*{COST}'))}",
            ),
            Column(
                "each",
                "Price a case",
                "money",
                formula='=IF(ISTEXT({total}),{total},IF({fits}=0,"",ROUND(ROUND({total}/{fits},6),2)))',
            ),
            Column(
                "order", "Compared by", "money", formula=f"=IF(ISTEXT({{total}}),{UNPRICED},{{total}})", role="quiet"
            ),
            RANK,
        ),
        kind="across",
        widths=WIDTHS,
    )


def _pairs(names: Sequence[str]) -> Table:
    """Any two of them together; one with itself is that one alone."""
    either = _sum(f"((({COST}<{UNFIT})+({OTHER}<{UNFIT}))>0)")
    return Table(
        "pairs",
        "Two units beside each other: cases that one of them fits, and the price with the cheaper one in each",
        "units",
        (
            Column("name", "Unit", role="head"),
            *group(
                "Cases", *_named(names, Column("together_#", "", "number", formula=f"={either}", path="together.#"))
            ),
            *group(
                "Price",
                *_named(
                    names,
                    Column("total_#", "", "money", formula=f"={_total(_sum(NEITHER), _sum(CHEAPER))}", path="totals.#"),
                ),
            ),
        ),
        kind="across",
        widths=WIDTHS,
    )


def _worth_of(names: Sequence[str]) -> Table:
    """Which two it is: of the pairs that fit most cases the cheapest one."""
    last = len(names) - 1
    price = "{pairs.total_#[same]}"
    worth = f"IF(ISTEXT({price}),{UNPRICED},{price})"
    all_of_them = f"{{worth_0}}:{{worth_{last}}}"
    return Table(
        "worth",
        "Which two",
        "units",
        (
            Column(
                "most",
                "Most cases",
                "number",
                formula=f"=MAX({{pairs.together_0[same]}}:{{pairs.together_{last}[same]}})",
            ),
            *_named(
                names,
                Column(
                    "worth_#",
                    "",
                    "money",
                    path="worth.#",
                    formula=f"=IF({{pairs.together_#[same]}}<{{choice.two_fits}},{UNFIT},{worth})",
                ),
            ),
            Column("least", "Lowest price", "money", formula=f"=MIN({all_of_them})"),
            Column("partner", "Number of the other one", "number", formula=f"=MATCH({{least}},{all_of_them},0)"),
        ),
        kind="across",
        widths=WIDTHS,
    )


def _costs(names: Sequence[str]) -> Table:
    return Table(
        "costs",
        "Prices to compare",
        "lines",
        (
            Column(
                "times",
                "Counts",
                "number",
                formula="=IF(ISNUMBER({cases.fitting[same]}),N({cases.counts[same]}),0)",
            ),
            *_named(
                names,
                Column(
                    "cost_#",
                    "",
                    "money",
                    path="costs.#",
                    width=22,
                    formula=f"=IF(ISNUMBER({{prices.price_#[same]}}),{{prices.price_#[same]}},"
                    f'IF({{prices.price_#[same]}}="",{UNFIT},{UNPRICED}))',
                ),
            ),
            *group("Without the margin", *_named(names, Column("bare_#", "", "number", path="bare.#"))),
        ),
    )


FITS = Words(
    (
        "A unit fits a case where it keeps the promise, be it without the margin on energy; a pick keeps the margin where any unit does, "
        "so that all picks may cost more than one or two units. How often a unit fits without it stands on sheet Units.",
    )
)


def index_sheets(names: Sequence[str], *, listed: int, alike: bool) -> tuple[Sheet, ...]:
    """The sheets of an index.

    Args:
        names: candidates of the list that all cases share, as far as they are compared; none where each has its own
        listed: how many the list has
        alike: whether all cases have one currency
    """
    cases = Sheet(
        "Cases",
        "A line a case. Type how many there are like it; the sums and choices follow.",
        (_cases(alike=alike),),
        freeze="cases",
    )
    if not names:
        return Sheet("Index", "What became of all cases, and what they come to.", (SUMS,)), cases
    some = Words((f"Compared are the {len(names)} of {listed} units that fit most cases; index.json has all.",))
    return (
        Sheet("Index", "What became of all cases, and which units do for most of them.", (SAID, CHOICE, FITS, SUMS)),
        cases,
        Sheet(
            "Units",
            "Each unit of the list against every case that could be worked out.",
            (*([some] if len(names) < listed else []), _units(), _pairs(names), _prices(names)),
        ),
        Sheet(
            "Working",
            "Working sheet: prices to compare. Nothing to type here.",
            (_costs(names), _worth_of(names), TWO, over(names)),
            working=True,
            printed="",
        ),
    )
