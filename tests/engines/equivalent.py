"""Mutants that say the same as the original, each with the reason: (table, column, piece of the mutant, reason)."""

EQUIVALENT: tuple[tuple[str, str, str, str], ...] = ()
"""Of formulas."""

EQUIVALENT_MODEL: tuple[tuple[str, str], ...] = ()
"""Of the model: (piece of what is told, reason)."""
