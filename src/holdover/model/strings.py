"""Modules on the solar inputs of a candidate: which layouts are allowed, and which one harvests most.

The same layout stands on every input that is used; mixed layouts are not looked at. While a figure of the module or
the coldest air is not stated no layout is allowed: no usual value stands in for what keeps an input alive. The usual
ones of heat (power per degree, nominal cell temperature, hottest air) decide only whether it charges at a hot noon.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from holdover.case.schema import Array, Candidate
from holdover.model.dust import DUST
from holdover.model.solar_module import Module, cell_c, missing, stated_module, warmth

SERIES: Final = range(1, 13)
"""Modules in series that are tried [-]; common practice."""
PARALLEL: Final = range(1, 7)
"""Strings in parallel on one input that are tried [-]; common practice."""
BRIGHT_KW: Final = 1.0
"""Sun at which the hot maximum power voltage is looked at [kW/m²]; common practice."""
BRIGHTER: Final = 1.25
"""Current at the sun's brightest over short-circuit current [-]; NEC 690.8(A), by transcription."""


NO_INPUT: Final = "no solar input"
"""Verdict on every layout of a candidate that takes no modules [-]."""
INPUTS_UNSTATED: Final = "solar inputs not stated"
"""Verdict likewise where a data sheet does not say how many inputs there are [-]."""
TOO_HIGH: Final = "too high in the cold"
"""Verdict on modules in series whose voltage on the coldest morning is above that of an input [-]."""
TOO_LOW: Final = "too low in the heat"
"""Verdict on modules in series whose voltage on the hottest noon is below that of an input [-]."""
UNSTATED: Final = "a figure is not stated"
"""Verdict on every layout while the module or the coldest air is not known [-]."""
TOO_MUCH: Final = "too much current"
"""Verdict on strings in parallel that give more at short circuit than an input stands [-]."""
UNLIMITED_SHORT: Final = "short-circuit limit not stated"
"""Verdict on strings in parallel that work at more than the current stated, the limit at short circuit unknown [-]."""


MODULE_TRACE_WH: Final = 0.01
"""What a module must add to a day's harvest to be worth its place [Wh]; definition."""
LIMIT_TRACE_H: Final = 0.000001
"""Time for which the limit of the inputs counts: it decides between layouts that harvest alike [h]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """So many in series, so many in parallel, on every input used; "" stands for volts and amperes not known.

    `fits` tells on how many inputs the planned modules would do, `gives_w` what the limit of the inputs leaves of one
    module at most. `score` is what it is ranked by, the verdict where it
    is not allowed: see `ranking`.
    """

    series: int
    parallel: int
    fits: int
    cold_v: float | str
    hot_v: float | str
    isc_a: float | str
    inputs_used: int
    modules_used: int
    limit_w: float
    gives_w: float
    verdict: str
    harvest_wh: float
    score: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the solar inputs take of modules one in series, of one input and of all; what is not stated cuts no layout.

    `barred` tells why no layout is allowed at all, "" where one may be. In series `series_most` are allowed and
    `series_low` are too few, in parallel `parallel_most` are allowed; `no_longer` and `no_more` tell what forbids another.
    """

    inputs: int
    current_w: float
    one_w: float
    all_w: float
    barred: str
    series_most: int
    no_longer: str
    series_low: int
    parallel_most: int
    no_more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InSeries:
    """Modules in series: volts in the cold and in the heat, "" where not known."""

    series: int
    cold_v: float | str
    hot_v: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strings:
    """All strings and layouts, and the best one; its numbers are 0 where none is allowed.

    `missing` names the figures without which none is allowed, "" where all are stated. `held_back` is 1 where modules
    find no place, and strings in parallel are not allowed only because a limit is not stated.
    """

    limits: Limits
    in_series: tuple[InSeries, ...]
    layouts: tuple[Layout, ...]
    missing: str
    allowed: int
    best: int
    series: int
    parallel: int
    inputs_used: int
    modules_used: int
    cold_v: float | str
    hot_v: float | str
    isc_a: float | str
    gives_w: float
    limit_w: float
    harvest_wh: float
    cold_margin_v: float
    modules_idle: int
    longest: int
    chain: str
    held_back: int
    words: str


def cold_v(series: int, voc_v: float, voc_tempco: float, coldest_c: float, voltage_margin: float) -> float:
    """Highest voltage of a string, at dawn on the coldest day [V].

    Args:
        series: Modules in series [-].
        voc_v: Open-circuit voltage of a module [V].
        voc_tempco: Change of open-circuit voltage per degree [1/°C].
        coldest_c: Coldest air in daylight [°C].
        voltage_margin: Added for the bend of the real curve [-].

    Holds for: silicon; with a margin of 0.03 at or above the single-diode curve of nine modules in ten at -40 °C.
    Source: NEC 690.7(A)(1), by transcription; margin from the single-diode model, computed.

    >>> round(cold_v(1, 49.5, -0.0027, -10, 0), 2)
    54.18
    """
    return series * voc_v * warmth(voc_tempco, coldest_c) * (1 + voltage_margin)


def hot_v(series: int, vmp_v: float, power_tempco: float, hottest_c: float, noct_c: float) -> float:
    """Lowest maximum power voltage of a string, at noon on the hottest day [V].

    Args:
        series: Modules in series [-].
        vmp_v: Maximum power voltage of a module [V].
        power_tempco: Change of power per degree, standing in for that of the maximum power voltage [1/°C].
        hottest_c: Hottest air [°C].
        noct_c: Nominal operating cell temperature [°C].

    Holds for: silicon, within 3 % of a single-diode curve at 70 °C, either side.
    Source: common practice.

    >>> round(hot_v(2, 31, -0.0036, 40, 45), 2)
    51.68
    """
    return series * vmp_v * warmth(power_tempco, cell_c(hottest_c, BRIGHT_KW, noct_c))


def isc_a(parallel: int, module_isc_a: float) -> float:
    """Short-circuit current that an input must stand [A].

    Args:
        parallel: Strings in parallel [-].
        module_isc_a: Short-circuit current of a module [A].

    Holds for: sun brighter than at the test by a quarter, as at the edge of a cloud.
    Source: NEC 690.8(A), by transcription.

    >>> round(isc_a(3, 10.07), 2)
    37.76
    """
    return parallel * module_isc_a * BRIGHTER


def input_limit_w(string_v: float, parallel_a: float, pv_max_a: float | None, pv_input_w: float | None) -> float:
    """Most that one input takes [W].

    Args:
        string_v: Maximum power voltage of the string, at standard test conditions [V].
        parallel_a: Maximum power current of the strings in parallel [A].
        pv_max_a: Current beyond which the input draws no more; blank does not limit [A].
        pv_input_w: Power of one input; blank does not limit [W].

    Holds for: inputs that follow the maximum power point; the voltage that falls with heat is not followed.
    Source: common practice.

    >>> input_limit_w(62.0, 25.8, 15.0, 1000.0)
    930.0
    """
    drawn_a = parallel_a if pv_max_a is None else min(parallel_a, pv_max_a)
    return string_v * drawn_a if pv_input_w is None else min(string_v * drawn_a, pv_input_w)


def strings(
    candidate: Candidate,
    array: Array,
    module_w_design: Sequence[float],
    *,
    coldest_c: float | None,
    hottest_c: float,
    unplaced: bool = False,
) -> Strings:
    """Every layout of the planned modules on the candidate's inputs, and the best of those allowed [-].

    Args:
        candidate: The unit with the solar inputs [-].
        array: The modules planned [-].
        module_w_design: Output of one module in the 24 hours of the design month [W].
        coldest_c: Coldest air in daylight, None where it is not stated [°C].
        hottest_c: Hottest air [°C].
        unplaced: Whether the sun is worked out from a latitude that is not stated [-].

    Holds for: modules all alike, facing one way.
    Source: common practice; see `ranking`.

    >>> unit = Candidate(pv_inputs=2, pv_max_v=60, pv_max_a=15)
    >>> hours = [0.0] * 8 + [200.0] * 8 + [0.0] * 8
    >>> array = Array(
    ...     modules=2, power_w=400, voc_v=37, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028
    ... )
    >>> strings(unit, array, hours, coldest_c=-20, hottest_c=40).words
    '1 in series, 1 in parallel, on 2 inputs'
    >>> strings(unit, array, hours, coldest_c=None, hottest_c=40).words
    'no layout is allowed (not stated: coldest air)'
    """
    unknown = missing(array, coldest_c, unplaced=unplaced)
    known = None if unplaced else _known(array, coldest_c, hottest_c)
    layouts = tuple(
        _layout(candidate, array.modules, module_w_design, series, parallel, known)
        for parallel in PARALLEL
        for series in SERIES
    )
    ranked = ranking(layouts)
    place = ranked[0] if ranked else 0
    best = layouts[place - 1] if place else None
    modules_used = best.modules_used if best else 0
    waits = any(layout.verdict == UNLIMITED_SHORT and layout.inputs_used for layout in layouts)
    held_back = int(best is not None and waits and array.modules > modules_used)
    in_one = min(array.modules, len(SERIES))
    longest = next((o for o in layouts if o.series == in_one), None)  # of one string: those come first
    return Strings(
        limits=_limits(candidate, array, known),
        in_series=_in_series(known),
        layouts=layouts,
        missing=unknown,
        allowed=len(ranked),
        best=place,
        series=best.series if best else 0,
        parallel=best.parallel if best else 0,
        inputs_used=best.inputs_used if best else 0,
        modules_used=modules_used,
        cold_v=best.cold_v if best else 0.0,
        hot_v=best.hot_v if best else 0.0,
        isc_a=best.isc_a if best else 0.0,
        gives_w=best.gives_w if best else 0.0,
        limit_w=best.limit_w if best else 0.0,
        harvest_wh=best.harvest_wh if best else 0.0,
        cold_margin_v=(candidate.pv_max_v or 0.0) - float(best.cold_v) if best else 0.0,
        modules_idle=array.modules - modules_used,
        longest=longest.series if longest else 0,
        chain=longest.verdict if longest else "",
        held_back=held_back,
        words=_words(candidate, array.modules, best, (layouts[0], longest), unknown, held_back),
    )


def ranking(layouts: Sequence[Layout]) -> list[int]:
    """Numbers of the allowed layouts, the best first [-].

    Args:
        layouts: Every layout, in their order [-].

    Holds for: scores told apart at a millionth; of equals the one with fewer strings in parallel (less current), then
        with fewer modules in series (less voltage).
    Source: common practice: see `score`.

    >>> ranking([])
    []
    """
    scores = {n: layout.score for n, layout in enumerate(layouts, start=1) if not isinstance(layout.score, str)}
    return sorted(scores, key=lambda number: (-scores[number], number))


def score(harvest_wh: float, modules_used: int, limit_w: float) -> float:
    """What a layout is ranked by [Wh].

    Args:
        harvest_wh: Harvest of the design month's mean day [Wh].
        modules_used: Modules that found a place [-].
        limit_w: Limit of all inputs used [W].

    Holds for: mean days; a module that adds less than a hundredth of a watt-hour is left out, and of layouts that
        harvest alike the one wins whose inputs take more on a bright day.
    Source: common practice.

    >>> score(1800.0, 4, 1200.0)
    1799.9612
    """
    return round(harvest_wh - MODULE_TRACE_WH * modules_used + LIMIT_TRACE_H * limit_w, DUST)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What the limits of an input are held against: a module, and strings by their length, in the cold and in the heat [V]."""

    module: Module
    by_series: Mapping[int, tuple[float, float]]


def _known(array: Array, coldest_c: float | None, hottest_c: float) -> _Known | None:
    module = stated_module(array)
    if module is None or coldest_c is None:
        return None
    cold = (cold_v(n, module.voc_v, module.voc_tempco, coldest_c, array.voltage_margin) for n in SERIES)
    hot = (hot_v(n, module.vmp_v, array.power_tempco, hottest_c, array.noct_c) for n in SERIES)
    return _Known(module=module, by_series=dict(zip(SERIES, zip(cold, hot, strict=True), strict=True)))


def _in_series(known: _Known | None) -> tuple[InSeries, ...]:
    volts: Mapping[int, tuple[float | str, float | str]] = known.by_series if known else dict.fromkeys(SERIES, ("", ""))
    return tuple(InSeries(series=n, cold_v=cold, hot_v=hot) for n, (cold, hot) in volts.items())


def _limits(candidate: Candidate, array: Array, known: _Known | None) -> Limits:
    inputs = candidate.pv_inputs or 0
    no_more = UNLIMITED_SHORT if candidate.pv_max_isc_a is None else TOO_MUCH
    barred = UNSTATED if inputs and known is None else _barred(candidate)
    nothing: dict[str, Any] = dict.fromkeys(("current_w", "one_w", "all_w"), 0.0)
    if known is None:
        counts: dict[str, Any] = dict.fromkeys(("series_most", "series_low", "parallel_most"), 0)
        return Limits(inputs=inputs, barred=barred, no_longer=barred, no_more=no_more, **nothing, **counts)
    module, stated_a = known.module, candidate.pv_max_a
    allowed = [p for p in PARALLEL if not (barred or _too_many(candidate, p, module))]
    every_w = module.vmp_v * module.imp_a * array.modules
    return Limits(
        inputs=inputs,
        current_w=every_w if stated_a is None else module.vmp_v * stated_a,
        one_w=every_w if candidate.pv_input_w is None else candidate.pv_input_w,
        all_w=every_w if candidate.pv_total_w is None else candidate.pv_total_w,
        barred=barred,
        series_most=0 if barred else sum(not _too_high(candidate, cold) for cold, _ in known.by_series.values()),
        no_longer=barred or TOO_HIGH,
        series_low=0 if barred else sum(_too_low(candidate, hot) for _, hot in known.by_series.values()),
        parallel_most=max(allowed, default=0),
        no_more=no_more,
    )


def _layout(
    candidate: Candidate,
    planned: int,
    module_w_design: Sequence[float],
    series: int,
    parallel: int,
    known: _Known | None,
) -> Layout:
    fits = planned // (series * parallel)
    inputs_used = min(candidate.pv_inputs or 0, fits)
    place = _Place(series, parallel, fits, inputs_used, inputs_used * series * parallel)
    if known is not None:
        return _known_layout(place, candidate, module_w_design, known)
    word = UNSTATED if candidate.pv_inputs else _barred(candidate)
    nothing: dict[str, Any] = dict.fromkeys(("limit_w", "gives_w", "harvest_wh"), 0.0)
    return Layout(**place._asdict(), **nothing, cold_v="", hot_v="", isc_a="", verdict=word, score=word)


class _Place(NamedTuple):
    """What of a layout needs no figure of the modules."""

    series: int
    parallel: int
    fits: int
    inputs_used: int
    modules_used: int


def _known_layout(place: _Place, candidate: Candidate, module_w_design: Sequence[float], known: _Known) -> Layout:
    """A layout with its volts, amperes and harvest."""
    series, parallel, fits, inputs_used, modules_used = place
    module = known.module
    one_w = input_limit_w(series * module.vmp_v, parallel * module.imp_a, candidate.pv_max_a, candidate.pv_input_w)
    all_w = inputs_used * one_w
    limit_w = all_w if candidate.pv_total_w is None else min(all_w, candidate.pv_total_w)
    cold, hot = known.by_series[series]
    verdict = _verdict(candidate, place, module, cold, hot)
    harvest_wh = sum(min(modules_used * one, limit_w) for one in module_w_design) if verdict == "allowed" else 0.0
    return Layout(
        series=series,
        parallel=parallel,
        fits=fits,
        inputs_used=inputs_used,
        modules_used=modules_used,
        cold_v=cold,
        hot_v=hot,
        isc_a=isc_a(parallel, module.isc_a),
        limit_w=limit_w,
        gives_w=limit_w / modules_used if modules_used else 0.0,
        verdict=verdict,
        harvest_wh=harvest_wh,
        score=score(harvest_wh, modules_used, limit_w) if verdict == "allowed" else verdict,
    )


def _barred(candidate: Candidate) -> str:
    """Why the inputs take no layout whatever, "" where they may."""
    if not candidate.pv_inputs:
        return INPUTS_UNSTATED if candidate.pv_inputs is None else NO_INPUT
    return "" if candidate.pv_max_v else "no voltage limit stated"


def _verdict(candidate: Candidate, place: _Place, module: Module, cold: float, hot: float) -> str:
    """The first reason that applies; a value exactly at its limit is allowed, whatever float dust says."""
    if barred := _barred(candidate):
        return barred
    if _too_high(candidate, cold):
        return TOO_HIGH
    if _too_low(candidate, hot):
        return TOO_LOW
    return _too_many(candidate, place.parallel, module) or ("allowed" if place.inputs_used else "too many modules")


def _too_high(candidate: Candidate, cold: float) -> bool:
    return round(cold - (candidate.pv_max_v or 0.0), DUST) > 0


def _too_low(candidate: Candidate, hot: float) -> bool:
    return round(hot - (candidate.pv_min_v or 0.0), DUST) < 0


def _too_many(candidate: Candidate, parallel: int, module: Module) -> str:
    """Why so many strings in parallel are not allowed on an input, "" where they are."""
    short_a = isc_a(parallel, module.isc_a)
    if candidate.pv_max_isc_a is not None and round(short_a - candidate.pv_max_isc_a, DUST) > 0:
        return TOO_MUCH
    # A single string is taken to be clipped: common practice. Of more the limit at short circuit is asked first.
    unlimited = parallel > 1 and candidate.pv_max_isc_a is None and candidate.pv_max_a is not None
    return (
        UNLIMITED_SHORT if unlimited and round(parallel * module.imp_a - (candidate.pv_max_a or 0.0), DUST) > 0 else ""
    )


def _words(
    candidate: Candidate,
    planned: int,
    best: Layout | None,
    tried: tuple[Layout, Layout | None],
    unknown: str,
    held_back: int,
) -> str:
    """The outcome in a sentence; `tried` is a single module and the longest string."""
    if not planned:
        return "no solar planned"
    if not candidate.pv_inputs:
        return _barred(candidate)
    if unknown:
        return f"no layout is allowed (not stated: {unknown})"
    if best is None:
        single, longest = tried
        told = f"a single module: {single.verdict}"
        if longest is not None and longest.verdict != single.verdict:
            told += f", {longest.series} in series: {longest.verdict}"
        return f"no layout is allowed ({told})"
    inputs = "1 input" if best.inputs_used == 1 else f"{best.inputs_used} inputs"
    told = f"{best.series} in series, {best.parallel} in parallel, on {inputs}"
    idle = planned - best.modules_used
    if idle:
        told += "; 1 module unused" if idle == 1 else f"; {idle} modules unused"
    if held_back:
        told += f"; more in parallel: {UNLIMITED_SHORT}"
    return told
