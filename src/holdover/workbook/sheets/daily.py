"""The 24-hour picture: energy by hour and tier, running and starting draw, and the peaks."""

from holdover.case.schema import AC_VOLTS
from holdover.model.demand import SOCKETS, TIERS
from holdover.workbook.column import Column, Table, group
from holdover.workbook.page import Chart, Series, Sheet
from holdover.workbook.sheets.look_for import DOUBT, LOOK_FOR
from holdover.workbook.sheets.outage.field import BY_KIND


def _peak(top: str, at: str, title: str, unit: str, column: str, note: str = "") -> tuple[Column, Column]:
    """A peak, and the first hour in which it falls. Energy is not rounded by the hour, so what comes near is the peak."""
    first = f"INDEX({{hours.hour}},MATCH({{{top}}},{{hours.{column}}},0))"
    if column == "total_wh":
        first = f"SUMPRODUCT(SMALL({{hours.hour}}+24*({{{top}}}-{{hours.{column}}}>0.0000005),1))"
    return (
        Column(top, title, unit, formula=f"=MAX({{hours.{column}}})", role="total", note=note),
        Column(
            at,
            "in the hour from",
            "o'clock",
            formula=f"={first}",
            note="The first hour in which it falls.",
        ),
    )


def _socket(place: int, name: str, feed: str) -> tuple[Column, ...]:
    """What one DC socket must give: running at its peak and the largest start, in whichever hour that falls."""
    volts = f'INDEX({{feeds.dc_volts}},MATCH("{feed}",{{feeds.feed}},0))'
    mine = f"({{line.dc_v}}={{{name}_volts}})"
    return (
        Column(f"{name}_volts", f"{feed} ports", "V", path=f"sockets.{place}.volts", formula=f"={volts}"),
        Column(
            f"{name}_running_w",
            "running",
            "W",
            path=f"sockets.{place}.running_w",
            formula=f"=MAX({{hours.{name}_w}})",
        ),
        Column(
            f"{name}_step_w",
            "added at start",
            "W",
            path=f"sockets.{place}.step_w",
            formula=f'=IF({{sizing.starting}}="together",SUMPRODUCT({mine}*{{line.together_w}}),'
            f"SUMPRODUCT(LARGE({mine}*{{line.step_w}},1)))",
        ),
        Column(
            f"{name}_needed_w",
            "needed",
            "W",
            path=f"sockets.{place}.needed_w",
            formula=f"={{{name}_running_w}}+{{{name}_step_w}}",
            role="total",
        ),
    )


def _least(name: str, title: str, note: str) -> Column:
    column = "line.critical_gap_ms" if name == "critical_gap_ms" else "line.gap_ms"
    return Column(
        name,
        title,
        "ms",
        formula=f'=IF({{switched}}=0,"not planned",IF(COUNT({{{column}}})=0,"none stated",MIN({{{column}}})))',
        note=note,
    )


_VOLTAGES = "&".join(f'IF(COUNTIF({{line.volts}},{volts:g})>0," and {feed}","")' for feed, volts in AC_VOLTS.items())


def _pooled(kind: str) -> str:
    """At most so many of the short-use loads of one kind; the last line of the running list names them all."""
    names = f"INDEX({{pool.{kind}}},MAX({{line.number}}))"
    return f'IF({{places}}<{{pool_{kind}}},"; and on at most "&{{places}}&" of: "&{names},"")'


_POOL_WORDS = f"{_pooled('ac')}&{_pooled('dc')}"

DEMAND = Table(
    "demand",
    "What all loads ask for",
    "demand",
    (
        *group(
            "Energy",
            Column("lines", "Loads that count", "number", formula='=SUM({line.is_ac})+COUNTIF({line.dc_v},">0")'),
            Column(
                "incomplete",
                "Loads that lack watts or hours",
                "number",
                formula="=SUM({line.incomplete})",
                note="A named line without watts counts for nothing, without hours for no energy.",
            ),
            Column("energy_wh", "Energy a day", "Wh", formula="=SUM({line.energy_wh})", role="total"),
            Column("ac_wh", "of it through the inverter", "Wh", formula="=SUM({line.ac_wh})"),
            Column("dc_wh", "of it at DC ports", "Wh", formula="=SUMPRODUCT(({line.dc_v}>0)*{line.energy_wh})"),
            *(Column(f"{tier}_wh", f"of it {tier}", "Wh", formula=f"=SUM({{hours.{tier}_wh}})") for tier in TIERS),
            Column("mean_w", "Mean draw", "W", formula="={energy_wh}/24"),
            *_peak("busiest_wh", "busiest_at", "Busiest hour", "Wh", "total_wh"),
        ),
        *group(
            "AC output",
            *_peak(
                "peak_running_w",
                "peak_running_at",
                "Running at the peak",
                "W",
                "running_w",
                "AC loads that are on in the same hour; of short-use loads only as many as run together.",
            ),
            *_peak(
                "needed_running_w",
                "needed_running_at",
                "Continuous output needed",
                "W",
                "needed_w",
                "Loads of three hours a day or more count with the margin on running.",
            ),
            *_peak("needed_va", "needed_va_at", "Continuous output needed", "VA", "needed_va"),
            *_peak(
                "peak_start_one_w",
                "peak_start_one_at",
                "Starting, one motor at a time",
                "W",
                "start_one_w",
                "Running draw, plus the largest addition at start of any one load that is on.",
            ),
            *_peak(
                "peak_start_all_w",
                "peak_start_all_at",
                "Starting, all motors together",
                "W",
                "start_all_w",
                "As when power comes back to everything at once.",
            ),
            Column(
                "peak_starting_w",
                "Starting that is checked",
                "W",
                formula='=IF({sizing.starting}="together",{peak_start_all_w},{peak_start_one_w})',
                role="total",
                note="Which of the two is chosen under Assumptions.",
            ),
            Column(
                "largest_low_w",
                "Largest single load below 150 V",
                "W",
                formula="=SUMPRODUCT(LARGE(({line.volts}>0)*({line.volts}<150)*{line.one_w}"
                "*(1+{sizing.running_margin}*{line.continuous}),1))",
                note="With its margin. It can't be spread over two legs.",
            ),
            Column(
                "needed_leg_w",
                "Needed of one leg",
                "W",
                formula="=MAX({hours.leg_w})",
                role="total",
                note="Half of the higher voltage, and the lower one spread over two legs as well as it can be.",
            ),
        ),
        *group(
            "DC ports",
            *_peak("peak_dc_w", "peak_dc_at", "All DC ports at the peak", "W", "dc_w"),
            Column(
                "peak_dc_starting_w",
                "All DC ports, starts counted",
                "W",
                formula='=IF({sizing.starting}="together",MAX({hours.dc_start_all_w}),MAX({hours.dc_start_one_w}))',
                role="total",
            ),
            *(column for i, (name, feed) in enumerate(SOCKETS.items()) for column in _socket(i, name, feed)),
        ),
        *group(
            "For the candidates",
            Column(
                "places",
                "Short-use loads on together",
                "number",
                formula="=IF({sizing.at_once}=0,1000000,{sizing.at_once})",
                note="1,000,000 stands for all of them.",
            ),
            Column("pool_ac", "Short-use loads, AC", "number", formula="=SUMPRODUCT({line.pool}*{line.is_ac})"),
            Column("pool_dc", "Short-use loads, DC", "number", formula="=SUMPRODUCT({line.pool}*({line.dc_v}>0))"),
            Column(
                "pool_words",
                "What the plan counts on",
                path="pool_words",
                formula=f'=IF(OR({{places}}<{{pool_ac}},{{places}}<{{pool_dc}}),"Counts on "&MID({_POOL_WORDS},10,30000)&".","")',
                role="line",
            ),
            Column(
                "inverter_hours",
                "Inverter is on",
                "h",
                formula='=IF({sizing.inverter}="always on",24,SUMPRODUCT('
                "({hours.ac_critical_wh}+{hours.ac_essential_wh}+{hours.ac_convenience_wh}>0.000001)*1))",
            ),
            Column(
                "ac_items",
                "AC items to plug in",
                "number",
                formula="=SUMPRODUCT({line.is_ac}*{line.quantity})",
            ),
            Column("ac_voltages", "AC voltages", formula=f"=MID({_VOLTAGES},6,99)"),
            Column(
                "switched",
                "Loads bear a transfer",
                "number",
                formula='=IF(OR({about.purpose}="outage",{outage.mains_hours}>0,'
                "AND({recharge.generator_w}>0,{outage.generator_hours}>0)),1,0)",
                note="1 = mains or a generator feeds them for a time, 0 = the unit alone: there is no gap to bear.",
            ),
            _least("shortest_gap_ms", "Shortest gap of a load", "Of AC loads that are not critical."),
            _least("critical_gap_ms", "Shortest gap of a critical load", "DC ports go on at transfer."),
            Column(
                "house_v",
                "House voltage",
                "V",
                formula="=INDEX({feeds.volts},MATCH({sizing.feed},{feeds.feed},0))",
            ),
        ),
    ),
    kind="across",
    widths={"record": 16},
)


def _by_tier(kind: str) -> tuple[Column, ...]:
    """Energy in the hour by tier, of what is fed in one way."""
    return group(
        f"{kind.upper()} energy",
        *(
            Column(
                f"{kind}_{tier}_wh",
                f"{kind.upper()}, {tier}",
                "Wh",
                formula=f'=SUMPRODUCT(({{line.tier}}="{tier}")*{BY_KIND[kind]}*{{line.share_@}})',
            )
            for tier in TIERS
        ),
    )


_COUNTS = "{line.counts_@}"


_ON = "({line.share_@}>0.000001)"


def _with(bit: int) -> str:
    """Lines that are on, and in whose sum of what counts a bit is held."""
    held = [n for n in range(16) if n & bit and not n & 4]
    return f"{_ON}*(" + "+".join(f"({_COUNTS}={n})" for n in held) + ")"


_WATTS = f"{_ON}*({_COUNTS}>=8)"
_NEED, _VA = _with(2), _with(1)
"""Which lines count in the hour, and with what: the working sheet adds up 8 (watts), 2 (watts with margin), 1 (VA)."""


def _hardest_start(kind: str) -> str:
    """The most that one of the loads adds at its start, of those that are on."""
    return f"SUMPRODUCT(LARGE({kind}*{{line.step_w}}*{_ON},1))"


HOURS = Table(
    "hours",
    "Hour by hour",
    "hours",
    (
        Column("hour", "Hour from", "o'clock", width=32),
        *group(
            "Energy in the hour",
            *(
                Column(
                    f"{tier}_wh",
                    tier.capitalize(),
                    "Wh",
                    formula=f"={{ac_{tier}_wh}}+{{dc_{tier}_wh}}",
                )
                for tier in TIERS
            ),
            Column(
                "total_wh",
                "All",
                "Wh",
                formula="={critical_wh}+{essential_wh}+{convenience_wh}",
                role="total",
            ),
        ),
        *group(
            "AC output",
            Column(
                "running_w",
                "Running",
                "W",
                formula=f"=ROUND(SUMPRODUCT({{line.is_ac}}*{{line.total_w}}*{_WATTS}),6)",
                note="Of loads that take turns only the largest that is on counts, of short-use loads only as many as "
                "run together. A load without a start time counts as on in every hour.",
            ),
            Column(
                "needed_w",
                "Needed",
                "W",
                formula=f"=ROUND(SUMPRODUCT({{line.is_ac}}*{{line.need_w}}*{_NEED}),6)",
                note="Loads of three hours a day or more count with the margin on running.",
            ),
            Column(
                "needed_va",
                "Needed",
                "VA",
                formula=f"=ROUND(SUMPRODUCT({{line.is_ac}}*{{line.need_va}}*{_VA}),6)",
            ),
            Column(
                "start_one_w",
                "Starting, one at a time",
                "W",
                formula=f"=ROUND({{running_w}}+{_hardest_start('{line.is_ac}')},6)",
            ),
            Column(
                "start_all_w",
                "Starting, together",
                "W",
                formula=f"=ROUND({{running_w}}+SUMPRODUCT({{line.is_ac}}*{{line.together_w}}*{_ON}),6)",
            ),
            Column(
                "high_w",
                "of the need at 150 V or more",
                "W",
                formula=f"=SUMPRODUCT(({{line.volts}}>=150)*{{line.need_w}}*{_NEED})",
                role="quiet",
            ),
            Column(
                "leg_w",
                "Needed of one leg",
                "W",
                formula="={high_w}/2+MAX(({needed_w}-{high_w})/2,MIN({needed_w}-{high_w},{demand.largest_low_w}))",
            ),
        ),
        *group(
            "DC ports",
            Column(
                "dc_w",
                "Running",
                "W",
                formula=f"=ROUND(SUMPRODUCT(({{line.dc_v}}>0)*{{line.total_w}}*{_WATTS}),6)",
            ),
            Column(
                "dc_start_one_w",
                "Starting, one",
                "W",
                formula=f"={{dc_w}}+{_hardest_start('({line.dc_v}>0)')}",
            ),
            Column(
                "dc_start_all_w",
                "Starting, together",
                "W",
                formula=f"={{dc_w}}+SUMPRODUCT(({{line.dc_v}}>0)*{{line.together_w}}*{_ON})",
            ),
            *(
                Column(
                    f"{name}_w",
                    feed,
                    "W",
                    path=f"socket_w.{i}",
                    formula=f"=SUMPRODUCT(({{line.dc_v}}={{demand.{name}_volts}})*{{line.total_w}}*{_WATTS})",
                    role="quiet",
                )
                for i, (name, feed) in enumerate(SOCKETS.items())
            ),
        ),
        *_by_tier("ac"),
        *_by_tier("dc"),
    ),
)

DAILY_SHEET = Sheet(
    "Daily energy",
    "A mean day of all loads. Everything here follows from the Load sheet.",
    (
        DEMAND,
        Chart(
            "Energy by hour and tier",
            "stacked",
            tuple(Series(tier.capitalize(), "hours", f"{tier}_wh") for tier in TIERS),
            names=("hours", "hour"),
            x_title="hour of the day",
            y_title="Wh in the hour",
            rows=20,
            beside="lines",
        ),
        Chart(
            "AC output by hour",
            "line",
            (
                Series("Running", "hours", "running_w"),
                Series("Needed, with the margin", "hours", "needed_w"),
                Series("Starting, one at a time", "hours", "start_one_w"),
                Series("Starting, together", "hours", "start_all_w", dashed=True),
            ),
            names=("hours", "hour"),
            x_title="hour of the day",
            y_title="W",
            rows=20,
            beside="peak_start_all_at",
        ),
        HOURS,
        LOOK_FOR,
        DOUBT,
    ),
)
