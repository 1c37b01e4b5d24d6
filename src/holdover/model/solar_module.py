"""A solar module in the sun and in the cold: what is stated of it, its cells' temperature, its figures then, its output."""

from dataclasses import dataclass
from typing import Final

from holdover.case.schema import LAYOUT_NEEDS, Array, Sun
from holdover.model.sun import SunMonth

STC_C: Final = 25.0
"""Cell temperature of standard test conditions [°C]; IEC 60904-3, from memory."""
NOCT_AMBIENT_C: Final = 20.0
"""Air at which the nominal operating cell temperature is stated [°C]; IEC 61215."""
NOCT_KW: Final = 0.8
"""Sun at which the nominal operating cell temperature is stated [kW/m²]; IEC 61215."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """What must be stated of a module, complete: W, V, A, 1/°C."""

    power_w: float
    voc_v: float
    vmp_v: float
    isc_a: float
    imp_a: float
    voc_tempco: float


def stated_module(array: Array) -> Module | None:
    """The module as the case states it, None where a figure without a usual value is missing [-].

    Args:
        array: The modules planned [-].

    Holds for: any array.
    Source: definition.

    >>> stated_module(Array(modules=2, voc_v=37)) is None
    True
    """
    stated = {name: getattr(array, name) for name in Module.__slots__}
    return None if None in stated.values() else Module(**stated)


def missing(array: Array, coldest_c: float | None, *, unplaced: bool = False) -> str:
    """What must be stated before a layout is allowed and is not, "" where nothing is missing [-].

    Args:
        array: The modules planned [-].
        coldest_c: Coldest air in daylight [°C].
        unplaced: Whether the sun is worked out from a latitude that is not stated [-].

    Holds for: any array.
    Source: `LAYOUT_NEEDS`, and the latitude, without which nobody knows the sun of the place; the names are the titles of the case.

    >>> missing(Array(power_w=400, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028), None)
    'open-circuit voltage, coldest air'
    """
    asked = [str(Array.model_fields[n].title) for n in LAYOUT_NEEDS["array"] if getattr(array, n) is None]
    if coldest_c is None:
        asked.append(str(Sun.model_fields["coldest_c"].title))
    if unplaced:
        asked.append(str(Sun.model_fields["latitude_deg"].title))
    return ", ".join(title[0].lower() + title[1:] for title in asked)


def cell_c(ambient_c: float, tilted_kw: float, noct_c: float) -> float:
    """Temperature of the cells in the sun [°C].

    Args:
        ambient_c: Air [°C].
        tilted_kw: Sun in the plane of the module [kW/m²].
        noct_c: Nominal operating cell temperature [°C].

    Holds for: modules in the open with air behind them; one laid flat on a roof runs hotter.
    Source: Ross 1981, as pvlib cites it; IEC 61215 for the conditions of the nominal temperature.

    >>> round(cell_c(30, 1.0, 45), 6)
    61.25
    """
    return ambient_c + (noct_c - NOCT_AMBIENT_C) / NOCT_KW * tilted_kw


def warmth(tempco: float, cell_c: float) -> float:
    """What a number of the module becomes at another cell temperature, over its value at 25 °C [-].

    Args:
        tempco: Change per degree, negative for voltage and power [1/°C].
        cell_c: Temperature of the cells [°C].

    Holds for: the straight line of the data sheet; the real voltage in deep cold is 1 to 3 % above it.
    Source: IEC 60891; NEC 690.7(A)(1), by transcription.

    >>> round(warmth(-0.0027, -10), 4)
    1.0945
    """
    return 1 + tempco * (cell_c - STC_C)


def module_w(
    tilted_kw: float,
    ambient_c: float,
    *,
    power_w: float,
    power_tempco: float,
    noct_c: float,
    array_efficiency: float,
) -> float:
    """Mean output of one module in an hour, before any limit of the input [W].

    Args:
        tilted_kw: Sun in the plane of the module [kW/m²].
        ambient_c: Air [°C].
        power_w: Power at standard test conditions [W].
        power_tempco: Change of power per degree [1/°C].
        noct_c: Nominal operating cell temperature [°C].
        array_efficiency: Share left after soiling, wiring, mismatch and tracking [-].

    Holds for: silicon modules; the loss at low light is not counted apart.
    Source: NREL/TP-6A20-62641 (2014), from memory, with the cell temperature of Ross 1981.

    >>> round(module_w(0.8, 20, power_w=400, power_tempco=-0.0036, noct_c=45, array_efficiency=0.85), 2)
    252.42
    """
    left = max(0.0, warmth(power_tempco, cell_c(ambient_c, tilted_kw, noct_c)))
    return power_w * tilted_kw * left * array_efficiency


def module_hours(month: SunMonth, array: Array) -> tuple[float, ...]:
    """Output of one module in the 24 hours of a month's mean day [W].

    Args:
        month: Sun in the plane of the array [-].
        array: The module [-].

    Holds for: as `module_w`; a module whose power is not stated is counted as giving none.
    Source: as `module_w`.

    >>> from holdover.case.schema import Month, Sun
    >>> from holdover.model.sun import sun_months
    >>> months = sun_months(Sun(latitude_deg=36), [Month(peak_sun_hours=4.0)] * 12, Array())
    >>> round(sum(module_hours(months[0], Array(power_w=400, power_tempco=0, array_efficiency=0.85))))
    1360
    >>> sum(module_hours(months[0], Array()))
    0.0
    """
    power_w = array.power_w
    if power_w is None:
        return (0.0,) * 24
    return tuple(
        module_w(
            tilted_kw,
            month.ambient_c,
            power_w=power_w,
            power_tempco=array.power_tempco,
            noct_c=array.noct_c,
            array_efficiency=array.array_efficiency,
        )
        for tilted_kw in month.tilted_kw
    )
