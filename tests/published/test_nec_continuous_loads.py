"""NEC 210.19(A)(1), 210.20(A) and article 100, by transcription: a load of three hours or more counts 125 %.

The code's own text was not opened; its rule was seen in a trade magazine and in transcriptions. The usable watts are
arithmetic on it: volts x amperes x 80 %.
"""

import pytest

from holdover.case.schema import Candidate, Case, Load, Sizing
from holdover.model.study import study


def unit(volts: float, amperes: float) -> Candidate:
    """An output that states its volt-amperes too."""
    return Candidate(name="unit", continuous_w=volts * amperes, continuous_va=volts * amperes, ac_volts=volts)


@pytest.mark.parametrize(
    ("feed", "amperes", "usable_w"),
    [("120 V", 15, 1440), ("120 V", 20, 1920), ("240 V", 30, 5760)],  # 12, 16 and 24 A
)
def test_80_percent_of_a_circuit_is_usable(feed: str, amperes: float, usable_w: float) -> None:
    """With the usual margin an output of the circuit's watts carries 80 % of them and not one watt more."""
    volts = float(feed.split()[0])
    for watts, verdict in ((usable_w, "OK"), (usable_w + 1, "UNDER")):
        case = Case(
            sizing=Sizing.model_validate({"feed": feed}),
            loads=(Load(name="load", running_w=watts, hours_per_day=3),),
            candidates=(Candidate(name="unit", continuous_w=volts * amperes, ac_volts=volts),),
        )
        found = study(case).offers[0].fit
        assert found.running.verdict == verdict
        rated = study(case.model_copy(update={"candidates": (unit(volts, amperes),)})).offers[0].fit
        assert rated.apparent.verdict == verdict
