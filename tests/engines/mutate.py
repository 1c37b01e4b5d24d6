"""Formulas changed one token at a time, the way a slip of the pen would."""

import re
from collections.abc import Iterator

TOKEN = re.compile(r'"(?:[^"]|"")*"|\{[^}]*\}|[A-Z]+(?=\()|<>|<=|>=|\d+(?:\.\d+)?|[-+*/<>=]|[^"{]')
SWAPS = {"+": "-", "-": "+", "*": "/", "/": "*", "MAX": "MIN", "MIN": "MAX", ">": "<", "<": ">", ">=": "<=", "<=": ">="}


def mutants(formula: str) -> Iterator[str]:
    """Every formula that differs in one token: an operator, MAX or MIN, a comparison, or a number plus one."""
    tokens = TOKEN.findall(formula)
    assert "".join(tokens) == formula
    for i, token in enumerate(tokens):
        changed = SWAPS.get(token)
        if token[0].isdigit():
            changed = f"{float(token) + 1:g}"
        if changed is not None:
            yield "".join([*tokens[:i], changed, *tokens[i + 1 :]])
