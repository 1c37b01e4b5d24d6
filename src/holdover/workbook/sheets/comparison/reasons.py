"""Why a candidate falls short, what to ask, what is worth a look: sentences out of the checks' words and numbers."""

from typing import Final

from holdover.model.verdict.fit import OUTAGE, OUTPUT, REMARKS, SILENT_WHERE_UNKNOWN
from holdover.model.verdict.reason import (
    AC_CHARGING,
    AC_WAITS,
    ASKED,
    BREAKS_WITHIN,
    CURES_NOTHING,
    DRIVE_ALONE,
    LESS,
    LOWEST_CHARGING,
    NO_STORAGE,
    OF_STORAGE,
    SHORT_CIRCUIT,
)
from holdover.workbook.sheets.comparison.checks import AC_WAITS_FOR, OUTAGE_HALF, OUTPUT_HALF, SUN_WAITS_FOR
from holdover.workbook.sheets.outage.field import clock_words, thousands, whole

_NEEDS: Final = {check.key: check.need for check in (*OUTPUT_HALF, *OUTAGE_HALF)}


WITH_MARGIN: Final = 'IF({sizing.energy_margin}>0," with "&ROUND(ROUND(100*{sizing.energy_margin},6),2)&" % margin","")'
"""The margin that a need of storage holds, as it is named beside it."""


def _less(key: str) -> str:
    """How much is missing of what is needed."""
    what, unit = LESS[key]
    there, need = f"{{there.{key}[same]}}", _NEEDS[key]
    if key in OF_STORAGE:
        missing, need = thousands(f"({whole(need)}-{whole(there)})"), thousands(need)
    else:
        missing, need = (f"FIXED(ROUNDUP(ROUND({each},6),0),0)" for each in (f"-{{check.{key}_margin[same]}}", need))
    mark = "" if key == "promise" else ":"
    told = f'"{what}{mark} "&{missing}&" {unit} less than the "&{need}&" needed"'
    if key not in OF_STORAGE:
        return told
    margin = "" if key == "vehicle" else f"&{WITH_MARGIN}"
    return f'{told}{margin}&" ("&{thousands(there)}&" usable)"'


_CRITICAL = "{served.critical_until_h[same]}"
_BREAKS = (
    f'IF(OR({{promise.broken_tier[same]}}="critical",{_CRITICAL}=""),{{promise.broken_tier[same]}}&" loads are off or short from ",'
    f'"critical loads off from "&{clock_words(_CRITICAL)}&", "&{{promise.broken_tier[same]}}&" from ")'
    f"&{clock_words('{promise.until_h[same]}')}"
)
"""Where critical loads stop, their hour stands before that of others that stop earlier."""
_TOLD: Final = {
    "voltage": '"voltage: "&IF({candidates.volts_at_once[same]}="by switch",'
    f'{whole("-{check.voltage_margin[same]}")}&" of "&{whole("{need.voltage}")}'
    '&" AC loads are not served; it gives one voltage at a time",'
    f'{whole("-{check.voltage_margin[same]}")}&" of "&{whole("{need.voltage}")}&" AC loads need another one")',
    "gap": f'"transfer: a gap of "&{whole("{there.gap[same]}")}&" ms, where a critical load tolerates "'
    f"&{whole('{need.gap}')}",
    "solar": '"solar: "&{strings.words[same]}',
    "promise": 'IF(OR({promise.broken_tier[same]}="",ISTEXT({promise.until_h[same]})),"",' + _BREAKS + '&": ")'
    '&IF(ISTEXT({check.promise_margin[same]}),"no size of storage keeps the promise from such a state of charge at the start",'
    'IF(ROUND({check.promise_margin[same]},6)>=0,"the device drops them while storage would do",'
    + _less("promise")
    + f'&IF(OR({{word.solar[same]}}="CHECK",AND({{candidates.ac_charge_w[same]}}="",{{plan.alone_h}}<24)),"{CURES_NOTHING}","")))',
    "vehicle": 'IF(ISTEXT({check.vehicle_needed[same]}),"vehicle: no storage carries the loads beside it",'
    "IF(IF(ISTEXT({check.vehicle_margin[same]}),0,ROUND({check.vehicle_margin[same]},6))<0,"
    + _less("vehicle")
    + f',IF(ROUND({{trip.draw_margin_w[same]}},6)<0,"vehicle: its charger draws "&{thousands("-{trip.draw_margin_w[same]}")}'
    '&" W more than this unit gives",'
    '"vehicle: its charger needs another voltage")))',
}


def reason_of_half(keys: tuple[str, ...]) -> str:
    """What falls short in a half of the verdict, each beginning with a semicolon."""
    said = (f'"; "&{_TOLD.get(key) or _less(key)}'.replace('"; "&"', '"; ') for key in keys)
    return "&".join(f'IF({{word.{key}[same]}}="UNDER",{one},"")' for key, one in zip(keys, said, strict=True))


_WAITS = (
    f'MID(IF({AC_WAITS_FOR},", {AC_WAITS}","")&IF({SUN_WAITS_FOR},", "&IF({{strings.held_back[same]}}=1,'
    f'"{SHORT_CIRCUIT} not stated and some modules counted",'
    'IF({solar.missing}="","solar inputs",{solar.missing})&" not stated and no module counted"),""),3,400)'
)
REASON: Final = (
    '=IF({name}="","",IF({word.unders[same]}=0,'
    f'IF({{candidates.storage_wh[same]}}="","{NO_STORAGE}",IF({{fits}}=0,{_WAITS}&": "&{_BREAKS},'
    'IF(AND({word.asks[same]}=0,{word.handling[same]}="OK"),"every check holds","nothing falls short"))),'
    f'IF(AND({{word.unders[same]}}=1,{{word.vehicle[same]}}="UNDER",{{candidates.storage_wh[same]}}<>""),"{DRIVE_ALONE}","")&'
    f'MID(IF({_CRITICAL}="",{{check.short_output[same]}}&{{check.short_outage[same]}},'
    "{check.short_outage[same]}&{check.short_output[same]}),3,999)))"
)
SHORT_OUTPUT, SHORT_OUTAGE = (f"={reason_of_half(keys)}" for keys in (OUTPUT, OUTAGE))


def common(name: str) -> str:
    """Whether something stands on every candidate, as a formula names it."""
    return f"{{field.common_{name}}}"


_OPEN_STORAGE = 'IF(AND({word.promise[same]}="CHECK",{candidates.storage_wh[same]}="",{word.storage[same]}<>"CHECK"),", storage","")'
_OPEN_SOLAR = (
    'IF({word.solar[same]}="CHECK",IF({strings.held_back[same]}=1,", short-circuit limit of its solar inputs",'
    'IF(AND({solar.missing}<>"",{candidates.pv_inputs[same]}<>"",{candidates.pv_max_v[same]}<>""),"",", its solar inputs"))'
    '&IF({solar.missing}="","",IF(OR({candidates.pv_inputs[same]}="",{candidates.pv_max_v[same]}=""),"; to be stated: ",", ")'
    '&{solar.missing}),"")'
)
_OPEN_AC = (
    f'IF(AND({{word.promise[same]}}="CHECK",{{promise.word[same]}}="UNDER"),IF({AC_WAITS_FOR},", {AC_CHARGING}",""),"")'
)
_OPEN_LOWEST = (
    'IF(AND(ROUND({promise.source_trips_w[same]},6)>0,{candidates.ac_charge_w[same]}<>"",{candidates.ac_charge_min_w[same]}=""),'
    f'", {LOWEST_CHARGING}","")'
)
# Where these are stated the drive waits for what the loads leave, of which no data sheet says anything.
_DRIVE_OPEN = ',OR({candidates.continuous_w[same]}="",{candidates.ac_volts[same]}="")'
# Of apparent power nothing is asked where watts fall short.
_DECIDES: Final = {"vehicle": _DRIVE_OPEN, "apparent": ',{word.running[same]}<>"UNDER"'}
ASKED_FOR: Final = (
    '=IF({name}="","",MID('
    + "&".join(
        f'IF(AND({{word.{key}[same]}}="CHECK",{common(key)}=0{_DECIDES.get(key, "")}),", {ASKED[key]}","")'
        for key in (*OUTPUT, *OUTAGE)
        if key in ASKED
    )
    + f"&{_OPEN_STORAGE}&{_OPEN_AC}&{_OPEN_LOWEST}&{_OPEN_SOLAR},3,999))"
)
# The charger's lowest setting is part of what trips; what is more than it is asked by the loads alone.
_LOADS_TRIP = "({promise.source_trips_w[same]}-{supply.lowest_charge_w[same]})"
_TO_LOOK_AT = (
    f'IF({{promise.word[same]}}="UNDER",IF({{fits}}=1,"; {BREAKS_WITHIN}",""),'
    'IF({promise.margin_held[same]}=1,"","; the promise is kept, without the margin"'
    '&IF(ISTEXT({check.promise_margin[same]}),"",": "&'
    + _less("promise")
    + f'))&IF(ROUND({_LOADS_TRIP},6)>0,"; loads alone draw "&{thousands(_LOADS_TRIP)}&" W more than a source gives: it trips",'
    'IF(ROUND({promise.source_trips_w[same]},6)>0,"; loads and charger trip a source by "'
    f'&{thousands("{promise.source_trips_w[same]}")}&" W unless charging is set lower",""))&IF({{promise.runs_down[same]}}=1,"; the last day ends with "'
    f'&{thousands("-{promise.daily_balance_wh[same]}")}&" Wh less than it began with",""))'
)
ASK: Final = (
    '=IF({name}="","",MID(IF({check.asked[same]}="","","; ask for: "&{check.asked[same]})'
    '&IF(AND({word.promise[same]}="CHECK",{candidates.storage_wh[same]}<>""),' + _TO_LOOK_AT + ',""),3,999))'
)


def _told_of(key: str) -> str:
    """Whether a soft check has something to say of a candidate by itself."""
    known = f",ISNUMBER({{there.{key}[same]}})" if key in SILENT_WHERE_UNKNOWN else ""
    return f'AND({{word.{key}[same]}}="CHECK"{known},{common(key)}=0)'


REMARKS_TOLD: Final = (
    '=IF({name}="","",MID('
    + "&".join(f'IF({_told_of(key)},"; {words}","")' for key, words in REMARKS.items())
    + ",3,999))"
)


def is_common(key: str) -> str:
    """1 where a word stands on every one of several candidates."""
    found = f'COUNTIF({{word.{key}}},"CHECK")'
    if key == "lift":  # what is there may stand in pounds, and not beside its word
        found = 'SUMPRODUCT(({fit.lift_verdict}="CHECK")*({fit.heaviest_kg}>{sizing.lift_kg}))'
    elif key == "apparent":  # where watts fall short none of its figures helps
        found = f'COUNTIFS({{word.{key}}},"CHECK",{{word.running}},"<>UNDER")'
    elif key in SILENT_WHERE_UNKNOWN:  # of those that state it
        found = f'COUNTIFS({{word.{key}}},"CHECK",{{there.{key}}},">=0")'
    return f"=IF(AND({{decision.listed}}>1,{found}={{decision.listed}}),1,0)"


def listed_words(names: tuple[str, ...], words: dict[str, str], mark: str) -> str:
    """What stands on every candidate, in words."""
    parts = "&".join(f'IF({{common_{name}}}=1,"{mark}{words[name]}","")' for name in names)
    return f"=MID({parts},{len(mark) + 1},999)"
