"""Formulas changed one token at a time, the way a slip of the pen would."""

import re
from collections.abc import Iterator

TOKEN = re.compile(r'"(?:[^"]|"")*"|\{[^}]*\}|[A-Z]+(?=\()|<>|<=|>=|\d+(?:\.\d+)?|[-+*/<>=]|[^"{]')
PAIRS = (
    ("+", "-"),
    ("*", "/"),
    (">", "<"),
    (">=", "<="),
    ("=", "<>"),
    ("MAX", "MIN"),
    ("AND", "OR"),
    ("ROUNDUP", "ROUNDDOWN"),
)
SWAPS = dict(PAIRS) | {other: one for one, other in PAIRS}


def mutants(formula: str) -> Iterator[tuple[str, str]]:
    """Every formula that differs in one token: an operator, a comparison, MAX or MIN, AND or OR, or a number plus one.

    With each comes what was changed, between the characters around it: `ROUND({margin},«6→7»)>=0`.
    """
    tokens = TOKEN.findall(formula)
    assert "".join(tokens) == formula
    for i, token in enumerate(tokens):
        changed = SWAPS.get(token) if i else None  # the first = makes it a formula
        if token[0].isdigit():
            changed = str(int(token) + 1) if token.isdigit() else f"{float(token) + 1:.12g}"
        if changed is not None:
            before, after = "".join(tokens[:i]), "".join(tokens[i + 1 :])
            yield f"{before}{changed}{after}", f"{before[-150:]}«{token}→{changed}»{after[:40]}"
