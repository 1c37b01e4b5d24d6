"""The working sheet behind the comparison: margins, the order of those that fit, and how a miss is measured."""

from typing import Final

from holdover.case.schema import Weights
from holdover.model.verdict.rank import UNSTATED
from holdover.workbook.column import Column, Table, asked, group
from holdover.workbook.sheets.candidates import CANDIDATE, STORAGE
from holdover.workbook.sheets.comparison.checks import CHECK_COLUMNS
from holdover.workbook.sheets.comparison.money import COST
from holdover.workbook.sheets.comparison.reasons import ASK, ASKED_FOR, REASON, REMARKS_TOLD, SHORT_OUTAGE, SHORT_OUTPUT
from holdover.workbook.sheets.comparison.verdicts import FIELD, MEND

SETTING: Final = {"set": 3, "usual": 3, "used": 3, "note": 10}
"""Columns that the parts of a setting take under the candidates."""

FIT = Table(
    "fit",
    "Each candidate in short",
    "offers",
    (
        CANDIDATE,
        Column("number", "Column", "number"),
        Column("rank", "Rank", "number", path="rank.rank", formula="={rank.rank[same]}", role="total"),
        Column("packs", "Packs", "number", path="held.packs", formula="={storage.packs[same]}"),
        Column("total", "Price with packs", "money", path="cost.total", formula="={cost.total[same]}"),
        Column(
            "weight_kg",
            "Weight with packs",
            "kg",
            path="fit.weight_kg",
            formula='=IF(OR({candidates.weight_kg[same]}="",AND({packs}>0,{candidates.pack_weight_kg[same]}="")),'
            '"not stated",{candidates.weight_kg[same]}+{packs}*N({candidates.pack_weight_kg[same]}))',
        ),
        Column(
            "heaviest_kg",
            "Heaviest piece",
            "kg",
            path="fit.heaviest_kg",
            formula="=MAX(N({candidates.weight_kg[same]}),IF({packs}>0,N({candidates.pack_weight_kg[same]}),0))",
        ),
        Column("output", "Output", path="fit.output", formula='={word.output[same]}&""'),
        Column("outage", "Runtime", path="fit.outage", formula='={word.outage[same]}&""'),
        Column("handling", "Handling", path="fit.handling", formula='={word.handling[same]}&""'),
        Column("lift_verdict", "Lift", path="fit.lift.verdict", formula='={word.lift[same]}&""'),
        Column(
            "fits",
            "Fits (1 = yes)",
            "number",
            path="fit.fits",
            formula='=IF(AND({name}<>"",{word.unders[same]}=0,{candidates.storage_wh[same]}<>"",'
            'OR({promise.word[same]}<>"UNDER",AND({sizing.basis}="days without recharging",{promise.broken_tier[same]}<>"critical"))),1,0)',
            note="0 too where a figure is not stated without which nobody knows how long loads run.",
        ),
        Column(
            "verdict",
            "Verdict",
            path="fit.verdict",
            formula='=IF({name}="","",IF({word.unders[same]}>0,"falls short",IF({fits}=1,"fits","CHECK")))',
        ),
        Column(
            "least_ratio",
            "Least there of what is asked",
            "share",
            path="fit.least_ratio",
            formula="={check.least_ratio[same]}",
        ),
        Column("reason", "Falls short", path="reason", formula=REASON),
        Column("ask", "To ask", path="ask", formula=ASK),
        Column("remarks", "Worth a look", path="remarks", formula=REMARKS_TOLD),
    ),
    kind="across",
    widths={"title": 32, "unit": 8, "record": 14},
)

CHECK = Table(
    "check",
    "Margins and ratios",
    "offers",
    (
        CANDIDATE,
        *CHECK_COLUMNS,
        *group(
            "Parts of sentences",
            Column("short_output", "Output falls short", path="short.output", formula=SHORT_OUTPUT),
            Column("short_outage", "Runtime falls short", path="short.outage", formula=SHORT_OUTAGE),
            Column("asked", "To ask", path="asked", formula=ASKED_FOR),
        ),
    ),
    kind="across",
    widths={"title": 32, "unit": 8, "record": 14},
)

_CRITERIA = (
    ("price", "Price with packs", "money", "{cost.total[same]}", "lower"),
    ("life_cost", "Per kWh over its life", "money", "{cost.per_life_kwh[same]}", "lower"),
    ("usable", "Usable storage", "Wh", "{storage.usable_wh[same]}", "higher"),
    ("weight", "Weight with packs", "kg", "{fit.weight_kg[same]}", "lower"),
    ("noise", "Noise", "dB(A)", "{there.noise[same]}", "lower"),
)


def _field(key: str, title: str, unit: str, figure: str) -> Column:
    return Column(
        f"field_{key}",
        title,
        unit,
        path=f"rank.field_{key}",
        formula=f'=IF({{fit.fits[same]}}=1,IF(ISTEXT({figure}),"",{figure}),"")',
    )


def _score(key: str, title: str, better: str) -> Column:
    mine, all_of = f"{{field_{key}}}", f"{{rank.field_{key}}}"
    gap = f"(MAX({all_of})-{mine})" if better == "lower" else f"({mine}-MIN({all_of}))"
    return Column(
        f"score_{key}",
        title,
        "share",
        path=f"rank.score_{key}",
        formula=f"=IF(ISTEXT({mine}),0,IF(MAX({all_of})=MIN({all_of}),1,{gap}/(MAX({all_of})-MIN({all_of}))))",
    )


_WEIGHED = "+".join(f"{{weights.{key}}}*{{score_{key}}}" for key, *_ in _CRITERIA)
_ALL_WEIGHTS = f"SUM({','.join(f'{{weights.{key}}}' for key, *_ in _CRITERIA)})"
_LAST = f"{UNSTATED:.0f}"


def _figure(figure: str) -> str:
    price = "{cost.total[same]}"
    return f"IF(ISTEXT({figure}),{_LAST}+IF(ISTEXT({price}),{_LAST},{price}),ROUND({figure},9))"


_KEY = (
    f'=IF({{choice.rank_by}}="weight",{_figure("{fit.weight_kg[same]}")},'
    f'IF({{choice.rank_by}}="price per usable kWh",{_figure("{cost.per_usable_kwh[same]}")},'
    f'IF({{choice.rank_by}}="price per kWh over life",{_figure("{cost.per_life_kwh[same]}")},'
    f'IF({{choice.rank_by}}="weighted score",ROUND(1-{{weighed}},9),{_figure("{cost.total[same]}")}))))'
)


def _place(key: str) -> str:
    """Place among those that fit by a figure, the lowest first."""
    before = (
        f"({{rank.behind}}<{{behind}})+({{rank.behind}}={{behind}})*({{rank.{key}}}<{{{key}}})"
        f"+({{rank.behind}}={{behind}})*({{rank.{key}}}={{{key}}})*({{rank.number}}<{{number}})"
    )
    return f'=IF({{fit.fits[same]}}=1,1+SUMPRODUCT(({{fit.fits}}=1)*({before})),"")'


RANK = Table(
    "rank",
    "The order of those that fit",
    "offers",
    (
        CANDIDATE,
        Column("number", "Column", "number"),
        Column(
            "behind",
            "Ranks behind",
            "number",
            path="rank.behind",
            formula="={fit.fits[same]}*IF({word.asks[same]}>0,1,0)*(2-{promise.margin_held[same]})",
            note="0 = every check holds, 1 = a check is open, 2 = and the promise is kept without its margin.",
        ),
        Column(
            "key",
            "Figure it is ranked by",
            path="rank.key",
            formula=_KEY,
            role="quiet",
            note="The lowest comes first. Where the figure is not stated the price counts, with 1,000,000,000,000 more, so that it comes last.",
        ),
        Column(
            "rank",
            "Rank",
            "number",
            path="rank.rank",
            formula=_place("key"),
            role="total",
            note="Ties keep the order of the columns.",
        ),
        Column(
            "handed_key",
            "Figure it was ranked by as handed over",
            path="rank.handed_key",
            role="quiet",
            kept=True,
            note="So that a change of prices does not change on whom what-ifs are tried.",
        ),
        Column("handed_rank", "Rank by that", "number", path="rank.handed_rank", formula=_place("handed_key")),
        *group("Figures of those that fit", *(_field(*row[:4]) for row in _CRITERIA)),
        *group(
            "Scores: 100 % = best of those that fit, 0 % = worst",
            *(_score(key, title, better) for key, title, _, _, better in _CRITERIA),
        ),
        *group(
            "Weighted score",
            Column(
                "weighed",
                "Weighted score, all columns",
                "share",
                path="rank.weighed",
                formula=f"=IF({_ALL_WEIGHTS}=0,0,({_WEIGHED})/{_ALL_WEIGHTS})",
            ),
            Column(
                "score",
                "Weighted score",
                "share",
                path="rank.score",
                formula='=IF({fit.fits[same]}=1,{weighed},"")',
                role="total",
            ),
        ),
    ),
    kind="across",
)

WEIGHTS = Table("weights", "Weights of the weighted score", "case.weights", asked(Weights), kind="form", cells=SETTING)

RANKING = (FIELD, MEND, FIT, STORAGE, COST, RANK, CHECK)
"""Storage from label to usable, prices, margins behind the words of the comparison, and the order."""
