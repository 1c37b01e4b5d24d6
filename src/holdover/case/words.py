"""The words that people type, from the data files: a further language is a file more beside them."""

import re
import tomllib
from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, Final

CUTOFF: Final = 0.72
"""Likeness from which a name is offered as the nearest [-]; common practice."""


@cache
def data(name: str) -> dict[str, Any]:
    """A data file of the package."""
    return tomllib.loads((files("holdover") / "data" / name).read_text(encoding="utf-8"))


@cache
def vocabulary(name: str) -> dict[str, Any]:
    """Words by what they mean: of `words.toml`, and of every `words-….toml` beside it."""
    folder = files("holdover") / "data"
    more = sorted(f.name for f in folder.iterdir() if f.name.startswith(f"{name}-") and f.name.endswith(".toml"))
    found: dict[str, Any] = {}
    for each in (f"{name}.toml", *more):
        _merge(found, data(each))
    return found


def _merge(into: dict[str, Any], more: dict[str, Any]) -> None:
    """Lists are joined, tables merged; a single value stays as it was first."""
    for key, value in more.items():
        if isinstance(value, dict):
            _merge(into.setdefault(key, {}), value)
        elif isinstance(value, list):
            into[key] = [*into.get(key, ()), *value]
        else:
            into.setdefault(key, value)


def either(words: Iterable[str]) -> str:
    """A pattern that matches any of the words, the longest first."""
    return f"(?:{'|'.join(re.escape(word) for word in sorted(words, key=len, reverse=True))})"


@lru_cache(maxsize=8192)
def folded(text: str) -> str:
    """Lower case, punctuation and repeated spaces left out."""
    return " ".join(re.sub(r"[\W_]+", " ", text.casefold()).split())


@cache
def _choices(field: str) -> dict[str, str]:
    table = vocabulary("words").get(field, {})
    return {folded(word): choice for choice, words in table.items() for word in (choice, *words)}


def choice_of(field: str, text: str, choices: tuple[str, ...]) -> str | None:
    """The choice a text means, None where it is none of them."""
    word = folded(text)
    exact = {folded(choice): choice for choice in choices}
    if word in exact:
        return exact[word]
    meant = _choices(field).get(word)
    return meant if meant in choices else None


def nearest(text: str, known: list[str]) -> str:
    """The known word most like the text, "" where none is like it."""
    plain = {folded(word): word for word in known}
    close = get_close_matches(folded(text), list(plain), n=1, cutoff=CUTOFF)
    return plain[close[0]] if close else ""
