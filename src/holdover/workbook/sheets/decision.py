"""The pick, the nearest, and what is told of each candidate: the working sheet behind the first page."""

from typing import Final

from holdover.case.measure import POUND_KG
from holdover.model.decision import AND_MORE, LONG_FIELD, OPEN, SEVERAL, THIN
from holdover.model.pages.answer import LAST_PLACE, LONG_ASK
from holdover.model.verdict.rank import UNSTATED
from holdover.workbook.column import Column, Table
from holdover.workbook.sheets.outage.field import clock_words, thousands, whole
from holdover.workbook.sheets.vehicle import OWN


def with_packs(name: str, packs: str) -> str:
    """A candidate with its packs, as it is advised."""
    return f'{name}&IF({packs}>0," with "&{packs}&" pack"&IF({packs}=1,"","s"),"")'


def of_pick(name: str) -> str:
    """What a column says of the pick, of the first candidate where there is none."""
    return f"INDEX({{{name}}},1,{{decision.told_number}})"


def of_nearest(name: str) -> str:
    """What a column says of the nearest miss, where none fits."""
    return f"INDEX({{{name}}},1,{{decision.nearest_number}})"


def with_field_asks(asked: str) -> str:
    """What one data sheet leaves open, and what all of them do."""
    return f'{asked}&IF(OR({asked}="",{{field.field_asks}}=""),"",", ")&{{field.field_asks}}'


def _put_back(behind: int) -> str:
    """How many come behind the pick that what it is ranked by would put before it."""
    return f"SUMPRODUCT(({{rank.behind}}={behind})*({{rank.key}}<{of_pick('rank.key')}))"


_PUT_BACK = f'IF({_put_back(1)}>0," and what is open","")&IF({_put_back(2)}>0," and margin","")'

_MAY = f'{of_pick("fit.output")}="CHECK"'
_KEY = of_pick("rank.key")
_RANKED_BY = (
    f'IF({_KEY}<{UNSTATED:.0f},"by "&{{choice.rank_by}},IF({_KEY}<{2 * UNSTATED:.0f},"by price","as listed")'
    '&", "&{choice.rank_by}&" not stated")'
)

_ASKED = of_pick("check.asked")
_ALL_ASKED = with_field_asks(_ASKED)
_OVER = of_pick("check.budget_margin")


def _within(name: str) -> str:
    """What a column says of the best within the budget."""
    return f"INDEX({{{name}}},1,MATCH(MAX({{told.within}}),{{told.within}},0))"


def _paid(name: str) -> str:
    """What a column says of the last stage of the pick that the budget pays."""
    return f"INDEX({{stages.{name}}},{{stages_paid}})"


_NAMED_WITHIN = f'{_within("told.named")}&" for "&{{about.currency}}&" "&{thousands(_within("fit.total"))}'
_FITS_WITHIN = f"IF(MAX({{told.within}})=0,0,{_within('fit.fits')})=1"
_BOUGHT = (
    f'IF({_FITS_WITHIN},"Within it the first is "&{_NAMED_WITHIN}&IF({_within("fit.ask")}="","","; "&{_within("fit.ask")}),'
    f'IF({{stages_paid}}>0,"Within it is "&{with_packs(of_pick("fit.name"), _paid("packs"))}&" for "&{{about.currency}}&" "'
    f'&{thousands(_paid("total"))}&", with "&{whole("100*" + _paid("need_share"))}&" % of the storage needed; packs can follow",'
    f'IF(MAX({{told.within}})=0,"Nothing listed is known to be within it","Within it, nearest is "&{_NAMED_WITHIN}'
    f'&": "&{_within("told.phrase")})))'
)
DECISION = Table(
    "decision",
    "The decision",
    "decision",
    (
        Column("listed", "Candidates listed", "number", formula='=SUMPRODUCT(({fit.name}<>"")*1)'),
        Column("fitting", "of them fit", "number", formula="=SUM({fit.fits})"),
        Column("pick_number", "Number of the pick", "number", formula="=IF({fitting}=0,0,MATCH(1,{fit.rank},0))"),
        Column(
            "nearest_number",
            "Number of the nearest that does not fit",
            "number",
            formula="=IF(MAX({told.near_key})<0,0,MATCH(MAX({told.near_key}),{told.near_key},0))",
        ),
        Column(
            "told_number",
            "Number of the one told of",
            "number",
            formula="=IF({pick_number}>0,{pick_number},MAX(1,{nearest_number}))",
            note="The pick, else the nearest, else the first.",
        ),
        Column("pick", "Pick", formula=f'=IF({{pick_number}}=0,"none",{of_pick("fit.name")})'),
        Column("pick_packs", "Its packs", "number", formula=f"=IF({{pick_number}}=0,0,{of_pick('fit.packs')})"),
        Column(
            "chosen_by",
            "Why it is the pick",
            path="/answer.chosen_by",
            formula=f'=IF({{fitting}}=0,"",IF({{fitting}}=1,IF({of_pick("promise.margin_held")}=0,"{THIN}",IF({_MAY},"the only one that may fit",'
            f'"the only one that fits")),"first of "&{{fitting}}&" that "&IF({_MAY},"may ","")&"fit"'
            f'&IF({_PUT_BACK}="",", ",": by "&MID({_PUT_BACK},6,99)&", then ")&{_RANKED_BY}))',
        ),
        Column(
            "open",
            "What its data sheet leaves open",
            path="/answer.open",
            formula=f'=IF(OR({{pick_number}}=0,{_ALL_ASKED}=""),"",IF({_MAY}," Whether it fits is open: ask first for "'
            f'&IF(LEN({_ALL_ASKED})>{LONG_FIELD},"{SEVERAL}",IF(LEFT({_ALL_ASKED},4)="its ","","its ")&{_ALL_ASKED})&".",'
            f'"{OPEN}"))',
        ),
        Column(
            "stages_paid",
            "Stages of the pick within the budget",
            "number",
            # half a millionth stands for a rounding of both
            formula='=IF(OR({pick_number}=0,{money.budget}=""),0,COUNTIF({stages.total},"<="&({money.budget}+0.0000005)))',
        ),
        Column(
            "over_budget",
            "Above the budget, and what it buys",
            formula=f'=IF(ISTEXT({_OVER}),"",IF(ROUND({_OVER},6)>=0,""," Its price is "&{{about.currency}}&" "&{thousands("-" + _OVER)}'
            f'&" above the budget of "&{{about.currency}}&" "&{thousands("{money.budget}")}&". "&{_BOUGHT}&"."))',
        ),
        Column(
            "through",
            "Words for the whole outage",
            path="/answer.through",
            formula='=IF({about.purpose}="trip","through the whole trip",IF({plan.days}=1,"through the whole day",'
            'IF({plan.days}=2,"through both days","through all "&{plan.days}&" days"))&IF({about.purpose}="day away"," away",""))',
        ),
        Column(
            "stretch",
            "What is planned",
            path="/answer.stretch",
            formula='=IF({about.purpose}="outage","an outage of ",IF({about.purpose}="trip","a trip of ",""))'
            '&IF({plan.days}=1,"a day",{plan.days}&" days")'
            '&IF({about.purpose}="day away"," away from the outlet",IF({about.purpose}="off grid"," off the grid",""))',
        ),
    ),
    kind="across",
)


def _part(tier: str, title: str) -> Column:
    """What becomes of a tier on a candidate, without its name."""
    until, off, asked = (f"{{served.{tier}_{name}[same]}}" for name in ("until_h", "off_h", "asked_h"))
    lost = f'"off or short "&{whole(off)}&" of their "&{whole(asked)}&" h"'
    return Column(
        tier,
        title,
        formula=f'=IF(OR({{fit.name[same]}}="",ROUND({{served.{tier}_asked_wh[same]}},6)<=0),"",'
        f'IF({until}="",{{decision.through}},IF({until}<=0,{lost}&", from the start on","until "&{clock_words(until)}&", "&{lost})))',
        role="words",
    )


def _opening(names: str, part: str) -> str:
    """The first tiers told; on an output that falls short nothing runs, and what storage would carry is told."""
    verb = f'IF(LEFT({part},3)="off","are ","run ")'
    but = f'{BUT_LEFT_OUT}&" "' if names == "all" else '" "'
    return f'IF({_WEAK},"{names}","{names.capitalize()}")&" loads"&{but}&IF({_WEAK},"",{verb})&{part}'


BUT_LEFT_OUT: Final = (
    'IF({outage.leave_out}="","",IF(SUMPRODUCT(({load.name}={outage.leave_out})*1)>0," but "&{outage.leave_out},""))'
)
"""What stands behind "all loads" where one of them is left out."""
_WEAK = '{fit.output[same]}="UNDER"'
_FIRST = 'IF({critical}<>"",{critical},IF({essential}<>"",{essential},{convenience}))'
_WORDS = (
    '=IF(AND({critical}="",{essential}="",{convenience}=""),"",'
    f'IF({_WEAK},"Output falls short; storage alone would carry: ","")'
    f'&IF(AND(OR({_FIRST}={{decision.through}},({{critical}}<>"")+({{essential}}<>"")+({{convenience}}<>"")>1),'
    f'OR({{critical}}="",{{critical}}={_FIRST}),OR({{essential}}="",{{essential}}={_FIRST}),'
    f'OR({{convenience}}="",{{convenience}}={_FIRST})),{_opening("all", _FIRST)},'
    f'IF({{critical}}="",IF({{essential}}="",{_opening("convenience", "{convenience}")},'
    f"{_opening('essential', '{essential}')}),IF({{critical}}={{essential}},"
    f"{_opening('critical and essential', '{critical}')},{_opening('critical', '{critical}')}))"
    '&IF(OR({critical}="",{essential}="",{critical}={essential}),"",IF({essential}={convenience},'
    '"; essential and convenience ones ","; essential ones ")&{essential})'
    '&IF(OR({convenience}="",{essential}={convenience},{critical}&{essential}=""),"","; convenience ones "&{convenience}))&".")'
)
_PHRASE = (
    '=IF({fit.name[same]}="","",MID(IF({fit.fits[same]}=0,"; "&IF(ISERROR(FIND("; ",{fit.reason[same]})),{fit.reason[same]},'
    'LEFT({fit.reason[same]},FIND("; ",{fit.reason[same]})-1)&"'
    f'{AND_MORE}"),'
    'IF({number}={decision.pick_number},"; "&{decision.chosen_by},"")'
    '&IF({more_words}="","","; "&{more_words})'
    f'&IF(LEN({{fit.ask[same]}})>{LONG_ASK},"",IF({{heavier_words}}="","","; "&{{heavier_words}})'
    '&IF({longer_words}="","","; "&{longer_words}))&IF({fit.ask[same]}="","","; "&{fit.ask[same]}))'
    f'&IF(AND({{vehicle.distance}}>0,{{fit.fits[same]}}=1),"; range "&{{trip.range_own_held[same]}}&{OWN},""),3,999))'
)


_WEIGHT = 'IF({about.units}="US"," lb"," kg")'


def _against(name: str, title: str, figure: str, said: tuple[str, str], by: str = "") -> Column:
    """How much more or less than the pick, in whole figures and words; `by` turns it into the unit of the client."""
    own, pick = f"{{{figure}[same]}}", of_pick(figure)
    more = f"({own}-{pick}){by}"
    return Column(
        name,
        title,
        formula=f'=IF(OR({{fit.fits[same]}}=0,{{decision.pick_number}}=0,ISTEXT({own}),ISTEXT({pick})),"",'
        f'IF({whole(more)}=0,"",{thousands(f"ABS({more})")}&IF({own}>{pick},{said[0]},{said[1]})))',
        role="words",
    )


def _longer() -> str:
    """How much longer or shorter than on the pick a tier runs. Critical loads run throughout with whatever fits."""
    parts = []
    for tier in ("essential", "convenience"):
        own = f"{{served.{tier}_off_h[same]}}"
        off = f"({own}-{of_pick(f'served.{tier}_off_h')})"
        parts.append(f'IF({off}=0,"",", {tier} loads "&ABS({off})&" h "&IF({off}<0,"longer","shorter"))')
    return f'=IF(OR({{fit.fits[same]}}=0,{{decision.pick_number}}=0),"",MID({"&".join(parts)},3,999))'


_OVER_W = "{promise.source_trips_w[same]}"
_LOADS_W = f"({_OVER_W}-{{supply.lowest_charge_w[same]}})"
# Where loads alone are too much for a source, no setting of the charger cures it: they must be off beside it.
_TRIPS = (
    f'=IF({{fit.name[same]}}="","",IF(ROUND({_OVER_W},6)<=0,"",IF({{outage.mains_hours}}<=0,"the generator",'
    f'IF({{outage.generator_hours}}>0,"a source","the outlet"))&" trips unless "&IF(ROUND({_LOADS_W},6)>0,'
    f'{thousands(_LOADS_W)}&" W of loads are off beside it","charging is set "&{thousands(_OVER_W)}&" W lower")))'
)

TOLD = Table(
    "told",
    "What is told of each candidate",
    "answer.told",
    (
        Column("number", "Number", "number"),
        Column(
            "named",
            "Candidate",
            formula=f'=IF({{fit.name[same]}}="","",{with_packs("{fit.name[same]}", "{fit.packs[same]}")})',
        ),
        _part("critical", "Critical loads"),
        _part("essential", "Essential loads"),
        _part("convenience", "Convenience loads"),
        Column("words", "In a sentence", formula=_WORDS, role="words"),
        Column("trips", "To keep a source from tripping", formula=_TRIPS, role="words"),
        _against("more_words", "Dearer than the pick", "fit.total", ('" more"', '" less"')),
        _against(
            "heavier_words",
            "Heavier than the pick",
            "fit.weight_kg",
            (f'{_WEIGHT}&" heavier"', f'{_WEIGHT}&" lighter"'),
            f'/IF({{about.units}}="US",{POUND_KG},1)',
        ),
        Column("longer_words", "Loads longer or shorter than on the pick", formula=_longer(), role="words"),
        Column("phrase", "Why it stands there", formula=_PHRASE, role="words"),
        Column(
            "near_key",
            "How near it comes, -1 where it fits",
            "factor",
            formula='=IF(OR({fit.name[same]}="",{fit.fits[same]}=1),-1,ROUND({fit.least_ratio[same]},9))',
        ),
        Column(
            "order",
            "Place on the first page",
            "number",
            formula='=IF({fit.name[same]}="",0,IF({fit.fits[same]}=1,{fit.rank[same]},{decision.fitting}'
            "+SUMPRODUCT(({told.near_key}>{near_key})*1)"
            "+SUMPRODUCT(({told.near_key}={near_key})*({told.number}<{number}))+1))",
        ),
        Column(
            "within",
            "Within the budget, best highest",
            "number",
            formula="=IF(ISTEXT({check.budget_margin[same]}),0,IF(ROUND({check.budget_margin[same]},6)>=0,"
            f"{LAST_PLACE}-{{order}},0))",
        ),
    ),
    kind="across",
    widths={"title": 34, "unit": 8, "record": 24},
)

ORDER = Table(
    "order",
    "The candidates on the first page",
    "answer.places",
    (
        Column("place", "Place", "number", width=34),
        Column(
            "number",
            "Number of the candidate",
            "number",
            formula="=IF({place}>{decision.listed},0,MATCH({place},{told.order},0))",
        ),
    ),
    note="0 where none is left.",
)

DECIDED = (DECISION, TOLD, ORDER)
"""The pick, the nearest, and what is told of each candidate."""
