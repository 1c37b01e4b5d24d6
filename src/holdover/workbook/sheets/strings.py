"""Modules on each candidate's solar inputs: every layout with its verdict, and the best of those allowed."""

from holdover.model.strings import PARALLEL, SERIES
from holdover.workbook.grid import Column, Table, each, group
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE

_VERDICT = (
    '=IF({candidates.pv_inputs[#]}+0=0,"no solar input",'
    'IF({candidates.pv_max_v[#]}+0=0,"no voltage limit stated",'
    'IF(ROUND({cold_v}-{candidates.pv_max_v[#]},6)>0,"too high in the cold",'
    'IF(ROUND({hot_v}-({candidates.pv_min_v[#]}+0),6)<0,"too low in the heat",'
    'IF(AND({candidates.pv_max_isc_a[#]}<>"",ROUND({isc_a}-{candidates.pv_max_isc_a[#]},6)>0),"too much current",'
    'IF({inputs_used}=0,"too many modules","allowed"))))))'
)
_STRING_V = "{series}*{array.vmp_v}"
_STRINGS_A = "{parallel}*{array.imp_a}"
# Where a data sheet leaves a limit blank, the array's own current or power stands in its place: it never cuts.
_LIMIT = (
    f"=MIN({{inputs_used}}*MIN({_STRING_V}*MIN({_STRINGS_A},"
    f'IF({{candidates.pv_max_a[#]}}="",{_STRINGS_A},{{candidates.pv_max_a[#]}})),'
    f'IF({{candidates.pv_input_w[#]}}="",{_STRING_V}*{_STRINGS_A},{{candidates.pv_input_w[#]}})),'
    f'IF({{candidates.pv_total_w[#]}}="",{{inputs_used}}*{_STRING_V}*{_STRINGS_A},{{candidates.pv_total_w[#]}}))'
)
_HARVEST = (
    '=IF({verdict}<>"allowed",0,{modules_used}*SUMPRODUCT(({module.design_w}<={limit_w}/{modules_used})*{module.design_w})'
    "+{limit_w}*SUMPRODUCT(({module.design_w}>{limit_w}/{modules_used})*1))"
)
_MORE = "({layouts_c#.harvest_wh}>{harvest_wh}+0.0000005)"
_AS_MUCH = "({layouts_c#.harvest_wh}>={harvest_wh}-0.0000005)*({layouts_c#.harvest_wh}<={harvest_wh}+0.0000005)"
_FEWER = "({layouts_c#.modules_used}<{modules_used})"
_AS_MANY = "({layouts_c#.modules_used}={modules_used})"
_ROOMIER = "({layouts_c#.limit_w}>{limit_w}+0.0000005)"
_AS_ROOMY = "({layouts_c#.limit_w}>={limit_w}-0.0000005)*({layouts_c#.limit_w}<={limit_w}+0.0000005)"
_THINNER = "({layouts_c#.parallel}<{parallel})"
_SHORTER = "({layouts_c#.parallel}={parallel})*({layouts_c#.series}<{series})"
_RANK = (
    '=IF({verdict}<>"allowed","",1+SUMPRODUCT(({layouts_c#.verdict}="allowed")'
    f"*({_MORE}+{_AS_MUCH}*({_FEWER}+{_AS_MANY}*({_ROOMIER}+{_AS_ROOMY}*({_THINNER}+{_SHORTER}))))))"
)
_LAYOUT = (
    Column(
        "name",
        "Candidate",
        path="/offers.#.name",
        formula='=IF({candidates.name[#]}="","",{candidates.name[#]})',
        width=26,
    ),
    Column("number", "Layout", "number", standing=tuple(range(1, len(SERIES) * len(PARALLEL) + 1)), width=9),
    Column("series", "In series", "number", width=9),
    Column("parallel", "In parallel", "number", width=9),
    Column(
        "inputs_used",
        "Inputs used",
        "number",
        formula="=MIN({candidates.pv_inputs[#]}+0,ROUNDDOWN(ROUND({array.modules}/({series}*{parallel}),9),0))",
        role="quiet",
        width=9,
    ),
    Column(
        "modules_used",
        "Modules used",
        "number",
        formula="={inputs_used}*{series}*{parallel}",
        role="quiet",
        width=9,
    ),
    Column(
        "cold_v",
        "Voltage in the cold",
        "V",
        formula="={series}*{array.voc_v}*(1+{array.voc_tempco}*({sun.coldest_c}-25))*(1+{array.voltage_margin})",
        note="Open circuit on the coldest morning, with its margin. Never above the input's highest voltage.",
        width=11,
    ),
    Column(
        "hot_v",
        "Voltage in the heat",
        "V",
        formula="={series}*{array.vmp_v}*(1+{array.power_tempco}*({sun.hottest_c}+({array.noct_c}-20)/0.8-25))",
        note="Working voltage on the hottest noon. Below the input's lowest voltage it does not charge.",
        width=11,
    ),
    Column(
        "isc_a",
        "Short-circuit current",
        "A",
        formula="={parallel}*{array.isc_a}*1.25",
        note="A quarter more than at the test, as at the edge of a cloud.",
        width=11,
    ),
    Column(
        "limit_w",
        "Inputs take at most",
        "W",
        formula=_LIMIT,
        role="quiet",
        note="Power and working current of each input, and of all together.",
        width=11,
    ),
    Column("verdict", "Verdict", formula=_VERDICT, role="verdict", width=22),
    Column("harvest_wh", "Harvest, design month", "Wh/day", formula=_HARVEST, role="quiet", width=12),
    Column(
        "rank",
        "Place",
        "number",
        path="/layout_places.#.@",
        formula=_RANK,
        role="total",
        note="Most harvest first; then fewer modules, more that the inputs can take, fewer strings, fewer in series.",
        width=9,
    ),
)
"""A layout; # stands for the number of the candidate, from 0."""


def layouts(k: int) -> Table:
    """All layouts of one candidate, numbered from 0."""
    title = f"Column {k + 1} of the Candidates sheet"
    return Table(f"layouts_c{k}", title, f"offers.{k}.strings.layouts", each((k,), *_LAYOUT))


def layouts_sheet(slots: int) -> Sheet:
    """The working sheet with a block of layouts for each candidate's column."""
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
                        "limits; of those the one with place 1 is taken."
                    ),
                )
            ),
            *(layouts(k) for k in range(slots)),
        ),
        working=True,
    )


def _best(name: str, title: str, unit: str, note: str = "", role: str = "") -> Column:
    return Column(
        name,
        title,
        unit,
        path=f"strings.{name}",
        formula=f"=IF({{best}}=0,0,INDEX({{layouts_c@.{name}}},{{best}}))",
        note=note,
        role=role,
    )


STRINGS = Table(
    "strings",
    "Modules on each candidate's inputs",
    "offers",
    (
        CANDIDATE,
        Column(
            "words",
            "In words",
            path="strings.words",
            formula='=IF({array.modules}=0,"no solar planned",IF({candidates.pv_inputs[same]}+0=0,"no solar input",'
            'IF({best}=0,"no layout is allowed; a single module: "&INDEX({layouts_c@.verdict},1)'
            '&IF({chain}=INDEX({layouts_c@.verdict},1),"","; "&{longest}&" in series: "&{chain}),'
            'ROUND({series},0)&" in series, "&ROUND({parallel},0)&" in parallel, on "&ROUND({inputs_used},0)&" input"'
            '&IF({inputs_used}=1,"","s")&IF({modules_idle}=0,"",IF({modules_idle}=1,"; 1 module finds no place",'
            '"; "&ROUND({modules_idle},0)&" modules find no place")))))',
            role="words",
        ),
        Column(
            "allowed",
            "Layouts allowed",
            "number",
            path="strings.allowed",
            formula='=COUNTIF({layouts_c@.verdict},"allowed")',
            role="total",
            note=f"Of {len(SERIES) * len(PARALLEL)} that are tried, on the working sheet String layouts.",
        ),
        Column(
            "best",
            "Number of the best",
            "number",
            path="strings.best",
            formula="=IF({allowed}=0,0,MATCH(1,{layouts_c@.rank},0))",
            note="The layout that harvests most in the design month. 0 = none is allowed.",
        ),
        Column(
            "longest",
            "Longest string tried",
            "number",
            path="strings.longest",
            formula=f"=MIN({{array.modules}},{len(SERIES)})",
        ),
        Column(
            "chain",
            "Verdict on it",
            path="strings.chain",
            formula=f'=IF({{longest}}=0,"",INDEX({{layouts_c@.verdict}},MAX(0,{{longest}}-1)*{len(PARALLEL)}+1))',
        ),
        *group(
            "Best layout",
            _best("series", "In series", "number"),
            _best("parallel", "In parallel on an input", "number"),
            _best("inputs_used", "Inputs used", "number"),
            _best("modules_used", "Modules used", "number"),
            Column(
                "modules_idle",
                "Modules that find no place",
                "number",
                path="strings.modules_idle",
                formula="={array.modules}-{modules_used}",
            ),
        ),
        *group(
            "Against the limits of an input",
            _best("cold_v", "Voltage on the coldest morning", "V", "Open circuit, with its margin."),
            Column(
                "cold_margin_v",
                "Margin to the highest voltage",
                "V",
                path="strings.cold_margin_v",
                formula="=IF({best}=0,0,{candidates.pv_max_v[same]}-{cold_v})",
                role="total",
            ),
            _best("hot_v", "Working voltage on the hottest noon", "V"),
            _best("isc_a", "Short-circuit current, with a quarter more", "A"),
        ),
        *group(
            "What comes in",
            _best("limit_w", "All inputs take at most", "W"),
            _best("harvest_wh", "Harvest, design month", "Wh/day", role="total"),
        ),
    ),
    kind="across",
)
