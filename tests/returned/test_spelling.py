"""Formulas are compared by what they say, not by how a program spells them."""

import doctest

import pytest

from holdover.returned import spelling
from holdover.returned.spelling import moved, references, same, tokens

RESPELLED = {
    "spaces": ("=IF(A1=1, 2, 3)", "=IF(A1=1,2,3)"),
    "quoted sheet": ("='Load'!A1+Load!B2", "=Load!A1+'Load'!B2"),
    "case of functions and names": ("=SUM(load_running_w)", "=sum(LOAD_RUNNING_W)"),
    "prefix of Excel": ("=STDEV(A1)", "=_xlfn.STDEV.S(A1)"),
    "prefix of Gnumeric": ("=IFERROR(A1,0)", "=_xlfngnumeric.IFERROR(A1,0)"),
    "digits of a number": ("=A1*0.1", "=A1*0.100000000000000000001"),
    "exponent": ("=A1+0.000001", "=A1+1E-6"),
    "decimals": ("=A1*2", "=A1*2.0"),
    "truth as a function": ("=VLOOKUP(A1,x_y,2,FALSE)", "=VLOOKUP(A1,x_y,2,FALSE())"),
    "no sign of equality": ("=A1+1", "A1+1"),
}
EDITED = {
    "a number": ("=A1*0.9", "=A1*0.91"),
    "a sign": ("=A1+B1", "=A1-B1"),
    "a cell": ("=A1+B1", "=A1+B2"),
    "a sheet": ("=Load!A1", "=Loads!A1"),
    "a lost dollar": ("=$A$1", "=A1"),
    "a text": ('=IF(A1="OK",1,0)', '=IF(A1="Ok",1,0)'),
    "spaces in a text": ('="a b"', '="a  b"'),
    "a bracket": ("=(A1+B1)*2", "=A1+B1*2"),
    "a function": ("=MAX(A1,B1)", "=MIN(A1,B1)"),
    "a lost cell": ("=A1", "=#REF!"),
    "an addition": ("=A1", "=A1+0"),
}


@pytest.mark.parametrize("how", RESPELLED)
def test_a_respelled_formula_is_the_same(how: str) -> None:
    """What programs do to a formula's text on saving is no edit, in either direction."""
    one, other = RESPELLED[how]
    assert same(one, other)
    assert same(other, one)


@pytest.mark.parametrize("how", EDITED)
def test_an_edited_formula_is_not_the_same(how: str) -> None:
    """The smallest change of meaning is seen."""
    one, other = EDITED[how]
    assert not same(one, other)


def test_a_renamed_sheet_is_known_by_its_former_name() -> None:
    """With the renaming told, the same cell of a renamed sheet is the same; without it, it is not."""
    assert same("=Load!A1", "='What''s on'!A1", {"WHAT'S ON": "Load"})
    assert not same("=Load!A1", "='What''s on'!A1")


def test_names_are_not_taken_for_cells() -> None:
    """LOG10 is a function and tier1_w a name, whatever they look like."""
    assert references("=LOG10(tier1_w)+AB12", "Home") == [("HOME", 11, 27)]
    assert moved("=LOG10(tier1_w)+AB12", lambda *_: (0, 0)) == "=LOG10(tier1_w)+A1"


def test_a_cell_that_was_deleted_reads_as_lost() -> None:
    """A reference that moves nowhere becomes the error that programs write."""
    assert moved("=Load!$A$1+B2", lambda sheet, *_: (-1, -1) if sheet else (4, 0)) == "=Load!#REF!+A5"
    assert references("=#REF!+B2", "Home") == [("HOME", -1, -1), ("HOME", 1, 1)]


def test_text_is_kept_as_it_is() -> None:
    """Nothing within quotation marks is touched, doubled marks included."""
    assert tokens('="say ""A1"", 1.50"&B2') == ['"say ""A1"", 1.50"', "&", "B2"]


def test_the_examples_in_the_source_are_true() -> None:
    """The examples of the docstrings run."""
    found = doctest.testmod(spelling)
    assert found.attempted >= 2
    assert found.failed == 0
