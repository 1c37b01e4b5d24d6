"""A candidate with room in everything, judged against a few loads with a promise that is given."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from holdover.case.schema import Candidate, Case, Load
from holdover.model.offer import Offer
from holdover.model.outage.promise import Promise
from holdover.model.study import Study, study
from holdover.model.verdict.fit import Against, Fit, Waits, Worked, ac_volts_of, fit_of
from holdover.model.verdict.reason import asked_of, asks_of, reason_of, short_of

LOADS = (
    Load(name="motor", running_w=800, starting_w=2400, power_factor=0.8, hours_per_day=3),
    Load(name="lamps", quantity=2, running_w=50, hours_per_day=5, starts_at=18, gap_ms=20),
    Load(name="radio", running_w=30, hours_per_day=24, feed="12 V DC"),
)
"""900 W running, 1,125 W and 1,375 VA needed, 2,500 W at the worst start, 30 W on the 12 V port, 3 AC items."""

AMPLE = Candidate(
    name="ample",
    storage_wh=9370,
    continuous_w=5150,
    continuous_va=5150,
    surge_w=9730,
    ac_volts=120,
    ac_sockets=6,
    dc_w=310,
    dc_12v_w=240,
    pv_inputs=1,
    pv_min_v=12,
    pv_max_v=140,
    weight_kg=21,
    price=1385,
    noise_db=44,
    transfer_ms=12,
)
KEPT = Promise(
    full_needed_wh=1000,
    full_needed_without_refill_wh=2000,
    packs=0,
    kept=1,
    margin_held=1,
    until_h="",
    broken_tier="",
    word="OK",
)


def broken(
    full_needed_wh: Any = 20_000.0, *, until_h: int = 27, tier: str = "essential", word: Any = "UNDER"
) -> Promise:
    return Promise(
        full_needed_wh=full_needed_wh,
        full_needed_without_refill_wh="never",
        packs=0,
        kept=int(word != "UNDER"),
        margin_held=0,
        until_h=until_h,
        broken_tier=tier,
        word=word,
    )


def worked(*candidates: Candidate, **case: Any) -> Study:
    return study(Case(candidates=candidates, **{"loads": LOADS, **case}))


class Judged:
    """A candidate judged, and what is said of it."""

    def __init__(self, offer: Offer, whole: Study, promise: Promise) -> None:
        waits = Waits(ac=False, sun=False, lowest=False, left_wh=0.0)
        self.fit: Fit = fit_of(
            offer.given,
            Against(case=whole.case, ac_volts=ac_volts_of(whole.lines), demand=whole.demand, trip=whole.vehicle),
            Worked(
                storage=offer.storage,
                held=offer.held,
                strings=offer.strings,
                vehicle=offer.vehicle,
                promise=promise,
                waits=waits,
                total=offer.cost.total,
            ),
        )
        carried = replace(offer.carried, promise=promise)
        short = short_of(offer.given, self.fit, carried, offer.vehicle, offer.strings.words, whole.case)
        self.reason = reason_of(offer.given, self.fit, short, "", critical_stops=False)
        asked = asked_of(offer.given, self.fit, (), waits, offer.strings)
        self.asks = asks_of(offer.given, self.fit, carried, asked, whole.case.sizing.energy_margin)


def judged(case: Mapping[str, Any] | None = None, promise: Promise = KEPT, /, **changed: Any) -> Judged:
    whole = worked(AMPLE.model_copy(update=changed), **(case or {}))
    return Judged(whole.offers[0], whole, promise)


def fit(case: Mapping[str, Any] | None = None, promise: Promise = KEPT, /, **changed: Any) -> Fit:
    return judged(case, promise, **changed).fit
