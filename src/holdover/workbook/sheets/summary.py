"""The page that the client reads first."""

from holdover.workbook.grid import Column, Table
from holdover.workbook.page import Sheet, Words

DECISION = Table(
    "decision",
    "The decision",
    "decision",
    (
        Column(
            "headline",
            "Advice",
            role="big",
            formula=(
                '=IF({listed}=0,"No candidate is listed yet.",IF({pick_number}=0,"None of the "&{listed}&'
                '" candidates fits. Lower the loads, or look at larger units.",{pick}&IF(INDEX({fit.packs},1,{pick_number})>0,'
                '" with "&INDEX({fit.packs},1,{pick_number})&" expansion packs","")&" fits and ranks first of "&{fitting}&" that fit."))'
            ),
        ),
        Column(
            "why",
            "What it must carry",
            formula=(
                '=IF({demand.lines}=0,"No load is listed yet.",ROUND({demand.energy_wh},0)&" Wh a day, "&ROUND({demand.peak_running_w},0)'
                '&" W running and "&ROUND({demand.peak_starting_w},0)&" W starting at the peak.")'
            ),
        ),
        Column("pick", "Pick", formula='=IF({pick_number}=0,"none",INDEX({fit.name},1,{pick_number}))', role="total"),
        Column("listed", "Candidates listed", "number", formula='=SUMPRODUCT(({fit.name}<>"")*1)'),
        Column("fitting", "of them fit", "number", formula="=SUM({fit.fits})"),
        Column(
            "pick_number",
            "Column of the pick",
            "number",
            formula="=IF({fitting}=0,0,MATCH(1,{fit.rank},0))",
            note="0 = none fits.",
        ),
    ),
    kind="across",
)

FIELD = Table(
    "field",
    "The candidates",
    "offers",
    (
        Column("name", "Candidate", formula="={fit.name[same]}"),
        Column("verdict", "Verdict", path="fit.verdict", formula="={fit.verdict[same]}", role="verdict"),
        Column("rank", "Rank", "number", path="rank.rank", formula="={fit.rank[same]}", role="total"),
        Column("packs", "Packs", "number", path="held.packs", formula="={fit.packs[same]}"),
        Column("usable_wh", "Usable storage", "Wh", path="held.usable_wh", formula="={fit.usable_wh[same]}"),
        Column("days", "Days at the mean draw", "days", path="held.days", formula="={fit.days[same]}"),
        Column(
            "endurance_h",
            "Lasts in the outage",
            "h",
            path="outage.endurance_h",
            formula="={endurance.endurance_h[same]}",
        ),
        Column("weight_kg", "Weight with packs", "kg", path="fit.weight_kg", formula="={fit.weight_kg[same]}"),
        Column("total", "Price with packs", "money", path="cost.total", formula="={fit.total[same]}"),
        Column("reason", "Reason", path="fit.reason", formula="={fit.reason[same]}", role="words"),
    ),
)

SUMMARY_SHEET = Sheet(
    "Summary",
    "What to buy, and why. Every number is a formula; change a yellow cell on any sheet and this page follows.",
    (
        DECISION,
        FIELD,
        Words(
            (
                "How to read this workbook: yellow cells with blue figures go in (Load, Candidates, Assumptions, Solar "
                "recharge, Outage, Vehicle); everything else is computed from them. OK, SHORT and LOOK say what a check "
                "found; the numbers stand beside the word.",
            )
        ),
        Words(
            (
                "never connect a unit or generator to a building's wiring without a transfer switch or interlock "
                "installed by a licensed electrician. Medical loads are planned with the device's maker and the "
                "clinician. The Cautions sheet has the rest.",
            ),
            look="caution",
        ),
    ),
    widths=(26, 13, 12, 12, 12, 12, 12, 12, 13, 70),
)
