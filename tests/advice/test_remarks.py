"""Remarks on a whole case: none where there is nothing to remark, and each at its place."""

from advice.sound import LAMP, UNIT, codes
from holdover.advice.remarks import advise
from holdover.case.schema import Candidate, Case, Load
from holdover.findings import Place


def test_a_sound_case_gets_no_remark() -> None:
    """A case without faults is left in peace."""
    fridge = Load(name="Fridge", running_w=150, starting_w=900, duty=0.35, hours_per_day=24, measured_wh_per_day=1200)
    assert codes(Case(loads=(LAMP, fridge), candidates=(UNIT,))) == []


def test_blank_rows_are_no_rows() -> None:
    """Spare rows of a returned workbook are not remarked on."""
    assert codes(Case(loads=(LAMP, Load(), Load()), candidates=(UNIT, Candidate()))) == []


def test_places() -> None:
    """A remark names the file and row where the load was read, and of twins the first one's row."""
    case = Case(loads=(LAMP, LAMP), candidates=(UNIT,))
    places = {("loads", n): Place(file="loads.csv", row=n + 2, item="Lamp") for n in range(2)}
    (found,) = advise(case, places)
    assert (found.code, found.file, found.row) == ("A012", "loads.csv", 3)
    assert "row 2" in found.message
