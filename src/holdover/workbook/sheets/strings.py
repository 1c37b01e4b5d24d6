"""Modules on each candidate's solar inputs: every layout with its verdict or its score, and the best of those allowed."""

from holdover.model.strings import INPUTS_UNSTATED, PARALLEL, SERIES, TOO_HIGH, TOO_LOW, UNLIMITED_SHORT
from holdover.workbook.column import Column, Table, each, group
from holdover.workbook.page import Words
from holdover.workbook.sheets.candidates import CANDIDATE

_USED = "MIN({strings.inputs[#]},{fits})"
_ONE_TAKES = (
    "MIN({solar.peak_w}*{parallel},{strings.current_w[#]},{strings.one_w[#]}/{series},"
    f"{{strings.all_w[#]}}/{{series}}/{_USED})"
)
"""What one input takes at most, for each module in series."""
# The lesser of two is half of their sum less their distance. So of the hours of the day: 24 x what the input takes, and
# what its modules give, less the distances; one sum over the hours says it.
_SCORE = (
    "=IF({series}>{strings.series_most[#]},{strings.no_longer[#]},"
    f'IF({{series}}<={{strings.series_low[#]}},"{TOO_LOW}",'
    "IF({parallel}>{strings.parallel_most[#]},{strings.no_more[#]},"
    'IF({fits}=0,"too many modules",'
    f"ROUND({{series}}*{_USED}/2*(24.000002*{_ONE_TAKES}+{{parallel}}*({{solar.module_wh}}-0.02)"
    f"-SUMPRODUCT((({{module.design_w}}*{{parallel}}-{_ONE_TAKES})^2)^0.5)),6)))))"
)


_COLD_V = "{series}*{array.voc_v}*(1+{array.voc_tempco}*({sun.coldest_c}-25))*(1+{array.voltage_margin})"
_HOT_V = "{series}*{array.vmp_v}*(1+{array.power_tempco}*({sun.hottest_c}+({array.noct_c}-20)/0.8-25))"


def _stated(formula: str) -> str:
    return f'=IF({{solar.missing}}<>"","",{formula})'


IN_SERIES = Table(
    "in_series",
    "Modules in series",
    "offers.0.strings.in_series",
    (
        Column("series", "In series", "number", width=9),
        Column(
            "cold_v",
            "Voltage in the cold",
            "V",
            formula=_stated(_COLD_V),
            note="Open circuit on the coldest morning, with its margin. Never above the input's maximum voltage.",
        ),
        Column(
            "hot_v",
            "Voltage in the heat",
            "V",
            formula=_stated(_HOT_V),
            note="Maximum power voltage on the hottest noon. Below the input's minimum voltage it does not charge.",
        ),
    ),
)


def layouts(slots: int) -> Table:
    """Every layout, and what each candidate makes of it, numbered from 0."""
    return Table(
        "layouts",
        "Every layout, and what each candidate harvests with it or why it is not allowed",
        "offers.0.strings.layouts",
        (
            Column("series", "In series", "number", width=9),
            Column("parallel", "In parallel", "number", width=9),
            Column(
                "fits",
                "Inputs that could be used",
                "number",
                formula="=ROUNDDOWN(ROUND({array.modules}/({series}*{parallel}),9),0)",
                note="By the number of modules planned.",
            ),
            *(column for k in range(slots) for column in _on(k)),
        ),
    )


def _on(k: int) -> tuple[Column, ...]:
    """A layout on the inputs of a candidate, numbered from 0."""
    return group(
        f"Column {k + 1} of Candidates",
        *each(
            (k,),
            Column(
                "score_#",
                "Harvest, or why not",
                "Wh/day",
                path="/offers.#.strings.layouts.@.score",
                formula=_SCORE,
                note=""
                if k
                else "Of the design month, less 0.01 a module, and a millionth of what inputs take at most: of layouts that "
                "harvest alike the smaller is taken, then the roomier.",
                width=22,
            ),
        ),
    )


LAYOUT_WORDS = Words(
    (
        f"Up to {len(SERIES)} modules in series and {len(PARALLEL)} strings in parallel stand on each input that is used, "
        "the same on all. A layout is allowed when its voltage in the cold, its voltage in the heat and its short-circuit "
        "current all keep to the input's limits; of those the one that harvests most is taken, of equals the first.",
    )
)


def _best(name: str, title: str, unit: str, formula: str, role: str = "", note: str = "") -> Column:
    return Column(
        name, title, unit, path=f"strings.{name}", formula=f"=IF({{best}}=0,0,{formula})", role=role, note=note
    )


def _limit(name: str, title: str, stated: str, times: str = "1") -> Column:
    """A limit of the inputs in watts; where the data sheet leaves it blank, one that cuts no layout."""
    typed = f"{{candidates.{stated}[same]}}"
    return Column(
        name,
        title,
        "W",
        path=f"strings.limits.{name}",
        formula=f'=IF({{solar.missing}}<>"",0,IF({typed}="",{{solar.peak_w}}*{{array.modules}},{times}*{typed}))',
        role="quiet",
    )


def _strings_within(limit: str, each_a: str) -> str:
    """How many strings keep to a limit in amperes; half a millionth more is float dust."""
    return f"ROUNDDOWN((N({{candidates.{limit}[same]}})+0.0000005)/{each_a},0)"


_LIMITS = group(
    "Limits of its inputs",
    Column("inputs", "Inputs", "number", path="strings.limits.inputs", formula="=N({candidates.pv_inputs[same]})"),
    _limit("current_w", "By current, one module in series", "pv_max_a", "{array.vmp_v}"),
    _limit("one_w", "Of one input", "pv_input_w"),
    _limit("all_w", "Of all", "pv_total_w"),
    Column(
        "barred",
        "No layout is allowed",
        path="strings.limits.barred",
        formula=f'=IF({{candidates.pv_inputs[same]}}="","{INPUTS_UNSTATED}",'
        'IF({inputs}=0,"no solar input",IF({solar.missing}<>"","a figure is not stated",'
        'IF(N({candidates.pv_max_v[same]})=0,"no voltage limit stated",""))))',
        role="quiet",
    ),
    Column(
        "series_most",
        "In series at most",
        "number",
        path="strings.limits.series_most",
        formula='=IF({barred}<>"",0,SUMPRODUCT(({in_series.cold_v}-{candidates.pv_max_v[same]}<0.0000005)*1))',
        note="By the voltage in the cold.",
        role="quiet",
    ),
    Column(
        "no_longer",
        "Why no more of them in series",
        path="strings.limits.no_longer",
        formula=f'=IF({{barred}}="","{TOO_HIGH}",{{barred}})',
        role="quiet",
    ),
    Column(
        "series_low",
        "In series, too few",
        "number",
        path="strings.limits.series_low",
        formula='=IF({barred}<>"",0,SUMPRODUCT(({in_series.hot_v}-MAX(0,{candidates.pv_min_v[same]})<=-0.0000005)*1))',
        note="By the voltage in the heat.",
        role="quiet",
    ),
    Column(
        "parallel_most",
        "Strings in parallel at most",
        "number",
        path="strings.limits.parallel_most",
        formula=f'=IF({{barred}}<>"",0,MIN({len(PARALLEL)},IF({{candidates.pv_max_isc_a[same]}}<>"",'
        f"{_strings_within('pv_max_isc_a', '({array.isc_a}*1.25)')},"
        f'IF({{candidates.pv_max_a[same]}}="",{len(PARALLEL)},MAX(1,{_strings_within("pv_max_a", "{array.imp_a}")})))))',
        note="By the current at short circuit, or else by the one it works at.",
        role="quiet",
    ),
    Column(
        "no_more",
        "Why no more of them in parallel",
        path="strings.limits.no_more",
        formula=f'=IF({{candidates.pv_max_isc_a[same]}}="","{UNLIMITED_SHORT}","too much current")',
        role="quiet",
    ),
)
_LAST = "INDEX({layouts.score_@},{solar.longest})"

STRINGS = Table(
    "strings",
    "The best layout of each candidate",
    "offers",
    (
        CANDIDATE,
        Column(
            "allowed",
            "Layouts allowed",
            "number",
            path="strings.allowed",
            formula="=COUNT({layouts.score_@})",
            note=f"Of {len(SERIES) * len(PARALLEL)} that are tried.",
        ),
        Column(
            "best",
            "Line of the best",
            "number",
            path="strings.best",
            formula="=IF({allowed}=0,0,MATCH(MAX({layouts.score_@}),{layouts.score_@},0))",
            note="Counted below. 0 = none is allowed.",
        ),
        _best("series", "In series", "number", "INDEX({layouts.series},{best})"),
        _best("parallel", "In parallel on an input", "number", "INDEX({layouts.parallel},{best})"),
        _best("inputs_used", "Inputs used", "number", "MIN({inputs},INDEX({layouts.fits},{best}))"),
        _best("modules_used", "Modules used", "number", "{inputs_used}*{series}*{parallel}", "total"),
        Column(
            "modules_idle",
            "Modules that find no place",
            "number",
            path="strings.modules_idle",
            formula="={array.modules}-{modules_used}",
        ),
        Column(
            "held_back",
            "Waits for a limit",
            "number",
            path="strings.held_back",
            formula="=IF(AND({best}>0,{modules_idle}>0,{inputs}>0,"
            f'SUMPRODUCT(({{layouts.score_@}}="{UNLIMITED_SHORT}")*({{layouts.fits}}>0))>0),1,0)',
            note="1 = strings in parallel might take modules that find no place, if the limit at short circuit were stated.",
        ),
        _best("cold_v", "Voltage on the coldest morning", "V", "INDEX({in_series.cold_v},{series})"),
        _best("cold_margin_v", "Margin to the maximum voltage", "V", "{candidates.pv_max_v[same]}-{cold_v}", "total"),
        _best("hot_v", "Maximum power voltage on the hottest noon", "V", "INDEX({in_series.hot_v},{series})"),
        _best(
            "isc_a",
            "Short-circuit current, with a quarter more",
            "A",
            "{parallel}*{array.isc_a}*1.25",
            note="As at the edge of a cloud.",
        ),
        _best(
            "gives_w",
            "A module gives at most",
            "W",
            "MIN({solar.peak_w},{current_w}/{parallel},{one_w}/({series}*{parallel}),{all_w}/{modules_used})",
            note="By power and maximum current of each input, and power of all together.",
        ),
        _best("limit_w", "All inputs take at most", "W", "{modules_used}*{gives_w}"),
        _best(
            "harvest_wh",
            "Harvest, design month",
            "Wh/day",
            "{modules_used}*SUMPRODUCT(({module.design_w}<={gives_w})*{module.design_w})"
            "+{limit_w}*SUMPRODUCT(({module.design_w}>{gives_w})*1)",
            "total",
        ),
        Column(
            "generator_w_used",
            "Drawn from the generator",
            "W",
            path="recharge.generator_w_used",
            formula="=MIN({recharge.generator_w},N({candidates.ac_charge_w[same]}))",
            note="What the generator gives for hours, or what the charger takes, whichever is less.",
        ),
        Column(
            "words",
            "In words",
            path="strings.words",
            formula='=IF({array.modules}=0,"no solar planned",IF({candidates.pv_inputs[same]}="",'
            f'"{INPUTS_UNSTATED}",'
            'IF({inputs}=0,"no solar input",IF({solar.missing}<>"","no layout is allowed (not stated: "&{solar.missing}&")",'
            'IF({best}=0,"no layout is allowed (a single module: "&INDEX({layouts.score_@},1)'
            f'&IF({_LAST}=INDEX({{layouts.score_@}},1),"",", "&{{solar.longest}}&" in series: "&{_LAST})&")",'
            'ROUND({series},0)&" in series, "&ROUND({parallel},0)&" in parallel, on "&ROUND({inputs_used},0)&" input"'
            '&IF({inputs_used}=1,"","s")&IF({modules_idle}=0,"",IF({modules_idle}=1,"; 1 module unused",'
            '"; "&ROUND({modules_idle},0)&" modules unused"))'
            f'&IF({{held_back}}=1,"; more in parallel: {UNLIMITED_SHORT}",""))))))',
            width=44,
        ),
        *_LIMITS,
    ),
    kind="across",
)
