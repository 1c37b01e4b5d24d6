"""Text from outside is kept as it was meant, without what acts on a terminal or a sheet."""

from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.safe_text import TEXT_UNITS, safe_text

EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)
ANY = st.text(alphabet=st.characters(codec=None, exclude_categories=()), max_size=60)


@EXAMPLES
@given(ANY)
def test_safe_text(text: str) -> None:
    """Kept text is stable, on one line, without controls, and encodes."""
    kept = safe_text(text)
    assert safe_text(kept) == kept
    assert kept == kept.strip()
    assert not set(kept) & {"\n", "\r", "\t", "\x00", "\x1b", "\u202e", "\u200b", "\ufeff", "\ufffe"}
    assert kept.encode().decode() == kept


def test_safe_text_is_cut_by_utf16_units() -> None:
    """32,000 units are kept, and no emoji is cut in half."""
    assert len(safe_text("x" * 40_000)) == TEXT_UNITS
    assert len(safe_text("😀" * 20_000)) == TEXT_UNITS // 2
    assert len(safe_text("x" + "😀" * 20_000)) == TEXT_UNITS // 2


def test_safe_text_keeps_joined_emoji_and_formulas() -> None:
    """A joined emoji stays one, and a leading = is text like any other."""
    assert safe_text("👩\u200d🔧") == "👩\u200d🔧"
    assert safe_text("\t=1+1") == "=1+1"
