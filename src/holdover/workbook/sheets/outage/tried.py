"""What if: the outage of the candidate followed, tried again with the promised loads alone and something changed.

Of each trial stand the need, backwards, and the charge, forwards; after an hour that can't be served the charge is -1.
An hour that is served never draws the charge below the reserve, so that no floor is needed.
Trials that ask the same share what they need.
"""

from dataclasses import dataclass

from holdover.model.outage.what_if import LONGER, MORE_GENERATOR_H, SCALES, WITHOUT
from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.outage.clock import ABOVE, ORDER, net_of, of_followed, window
from holdover.workbook.sheets.outage.field import BY_KIND, fewest, full_needed
from holdover.workbook.sheets.outage.hours import DUST

STOPPED = "-1"


def _picked(name: str, title: str, unit: str, path: str, source: str = "") -> Column:
    return Column(
        name,
        title,
        unit,
        path=path,
        formula=f"=INDEX({{{source or f'supply.{name}'}}},1,{{shown.number}})",
        role="quiet",
    )


SUPPLIED = Table(
    "supplied",
    "What the candidate followed brings",
    "shown",
    (
        _picked("full_wh", "Full storage", "Wh", "carried.store.full_wh"),
        _picked("reserve_wh", "Reserve", "Wh", "carried.store.reserve_wh"),
        _picked("room_wh", "Above the reserve", "Wh", "carried.store.room_wh"),
        _picked("start_wh", "At the start", "Wh", "carried.store.start_wh"),
        _picked("inverter_efficiency", "Inverter efficiency", "share", "converter.inverter_efficiency"),
        _picked("idle_w", "Idle draw", "W", "converter.idle_w"),
        _picked("dc_efficiency", "DC efficiency", "share", "converter.dc_efficiency"),
        _picked("charge_efficiency", "Charge efficiency", "share", "converter.charge_efficiency"),
        _picked("may_charge", "Warm enough to charge (1 = yes)", "number", "converter.may_charge"),
        _picked("gain", "Stored of what comes in", "share", "carried.store.gain"),
        _picked("ac_charge_w", "AC charging", "W", "converter.ac_charge_w"),
        _picked("mains_pass_w", "AC past the inverter, from the outlet", "W", "carried.taking.passes_w.0"),
        _picked("generator_pass_w", "and from the generator", "W", "carried.taking.passes_w.1"),
        _picked("charged_share", "Sun of the same effect, of what is charged", "share", "converter.charged_share"),
        _picked("full_per_wh", "Full storage of each nameplate Wh", "share", "room.full_per_wh"),
        _picked("packs", "Packs it gets", "number", "room.packs", "storage.packs"),
        Column(
            "bare_nameplate_wh",
            "Nameplate without packs",
            "Wh",
            path="room.storage_wh",
            formula="=N(INDEX({candidates.storage_wh},1,{shown.number}))",
        ),
        Column(
            "pack_wh", "A pack", "Wh", path="room.pack_wh", formula="=N(INDEX({candidates.pack_wh},1,{shown.number}))"
        ),
        Column(
            "packs_max",
            "Packs at most",
            "number",
            path="room.packs_max",
            formula="=N(INDEX({candidates.packs_max},1,{shown.number}))",
        ),
        Column(
            "price",
            "Price",
            "money",
            path="cost.unit_price",
            formula='=IF(INDEX({candidates.price},1,{shown.number})="","not stated",INDEX({candidates.price},1,{shown.number}))',
        ),
        Column(
            "pack_price",
            "Price of a pack",
            "money",
            path="room.pack_price",
            formula='=IF(INDEX({candidates.pack_price},1,{shown.number})="","not stated",'
            "INDEX({candidates.pack_price},1,{shown.number}))",
        ),
    ),
    kind="across",
)


@dataclass(frozen=True)
class Variant:
    """A what-if: its name in columns, where the model keeps it, and what is changed in it.

    `own` tells that it has a day of its own, `day` else whose it has; `need` that it needs something of its own.
    """

    name: str
    title: str
    path: str
    scale: str = ""
    ac: str = "promised_ac"
    dc: str = "promised_dc"
    generator: str = "{clock.generator_share[same]}"
    day: str = "planned"
    need: bool = True
    sun: bool = True
    full: str = "{supplied.full_wh}"

    @property
    def own(self) -> bool:
        """Whether a day of this what-if differs from the planned one."""
        return self.day == self.name


def _more(packs: str) -> str:
    return f"(({{supplied.bare_nameplate_wh}}+{packs}*{{supplied.pack_wh}})*{{supplied.full_per_wh}})"


_MORE = "MIN({supplied.packs_max},{supplied.packs}+1)"
_LESS = "MAX(0,{supplied.packs}-1)"
_PLACES = len(SCALES) + 2
TRIALS = (
    Variant("planned", "As planned", "trials.0", need=False),
    Variant("unshed", "Nothing shed", "trials.1", day="unshed", need=False),
    *(
        Variant(f"scale_{i}", f"Loads x {scale:g}", f"trials.{i + 2}", scale=f"{scale:g}", day=f"scale_{i}")
        for i, scale in enumerate(SCALES)
    ),
    Variant("without", WITHOUT, f"trials.{_PLACES}", ac="left_ac", dc="left_dc", day="without"),
    Variant("more", "A pack more", f"trials.{_PLACES + 1}", need=False, full=_more(_MORE)),
    Variant("less", "A pack less", f"trials.{_PLACES + 2}", need=False, full=_more(_LESS)),
    Variant("dark", "No sun", f"trials.{_PLACES + 3}", sun=False),
    Variant("longer", LONGER, f"trials.{_PLACES + 4}", generator="{longer_share}", day="longer"),
)
SURE = (
    Variant("low", "Low day", "sure.0", scale="{doubt.low_scale}", day="low"),
    Variant("high", "High day", "sure.2", scale="{doubt.high_scale}", day="high"),
)
VARIANTS = (*TRIALS, *SURE)
_OF_ALL = ("planned", "unshed")
"""Days that are worked out for every candidate."""
_LONGER = f"MIN(24,{{outage.generator_hours}}+{MORE_GENERATOR_H:g})"


def _generator() -> Column:
    """What the generator gives in a clock hour, all days together, by how many tiers are then served."""

    def given(k: int, served: str) -> str:
        ac = f"{{clock.ac_{k}[same]}}"
        return f"{served}*MIN({{plan.generator_w}},MIN({ac},{{supplied.generator_pass_w}})+{{supplied.ac_charge_w}})"

    def hours(served: str) -> str:
        return f"SUMPRODUCT(({{hourly.clock}}={{clock.hour[same]}})*({{hourly.served}}{served}))"

    return Column(
        "generator_wh",
        "Generator gives",
        "Wh",
        path="/outage.generator_wh.@",
        formula="={clock.generator_share[same]}*("
        + "+".join((given(1, hours("<2")), given(2, hours("=2")), given(3, hours("=3"))))
        + ")",
        role="quiet",
    )


def _drop(candidates: int, days: int) -> Column:
    """What must be held to serve convenience loads in a clock hour, on the day that takes most."""
    needs = ",".join(f"INDEX({{hourly.essential_need}},1,{{hourly.t[same]}}+{24 * day + 1})" for day in range(days))
    without, with_them = (of_followed(f"{ABOVE}+{place}", candidates, "same") for place in (6, 7))
    return Column(
        "drop_wh",
        "Held to serve convenience loads",
        "Wh",
        path="/outage.drop_wh.@",
        formula=f"=MAX({needs})+{without}-{with_them}",
        note="Above the reserve.",
        role="quiet",
    )


def _promised(kind: str) -> Column:
    return Column(
        f"promised_{kind}",
        f"{kind.upper()}, promised",
        "Wh",
        path=f"/outage.promised_{kind}_wh.@",
        formula=f"=INDEX({{clock.{kind}_1[same]}}:{{clock.{kind}_3[same]}},{{plan.promised}})",
        role="quiet",
    )


def _others(kind: str) -> Column:
    tiers = (
        '(({line.tier}="critical")+({plan.promised}>1)*({line.tier}="essential")'
        '+({plan.promised}>2)*({line.tier}="convenience"))'
    )
    named = '({outage.without}<>"")*({line.name}={outage.without})'
    return Column(
        kind,
        kind.upper(),
        "Wh",
        path=f"/outage.left_{kind}_wh.@",
        formula=f"=SUMPRODUCT((1-{named})*{tiers}*{BY_KIND[kind]}*{{line.share_@}})",
        role="quiet",
    )


_PLACE = "MOD({hours.hour[same]}-{outage.starts_at},24)+1"
LEFT = Table(
    "left",
    "Promised loads without the one left out, from midnight on",
    "hours",
    (
        _others("ac"),
        _others("dc"),
        Column(
            "alone",
            "No source is connected",
            "share",
            path="/compared.alone.@",
            formula="=1" + "".join(f"-INDEX({{clock.{source}_share}},1,{_PLACE})" for source in ("mains", "generator")),
            role="quiet",
        ),
        Column(
            "over",
            "More running than the nearest gives",
            "number",
            path="/compared.over.@",
            formula="=IF({near.missing_w}<=0,0,IF(ROUND({hours.needed_w[same]}-N(INDEX({candidates.continuous_w},1,"
            "{decision.nearest_number})),6)>0,1,0))",
            role="quiet",
        ),
    ),
    kind="across",
)


def _left(kind: str) -> Column:
    return Column(
        f"left_{kind}",
        f"{kind.upper()}, without the load",
        "Wh",
        path=f"/outage.left_{kind}_wh.@",
        formula=f"=INDEX({{left.{kind}}},1,{{clock.hour[same]}}+1)",
        role="quiet",
    )


def _net(variant: Variant, times: str, margin: str) -> str:
    """What sources charge less what is taken; a margin is on all that is taken, and what a source passes on with it."""
    one, dc = f"{times}{{{variant.ac}}}", f"{times}{{{variant.dc}}}"
    on = f'IF(IF({{sizing.inverter}}="always on",{times}SUM({{tried_day.{variant.ac}}}),{one})>0.000001,1,0)'
    rest = f"{margin}({{supplied.idle_w}}*{on}+{dc}/{{supplied.dc_efficiency}})"
    shares = ("{clock.mains_share[same]}", variant.generator)
    return net_of(f"{margin}{one}", rest, shares, lambda name: f"{{supplied.{name}}}")


def _day(variant: Variant) -> tuple[Column, ...]:
    """What a what-if takes out of storage and charges, by clock hour."""
    times = f"{variant.scale}*" if variant.scale else ""
    plain, raised = (_net(variant, times, margin) for margin in ("", "{plan.raised}*"))

    def column(kind: str, title: str, formula: str) -> Column:
        path = f"/{variant.path}.{kind}_wh.@"
        return Column(f"{variant.name}_{kind}", title, "Wh", path=path, formula=formula, role="quiet")

    return group(variant.title, column("plain", "Net", plain), column("raised", "With the margin", raised))


def tried_day_table(candidates: int, days: int) -> Table:
    """What a what-if asks and brings in each clock hour, in the order of the clock table."""
    return Table(
        "tried_day",
        "Each clock hour of a what-if",
        "hours",
        (
            *group("Asked", *(make(kind) for kind in ("ac", "dc") for make in (_promised, _left))),
            Column(
                "longer_share",
                "Generator, longer",
                "share",
                path="/outage.longer_share.@",
                formula=f"=MIN({window('{outage.generator_from}', _LONGER, '{clock.hour[same]}')},1-{{clock.mains_share[same]}})",
                role="quiet",
            ),
            _generator(),
            _drop(candidates, days),
            *(column for variant in VARIANTS if variant.own and variant.day not in _OF_ALL for column in _day(variant)),
        ),
        kind="across",
        order=ORDER,
    )


def _net_of(variant: Variant, candidates: int, kind: str, where: str = "") -> str:
    """What comes in less what a what-if takes, in the hour at hand or the one before, of which `where` tells."""
    sun = f"{{sun_wh{where and f'[{where}]'}}}+" if variant.sun else ""
    if variant.day not in _OF_ALL:
        return f"{sun}{{tried_day.{variant.day}_{kind}[daily{where}]}}"
    line = f"{ABOVE}+4" if variant.day == "unshed" else "{shown.promised_place}"
    return sun + of_followed(line + ("+3" if kind == "raised" else ""), candidates, f"daily{where}")


def _hours(variant: Variant, candidates: int) -> tuple[Column, ...]:
    """The need and the charge of a what-if, hour by hour."""
    path = variant.path.replace("trials", "outage.tried").replace("sure", "outage.sure")
    full, reserve, start = "{supplied.full_wh}", "{supplied.reserve_wh}", "{supplied.start_wh}"
    if variant.full != full:
        full = f"{{outcome.t{TRIALS.index(variant)}_full_wh}}"
        reserve, start = f"({{sizing.reserve}}*{full})", f"{{outage.start_share}}*{full}"
    raised, plain = _net_of(variant, candidates, "raised"), _net_of(variant, candidates, "plain", "-1")
    gain, was = "{supplied.gain}", f"{{{variant.name}_state[-1]}}"
    lacks = f"MIN(0,{reserve}-{was})-({plain})"
    columns = []
    if variant.need:
        columns.append(
            Column(
                f"{variant.name}_need",
                "Needs",
                "Wh",
                path=f"/{path}.@.need_wh",
                formula=f"={{lasts}}*MAX(0,{{{variant.name}_need[+1]}}-MIN({raised},({raised})*{gain}))",
                role="quiet",
            )
        )
    columns.append(
        Column(
            f"{variant.name}_state",
            "Charge",
            "Wh",
            path=f"/{path}.@.state_wh",
            first=f"={start}",
            formula=f"=IF(OR({{lasts[-1]}}=0,{was}<0),{was},IF({lacks}<{DUST},"
            f"MIN({full},{was}+MIN({plain},({plain})*{gain})),{STOPPED}))",
            role="quiet",
        )
    )
    return group(variant.title, *columns)


def tried_hours(candidates: int) -> tuple[Column, ...]:
    """Columns of the hours: the candidate followed, tried again and again."""
    sun = Column(
        "sun_wh",
        "Sun",
        "Wh",
        path="/outage.sun_wh.@",
        formula=f"={{lasts}}*{of_followed(f'{ABOVE}+1', candidates)}*{{sky}}",
        group="Candidate followed",
    )
    return (sun, *(column for variant in VARIANTS for column in _hours(variant, candidates)))


def _outcome(place: int, variant: Variant) -> tuple[Column, ...]:
    """What came of the what-if in a place of the table of them all."""
    needed = "INDEX({promise.full_needed_wh},1,{shown.number})"
    if variant.need:
        need = f"{{hourly.{variant.name}_need}}"
        needed = full_needed(f"MAX({need})", f"{{hourly.{variant.name}_need[0]}}")
    elif variant.name == "unshed":
        needed = "INDEX({supply.all_full_wh},1,{shown.number})"
    state = f"{{hourly.{variant.name}_state}}"

    def column(name: str, title: str, unit: str, formula: str, path: str = "") -> Column:
        return Column(f"t{place}_{name}", title, unit, path=f"/{variant.path}.{path or name}", formula=formula)

    return group(
        variant.title,
        column("until_h", "Kept until", "h", f'=IF(COUNTIF({state},{STOPPED})=0,"",MATCH({STOPPED},{state},0)-2)'),
        column("full_needed_wh", "Full storage needed", "Wh", f"={needed}"),
        column("full_wh", "Full storage", "Wh", f"={variant.full}", "store.full_wh"),
    )


LIKELY = Variant("planned", "Likely day", "sure.1", need=False)
ALL = (*TRIALS, SURE[0], LIKELY, SURE[1])
"""What-ifs in the order of the table, the day's doubt last."""
OUTCOME = Table(
    "outcome",
    "What came of each",
    "outage",
    tuple(column for place, variant in enumerate(ALL) for column in _outcome(place, variant)),
    kind="across",
)

_ENOUGH = fewest(
    "{full_needed_wh}",
    "{supplied.bare_nameplate_wh}",
    "{supplied.pack_wh}",
    "{supplied.packs_max}",
    "{supplied.full_per_wh}",
)


def _results() -> tuple[Column, ...]:
    """What a what-if comes to: whether the promise is kept or until when, the packs it takes, the price with them."""
    hour = "({outage.starts_at}+{until_h})"

    def of(name: str) -> str:
        return f"={{outcome.t@_{name}}}"

    return (
        Column(
            "words",
            "Promise",
            formula=f'=IF({{until_h}}<>"","until "&TEXT(MOD({hour},24),"00")&":00 on day "&(ROUNDDOWN({hour}/24,0)+1),'
            'IF(ISTEXT({full_needed_wh}),"kept, no margin",'
            'IF(ROUND({outcome.t@_full_wh}-{full_needed_wh},6)>=0,"kept","kept, no margin")))',
        ),
        Column(
            "packs_needed",
            "Packs",
            "number",
            formula=f'=IF(ISTEXT({{full_needed_wh}}),"not enough",IF(ROUND({_more(_ENOUGH)}-{{full_needed_wh}},6)>=0,'
            f'{_ENOUGH},"not enough"))',
        ),
        Column(
            "price",
            "Price",
            "money",
            formula='=IF(ISTEXT({packs_needed}),"",IF(OR(ISTEXT({supplied.price}),AND({packs_needed}>0,ISTEXT({supplied.pack_price}))),'
            '"not stated",(({supplied.price}+IF({packs_needed}>0,{packs_needed}*{supplied.pack_price},0))'
            "*(1-{money.discount_share})+{money.accessories_price}+{money.labour_price})*(1+{money.tax_share})))",
        ),
        Column("until_h", "Until", "h", formula=of("until_h")),
        Column("full_needed_wh", "Full storage needed", "Wh", formula=of("full_needed_wh")),
    )


TRIALS_TABLE = Table(
    "trials",
    "What if",
    "outage_page.what_ifs",
    (Column("name", "What if", standing=tuple(variant.title for variant in ALL), width=26), *_results()),
)
