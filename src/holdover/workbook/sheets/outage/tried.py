"""What if: the outage of a candidate, tried again with the promised loads alone and something changed.

It is the one followed, but no price reaches it: where none is named, it is the first by the figures as handed over.

Of each trial stand the need, backwards, and the charge, forwards; after an hour that can't be served the charge is -1.
An hour that is served never draws the charge below the reserve, so that no floor is needed.
Trials that ask the same share what they need.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.model.outage.what_if import LONGER, MORE_GENERATOR_H, SCALES, WITHOUT
from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.outage.clock import ABOVE, LINES, ORDER, net_of, of_line, window
from holdover.workbook.sheets.outage.field import BY_KIND, clock_words, fewest, full_needed
from holdover.workbook.sheets.outage.hours import DUST
from holdover.workbook.sheets.outage.timeline import RIGHT

STOPPED = "-1"
FULL: Final = "{tried.full_wh}"


BRINGS: Final = {
    "full_wh": ("Full storage", "Wh", "carried.store.full_wh"),
    "reserve_wh": ("Reserve", "Wh", "carried.store.reserve_wh"),
    "room_wh": ("Above the reserve", "Wh", "carried.store.room_wh"),
    "start_wh": ("At the start", "Wh", "carried.store.start_wh"),
    "inverter_efficiency": ("Inverter efficiency", "share", "converter.inverter_efficiency"),
    "idle_w": ("Idle draw", "W", "converter.idle_w"),
    "dc_efficiency": ("DC efficiency", "share", "converter.dc_efficiency"),
    "charge_efficiency": ("Charge efficiency", "share", "converter.charge_efficiency"),
    "may_charge": ("Warm enough to charge (1 = yes)", "number", "converter.may_charge"),
    "gain": ("Stored of what comes in", "share", "carried.store.gain"),
    "ac_charge_w": ("AC charging", "W", "converter.ac_charge_w"),
    "mains_pass_w": ("AC past the inverter, from the outlet", "W", "carried.taking.passes_w.0"),
    "generator_pass_w": ("AC past the inverter, from the generator", "W", "carried.taking.passes_w.1"),
    "charged_share": ("Sun of the same effect, of what is charged", "share", "converter.charged_share"),
    "full_per_wh": ("Full storage of each nameplate Wh", "share", "room.full_per_wh"),
}
"""What a candidate brings to its outage: title, unit, and where the model keeps it."""


def _brings(number: str, *names: str) -> tuple[Column, ...]:
    """Of what a candidate brings, the figures of the one with a number."""
    return tuple(
        Column(name, title, unit, path=path, formula=f"=INDEX({{supply.{name}}},1,{number})", role="quiet")
        for name, (title, unit, path) in BRINGS.items()
        if name in names
    )


SUPPLIED = Table(
    "supplied",
    "What the candidate followed brings",
    "shown",
    _brings(
        "{shown.number}",
        "full_wh",
        "reserve_wh",
        "room_wh",
        "inverter_efficiency",
        "dc_efficiency",
        "charge_efficiency",
        "may_charge",
        "ac_charge_w",
        "generator_pass_w",
    ),
    kind="across",
)


def _stated(name: str, title: str, unit: str, path: str) -> Column:
    """A figure of the data sheet of the one tried, as a number."""
    return Column(name, title, unit, path=path, formula=f"=N(INDEX({{candidates.{name}}},1,{{number}}))")


def _priced(name: str, title: str, path: str) -> Column:
    stated = f"INDEX({{candidates.{name}}},1,{{number}})"
    return Column(name, title, "money", path=path, formula=f'=IF({stated}="","not stated",{stated})')


TRIED = Table(
    "tried",
    "The candidate that what-ifs are tried on",
    "tried",
    (
        Column(
            "number",
            "Its number",
            "number",
            formula="=IF(COUNT({promise.shown})>0,MIN({promise.shown}),"
            "IF({decision.fitting}>0,MATCH(1,{rank.handed_rank},0),MAX(1,{decision.nearest_number})))",
            note="The one named to be followed; else the first by the figures as handed over; else the nearest; else the first.",
        ),
        Column("name", "Candidate", formula="=INDEX({promise.name},1,{number})"),
        Column(
            "lines_above",
            "Lines of the clock hours above its own",
            "number",
            path="/outage.tried_above",
            formula=f"={LINES}*({{number}}-1)",
            role="quiet",
        ),
        Column(
            "promised_place",
            "Its line of the clock hours, promised loads",
            "number",
            path="/outage.promised_place",
            formula="={lines_above}+1+{plan.promised}",
            role="quiet",
        ),
        *_brings(
            "{number}",
            "full_wh",
            "reserve_wh",
            "start_wh",
            "inverter_efficiency",
            "idle_w",
            "dc_efficiency",
            "gain",
            "ac_charge_w",
            "mains_pass_w",
            "generator_pass_w",
            "charged_share",
            "full_per_wh",
        ),
        Column("packs", "Packs it gets", "number", path="room.packs", formula="=INDEX({storage.packs},1,{number})"),
        _stated("storage_wh", "Nameplate without packs", "Wh", "room.storage_wh"),
        _stated("pack_wh", "A pack", "Wh", "room.pack_wh"),
        _stated("packs_max", "Packs at most", "number", "room.packs_max"),
        _priced("price", "Price", "cost.unit_price"),
        _priced("pack_price", "Price of a pack", "room.pack_price"),
    ),
    kind="across",
)


@dataclass(frozen=True)
class Variant:
    """A what-if: its name in columns, where the model keeps it, and what is changed in it.

    `day` tells whose day it has, its own or the planned one, "" where it is that of all loads; `need` that it needs
    something of its own.
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
    full: str = FULL

    @property
    def own(self) -> bool:
        """Whether it has a day of its own."""
        return self.day == self.name


def _more(packs: str) -> str:
    return f"(({{tried.storage_wh}}+{packs}*{{tried.pack_wh}})*{{tried.full_per_wh}})"


_MORE = "MIN({tried.packs_max},{tried.packs}+1)"
_LESS = "MAX(0,{tried.packs}-1)"
_PLACES = len(SCALES) + 2
TRIALS = (
    Variant("planned", "As planned", "trials.0", need=False),
    Variant("unshed", "Nothing shed", "trials.1", day="", need=False),
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
    without, with_them = (of_line(f"{ABOVE}+{place}", candidates, "same") for place in (6, 7))
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
    rest = f"{margin}({{tried.idle_w}}*{on}+{dc}/{{tried.dc_efficiency}})"
    shares = ("{clock.mains_share[same]}", variant.generator)
    return net_of(f"{margin}{one}", rest, shares, lambda name: f"{{tried.{name}}}")


def _day(variant: Variant, candidates: int) -> tuple[Column, ...]:
    """What a what-if takes out of storage and charges, by clock hour."""
    times = f"{variant.scale}*" if variant.scale else ""
    plain, raised = (_net(variant, times, margin) for margin in ("", "{plan.raised}*"))
    if variant.day == "planned":  # it is worked out for every candidate
        plain, raised = (f"={of_line('{tried.promised_place}' + after, candidates, 'same')}" for after in ("", "+3"))

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
            *(column for variant in VARIANTS if variant.own for column in _day(variant, candidates)),
        ),
        kind="across",
        order=ORDER,
    )


def _net_of(variant: Variant, candidates: int, kind: str, where: str = "") -> tuple[str, ...]:
    """The sun, and what sources charge less what a what-if takes, in the hour at hand or the one before, as `where` tells."""
    day = f"{{tried_day.{variant.day}_{kind}[daily{where}]}}"
    if not variant.day:
        day = of_line("{tried.lines_above}+4", candidates, f"daily{where}")
    return (f"{{sun_wh{where and f'[{where}]'}}}", day) if variant.sun else (day,)


def _stored(parts: Sequence[str]) -> str:
    """What is put into storage or taken out of it: of what comes in a part is lost."""
    net = "+".join(parts)
    return f"MIN({net},{net if len(parts) == 1 else f'({net})'}*{{tried.gain}})"


def _hours(variant: Variant, candidates: int) -> tuple[Column, ...]:
    """The need and the charge of a what-if, hour by hour."""
    path = variant.path.replace("trials", "outage.tried").replace("sure", "outage.sure")
    full, reserve, start = FULL, "{tried.reserve_wh}", "{tried.start_wh}"
    if variant.full != FULL:
        full = f"{{outcome.t{TRIALS.index(variant)}_full_wh}}"
        reserve, start = f"{{sizing.reserve}}*{full}", f"{{outage.start_share}}*{full}"
    parts = _net_of(variant, candidates, "plain", "-1")
    raised, plain = (_stored(each) for each in (_net_of(variant, candidates, "raised"), parts))
    was = f"{{{variant.name}_state[-1]}}"
    lacks = f"MIN(0,{reserve}-{was})-{'-'.join(parts)}"
    columns = []
    if variant.need:
        columns.append(
            Column(
                f"{variant.name}_need",
                "Needs",
                "Wh",
                path=f"/{path}.@.need_wh",
                formula=f"={{lasts}}*MAX(0,{{{variant.name}_need[+1]}}-{raised})",
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
            formula=f"=IF(OR({{lasts[-1]}}=0,{was}<0),{was},IF({lacks}<{DUST},MIN({full},{was}+{plain}),{STOPPED}))",
            role="quiet",
        )
    )
    return group(variant.title, *columns)


def tried_hours(candidates: int) -> tuple[Column, ...]:
    """Columns of the hours: the one tried, again and again."""
    sun = Column(
        "sun_wh",
        "Sun",
        "Wh",
        path="/outage.sun_wh.@",
        formula=f"={{lasts}}*{of_line('{tried.lines_above}+1', candidates)}*{{sky}}",
        group="Candidate tried",
    )
    return (sun, *(column for variant in VARIANTS for column in _hours(variant, candidates)))


LIKELY = Variant("planned", "Likely day", "sure.1", need=False)
ALL = (*TRIALS, SURE[0], LIKELY, SURE[1])
"""What-ifs in the order in which they are shown, the day's doubt last."""


def _outcome(place: int, variant: Variant) -> tuple[Column, ...]:
    """What came of the what-if in a place among them all; full storage only where it is not what the first one has."""
    needed = "INDEX({promise.full_needed_wh},1,{tried.number})"
    if variant.need:
        need = f"{{hourly.{variant.name}_need}}"
        needed = full_needed(f"MAX({need})", f"{{hourly.{variant.name}_need[0]}}")
    elif variant.name == "unshed":
        needed = "INDEX({supply.all_full_wh},1,{tried.number})"
    state = f"{{hourly.{variant.name}_state}}"

    def column(name: str, title: str, unit: str, formula: str, path: str = "") -> Column:
        return Column(f"t{place}_{name}", title, unit, path=f"/{variant.path}.{path or name}", formula=formula)

    columns = [
        column(
            "until_h",
            "Kept until",
            "h",
            f'=IF(COUNTIF({state},{STOPPED})=0,"",MATCH({STOPPED},{state},0)-2)',
        ),
        column("full_needed_wh", "Full storage needed", "Wh", f"={needed}"),
    ]
    if place == 0 or variant.full != FULL:
        columns.append(column("full_wh", "Full storage", "Wh", f"={variant.full}", "store.full_wh"))
    return group(variant.title, *columns)


def _outcome_table() -> Table:
    """What came of each; what is the same as planned has its name there."""
    columns = [column for i, variant in enumerate(ALL) if variant is not LIKELY for column in _outcome(i, variant)]
    there = {column.name for column in columns}
    names = (f"t{i}_{name}" for i in range(len(ALL)) for name in ("until_h", "full_needed_wh", "full_wh"))
    planned = {name: f"t0_{name.partition('_')[2]}" for name in names if name not in there}
    spans = tuple((name, same, same) for name, same in planned.items())
    return Table("outcome", "What came of each", "outage", tuple(columns), kind="across", spans=spans)


OUTCOME = _outcome_table()


def place_of(title: str) -> int:
    """Number of a what-if of a title among them all, from 0."""
    return [variant.title for variant in ALL].index(title)


def of_trial(title: str, name: str) -> str:
    """What a what-if comes to."""
    return f"{{what_if.{name}[{place_of(title)}]}}"


_SAID: Final = {
    "As planned": "Promised loads alone",
    "Nothing shed": "All loads, none shed",
    "Loads x 0.8": "All loads 20 % less",
    "Loads x 1.25": "All loads 25 % more",
    LONGER: "Generator, 2 h more",
}
_NEEDED, _UNTIL, _HAS = (f"{{outcome.t@_{name}}}" for name in ("full_needed_wh", "until_h", "full_wh"))
_ENOUGH = fewest(_NEEDED, "{tried.storage_wh}", "{tried.pack_wh}", "{tried.packs_max}", "{tried.full_per_wh}")


def _unless_none(formula: str) -> str:
    return f'=IF({{tried.name}}="","",{formula})'


WHAT_IF = Table(
    "what_if",
    "",
    "outage_page.lines",
    (
        Column("name", "", cells=11, role="row", standing=tuple(_SAID.get(v.title, v.title) for v in ALL)),
        Column(
            "words",
            "Promise",
            formula=_unless_none(
                f'IF({_UNTIL}<>"","until "&{clock_words(_UNTIL)},IF(ISTEXT({_NEEDED}),"kept, no margin",'
                f'IF(ROUND({_HAS}-{_NEEDED},6)>=0,"kept","kept, no margin")))'
            ),
            cells=12,
            role="row words",
        ),
        Column(
            "packs_needed",
            "Packs",
            "number",
            formula=_unless_none(
                f'IF(ISTEXT({_NEEDED}),"not enough",IF(ROUND({_more(_ENOUGH)}-{_NEEDED},6)>=0,{_ENOUGH},"not enough"))'
            ),
            cells=6,
            role="row",
        ),
        Column(
            "price",
            "Price",
            "money",
            formula='=IF(ISTEXT({packs_needed}),"",IF(OR(ISTEXT({tried.price}),AND({packs_needed}>0,ISTEXT({tried.pack_price}))),'
            '"not stated",(({tried.price}+IF({packs_needed}>0,{packs_needed}*{tried.pack_price},0))'
            "*(1-{money.discount_share})+{money.accessories_price}+{money.labour_price})*(1+{money.tax_share})))",
            cells=6,
            role="row money",
        ),
    ),
    left=RIGHT,
    beside=True,
    units=False,
)
