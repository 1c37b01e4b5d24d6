"""The outage hour by hour: what every hour shares, the candidate followed, and every candidate.

A column is an hour, so that what like formulas repeat stands side by side; the last one is the moment after the last
hour that the workbook reaches. Needs and holds run backwards, the charge forwards. Of a candidate stand: the need of each
set of tiers, what is to be held to leave a tier on, the charge at the start of the hour, and how many tiers are served.
"""

from collections.abc import Sequence

from holdover.workbook.column import Column, Table, group
from holdover.workbook.sheets.outage.clock import ABOVE, of_line

FIELDS = ("critical_need", "essential_need", "all_need", "essential_hold", "convenience_hold", "state", "served")
"""Lines of a candidate, in their order."""
NEEDS = FIELDS[:3]
DUST = "0.0000005"
"""What is less than half a millionth of a watt-hour is float dust."""
SKY_CELLS = 5
"""Narrow columns that a day of the sky takes on the page."""


def field_of_shown(field: str, hour: str = "{t}") -> str:
    """What stands in a line of the candidate followed, in the hour at hand or another one."""
    return f"INDEX({{hourly.field}},{{shown.fields_above}}+{FIELDS.index(field) + 1},{hour}+1)"


def after(state: str, net: str, full: str, reserve: str, gain: str, lasts: str) -> str:
    """The charge after an hour that lasts: no more than full, and not below the reserve."""
    return f"MAX(MIN({state},{reserve}),MIN({full},{state}+{lasts}*MIN({net},({net})*{gain})))"


_SHARED = (
    Column("t", "Hours gone", "number"),
    Column("day", "Day", "number"),
    Column("clock", "Hour from", "o'clock", formula="=MOD({outage.starts_at}+{t},24)"),
    Column("lasts", "The outage lasts", "number", formula="=IF({t}<{plan.hours},1,0)", note="1 = yes.", role="quiet"),
)
_SHOWN = (
    *(
        Column(
            f"{tier}_need",
            f"Needs: {title}",
            "Wh",
            path=f"/outage.followed.@.{tier}_need_wh",
            formula=f"={field_of_shown(f'{tier}_need')}",
            role="quiet",
        )
        for tier, title in (("critical", "critical"), ("essential", "and essential"))
    ),
    Column(
        "served",
        "Tiers served",
        "number",
        path="/outage.followed.@.served",
        formula=f"={field_of_shown('served')}",
        note="3 = all, 2 = critical and essential, 1 = critical only, 0 = not even those.",
    ),
)


def _wasted(candidates: int) -> Column:
    sun, net = (of_line(f"{ABOVE}+{line}", candidates) for line in ("1", "1+MAX(1,{served})"))
    return Column(
        "wasted_wh",
        "Finds no room",
        "Wh",
        path="/outage.wasted_wh.@",
        formula=f"={{lasts}}*MAX(0,{sun}*{{sky}}+{net}"
        f"-{{supplied.may_charge}}*MAX(0,{{supplied.full_wh}}-{field_of_shown('state')})/{{supplied.charge_efficiency}})",
        role="quiet",
    )


_ASKED = tuple(
    Column(
        f"{tier}_wh",
        f"{tier.capitalize()} ask",
        "Wh",
        formula=f"=INDEX({{hours.{tier}_wh}},{{clock}}+1)",
        role="quiet",
    )
    for tier in ("critical", "essential", "convenience")
)


def hourly_table(candidates: int, days: int, tried: Sequence[Column]) -> Table:
    """Every hour up to the horizon: shared, of the candidate followed, of every candidate, and of every what-if."""
    columns = (
        *group(
            "When",
            *_SHARED,
            Column(
                "sky",
                "Share of the sun",
                "share",
                formula=f"=INDEX({{skies.share}},1,{SKY_CELLS}*(MIN({{day}},{days})-1)+1)",
            ),
            Column(
                "reads",
                "Display is read",
                "number",
                formula="=IF(OR({t}=0,{lasts}=0,{clock}={outage.reading_1},{clock}={outage.reading_2},"
                "{clock}={outage.reading_3},{clock}={outage.reading_4}),1,0)",
                note="1 = yes, or the outage is over.",
                role="quiet",
            ),
            *_ASKED,
        ),
        *group("Candidate followed", *_SHOWN, _wasted(candidates)),
        *group("Every candidate", *(column for k in range(candidates) for column in _candidate(k))),
        *tried,
    )
    last = f"c{candidates - 1}_{FIELDS[-1]}"
    return Table(
        "hourly",
        "Hour by hour",
        "outage.clock",
        columns,
        kind="across",
        spans=(("field", f"c0_{FIELDS[0]}", last),),
    )


class _Candidate:
    """The formulas of one candidate."""

    def __init__(self, k: int) -> None:
        self.k = k
        self.full, self.reserve, self.room, self.gain = (
            f"{{supply.{name}[{k}]}}" for name in ("full_wh", "reserve_wh", "room_wh", "gain")
        )

    def own(self, field: str, where: str = "") -> str:
        return f"{{c{self.k}_{field}{where}}}"

    def net(self, tiers: int, kind: str = "plain") -> str:
        """What comes in less what a set of tiers takes in the hour, as it is or raised by the margin."""
        return f"{{clock.c{self.k}_sun_w[daily]}}*{{sky}}+{{clock.c{self.k}_{kind}_{tiers}[daily]}}"

    def gained(self, tiers: int) -> str:
        net = self.net(tiers, "raised")
        return f"MIN({net},({net})*{self.gain})"

    def need(self, tiers: int) -> str:
        after_it = self.own(NEEDS[tiers - 1], "[+1]")
        return f"={{lasts}}*MAX(0,{after_it}-{self.gained(tiers)})"

    def hold(self, field: str, below: str, tiers: int) -> str:
        after_it = f"IF({{reads[+1]}},{self.own(below, '[+1]')},{self.own(field, '[+1]')})"
        return f"={{lasts}}*MAX(0,{after_it}-({after_it}-{self.room}<{DUST})*{self.gained(tiers)})"

    def state(self) -> str:
        was, served = self.own("state", "[-1]"), self.own("served", "[-1]")
        sun, *sets = (f"{{clock.c{self.k}_{name}[daily-1]}}" for name in ("sun_w", "plain_1", "plain_3"))
        net = f"{sun}*{{sky[-1]}}+INDEX({':'.join(sets)},MAX(1,{served}))"
        return f"={after(was, net, self.full, self.reserve, self.gain, '{lasts[-1]}')}"

    def stays(self, tier: str, below: str, place: int) -> str:
        """Whether a tier is left on: by the share set in the device, else by the card at a reading.

        By the card where all that the set without it will need finds room, if what is to be held is there; if not, where
        that needs nothing more.
        """
        later = f"MAX({self.own(below, '[last]')})"
        lacking = f"{self.reserve}+{self.own(f'{tier}_hold')}-{self.own('state')}"
        by_card = f"{later}<({lacking}<{DUST})*{self.room}+{DUST}"
        drop = f"{{supply.drop_{tier}_wh[{self.k}]}}"
        by_person = f"IF({{reads}},{by_card},{self.own('served', '[-1]')}>={place})"
        return f'IF({drop}="",{by_person},{drop}-{self.own("state")}<{DUST})'

    def served(self) -> str:
        """How many tiers get all they ask for: no more than storage and sun can serve, and none that is not left on.

        In the first hour the display is read, and none before it is asked for. A set that takes more never has more
        left: see `tier_sets.py`.
        """
        nets = ":".join(f"{{clock.c{self.k}_plain_{tiers}[daily]}}" for tiers in (1, 3))
        lacks = f"MIN(0,{self.reserve}-{self.own('state')})-{{clock.c{self.k}_sun_w[daily]}}*{{sky}}-{nets}"
        essential = self.stays("essential", "critical_need", 2)
        convenience = self.stays("convenience", "essential_need", 3)
        return f'=IF({{lasts}},MIN(SUMPRODUCT(({lacks}<{DUST})*1),1+{essential}*(1+{convenience})),"")'


def _candidate(k: int) -> tuple[Column, ...]:
    one = _Candidate(k)

    def column(field: str, title: str, formula: str, first: str = "", unit: str = "Wh") -> Column:
        path = f"/outage.held.{k}.@.{field}" + ("" if field == "served" else "_wh")
        title = f"Candidate {k + 1}: {title}"
        return Column(f"c{k}_{field}", title, unit, path=path, formula=formula, first=first, role="quiet")

    return (
        column("critical_need", "Needs: critical", one.need(1)),
        column("essential_need", "Needs: and essential", one.need(2)),
        column("all_need", "Needs: all", one.need(3)),
        column("essential_hold", "Hold: essential on", one.hold("essential_hold", "critical_need", 2)),
        column("convenience_hold", "Hold: convenience on", one.hold("convenience_hold", "essential_need", 3)),
        column("state", "Charge", one.state(), f"={{supply.start_wh[{k}]}}"),
        column("served", "Tiers served", one.served(), unit="number"),
    )
