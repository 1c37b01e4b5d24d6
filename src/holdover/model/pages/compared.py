"""What stands beside the candidates where they are compared: who is advised, what is said once, what would mend a miss."""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import Case
from holdover.model.decision import Decision, chosen_words, none_fits, with_packs
from holdover.model.desk import Desk, alone_of
from holdover.model.dust import DUST
from holdover.model.money import STAGES
from holdover.model.offer import Offer, means_of
from holdover.model.verdict.fit import REMARKS, common_remarks
from holdover.model.verdict.mend import Mend, Spared, spared_of
from holdover.model.verdict.reason import ASKED, common_asks

COMMON = (*ASKED, *REMARKS)
"""What may stand on every candidate alike: figures to ask for, and remarks [-]."""
NOTHING = Mend(
    by_card=0,
    missing_wh=0.0,
    missing_w=0.0,
    more_packs=0,
    generator_h=0.0,
    left_out_for_storage="",
    left_out_for_output="",
    eased_start="",
    for_storage="",
    for_output="",
    words="",
)
"""Where every candidate fits there is nothing to mend [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageLine:
    """One stage of the pick; everything is "" beyond the packs that it gets, and where none is advised."""

    packs: int
    usable_wh: float | str
    need_share: float | str
    word: str
    added: float | str
    total: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """`labels` stand over the candidates. `without_refill_wh` is what the promise takes of usable storage where nothing is filled again. `common` marks what stands on every candidate, by `COMMON`; `spared` and `mend` are of the nearest miss, and so is `over`: whether a clock hour asks for more than it gives. `alone` is the share of each clock hour in which no source is connected, and `drawn_wh` what the promised loads take of the nearest then."""

    lead: str
    labels: tuple[str, ...]
    common: tuple[int, ...]
    without_refill_wh: tuple[float | str, ...]
    spared: tuple[Spared, ...]
    over: tuple[int, ...]
    alone: tuple[float, ...]
    drawn_wh: float
    mend: Mend
    stages: tuple[StageLine, ...]


def compared_of(desk: Desk, offers: Sequence[Offer], decision: Decision, pick: Offer) -> Compared:
    """What the comparison says beside its grid."""
    fits = [offer.fit for offer in offers if offer.name]
    common = {*common_asks(fits), *common_remarks(fits)}
    nearest = offers[decision.nearest_number - 1] if decision.nearest_number else None
    nothing = Spared(behind="", stores_wh="", runs_w="", starts_w="")
    return Compared(
        lead=lead_of(offers, decision, desk.case),
        labels=tuple(_label(offer, decision) for offer in offers),
        common=tuple(int(name in common) for name in COMMON),
        without_refill_wh=tuple(_usable(offer.carried.promise.full_needed_without_refill_wh, desk) for offer in offers),
        spared=spared_of(nearest.fit, desk.lines, desk.spare, means_of(desk, nearest))
        if nearest
        else (nothing,) * len(desk.lines),
        over=_over(desk, nearest),
        alone=alone_of(desk.sources),
        drawn_wh=means_of(desk, nearest).drawn_wh if nearest else 0.0,
        mend=nearest.mend if nearest else NOTHING,
        stages=tuple(
            _stage(pick if decision.pick_number else None, packs, desk.case.sizing.reserve) for packs in range(STAGES)
        ),
    )


def lead_of(offers: Sequence[Offer], decision: Decision, case: Case) -> str:
    """Who is advised among the candidates, in a sentence."""
    if not decision.listed:
        return "No candidate is listed yet."
    if decision.pick_number:
        pick = with_packs(decision.pick, offers[decision.pick_number - 1].held.packs)
        return f"{pick}: {chosen_words(offers, case)}."
    offer = offers[decision.nearest_number - 1]
    nearest = with_packs(decision.nearest, offer.held.packs)
    said = none_fits(nearest, decision.listed, offer.fit.verdict)
    return said if decision.listed == 1 else f"{said} Nearest is {nearest}."


def _over(desk: Desk, nearest: Offer | None) -> tuple[int, ...]:
    """Whether more runs in a clock hour, with its margin, than the nearest gives."""
    short = nearest is not None and nearest.mend.missing_w > 0
    gives_w = (nearest.given.continuous_w or 0.0) if nearest else 0.0
    return tuple(int(short and round(hour.needed_w - gives_w, DUST) > 0) for hour in desk.hours)


def _usable(full_wh: float | str, desk: Desk) -> float | str:
    return full_wh if isinstance(full_wh, str) else (1 - desk.case.sizing.reserve) * full_wh


def _label(offer: Offer, decision: Decision) -> str:
    """What stands over a candidate's name: its rank, or that it comes nearest."""
    if offer.number == decision.pick_number:
        return "1, advised"
    if offer.rank.rank != "":
        return str(offer.rank.rank)
    return "nearest" if offer.number == decision.nearest_number else ""


def _stage(pick: Offer | None, packs: int, reserve: float) -> StageLine:
    if pick is None or packs >= len(pick.stages):
        return StageLine(packs=packs, usable_wh="", need_share="", word="", added="", total="")
    stage = pick.stages[packs]
    return StageLine(
        packs=packs,
        usable_wh=(1 - reserve) * stage.full_wh,
        need_share=stage.need_share,
        word=stage.word,
        added=stage.added,
        total=stage.total,
    )
