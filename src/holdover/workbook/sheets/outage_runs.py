"""Working tables of the outage: the clock, every candidate hour by hour, and every what-if.

An hour's state of charge follows from the one above it. What is on is one number, `kept`, which also picks the column
of the clock's table: 4 all loads, 3 without convenience, 2 without essential, 1 critical only.
"""

from collections.abc import Iterator

from holdover.model.outage.what_if import SCALES
from holdover.workbook.grid import OVER, Column, Table, group

_KEPT = ((1, "critical only"), (2, "and convenience"), (3, "and essential"), (4, "all loads"))
_TIERS = {
    1: ("critical",),
    2: ("critical", "convenience"),
    3: ("critical", "essential"),
    4: ("critical", "essential", "convenience"),
}
_KEPT_NOTE = "4 = all loads on, 3 = convenience shed, 2 = essential shed, 1 = both shed, 0 = the outage is over."
_GENERATOR_H = (
    "=MAX(0,MIN({hour}+1,{outage.generator_from}+{outage.generator_hours})-MAX({hour},{outage.generator_from}))"
    "+MAX(0,MIN({hour}+25,{outage.generator_from}+{outage.generator_hours})-MAX({hour}+24,{outage.generator_from}))"
)


def _four(stem: str, unit: str, path: str, formula: str) -> Iterator[Column]:
    """Four columns, by what is left on; # stands for which."""
    for kept, title in _KEPT:
        yield Column(
            f"{stem}_{kept}",
            title,
            unit,
            path=f"{path}.{kept - 1}",
            formula=formula.replace("#", str(kept)),
            role="quiet",
        )


def _left_on(kind: str) -> Iterator[Column]:
    for kept, title in _KEPT:
        yield Column(
            f"{kind}_{kept}",
            title,
            "Wh",
            path=f"{kind}_wh.{kept - 1}",
            formula="=" + "+".join(f"{{hours.{kind}_{tier}_wh[same]}}" for tier in _TIERS[kept]),
            role="quiet",
        )


def clock_table(candidates: int) -> Table:
    """What each clock hour takes out of storage, by candidate and by what is left on."""
    taken = "Out of storage: candidate in column"
    columns = [
        Column("hour", "Hour from", "o'clock"),
        Column("generator_h", "Generator runs", "h", formula=_GENERATOR_H, role="quiet"),
        *group("AC loads at their plugs", *_left_on("ac")),
        *group("DC loads at their plugs", *_left_on("dc")),
        *group(
            "Inverter on (1 = yes)",
            *_four("on", "number", "inverter_on", '=IF(OR({sizing.inverter}="always on",{ac_#}>0.000001),1,0)'),
        ),
    ]
    for k in range(candidates):
        formula = (
            f"={{ac_#}}/{{storage.inverter_efficiency[{k}]}}+{{storage.idle_w[{k}]}}*{{on_#}}"
            f"+{{dc_#}}/{{storage.dc_efficiency[{k}]}}"
        )
        columns += group(f"{taken} {k + 1}", *_four(f"c{k}", "Wh", f"draws.{k}", formula))
    for j, scale in enumerate(SCALES):
        formula = (
            f"={{what_if.scale[{j}]}}*({{ac_#}}/{{supplied.inverter_efficiency}}+{{dc_#}}/{{supplied.dc_efficiency}})"
            "+{supplied.idle_w}*{on_#}"
        )
        title = f"Out of storage: followed candidate, loads x {scale:g}"
        columns += group(title, *_four(f"s{j}", "Wh", f"trial_draws.{j}", formula))
    stems = ["on", *(f"c{k}" for k in range(candidates)), *(f"s{j}" for j in range(len(SCALES)))]
    return Table(
        "clock",
        "Each clock hour",
        "clock",
        tuple(columns),
        spans=tuple((f"draw_{stem}", f"{stem}_1", f"{stem}_4") for stem in stems),
    )


class _Run:
    """Columns of one run. In a formula, BEFORE stands for the state of charge at the start of the hour."""

    def __init__(self, stem: str, path: str, start: str) -> None:
        self.stem, self.path, self.start = stem, path, start

    def column(self, name: str, title: str, unit: str, formula: str, note: str = "") -> Column:
        text = formula.replace("BEFORE", "{OWN_state_before_wh}").replace("OWN_", f"{self.stem}_")
        return Column(
            f"{self.stem}_{name}",
            title,
            unit,
            path=f"/{self.path}.hours.@.{name}",
            formula=text,
            first=self.start if name == "state_before_wh" else "",
            role="quiet",
            note=note,
        )

    def before(self) -> Column:
        return self.column("state_before_wh", "State before", "Wh", "={OWN_state_wh[-1]}")

    def kept(self, active: str, essential_at: str, convenience_at: str) -> Column:
        return self.column(
            "kept",
            "On",
            "number",
            f"=IF({active}=0,0,1+2*IF(ROUND(BEFORE-{essential_at},6)>=0,1,0)"
            f"+IF(ROUND(BEFORE-{convenience_at},6)>=0,1,0))",
            _KEPT_NOTE,
        )

    def end(self, reserve: str, full: str, efficiency: str, may_charge: str) -> tuple[Column, ...]:
        """What is missing, when it gives out, and the state at the end of the hour."""
        return (
            self.column(
                "unserved_wh",
                "Not served",
                "Wh",
                f"=IF({{OWN_net_wh}}<0,MAX(0,MIN(BEFORE,{reserve})-BEFORE-{{OWN_net_wh}}),0)",
            ),
            self.column(
                "out_h",
                "Gives out at",
                "h",
                '=IF(ROUND({OWN_unserved_wh},6)>0,{t}+1+{OWN_unserved_wh}/{OWN_net_wh},"")',
            ),
            self.column(
                "state_wh",
                "State after",
                "Wh",
                f"=IF({{OWN_net_wh}}<0,MAX(MIN(BEFORE,{reserve}),BEFORE+{{OWN_net_wh}}),"
                f"IF({may_charge}=1,MAX(BEFORE,MIN({full},BEFORE+{{OWN_net_wh}}*{efficiency})),BEFORE))",
            ),
        )


def _candidate(k: int) -> tuple[Column, ...]:
    run = _Run(f"c{k}", f"offers.{k}.outage", f"={{endurance.start_wh[{k}]}}")
    full, efficiency = f"{{storage.full_wh[{k}]}}", f"{{storage.charge_efficiency[{k}]}}"
    may_charge = f"{{endurance.may_charge[{k}]}}"
    return group(
        f"Candidate in column {k + 1}",
        run.before(),
        run.kept("{active}", f"{{endurance.essential_at_wh[{k}]}}", f"{{endurance.convenience_at_wh[{k}]}}"),
        run.column(
            "inverter_on",
            "Inverter",
            "number",
            "=IF({OWN_kept}=0,0,INDEX({clock.draw_on},{clock}+1,{OWN_kept}))",
            "1 = on.",
        ),
        run.column(
            "demand_wh",
            "Asked of storage",
            "Wh",
            f"=IF({{OWN_kept}}=0,0,INDEX({{clock.draw_c{k}}},{{clock}}+1,{{OWN_kept}}))",
        ),
        run.column("sun_wh", "Sun", "Wh", f"=INDEX({{sunny.outage_w}},{k + 1},{{clock}}+1)*{{sky}}"),
        run.column(
            "net_wh",
            "Net",
            "Wh",
            f"={{OWN_sun_wh}}+{{endurance.generator_in_w[{k}]}}*{{generator_h}}-{{OWN_demand_wh}}",
            "Sun and generator, less what is asked.",
        ),
        run.column(
            "wasted_wh",
            "Wasted",
            "Wh",
            f"=MAX(0,{{OWN_net_wh}}-IF({may_charge}=1,MAX(0,{full}-BEFORE),0)/{efficiency})",
        ),
        *run.end(f"{{storage.reserve_wh[{k}]}}", full, efficiency, may_charge),
    )


def ledger_table(candidates: int) -> Table:
    """The outage of every candidate, side by side."""
    return Table(
        "ledger",
        "Every candidate, hour by hour",
        "calendar",
        (
            Column("t", "Hours gone", "number"),
            Column("day", "Day", "number"),
            Column("clock", "Hour from", "o'clock", formula="=MOD({outage.starts_at}+{t},24)"),
            Column(
                "active", "Outage still on", "number", formula="=IF({t}<24*{outage.days},1,0)", role="quiet", off=OVER
            ),
            Column("sky", "Share of the sun", "share", formula="={active}*INDEX({skies.share},{day})", role="quiet"),
            Column(
                "generator_h",
                "Generator runs",
                "h",
                formula="={active}*INDEX({clock.generator_h},{clock}+1)",
                role="quiet",
            ),
            *(column for k in range(candidates) for column in _candidate(k)),
        ),
        chained=True,
    )


def _trial(title: str, stem: str, path: str, draws: int, *, shed: bool) -> tuple[Column, ...]:
    run = _Run(stem, path, "={supplied.start_wh}")
    kept = (
        run.kept("{active}", "{supplied.essential_at_wh}", "{supplied.convenience_at_wh}")
        if shed
        else run.column("kept", "On", "number", "=IF({active}=0,0,4)", _KEPT_NOTE)
    )
    return group(
        title,
        run.before(),
        kept,
        run.column(
            "net_wh",
            "Net",
            "Wh",
            f"={{comes_wh}}-IF({{OWN_kept}}=0,0,INDEX({{clock.draw_s{draws}}},{{clock}}+1,{{OWN_kept}}))",
            "Sun and generator, less what is asked.",
        ),
        *run.end(
            "{supplied.reserve_wh}", "{supplied.full_wh}", "{supplied.charge_efficiency}", "{supplied.may_charge}"
        ),
    )


def trial_table() -> Table:
    """The candidate that is followed, with every load scaled, and with nothing shed."""
    return Table(
        "trial",
        "The candidate that is followed, again and again",
        "calendar",
        (
            Column("t", "Hours gone", "number"),
            Column("clock", "Hour from", "o'clock", formula="={hourly.clock[same]}"),
            Column("active", "Outage still on", "number", formula="={hourly.active[same]}", role="quiet", off=OVER),
            Column(
                "comes_wh",
                "Sun and generator",
                "Wh",
                path="/shown.comes_wh.@",
                formula="={hourly.sun_wh[same]}+{hourly.generator_wh[same]}",
                role="quiet",
            ),
            *(
                column
                for j, scale in enumerate(SCALES)
                for column in _trial(f"Loads x {scale:g}", f"s{j}", f"what_if.{j}.run", j, shed=True)
            ),
            *_trial("Nothing shed", "unshed", "shown.unshed", SCALES.index(1.0), shed=False),
        ),
        chained=True,
    )
