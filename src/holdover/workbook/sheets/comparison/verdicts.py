"""The whole field: how many fit, who comes nearest, what stands on all of them, and what would mend the nearest miss."""

from holdover.model.outage.what_if import LONGER, MORE_GENERATOR_H, WITHOUT
from holdover.model.pages.compared import COMMON
from holdover.model.verdict.fit import REMARKS
from holdover.model.verdict.given_up import FROST_C, HEALTH, HEATED_C, HEATING, PIPES
from holdover.model.verdict.mend import NO_SHARES
from holdover.model.verdict.reason import ASKED
from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.comparison.reasons import is_common, listed_words
from holdover.workbook.sheets.decision import of_nearest
from holdover.workbook.sheets.outage.field import NEAREST_TRIED, thousands
from holdover.workbook.sheets.outage.tried import of_trial


def _named(number: str) -> str:
    """A candidate and its packs."""
    packs = f"INDEX({{fit.packs}},1,{number})"
    return f'INDEX({{fit.name}},1,{number})&IF({packs}>0," with "&{packs}&IF({packs}=1," pack"," packs"),"")'


_UNKNOWN = 'INDEX({fit.verdict},1,{decision.told_number})="CHECK"'
_LEAD = (
    '=IF({decision.listed}=0,"No candidate is listed yet.",IF({decision.pick_number}>0,'
    + _named("{decision.pick_number}")
    + '&": "&{decision.chosen_by}&".",'
    + f'IF({{decision.listed}}=1,{_named("{decision.nearest_number}")}&IF({_UNKNOWN}," is not known to fit."," does not fit."),'
    + f'"None of the "&{{decision.listed}}&" candidates "&IF({_UNKNOWN},"is known to fit.","fits.")&" Nearest is "&'
    + _named("{decision.nearest_number}")
    + '&".")))'
)

FIELD = Table(
    "field",
    "The whole field",
    "decision",
    (
        Column("lead", "In short", path="/compared.lead", formula=_LEAD, role="line"),
        Column("field_remarks", "Worth a look on all of them", formula=listed_words(tuple(REMARKS), REMARKS, "; ")),
        Column("field_asks", "To ask of all of them", formula=listed_words(tuple(ASKED), ASKED, ", ")),
        *group(
            "Stands on every candidate (1 = yes)",
            *(
                Column(
                    f"common_{name}",
                    REMARKS.get(name) or ASKED[name],
                    "number",
                    path=f"/compared.common.{i}",
                    formula=is_common(name),
                    role="quiet",
                )
                for i, name in enumerate(COMMON)
            ),
        ),
    ),
    kind="across",
)


def _word_of_nearest(key: str) -> str:
    """Of the grid, in which every second column is a candidate's word."""
    return f"INDEX({{word.{key}}},1,2*{{decision.nearest_number}}-1)"


_TAKEN = (
    f"({{line.ac_wh[same]}}/{of_nearest('storage.inverter_efficiency')}"
    f"+({{line.energy_wh[same]}}-{{line.ac_wh[same]}})/{of_nearest('storage.dc_efficiency')})"
    "*SUMPRODUCT({left.alone}*({line.share_0[same]}:{line.share_23[same]}))"
)
# As much of the need as the load takes of what is drawn while no source is connected; with something missing it is a number.
_GIVES_BACK = f"IF({{near.drawn_wh}}>0,ROUND({of_nearest('check.promise_needed')}*{_TAKEN}/{{near.drawn_wh}},6),0)"
_OUT_OF_PROMISE = 'OR({look_for.promised}=1,AND({line.tier[same]}="convenience",{look_for.promised}=2))'
_KEPT_BUSY = 'OR({line.is_ac[same]}=0,{load.turns[same]}<>"",AND({line.pool[same]}=1,{demand.pool_words}<>""))'
# Of a load that shares its place with no other all its watts count in an hour in which it is on. Where it is on in every
# hour that asks too much, and makes up for the worst of them, the output is enough without it.
_ON_THEN = "SUMPRODUCT({left.over}*({line.share_0[same]}:{line.share_23[same]}<=0.000001))=0"
_STEP = "ROUND({line.step_w[same]}*{line.is_ac[same]},6)"


def _is_called(parts: tuple[str, ...], name: str) -> str:
    """Whether a name has one of these parts: tests beside each other."""
    begins = f'" "&{name}'  # for a part that a word of the name begins with
    return ",".join(f'ISNUMBER(SEARCH("{part}",{begins if part[0] == " " else name}))' for part in parts)


def _heats(name: str) -> str:
    return _is_called(HEATING, name)


_HEATING_BEHIND = "20000000000"
_BEHIND = (
    f'=IF(OR({{decision.nearest_number}}=0,{{line.name[same]}}="",{{line.tier[same]}}="critical",{_is_called(HEALTH, "{line.name[same]}")}),"",'
    '{line.number[same]}/10000+IF({line.tier[same]}="convenience",0,10000000000)'
    f"+IF(OR({_heats('{line.name[same]}')}),{_HEATING_BEHIND},0))"
)


def _enough(given: str, missing: str, kept: str, also: str = "") -> str:
    """What leaving a load out gives, if that is enough; nothing where it is kept in any case."""
    order = f"ROUND({given},0)+{{behind}}"
    if also:
        order = f'IF({also},{order},"")'
    enough = f'IF(ROUND({given}-{missing},6)>=0,{order},"")'
    return f'=IF(OR({{behind}}="",{missing}<=0),"",IF({kept},"",{enough}))'


SPARED = Table(
    "spared",
    "What leaving a load out may give back to the nearest miss, where it is enough",
    "compared.spared",
    (
        Column(
            "behind",
            "Given up after (blank: never)",
            "number",
            formula=_BEHIND,
        ),
        Column(
            "stores_wh",
            "Usable storage",
            "Wh",
            formula=_enough(_GIVES_BACK, "{near.missing_wh}", _OUT_OF_PROMISE),
        ),
        Column(
            "runs_w",
            "Running",
            "W",
            formula=_enough("ROUND({line.need_w[same]},6)", "{near.missing_w}", _KEPT_BUSY, _ON_THEN),
        ),
        Column(
            "starts_w",
            "Added at its start",
            "W",
            formula=f'=IF({{decision.nearest_number}}=0,"",IF(AND({{line.name[same]}}<>"",{_STEP}>0),{_STEP},""))',
        ),
    ),
)


def _load(column: str, choose: str) -> str:
    return f"MATCH({choose}({{spared.{column}}}),{{spared.{column}}},0)"


def _first(column: str, choose: str, when: str = "") -> str:
    there = f"COUNT({{spared.{column}}})>0"
    found = f"INDEX({{line.name}},{_load(column, choose)})"
    if when:
        found = f'IF({when},{found},"")'
    return f'=IF({there},{found},"")'


# A blank coldest air counts as 0 °C: nobody knows that no pipe freezes.
_PIPES = (
    f'IF(AND(ROUND({{sizing.storage_c}}-{HEATED_C:g},6)<=0,ROUND(N({{sun.coldest_c}})-{FROST_C:g},6)<0),"{PIPES}","")'
)


def _pipes(column: str) -> str:
    """What stands behind a load that heats: none is chosen while another would do."""
    return f'IF(MIN({{spared.{column}}})>={_HEATING_BEHIND},{_PIPES},"")'


_LEFT_OUT = "({line.name}={left_out_for_storage})"
_RUNNING, _STARTS = _load("runs_w", "MIN"), _load("starts_w", "MAX")
_OTHER = "MATCH(SMALL({spared.runs_w},2),{spared.runs_w},0)"


def _hours(of: str) -> str:
    """Hours a day of a load; a metered one that states none is on all day."""
    hours = f"INDEX({{line.hours}},{of})"
    return f"IF({hours}<=0,24,{hours})"


def _starts_at_most(step: str) -> str:
    """Whether the nearest gives what runs at the peak and a start beside it."""
    surge = "INDEX({there.starting},1,2*{decision.nearest_number}-1)"
    return f"AND(ISNUMBER({surge}),ROUND(N({surge})-({{demand.peak_running_w}}+{step})*(1+{{sizing.starting_margin}}),6)>=0)"


_SECOND = "IF(COUNT({spared.starts_w})>1,SMALL({spared.starts_w},COUNT({spared.starts_w})-1),0)"
_ALONE = f'AND({{sizing.starting}}="one at a time",{_starts_at_most(_SECOND)})'
_FOR_STORAGE = (
    f'=MID(IF({{by_card}}=1,", or {NO_SHARES}","")'
    '&IF({more_packs}>0,", or "&{more_packs}&IF({more_packs}=1," more pack"," more packs"),"")'
    f'&IF({{left_out_for_storage}}="","",", or "&{{left_out_for_storage}}&" left out ("'
    f'&{thousands(f"SUMPRODUCT({_LEFT_OUT}*{{line.energy_wh}})")}&" Wh a day)"&IF(OR({_heats("{left_out_for_storage}")}),{_PIPES},""))'
    '&IF({generator_h}>0,", or "&ROUND(ROUND({generator_h},6),1)&" more generator hour"&IF(ROUND({generator_h},1)=1,"","s")&" a day",""),6,600)'
)
_FOR_OUTPUT = (
    f'=MID(IF({{left_out_for_output}}="","",IF({{left_out_for_storage}}={{left_out_for_output}},"",'
    f'", or "&{{left_out_for_output}}&" left out ("&{thousands(f"INDEX({{line.total_w}},{_RUNNING})")}&" W)"&{_pipes("runs_w")}))'
    f'&IF(COUNT({{spared.runs_w}})<2,"",IF(ROUND({_hours(_RUNNING)}+{_hours(_OTHER)}-24,6)>0,"",", or "&{{left_out_for_output}}'
    f'&" and "&INDEX({{line.name}},{_OTHER})&" not at the same time"))'
    f'&IF({{eased_start}}="","",", or "&IF({_ALONE},{{eased_start}},"motors, above all "&{{eased_start}}&",")&" started while less is on ("'
    f'&{thousands(f"INDEX({{line.step_w}},{_STARTS})")}&" W more at its start)"),6,600)'
)
_MENDS = '{for_storage}&IF(AND({for_storage}<>"",{for_output}<>""),", or ","")&{for_output}'

_SOME = 'OR({by_card}=1,{more_packs}>0,{left_out_for_storage}<>"",{generator_h}>0,{left_out_for_output}<>"",{eased_start}<>"")'
_UNDERS = _word_of_nearest("unders")
_LARGER = (
    f'"a unit of "&IF({{missing_wh}}>0,{thousands(of_nearest("check.promise_needed"))}&" Wh usable","")'
    '&IF(AND({missing_wh}>0,{missing_w}>0)," and ","")'
    f'&IF({{missing_w}}>0,{thousands("ROUNDUP(ROUND({need.running},6),0)")}&" W continuous","")'
)
_UNMENDED = (
    'OR(AND({missing_wh}>0,{more_packs}=0,{left_out_for_storage}="",{generator_h}<=0),'
    'AND({missing_w}>0,{left_out_for_output}=""))'
)
_WORDS = (
    f'={_MENDS}&IF({_UNMENDED},IF({_SOME},IF({NEAREST_TRIED},"; none of these is enough alone: it takes ",", or "),"")&{_LARGER},'
    f'IF({_SOME},IF({_UNDERS}>1,"; each of its "&{_UNDERS}&" shortages must be mended",""),""))'
    f'&IF(AND({{missing_wh}}>0,OR(AND({{plan.promised}}>1,{{outage.drop_essential_at}}<>""),'
    f'AND({{plan.promised}}>2,{{outage.drop_convenience_at}}<>""))),"; with {NO_SHARES}","")'
)
_PACK_USABLE = f"(N({of_nearest('candidates.pack_wh')})*{of_nearest('storage.per_wh')})"
_PACKS = f"ROUNDUP(ROUND({{missing_wh}}/{_PACK_USABLE},9),0)"


def _kept(trial: str) -> str:
    """Whether a what-if of the nearest, if it is the one tried, keeps the promise with its margin."""
    return f'{NEAREST_TRIED},{{missing_wh}}>0,{of_trial(trial, "words")}="kept"'


_RUNNING_MARGIN = of_nearest("check.running_margin")
_MISSING_W = (
    f"=IF({{decision.nearest_number}}=0,0,IF(ISTEXT({_RUNNING_MARGIN}),0,"
    f"IF(ROUND({_RUNNING_MARGIN},6)<0,-{_RUNNING_MARGIN},0)))"
)
_PROMISE_MARGIN = of_nearest("check.promise_margin")
_MISSING_WH = (
    f'=IF({{decision.nearest_number}}=0,0,IF(OR({_word_of_nearest("promise")}<>"UNDER",ISTEXT({_PROMISE_MARGIN})),0,'
    f"IF(ROUND({_PROMISE_MARGIN},6)<0,-{_PROMISE_MARGIN},0)))"
)
_BY_CARD = (
    f'=IF({{decision.nearest_number}}=0,0,IF(OR({_word_of_nearest("promise")}<>"UNDER",ISTEXT({_PROMISE_MARGIN})),0,'
    f"IF(ROUND({_PROMISE_MARGIN},6)>=0,1,0)))"
)

MEND = Table(
    "near",
    "What would mend the nearest miss",
    "compared.mend",
    (
        Column("words", "In short", formula=_WORDS, role="line"),
        Column("for_storage", "What would help storage", formula=_FOR_STORAGE),
        Column("for_output", "What would help output", formula=_FOR_OUTPUT),
        Column("by_card", "The operation card would do", "number", formula=_BY_CARD),
        Column("missing_wh", "Missing of usable storage", "Wh", formula=_MISSING_WH),
        Column("missing_w", "Missing of continuous output", "W", formula=_MISSING_W),
        Column(
            "drawn_wh",
            "Taken in a day by what is promised, with no source connected",
            "Wh",
            path="/compared.drawn_wh",
            formula=f"=IF({{decision.nearest_number}}=0,0,SUMPRODUCT((1-{{clock.mains_share}}-{{clock.generator_share}})"
            f"*({{tried_day.promised_ac}}/{of_nearest('storage.inverter_efficiency')}"
            f"+{{tried_day.promised_dc}}/{of_nearest('storage.dc_efficiency')}+{of_nearest('storage.idle_w')})))",
        ),
        Column(
            "more_packs",
            "More packs",
            "number",
            formula=f"=IF({{missing_wh}}<=0,0,IF({_PACK_USABLE}<=0,0,IF({_PACKS}>N({of_nearest('candidates.packs_max')})"
            f"-{of_nearest('storage.packs')},0,{_PACKS})))",
        ),
        Column(
            "generator_h",
            "More generator hours a day",
            "h",
            formula=f"=IF(AND({_kept(LONGER)}),MIN({MORE_GENERATOR_H:g},24-{{outage.generator_hours}}),0)",
        ),
        Column(
            "left_out_for_storage",
            "Load left out, for storage",
            formula=f'=IF(AND({{outage.without}}<>"",{_kept(WITHOUT)}),IF(SUMPRODUCT(({{line.name}}={{outage.without}})'
            '*({spared.behind}=""))=0,{outage.without},""),"")',
        ),
        Column("left_out_for_output", "Load left out, for output", formula=_first("runs_w", "MIN")),
        Column(
            "eased_start",
            "Start eased",
            formula=_first("starts_w", "MAX", f'AND({_word_of_nearest("starting")}="UNDER",{_starts_at_most("0")})'),
        ),
    ),
    kind="across",
)
