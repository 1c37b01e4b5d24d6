"""The page that the client reads first."""

from dataclasses import replace

from holdover.workbook.grid import Column, Table, group
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE
from holdover.workbook.sheets.comparison import NEED_CHART

_HEADLINE = (
    '=IF({listed}=0,"No candidate is listed yet.",IF({pick_number}=0,IF({listed}=1,'
    '"The only candidate does not fit. Lower the loads, or look at a larger unit.","None of the "&{listed}&'
    '" candidates fits. Lower the loads, or look at larger units."),{pick}&IF({pick_packs}>0," with "&{pick_packs}&" expansion pack"'
    '&IF({pick_packs}=1,"","s"),"")&" fits and ranks first of "&{fitting}&" that fit, by "&{choice.rank_by}&"."'
    '&IF(INDEX({fit.lasts_verdict},1,MAX(1,{pick_number}))="LOOK"," In the outage it lasts "'
    '&ROUNDDOWN(ROUND({pick_endurance_h},6),0)&" of "&ROUND(ROUND({planned_h},6),0)&" h.","")))'
)
_FOR = (
    "={about.title}"
    + "".join(f'&IF({{about.{name}}}="","","; "&{{about.{name}}})' for name in ("client", "place", "date"))
    + '&IF({about.prepared_by}="","","; prepared by "&{about.prepared_by})'
)
_WHY = (
    '=IF({demand.lines}=0,"No load is listed yet.",ROUND(ROUND({demand.energy_wh},6),0)&" Wh a day, "'
    '&ROUND(ROUND({demand.peak_running_w},6),0)&" W running and "&ROUND(ROUND({demand.peak_starting_w},6),0)&" W starting at the peak.")'
    '&IF({demand.incomplete}=0,""," "&ROUND({demand.incomplete},0)&IF({demand.incomplete}=1," line lacks"," lines lack")'
    '&" watts or hours.")&IF({vehicle.distance}>0," The drive takes "&ROUND(ROUND({drive.needed_outlet_wh},6),0)'
    '&" Wh at its charger, from full storage, loads apart.","")'
)


def _of_pick(name: str, title: str, unit: str, source: str, role: str = "") -> Column:
    return Column(
        f"pick_{name}",
        title,
        unit,
        formula=f'=IF({{pick_number}}=0,"none",INDEX({{{source}}},1,MAX(1,{{pick_number}})))',
        role=role,
    )


DECISION = Table(
    "decision",
    "The decision",
    "decision",
    (
        Column("headline", "Advice", role="banner", formula=_HEADLINE),
        Column("made_for", "For", role="line", formula=_FOR),
        Column("why", "What it must carry", role="line", formula=_WHY),
        Column(
            "pick_remarks",
            "Worth a look",
            formula=(
                '=IF({pick_number}=0,"none",IF(INDEX({fit.remarks},1,MAX(1,{pick_number}))="","nothing",'
                "INDEX({fit.remarks},1,MAX(1,{pick_number}))))"
            ),
            role="line",
        ),
        Column("listed", "Candidates listed", "number", formula='=SUMPRODUCT(({fit.name}<>"")*1)'),
        Column("fitting", "of them fit", "number", formula="=SUM({fit.fits})"),
        Column("planned_h", "The outage is planned for", "h", formula="=24*{outage.days}"),
        Column(
            "pick_number",
            "Column of the pick",
            "number",
            formula="=IF({fitting}=0,0,MATCH(1,{fit.rank},0))",
            note="Counted on the Candidates sheet; 0 = none fits.",
        ),
        *group(
            "The pick",
            Column(
                "pick",
                "Candidate",
                formula='=IF({pick_number}=0,"none",INDEX({fit.name},1,MAX(1,{pick_number})))',
                role="total",
            ),
            Column(
                "pick_packs",
                "Expansion packs",
                "number",
                formula="=IF({pick_number}=0,0,INDEX({fit.packs},1,MAX(1,{pick_number})))",
            ),
            _of_pick("usable_wh", "Usable storage", "Wh", "fit.usable_wh"),
            _of_pick("days", "Days at the mean draw, no sun", "days", "fit.days"),
            _of_pick("endurance_h", "Lasts in the planned outage", "h", "endurance.endurance_h", "total"),
            _of_pick("weight_kg", "Weight with packs", "kg", "fit.weight_kg"),
            _of_pick("total", "Price with packs", "money", "fit.total", "total"),
        ),
    ),
    kind="across",
)

FIELD = Table(
    "field",
    "The candidates",
    "offers",
    (
        replace(CANDIDATE, formula="={fit.name[same]}", role="", width=31),
        Column("verdict", "Verdict", path="fit.verdict", formula="={fit.verdict[same]}", role="verdict", width=12),
        Column("rank", "Rank", "number", path="rank.rank", formula="={fit.rank[same]}", role="total", width=14),
        Column("packs", "Packs", "number", path="held.packs", formula="={fit.packs[same]}", width=8),
        Column("usable_wh", "Usable storage", "Wh", path="held.usable_wh", formula="={fit.usable_wh[same]}", width=11),
        Column("days", "Days at the mean draw", "days", path="held.days", formula="={fit.days[same]}", width=11),
        Column(
            "endurance_h",
            "Lasts in the outage",
            "h",
            path="outage.endurance_h",
            formula="={endurance.endurance_h[same]}",
            note="Sun, generator and shedding counted; the whole outage where it never runs short.",
            width=11,
        ),
        Column(
            "weight_kg", "Weight with packs", "kg", path="fit.weight_kg", formula="={fit.weight_kg[same]}", width=11
        ),
        Column(
            "total",
            "Price with packs",
            "money",
            path="cost.total",
            formula="={fit.total[same]}",
            role="total",
            width=12,
        ),
        Column("reason", "Reason", path="fit.reason", formula="={fit.reason[same]}", role="words", width=56),
        Column("remarks", "Worth a look", path="remarks", formula="={fit.remarks[same]}", role="words", width=46),
    ),
)

SUMMARY_SHEET = Sheet(
    "Summary",
    "What to buy, and why. Every number is a formula: change a yellow cell on any sheet and this page follows.",
    (
        DECISION,
        replace(NEED_CHART, rows=12, beside="listed"),
        FIELD,
        Words(
            (
                "Never connect a unit or generator to a building's wiring without a transfer switch or interlock "
                "installed by a licensed electrician. Medical loads are planned with the device's maker and the "
                "clinician. The Cautions sheet has the rest.",
            ),
            look="caution",
        ),
        Words(
            (
                "How to read this workbook: yellow cells with blue figures go in (Load, Candidates, Assumptions, Solar "
                "recharge, Outage, Vehicle); everything else is computed from them. OK, SHORT and LOOK say what a check "
                "found; the numbers stand beside the word. The Vehicle sheet is hidden where no drive or delivery is planned: "
                "unhide it to plan one.",
            )
        ),
    ),
)
