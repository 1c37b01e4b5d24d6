"""Order of the candidates that fit."""

from random import Random
from types import SimpleNamespace
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Criterion, Money, Weights
from holdover.model.verdict.rank import Contender, Rank, ranks_of, scaled


def contender(
    total: float | str = 1000.0,
    *,
    life: float | str = 0.2,
    per_usable: float | str = 500.0,
    usable_wh: float = 2000.0,
    weight_kg: float | str = 20.0,
    noise_db: float | None = 45.0,
    fits: int = 1,
    asks: int = 0,
    margin_held: int = 1,
) -> Contender:
    """Only the figures that the ranking looks at."""
    fit: Any = SimpleNamespace(fits=fits, asks=asks, weight_kg=weight_kg)
    held: Any = SimpleNamespace(usable_wh=usable_wh)
    cost: Any = SimpleNamespace(total=total, per_life_kwh=life, per_usable_kwh=per_usable)
    return Contender(fit=fit, held=held, cost=cost, noise_db=noise_db, margin_held=margin_held)


def ranked(field: list[Contender], rank_by: Criterion = "price", **weights: Any) -> tuple[Rank, ...]:
    return ranks_of(field, Money(rank_by=rank_by), Weights.model_validate(weights))


def places(*arguments: Any, **weights: Any) -> list[int | str]:
    return [one.rank for one in ranked(*arguments, **weights)]


# Three that differ in every figure, each first by another criterion.
CHEAP = contender(900, life=0.3, per_usable=600, usable_wh=1500, weight_kg=24, noise_db=50)
LIGHT = contender(1500, life=0.4, per_usable=700, usable_wh=2100, weight_kg=15, noise_db=40)
LASTS = contender(1800, life=0.1, per_usable=450, usable_wh=4000, weight_kg=30, noise_db=45)


@pytest.mark.parametrize(
    ("rank_by", "order"),
    [
        ("price", [1, 2, 3]),
        ("weight", [2, 1, 3]),
        ("price per usable kWh", [2, 3, 1]),
        ("price per kWh over life", [2, 3, 1]),
    ],
)
def test_the_lowest_comes_first(rank_by: Criterion, order: list[int]) -> None:
    """By price, weight and price per kWh less is better."""
    assert places([CHEAP, LIGHT, LASTS], rank_by) == order


@pytest.mark.parametrize(
    ("weights", "first"),
    [
        ({"price": 1}, 0),
        ({"life_cost": 1}, 2),
        ({"usable": 1}, 2),
        ({"weight": 1}, 1),
        ({"noise": 1}, 1),
    ],
)
def test_a_score_of_one_criterion_ranks_as_that_criterion(weights: dict[str, float], first: int) -> None:
    """With all weight on one figure its best candidate scores 1 and comes first; of storage more is better."""
    only = dict.fromkeys(Weights.model_fields, 0.0) | weights
    found = ranked([CHEAP, LIGHT, LASTS], "weighted score", **only)
    assert (found[first].rank, found[first].score) == (1, 1)
    assert min(float(one.score) for one in found) == 0


def test_the_weighted_score_by_hand() -> None:
    """Price 3, noise 1: the cheap one scores (3 x 1 + 0)/4, the quiet one (3 x 1/3 + 1)/4."""
    only = dict.fromkeys(Weights.model_fields, 0.0) | {"price": 3.0, "noise": 1.0}
    found = ranked([CHEAP, LIGHT, LASTS], "weighted score", **only)
    assert [one.score for one in found] == pytest.approx([0.75, 0.5, 0.125], rel=1e-12)
    assert [one.rank for one in found] == [1, 2, 3]


def test_the_highest_score_comes_first() -> None:
    """Of the score more is better, unlike of all other criteria."""
    found = ranked([LASTS, LIGHT, CHEAP], "weighted score")
    by_score = sorted(found, key=lambda one: -float(one.score))
    assert [one.rank for one in by_score] == [1, 2, 3]


def test_only_proportion_of_the_weights_matters() -> None:
    """Weights of 4, 2, 2, 1, 1 and of 40, 20, 20, 10, 10 give one score."""
    names = ("price", "life_cost", "usable", "weight", "noise")
    field = [CHEAP, LIGHT, LASTS]
    small = ranked(field, "weighted score", **dict(zip(names, (4.0, 2.0, 2.0, 1.0, 1.0), strict=True)))
    large = ranked(field, "weighted score", **dict(zip(names, (40.0, 20.0, 20.0, 10.0, 10.0), strict=True)))
    assert [one.score for one in small] == pytest.approx([one.score for one in large], rel=1e-12)


def test_no_weight_at_all_leaves_the_order_of_entry() -> None:
    """All weights 0 are no opinion: every score is 0 and nobody passes anybody."""
    none = dict.fromkeys(Weights.model_fields, 0.0)
    found = ranked([LASTS, CHEAP, LIGHT], "weighted score", **none)
    assert [(one.score, one.rank) for one in found] == [(0, 1), (0, 2), (0, 3)]


@pytest.mark.parametrize("rank_by", get_args(Criterion))
def test_ties_keep_the_order_of_entry(rank_by: Criterion) -> None:
    """Three alike are first, second and third as they were entered."""
    assert places([contender(), contender(), contender()], rank_by) == [1, 2, 3]


def test_dust_is_a_tie() -> None:
    """0.1 + 0.2 and 0.3 are one price."""
    assert places([contender(0.1 + 0.2), contender(0.3)]) == [1, 2]


def test_who_does_not_fit_has_no_rank_and_moves_nobody() -> None:
    """The cheapest is out, and its figures do not stretch the field either."""
    out = contender(1, life=0.001, usable_wh=90_000, weight_kg=0.1, noise_db=1, fits=0)
    assert places([out, LIGHT, CHEAP]) == ["", 2, 1]
    without = ranked([LIGHT, CHEAP], "weighted score")
    found = ranked([out, LIGHT, CHEAP], "weighted score")
    assert [one.score for one in found[1:]] == [one.score for one in without]
    assert (found[0].score, found[0].field_price) == ("", "")


@pytest.mark.parametrize(
    ("rank_by", "unstated"),
    [
        ("price", contender("not stated")),
        ("weight", contender(weight_kg="not stated")),
        ("price per usable kWh", contender(per_usable="not stated")),
        ("price per kWh over life", contender(life="no storage")),
    ],
)
def test_an_unstated_figure_comes_last(rank_by: Criterion, unstated: Contender) -> None:
    """Whoever does not state what decides stands behind the dearest that does."""
    dear = contender(9e6, life=9e3, per_usable=9e6, weight_kg=1999.0)
    assert places([unstated, dear], rank_by) == [2, 1]


def test_an_unstated_figure_scores_nothing() -> None:
    """A blank noise level counts as the loudest, not as the quietest."""
    only = dict.fromkeys(Weights.model_fields, 0.0) | {"noise": 1.0}
    found = ranked([contender(noise_db=None), contender(noise_db=60), contender(noise_db=40)], "weighted score", **only)
    assert [one.score for one in found] == [0, 0, 1]


def test_where_all_are_equal_each_is_best() -> None:
    """A figure that does not tell candidates apart gives each its full share."""
    assert scaled(7, 7, 7) == 1
    assert [one.score for one in ranked([contender(), contender()], "weighted score")] == [1, 1]


def test_nobody_fits_nobody_ranks() -> None:
    """A field of misfits and a field of none give no rank."""
    assert places([contender(fits=0), contender(fits=0)]) == ["", ""]
    assert places([]) == []


@given(
    st.lists(st.integers(1, 10**6), min_size=1, max_size=8, unique=True),
    st.randoms(use_true_random=False),
    st.sampled_from(get_args(Criterion)),
)
@settings(derandomize=True, deadline=None)
def test_the_order_of_entry_decides_nothing_but_ties(prices: list[int], random: Random, rank_by: Criterion) -> None:
    """However candidates that differ are listed, each keeps its rank, and the ranks are 1 to n."""
    field = [
        contender(float(p), life=p / 7, per_usable=p / 3, usable_wh=2e6 - p, weight_kg=p / 11, noise_db=120 * p / 10**6)
        for p in prices
    ]
    before = dict(zip(prices, places(field, rank_by), strict=True))
    assert sorted(before.values()) == list(range(1, len(prices) + 1))
    assert [before[p] for p in sorted(prices)] == sorted(before.values())
    order = list(range(len(prices)))
    random.shuffle(order)
    after = places([field[i] for i in order], rank_by)
    assert after == [before[prices[i]] for i in order]


@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=9))
@settings(derandomize=True, deadline=None)
def test_min_max_scaling_runs_from_nothing_to_all(figures: list[float]) -> None:
    """The best figure is 1, the worst 0 unless all are alike, and none lies outside."""
    places_ = [scaled(value, max(figures), min(figures)) for value in figures]
    assert max(places_) == 1
    assert min(places_) == (0 if min(figures) < max(figures) else 1)


def test_what_is_to_be_checked_ranks_behind_what_holds() -> None:
    """The cheapest keeps the promise without the margin, or its data sheet is silent: both others come first."""
    open_one = contender(500, asks=1)
    assert places([open_one, LIGHT, CHEAP]) == [3, 2, 1]
    assert places([contender(500, asks=1), contender(400, asks=2)]) == [2, 1]
    assert [one.behind for one in ranked([open_one, LIGHT])] == [1, 0]


def test_the_order_as_handed_over_stays_where_prices_change() -> None:
    """By the keys that were kept, and of a candidate that came later by what it costs now; rank itself follows the prices."""
    field = [contender(900), contender(1500), contender(1200)]
    found = ranks_of(field, Money(), Weights(), (1000.0, 800.0))
    assert [one.rank for one in found] == [1, 3, 2]
    assert [one.handed_key for one in found] == [1000, 800, 1200]
    assert [one.handed_rank for one in found] == [2, 1, 3]
    fewer = ranks_of(field[:1], Money(), Weights(), (1000.0, 800.0))
    assert [(one.rank, one.handed_rank) for one in fewer] == [(1, 1)]
