"""Which of the candidates that fit comes first, by the criterion the case chooses. Ties keep the order of entry.

Whatever leaves a check open (a data sheet that is silent, a source that trips) ranks behind what holds, and last what
keeps the promise without its margin.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from holdover.case.schema import Money, Weights
from holdover.model.money import Cost
from holdover.model.storage import Held
from holdover.model.verdict.fit import Fit

UNSTATED = 1e12
"""Added to the price of a candidate whose figure is not stated, so that it comes last, by price [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rank:
    """One candidate's place."""

    field_price: float | str
    field_life_cost: float | str
    field_usable: float | str
    field_weight: float | str
    field_noise: float | str
    score_price: float
    score_life_cost: float
    score_usable: float
    score_weight: float
    score_noise: float
    weighed: float
    score: float | str
    key: float
    behind: int
    rank: int | str
    handed_key: float
    """What `key` was when the workbook was handed over."""
    handed_rank: int | str
    """Its place by that figure."""


def scaled(value: float, worst: float, best: float) -> float:
    """Place of a value between the worst and the best of the field [share].

    Args:
        value: The candidate's figure [-].
        worst: Worst figure among the candidates that fit [-].
        best: Best figure among them [-].

    Holds for: any figures of one unit; where all are equal each is best.
    Source: min-max scaling, common practice.

    >>> scaled(30, 40, 20)
    0.5
    """
    return 1.0 if best == worst else (worst - value) / (worst - best)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contender:
    """What the ranking needs of a candidate."""

    fit: Fit
    held: Held
    cost: Cost
    noise_db: float | None
    margin_held: int


def ranks_of(
    field: Sequence[Contender], money: Money, weights: Weights, handed: Sequence[float] = ()
) -> tuple[Rank, ...]:
    """Every candidate's scores, keys and ranks; candidates that do not fit have none.

    `handed` are the keys with which a workbook was handed over; of further candidates they are as now.
    """
    seen = {
        "price": _seen(field, lambda c: c.cost.total),
        "life_cost": _seen(field, lambda c: c.cost.per_life_kwh),
        "usable": _seen(field, lambda c: c.held.usable_wh),
        "weight": _seen(field, lambda c: c.fit.weight_kg),
        "noise": _seen(field, lambda c: "" if c.noise_db is None else c.noise_db),
    }
    scores = {name: _scores(column, more_is_better=name == "usable") for name, column in seen.items()}
    total = _weighed(scores, weights, len(field))
    keys = _keys(field, money.rank_by, total)
    behind = [c.fit.fits * (c.fit.asks > 0) * (2 - c.margin_held) for c in field]
    handed_keys = [*handed, *keys[len(handed) :]]
    places, handed_places = _places(field, behind, keys), _places(field, behind, handed_keys)
    return tuple(
        Rank(
            field_price=seen["price"][i],
            field_life_cost=seen["life_cost"][i],
            field_usable=seen["usable"][i],
            field_weight=seen["weight"][i],
            field_noise=seen["noise"][i],
            score_price=scores["price"][i],
            score_life_cost=scores["life_cost"][i],
            score_usable=scores["usable"][i],
            score_weight=scores["weight"][i],
            score_noise=scores["noise"][i],
            weighed=total[i],
            score=total[i] if c.fit.fits else "",
            key=keys[i],
            behind=behind[i],
            rank=places[i],
            handed_key=handed_keys[i],
            handed_rank=handed_places[i],
        )
        for i, c in enumerate(field)
    )


def _places(field: Sequence[Contender], behind: Sequence[int], keys: Sequence[float]) -> list[int | str]:
    """The place of each among those that fit by a figure, "" where it does not."""
    order = sorted((i for i, c in enumerate(field) if c.fit.fits), key=lambda i: (behind[i], keys[i], i))
    return [order.index(i) + 1 if c.fit.fits else "" for i, c in enumerate(field)]


def _keys(field: Sequence[Contender], rank_by: str, weighed: Sequence[float]) -> list[float]:
    """The figure by which each is ranked."""
    by: dict[str, Callable[[int], float | str]] = {
        "price": lambda i: field[i].cost.total,
        "weight": lambda i: field[i].fit.weight_kg,
        "price per usable kWh": lambda i: field[i].cost.per_usable_kwh,
        "price per kWh over life": lambda i: field[i].cost.per_life_kwh,
        "weighted score": lambda i: 1 - weighed[i],
    }
    chosen = [by[rank_by](i) for i in range(len(field))]
    return [_key(value, contender.cost.total) for value, contender in zip(chosen, field, strict=True)]


def _key(figure: float | str, price: float | str) -> float:
    """What decides, the lowest first: the figure; where it is not stated the price, behind whatever is stated."""
    if not isinstance(figure, str):
        return round(figure, 9)
    return UNSTATED + (UNSTATED if isinstance(price, str) else price)


def _weighed(scores: dict[str, list[float]], weights: Weights, size: int) -> list[float]:
    """The weighted score of every candidate [share]."""
    share = {name: float(getattr(weights, name)) for name in scores}
    whole = sum(share.values())
    return [sum(share[n] * scores[n][i] for n in scores) / whole if whole else 0.0 for i in range(size)]


def _seen(field: Sequence[Contender], figure: Callable[[Contender], float | str]) -> list[float | str]:
    """A figure of those that fit, "" where it is not stated or they do not fit."""
    return ["" if not c.fit.fits or isinstance(figure(c), str) else figure(c) for c in field]


def _scores(column: Sequence[float | str], *, more_is_better: bool) -> list[float]:
    numbers = [value for value in column if not isinstance(value, str)]
    if not numbers:
        return [0.0] * len(column)
    best, worst = (max(numbers), min(numbers)) if more_is_better else (min(numbers), max(numbers))
    return [0.0 if isinstance(value, str) else scaled(value, worst, best) for value in column]
