"""Quantities: whatever a number is made into, it is read back as the number it was made from."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.reading.quantity.numbers import MARKS, Fault, Mark, plain, scan
from holdover.reading.quantity.quantity import read_quantity
from holdover.reading.quantity.units import COUNTS, LIKE, UNITS, find_unit

EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)
WHOLE = st.integers(min_value=0, max_value=9_999_999)
PLACES = st.integers(min_value=0, max_value=4)
MARK: st.SearchStrategy[Mark] = st.sampled_from(MARKS)
GAPS = st.sampled_from(["", " ", "\u00a0", "\u202f", "  "])
UNIT = st.sampled_from([(field, word) for field, words in UNITS.items() for word in words if field not in {"Wh", "km"}])


def grouped(digits: str, thousands: str) -> str:
    """Digits in threes."""
    head = len(digits) % 3 or 3
    return thousands.join([digits[:head], *(digits[n : n + 3] for n in range(head, len(digits), 3))])


@st.composite
def written(draw: st.DrawFn, lowest: int = 0) -> tuple[str, float, Mark]:
    """A number as somebody writes it, the number itself, and its decimal mark."""
    mark = draw(MARK)
    whole, places = draw(st.integers(min_value=lowest, max_value=9_999_999)), draw(PLACES)
    part = "".join(draw(st.lists(st.sampled_from("0123456789"), min_size=places, max_size=places)))
    thousands = draw(st.sampled_from(["", " ", "'", "\u202f", "\u2019", "," if mark == "." else "."]))
    text = grouped(str(whole), thousands) + (mark + part if part else "")
    return text, float(f"{whole}.{part or '0'}"), mark


@EXAMPLES
@given(written(), st.sampled_from(["", "-", "+", "\u2212", "\u2013"]))
def test_number(made: tuple[str, float, Mark], sign: str) -> None:
    """Any grouping, decimal mark and sign: the number it was made from, to the last digit."""
    text, value, mark = made
    read, end = scan(plain(sign + text), 0, mark)
    assert read == (-value if sign not in {"", "+"} else value)
    assert end == len(sign + text)


@EXAMPLES
@given(written(), UNIT, GAPS)
def test_number_with_unit(made: tuple[str, float, Mark], unit: tuple[str, str], gap: str) -> None:
    """Every spelling of every unit, with or without a space: the number times what the unit is."""
    text, value, mark = made
    field, word = unit
    known = find_unit(word, field)
    assert known is not None
    if field == "clock" or (field == "h" and word in {"h", "hr", "hrs", "hour", "hours"}):
        return  # 18h is a time; tested below
    read = read_quantity(text + gap + word, field, mark)
    assert read.value == pytest.approx(value * known.factor / known.divisor + known.offset, rel=1e-12, abs=1e-12)


@EXAMPLES
@given(written(), UNIT)
def test_unit_of_the_header(made: tuple[str, float, Mark], unit: tuple[str, str]) -> None:
    """A bare number under a header with a unit is what it would be with the unit behind it."""
    text, _, mark = made
    field, word = unit
    if field in {"clock", "h"} or word.startswith("%/"):
        return
    assert read_quantity(text, field, mark, bare_unit=word).value == read_quantity(f"{text} {word}", field, mark).value


@EXAMPLES
@given(WHOLE.filter(lambda n: n > 999), MARK)
def test_mark_decides_between_readings(whole: int, mark: Mark) -> None:
    """Thousands in one language are decimals in the other, and no reading mixes the two."""
    text = grouped(str(whole), "," if mark == "." else ".")
    assert read_quantity(text, "W", mark).value == whole
    other: Mark = "," if mark == "." else "."
    if text.count(other) == 1:
        assert read_quantity(text, "W", other).value == pytest.approx(whole / 1000, rel=1e-12)
    else:
        with pytest.raises(Fault):
            read_quantity(text, "W", other)


@EXAMPLES
@given(st.text(max_size=30), st.sampled_from([*UNITS, ""]), MARK)
def test_any_text(text: str, field: str, mark: Mark) -> None:
    """Any text is read or refused with a place within it; nothing else comes out."""
    try:
        read = read_quantity(text, field, mark, watts_of_load=field == "W")
    except Fault as fault:
        assert 0 <= fault.at <= len(text)
        assert fault.message
    else:
        assert abs(read.value) < 1e60


@EXAMPLES
@given(st.text(alphabet="0123456789.,' -+eEx@½/:WkVAh%", max_size=14), st.sampled_from([*UNITS, ""]), MARK)
def test_texts_near_numbers(text: str, field: str, mark: Mark) -> None:
    """What looks like a number is read or refused, and never becomes nan or infinite."""
    try:
        read = read_quantity(text, field, mark, watts_of_load=field == "W")
    except Fault as fault:
        assert 0 <= fault.at <= len(text)
    else:
        assert abs(read.value) < 1e60


@EXAMPLES
@given(st.integers(1, 999), written(lowest=1), st.sampled_from([" x ", "x", " × ", "×", "*", " X "]))
def test_count_and_watts(count: int, made: tuple[str, float, Mark], cross: str) -> None:
    """`2 x 60 W` is two of 60 W."""
    text, value, mark = made
    read = read_quantity(f"{count}{cross}{text} W", "W", mark, watts_of_load=True)
    assert (read.count, read.value, read.kind) == (count, value, "")


@EXAMPLES
@given(written(), st.sampled_from([100, 115, 120, 230, 240]), st.sampled_from([" @ ", "@", " x ", " ", " at ", "/"]))
def test_amps_at_volts(made: tuple[str, float, Mark], volts: int, between: str) -> None:
    """`12 A @ 120 V` and `120 V 12 A` are 12 A and 120 V."""
    text, value, mark = made
    for line in (f"{text} A{between}{volts} V", f"{volts} V{between}{text} A"):
        read = read_quantity(line, "W", mark, watts_of_load=True)
        assert (read.kind, read.value, read.volts) == ("A", value, volts)


@EXAMPLES
@given(st.integers(1, 5000), st.integers(1, 999), st.sampled_from([" @ ", "@", " x ", " ", "/"]))
def test_amp_hours_at_volts(hours: int, tenths: int, between: str) -> None:
    """`100 Ah @ 12.8 V` is 1280 Wh, in either order."""
    volts = tenths / 10
    for line in (f"{hours} Ah{between}{volts} V", f"{volts}V{between}{hours}Ah"):
        assert read_quantity(line, "Wh", ".").value == pytest.approx(hours * volts, rel=1e-12)


@EXAMPLES
@given(
    st.integers(0, 23),
    st.integers(0, 59),
    st.integers(0, 23),
    st.integers(0, 59),
    st.sampled_from(["-", " - ", " to ", "–", " until "]),
)
def test_span(hour: int, minute: int, until: int, last: int, between: str) -> None:
    """`18:00-22:30` says when it starts and for how long, over midnight too."""
    read = read_quantity(f"{hour}:{minute:02d}{between}{until:02d}:{last:02d}", "h", ".")
    begin, end = hour + minute / 60, until + last / 60
    assert read.starts_at == pytest.approx(begin, abs=1e-9)
    assert read.value == pytest.approx((end - begin) % 24 or 24, abs=1e-9)


@EXAMPLES
@given(st.integers(1, 12), st.integers(0, 59), st.sampled_from(["am", "pm", " AM", " p.m.", "a.m."]))
def test_half_days(hour: int, minute: int, half: str) -> None:
    """12 am is midnight, 12 pm is noon, and the rest follows."""
    expected = hour % 12 + (12 if "p" in half.casefold() else 0) + minute / 60
    assert read_quantity(f"{hour}:{minute:02d}{half}", "clock", ".").value == pytest.approx(expected, abs=1e-9)
    if minute == 0:
        assert read_quantity(f"{hour}{half}", "clock", ".").value == expected


@EXAMPLES
@given(
    st.integers(0, 24),
    st.integers(0, 59),
    st.sampled_from(["{}h{:02d}", "{} h {} min", "{}:{:02d}", "{}h{:02d}m", "{} hours {} minutes"]),
)
def test_length(hours: int, minutes: int, form: str) -> None:
    """`1h30`, `1:30` and `1 h 30 min` are an hour and a half."""
    assert read_quantity(form.format(hours, minutes), "h", ".").value == pytest.approx(hours + minutes / 60, abs=1e-9)


@EXAMPLES
@given(st.integers(0, 1000), st.sampled_from(["½", "¼", "¾", "⅓", "⅛"]))
def test_vulgar_fractions(whole: int, mark: Mark) -> None:
    """`1½` is one and a half."""
    share = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅛": 1 / 8}[mark]
    assert read_quantity(f"{whole}{mark}", "h", ".").value == pytest.approx(whole + share, rel=1e-12)


@EXAMPLES
@given(st.integers(0, 99), st.integers(1, 999), st.integers(1, 100))
def test_fractions(ones: int, over: int, under: int) -> None:
    """`1 1/2` is one and a half; beyond hundredths a stroke stands between two figures, as in `2400/4800 W`."""
    with pytest.raises(Fault):
        read_quantity(f"{over}/{under + 100} kW", "W", ".")
    assert read_quantity(f"{over}/{under} kW", "W", ".").value == pytest.approx(1000 * over / under, rel=1e-12)
    assert read_quantity(f"{ones} {over}/{under}", "W", ".").value == pytest.approx(ones + over / under, rel=1e-12)


@EXAMPLES
@given(written(), st.sampled_from(["$", "€", "£", "USD", "CHF", "US$"]), st.booleans(), GAPS)
def test_money(made: tuple[str, float, Mark], sign: str, first: bool, gap: str) -> None:
    """A price with its currency before or behind it."""
    text, value, mark = made
    read = read_quantity(sign + gap + text if first else text + gap + sign, "money", mark)
    assert (read.value, read.unit) == (value, sign)


@EXAMPLES
@given(st.integers(-60, 120))
def test_fahrenheit(degrees: int) -> None:
    """Fahrenheit becomes Celsius."""
    assert read_quantity(f"{degrees} °F", "°C", ".").value == pytest.approx((degrees - 32) / 1.8, abs=1e-9)


def test_units_by_definition() -> None:
    """One of each unit is what its definition says."""
    for field, text, value in [
        ("kg", "1 lb", 0.45359237),
        ("Wh/day", "365 kWh/yr", 1000.0),
        ("Wh/day", "12 kWh/month", 144_000 / 365),
        ("kWh/m²·day", "3.6 MJ/m²/day", 1.0),
        ("h", "90 min", 1.5),
        ("l/kWh", "1 gal/kWh", 3.785411784),
        ("share", "35 %", 0.35),
        ("1/°C", "-0.28 %/°C", -0.0028),
        ("years", "18 months", 1.5),
        ("days", "36 h", 1.5),
        ("ms", "0.02 s", 20.0),
    ]:
        assert read_quantity(text, field, ".").value == pytest.approx(value, rel=1e-12), text


def test_percent_is_exact() -> None:
    """35 % is the same number as 0.35, for every whole percentage."""
    assert all(read_quantity(f"{n} %", "share", ".").value == n / 100 for n in range(101))


def test_compass_and_hemisphere() -> None:
    """Facings may be words, latitudes may carry their hemisphere."""
    words = {"N": 0, "east": 90, "south": 180, "South-West": 225, "NNW": 337.5}
    assert {word: read_quantity(word, "°", ".").value for word in words} == words
    assert read_quantity("33.9 S", "°", ".").value == -33.9
    assert read_quantity("40.7° N", "°", ".").value == 40.7
    assert read_quantity("40 degrees", "°", ".").value == 40.0
    assert read_quantity("40 degrees S", "°", ".").value == -40.0


def test_months_by_name() -> None:
    """A month may be a name or its beginning, if that is one month's only."""
    assert [read_quantity(word, "1-12", ".").value for word in ("January", "feb", "Sept.", "12")] == [1, 2, 9, 12]
    with pytest.raises(Fault):
        read_quantity("Ju", "1-12", ".")


def test_caret_stands_under_the_fault() -> None:
    """A fault names the character at which reading stopped."""
    for text, at in [
        ("1.5 kW (start 4 kW)", 7),
        ("12 parsecs", 3),
        ("abc", 0),
        ("  x", 2),
        ("1.2.3", 3),
        ("100-200 W", 3),
    ]:
        with pytest.raises(Fault) as fault:
            read_quantity(text, "W", ".")
        assert fault.value.at == at, text


def test_milliwatts_and_megawatts_are_refused() -> None:
    """MW and mW differ by a thousand million; neither is read."""
    for text in ("5 MW", "5 mW", "5 mw"):
        with pytest.raises(Fault):
            read_quantity(text, "W", ".")
    with pytest.raises(Fault):
        read_quantity("5 mWh", "Wh", ".")


def test_every_unit_shows_how_it_is_written() -> None:
    """What a remedy offers for a unit is itself read."""
    assert set(LIKE) == {*UNITS, ""}
    for field, offered in LIKE.items():
        for text in offered.replace(" or ", ", ").split(", "):
            assert read_quantity(text, field, ".").value is not None, text


def test_counts_may_have_a_word() -> None:
    """`2 pcs` is a count of two."""
    assert all(read_quantity(f"2 {word}", "", ".").value == 2 for word in COUNTS)
