"""Everything the sizing assumes, each with its unit, its usual value and where that comes from."""

from holdover.case.schema import About, Assumed, Money, Point, Sizing
from holdover.workbook.column import Column, Table, asked
from holdover.workbook.page import Sheet, Words

ABOUT = Table("about", "Who it is for", "case.about", asked(About), kind="form")
SIZING = Table(
    "sizing",
    "Sizing",
    "case.sizing",
    asked(Sizing),
    kind="form",
    widths={"title": 32, "set": 19, "usual": 16, "used": 19, "unit": 8, "note": 84},
)
ASSUMED = Table("assumed", "Where a data sheet is silent", "case.assumed", asked(Assumed), kind="form")
MONEY = Table(
    "money",
    "Money",
    "case.money",
    asked(
        Money, "accessories_price", "labour_price", "discount_share", "tax_share", "budget", "uses_per_year", "years"
    ),
    kind="form",
)

POINTS = Table(
    "points",
    "Capacity against temperature",
    "points",
    (
        *asked(Point, prefix="given."),
        Column(
            "below_c",
            "At or below",
            "°C",
            formula='=IF(OR({temperature_c}="",{capacity_share}=""),"",IF({temperature_c}<={sizing.storage_c},{temperature_c},""))',
            role="quiet",
        ),
        Column(
            "above_c",
            "At or above",
            "°C",
            formula='=IF(OR({temperature_c}="",{capacity_share}=""),"",IF({temperature_c}>={sizing.storage_c},{temperature_c},""))',
            role="quiet",
        ),
    ),
    note="Straight lines between the points. Take the maker's figures where there are some.",
)

CAPACITY = Table(
    "capacity",
    "Share of nameplate that is there",
    "capacity",
    (
        Column(
            "lower_c",
            "Nearest point at or below",
            "°C",
            formula='=IF(COUNT({points.below_c})=0,"none",MAX({points.below_c}))',
        ),
        Column(
            "upper_c",
            "Nearest point at or above",
            "°C",
            formula='=IF(COUNT({points.above_c})=0,"none",MIN({points.above_c}))',
        ),
        Column(
            "lower_share",
            "Share there",
            "share",
            formula="=IF(ISTEXT({lower_c}),0,INDEX({points.capacity_share},MATCH({lower_c},{points.below_c},0)))",
        ),
        Column(
            "upper_share",
            "Share there",
            "share",
            formula="=IF(ISTEXT({upper_c}),0,INDEX({points.capacity_share},MATCH({upper_c},{points.above_c},0)))",
        ),
        Column(
            "temperature_share",
            "Share at the storage temperature",
            "share",
            formula="=IF(AND(ISTEXT({lower_c}),ISTEXT({upper_c})),1,IF(ISTEXT({lower_c}),{upper_share},"
            "IF(ISTEXT({upper_c}),{lower_share},IF({upper_c}={lower_c},{lower_share},{lower_share}"
            "+({upper_share}-{lower_share})*({sizing.storage_c}-{lower_c})/({upper_c}-{lower_c})))))",
            role="total",
        ),
        Column(
            "kept_share",
            "Share at that temperature and age",
            "share",
            formula="={temperature_share}*{sizing.age_share}",
            role="total",
        ),
    ),
    kind="across",
)

ASSUMPTIONS_SHEET = Sheet(
    "Assumptions",
    "Set a yellow cell to replace the usual value; clear it and the usual value is back in use.",
    (
        Words(
            (
                "These are planning figures. Codes, permits, the maker's instructions and a licensed electrician's "
                "judgement go before them.",
            ),
            look="caution",
        ),
        SIZING,
        MONEY,
        ASSUMED,
        POINTS,
        CAPACITY,
        ABOUT,
    ),
)
