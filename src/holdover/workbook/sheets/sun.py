"""Working sheet: the sun of each month's mean day, hour by hour, in the plane of the array."""

from dataclasses import replace

from holdover.model.solar import MONTH_NAMES
from holdover.workbook.grid import Column, Table, each
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE

_PHI = "RADIANS({sun.latitude_deg})"
_DELTA = "RADIANS({declination_deg})"
_SUNSET = "RADIANS({sunset_deg})"
_TILT = "RADIANS({array.tilt_deg})"
_GAMMA = "RADIANS({array.azimuth_deg}-180)"
_OMEGA = "RADIANS({zenith.hour_angle_deg[same]})"
_DELTA_OF = "RADIANS({sky.declination_deg[#]})"

SKY = Table(
    "sky",
    "The mean day of each month",
    "months",
    (
        Column("name", "Month", standing=MONTH_NAMES, width=34),
        Column("day", "Day of the year", "number", note="The month's mean day (Klein 1977).", width=10),
        Column(
            "declination_deg",
            "Declination",
            "°",
            formula="=23.45*SIN(RADIANS(360*(284+{day})/365))",
        ),
        Column(
            "sunset_deg",
            "Sunset hour angle",
            "°",
            formula=f"=DEGREES(ACOS(MAX(-1,MIN(1,-(TAN({_PHI})*TAN({_DELTA}))))))",
            note="0 in the polar night, 180 in the polar day.",
        ),
        Column(
            "extraterrestrial_kwh",
            "Outside the air, flat",
            "kWh/m²·day",
            formula="=MAX(0,24/PI()*1.367*(1+0.033*COS(RADIANS(360*{day}/365)))"
            f"*(COS({_PHI})*COS({_DELTA})*SIN({_SUNSET})+{_SUNSET}*SIN({_PHI})*SIN({_DELTA})))",
        ),
        Column(
            "global_kwh",
            "Global, flat",
            "kWh/m²·day",
            formula='=IF({sun.resource}="global irradiation",{months.global_kwh[same]}+0,'
            'IF({sun.resource}="clearness index",{months.clearness[same]}+0,{sun.shape_clearness})'
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
            "held_clearness",
            "held to the fit",
            "share",
            path="/mean_days.held_clearness.@",
            formula="=MAX(0.3,MIN(0.8,{clearness}))",
            note="The correlation of diffuse sun holds from 0.3 to 0.8.",
        ),
        Column(
            "diffuse_share",
            "Diffuse share",
            "share",
            formula="=IF({sunset_deg}<=81.4,1.391-3.56*{held_clearness}+4.189*({held_clearness}^2)"
            "-2.137*({held_clearness}^3),1.311-3.022*{held_clearness}+3.427*({held_clearness}^2)"
            "-1.821*({held_clearness}^3))",
            note="Erbs, Klein and Duffie 1982: one line for winter, one for the rest of the year.",
        ),
        Column(
            "diffuse_kwh",
            "Diffuse, flat",
            "kWh/m²·day",
            formula="={diffuse_share}*{global_kwh}",
        ),
        Column("shape_a", "Shape a", "factor", formula="=0.409+0.5016*SIN(RADIANS({sunset_deg}-60))"),
        Column("shape_b", "Shape b", "factor", formula="=0.6609-0.4767*SIN(RADIANS({sunset_deg}-60))"),
        Column(
            "shape_global_sum",
            "Sum of global weights",
            "factor",
            formula="=SUM({weight.m_@})",
        ),
        Column(
            "shape_diffuse_sum",
            "Sum of diffuse weights",
            "factor",
            formula="=SUM({skyweight.m_@})",
        ),
        Column(
            "tilted_sum",
            "In the plane of the array",
            "kWh/m²·day",
            formula="=SUM({slope.m_@})",
        ),
        Column(
            "scale",
            "Scaled by",
            "factor",
            formula='=IF({sun.resource}<>"peak sun hours",1,'
            "IF({tilted_sum}>0,({months.peak_sun_hours[same]}+0)/{tilted_sum},0))",
            note="So that stated peak sun hours stay as stated.",
        ),
        Column(
            "peak_sun_hours",
            "Peak sun hours",
            "h/day",
            formula="={tilted_sum}*{scale}",
            role="total",
        ),
        Column(
            "ambient_c",
            "Air by day",
            "°C",
            formula='=IF({months.ambient_c[same]}="",{sun.ambient_c},{months.ambient_c[same]})',
        ),
    ),
)


def _by_clock(
    name: str,
    title: str,
    month: Column,
    *,
    note: str = "",
    before: tuple[Column, ...] = (),
    after: tuple[Column, ...] = (),
) -> Table:
    """24 clock hours by 12 months; in the month's column # is its number, from 0."""
    months = (
        replace(column, title=title, role="quiet")
        for column, title in zip(each(range(12), month), MONTH_NAMES, strict=True)
    )
    columns = (Column("hour", "Hour from", "o'clock"), *before, *months, *after)
    return Table(name, title, "hours", columns, note=note, spans=(("w", "m_0", "m_11"),))


ZENITH = _by_clock(
    "zenith",
    "Cosine of sun to vertical",
    Column(
        "m_#",
        "",
        "factor",
        path="/months.#.cos_zenith.@",
        formula=f"=COS({_PHI})*COS({_DELTA_OF})*COS(RADIANS({{hour_angle_deg}}))+SIN({_PHI})*SIN({_DELTA_OF})",
    ),
    note="Negative: the sun is down.",
    before=(
        Column(
            "hour_angle_deg",
            "Hour angle, mid-hour",
            "°",
            path="/mean_days.hour_angle_deg.@",
            formula="=15*({hour}+0.5-{sun.solar_noon_at})",
            note="Negative before solar noon.",
        ),
    ),
)

INCIDENCE = _by_clock(
    "incidence",
    "Cosine of sun to module",
    Column(
        "m_#",
        "",
        "factor",
        path="/months.#.cos_incidence.@",
        formula=f"=SIN({_DELTA_OF})*SIN({_PHI})*COS({_TILT})-SIN({_DELTA_OF})*COS({_PHI})*SIN({_TILT})*COS({_GAMMA})"
        f"+COS({_DELTA_OF})*COS({_PHI})*COS({_TILT})*COS({_OMEGA})"
        f"+COS({_DELTA_OF})*SIN({_PHI})*SIN({_TILT})*COS({_GAMMA})*COS({_OMEGA})"
        f"+COS({_DELTA_OF})*SIN({_TILT})*SIN({_GAMMA})*SIN({_OMEGA})",
    ),
    note="Negative: the sun stands behind the module.",
)

SKYWEIGHT = _by_clock(
    "skyweight",
    "Weight of the hour in diffuse sun",
    Column(
        "m_#",
        "",
        "factor",
        path="/months.#.shape_diffuse.@",
        formula=f"=MAX(0,COS({_OMEGA})-COS(RADIANS({{sky.sunset_deg[#]}})))",
    ),
    note="Liu and Jordan 1960, without the factor that all hours share.",
)

WEIGHT = _by_clock(
    "weight",
    "Weight of the hour in global sun",
    Column(
        "m_#",
        "",
        "factor",
        path="/months.#.shape_global.@",
        formula=f"=({{sky.shape_a[#]}}+{{sky.shape_b[#]}}*COS({_OMEGA}))*{{skyweight.m_#[same]}}",
    ),
    note="Collares-Pereira and Rabl 1979, without the factor that all hours share.",
)

GLOBAL = _by_clock(
    "flat",
    "Global sun on the flat",
    Column(
        "m_#",
        "",
        "kWh/m²",
        path="/mean_days.global_kwh.#.@",
        formula="=IF({sky.shape_global_sum[#]}>0,{sky.global_kwh[#]}*{weight.m_#[same]}/{sky.shape_global_sum[#]},0)",
    ),
    note="The hours sum to the day.",
)

DIFFUSE = _by_clock(
    "diffuse",
    "Diffuse sun on the flat",
    Column(
        "m_#",
        "",
        "kWh/m²",
        path="/mean_days.diffuse_kwh.#.@",
        formula="=IF({sky.shape_diffuse_sum[#]}>0,{sky.diffuse_kwh[#]}*{skyweight.m_#[same]}/{sky.shape_diffuse_sum[#]},0)",
    ),
    note="The hours sum to the day.",
)

SLOPE = _by_clock(
    "slope",
    "Sun in the plane of the array, before scaling",
    Column(
        "m_#",
        "",
        "kWh/m²",
        path="/months.#.tilted_raw.@",
        formula="=MAX(0,{flat.m_#[same]}-{diffuse.m_#[same]})"
        "*MAX(0,{incidence.m_#[same]})/MAX({zenith.m_#[same]},COS(RADIANS(87)))"
        f"+{{diffuse.m_#[same]}}*(1+COS({_TILT}))/2+{{flat.m_#[same]}}*{{sun.albedo}}*(1-COS({_TILT}))/2",
    ),
    note="Beam, even sky and ground (Liu and Jordan 1963). Below 3° the beam is stretched no further.",
)

TILTED = _by_clock(
    "tilted",
    "Sun in the plane of the array",
    Column("m_#", "", "kWh/m²", path="/months.#.tilted_kw.@", formula="={slope.m_#[same]}*{sky.scale[#]}"),
    note="An hour's kWh/m² is its mean kW/m².",
)

MODULE = _by_clock(
    "module",
    "Output of one module",
    Column(
        "m_#",
        "",
        "W",
        path="/mean_days.module_w.#.@",
        formula="={array.power_w}*{tilted.m_#[same]}*MAX(0,1+{array.power_tempco}"
        "*({sky.ambient_c[#]}+({array.noct_c}-20)/0.8*{tilted.m_#[same]}-25))*{array.array_efficiency}",
    ),
    note="Hotter than 25 °C it gives less; before any limit of an input.",
    after=(
        Column(
            "design_w",
            "Design month",
            "W",
            path="/mean_days.design_module_w.@",
            formula="=INDEX({module.w},{hour}+1,{sun.month})",
            role="total",
        ),
        Column(
            "outage_w",
            "Outage month",
            "W",
            path="/mean_days.outage_module_w.@",
            formula="=INDEX({module.w},{hour}+1,{outage.month})",
            role="total",
        ),
    ),
)


def _arrays(name: str, month: str, prefix: str) -> Table:
    """Output of each candidate's array in the 24 hours of the design or the outage month."""
    return Table(
        name,
        f"Array output, {month} month",
        "offers",
        (
            replace(CANDIDATE, role=""),
            *each(
                range(24),
                Column(
                    f"{prefix}w_#",
                    "#:00",
                    "W",
                    path=f"recharge.{month}_w.#",
                    formula=f"=MIN({{strings.modules_used[same]}}*{{module.{month}_w[#]}},{{strings.limit_w[same]}})",
                    role="quiet",
                ),
            ),
        ),
        note="Modules times output of one, cut at the limit of the inputs.",
        spans=((f"{prefix}w", f"{prefix}w_0", f"{prefix}w_23"),),
    )


SUNNY = _arrays("sunny", "outage", "outage_")
SUNNY_DESIGN = _arrays("sunny_design", "design", "")

_SHOWN = "1,{solar.column}"

DAY = Table(
    "sunday",
    "The design month's mean day, for the candidate shown on Solar recharge",
    "hours",
    (
        Column("hour", "Hour from", "o'clock"),
        Column(
            "harvest_w",
            "Harvest",
            "W",
            path="/pick.recharge.design_w.@",
            formula="=INDEX({sunny_design.w_@},{solar.column})",
        ),
        Column(
            "draw_wh",
            "Out of storage",
            "W",
            path="/solar.draw_wh.@",
            formula=f"={{hours.ac_wh[same]}}/INDEX({{storage.inverter_efficiency}},{_SHOWN})"
            f'+IF(OR({{sizing.inverter}}="always on",{{hours.ac_wh[same]}}>0.000001),INDEX({{storage.idle_w}},{_SHOWN}),0)'
            f"+{{hours.dc_wh[same]}}/INDEX({{storage.dc_efficiency}},{_SHOWN})",
            note="All loads, with what inverter and DC ports lose.",
        ),
    ),
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
                    "chapters 1 and 2."
                ),
            )
        ),
        SKY,
        ZENITH,
        INCIDENCE,
        SKYWEIGHT,
        WEIGHT,
        GLOBAL,
        DIFFUSE,
        SLOPE,
        TILTED,
        MODULE,
        DAY,
        SUNNY_DESIGN,
        SUNNY,
    ),
    working=True,
)
