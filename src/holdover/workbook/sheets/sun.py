"""Working sheet: the sun of each month's mean day, hour by hour, in the plane of the array."""

from dataclasses import replace

from holdover.model.solar import MONTH_NAMES, STATED
from holdover.model.sun import DARK, NO_SUNRISE, NOT_STATED
from holdover.workbook.column import Column, Table, each, group
from holdover.workbook.measures import measured
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.outage.field import duration

_PHI = "RADIANS({sun.latitude_deg})"
_DELTA = "RADIANS({declination_deg})"
_SUNSET = "RADIANS({sunset_deg})"
_TILT = "RADIANS({array.tilt_deg})"
_GAMMA = "RADIANS({array.azimuth_deg}-180)"
_STATED = (
    'IF({sun.resource}="global irradiation",{months.global_kwh[same]},'
    'IF({sun.resource}="clearness index",{months.clearness[same]},{months.peak_sun_hours[same]}))'
)
_UP = "({angle.cos_hour}>{cos_sunset})*({angle.cos_hour}-{cos_sunset})"

_GLOBAL_PER_WEIGHT = "IF({shape_global_sum}>0,{global_kwh}/{shape_global_sum},0)"


def _hourly(name: str, title: str, formula: str, note: str = "") -> Column:
    """A number of the month that its hours share."""
    return Column(name, title, "factor", path=f"/sun_hours.{name}.@", formula=formula, note=note, role="quiet")


SKY = Table(
    "sky",
    "The mean day of each month",
    "months",
    (
        Column("name", "Month", standing=MONTH_NAMES, width=12),
        *group(
            "The sun outside the air",
            Column("day", "Day of the year", "number", note="The month's mean day (Klein 1977)."),
            Column("declination_deg", "Declination", "°", formula="=23.45*SIN(RADIANS(360*(284+{day})/365))"),
            Column(
                "sunset_deg",
                "Sunset hour angle",
                "°",
                formula=f"=DEGREES(ACOS(MAX(-1,MIN(1,-(TAN({_PHI})*TAN({_DELTA}))))))",
                note="0 in the polar night, 180 in the polar day.",
            ),
            Column(
                "extraterrestrial_kwh",
                "On the flat",
                "kWh/m²·day",
                formula="=MAX(0,24/PI()*1.367*(1+0.033*COS(RADIANS(360*{day}/365)))"
                f"*(COS({_PHI})*COS({_DELTA})*SIN({_SUNSET})+{_SUNSET}*SIN({_PHI})*SIN({_DELTA})))",
            ),
        ),
        *group(
            "The sun on the flat",
            Column(
                "global_kwh",
                "Global",
                "kWh/m²·day",
                formula='=IF({sun.resource}="global irradiation",N({months.global_kwh[same]}),'
                'IF({sun.resource}="clearness index",N({months.clearness[same]}),{sun.shape_clearness})'
                "*{extraterrestrial_kwh})",
                note="As stated; where only peak sun hours are known, a shape for the day that is scaled later.",
            ),
            Column(
                "clearness",
                "Clearness",
                "share",
                formula="=IF({extraterrestrial_kwh}>0,{global_kwh}/{extraterrestrial_kwh},0)",
            ),
            Column(
                "diffuse_share",
                "Diffuse share",
                "share",
                formula="=MIN(1,IF({sunset_deg}<=81.4,1.391-3.56*MIN(0.8,{clearness})+4.189*(MIN(0.8,{clearness})^2)"
                "-2.137*(MIN(0.8,{clearness})^3),1.311-3.022*MIN(0.8,{clearness})+3.427*(MIN(0.8,{clearness})^2)"
                "-1.821*(MIN(0.8,{clearness})^3)))",
                note="Erbs, Klein and Duffie 1982: one line for winter, one for the rest of the year. Clearness counts "
                "to 0.8 at most; below 0.3 the lines run on.",
            ),
            Column("diffuse_kwh", "Diffuse", "kWh/m²·day", formula="={diffuse_share}*{global_kwh}"),
            Column(
                "remark",
                "To be known",
                formula=f'=IF({_STATED}="","{NOT_STATED}",IF({{extraterrestrial_kwh}}<=0,"{NO_SUNRISE}",'
                f'IF(ROUND({{clearness}},9)<0.3,"{DARK}","")))',
                width=36,
            ),
        ),
        *group(
            "What the hours of the day share",
            _hourly("cos_sunset", "Cosine of sunset", f"=COS({_SUNSET})"),
            Column("shape_a", "Shape a", "factor", formula="=0.409+0.5016*SIN(RADIANS({sunset_deg}-60))", role="quiet"),
            Column(
                "shape_b", "Shape b", "factor", formula="=0.6609-0.4767*SIN(RADIANS({sunset_deg}-60))", role="quiet"
            ),
            Column(
                "shape_global_sum",
                "Weights of global sun",
                "factor",
                formula=f"=SUMPRODUCT({_UP}*({{shape_a}}+{{shape_b}}*{{angle.cos_hour}}))",
                note="Sum over the hours; Collares-Pereira and Rabl 1979.",
                role="quiet",
            ),
            Column(
                "shape_diffuse_sum",
                "Weights of diffuse sun",
                "factor",
                formula=f"=SUMPRODUCT({_UP})",
                note="Sum over the hours; Liu and Jordan 1960.",
                role="quiet",
            ),
            _hourly(
                "global_mean", "Global by weight", f"={_GLOBAL_PER_WEIGHT}*{{shape_a}}", "The hours sum to the day."
            ),
            _hourly("global_cos", "with the cosine", f"={_GLOBAL_PER_WEIGHT}*{{shape_b}}"),
            _hourly(
                "diffuse_per_weight",
                "Diffuse by weight",
                "=IF({shape_diffuse_sum}>0,{diffuse_kwh}/{shape_diffuse_sum},0)",
                "The hours sum to the day.",
            ),
            _hourly("zenith_mean", "Height of the sun", f"=SIN({_PHI})*SIN({_DELTA})"),
            _hourly("zenith_cos", "with the cosine", f"=COS({_PHI})*COS({_DELTA})"),
            _hourly(
                "incidence_mean",
                "Sun to module",
                f"=SIN({_DELTA})*(SIN({_PHI})*COS({_TILT})-COS({_PHI})*SIN({_TILT})*COS({_GAMMA}))",
            ),
            _hourly(
                "incidence_cos",
                "with the cosine",
                f"=COS({_DELTA})*(COS({_PHI})*COS({_TILT})+SIN({_PHI})*SIN({_TILT})*COS({_GAMMA}))",
            ),
            _hourly("incidence_sin", "with the sine", f"=COS({_DELTA})*SIN({_TILT})*SIN({_GAMMA})"),
        ),
        *group(
            "In the plane of the array",
            Column("tilted_sum", "Before scaling", "kWh/m²·day", formula="=SUM({slope.m_@})"),
            Column(
                "scale",
                "Scaled by",
                "factor",
                formula='=IF({sun.resource}<>"peak sun hours",1,'
                "IF({tilted_sum}>0,N({months.peak_sun_hours[same]})/{tilted_sum},0))",
                note="So that stated peak sun hours stay as stated.",
            ),
            Column("peak_sun_hours", "Peak sun hours", "h/day", formula="={tilted_sum}*{scale}", role="total"),
            Column(
                "ambient_c",
                "Air by day",
                "°C",
                formula='=IF({months.ambient_c[same]}="",{sun.ambient_c},{months.ambient_c[same]})',
            ),
            Column("need_wh", "All loads take", "Wh/day", path="/solar.need_wh", formula="={solar.need_wh}"),
        ),
    ),
)

PLANE = Table(
    "plane",
    "What all hours and months share",
    "sun_hours",
    (
        Column(
            "sky_share",
            "Of the sky the array sees",
            "share",
            formula=f"=(1+COS({_TILT}))/2",
            note="The sky's sun is even.",
        ),
        Column(
            "ground_share", "Of the sun it sees in the ground", "share", formula=f"={{sun.albedo}}*(1-COS({_TILT}))/2"
        ),
        Column(
            "lowest_cos",
            "Lowest sun that stretches the beam",
            "factor",
            formula="=COS(RADIANS(87))",
            note="Cosine to the zenith.",
        ),
        Column(
            "warmer_c",
            "Cells warmer than air in full sun",
            "°C",
            formula="=({array.noct_c}-20)/0.8",
            note="At 1 kW/m².",
        ),
        Column(
            "module_w",
            "A module in full sun, cells at 25 °C",
            "W",
            path="module_w_at_25",
            formula='=IF({array.power_w}="",0,{array.power_w}*{array.array_efficiency})',
            note="After soiling, wiring, mismatch and tracking.",
        ),
    ),
    kind="across",
)

ANGLE = Table(
    "angle",
    "The sun through the day",
    "hours",
    (
        Column("hour", "Hour from", "o'clock"),
        Column(
            "cos_hour",
            "Cosine of hour angle",
            "factor",
            path="/sun_hours.cos_hour.@",
            formula="=COS(RADIANS(15*({hour}+0.5-{sun.solar_noon_at})))",
            note="In the middle of the hour; 15° an hour, 0 at solar noon.",
        ),
        Column(
            "sin_hour",
            "Sine of hour angle",
            "factor",
            path="/sun_hours.sin_hour.@",
            formula="=SIN(RADIANS(15*({hour}+0.5-{sun.solar_noon_at})))",
        ),
    ),
)


def _by_clock(name: str, title: str, month: Column, *after: Column, note: str = "") -> Table:
    """24 clock hours by 12 months; in the month's column # is its number, from 0."""
    months = (
        replace(column, title=title, role="quiet")
        for column, title in zip(each(range(12), month), MONTH_NAMES, strict=True)
    )
    columns = (Column("hour", "Hour from", "o'clock"), *months, *after)
    return Table(name, title, "hours", columns, note=note, spans=(("w", "m_0", "m_11"),))


_COS, _SIN = "{angle.cos_hour[same]}", "{angle.sin_hour[same]}"
_GLOBAL = f"{{sky.global_mean[#]}}+{{sky.global_cos[#]}}*{_COS}"
_DIFFUSE = "{sky.diffuse_per_weight[#]}"

SLOPE = _by_clock(
    "slope",
    "Sun in the plane of the array, before scaling",
    Column(
        "m_#",
        "",
        "kWh/m²",
        path="/months.#.tilted_raw.@",
        formula=f"=MAX(0,{_COS}-{{sky.cos_sunset[#]}})*(MAX(0,{_GLOBAL}-{_DIFFUSE})"
        f"*MAX(0,{{sky.incidence_mean[#]}}+{{sky.incidence_cos[#]}}*{_COS}+{{sky.incidence_sin[#]}}*{_SIN})"
        f"/MAX({{sky.zenith_mean[#]}}+{{sky.zenith_cos[#]}}*{_COS},{{plane.lowest_cos}})"
        f"+{_DIFFUSE}*{{plane.sky_share}}+({_GLOBAL})*{{plane.ground_share}})",
    ),
    note="Weight of the hour, times beam, even sky and ground (Liu and Jordan 1963). Below 3° the beam is stretched no further.",
)

MODULE = _by_clock(
    "module",
    "Output of one module",
    Column(
        "m_#",
        "",
        "W",
        path="/sun_hours.module_w.#.@",
        formula="={plane.module_w}*{slope.m_#[same]}*{sky.scale[#]}*MAX(0,1+{array.power_tempco}"
        "*({sky.ambient_c[#]}+{plane.warmer_c}*{slope.m_#[same]}*{sky.scale[#]}-25))",
    ),
    Column(
        "design_w",
        "Design month",
        "W",
        path="/sun_hours.design_module_w.@",
        formula="=INDEX({module.w},{hour}+1,{sun.month})",
        role="total",
    ),
    Column(
        "outage_w",
        "Outage month",
        "W",
        path="/sun_hours.outage_module_w.@",
        formula="=INDEX({module.w},{hour}+1,{outage.month})",
        role="total",
    ),
    note="Hotter than 25 °C it gives less; before any limit of an input.",
)

UNPLACED = 'AND({sun.resource}<>"peak sun hours",{read_sun.latitude_deg}="")'
"""Whether the sun is worked out from a latitude that is not stated: the equator's would count in its place."""
_NAMES_LEFT_OUT = "&".join(
    f'IF({blank},", {title}","")'
    for blank, title in (
        ('{array.power_w}=""', "power"),
        ('{array.voc_v}=""', "open-circuit voltage"),
        ('{array.vmp_v}=""', "maximum power voltage"),
        ('{array.isc_a}=""', "short-circuit current"),
        ('{array.imp_a}=""', "maximum power current"),
        ('{array.voc_tempco}=""', "open-circuit voltage per °C"),
        ('{sun.coldest_c}=""', "coldest air"),
        (UNPLACED, "latitude"),
    )
)


def _of_shown(name: str, title: str, unit: str, source: str, role: str = "") -> Column:
    return Column(name, title, unit, formula=f"=INDEX({{{source}}},1,{{number}})", role=role)


def _of_refill(name: str) -> str:
    return f"INDEX({{refill.{name}}},{{number}})"


_BY_OUTLET = (
    f'IF(OR({{name}}="none",{_of_refill("mains_h")}="too cold to charge"),"",IF({_of_refill("mains_h")}="not stated",'
    '"How fast it charges from an outlet or a generator is not stated.",'
    f'IF(ISTEXT({_of_refill("mains_h")}),"It has no AC charging: no outlet and no generator fills it.",'
    f'"An outlet takes "&{duration(_of_refill("mains_h"))}&IF(ISTEXT({_of_refill("generator_h")}),".",'
    f'", the generator "&{duration(_of_refill("generator_h"))}&" and "'
    f'&{measured(_of_refill("generator_fuel_l"), "l")}&" of fuel."))))'
)
SOLAR = Table(
    "solar",
    "The candidate followed, in the design month",
    "solar",
    (
        Column("number", "Number of the candidate", "number", formula="={shown.number}"),
        Column(
            "name",
            "Candidate",
            formula='=IF(INDEX({strings.name},1,{number})="","none",INDEX({strings.name},1,{number}))',
        ),
        Column(
            "stated",
            "The sun",
            formula=f'=IF({{sun.resource}}="global irradiation","{STATED["global irradiation"]}",'
            f'IF({{sun.resource}}="clearness index","{STATED["clearness index"]}","{STATED["peak sun hours"]}"))',
        ),
        Column(
            "blank_months",
            "Months left blank",
            "number",
            formula='=12-IF({sun.resource}="global irradiation",COUNT({months.global_kwh}),'
            'IF({sun.resource}="clearness index",COUNT({months.clearness}),COUNT({months.peak_sun_hours})))',
            note="They count as no sun.",
        ),
        Column(
            "missing",
            "Not stated",
            formula=f"=MID({_NAMES_LEFT_OUT},3,250)",
            note="No string layout is allowed while one of these is blank: no usual value stands in for a figure that "
            "keeps an input alive.",
        ),
        Column(
            "peak_w",
            "A module at its maximum power point",
            "W",
            formula='=IF({missing}<>"",0,{array.vmp_v}*{array.imp_a})',
        ),
        Column(
            "module_wh",
            "A module gives in it, with no input in its way",
            "Wh/day",
            formula="=SUM({module.design_w})",
        ),
        Column("longest", "Longest string tried", "number", formula="=MIN({array.modules},12)"),
        Column("design_month", "Design month", formula="=INDEX({sky.name},{sun.month})"),
        Column("sun_hours", "Peak sun hours in it", "h/day", formula="=INDEX({sky.peak_sun_hours},{sun.month})"),
        _of_shown("harvest_wh", "Harvest in it", "Wh/day", "strings.harvest_wh"),
        Column("need_wh", "All loads take", "Wh/day", formula="=INDEX({storage.day_draw_wh},1,{number})"),
        Column(
            "covered_share",
            "Harvest covers of it",
            "share",
            formula="=IF({need_wh}>0,{harvest_wh}/{need_wh},0)",
            role="total",
        ),
        Column("by_outlet", "From an outlet or a generator", formula=f"={_BY_OUTLET}"),
    ),
    kind="across",
    widths={"title": 24, "unit": 12, "record": 12},
)

SUN_SHEET = Sheet(
    "Sun by hour",
    "Working sheet: from latitude and one number a month to the hours in the plane of the array. Nothing to type here.",
    (
        Words(
            (
                (
                    "Each column is the mean day of a month: a clear and an overcast day lie on either side of it. "
                    "Formulas and symbols are those of Duffie and Beckman, Solar Engineering of Thermal Processes, "
                    "chapters 1 and 2. An hour's kWh/m² is its mean kW/m²."
                ),
            )
        ),
        SOLAR,
        SKY,
        PLANE,
        ANGLE,
        SLOPE,
        MODULE,
    ),
    working=True,
)
