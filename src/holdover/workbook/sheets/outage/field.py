"""What the outage makes of each candidate, side by side: what it brings, whether it keeps the promise, what each tier gets."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from holdover.model.demand import TIERS
from holdover.model.outage.shedding import ASKS_WH
from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.candidates import CANDIDATE

BY_KIND: Final = {"ac": "{line.ac_wh}", "dc": "({line.dc_v}>0)*{line.energy_wh}"}
"""Energy a day of each load, by how it is fed."""
NEAREST_TRIED: Final = "{tried.number}={decision.nearest_number}"
TO_TRY: Final = f'IF(AND({NEAREST_TRIED},COUNT({{spared.stores_wh}})>0),INDEX({{line.name}},MATCH(MIN({{spared.stores_wh}}),{{spared.stores_wh}},0)),"")'
"""The load that is left out in a what-if where nobody names one: the one that may mend the nearest miss."""
_ABOVE = "({outage.start_share}-{sizing.reserve})"


def of_shown(name: str) -> str:
    """What a column says of the candidate followed."""
    return f"INDEX({{{name}}},1,{{shown.number}})"


def whole(number: str) -> str:
    """A number in a sentence: rounded, with its dust settled first."""
    return f"ROUND(ROUND({number},6),0)"


def thousands(number: str, decimals: int = 0) -> str:
    """A number in a sentence as text, with a mark between its thousands: the one of whoever opens the workbook."""
    return f"FIXED(ROUND(ROUND({number},6),{decimals}),{decimals})"


def duration(hours: str) -> str:
    """A length of time in a sentence, in minutes below an hour."""
    return f'IF(ROUND({hours},6)<1,{whole(f"60*{hours}")}&" min",ROUND(ROUND({hours},6),1)&" h")'


def clock_words(hour: str) -> str:
    """An hour of the outage as a clock time and the day."""
    at = f"({{outage.starts_at}}+{hour})"
    return f'TEXT(MOD({at},24),"00")&":00 on day "&(ROUNDDOWN({at}/24,0)+1)'


def full_needed(most: str, first: str) -> str:
    """Least full storage of a need above the reserve, the largest and that of the first hour, or the word for never."""
    return (
        f"IF(ROUND({most},6)<=0,0,IF(ROUND({first},6)<=0,"
        f'IF(ROUND({_ABOVE},9)<0,"never",{most}/(1-{{sizing.reserve}})),'
        f'IF(ROUND({_ABOVE},9)<=0,"never",MAX({most}/(1-{{sizing.reserve}}),{first}/{_ABOVE}))))'
    )


_BARE = "{supply.bare_wh[same]}"
_BARE_NEEDED = f'=IF(ROUND({_BARE},6)<=0,0,IF(ROUND({_ABOVE},9)<=0,"never",{_BARE}/{_ABOVE}))'
"""Full storage that holds it all at the start: with no recharging the need only falls from there."""


def fewest(needed: str, storage: str, pack: str, most: str, per: str) -> str:
    """Fewest packs with which full storage is what is needed, or all there can be."""
    return f"IF(OR({pack}<=0,{per}<=0),0,MIN({most},MAX(0,ROUNDUP(ROUND(({needed}/{per}-{storage})/{pack},9),0))))"


def _of_storage(name: str, title: str, unit: str, path: str) -> Column:
    return Column(name, title, unit, path=path, formula=f"={{storage.{name}[same]}}", role="quiet")


def trips_unless(of: Callable[[str], str], before: str, behind: str = "") -> str:
    """What keeps a source from tripping, within a sentence; nothing where none trips."""
    return f'IF({of("told.trips")}="","","{before}"&{of("told.trips")}&"{behind}")'


_BETWEEN = "({clock.mains_share}+{clock.generator_share}=0)"
_PLAIN = "+".join(f"({{plan.promised}}={k})*{{clock.c@_plain_{k}}}" for k in (1, 2, 3))
"""What comes in less what promised loads take, by clock hour, the sun apart."""
_AC_OPEN = '{candidates.ac_charge_w[same]}=""'
_SUN_OPEN = '{word.solar[same]}="CHECK"'
_DAY_SUN = f"IF({_SUN_OPEN},{{array.modules}}*SUM({{module.outage_w}}),SUM({{clock.c@_sun_w}}))"
"""Sun of a mean day at best: all that the modules give, where nobody states what of it the unit takes."""
_GONE = "({clock.hour}-{outage.starts_at}+24*({clock.hour}<{outage.starts_at}))"
_AT_FIRST = f"({_GONE}<MIN(IF({_SUN_OPEN},{{plan.dark_h}},24),IF({_AC_OPEN},{{plan.alone_h}},24)))"
_FIRST_SUN = "INDEX({skies.share},1,1)*{clock.c@_sun_w}"


_GAP = (
    "IF(OR(AND({plan.days}<2,{plan.alone_h}>0),AND(SUM({clock.mains_share})>0,SUM({clock.generator_share})>0)),0,"
    f"SUMPRODUCT({_BETWEEN}*({_PLAIN}))+{{idle_w}}*{{plan.unasked_h}}"
    f"+MAX({{skies.share}})*{_DAY_SUN})"
)
"""What comes in less what is taken from one window of a source to the next; 0 where two sources or one day part that time."""
SUPPLY = Table(
    "supply",
    "What each candidate brings to the outage",
    "offers",
    (
        replace(CANDIDATE, formula="={storage.name[same]}"),
        _of_storage("full_wh", "Full storage", "Wh", "carried.store.full_wh"),
        _of_storage("reserve_wh", "Reserve", "Wh", "carried.store.reserve_wh"),
        Column("room_wh", "Above the reserve", "Wh", path="carried.store.room_wh", formula="={full_wh}-{reserve_wh}"),
        Column(
            "start_wh", "At the start", "Wh", path="carried.store.start_wh", formula="={outage.start_share}*{full_wh}"
        ),
        *(
            Column(
                f"drop_{tier}_wh",
                f"{tier.capitalize()} dropped below",
                "Wh",
                path=f"carried.drops_wh.{k}",
                formula=f'=IF({{outage.drop_{tier}_at}}="","",{{outage.drop_{tier}_at}}*{{full_wh}})',
                role="quiet",
            )
            for k, tier in enumerate(TIERS[1:])
        ),
        _of_storage("inverter_efficiency", "Inverter efficiency", "share", "converter.inverter_efficiency"),
        _of_storage("idle_w", "Idle draw", "W", "converter.idle_w"),
        _of_storage("dc_efficiency", "DC efficiency", "share", "converter.dc_efficiency"),
        _of_storage("charge_efficiency", "Charge efficiency", "share", "converter.charge_efficiency"),
        _of_storage("ac_charge_efficiency", "AC charge efficiency", "share", "converter.ac_charge_efficiency"),
        Column(
            "may_charge",
            "Warm enough to charge (1 = yes)",
            "number",
            path="converter.may_charge",
            formula="=IF({sizing.storage_c}>={storage.charge_min_c[same]},1,0)",
        ),
        Column(
            "gain",
            "Stored of what comes in",
            "share",
            path="carried.store.gain",
            formula="={charge_efficiency}*{may_charge}",
        ),
        Column(
            "ac_charge_w",
            "AC charging",
            "W",
            path="converter.ac_charge_w",
            formula="=N({candidates.ac_charge_w[same]})",
        ),
        Column(
            "bypass_w",
            "AC past the inverter, while a source is connected",
            "W",
            path="converter.bypass_w",
            formula='=IF({candidates.bypass_w[same]}="",N({candidates.continuous_w[same]}),{candidates.bypass_w[same]})',
            note="Not stated: taken as the continuous output.",
        ),
        *(
            Column(
                f"{source}_pass_w",
                f"of it from {title}",
                "W",
                path=f"carried.taking.passes_w.{i}",
                formula=f"=MIN({{bypass_w}},{{plan.{source}_w}})",
                role="quiet",
            )
            for i, (source, title) in enumerate((("mains", "the outlet"), ("generator", "the generator")))
        ),
        Column(
            "charged_share",
            "Sun of the same effect, of what is charged",
            "share",
            path="converter.charged_share",
            formula="={ac_charge_efficiency}/{charge_efficiency}",
            role="quiet",
        ),
        Column(
            "full_per_wh",
            "Full storage of each nameplate Wh",
            "share",
            path="room.full_per_wh",
            formula="={storage.usable_share[same]}*{capacity.kept_share}",
        ),
        *(
            Column(
                f"{tier}_full_wh",
                f"Full storage needed, {title}",
                "Wh",
                path=f"/outage.needed.@.{k}",
                formula="=" + full_needed(f"MAX({{hourly.c@_{tier}_need}})", f"{{hourly.c@_{tier}_need[0]}}"),
                role="quiet",
            )
            for k, (tier, title) in enumerate(
                (("critical", "critical"), ("essential", "and essential"), ("all", "all loads"))
            )
        ),
        Column(
            "bare_wh",
            "Promised loads, not recharged",
            "Wh",
            path="carried.taking.bare_wh",
            formula="={plan.days}*(1+{sizing.energy_margin})*({plan.day_ac_wh}/{inverter_efficiency}"
            "+{idle_w}*{plan.day_on_h}+{plan.day_dc_wh}/{dc_efficiency})",
            role="quiet",
        ),
        Column(
            "left_wh",
            "Left at worst, what is not stated at its best (below 0: it breaks; 0: unknown)",
            "Wh",
            path="waits.left_wh",
            formula=f'=IF(AND({_SUN_OPEN},{{solar.missing}}<>""),0,'
            f"MIN({{room_wh}}+{_GAP},"
            "MAX(0,{start_wh}-{reserve_wh})+MIN("
            f"SUMPRODUCT({_AT_FIRST}*({_PLAIN}+{_FIRST_SUN}))+{{idle_w}}*{{plan.unasked_h}},"
            f"{{plan.days}}*(SUMPRODUCT(({_PLAIN})*1)+{{idle_w}}*{{plan.unasked_h}})"
            f"+SUMPRODUCT({{hourly.lasts}}*{{hourly.sky}})/24*{_DAY_SUN}"
            f"+IF({_AC_OPEN},{{plan.days}}*{{charged_share}}*{{plan.given_wh}},0))))",
            role="quiet",
        ),
        Column(
            "lowest_charge_w",
            "Lowest setting of its charger",
            "W",
            path="carried.lowest_charge_w",
            formula='=IF({candidates.ac_charge_min_w[same]}="",{ac_charge_w},'
            "MIN({candidates.ac_charge_min_w[same]},{ac_charge_w}))",
            role="quiet",
        ),
    ),
    kind="across",
)


def _promise(name: str, title: str, unit: str, formula: str, role: str = "", path: str = "") -> Column:
    return Column(name, title, unit, path=path or f"carried.promise.{name}", formula=formula, role=role)


def _trips(source: str) -> str:
    return (
        f"IF(AND({{plan.{source}_w}}>0,SUM({{clock.{source}_share}})>0),MIN(MAX({{clock.{source}_running_w}}),{{supply.bypass_w[same]}})"
        f"+{{supply.lowest_charge_w[same]}}-{{plan.{source}_w}},0)"
    )


_UNTIL = [f"{{served.{tier}_until_h[same]}}" for tier in TIERS]
_NEVER_H = "99999"
_UNTILS = [
    f'IF({until}="",{_NEVER_H},{until})'
    if place == 1
    else f'IF(OR({{plan.promised}}<{place},{until}=""),{_NEVER_H},{until})'
    for place, until in enumerate(_UNTIL, start=1)
]
PROMISE = Table(
    "promise",
    "The promise",
    "offers",
    (
        replace(CANDIDATE, formula="={storage.name[same]}"),
        Column(
            "shown",
            "Named to be followed",
            "number",
            formula='=IF(AND({name}<>"",{name}={outage.candidate}),{storage.number[same]},"")',
            role="quiet",
        ),
        _promise(
            "full_needed_wh",
            "Full storage that keeps the promise",
            "Wh",
            "=CHOOSE({plan.promised},{supply.critical_full_wh[same]},{supply.essential_full_wh[same]},"
            "{supply.all_full_wh[same]})",
            "total",
        ),
        _promise(
            "full_needed_without_refill_wh",
            "and with no sun and no source",
            "Wh",
            _BARE_NEEDED,
        ),
        _promise(
            "packs",
            "Packs that it takes",
            "number",
            "=IF(ISTEXT({full_needed_wh}),IF(N({candidates.pack_wh[same]})>0,N({candidates.packs_max[same]}),0),"
            + fewest(
                "{full_needed_wh}",
                "N({candidates.storage_wh[same]})",
                "N({candidates.pack_wh[same]})",
                "N({candidates.packs_max[same]})",
                "{supply.full_per_wh[same]}",
            )
            + ")",
        ),
        _promise(
            "margin_held",
            "Margin held (1 = yes)",
            "number",
            "=IF(ISTEXT({full_needed_wh}),0,IF(ROUND({supply.full_wh[same]}-{full_needed_wh},6)>=0,1,0))",
        ),
        _promise("kept", "Kept (1 = yes)", "number", '=IF({until_h}="",1,0)'),
        _promise(
            "until_h",
            "Kept until",
            "h",
            f'=IF(MIN({",".join(_UNTILS)})={_NEVER_H},"",MIN({",".join(_UNTILS)}))',
        ),
        _promise(
            "broken_tier",
            "What breaks first",
            "",
            f'=IF({{until_h}}="","",IF({_UNTILS[0]}={{until_h}},"critical",IF({_UNTILS[1]}={{until_h}},"essential",'
            '"convenience")))',
        ),
        _promise(
            "source_trips_w",
            "A source is asked too much by",
            "W",
            f"=MAX(0,{_trips('mains')},{_trips('generator')})",
            path="carried.source_trips_w",
        ),
        _promise(
            "daily_balance_wh",
            "Charge gained on the last day",
            "Wh",
            "=INDEX({hourly.c@_state},1,{plan.hours}+1)-INDEX({hourly.c@_state},1,{plan.hours}-23)",
            path="carried.daily_balance_wh",
        ),
        _promise(
            "runs_down",
            "A repeated day runs it down (1 = yes)",
            "number",
            '=IF(AND({outage.repeats}="yes",ROUND({daily_balance_wh},6)<0),1,0)',
            path="carried.runs_down",
        ),
        _promise(
            "lowest_wh",
            "Lowest charge",
            "Wh",
            "=MIN({hourly.c@_state})",
            path="carried.lowest_wh",
        ),
        _promise(
            "word",
            "In a word",
            "",
            '=IF({kept}=0,"UNDER",IF(OR({runs_down}=1,ROUND({source_trips_w},6)>0,{margin_held}=0),"CHECK","OK"))',
            "verdict",
        ),
    ),
    kind="across",
)


def _tier(tier: str, place: int) -> tuple[Column, ...]:
    served = "{hourly.c@_served}"
    lost = f"SUMPRODUCT(({served}<{place})*{{hourly.{tier}_wh}})"
    asked = f"{{{tier}_asked_wh}}"
    within = "({hourly.t}<{plan.hours})"
    # The first of the hours off is the one with the most hours to come.
    off = f"({served}<{place})*({{hourly.{tier}_wh}}>{ASKS_WH:.7f})"
    first = f"{{plan.hours}}-SUMPRODUCT(LARGE({off}*({{plan.hours}}-{{hourly.t}}),1))"

    def column(name: str, title: str, unit: str, formula: str) -> Column:
        return Column(f"{tier}_{name}", title, unit, path=f"carried.{tier}.{name}", formula=formula)

    return group(
        tier.capitalize(),
        column("asked_wh", "Asked", "Wh", f"={{plan.days}}*SUM({{hours.{tier}_wh}})"),
        column("served_wh", "Served", "Wh", f"=SUMPRODUCT({within}*({served}>={place})*{{hourly.{tier}_wh}})"),
        column("served_share", "Share", "share", f"=IF(ROUND({asked},6)<=0,1,1-{lost}/{asked})"),
        column(
            "asked_h", "Asks for something in", "h", f"={{plan.days}}*SUMPRODUCT(({{hours.{tier}_wh}}>{ASKS_WH:.7f})*1)"
        ),
        column(
            "off_h",
            "of them off or short",
            "h",
            f"=SUMPRODUCT({within}*{off})",
        ),
        column("until_h", "Without a gap until", "h", f'=IF({{{tier}_off_h}}=0,"",{first})'),
    )


SERVED = Table(
    "served",
    "What each tier gets",
    "offers",
    (
        replace(CANDIDATE, formula="={storage.name[same]}"),
        *(column for place, tier in enumerate(TIERS, start=1) for column in _tier(tier, place)),
    ),
    kind="across",
    note="An hour that can't be served whole counts as off, where something is asked for in it.",
    # The same by the number of the tier.
    spans=tuple(
        (f"t{i}_{name}", f"{tier}_{name}", f"{tier}_{name}")
        for i, tier in enumerate(TIERS)
        for name in ("asked_wh", "served_share", "off_h", "until_h")
    ),
)
