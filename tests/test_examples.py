"""The examples in docstrings run and say what is printed there."""

import doctest
import importlib
import pkgutil

import holdover


def test_examples_in_docstrings_hold() -> None:
    """Every example of every module gives the printed answer, and there are many."""
    tried = 0
    for info in pkgutil.walk_packages(holdover.__path__, "holdover."):
        if not info.name.endswith("__main__"):
            found = doctest.testmod(importlib.import_module(info.name))
            assert found.failed == 0, info.name
            tried += found.attempted
    assert tried > 60
