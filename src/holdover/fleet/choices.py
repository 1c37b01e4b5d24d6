"""What a list of candidates does for many cases: which one of them fits most, which two, and what each choice costs.

To cover most cases with one or two of a list is the maximal covering problem; with so few it is tried out. Pure: no I/O,
no sheet. Prices are in the currency of the cases, if they have one in common.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from holdover.fleet.entry import Entry
from holdover.model.spoken import spoken, thousands

UNPRICED: Final = 100_000_000_000_000
"""Stands for the price of a candidate that fits and states none; above every sum of prices [money]."""
UNFIT: Final = 200_000_000_000_000
"""Stands for the price of a candidate that does not fit [money]."""
MOST: Final = 24
"""Candidates that are compared in the index [count]: those that fit most cases."""
NOT_STATED: Final = "not stated"
DIFFER: Final = "currencies differ"
UNREAD: Final = "can't be read"
"""Stands for how many cases there are where something else than a count is typed."""
NAMED: Final = 3
"""Cases left over that are named in the answer, at most [count]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A case as it counts: how many there are like it, and what each candidate costs there."""

    title: str
    times: float
    prices: tuple[float | str, ...]
    costs: tuple[float, ...]
    of_two: str = ""
    """Which of the two that fit most cases it takes, "" where neither fits."""
    packs: tuple[int | str, ...] = ()
    """Packs of each candidate that fits, "" of others."""
    bare: tuple[int, ...] = ()
    """1 for each candidate that fits without the margin, 0 for others."""
    left: int = 0
    """How many lines are left over by these two, down to this one."""
    bare_of_two: float = 0
    """How many cases it counts for where the one of the two that it takes fits without the margin only, else 0."""


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
    unread: int
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
    bare: float
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
    one_bare: float
    """How many of these it fits without the margin only."""
    one_total: float | str
    first_number: int
    second_number: int
    first: str
    second: str
    two_fits: float
    two_least: float
    two_total: float | str
    alone: int
    """1 where no second one adds a case or saves anything."""
    two_bare: float = 0
    """How many cases one of the two fits, but without the margin only."""
    left: str = ""
    """Which cases neither of the two fits, the first of them by name."""
    words: str = ""


def sums_of(entries: Sequence[Entry], counts: Sequence[int | str]) -> Sums:
    """The cases counted, and what their picks cost; `counts` is how many there are like each, as far as it can be read."""
    times = [_read(n) for n in counts]
    states = [entry.state for entry in entries]
    worked = [entry for entry in entries if entry.fitting != ""]
    currency = worked[0].currency if worked else ""
    alike = all(entry.currency.lower() == currency.lower() for entry in worked)
    prices = [(entry.price, n) for entry, n in zip(entries, times, strict=True) if not isinstance(entry.price, str)]
    return Sums(
        cases=sum(entry.case != "" for entry in entries),
        written=states.count("written"),
        edited=states.count("edited"),
        errors=states.count("errors"),
        failed=states.count("failed"),
        fit=sum(entry.fitting not in ("", 0) for entry in worked),
        none_fits=sum(entry.fitting == 0 for entry in worked),
        unread=sum(n == UNREAD for n in counts),
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


def _read(counts: int | str) -> int:
    return 0 if isinstance(counts, str) else counts


def lines_of(
    entries: Sequence[tuple[str, Entry]], names: Sequence[str], counts: Sequence[int | str]
) -> tuple[Line, ...]:
    """What each case, by what it is called, says of each candidate; one that could not be worked out counts for nothing."""
    lines = []
    for (title, entry), n in zip(entries, counts, strict=True):
        prices = tuple(entry.choices.get(name, "") for name in names)
        costs = tuple(UNFIT if p == "" else UNPRICED if isinstance(p, str) else p for p in prices)
        times = _read(n) if entry.fitting != "" else 0
        packs = tuple(entry.packs_each.get(name, "") for name in names)
        bare = tuple(int(name in entry.bare) for name in names)
        lines.append(Line(title=title, times=times, prices=prices, costs=costs, packs=packs, bare=bare))
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
            bare=sum(line.times * line.bare[i] for line in lines),
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
    total = first.totals[second.number - 1]
    alone = one is not None and one.fits == most and one.order == _order(total)
    if one and alone:
        first = second = one
    choice = Choice(
        counted=counted,
        one=one.name if one else "",
        one_fits=one.fits if one else 0,
        one_bare=one.bare if one else 0,
        one_total=one.total if one else "",
        first_number=first.number,
        second_number=second.number,
        first=first.name if most else "",
        second="" if alone or not most else second.name,
        two_fits=most,
        two_least=_order(total),
        two_total=total if most else "",
        alone=int(alone),
    )
    taken = with_choice(lines, choice)
    choice = replace(choice, left=_left(taken), two_bare=sum(line.bare_of_two for line in taken))
    return replace(choice, words=_words(choice, sums))


def with_choice(lines: Sequence[Line], choice: Choice) -> tuple[Line, ...]:
    """The cases, each with which of the two it takes: of two that fit the cheaper one, of two alike the first."""
    found, left = [], 0
    for line in lines:
        fitting = [
            (_order(line.prices[number - 1]), name, number)
            for number, name in ((choice.first_number, choice.first), (choice.second_number, choice.second))
            if line.prices[number - 1] != ""
        ]
        _, of_two, number = min(fitting, key=lambda each: each[0]) if fitting else (0, "", 0)
        left += of_two == "" and line.times > 0
        bare = line.times * line.bare[number - 1] if number else 0
        found.append(replace(line, of_two=of_two, left=left, bare_of_two=bare))
    return tuple(found)


def _left(lines: Sequence[Line]) -> str:
    names = [line.title for line in lines if line.of_two == "" and line.times > 0]
    return ", ".join(names[:NAMED]) + (" and others" if len(names) > NAMED else "")


def _words(choice: Choice, sums: Sums) -> str:
    unread = (
        f"Figures under How many that can't be read, and count for nothing: {sums.unread}; type whole numbers. "
        if sums.unread
        else ""
    )
    if not choice.counted:
        return f"{unread}Nothing is counted: type how many there are of a case on sheet Cases."
    if not choice.one:
        return f"{unread}No unit of the list fits any case that counts."
    words = f"{choice.one} alone fits {spoken(choice.one_fits)} of {spoken(choice.counted)} cases"
    words += f"{_bare(choice.one_bare)}{_worth(choice.one_total, sums)}. "
    pair = f"{choice.first} and {choice.second} together "
    worth = _bare(choice.two_bare) + _worth(choice.two_total, sums)
    if choice.alone:
        saves = "" if isinstance(choice.one_total, str) else " and saves nothing"
        words += f"A second unit beside it adds no case{saves}."
    elif choice.two_fits == choice.one_fits:
        words += f"A second unit beside it adds no case, but {pair}fit them{worth}."
    else:
        words += f"{pair}fit {spoken(choice.two_fits)}{worth}."
    if choice.left:
        words += f" Left over: {spoken(choice.counted - choice.two_fits)} ({choice.left})."
    lacking = sums.errors + sums.failed
    if lacking:
        words += f" Not in this: {lacking} with errors."
    return unread + words


def _bare(cases: float) -> str:
    return f" ({spoken(cases)} of them without the margin)" if cases else ""


def _worth(total: float | str, sums: Sums) -> str:
    return f" for {sums.currency} {thousands(total)}" if not isinstance(total, str) else f", price {total}"
