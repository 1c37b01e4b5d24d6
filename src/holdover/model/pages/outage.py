"""The page on the outage: whether the promise is kept, what each tier gets, and the charge to hold, as they stand there."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from holdover.case.schema import Case
from holdover.model.demand import TIERS
from holdover.model.dust import DUST
from holdover.model.offer import Offer
from holdover.model.outage.told import Stretch, stretch_of, through
from holdover.model.outage.what_if import Trial
from holdover.model.pages.answer import Told
from holdover.model.pages.hourly import HoldRow, OutageTable
from holdover.model.pages.timeline import tiers_told
from holdover.model.spoken import clock_words, spoken, thousands

PROMISED: Final = ("critical loads run", "critical and essential loads run", "all loads run")
"""What is promised, by how many tiers [-]."""
A_DAY: Final = 4
"""Readings of the display in a day [-]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TierLine:
    """A tier on the page. `until` is a clock time, or that it runs throughout or asks for nothing."""

    asked_wh: float
    served_share: float
    off_h: int
    until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """A what-if on the page; all "" where no candidate is listed."""

    words: str
    packs_needed: int | str
    price: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldDay:
    """A day's readings, that at the start first: what the display must read for all loads, and without convenience."""

    day: int
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutagePage:
    """What the page says of the candidate shown, and of what-ifs.

    `lines` are what it shows of the trials, then of the low, the likely and the high day; `heading` stands over them and says
    of whom they are. `told` is by tier 1 where a timeline tells of it.
    """

    hero: str
    lead: str
    drop: str
    tiers: tuple[TierLine, ...]
    told: tuple[int, ...]
    hold: tuple[HoldDay, ...]
    heading: str
    lines: tuple[WhatIf, ...]


def outage_page(
    case: Case, shown: Offer, told: Told, table: OutageTable, what_ifs: Sequence[Trial], tried: str
) -> OutagePage:
    """The page of a study.

    Args:
        case: The case.
        shown: The candidate shown.
        told: What is told of it on the first page.
        table: The tables of the outage.
        what_ifs: The trials, then the low, likely and high day.
        tried: The candidate that they are tried on, with its packs.

    Holds for: a plan no longer than the tables reach.
    Source: definition.
    """
    starts = case.outage.starts_at
    return OutagePage(
        hero=_hero(shown, table, stretch_of(case)),
        lead=_lead(shown, told, table.beyond) if shown.name else table.beyond,
        drop=_drop(shown),
        tiers=tuple(_tier(shown, tier, starts) for tier in TIERS),
        told=tiers_told(shown),
        hold=_hold(table.hold),
        heading=f"What if: {tried}" if tried else "What if",
        lines=tuple(
            WhatIf(words=one.words, packs_needed=one.packs_needed, price=one.price)
            if tried
            else WhatIf(words="", packs_needed="", price="")
            for one in what_ifs
        ),
    )


def _hero(shown: Offer, table: OutageTable, stretch: Stretch) -> str:
    if not shown.name:
        return "No candidate is listed yet."
    told = _promise_words(shown, table, stretch)
    return f"Output falls short; by storage alone t{told[1:]}" if shown.fit.output == "UNDER" else told


def _promise_words(shown: Offer, table: OutageTable, stretch: Stretch) -> str:
    promise = shown.carried.promise
    if isinstance(promise.until_h, int):
        falls = f"{promise.broken_tier} loads are off or short"
        if promise.until_h <= 0:
            return f"The promise is not kept: {falls} from the start on."
        return f"The promise is kept until {clock_words(promise.until_h, stretch.starts_at)}; then {falls}."
    kept = "The promise is kept" if promise.margin_held else "The promise is kept, without the margin"
    return f"{kept}: {PROMISED[table.promised - 1]} {through(stretch)}."


def _lead(shown: Offer, told: Told, beyond: str) -> str:
    carried = shown.carried
    above = max(0.0, carried.lowest_wh - carried.store.reserve_wh)
    parts = [
        f"{told.named}. {told.words}",
        f"The charge falls to {spoken(100 * carried.lowest_share)} %, {thousands(above)} Wh above the reserve.",
    ]
    if float(spoken(carried.wasted_wh)) > 0:
        parts.append(f"Of sun and charging {thousands(carried.wasted_wh)} Wh find no room.")
    if round(carried.loads_trip_w, DUST) > 0:
        parts.append(f"Loads alone draw {thousands(carried.loads_trip_w)} W more than a source gives: it trips.")
    elif round(carried.source_trips_w, DUST) > 0:
        parts.append(f"Loads and charger ask {thousands(carried.source_trips_w)} W more than a source gives: it trips.")
    if carried.runs_down:
        parts.append(
            f"The last day ends {thousands(-carried.daily_balance_wh)} Wh lower than it began: it can't repeat."
        )
    return " ".join([*parts, beyond] if beyond else parts)


def _drop(shown: Offer) -> str:
    """The share to set in a device that drops convenience loads by itself, rounded up to a whole percent."""
    if not shown.name:
        return ""
    percent = ceil(round(100 * shown.carried.safe_drop_share, DUST))
    if percent >= 100:
        return "No one threshold, set in the device, leaves convenience loads on and carries the others: off from the start."
    return f"One threshold, set in the device, in place of readings: convenience loads off below {percent} %."


def _tier(shown: Offer, tier: str, starts_at: int) -> TierLine:
    got = shown.carried.tiers[tier]
    if round(got.asked_wh, DUST) <= 0:
        until = "asks for nothing"
    else:
        until = clock_words(got.until_h, starts_at) if isinstance(got.until_h, int) else "throughout"
    return TierLine(asked_wh=got.asked_wh, served_share=got.served_share, off_h=got.off_h, until=until)


def _hold(rows: Sequence[HoldRow]) -> tuple[HoldDay, ...]:
    days = range(1, 1 + len(rows) // A_DAY)
    return tuple(
        HoldDay(
            day=d,
            readings=(
                _reading(rows[0]) if d == 1 else "",
                *(_reading(rows[A_DAY * (d - 1) + k]) for k in range(1, A_DAY + 1)),
            ),
        )
        for d in days
    )


def _reading(row: HoldRow) -> str:
    if row.t == "":
        return ""
    essential = _percent(row.essential_share)
    unit = "" if isinstance(row.essential_share, str) else " %"
    return f"{int(row.clock):02d}:00  {_percent(row.convenience_share)} / {essential}{unit}"


def _percent(share: float | str) -> str:
    return share if isinstance(share, str) else spoken(100 * share)
