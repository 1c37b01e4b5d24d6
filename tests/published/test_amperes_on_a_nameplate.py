"""Watts from amperes, as two pages print them: a generator guide's 3 amps at 120 volts, 360 watts (trade page, found as
a search result), and Alabama Power's 20 A branch circuit of 2,400 W at 120 V."""

from pathlib import Path

import pytest

from holdover.model.study import study
from holdover.returned.read import read_any


@pytest.mark.parametrize(("amperes", "watts"), [(3, 360), (20, 2400)])
def test_a_load_stated_in_amperes_draws_its_watts(tmp_path: Path, amperes: int, watts: int) -> None:
    """Amperes on a line of the inventory become the watts that the page prints, and run in the model."""
    (tmp_path / "case.toml").write_text('[sizing]\nfeed = "120 V"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(f"Load,Amps,Hours/day\nthing,{amperes},1\n", encoding="utf-8")
    case, findings, _ = read_any(tmp_path)
    assert not findings.errors
    assert case is not None
    assert study(case).demand.peak_running_w == watts
