"""Solar recharge: what the best layout brings and how storage is filled again; below it the sun, the modules, the means."""

from dataclasses import replace

from holdover.case.schema import Array, Month, Recharge, Sun
from holdover.model.solar import MONTH_NAMES
from holdover.workbook import style
from holdover.workbook.column import Column, Table, asked
from holdover.workbook.measures import measured
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE
from holdover.workbook.sheets.outage.field import thousands

NARROW = 78
"""Narrow columns of the page."""
_FORM = {"title": 17, "set": 5, "usual": 0, "used": 5, "unit": 5, "note": 0}

SUN = Table(
    "sun",
    "The place under the sun",
    "case.sun",
    tuple(
        replace(column, title="Clearness, for sun hours") if column.name == "shape_clearness" else column
        for column in asked(Sun)
    ),
    kind="form",
    cells={**_FORM, "title": 14, "set": 10, "used": 11, "unit": 4},
)
ARRAY = Table("array", "The modules", "case.array", asked(Array), kind="form", cells=_FORM, left=40, beside=True)
RECHARGE = Table(
    "recharge",
    "Charging that is not the sun",
    "case.recharge",
    asked(Recharge),
    kind="form",
    cells=_FORM,
)


def _says(number: str, unit: str) -> str:
    """A number to a tenth and its unit, inside a sentence."""
    return f'ROUND(ROUND({number},6),1)&" {unit}"'


def _of(name: str) -> str:
    return f"INDEX({{refill.{name}}},{{solar.number}})"


def _of_strings(name: str) -> str:
    return f"INDEX({{strings.{name}}},1,{{solar.number}})"


_USED = _of_strings("modules_used")
_BY_SUN = (
    f'{_USED}&IF({_USED}=1," module of "," modules of ")&{thousands("{array.power_w}")}&" W: "'
    f"&{_says('{solar.harvest_wh}/1000', 'kWh on a mean day of ')}"
    f'&{{solar.design_month}}&" ("&{_says("{solar.sun_hours}", "sun hours); all loads take ")}'
    f'&{_says("{solar.need_wh}/1000", "kWh. ")}&IF(ISTEXT({_of("refill_days_off")}),"The sun never fills it.",'
    f'"From reserve to full: "&IF(ISTEXT({_of("refill_days_on")}),'
    f"{_says(_of('refill_days_off'), 'days with the loads off, never with them on.')},"
    f"{_says(_of('refill_days_on'), 'days with the loads on, ')}&{_says(_of('refill_days_off'), 'with them off.')}))"
    '&IF(INDEX({sky.remark},{sun.month})=""," "," "&{solar.design_month}&": "&INDEX({sky.remark},{sun.month})&". ")'
)
REFILLED = Table(
    "refilled",
    "",
    "solar",
    (
        Column(
            "headline",
            "",
            formula='=IF({solar.name}="none","No candidate is listed yet.",IF({array.modules}=0,'
            f'"No solar modules are planned.",{{solar.name}}&": "&{_of_strings("words")}&"."))',
            role="hero",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": NARROW},
    gap=0,
    tall=27,
)

REFILLED_LEAD = Table(
    "refilled_lead",
    "",
    "solar",
    (
        Column(
            "lead",
            "",
            formula=f'=IF({{solar.name}}="none","",IF({_of("mains_h")}="too cold to charge","Cells at "'
            f'&{measured("{sizing.storage_c}", "°C")}&" are too cold to be charged: nothing recharges this storage.",'
            f'IF({_of_strings("best")}=0,"",{_BY_SUN})&{{solar.by_outlet}}))',
            role="lead",
        ),
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": NARROW},
    gap=1,
    tall=32,
)

_MONTH_CELLS = {"global_kwh": 7, "clearness": 6}
MONTHS = Table(
    "months",
    "The sun by month: fill in one of the first three columns",
    "case.months",
    (
        Column("name", "Month", standing=MONTH_NAMES, cells=4, role="row"),
        *(replace(column, cells=_MONTH_CELLS.get(column.name, 5)) for column in asked(Month)),
        Column(
            "sun_hours",
            "Peak sun hours",
            "h/day",
            path="/months.@.peak_sun_hours",
            formula="={sky.peak_sun_hours[same]}",
            role="row",
            cells=5,
        ),
        Column(
            "harvest_wh",
            "Harvest",
            "Wh/day",
            path="/shown.recharge.monthly_wh.@",
            formula=f"=SUMPRODUCT(({_of_strings('modules_used')}*{{module.m_@}}<={_of_strings('limit_w')})*{{module.m_@}})"
            f"*{_of_strings('modules_used')}+{_of_strings('limit_w')}"
            f"*SUMPRODUCT(({_of_strings('modules_used')}*{{module.m_@}}>{_of_strings('limit_w')})*1)",
            role="row",
            cells=5,
        ),
        Column(
            "remark",
            "To be known",
            path="/months.@.remark",
            formula="={sky.remark[same]}",
            role="row words",
            cells=11,
        ),
    ),
    left=NARROW - 48,
    beside=True,
)

_ROOM = "({storage.full_wh[same]}-{storage.reserve_wh[same]})"
_HARVEST, _DRAW = "{strings.harvest_wh[same]}", "{storage.day_draw_wh[same]}"
_SOLAR_IN, _AC_IN = "{storage.charge_efficiency[same]}", "{storage.ac_charge_efficiency[same]}"
_COLD = 'IF({storage.charge_min_c[same]}>{sizing.storage_c},"too cold to charge",'


def _refill(name: str, title: str, unit: str, formula: str, cells: int = 6) -> Column:
    return Column(name, title, unit, path=f"recharge.{name}", formula=formula, cells=cells, role="row short")


REFILL = Table(
    "refill",
    "Every candidate, filled from reserve to full",
    "offers",
    (
        replace(CANDIDATE, cells=10, role="row name"),
        Column(
            "words", "Best layout", path="strings.words", formula="={strings.words[same]}", cells=29, role="row words"
        ),
        Column(
            "cold_v",
            "In the cold, V",
            "V",
            path="strings.cold_v",
            formula="={strings.cold_v[same]}",
            cells=4,
            role="row quiet",
        ),
        Column(
            "harvest_wh",
            "Harvest, Wh a day",
            "Wh/day",
            path="strings.harvest_wh",
            formula=f"={_HARVEST}",
            cells=5,
            role="row quiet",
        ),
        _refill(
            "refill_days_on",
            "Sun, loads on: days",
            "days",
            f'={_COLD}IF(ROUND({_HARVEST}-{_DRAW},6)<=0,"never",{_ROOM}/(({_HARVEST}-{_DRAW})*{_SOLAR_IN})))',
            cells=5,
        ),
        _refill(
            "refill_days_off",
            "Sun, loads off: days",
            "days",
            f'={_COLD}IF({_HARVEST}>0,{_ROOM}/({_HARVEST}*{_SOLAR_IN}),"never"))',
        ),
        _refill(
            "mains_h",
            "From an outlet, h",
            "h",
            f"={_COLD}IF(N({{candidates.ac_charge_w[same]}})>0,{_ROOM}/(MIN({{candidates.ac_charge_w[same]}},{{plan.mains_w}})*{_AC_IN}),"
            'IF({candidates.ac_charge_w[same]}="","not stated","no AC charging")))',
            cells=5,
        ),
        _refill(
            "generator_h",
            "Generator, h",
            "h",
            f"={_COLD}IF({{strings.generator_w_used[same]}}>0,{_ROOM}/({{strings.generator_w_used[same]}}*{_AC_IN}),"
            'IF({recharge.generator_w}<=0,"no generator",IF({candidates.ac_charge_w[same]}="","not stated","no AC charging"))))',
            cells=6,
        ),
        _refill(
            "generator_fuel_l",
            "Fuel for it, l",
            "l",
            "=IF(ISTEXT({generator_h}),{generator_h},{generator_h}*{strings.generator_w_used[same]}/1000*{recharge.fuel_l_per_kwh})",
            cells=4,
        ),
        _refill(
            "generator_cost",
            "Cost of fuel",
            "money",
            '=IF(ISTEXT({generator_fuel_l}),{generator_fuel_l},IF({recharge.fuel_price}<=0,"not stated",{generator_fuel_l}*{recharge.fuel_price}))',
            cells=4,
        ),
    ),
    units=False,
)

_CAUTION = (  # the section of the code is from memory
    "More than its maximum voltage, even for a moment, destroys a solar input: the coldest morning decides. Modules are "
    "live in any light; a string reaches a deadly voltage: a switch for direct current stands within reach. Three strings or more in parallel need a fuse each (NEC 690.9). "
    "No short-circuit limit stated: ask the maker. Cold cells are not charged. A generator runs outdoors, "
    "20 feet (6 m) from the house, and never feeds a building's outlets. Days by the sun are of the design month, at best; never: "
    "the loads draw as much as it brings. An outlet fills at what it gives for hours or the charger takes; the last tenth takes longer."
)

SOLAR_SHEET = Sheet(
    "Solar recharge",
    "",
    (
        REFILLED,
        REFILLED_LEAD,
        Chart(
            "Harvest of a mean day against what all loads take, candidate followed",
            "column",
            (
                Series("Harvest", "months", "harvest_wh", color=style.TEAL),
                Series("All loads take", "sky", "need_wh", color=style.SERIES[3], over=True),
            ),
            names=("months", "name"),
            y_title="Wh a day",
            rows=14,
            cells=29,
        ),
        MONTHS,
        REFILL,
        Words((_CAUTION,), look="small", cells=NARROW),
        SUN,
        ARRAY,
        RECHARGE,
    ),
    narrow=NARROW,
    screen="sun",
    printed="case.array.modules",
    foot="A mean day of each month: a clear and an overcast day lie on either side of it.",
)
