"""What a list of candidates does for many cases: which one of them fits most, which two, and what each choice costs.

To cover most cases with one or two of a list is the maximal covering problem; with so few it is tried out. Pure: no I/O,
no sheet. Prices are in the currency of the cases, if they have one in common.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from holdover.fleet.entry import Entry
from holdover.model.spoken import spoken

UNPRICED: Final = 100_000_000_000_000
"""Stands for the price of a candidate that fits and states none; above every sum of prices [money]."""
UNFIT: Final = 200_000_000_000_000
"""Stands for the price of a candidate that does not fit [money]."""
MOST: Final = 24
"""Candidates that are compared in the index [count]: those that fit most cases."""
NOT_STATED: Final = "not stated"
DIFFER: Final = "currencies differ"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A case as it counts: how many there are like it, and what each candidate costs there."""

    title: str
    times: float
    prices: tuple[float | str, ...]
    costs: tuple[float, ...]
    of_two: str = ""
    """Which of the two that fit most cases it takes, "" where neither fits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """What all cases come to. `alike` is 1 where all have one currency, which is `currency`."""

    cases: int
    written: int
    edited: int
    errors: int
    failed: int
    fit: int
    none_fits: int
    currency: str
    alike: int
    unpriced: int
    price: float | str
    energy_wh: float
    warnings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A candidate against all cases, alone and beside each other one."""

    number: int
    name: str
    fits: float
    unpriced: float
    total: float | str
    each: float | str
    order: float
    rank: int | str
    together: tuple[float, ...]
    totals: tuple[float | str, ...]
    most: float
    worth: tuple[float, ...]
    least: float
    partner: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which unit fits most cases, and which two; the cheaper ones where several fit as many."""

    counted: float
    one: str
    one_fits: float
    one_total: float | str
    first_number: int
    second_number: int
    first: str
    second: str
    two_fits: float
    two_least: float
    two_total: float | str
    words: str


def sums_of(entries: Sequence[Entry], times: Sequence[float]) -> Sums:
    """The cases counted, and what their picks cost; `times` is how many there are like each."""
    states = [entry.state for entry in entries]
    worked = [entry for entry in entries if entry.fitting != ""]
    currency = worked[0].currency if worked else ""
    alike = all(entry.currency.lower() == currency.lower() for entry in worked)
    prices = [(entry.price, n) for entry, n in zip(entries, times, strict=True) if not isinstance(entry.price, str)]
    return Sums(
        cases=len(entries),
        written=states.count("written"),
        edited=states.count("edited"),
        errors=states.count("errors"),
        failed=states.count("failed"),
        fit=sum(entry.fitting not in ("", 0) for entry in worked),
        none_fits=sum(entry.fitting == 0 for entry in worked),
        currency=currency,
        alike=int(alike),
        unpriced=sum(entry.price == NOT_STATED for entry in entries),
        price=_rounded(sum(price * n for price, n in prices)) if alike else DIFFER,
        energy_wh=sum(
            entry.energy_wh * n for entry, n in zip(entries, times, strict=True) if not isinstance(entry.energy_wh, str)
        ),
        warnings=sum(entry.warnings for entry in entries),
    )


def _rounded(amount: float) -> float:
    """An amount to its cents, half of one away from zero."""
    return float(spoken(amount, 2))


def lines_of(entries: Sequence[Entry], names: Sequence[str], times: Sequence[float]) -> tuple[Line, ...]:
    """What each case says of each candidate; one that could not be worked out counts for nothing."""
    lines = []
    for entry, n in zip(entries, times, strict=True):
        prices = tuple(entry.choices.get(name, "") for name in names)
        costs = tuple(UNFIT if p == "" else UNPRICED if isinstance(p, str) else p for p in prices)
        counts = n if entry.fitting != "" else 0
        lines.append(Line(title=entry.title or entry.case, times=counts, prices=prices, costs=costs))
    return tuple(lines)


def compared(entries: Sequence[Entry]) -> tuple[str, ...]:
    """Names of the candidates of the list that all cases share, no more than MOST: those that fit most cases."""
    fits: dict[str, int] = {}
    for entry in entries:
        for name, price in entry.choices.items():
            fits[name] = fits.get(name, 0) + (price != "")
    kept = set(sorted(fits, key=lambda name: -fits[name])[:MOST])
    return tuple(name for name in fits if name in kept)


def units_of(names: Sequence[str], lines: Sequence[Line], *, alike: bool) -> tuple[Unit, ...]:
    """Every candidate against all cases."""
    count = range(len(names))
    covers = [[_covered(lines, {i, j}) for j in count] for i in count]
    totals = [[_total(lines, {i, j}, alike=alike) for j in count] for i in count]
    best = max((cover for row in covers for cover in row), default=0)
    orders = [_order(totals[i][i]) for i in count]
    keys = [(-covers[i][i], orders[i], i) for i in count]
    places = {key: place for place, key in enumerate(sorted(key for key in keys if key[0]), 1)}
    worth = [[_order(totals[i][j]) if covers[i][j] == best else UNFIT for j in count] for i in count]
    return tuple(
        Unit(
            number=i + 1,
            name=names[i],
            fits=covers[i][i],
            unpriced=sum(line.times for line in lines if line.prices[i] == NOT_STATED),
            total=totals[i][i],
            each=_each(totals[i][i], covers[i][i]),
            order=orders[i],
            rank=places.get(keys[i], ""),
            together=tuple(covers[i]),
            totals=tuple(totals[i]),
            most=max(covers[i]),
            worth=tuple(worth[i]),
            least=min(worth[i]),
            partner=worth[i].index(min(worth[i])) + 1,
        )
        for i in count
    )


def _covered(lines: Sequence[Line], chosen: set[int]) -> float:
    """How many cases any of the chosen ones fits."""
    return sum(line.times for line in lines if any(line.prices[i] != "" for i in chosen))


def _total(lines: Sequence[Line], chosen: set[int], *, alike: bool) -> float | str:
    """What the cases cost that any of the chosen ones fits, each with the cheapest of these."""
    if not alike:
        return DIFFER
    amount = 0.0
    for line in lines:
        fitting = [line.prices[i] for i in chosen if line.prices[i] != ""]
        stated = [price for price in fitting if not isinstance(price, str)]
        if fitting and not stated and line.times:
            return NOT_STATED
        amount += min(stated, default=0.0) * line.times
    return _rounded(amount)


def _order(total: float | str) -> float:
    """By what a choice is compared: one without a price comes last."""
    return UNPRICED if isinstance(total, str) else total


def _each(total: float | str, fits: float) -> float | str:
    if isinstance(total, str):
        return total
    return _rounded(total / fits) if fits else ""


def choice_of(units: Sequence[Unit], lines: Sequence[Line], sums: Sums) -> Choice:
    """The answer in short and in a sentence."""
    counted = sum(line.times for line in lines)
    one = next((unit for unit in units if unit.rank == 1), None)
    pairs = [(-first.together[second.number - 1], first, second) for first in units for second in units]
    most = -min(pair[0] for pair in pairs)
    rivals = [(first, second) for fits, first, second in pairs if -fits == most]
    first, second = min(rivals, key=lambda pair: _order(pair[0].totals[pair[1].number - 1]))
    least = _order(first.totals[second.number - 1])
    choice = Choice(
        counted=counted,
        one=one.name if one else "",
        one_fits=one.fits if one else 0,
        one_total=one.total if one else "",
        first_number=first.number,
        second_number=second.number,
        first=first.name,
        second=second.name,
        two_fits=most,
        two_least=least,
        two_total=first.totals[second.number - 1],
        words="",
    )
    return _told(choice, sums)


def with_choice(line: Line, choice: Choice) -> Line:
    """The case with which of the two it takes: of two that fit the cheaper one, of two alike the first."""
    fitting = [
        (_order(line.prices[number - 1]), name)
        for number, name in ((choice.first_number, choice.first), (choice.second_number, choice.second))
        if line.prices[number - 1] != ""
    ]
    return replace(line, of_two=min(fitting, key=lambda each: each[0])[1] if fitting else "")


def _told(choice: Choice, sums: Sums) -> Choice:
    if not choice.one:
        words = "No unit of the list fits any case that counts."
    else:
        words = f"{choice.one} alone fits {spoken(choice.one_fits)} of {spoken(choice.counted)} cases{_price(choice.one_total, sums)}. "
        if choice.two_fits == choice.one_fits and choice.two_total == choice.one_total:
            words += "A second unit beside it adds no case and saves nothing."
        else:
            words += f"{choice.first} and {choice.second} together fit {spoken(choice.two_fits)}{_price(choice.two_total, sums)}."
        if choice.two_fits < choice.counted:
            words += f" Left over: {spoken(choice.counted - choice.two_fits)}."
    return replace(choice, words=words)


def _price(total: float | str, sums: Sums) -> str:
    return f" for {sums.currency} {spoken(total)}" if not isinstance(total, str) else f", price {total}"
