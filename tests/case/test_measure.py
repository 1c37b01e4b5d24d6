"""US units: exact by definition, and a number goes out and comes back as it was."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.measure import GALLON_L, MILE_KM, POUND_KG, TEMPERATURE, US, Measure, in_units, told

EXAMPLES = settings(max_examples=500, derandomize=True, deadline=None)
INCH_CM = 2.54
"""One inch [cm]; NIST SP 811, appendix B, from memory, as what follows."""


def test_the_units_are_those_of_the_standard() -> None:
    """A gallon is 231 cubic inches, a mile 5,280 feet; water freezes at 32 °F and boils at 212 (NIST SP 811, from memory)."""
    assert pytest.approx(231 * INCH_CM**3 / 1000, rel=1e-15) == GALLON_L
    assert pytest.approx(5280 * 12 * INCH_CM / 100_000, rel=1e-15) == MILE_KM
    assert POUND_KG == 0.45359237
    assert [TEMPERATURE.shown(c) for c in (-40, 0, 100)] == [-40, 32, 212]
    assert US["kg"].shown(23) == pytest.approx(50.7, abs=0.05)  # NIOSH rounds its load constant of 23 kg to 51 lb
    assert US["l/kWh"].shown(GALLON_L) == 1
    assert US["money/l"].shown(1) == GALLON_L
    assert US["Wh/km"].shown(100) == pytest.approx(160.9344)


@pytest.mark.parametrize("measure", US.values(), ids=lambda measure: f"{measure.kept} as {measure.unit}")
@EXAMPLES
@given(
    st.decimals(-2000, 100_000, places=3).map(float) | st.decimals(0, 100, places=7).map(float)  # as people state them
)
def test_what_is_shown_is_read_back_to_the_last_digit(measure: Measure, kept: float) -> None:
    """A stated number that is shown in another unit comes back as the same number."""
    assert measure.typed(measure.shown(kept)) == kept
    assert measure.read(measure.shown(kept)) == pytest.approx(kept, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("pounds", [113, 51, 0.1, 28.25])
def test_what_is_typed_in_pounds_is_shown_in_pounds(pounds: float) -> None:
    """No digits grow where a number is typed, kept and shown again."""
    assert US["kg"].shown(US["kg"].typed(pounds)) == pounds


def worked(formula: str, x: float) -> float:
    """What a formula of our own gives."""
    return float(eval(formula, {"x": x}))  # noqa: S307


@pytest.mark.parametrize("measure", US.values(), ids=lambda measure: measure.kept)
def test_a_formula_does_what_python_does(measure: Measure) -> None:
    """The text that goes into a formula gives the same number."""
    for kept in (-40.0, 0.0, 12.5, 1e4):
        assert worked(measure.shown_text("(x)"), kept) == pytest.approx(measure.shown(kept), rel=1e-12)
        assert worked(measure.read_text("(x)"), kept) == pytest.approx(measure.read(kept), rel=1e-12)


def test_titles_name_the_unit_that_is_shown() -> None:
    """A unit in a title changes with it, and nothing else does."""
    assert US["kg"].titled("Heaviest piece, kg") == "Heaviest piece, lb"
    assert US["kg"].titled("Weight of a kg") == "Weight of a kg"
    assert US["money/l"].titled("Fuel price per litre") == "Fuel price per gallon"


def test_a_sentence_tells_what_the_client_reads() -> None:
    """Four digits and the unit, by what the case says."""
    assert (told(51.3, "kg", "metric"), told(51.3, "kg", "US")) == ("51.3 kg", "113.1 lb")
    assert in_units(0.0, "°C", "US") == (32.0, "°F")
