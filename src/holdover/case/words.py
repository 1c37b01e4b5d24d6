"""The trade's words for what a field allows, from the data file."""

import re
import tomllib
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


@lru_cache(maxsize=8192)
def folded(text: str) -> str:
    """Lower case, punctuation and repeated spaces left out."""
    return " ".join(re.sub(r"[\W_]+", " ", text.casefold()).split())


@cache
def _choices(field: str) -> dict[str, str]:
    table = data("words.toml").get(field, {})
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
