"""What more would bring: a pack, two hours of generator; and how it ends without sun. Each is a what-if in a sentence.

Where what-ifs are tried on another candidate than the one shown, nothing of it is told as if it were of this one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Case
from holdover.model.offer import Offer
from holdover.model.outage.what_if import LONGER, Trial
from holdover.model.spoken import clock_words, thousands

REACHES: Final = "loads and drive both get theirs"
"""What a pack more brings where the drive lacks just that [-]."""


NO_WATTS: Final = "Type the generator's watts on Solar recharge first."
"""What is said of hours of a generator whose output nobody states [-]."""


OF_ANOTHER: Final = "Tried on "
TRY_IT: Final = ", name it as candidate."
"""Parts of what is said in place of what-ifs of another candidate [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """What is told of a pack more, of a longer generator and of no sun, each a sentence; all "" where none is listed."""

    pack: str = ""
    generator: str = ""
    dark: str = ""


def more_of(case: Case, shown: Offer, tried: Offer, trials: Sequence[Trial]) -> More:
    """What more would bring the candidate shown; if another one is tried, which one and how to try this one.

    Args:
        case: The case.
        shown: The candidate shown.
        tried: The one that what-ifs are tried on.
        trials: Its what-ifs.

    Holds for: any candidate, a blank one too.
    Source: definition.
    """
    if not shown.name:
        return More()
    if tried.number != shown.number:
        return More(
            pack=f"{OF_ANOTHER}{tried.name}, first by earlier figures.", generator=f"To try {shown.name}{TRY_IT}"
        )
    return More(
        pack=_pack_more(case, shown, trials),
        generator=_generator_more(case, shown, trials),
        dark=_dark(case, trials),
    )


def _pack_more(case: Case, shown: Offer, trials: Sequence[Trial]) -> str:
    """What one pack more would bring, and cost."""
    trial = _trial(trials, "A pack more")
    if trial.packs <= shown.held.packs:
        return "It takes no more packs."
    price = shown.given.pack_price
    costs = "" if price is None else f", {case.about.currency} {thousands(price)} before tax"
    reaches = case.vehicle.distance > 0 and shown.vehicle.packs_with_loads == shown.held.packs + 1
    return f"One pack more{costs}: {REACHES if reaches else _outcome_beside(trials, trial, case)}."


def _generator_more(case: Case, shown: Offer, trials: Sequence[Trial]) -> str:
    """What two more hours of generator would bring: packs that are not needed then, else the promise."""
    if case.recharge.generator_w <= 0:
        return "No generator is planned." if case.outage.generator_hours <= 0 else NO_WATTS
    trial = _trial(trials, LONGER)
    packs, said = trial.packs_needed, _outcome(trial, case)
    if not isinstance(packs, str):
        said = _outcome_beside(trials, trial, case)
        if packs < shown.held.packs:
            said = {0: "no pack is needed", 1: "1 pack is enough"}.get(packs, f"{packs} packs are enough")
    return f"Generator two hours a day longer: {said}."


def _dark(case: Case, trials: Sequence[Trial]) -> str:
    """How it ends if no sun comes."""
    if case.array.modules <= 0:
        return "No sun is counted on."
    trial = _trial(trials, "No sun")
    alone = "" if trial.kept else ", promised loads alone"
    return f"If no sun comes: {_outcome(trial, case)}{alone}."


def _trial(trials: Sequence[Trial], name: str) -> Trial:
    return next(trial for trial in trials if trial.name == name)


def _outcome(trial: Trial, case: Case) -> str:
    """Whether the promise is kept, and else how long its loads run where nothing else is on."""
    if trial.kept:
        return "the promise is kept"
    return f"to {clock_words(float(trial.until_h), case.outage.starts_at)}"


def _outcome_beside(trials: Sequence[Trial], trial: Trial, case: Case) -> str:
    """What more brings: nothing that the promise needs where it is kept as planned."""
    if _trial(trials, "As planned").kept:
        return "more to spare"
    return _outcome(trial, case)
