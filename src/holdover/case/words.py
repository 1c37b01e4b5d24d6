"""The words that people type, from the data files: a further language is a file more beside them."""

import re
import tomllib
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, Final

CUTOFF: Final = 0.72
"""Likeness from which a name is offered as the nearest [-]; common practice."""
TOKEN: Final = re.compile(r"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+(?:[.,/][0-9]+)?|[^\W\d_]+")
"""A word, or a number such as 1 1/2."""


@cache
def data(name: str) -> dict[str, Any]:
    """A data file of the package."""
    return tomllib.loads((files("holdover") / "data" / name).read_text(encoding="utf-8"))


@cache
def vocabulary(name: str) -> dict[str, Any]:
    """Words by what they mean: of `words.toml`, and of every `words-….toml` beside it."""
    found: dict[str, Any] = {}
    for words in (data(f"{name}.toml"), *abroad(name).values()):
        _merge(found, words)
    return found


@cache
def abroad(name: str) -> dict[str, dict[str, Any]]:
    """The words of other languages, each apart, by what stands behind the name of its file, such as `de`."""
    found = (f.name for f in (files("holdover") / "data").iterdir())
    ends = sorted(file[len(name) : -5] for file in found if file.startswith(f"{name}-") and file.endswith(".toml"))
    return {end[1:]: data(f"{name}{end}.toml") for end in ends}


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
    return _nearest(text, tuple(known))


@lru_cache(maxsize=1024)
def _nearest(text: str, known: tuple[str, ...]) -> str:
    """The same; a text is held against hundreds of words, and comes again in the next file and in the next row."""
    plain = {folded(word): word for word in known}
    close = get_close_matches(folded(text), list(plain), n=1, cutoff=CUTOFF)
    return plain[close[0]] if close else ""


@lru_cache(maxsize=8192)
def spelt(text: str) -> str:
    """A name in the words of the table of typical loads: in the singular, other spellings and languages made alike."""
    pattern, spellings = _spellings()
    return pattern.sub(lambda found: spellings[found[0]], " ".join(_tokens(text)))


@cache
def _spellings() -> tuple[re.Pattern[str], dict[str, str]]:
    spellings = {" ".join(_tokens(typed)): word for typed, word in vocabulary("typical")["spellings"].items()}
    return re.compile(rf"(?<!\S){either(spellings)}(?!\S)"), spellings


def _tokens(text: str) -> list[str]:
    apart = re.sub(r"(?<=[0-9])(?=[¼-¾⅐-⅞])", " ", text)  # 1½ is not 11/2
    plain = unicodedata.normalize("NFKC", apart).replace("\u2044", "/").casefold()
    return [_number(token) if token[0].isdigit() else _singular(token) for token in TOKEN.findall(plain)]


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") else word


def _number(text: str) -> str:
    """A number in one way of writing: 1/2 and 0,5 as 0.5, 5,000 as 5000."""
    whole, _, part = re.sub(r"[ -](?=[0-9]+/)", "+", text).rpartition("+")
    if "/" in part:
        above, below = map(float, part.split("/"))
        return f"{float(whole or 0) + above / below:.6g}" if below else part
    if re.fullmatch(r"[0-9]{1,3},[0-9]{3}", part):
        return part.replace(",", "")
    return f"{float(part.replace(',', '.')):.9g}"
