"""Solar recharge: the place, the sun, the modules, what each candidate harvests and how it is filled again."""

from collections.abc import Iterator
from dataclasses import replace

from holdover.case.schema import Array, Month, Recharge, Sun
from holdover.model.solar import MONTH_NAMES, STATED
from holdover.workbook.grid import Column, Table, asked, each, group
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE
from holdover.workbook.sheets.strings import STRINGS

SUN = Table("sun", "The place under the sun", "case.sun", asked(Sun), kind="form")
ARRAY = Table(
    "array", "The modules", "case.array", asked(Array), kind="form", note="As the module's data sheet states them."
)
RECHARGE = Table("recharge", "Charging that is not the sun", "case.recharge", asked(Recharge), kind="form")

_PICKED = "1,{solar.column}"
_COUNTED = (
    '12-IF({sun.resource}="global irradiation",COUNT({months.global_kwh}),'
    'IF({sun.resource}="clearness index",COUNT({months.clearness}),COUNT({months.peak_sun_hours})))'
)
_TOLD = (
    f'=IF({{sun.resource}}="global irradiation","{STATED["global irradiation"]}",'
    f'IF({{sun.resource}}="clearness index","{STATED["clearness index"]}","{STATED["peak sun hours"]}"))'
)

SOLAR = Table(
    "solar",
    "The sun in short",
    "solar",
    (
        Column("stated", "The sun", formula=_TOLD, role="line"),
        Column("blank_months", "Months left blank", "number", formula=f"={_COUNTED}", note="They count as no sun."),
        Column(
            "name",
            "Candidate shown",
            formula=f'=IF(INDEX({{strings.name}},{_PICKED})="","none",INDEX({{strings.name}},{_PICKED}))',
            note="The pick; the first column where none fits.",
            role="total",
        ),
        Column("words", "Its modules", formula=f"=INDEX({{strings.words}},{_PICKED})", role="line"),
        Column("design_month", "Design month", formula="=INDEX({months.name},{sun.month})"),
        Column("sun_hours", "Peak sun hours in it", "h/day", formula="=INDEX({sky.peak_sun_hours},{sun.month})"),
        Column("harvest_wh", "Harvest in it", "Wh/day", formula=f"=INDEX({{strings.harvest_wh}},{_PICKED})"),
        Column("need_wh", "Out of storage", "Wh/day", formula=f"=INDEX({{storage.day_draw_wh}},{_PICKED})"),
        Column(
            "covered_share",
            "Harvest covers of it",
            "share",
            formula="=IF({need_wh}>0,{harvest_wh}/{need_wh},0)",
            role="total",
        ),
        Column(
            "column",
            "Column of the candidate shown",
            "number",
            formula="=MAX(1,{decision.pick_number})",
        ),
    ),
    kind="across",
)

MONTHS = Table(
    "months",
    "The sun, month by month",
    "case.months",
    (
        Column("name", "Month", standing=MONTH_NAMES),
        *group("Type one of the three columns of sun", *asked(Month)),
        *group(
            "In use",
            Column(
                "sun_hours",
                "Peak sun hours in the plane of the array",
                "h/day",
                path="/months.@.peak_sun_hours",
                formula="={sky.peak_sun_hours[same]}",
                role="total",
            ),
        ),
        *group(
            "Candidate shown",
            Column(
                "harvest_wh",
                "Harvest",
                "Wh/day",
                path="/pick.recharge.monthly_wh.@",
                formula=f"=INDEX({{refill.monthly_wh_@}},{_PICKED})",
            ),
            Column(
                "need_wh",
                "Out of storage",
                "Wh/day",
                path="/solar.need_wh",
                formula=f"=INDEX({{storage.day_draw_wh}},{_PICKED})",
            ),
        ),
    ),
    note="Which of the three counts is set above.",
)

_MODULES, _LIMIT = "{strings.modules_used[same]}", "{strings.limit_w[same]}"
_MONTHLY = (
    f"=IF({_MODULES}=0,0,{_MODULES}*SUMPRODUCT(({{module.m_#}}<={_LIMIT}/{_MODULES})*{{module.m_#}})"
    f"+{_LIMIT}*SUMPRODUCT(({{module.m_#}}>{_LIMIT}/{_MODULES})*1))"
)
_ROOM = "({storage.full_wh[same]}-{storage.reserve_wh[same]})"
_HARVEST, _DRAW = "{strings.harvest_wh[same]}", "{storage.day_draw_wh[same]}"
_SOLAR_IN, _AC_IN = "{storage.charge_efficiency[same]}", "{storage.ac_charge_efficiency[same]}"
_COLD = 'IF({storage.charge_min_c[same]}>{sizing.storage_c},"too cold to charge",'
_AGAIN = "Filled again, from reserve to full"


def _named(columns: tuple[Column, ...]) -> Iterator[Column]:
    """Twelve columns under the names of the months."""
    return (replace(column, title=month) for column, month in zip(columns, MONTH_NAMES, strict=True))


REFILL = Table(
    "refill",
    "What the sun brings, and how it is filled again",
    "offers",
    (
        CANDIDATE,
        *group(
            _AGAIN,
            Column(
                "refill_days_on",
                "By the sun, loads on",
                "days",
                path="recharge.refill_days_on",
                formula=f'={_COLD}IF(ROUND({_HARVEST}-{_DRAW},6)<=0,"never",{_ROOM}/(({_HARVEST}-{_DRAW})*{_SOLAR_IN})))',
                role="total",
                note="The mean day of the design month as a whole, at best; the Outage sheet follows it hour by hour. "
                "never: the loads draw as much as the sun brings, or more.",
            ),
            Column(
                "refill_days_off",
                "By the sun, loads off",
                "days",
                path="recharge.refill_days_off",
                formula=f'={_COLD}IF({_HARVEST}>0,{_ROOM}/({_HARVEST}*{_SOLAR_IN}),"never"))',
            ),
            Column(
                "mains_h",
                "From a wall outlet",
                "h",
                path="recharge.mains_h",
                formula=f"={_COLD}IF({{candidates.ac_charge_w[same]}}>0,{_ROOM}/({{candidates.ac_charge_w[same]}}*{_AC_IN}),"
                '"no AC charging"))',
                note="At full power to the end; the last tenth takes longer in life.",
            ),
            Column(
                "generator_w_used",
                "Drawn from the generator",
                "W",
                path="recharge.generator_w_used",
                formula="=MIN({recharge.generator_w},{candidates.ac_charge_w[same]}+0)",
                note="What the generator gives for hours, or what the charger takes, whichever is less.",
            ),
            Column(
                "generator_h",
                "By the generator",
                "h",
                path="recharge.generator_h",
                formula=f"={_COLD}IF({{generator_w_used}}>0,{_ROOM}/({{generator_w_used}}*{_AC_IN}),"
                'IF({recharge.generator_w}>0,"no AC charging","no generator")))',
            ),
            Column(
                "generator_fuel_l",
                "Fuel for it",
                "l",
                path="recharge.generator_fuel_l",
                formula="=IF(ISTEXT({generator_h}),0,{generator_h}*{generator_w_used}/1000*{recharge.fuel_l_per_kwh})",
            ),
            Column(
                "generator_cost",
                "Cost of the fuel",
                "money",
                path="recharge.generator_cost",
                formula="={generator_fuel_l}*{recharge.fuel_price}",
            ),
        ),
        *group(
            "Harvest of a mean day",
            *_named(
                each(
                    range(12),
                    Column(
                        "monthly_wh_#",
                        "#",
                        "Wh/day",
                        path="recharge.monthly_wh.#",
                        formula=_MONTHLY,
                    ),
                )
            ),
        ),
        *group(
            "Harvest, share of what goes out of storage in a day",
            *_named(
                each(
                    range(12),
                    Column(
                        "share_of_need_#",
                        "#",
                        "share",
                        path="recharge.share_of_need.#",
                        formula=f"=IF({_DRAW}>0,{{monthly_wh_#}}/{_DRAW},0)",
                    ),
                )
            ),
        ),
    ),
    kind="across",
    widths={"title": 40, "unit": 14, "record": 16},
)

_BLOCKS = (
    SOLAR,
    Words(
        (
            (
                "more than the highest voltage of a solar input, even for a moment, destroys it. Cold raises the "
                "voltage: the coldest morning decides, not a mean day. Check the coldest air below."
            ),
            (
                "modules are live whenever there is light, and a string in series reaches a deadly voltage. Cover them "
                "before touching a connector, and never unplug under load."
            ),
            (
                "where a data sheet states no short-circuit limit, the check of current stands still: ask the maker "
                "whether more current than the input takes may be connected. Three strings or more in parallel "
                "need a fuse each (NEC 690.9, from memory)."
            ),
            (
                "below its lowest charging temperature a lithium battery is not charged, by sun or outlet; it may look "
                "full and be damaged for good."
            ),
            (
                "a generator runs outdoors only, at least 20 feet (6 m) from the house, exhaust away from doors, "
                "windows and vents (carbon monoxide; US CPSC). It is never plugged into a building's outlets: "
                "back-feed kills."
            ),
        ),
        look="caution",
    ),
    Chart(
        "Harvest against need through the year, candidate shown",
        "column",
        (Series("Harvest of a mean day", "months", "harvest_wh"), Series("Out of storage", "months", "need_wh")),
        names=("months", "name"),
        y_title="Wh a day",
    ),
    SUN,
    MONTHS,
    ARRAY,
    STRINGS,
    RECHARGE,
    REFILL,
    Chart(
        "The design month's mean day, candidate shown",
        "line",
        (Series("Harvest", "sunday", "harvest_w"), Series("Out of storage", "sunday", "draw_wh")),
        names=("sunday", "hour"),
        x_title="hour of the day",
        y_title="W",
    ),
)


SOLAR_SHEET = Sheet(
    "Solar recharge",
    "What the sun brings each candidate, which layouts its inputs allow, and how it is filled again.",
    _BLOCKS,
)
