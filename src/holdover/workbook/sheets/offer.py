"""The written offer: one portrait page, priced for the candidate that is followed; and the arithmetic behind it."""

from dataclasses import replace

from holdover.case.schema import MAX_ITEMS
from holdover.model.pages.quotation import OWN, UNSIGNED, UNSTATED
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.decision import BUT_LEFT_OUT, with_field_asks
from holdover.workbook.sheets.outage.field import of_shown, thousands, trips_unless
from holdover.workbook.sheets.vehicle import GOES
from holdover.workbook.sheets.vehicle import OWN as OWN_ROAD

WIDE = 56
"""Narrow columns of the page."""
HALF = 27
"""Narrow columns of one of two blocks beside each other."""
LOGO = 17
"""Narrow columns at the right of the page's head that the logo may take."""
STANDARD = OWN - 1
"""Lines that are there of themselves: unit, packs, accessories, modules, labour."""


NAME = of_shown("fit.name")
PACKS = of_shown("fit.packs")


def _cents(amount: str) -> str:
    """An amount as it is printed; its dust is settled first."""
    return f"ROUND(ROUND({amount},6),2)"


def _stated(price: str, *, otherwise: str = UNSTATED) -> str:
    return f'IF({price}="","{otherwise}",{price})'


def _figure(name: str, unit: str) -> str:
    """A figure of the data sheet in words, nothing where it is silent."""
    figure = of_shown(f"candidates.{name}")
    return f'IF({figure}="","",", "&{thousands(figure)}&" {unit}")'


def _own(name: str) -> str:
    return f"INDEX({{items.{name}}},{{own}})"


def _own_text(name: str) -> str:
    return f'IF({_own(name)}="","",{_own(name)}&"")'


def _by_kind(*choices: str) -> str:
    """One choice a kind of line: unit, packs, accessories, modules, labour, lines of the case's own."""
    return f"=CHOOSE({{kind}},{','.join(choices)})"


PRICED = Table(
    "priced",
    "Lines that the offer may have",
    "quotation.priced",
    (
        Column("number", "Line", "number", standing=tuple(range(1, STANDARD + MAX_ITEMS + 1)), width=9),
        Column("kind", "Kind", "number", standing=(*range(1, OWN), *(OWN,) * MAX_ITEMS)),
        Column("own", "Of your own lines", "number", standing=(*(1,) * STANDARD, *range(1, MAX_ITEMS + 1))),
        Column(
            "name",
            "What",
            formula=_by_kind(
                "&".join((NAME, _figure("continuous_w", "W"), _figure("ac_volts", "V"), _figure("storage_wh", "Wh"))),
                f'"Expansion pack"&{_figure("pack_wh", "Wh")}',
                '"Accessories"',
                f'"Solar module"&IF({{array.power_w}}="","",", "&{thousands("{array.power_w}")}&" W")',
                '"Labour"',
                _own_text("name"),
            ),
            width=40,
        ),
        Column(
            "quantity",
            "Quantity",
            "number",
            formula=_by_kind(
                "1", PACKS, "1", "{array.modules}", "1", f'IF({_own("quantity")}="",1,{_own("quantity")})'
            ),
        ),
        Column("counted_in", "Counted in", formula=_by_kind('""', '""', '""', '""', '""', _own_text("counted_in"))),
        Column(
            "each",
            "Each",
            "money",
            formula=_by_kind(
                _stated(of_shown("candidates.price")),
                f"IF({PACKS}=0,0,{_stated(of_shown('candidates.pack_price'))})",
                "{money.accessories_price}",
                _stated("{offer.module_price}", otherwise="not offered"),
                "{money.labour_price}",
                _stated(_own("price")),
            ),
        ),
        Column("amount", "Amount", "money", formula=f"=IF(ISTEXT({{each}}),{{each}},{_cents('{quantity}*{each}')})"),
        Column(
            "there",
            "On the offer",
            "number",
            formula=_by_kind(
                f'IF({NAME}="",0,1)',
                f"IF({PACKS}>0,1,0)",
                "IF({money.accessories_price}>0,1,0)",
                'IF(AND({array.modules}>0,{offer.module_price}<>""),1,0)',
                "IF({money.labour_price}>0,1,0)",
                f'IF(AND({_own("name")}="",{_own("price")}=""),0,1)',
            ),
        ),
        Column(
            "place",
            "Its place there",
            "number",
            formula='=IF({there}=0,"",SUMPRODUCT(({priced.number}<={number})*{priced.there}))',
        ),
    ),
)
QUOTED = Table(
    "quoted",
    "The offer in short",
    "quotation",
    (
        Column("lines", "Lines on the offer", "number", formula="=SUM({priced.there})"),
        Column(
            "goods",
            "Unit and packs, on which there is a discount",
            "money",
            formula="=IF(ISTEXT({priced.amount[0]}),0,{priced.amount[0]})+IF(ISTEXT({priced.amount[1]}),0,{priced.amount[1]})",
        ),
    ),
    kind="across",
    widths={"title": 40, "unit": 9, "record": 14},
)

# The page


def sentence(name: str, role: str, formula: str, tall: float, *, path: str, cells: int = WIDE) -> Table:
    """A sentence in a row of its own; `path` is where the study keeps it."""
    records, _, field = path.rpartition(".")
    column = Column("text", "", path=field, formula=formula, role=role, cells=cells)
    return Table(name, "", records, (column,), heads=False, tall=tall, gap=0)


def _said(name: str) -> str:
    return f'=IF({{{name}}}="","",{{{name}}}&"")'


def _joined(*names: str, by: str) -> str:
    """Two texts with something between them where both are there."""
    one, other = (f"{{{name}}}" for name in names)
    return f'={one}&IF(AND({one}<>"",{other}<>""),"{by}","")&{other}'


_MAKER = 'IF({business.name}="",{about.prepared_by},{business.name})'
_LOADS = f'{{outage.promise}}&IF({{outage.promise}}="all loads",{BUT_LEFT_OUT}," loads")'
_TOLD = of_shown("told.words")
_ASKED = of_shown("check.asked")
_TO_ASK = with_field_asks(_ASKED)
_OPEN_YET = (
    f'IF({{vehicle.distance}}<=0,"","; the vehicle goes "&INDEX({{trip.left_own_held}},{{shown.number}})&{OWN_ROAD}'
    f'&", "&{GOES}&" are planned")&{trips_unless(of_shown, "; ")}'
    f'&IF(AND({_ASKED}="",{{field.field_asks}}=""),"","; if what is to be asked proves right: "&{_TO_ASK})'
)
_SO_THAT = (
    f'=IF({NAME}="","",IF({of_shown("candidates.storage_wh")}="",'
    '"Its storage is not stated, so nothing is said of how long loads run.",'
    f'IF({of_shown("promise.kept")}=1,{_LOADS}&" run "&{{decision.through}}'
    f'&IF({of_shown("promise.margin_held")}=1,"",", without the margin")&{_OPEN_YET},'
    f"LEFT({_TOLD},MAX(0,LEN({_TOLD})-1))&{_OPEN_YET})))"
)
_WHAT = (
    f'=IF({NAME}="","No candidate is listed yet.",{of_shown("told.named")}'
    '&IF(OR({offer.module_price}="",{array.modules}=0),"",", "&{array.modules}&" solar module"&IF({array.modules}=1,"","s")))'
)
_TITLE = (
    '=IF({unread.paper}<>"","Draft, to be mended first",'
    f'IF(OR({NAME}="",{of_shown("fit.fits")}=1),"Offer","Draft, not what was asked for"))'
)
_WARNING = (
    '=IF({unread.paper}<>"",{unread.paper},'
    f'IF({NAME}="","",IF({of_shown("fit.fits")}=1,"","This is not all that was asked for: "&{of_shown("fit.reason")}&".")))'
)
_FIRST_PAGE = (
    f'=IF(ISTEXT({of_shown("cost.total")}),"A price is not stated: ask for it before this is sent.",'
    '"Unit, packs, accessories and labour with discount and tax: "&{about.currency}&" "'
    f'&{thousands(of_shown("cost.total"), 2)}&", the price on the first page.")'
)


def _percent(share: str) -> str:
    return f'ROUND(ROUND(100*{share},6),2)&" %"'


MAKER = Table(
    "maker",
    "",
    "quotation",
    (
        Column("maker", "", formula=f"={_MAKER}", role="page strong"),
        Column("address", "", path="/case.business.address", formula=_said("business.address"), role="page line"),
        Column("contact", "", formula=_joined("business.licence", "business.contact", by="; "), role="page line"),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": WIDE - LOGO},
    gap=1,
)
TITLE = sentence("paper_title", "paper title", _TITLE, 30, path="quotation.title")
FOR = Table(
    "paper_for",
    "",
    "quotation",
    (
        Column("made_for", "For", formula=_joined("about.client", "about.place", by=", "), role="line plain"),
        Column("what", "About", formula=_WHAT, role="line plain"),
    ),
    kind="across",
    cells={"title": 5, "unit": 0, "record": 32},
    tall=16,
    gap=0,
)
DATED = Table(
    "paper_dated",
    "",
    "case",
    (
        Column("number", "Number", path="offer.number", formula=_said("offer.number"), role="plain right"),
        Column("date", "Date", path="about.date", formula=_said("about.date"), role="plain right"),
        Column(
            "valid_until",
            "Valid until",
            path="offer.valid_until",
            formula=_said("offer.valid_until"),
            role="plain right",
        ),
    ),
    kind="across",
    cells={"title": 7, "unit": 0, "record": 10},
    tall=16,
    left=39,
    beside=True,
    gap=0,
)
SO_THAT = Table(
    "paper_so_that",
    "",
    "quotation",
    (Column("so_that", "So that", formula=_SO_THAT, role="line plain"),),
    kind="across",
    cells={"title": 5, "unit": 0, "record": WIDE - 5},
    tall=16,
)
WARNING = sentence("paper_warning", "page warning", _WARNING, 26, path="quotation.warning")
_COLUMNS = (2, 30, 7, 5, 6, 6)
HEADS = Table(
    "paper_heads",
    "",
    "quotation",
    (
        Column("number", "", role="paper head", cells=_COLUMNS[0], standing=("",)),
        Column("name", "", role="paper head", cells=_COLUMNS[1], standing=("What",)),
        Column("quantity", "", role="paper head right", cells=_COLUMNS[2], standing=("Quantity",)),
        Column("counted_in", "", role="paper head", cells=_COLUMNS[3], standing=("",)),
        Column("each", "", role="paper head right", cells=_COLUMNS[4], standing=("Each",)),
        Column(
            "amount",
            "",
            path="amount_head",
            role="paper head right",
            cells=_COLUMNS[5],
            formula='="Amount, "&{about.currency}',
        ),
    ),
    heads=False,
    tall=18,
    gap=0,
)


def _printed(name: str, title: str, cells: int, unit: str = "", role: str = "row") -> Column:
    return Column(
        name,
        title,
        unit,
        formula=f'=IF({{number}}="","",INDEX({{priced.{name}}},MATCH({{number}},{{priced.place}},0)))',
        role=role,
        cells=cells,
    )


PAPER = Table(
    "paper",
    "",
    "quotation.paper",
    (
        Column(
            "number",
            "Line",
            formula='=IF({priced.number[same]}>{quoted.lines},"",{priced.number[same]})',
            role="paper row",
            cells=_COLUMNS[0],
        ),
        _printed("name", "What", _COLUMNS[1], role="paper words"),
        _printed("quantity", "Quantity", _COLUMNS[2], "quantity", role="paper row"),
        _printed("counted_in", "Counted in", _COLUMNS[3], role="paper row"),
        _printed("each", "Each", _COLUMNS[4], "money", role="paper row"),
        _printed("amount", "Amount", _COLUMNS[5], "money", role="paper row"),
    ),
    heads=False,
    tall=16,
    gap=0,
)
NOTES = Table(
    "paper_notes",
    "",
    "quotation",
    (
        Column(
            "rates",
            "",
            formula=f'=IF({{money.discount_share}}>0,"Discount "&{_percent("{money.discount_share}")}&" on unit and packs.","")'
            '&IF(AND({money.discount_share}>0,{money.tax_share}>0)," ","")'
            f'&IF({{money.tax_share}}>0,"Tax "&{_percent("{money.tax_share}")}&" on what is left of the subtotal.","")',
            role="caption",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": 33},
    gap=0,
)
FIRST_PAGE = replace(sentence("paper_first_page", "caption", _FIRST_PAGE, 14, path="quotation.first_page"), gap=1)


def _after(formula: str) -> str:
    return f"=IF(ISTEXT({{subtotal}}),{{subtotal}},{formula})"


SUMS = Table(
    "sums",
    "",
    "quotation",
    (
        Column(
            "subtotal",
            "Subtotal",
            "money",
            formula=f'=IF(COUNT({{paper.amount}})<{{quoted.lines}},"{UNSTATED}",SUM({{paper.amount}}))',
            role="plain",
        ),
        Column(
            "discount",
            "Discount",
            "money",
            formula=_after(f"0-{_cents('{money.discount_share}*{quoted.goods}')}"),
            role="plain",
        ),
        Column(
            "tax", "Tax", "money", formula=_after(_cents("{money.tax_share}*({subtotal}+{discount})")), role="plain"
        ),
        Column("total", "Total", "money", formula=_after("{subtotal}+{discount}+{tax}"), role="paper total"),
    ),
    kind="across",
    cells={"title": 8, "unit": 0, "record": 12},
    tall=18,
    gap=0,
    left=WIDE - 20,
    beside=True,
)


def _terms(name: str, title: str, columns: tuple[Column, ...], *, left: int = 0, gap: int = 1) -> Table:
    return Table(
        f"paper_{name}",
        title,
        "quotation.terms",
        columns,
        heads=False,
        left=left,
        beside=left > 0,
        gap=gap,
    )


def _term(name: str, of: str, cells: int) -> Column:
    return Column(name, "", formula=f'=IF({{terms.{of}[same]}}="","",{{terms.{of}[same]}}&"")', role="row", cells=cells)


_RIGHT = WIDE - HALF
INCLUDED = _terms("included", "Included", (_term("included", "included", HALF),))
EXCLUDED = _terms("excluded", "Not included", (_term("excluded", "excluded", HALF),), left=_RIGHT)
PAYMENT = _terms(
    "payment",
    "Payment",
    (
        Column(
            "share",
            "",
            "whole share",
            formula='=IF({terms.paid_share[same]}="","",{terms.paid_share[same]})',
            role="row left",
            cells=4,
        ),
        _term("when", "paid_when", HALF - 11),
        Column(
            "due",
            "",
            "money",
            formula=f'=IF(OR({{share}}="",ISTEXT({{sums.total}})),"",{_cents("{share}*{sums.total}")})',
            role="row",
            cells=7,
        ),
    ),
    gap=3,
)
DELIVERY = _terms("delivery", "Delivery", (_term("delivery", "delivery", HALF),), left=_RIGHT)
_IS_DRAFT = 'LEFT({paper_title.text},5)="Draft"'
SIGNED = sentence(
    "signed_by",
    "signature",
    f'=IF({_IS_DRAFT},"{UNSIGNED}",IF({_MAKER}="","Offered by: name, date","For "&{_MAKER}&": name, date"))',
    14,
    path="quotation.signed_by",
    cells=HALF,
)
ACCEPTED = Table(
    "accepted",
    "",
    "quotation",
    (
        Column(
            "text",
            "",
            path="accepted_by",
            formula=f'=IF({_IS_DRAFT},"{UNSIGNED}","Accepted: name, place, date")',
            role="signature",
            cells=HALF,
        ),
    ),
    heads=False,
    left=_RIGHT,
    beside=True,
)

OFFER_SHEET = Sheet(
    "Offer",
    "Of the candidate that Answer follows. The Business sheet has the lines and terms of your own.",
    (
        MAKER,
        TITLE,
        FOR,
        DATED,
        SO_THAT,
        WARNING,
        HEADS,
        PAPER,
        NOTES,
        SUMS,
        FIRST_PAGE,
        INCLUDED,
        EXCLUDED,
        PAYMENT,
        DELIVERY,
        SIGNED,
        ACCEPTED,
        Words(
            (
                "How long loads run is computed from the loads as listed, the charge at the start and the sun as assumed; "
                "other use, snow, cold or age shorten it. Never connect a unit or a generator to the building's wiring without "
                "a transfer switch or interlock installed by a licensed electrician. Local codes come first.",
            ),
            look="small",
            cells=WIDE,
        ),
    ),
    narrow=WIDE,
    portrait=True,
    foot="Offer",
    zoom=120,
    logo="maker",
)

OFFER_WORKING = (PRICED, QUOTED)
