"""The answer on the index's first page: the unit that fits most cases, the two that do, and the sentence that says so."""

from collections.abc import Sequence

from holdover.fleet.choices import DIFFER, NAMED, NOT_STATED, UNPRICED
from holdover.workbook.column import Column, Table
from holdover.workbook.sheets.outage.field import thousands

FRONT = {"title": 46, "unit": 9, "record": 34}
"""Widths of the first page [characters]."""


def _worth(total: str) -> str:
    return f'IF(ISTEXT({total}),", price "&{total}," for "&{{sums.currency}}&" "&{thousands(total)})'


def _bare(cases: str) -> str:
    return f'IF({cases}=0,""," ("&{cases}&" of them without the margin)")'


BEST = "MATCH(1,{units.rank},0)"
PAIR = '{choice.first}&" and "&{choice.second}&" together fit "&'
SAID = Table(
    "said",
    "",
    "choice",
    (
        Column(
            "words",
            "",
            formula='=IF({sums.unread}=0,"","Figures under How many that can\'t be read, and count for nothing: "&{sums.unread}'
            '&"; type whole numbers. ")&IF({choice.counted}=0,'
            '"Nothing is counted: type how many there are of a case on sheet Cases.",'
            'IF({choice.one}="","No unit of the list fits any case that counts.",'
            '{choice.one}&" alone fits "&{choice.one_fits}&" of "&{choice.counted}&" cases"&'
            + _bare("{choice.one_bare}")
            + "&"
            + _worth("{choice.one_total}")
            + '&". "&IF({two.alone}=1,"A second unit beside it adds no case"&IF(ISTEXT({choice.one_total}),""," and saves nothing"),'
            'IF({choice.two_fits}={choice.one_fits},"A second unit beside it adds no case, but "&'
            + PAIR
            + '"them",'
            + PAIR
            + "{choice.two_fits})&"
            + _bare("{choice.two_bare}")
            + "&"
            + _worth("{choice.two_total}")
            + ')&"."&IF({two.left}="",""," Left over: "&({choice.counted}-{choice.two_fits})&" ("&{two.left}&").")'
            '&IF({sums.errors}+{sums.failed}=0,""," Not in this: "&({sums.errors}+{sums.failed})&" with errors.")))',
            role="banner",
            cells=3,
        ),
    ),
    heads=False,
    tall=58,
)


def _left_over(number: int) -> str:
    """Name of one of the cases that neither of the two fits."""
    return f"INDEX({{prices.title}},MATCH({number},{{over.left}},0))"


CHOICE = Table(
    "choice",
    "One list for all cases",
    "choice",
    (
        Column("counted", "Cases that count, each as often as typed", "number", formula="=SUM({costs.times})"),
        Column(
            "one", "The unit that fits most of them", formula=f'=IF({{one_fits}}=0,"",INDEX({{units.name}},1,{BEST}))'
        ),
        Column("one_fits", "Cases that it fits", "number", formula="=MAX({units.fits})"),
        Column(
            "one_bare",
            "of these without the margin",
            "number",
            formula=f"=IF({{one_fits}}=0,0,INDEX({{units.bare}},1,{BEST}))",
        ),
        Column("one_total", "Price in all", "money", formula=f'=IF({{one_fits}}=0,"",INDEX({{units.total}},1,{BEST}))'),
        Column(
            "first",
            "The two that fit most",
            formula='=IF({two_fits}=0,"",INDEX({units.name},1,{two.first_number}))',
        ),
        Column(
            "second",
            "and, if it adds any or saves any",
            formula='=IF({two_fits}=0,"",IF({two.alone}=1,"",INDEX({units.name},1,{two.second_number})))',
        ),
        Column("two_fits", "Cases that one of them fits", "number", formula="=MAX({worth.most})"),
        Column("two_bare", "of these without the margin", "number", formula="=SUM({over.bare})"),
        Column(
            "two_total",
            "Price in all, with the cheaper one in each case",
            "money",
            formula=f'=IF({{two_fits}}=0,"",IF({{two.two_least}}<{UNPRICED},{{two.two_least}},IF({{sums.alike}}=0,"{DIFFER}","{NOT_STATED}")))',
        ),
    ),
    kind="across",
    widths=FRONT,
)
TWO = Table(
    "two",
    "The two",
    "choice",
    (
        Column("two_least", "Lowest price", "money", formula="=MIN({worth.least})"),
        Column(
            "alone",
            "One does as well as two",
            "number",
            formula="=IF({choice.one_fits}=0,0,IF({choice.one_fits}={choice.two_fits},"
            f"IF(INDEX({{units.order}},1,{BEST})={{two_least}},1,0),0))",
        ),
        Column(
            "first_number",
            "Number of the first",
            "number",
            formula=f"=IF({{alone}}=1,{BEST},MATCH({{two_least}},{{worth.least}},0))",
        ),
        Column(
            "second_number",
            "Number of the second",
            "number",
            formula=f"=IF({{alone}}=1,{BEST},INDEX({{worth.partner}},1,{{first_number}}))",
        ),
        Column(
            "left",
            "Left over, by name",
            formula=f'=IF(MAX({{over.left}})=0,"",{_left_over(1)}'
            + "".join(f'&IF(MAX({{over.left}})<{n},"",", "&{_left_over(n)})' for n in range(2, NAMED + 1))
            + f'&IF(MAX({{over.left}})>{NAMED}," and others",""))',
        ),
    ),
    kind="across",
)


def over(names: Sequence[str]) -> Table:
    """Cases that are left over, and those that the two fit without the margin; `names` are the candidates compared."""
    bare = f"{{costs.bare_0[same]}}:{{costs.bare_{len(names) - 1}[same]}}"
    number = "IF({prices.of_two[same]}={choice.first},{two.first_number},{two.second_number})"
    return Table(
        "over",
        "Cases left over, counted, and those that the two fit without the margin",
        "lines",
        (
            Column(
                "left",
                "Left over down to here",
                "number",
                first='=IF({prices.of_two[same]}="",IF({costs.times[same]}>0,1,0),0)',
                formula='={left[-1]}+IF({prices.of_two[same]}="",IF({costs.times[same]}>0,1,0),0)',
            ),
            Column(
                "bare",
                "Without the margin",
                "number",
                path="bare_of_two",
                formula=f'=IF({{prices.of_two[same]}}="",0,{{costs.times[same]}}*INDEX({bare},1,{number}))',
            ),
        ),
        chained=True,
    )
