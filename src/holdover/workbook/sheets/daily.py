"""The 24-hour picture: energy by hour and tier, running and starting draw, and the peaks."""

from holdover.model.demand import TIERS
from holdover.workbook.grid import Column, Table, group
from holdover.workbook.page import Chart, Series, Sheet


def _peak(name: str, title: str, unit: str, column: str, note: str = "") -> tuple[Column, Column]:
    at = name.removesuffix("_w").removesuffix("_va").removesuffix("_wh") + "_at"
    return (
        Column(name, title, unit, formula=f"=MAX({{hours.{column}}})", role="total", note=note),
        Column(
            at,
            "in the hour from",
            "o'clock",
            formula=f"=INDEX({{hours.hour}},MATCH(ROUND({{{name}}},6),{{hours.rounded_{column}}},0))",
            note="The first hour in which it falls.",
        ),
    )


DEMAND = Table(
    "demand",
    "What all loads ask for",
    "demand",
    (
        *group(
            "Energy",
            Column("lines", "Loads listed", "number", formula="=SUM({line.is_ac})+SUM({line.is_dc})"),
            Column("incomplete", "of them incomplete", "number", formula="=SUM({line.incomplete})"),
            Column("energy_wh", "Energy a day", "Wh", formula="=SUM({line.energy_wh})", role="total"),
            Column("ac_wh", "of it through the inverter", "Wh", formula="=SUM({line.ac_wh})"),
            Column("dc_wh", "of it at DC ports", "Wh", formula="=SUM({line.dc_wh})"),
            *(Column(f"{tier}_wh", f"of it {tier}", "Wh", formula=f"=SUM({{hours.{tier}_wh}})") for tier in TIERS),
            Column("mean_w", "Mean draw", "W", formula="={energy_wh}/24"),
        ),
        *_peak("busiest_wh", "Busiest hour", "Wh", "total_wh"),
        *_peak("peak_running_w", "Running at the peak", "W", "running_w", "AC loads that are on in the same hour."),
        *_peak("peak_apparent_va", "Apparent power at the peak", "VA", "apparent_va"),
        *_peak(
            "peak_start_one_w",
            "Starting, one motor at a time",
            "W",
            "start_one_w",
            "Running draw, plus the largest addition at start of any one load that is on.",
        ),
        *_peak(
            "peak_start_all_w",
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
        *_peak("peak_dc_w", "DC ports at the peak", "W", "dc_w"),
        *group(
            "For the candidates",
            Column(
                "inverter_hours",
                "Inverter is on",
                "h",
                formula='=IF({sizing.inverter}="always on",24,SUMPRODUCT(({hours.ac_wh}>0.000001)*1))',
            ),
            Column(
                "ac_items",
                "AC items to plug in",
                "number",
                formula="=SUMPRODUCT({line.is_ac}*{line.quantity})",
            ),
            Column(
                "shortest_gap_ms",
                "Shortest gap a load rides out",
                "ms",
                formula='=IF(COUNT({line.gap_ms})=0,"none stated",MIN({line.gap_ms}))',
                note="Of AC loads; DC ports go on at transfer.",
            ),
            Column(
                "house_v",
                "Feed of the house",
                "V",
                formula="=INDEX({feeds.volts},MATCH({sizing.feed},{feeds.feed},0))",
            ),
        ),
    ),
    kind="across",
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
                formula=f'=SUMPRODUCT(({{line.tier}}="{tier}")*{{line.{kind}_wh}}*{{line.share_@}})',
            )
            for tier in TIERS
        ),
    )


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
            "Draw on the inverter",
            Column(
                "running_w",
                "Running",
                "W",
                formula="=SUMPRODUCT({line.is_ac}*{line.w_@})",
                note="Of loads that take turns only the largest that is on counts. A load without a start time counts as on in every hour.",
            ),
            Column(
                "start_one_w",
                "Starting, one at a time",
                "W",
                formula="={running_w}+MAX({line.step_@})",
            ),
            Column(
                "start_all_w",
                "Starting, together",
                "W",
                formula="={running_w}+SUMPRODUCT({line.quantity}*{line.step_@})",
            ),
            Column(
                "apparent_va",
                "Apparent",
                "VA",
                formula="=SUMPRODUCT({line.is_ac}*{line.va_@})",
            ),
        ),
        *group("DC ports", Column("dc_w", "DC ports", "W", formula="=SUMPRODUCT({line.is_dc}*{line.w_@})")),
        *_by_tier("ac"),
        *_by_tier("dc"),
        *group(
            "Sums",
            Column("ac_wh", "AC, all", "Wh", formula="={ac_critical_wh}+{ac_essential_wh}+{ac_convenience_wh}"),
            Column("dc_wh", "DC, all", "Wh", formula="={dc_critical_wh}+{dc_essential_wh}+{dc_convenience_wh}"),
        ),
        *group(
            "Rounded, to find the first hour of a peak",
            *(
                Column(
                    f"rounded_{name}",
                    title,
                    path=f"rounded.{place}",
                    formula=f"=ROUND({{{name}}},6)",
                    role="quiet",
                    printed=False,
                )
                for place, (name, title) in enumerate(
                    (
                        ("total_wh", "Energy"),
                        ("running_w", "Running"),
                        ("apparent_va", "Apparent"),
                        ("start_one_w", "Starting, one"),
                        ("start_all_w", "Starting, together"),
                        ("dc_w", "DC ports"),
                    )
                )
            ),
        ),
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
            rows=24,
            beside="energy_wh",
        ),
        HOURS,
        Chart(
            "Draw on the inverter by hour",
            "line",
            (
                Series("Running", "hours", "running_w"),
                Series("Starting, one at a time", "hours", "start_one_w"),
                Series("Starting, together", "hours", "start_all_w", dashed=True),
            ),
            names=("hours", "hour"),
            x_title="hour of the day",
            y_title="W",
        ),
    ),
)
