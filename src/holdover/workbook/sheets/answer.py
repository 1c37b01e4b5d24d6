"""The page that the client reads first; what it is told from is worked out in `decision.py`.

The page stands on narrow columns of equal width, so that the timeline, the tables and the sentences share their edges.
"""

from dataclasses import replace
from typing import Final

from holdover.model.decision import AND_MORE, LONG_FIELD, SEVERAL
from holdover.model.outage.what_if import LONGER
from holdover.model.pages.answer import ASK_FIRST, OF_STORAGE, OFFER_ADDS, WITHOUT_MODULES
from holdover.model.pages.more import NO_WATTS, OF_ANOTHER, REACHES, TRY_IT
from holdover.model.pages.quotation import OWN
from holdover.model.pages.timeline import CELLS
from holdover.model.pages.tried import LONG_NAME
from holdover.workbook import style
from holdover.workbook.column import Column, Table
from holdover.workbook.measures import measured
from holdover.workbook.page import Sheet, Stair
from holdover.workbook.sheets.comparison.reasons import WITH_MARGIN
from holdover.workbook.sheets.decision import of_nearest, of_pick, with_packs
from holdover.workbook.sheets.outage.field import clock_words, of_shown, thousands, trips_unless, whole
from holdover.workbook.sheets.outage.timeline import CHARGES, LABELS, MARKS, STRIP
from holdover.workbook.sheets.outage.tried import of_trial, place_of
from holdover.workbook.sheets.vehicle import CHARGING, TAKES

WIDE: Final = LABELS + CELLS
"""Narrow columns of the page: those of the timeline."""
SPACE: Final = 3.0
"""Height of a blank row between two blocks [pt]."""
HALF: Final = 27
"""Narrow columns of one of two blocks beside each other."""


# The page


def _line(name: str, role: str, formula: str, tall: float, *, path: str = "", space: float = 0) -> Table:
    """A sentence across the page."""
    return Table(
        name,
        "",
        "answer",
        (Column("text", "", path=path or name.removeprefix("page_"), formula=formula, role=role, cells=WIDE),),
        heads=False,
        tall=tall,
        gap=int(space > 0),
        space=space,
    )


_ABOUT = '={about.client}&IF(AND({about.client}<>"",{about.place}<>"")," · ","")&{about.place}' + "".join(
    f'&IF({{about.{name}}}="","",IF({before}<>""," · ","")&{lead}{{about.{name}}})'
    for name, before, lead in (
        ("date", "{about.client}&{about.place}", ""),
        ("prepared_by", "{about.client}&{about.place}&{about.date}", '"prepared by "&'),
    )
)
_UNKNOWN = f'{of_nearest("fit.verdict")}="CHECK"'
_HERO = (
    f'=IF({{unread.first}}<>"",{{unread.first}},IF({{decision.pick_number}}>0,IF({of_pick("fit.output")}="CHECK","{ASK_FIRST}","Choose ")&{of_pick("told.named")}&".",'
    'IF({decision.listed}=0,"No candidate is listed yet.",IF({decision.listed}=1,"The only candidate "'
    f'&IF({_UNKNOWN},"is not known to fit.","does not fit."),'
    f'"None of the "&{{decision.listed}}&" candidates "&IF({_UNKNOWN},"is known to fit.","fits.")))))'
)
_SHORT = of_pick("check.promise_margin")
_OTHER_SHOWN = (
    f'IF({{shown.number}}={{decision.told_number}},""," Below, the hours are of "&{of_shown("told.named")}&".")'
)
_USED = of_pick("strings.modules_used")
_LEAD = (
    f'={{plan.beyond}}&IF({{plan.beyond}}="",""," ")&IF({{unread.first}}<>"",{{unread.advice}},IF({{decision.listed}}=0,{{look_for.words}},IF({{decision.pick_number}}>0,{of_pick("told.words")}'
    f'&IF(AND({_USED}>0,{_USED}<{{array.modules}})," Only "&{_USED}&" of "&{{array.modules}}&" modules can be connected.","")'
    f"&IF(AND({of_pick('promise.kept')}=1,{of_pick('promise.margin_held')}=0),"
    f'" It holds without any margin: with "&ROUND(ROUND(100*{{sizing.energy_margin}},6),2)&" % more on the loads it would not"'
    f'&IF(ISNUMBER({_SHORT}),", "&{thousands("-" + _SHORT)}&" Wh short","")&".","")&{trips_unless(of_pick, " But ", ".")}'
    f'&IF({of_pick("promise.runs_down")}=1," Each day ends with "&{thousands("-" + of_pick("promise.daily_balance_wh"))}'
    '&" Wh less than it began with.","")'
    "&{decision.open}&{decision.over_budget},"
    f'"Nearest is "&{of_nearest("told.named")}&": "&{of_nearest("told.phrase")}&"."&{{decision.over_budget}}'
    f'&IF({{near.words}}="",""," What would help: "&{{near.words}}&"."))&{_OTHER_SHOWN}))'
)
_EXTRAS = (
    'IF({decision.pick_packs}>0,", packs","")&IF({money.accessories_price}>0,", accessories","")'
    '&IF({money.labour_price}>0,", labour","")&IF({money.tax_share}>0,", tax","")'
)


def _if_picked(formula: str) -> str:
    return f'=IF({{decision.pick_number}}=0,"",{formula})'


_NEEDED = of_pick("promise.full_needed_wh")
_LIFT = of_pick("fit.lift_verdict")
_LIFTS = f'IF({_LIFT}="OK","one person lifts it",IF({of_pick("fit.heaviest_kg")}<={{sizing.lift_kg}},"a weight is not stated","two persons or a cart"))'
_PROMISED = '{outage.promise}&IF({outage.promise}="all loads",""," loads")'
_PIECES = "({decision.pick_packs}+1)"
FIGURES = Table(
    "figures",
    "",
    "answer",
    (
        Column("price", "Price", "money", formula=_if_picked(of_pick("fit.total")), role="figure", cells=19),
        Column(
            "usable_wh",
            "Usable storage",
            "Wh",
            formula=_if_picked(of_pick("storage.usable_wh")),
            role="figure",
            cells=19,
        ),
        Column(
            "heaviest_kg",
            "Heaviest piece",
            "kg",
            formula=_if_picked(of_pick("fit.heaviest_kg")),
            role="figure",
            cells=18,
        ),
    ),
    heads=False,
    tall=25,
    gap=0,
)
CAPTIONS = Table(
    "captions",
    "",
    "answer",
    (
        Column(
            "price_says",
            "Price",
            formula=_if_picked(
                f'IF({_EXTRAS}="","price","price with "&MID({_EXTRAS},3,99))'
                f'&IF(AND({{array.modules}}>0,{{offer.module_price}}=""),"; {WITHOUT_MODULES}","")'
                f'&IF({{priced.there[3]}}+SUMPRODUCT(({{priced.kind}}={OWN})*{{priced.there}})>0,"; {OFFER_ADDS}","")'
            ),
            role="caption",
            cells=18,
        ),
        Column("gap_1", "", role="caption", cells=1, standing=("",)),
        Column(
            "usable_says",
            "Usable storage",
            formula=_if_picked(
                f'IF(ISTEXT({_NEEDED}),"usable; a start at the reserve carries nothing",'
                f'"usable; "&{_PROMISED}&" take "&{thousands("(1-{sizing.reserve})*" + _NEEDED)}&" Wh"&{WITH_MARGIN})'
            ),
            role="caption",
            cells=18,
        ),
        Column("gap_2", "", role="caption", cells=1, standing=("",)),
        Column(
            "heaviest_says",
            "Heaviest piece",
            formula=_if_picked(
                f'IF({_PIECES}>1,"heaviest of "&{_PIECES}&" pieces"'
                f'&IF(ISTEXT({of_pick("fit.weight_kg")}),", as far as stated","")&": ","weight: ")&{_LIFTS}'
            ),
            role="caption",
            cells=18,
        ),
    ),
    heads=False,
    tall=21.5,
    space=SPACE,
)

LEGEND = Table(
    "legend",
    "",
    "answer",
    (
        Column("critical_key", "", role="key critical", cells=LABELS + 1, standing=("■",)),
        Column("critical_means", "", role="page line", cells=11, standing=("kept for critical loads",)),
        Column("essential_key", "", role="key essential", cells=1, standing=("■",)),
        Column("essential_means", "", role="page line", cells=11, standing=("kept for essential loads",)),
        Column("convenience_key", "", role="key convenience", cells=1, standing=("■",)),
        Column(
            "spare_means",
            "",
            path="/drive.spare",
            formula='=IF({vehicle.distance}>0,"drive, to spare","to spare")',
            role="page line",
            cells=7,
        ),
        Column(
            "off_means",
            "",
            formula=f'=IF({of_shown("fit.output")}="UNDER","blank: its output falls short","– off or short"&IF(24*{{plan.days}}<={CELLS},"",", part of "&ROUND(24*{{plan.days}}/{CELLS},1)&" h"))&" · night"',
            role="caption right",
            cells=16,
        ),
    ),
    heads=False,
    tall=13.5,
    space=SPACE,
)


def _placed(source: str) -> str:
    return f"INDEX({{{source}}},1,MAX(1,{{order.number[same]}}))"


def _unless_spare(formula: str) -> str:
    return f'=IF({{order.number[same]}}=0,"",{formula})'


_PHRASE = _placed("told.phrase")
_IN_SHORT = (
    f'IF({{rank}}<>"–",{_PHRASE},LEFT({_PHRASE},FIND("{OF_STORAGE}",{_PHRASE}&"{OF_STORAGE}")-1)'
    f'&IF(AND(ISNUMBER(FIND("{OF_STORAGE}",{_PHRASE})),RIGHT({_PHRASE},{len(AND_MORE)})="{AND_MORE}"),"{AND_MORE}",""))'
)
"""A miss without how much storage is lacking, which stands on Comparison: a row has two lines."""
PLACED = Table(
    "placed",
    "The candidates, best first",
    "answer.places",
    (
        Column(
            "rank",
            "",
            formula=_unless_spare(f'IF({_placed("fit.fits")}=1,{_placed("fit.rank")}&"","–")'),
            role="row",
            cells=2,
        ),
        Column(
            "name",
            "Candidate + packs",
            formula=_unless_spare(
                f'{_placed("fit.name")}&IF({_placed("fit.packs")}>0," + "&{_placed("fit.packs")},"")'
            ),
            role="row name",
            cells=12,
        ),
        Column("output", "Output", formula=_unless_spare(_placed("fit.output")), role="row verdict", cells=5),
        Column(
            "outage",
            "Runtime",
            formula=_unless_spare(
                f'IF(AND({_placed("fit.outage")}="UNDER",N({_placed("promise.until_h")})>0),'
                f'"to "&{clock_words(_placed("promise.until_h"))},{_placed("fit.outage")})'
            ),
            role="row verdict",
            cells=11,
        ),
        Column("price", "Price", "money", formula=_unless_spare(_placed("fit.total")), role="row money", cells=5),
        Column(
            "phrase",
            "Why it stands there",
            formula=_unless_spare(_IN_SHORT),
            role="row words",
            cells=21,
        ),
    ),
    units=False,
    tall=20.5,
    tallest=31.5,
    gap=0,
    marked="rank",
)
BEYOND = _line(
    "page_beyond",
    "caption",
    f'=IF({{field.field_asks}}="","","CHECK on all of them, to be asked: "'
    f'&IF(LEN({{field.field_asks}})>{LONG_FIELD},"{SEVERAL}",{{field.field_asks}})&"."'
    '&IF({decision.listed}<=8,""," "))&IF({decision.listed}>8,({decision.listed}-8)&" more on the Comparison sheet.","")',
    12,
)


_TRIED = 20.5
"""Height of a line of what is tried [pt]: a result may take two lines."""
_BEFORE_NOW = 3.0
"""Height of the blank row below what is tried [pt]."""


def _tried(name: str, title: str, slot: str, formula: str, now: str) -> Column:
    return Column(name, title, path=now, formula=formula, slot=slot, role="result")


_PARTS = {"title": 8, "set": 6, "usual": 0, "used": 7, "unit": 0, "note": 0}
_WAS = HALF - sum(_PARTS.values())


def _as_handed(side: str, *names: str, left: int) -> Table:
    """What each result was when the workbook was handed over, beside it."""
    columns = (Column(name, "", path=f"was.{name}", role="was", kept=True) for name in names)
    return Table(
        f"try_{side}_was",
        " ",
        "answer",
        tuple(columns),
        kind="across",
        cells={"title": 0, "unit": 0, "record": _WAS},
        tall=_TRIED,
        left=left + HALF - _WAS,
        beside=True,
        space=_BEFORE_NOW,
    )


_ENDS = "({outage.starts_at}+24*{plan.days})"
TRY_LEFT = Table(
    "try_left",
    "Try it: change a yellow cell",
    "answer",
    (
        _tried(
            "candidate",
            "Candidate",
            "outage.candidate",
            f'=IF({of_shown("fit.name")}="","none listed",LEFT({of_shown("fit.name")},{LONG_NAME}))',
            "tried.candidate",
        ),
        _tried(
            "days",
            "Days planned",
            "outage.days",
            f'=IF({{plan.beyond}}="","to ","only to ")&"day "&(ROUNDDOWN({_ENDS}/24,0)+1)&", "&TEXT(MOD({_ENDS},24),"00")&":00"',
            "tried.days",
        ),
        _tried(
            "sky",
            "Sun counted on",
            "outage.sky",
            '=IF({array.modules}<=0,"no modules planned",IF(COUNT({skies.sky})>={plan.days},"by day: ","")'
            f'&{thousands("{shown.sun_wh}/{plan.days}")}&" Wh/day")',
            "tried.sun",
        ),
    ),
    kind="form",
    cells=_PARTS,
    heads=False,
    tall=_TRIED,
    space=_BEFORE_NOW,
)
TRY_RIGHT = Table(
    "try_right",
    " ",
    "answer",
    (
        _tried(
            "packs",
            "Add-on packs",
            "outage.packs",
            f'=IF({of_shown("fit.name")}="","",IF(N({{outage.packs}})>N({of_shown("candidates.packs_max")}),"only ","")'
            f'&{of_shown("fit.packs")}&" of "&N({of_shown("candidates.packs_max")}))',
            "tried.packs",
        ),
        _tried(
            "leave_out",
            "Leave out a load",
            "outage.leave_out",
            '=IF({outage.leave_out}="","nothing",IF(SUMPRODUCT(({load.name}={outage.leave_out})*1)>0,IF(SUMPRODUCT(({load.name}={outage.leave_out})*1)=1,"left out","all of that name"),"no load of that name"))',
            "tried.left",
        ),
        _tried(
            "generator_hours",
            "Generator, h",
            "outage.generator_hours",
            '=IF(AND({outage.generator_hours}>0,{recharge.generator_w}<=0),"no watts stated",'
            f'IF(ROUND({{shown.fuel_l}},6)>0,{measured("{shown.fuel_l}", "l", 0)}&" or more","no fuel"))',
            "tried.generator",
        ),
    ),
    kind="form",
    cells=_PARTS,
    heads=False,
    tall=_TRIED,
    left=WIDE - HALF,
    beside=True,
    space=_BEFORE_NOW,
)
LEFT_WAS = _as_handed("left", "candidate", "days", "sun", left=0)
RIGHT_WAS = _as_handed("right", "packs", "left", "generator", left=WIDE - HALF)
_NOW = (
    f'=IF({of_shown("fit.name")}="","No candidate is listed yet.",{of_shown("told.named")}&": "'
    f'&IF({of_shown("fit.output")}="UNDER","output falls short; by storage alone ","")'
    f'&IF({of_shown("promise.kept")}=1,"promise kept "&{{decision.through}},'
    f'IF({of_shown("promise.until_h")}=0,"promise not kept from the start on",'
    f'"promise kept until "&{clock_words(of_shown("promise.until_h"))}))'
    f'&", lowest charge "&{whole("100*{shown.lowest_share}")}&" %"&IF({{vehicle.distance}}>0," before the vehicle charges","")&", "'
    f'&IF(ISTEXT({of_shown("fit.total")}),"price not stated","price "&{{about.currency}}&" "&{thousands(of_shown("fit.total"))})&".")'
)
NOW = Table(
    "now",
    "",
    "answer",
    (
        Column("label", "", role="strong words", cells=LABELS, standing=("Now",)),
        Column("text", "Now", path="now", formula=_NOW, role="strong words", cells=CELLS),
    ),
    heads=False,
    tall=16,
    gap=0,
)
HANDED = Table(
    "handed",
    "",
    "answer",
    (
        Column("label", "", role="page words", cells=LABELS, standing=("Handed over",)),
        Column("text", "As handed over", path="now", role="page words", cells=CELLS, kept=True),
    ),
    heads=False,
    tall=14,
    space=SPACE,
)


def _until(title: str) -> str:
    """The first hour in which a what-if fails, "" where none does."""
    return f"{{outcome.t{place_of(title)}_until_h}}"


def _outcome(title: str) -> str:
    """Whether the promise is kept in a what-if, and until when."""
    until = _until(title)
    return f'IF({until}="","the promise is kept","to "&{clock_words(until)})'


_SPARE = "more to spare"


def _of_tried(formula: str, other: str = '""') -> str:
    """What is told of a what-if where it is of the one followed; what else where it is of another one."""
    return f'=IF({{shown.name}}="","",IF({{tried.number}}={{shown.number}},{formula},{other}))'


_LACKS_ONE = f"AND({{vehicle.distance}}>0,INDEX({{trip.packs_with_loads}},{{shown.number}})={of_shown('fit.packs')}+1)"
_LONGER_PACKS = of_trial(LONGER, "packs_needed")
MORE = Table(
    "more",
    "If you want more",
    "answer",
    (
        Column(
            "pack_more",
            "",
            path="more.pack",
            formula=_of_tried(
                f'IF({{tried.packs_max}}<={of_shown("fit.packs")},"It takes no more packs.",'
                f'"One pack more"&IF({of_shown("candidates.pack_price")}="","",", "&{{about.currency}}&" "&{thousands(of_shown("candidates.pack_price"))}'
                f'&" before tax")&": "&IF({_LACKS_ONE},"{REACHES}",IF({_until("As planned")}="","{_SPARE}",{_outcome("A pack more")}))&".")',
                f'"{OF_ANOTHER}"&{{tried.name}}&", first by earlier figures."',
            ),
            role="line plain",
        ),
        Column(
            "generator_more",
            "",
            path="more.generator",
            formula=_of_tried(
                'IF({recharge.generator_w}<=0,IF({outage.generator_hours}>0,"'
                f'{NO_WATTS}","No generator is planned."),"Generator two hours a day longer: "&'
                f"IF(ISTEXT({_LONGER_PACKS}),{_outcome('Two more generator hours')},IF({_LONGER_PACKS}<{of_shown('fit.packs')},"
                f'IF({_LONGER_PACKS}=0,"no pack is needed",{_LONGER_PACKS}&IF({_LONGER_PACKS}=1," pack is"," packs are")&" enough"),'
                f'IF({_until("As planned")}="","{_SPARE}",{_outcome(LONGER)})))&".")',
                f'"To try "&{{shown.name}}&"{TRY_IT}"',
            ),
            role="line plain",
        ),
        Column(
            "dark",
            "",
            path="more.dark",
            formula=_of_tried(
                f'IF({{array.modules}}<=0,"No sun is counted on.","If no sun comes: "&{_outcome("No sun")}&IF({_until("No sun")}="","",", promised loads alone")&".")'
            ),
            role="line plain",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": HALF},
    tall=13.5,
    gap=0,
)
MEASURE = Table(
    "measure",
    "Measure first",
    "answer",
    (
        Column(
            "measure",
            "",
            formula='=IF({doubt.measure_first}="","",{doubt.measure_first}&": "'
            f'&{whole("100*{doubt.measure_share}")}&" % of the doubt.")',
            role="line plain",
        ),
        Column(
            "day_range",
            "",
            formula=f'=IF({{doubt.high_wh}}<=0,"","A day takes "&{thousands("{doubt.low_wh}")}&" to "&{thousands("{doubt.high_wh}")}&" Wh at the plugs.")',
            role="line plain",
        ),
        Column(
            "high_day",
            "",
            formula=_of_tried(
                f'IF({{doubt.high_wh}}<=0,"",IF(ISTEXT({of_trial("High day", "packs_needed")}),"At "&{thousands("{doubt.high_wh}")}&" Wh "&{of_shown("fit.name")}&" does not hold enough.",'
                f'"At "&{thousands("{doubt.high_wh}")}&" Wh "&IF({{vehicle.distance}}>0,"loads alone take ","it takes ")'
                f'&{with_packs(of_shown("fit.name"), of_trial("High day", "packs_needed"))}&"."))'
            ),
            role="line plain",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": HALF},
    tall=13.5,
    left=WIDE - HALF,
    beside=True,
    space=SPACE,
)
_CAUTIONS = (
    '=IF({vehicle.distance}>0,"Charge clear of traffic, with a short dry cord; end the charge before you unplug. ","")'
    '&IF({about.purpose}="trip","","Never feed a building\'s wiring without a transfer switch or interlock that a licensed electrician installed. ")'
    '&IF(ROUND({demand.critical_wh},6)>0,"A critical load needs a second way out"&IF(AND({called_for.medical}=0,'
    'OR({about.purpose}="day away",{about.purpose}="trip")),"",", planned with its maker and, where health depends on it, '
    'a clinician")&". ","")&IF({outage.generator_hours}>0,"A generator runs outdoors '
    'only, far from doors and windows: carbon monoxide kills. ","")'
    f'&IF({of_shown("fit.name")}="","",IF({of_shown("supply.may_charge")}=0,"It is too cold there to charge lithium cells. ",""))'
    '&"Local codes come first."&IF({called_for.count}>0," See Cautions for "&{called_for.count}&" more.","")'
)

_LOADS_WH, _LEFT = (f"INDEX({{trip.{name}}},{{shown.number}})" for name in ("loads_wh", "left_own_held"))
_AGAIN = (
    f'IF(AND({{outage.repeats}}="yes",{of_shown("promise.kept")}=1),{of_shown("told.named")}&": each day ends "'
    f'&IF({of_shown("promise.runs_down")}=1,"with "&{thousands("-" + of_shown("promise.daily_balance_wh"))}'
    '&" Wh less than it began with.","as full as it began."),"")'
)
_DRIVE = (
    f'=IF({of_shown("fit.name")}="",IF({{vehicle.distance}}<=0,"",{TAKES}),IF({{vehicle.distance}}<=0,{_AGAIN},IF({_LOADS_WH}=0,{{drive_said.headline}},'
    f'LEFT({{drive_said.headline}},LEN({{drive_said.headline}})-1)&"; "&{_LEFT}&" with the loads served first.")&{CHARGING}))'
)

ANSWER_SHEET = Sheet(
    "Answer",
    "Change a yellow cell and this page follows. The other sheets say from what it is computed; those that only work it out "
    "are hidden: a right click on a sheet's tab shows them.",
    (
        _line("page_title", "page title", "={about.title}", 25),
        _line("page_line", "page made", _ABOUT, 13),
        replace(_line("page_notice", "notice", "={unread.notice}", 21), of_cells=True),
        _line("page_hero", "hero", _HERO, 24),
        _line("page_lead", "lead", _LEAD, 42),
        _line("page_drive", "strong words", _DRIVE, 13, path="/drive.first_page", space=_BEFORE_NOW),
        FIGURES,
        CAPTIONS,
        MARKS,
        STRIP,
        Stair(
            "strip",
            "charge",
            (("critical_kept", style.RUN["critical"]), ("essential_kept", style.RUN["essential"])),
            style.RUN["convenience"],
            tall=2.4,
        ),
        CHARGES,
        LEGEND,
        PLACED,
        BEYOND,
        TRY_LEFT,
        LEFT_WAS,
        TRY_RIGHT,
        RIGHT_WAS,
        NOW,
        HANDED,
        MORE,
        MEASURE,
        _line("page_cautions", "page caution", _CAUTIONS, 32, path="cautions"),
    ),
    narrow=WIDE,
    portrait=True,
    foot="Every number is a formula. The other sheets say from what.",
    zoom=120,
)
