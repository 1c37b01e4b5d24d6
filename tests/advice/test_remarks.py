"""Remarks on a whole case: none where there is nothing to remark, and each at its place."""

import re

from advice.sound import LAMP, UNIT, codes
from holdover.advice.remarks import advise
from holdover.case.schema import FORMS, RECORDS, Array, Candidate, Case, Load, Outage
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


def test_a_workbook_is_answered_with_the_titles_on_its_sheets() -> None:
    """In a workbook nobody finds a key of a case file: what is advised names the cell as it is titled there."""
    case = Case(array=Array(modules=4), outage=Outage(drop_convenience_at=0.2, drop_essential_at=0.4))
    place = Place(file="back.xlsx", sheet="Assumptions")
    places = {(part, 0): place for part in (*FORMS, *RECORDS)}
    remedies = {remark.code: remark.remedy for remark in advise(case, places)}
    assert remedies["A017"] == 'write "Latitude" = 40.7'
    assert remedies["A021"] == 'set "Device drops convenience loads below" above "Device drops essential loads below"'
    found = [remark.remedy for remark in advise(case, places)]
    assert 'write "Open-circuit voltage", from the data sheet of the module' in found
    assert not [
        remedy
        for remedy in found
        if re.search(r"[a-z]_[a-z]|\[", remedy.replace("[[loads]]", "").replace("[[candidates]]", ""))
    ]
    places["sun.coldest_c", 0] = Place(file="back.xlsx", sheet="Solar recharge", cell="P45")
    places["sun.latitude_deg", 0] = Place(file="back.xlsx", sheet="Solar recharge", cell="P39")
    typed = [remark.remedy for remark in advise(case, places)]
    assert "type it into Solar recharge P45: the record low of the place, from weather records" in typed
    assert "type it into Solar recharge P39, such as 40.7" in typed
    in_file = {remark.code: remark.remedy for remark in advise(case)}
    assert in_file["A017"] == "write latitude_deg = 40.7 under [sun]"
