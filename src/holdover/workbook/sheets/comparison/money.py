"""What a candidate costs, per kWh as it is used, and bought in stages."""

from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.candidates import CANDIDATE
from holdover.workbook.sheets.comparison.checks import stated

_USE = "+".join(f"{{served.{tier}_served_wh[same]}}" for tier in ("critical", "essential", "convenience"))


def _told(formula: str) -> str:
    return f"=IF(ISTEXT({{total}}),{{total}},{formula})"


COST = Table(
    "cost",
    "Price",
    "offers",
    (
        CANDIDATE,
        Column("unit_price", "Candidate", "money", path="cost.unit_price", formula=stated("price")),
        Column(
            "packs_price",
            "Packs",
            "money",
            path="cost.packs_price",
            formula='=IF(AND({storage.packs[same]}>0,{candidates.pack_price[same]}=""),"not stated",'
            "{storage.packs[same]}*N({candidates.pack_price[same]}))",
        ),
        Column(
            "discount",
            "Discount",
            "money",
            path="cost.discount",
            formula=_told("-({unit_price}+{packs_price})*{money.discount_share}"),
        ),
        Column("accessories", "Accessories", "money", path="cost.accessories", formula="={money.accessories_price}+0"),
        Column("labour", "Labour", "money", path="cost.labour", formula="={money.labour_price}+0"),
        Column(
            "tax",
            "Tax",
            "money",
            path="cost.tax",
            formula=_told("({unit_price}+{packs_price}+{discount}+{accessories}+{labour})*{money.tax_share}"),
        ),
        Column(
            "total",
            "Price with packs",
            "money",
            path="cost.total",
            formula='=IF(OR(ISTEXT({unit_price}),ISTEXT({packs_price})),"not stated",'
            "(({unit_price}+{packs_price})*(1-{money.discount_share})+{accessories}+{labour})*(1+{money.tax_share}))",
            role="total",
        ),
        Column(
            "per_usable_kwh",
            "Per usable kWh",
            "money",
            path="cost.per_usable_kwh",
            formula=_told('IF({storage.usable_wh[same]}>0,{total}/({storage.usable_wh[same]}/1000),"no storage")'),
        ),
        *group(
            "Over its life",
            Column(
                "cycles_kwh",
                "What its cycles give",
                "kWh",
                path="cost.cycles_kwh",
                formula="={storage.cycles[same]}*{storage.nameplate_wh[same]}*{storage.usable_share[same]}*0.9/1000",
                note="Cycles x usable storage when new x 0.9, the mean of new and 80 %.",
            ),
            Column(
                "uses_kwh",
                "What is asked of it",
                "kWh",
                path="cost.uses_kwh",
                formula=f"={{money.uses_per_year}}*{{money.years}}*({_USE})/1000",
                note="Uses a year x years x what the days planned take. Standby never spends all cycles.",
            ),
            Column(
                "life_kwh", "The smaller of both", "kWh", path="cost.life_kwh", formula="=MIN({cycles_kwh},{uses_kwh})"
            ),
            Column(
                "per_life_kwh",
                "Per kWh over its life",
                "money",
                path="cost.per_life_kwh",
                formula=_told('IF({life_kwh}>0,{total}/{life_kwh},"no use")'),
                role="total",
            ),
        ),
    ),
    kind="across",
    widths={"record": 14},
)

_PICK = "{decision.told_number}"


def _of_pick(name: str) -> str:
    return f"INDEX({{{name}}},1,{_PICK})"


_BEYOND = f"OR({{decision.pick_number}}=0,{{packs}}>{_of_pick('storage.packs')})"
_NEED = _of_pick("check.promise_needed")
_UNIT, _PACK = _of_pick("candidates.price"), _of_pick("candidates.pack_price")

STAGES = Table(
    "stages",
    "The advised one in stages: the unit now, packs later",
    "compared.stages",
    (
        Column("packs", "Packs", "number"),
        Column(
            "usable_wh",
            "Usable storage",
            "Wh",
            formula=f'=IF({_BEYOND},"",(N({_of_pick("candidates.storage_wh")})+{{packs}}*N({_of_pick("candidates.pack_wh")}))'
            f"*{_of_pick('storage.usable_share')}*{{capacity.kept_share}}*(1-{{sizing.reserve}}))",
        ),
        Column(
            "need_share",
            "of what the promise needs",
            "share",
            cells=2,
            formula=f'=IF(ISTEXT({{usable_wh}}),"",IF(ISTEXT({_NEED}),{_NEED},IF({_NEED}>0,{{usable_wh}}/{_NEED},1)))',
        ),
        Column(
            "word",
            "Promise, with margin",
            formula=f'=IF(ISTEXT({{usable_wh}}),"",IF(ISTEXT({_NEED}),"UNDER",IF(ROUND({{usable_wh}}-{_NEED},6)>=0,"OK","UNDER")))',
            role="verdict",
            cells=2,
        ),
        Column(
            "added",
            "This stage",
            "money",
            cells=2,
            first='=IF(ISTEXT({usable_wh}),"",{total})',
            formula='=IF(ISTEXT({usable_wh}),"",IF(OR(ISTEXT({total}),ISTEXT({total[-1]})),"not stated",{total}-{total[-1]}))',
        ),
        Column(
            "total",
            "Paid by then",
            "money",
            cells=2,
            formula=f'=IF(ISTEXT({{usable_wh}}),"",IF(OR({_UNIT}="",AND({{packs}}>0,{_PACK}="")),"not stated",'
            f"(({_UNIT}+{{packs}}*N({_PACK}))*(1-{{money.discount_share}})+{{money.accessories_price}}"
            "+{money.labour_price})*(1+{money.tax_share})))",
        ),
    ),
)
