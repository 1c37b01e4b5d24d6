"""Modules on each candidate's solar inputs: every layout with its verdict or its score, and the best of those allowed."""

from holdover.model.strings import PARALLEL, SERIES
from holdover.workbook.column import Column, Table, each, group
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE

_SIDE_BY_SIDE = "MIN({strings.inputs[#]},{fits})"
_MODULES = f"({_SIDE_BY_SIDE}*{{series}}*{{parallel}})"
_UNLIMITED = "{array.vmp_v}*{array.imp_a}"
# Where a data sheet leaves a limit blank, the module's own current or power stands in its place: it never cuts.
_GIVES = (
    f'=IF({{solar.missing}}<>"",0,IF({_MODULES}=0,0,MIN({{array.vmp_v}}*MIN({{array.imp_a}},'
    'IF({strings.max_a[#]}="",{array.imp_a},{strings.max_a[#]}/{parallel})),'
    f'IF({{strings.input_w[#]}}="",{_UNLIMITED},{{strings.input_w[#]}}/({{series}}*{{parallel}})),'
    f'IF({{strings.total_w[#]}}="",{_UNLIMITED},{{strings.total_w[#]}}/{_MODULES}))))'
)
_SCORE = (
    '=IF({strings.inputs[#]}=0,"no solar input",IF({solar.missing}<>"","a figure is not stated",'
    'IF({strings.max_v[#]}=0,"no voltage limit stated",'
    'IF(ROUND({cold_v}-{strings.max_v[#]},6)>0,"too high in the cold",'
    'IF(ROUND({hot_v}-{strings.min_v[#]},6)<0,"too low in the heat",'
    'IF(ROUND({isc_a}-IF({strings.max_isc_a[#]}="",{isc_a},{strings.max_isc_a[#]}),6)>0,"too much current",'
    'IF({fits}=0,"too many modules",'
    f"ROUND({_MODULES}*(SUMPRODUCT(({{module.design_w}}<={{gives_#}})*{{module.design_w}})"
    "+{gives_#}*SUMPRODUCT(({module.design_w}>{gives_#})*1)-0.01+0.000001*{gives_#}),6))))))))"
)


_COLD_V = "{series}*{array.voc_v}*(1+{array.voc_tempco}*({sun.coldest_c}-25))*(1+{array.voltage_margin})"
_HOT_V = "{series}*{array.vmp_v}*(1+{array.power_tempco}*({sun.hottest_c}+({array.noct_c}-20)/0.8-25))"


def _stated(formula: str) -> str:
    return f'=IF({{solar.missing}}<>"","",{formula})'


def layouts(slots: int) -> Table:
    """Every layout: its volts and amperes, and what each candidate makes of it, numbered from 0."""
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
            Column(
                "cold_v",
                "Voltage in the cold",
                "V",
                formula=_stated(_COLD_V),
                note="Open circuit on the coldest morning, with its margin. Never above the input's highest voltage.",
            ),
            Column(
                "hot_v",
                "Voltage in the heat",
                "V",
                formula=_stated(_HOT_V),
                note="Working voltage on the hottest noon. Below the input's lowest voltage it does not charge.",
            ),
            Column(
                "isc_a",
                "Short-circuit current",
                "A",
                formula=_stated("{parallel}*{array.isc_a}*1.25"),
                note="A quarter more than at the test, as at the edge of a cloud.",
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
                "gives_#",
                "A module gives at most",
                "W",
                path="/offers.#.strings.layouts.@.gives_w",
                formula=_GIVES,
                role="quiet",
                note="By power and working current of each input, and power of all together.",
                width=9,
            ),
            Column(
                "score_#",
                "Harvest, or why not",
                "Wh/day",
                path="/offers.#.strings.layouts.@.score",
                formula=_SCORE,
                note="Of the design month, less 0.01 for each module, and a millionth of what the inputs take at most: "
                "of layouts that harvest alike the smaller one is taken, then the roomier one.",
                width=22,
            ),
        ),
    )


def layouts_sheet(slots: int) -> Sheet:
    """The working sheet with every layout on every candidate."""
    return Sheet(
        "String layouts",
        f"Working sheet: up to {len(SERIES)} modules in series and {len(PARALLEL)} strings in parallel on each input used. "
        "Nothing to type here.",
        (
            Words(
                (
                    (
                        "The same layout stands on every input that is used. A layout is allowed when its voltage in "
                        "the cold, its voltage in the heat and its short-circuit current all keep to the input's "
                        "limits; of those the one that harvests most is taken, of equals the first."
                    ),
                )
            ),
            STRINGS,
            layouts(slots),
        ),
        working=True,
    )


def _best(name: str, title: str, unit: str, formula: str, role: str = "", note: str = "") -> Column:
    return Column(
        name, title, unit, path=f"strings.{name}", formula=f"=IF({{best}}=0,0,{formula})", role=role, note=note
    )


def _limit(name: str, title: str, unit: str) -> Column:
    """A limit of the inputs, "" where the data sheet does not state it."""
    typed = f"{{candidates.pv_{name}[same]}}"
    return Column(
        name,
        title,
        unit,
        path=f"strings.limits.{name}",
        formula=f'=IF(OR({typed}="",ISTEXT({typed})),"",{typed})',
        role="quiet",
    )


def _least(name: str, title: str, unit: str, typed: str) -> Column:
    """A figure of the inputs, 0 where the data sheet does not state it."""
    return Column(
        name, title, unit, path=f"strings.limits.{name}", formula=f"=N({{candidates.{typed}[same]}})", role="quiet"
    )


# The layouts name these, not the cells that people type in: on one sheet, a column of them shares one formula.
_LIMITS = group(
    "Its inputs",
    _least("inputs", "Inputs", "number", "pv_inputs"),
    _least("max_v", "Highest voltage", "V", "pv_max_v"),
    _least("min_v", "Lowest voltage", "V", "pv_min_v"),
    _limit("max_a", "Working current", "A"),
    _limit("max_isc_a", "Short-circuit current", "A"),
    _limit("input_w", "Power of one", "W"),
    _limit("total_w", "Power of all", "W"),
)
_LAST = "INDEX({layouts.score_@},{solar.longest})"
_GIVEN = "INDEX({layouts.gives_@},{best})"

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
        _best("cold_v", "Voltage on the coldest morning", "V", "INDEX({layouts.cold_v},{best})"),
        _best("cold_margin_v", "Margin to the highest voltage", "V", "{max_v}-{cold_v}", "total"),
        _best("hot_v", "Working voltage on the hottest noon", "V", "INDEX({layouts.hot_v},{best})"),
        _best("isc_a", "Short-circuit current, with a quarter more", "A", "INDEX({layouts.isc_a},{best})"),
        _best("limit_w", "All inputs take at most", "W", f"{{modules_used}}*{_GIVEN}"),
        _best(
            "harvest_wh",
            "Harvest, design month",
            "Wh/day",
            f"{{modules_used}}*SUMPRODUCT(({{module.design_w}}<={_GIVEN})*{{module.design_w}})"
            f"+{{limit_w}}*SUMPRODUCT(({{module.design_w}}>{_GIVEN})*1)",
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
            formula='=IF({array.modules}=0,"no solar planned",IF({inputs}=0,"no solar input",'
            'IF({solar.missing}<>"","no layout is allowed; not stated: "&{solar.missing},'
            'IF({best}=0,"no layout is allowed; a single module: "&INDEX({layouts.score_@},1)'
            f'&IF({_LAST}=INDEX({{layouts.score_@}},1),"","; "&{{solar.longest}}&" in series: "&{_LAST}),'
            'ROUND({series},0)&" in series, "&ROUND({parallel},0)&" in parallel, on "&ROUND({inputs_used},0)&" input"'
            '&IF({inputs_used}=1,"","s")&IF({modules_idle}=0,"",IF({modules_idle}=1,"; 1 module finds no place",'
            '"; "&ROUND({modules_idle},0)&" modules find no place"))))))',
            width=44,
        ),
        *_LIMITS,
    ),
)
