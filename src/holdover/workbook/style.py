"""How the workbook looks: colours, number formats and the few kinds of cell a reader learns."""

from typing import Any, Final

from holdover.case.section import choices_of, is_text, is_whole
from holdover.workbook.column import Column, Part
from holdover.workbook.typed import is_clock

INK: Final = "#1B2A30"
TEAL: Final = "#1D5C63"
TEAL_PALE: Final = "#E3F0F0"
INPUT_FILL: Final = "#FFF7DB"
INPUT_INK: Final = "#1F3FA6"
GREY: Final = "#5C686C"
LINE: Final = "#C9D3D5"
GOOD: Final = ("#1E6B3A", "#DFF2E3")
BAD: Final = ("#A11D1D", "#FBE3E1")
LOOK: Final = ("#8A5A00", "#FFF0CF")
SERIES: Final = ("#1D5C63", "#D98E2B", "#8FB8BC", "#B4483A", "#5A6FA8", "#7A9B3E", "#9A6FA0", "#4C4C4C")
CONVENIENCE, ESSENTIAL, RESERVE = SERIES[1], SERIES[4], SERIES[3]
"""Of the levels at which loads of a tier drop, and of the reserve."""

RUN: Final = {"critical": "#1B2A30", "essential": "#4F7F86", "convenience": "#A8C4C7"}
"""Hours in which a tier runs: three steps of one blue-green, which grey print keeps apart."""
OFF, OFF_INK, NIGHT = "#F6E4DE", "#8A3A1E", "#E4EAEC"
"""Hours in which a tier is off, always with a dash in them; hours of night."""
PAPER: Final = "#FFFFFF"
STRIPS: Final = {f"strip {tier}": {"–": OFF, " ": PAPER} for tier in RUN} | {"strip night": {"·": NIGHT}}
"""Cells of a timeline: filled while the tier runs; a dash where it is off, a blank after the end."""

GRID_LABELS: Final = ("asked", "asked group", "asked top")
"""Roles of what is asked; their titles have no borders, either."""
SHORT_FOR: Final = {
    **{role: {"not stated": "–", "not planned": "–"} for role in ("word", "asked")},
    "there": {"not stated": "?", "no legs": "–"},
    "row short": {
        "no generator": "none",
        "no AC charging": "none",
        "not stated": "?",
        "too cold to charge": "too cold",
        "out of reach": "none",
    },
    "row verdict": {"not planned": "–"},
}
"""By role, what is shown in a narrow cell in place of a word; the cell holds the word."""
OPEN_WORDS: Final = ("UNDER", "CHECK")
"""Words that ask for a look."""
INDENTED, SET_BACK, AS_AN_INDENT = ("asked", "there"), ("there own", "there money"), "_0_i"
"""Roles of figures set back from the right edge: by their alignment, and by room in their number format.

LibreOffice indents no figure that stands right of one of its own look, so figures are not indented but beside words.
"""
GRID_WORDS: Final = ("word", "group word")
"""Roles of which only what stands out is coloured."""
VERDICTS: Final = {
    "OK": GOOD,
    "fits": GOOD,
    "allowed": GOOD,
    "UNDER": BAD,
    "SHORT": BAD,
    "falls short": BAD,
    "too high in the cold": BAD,
    "LOOK": LOOK,
    "CHECK": LOOK,
}
"""Words of a verdict, with ink and fill; the word is there without the colour."""

FORMATS: Final = {
    "W": "#,##0",
    "VA": "#,##0",
    "Wh": "#,##0",
    "Wh/day": "#,##0",
    "kWh": "#,##0.00",
    "kWh/m²": "0.000",
    "kWh/m²·day": "0.00",
    "h": "0.0#",
    "h/day": "0.00",
    "days": "0.00",
    "clock": "0.0#",
    "o'clock": '0":00"',
    "V": "0.0",
    "A": "0.0",
    "share": "0.0%",
    "kg": "0.0",
    "lb": "0.0",
    "money": "#,##0.00",
    "quantity": "#,##0.##",
    "day": '"Day "0',
    "percent": "0",
    "whole share": "0%",
    "°": "0.00",
    "°C": "0.0",
    "°F": "0.0",
    "1/°C": "0.00%",
    "m": "0.0",
    "ft": "0",
    "km": "0.0",
    "km or mi": "0.0",
    "mi or km": "0.0",
    "mi": "0.0",
    "Wh/km": "0.0",
    "Wh/mi": "0.0",
    "l": "0.0",
    "gal": "0.0",
    "l/kWh": "0.00",
    "gal/kWh": "0.000",
    "number": "0",
    "factor": "0.0000",
}
"""Number format by unit; a unit that is not here is shown as it comes."""

TIME_OF_DAY: Final = "[<1]hh:mm;General"
"""A clock hour as it is typed: as a time, or in hours."""

FEW_WATTS: Final = "[<100]General;#,##0"
"""Watts as they are typed: a lamp of 7.5 W is not one of 8 W."""

BASE: Final[dict[str, Any]] = {"font_name": "Arial", "font_size": 9, "font_color": INK, "valign": "vcenter"}
TITLE: Final = {**BASE, "font_size": 16, "bold": True, "font_color": TEAL}
SUBTITLE: Final = {**BASE, "font_color": GREY}
HEADING: Final = {**BASE, "font_size": 11, "bold": True, "font_color": TEAL, "bottom": 2, "bottom_color": TEAL}
HEADING_NOTE: Final = {**HEADING, "font_size": 9, "bold": False, "italic": True, "font_color": GREY}
NOTE: Final = {**BASE, "font_color": GREY, "italic": True, "text_wrap": True}
HEAD: Final = {
    **BASE,
    "bold": True,
    "bg_color": TEAL,
    "font_color": "#FFFFFF",
    "text_wrap": True,
    "align": "center",
    "border": 1,
    "border_color": LINE,
}
UNIT: Final = {**BASE, "font_color": GREY, "bg_color": TEAL_PALE, "align": "center", "border": 1, "border_color": LINE}
GROUP: Final = {**BASE, "bold": True, "font_color": TEAL, "bg_color": TEAL_PALE}
LABEL: Final = {**BASE, "border": 1, "border_color": LINE, "indent": 1}
LABEL_UNIT: Final = {**LABEL, "font_color": GREY, "align": "center"}
PLAIN: Final = {**BASE, "text_wrap": True, "valign": "top"}
CAUTION: Final = {**PLAIN, "font_color": LOOK[0], "bg_color": LOOK[1]}

LABELS: Final[dict[str, dict[str, Any]]] = {
    "name": TITLE,
    "sentence": SUBTITLE,
    "plain": PLAIN,
    "caution": CAUTION,
    "title": HEADING,
    "remark": HEADING_NOTE,
    "group": GROUP,
    "band": GROUP,
    "head": HEAD,
    "unit": UNIT,
    "label": {**LABEL, "align": "left"},
    "asked": LABEL,
    "label unit": LABEL_UNIT,
    "note": NOTE,
    "small": {**PLAIN, "font_color": GREY},
    "corner": {**BASE, "font_color": GREY},
    "hint": {**BASE, "font_color": GREY},
    "stair": {**BASE, "valign": "top"},
    "elsewhere": {**LABEL, "font_color": GREY, "italic": True, "align": "right"},
}
"""Looks of standing texts, by kind: see page.py."""

BARE: Final = {"border": 0, "indent": 0}
HAIR: Final = "#E1E6E9"
EDGE: Final = {"left": 1, "left_color": HAIR}
"""Between candidates that stand side by side."""
BAND: Final[dict[str, Any]] = {"bg_color": INK, "font_color": "#FFFFFF", "bold": True}
INPUT: Final = {"bg_color": INPUT_FILL, "font_color": INPUT_INK, "locked": False}
ROLES: Final[dict[str, dict[str, Any]]] = {
    "": {},
    "total": {"bold": True, "bg_color": TEAL_PALE},
    "verdict": {"bold": True, "align": "center"},
    "head": {"bold": True, "align": "center", "text_wrap": True, "bg_color": TEAL_PALE},
    "words": {"text_wrap": True, "valign": "top", "align": "left"},
    "quiet": {"font_color": GREY},
    "ask": {"font_color": LOOK[0], "text_wrap": True, "align": "left"},
    "banner": {"bold": True, "font_size": 14, "font_color": TEAL, "bg_color": TEAL_PALE, "text_wrap": True},
    "line": {"text_wrap": True},
    # Roles of the grid of words: OK recedes, what stands out is bold on its colour.
    "asked": {
        **BARE,
        "bottom": 1,
        "bottom_color": HAIR,
        "font_color": GREY,
        "align": "right",
        "indent": 1,
    },
    "asked group": {**BARE, "bottom": 1, "bottom_color": LINE},
    "asked top": {**BARE, "font_color": GREY, "valign": "top"},
    "there": {**BARE, "bottom": 1, "bottom_color": HAIR, "align": "right", "indent": 1},
    "there own": {**BARE, **EDGE, "bottom": 1, "bottom_color": HAIR, "align": "right"},
    "there money": {
        **BARE,
        **EDGE,
        "bottom": 1,
        "bottom_color": HAIR,
        "align": "right",
        "num_format": "#,##0",
    },
    "word": {**BARE, **EDGE, "bottom": 1, "bottom_color": HAIR, "font_color": GREY, "align": "left", "shrink": True},
    "group word": {**BARE, **EDGE, "bottom": 1, "bottom_color": LINE, "bold": True, "align": "left"},
    "answer line": {**BARE, "font_size": 13, "bold": True, "font_color": TEAL},
    "row label": {**BARE, **EDGE, "font_color": GREY, "align": "left"},
    "column name": {**BARE, **EDGE, "bold": True, "align": "left", "text_wrap": True},
    "row packs": {**BARE, **EDGE, "bottom": 2, "bottom_color": INK, "align": "left"},
    "said": {**BARE, **EDGE, "text_wrap": True, "valign": "top", "align": "left"},
    # Roles of a composed page: type and space do the work, there are few borders.
    "page title": {**BARE, "font_size": 20, "bold": True},
    "page line": {**BARE, "font_color": GREY},
    "page made": {**BARE, "font_color": GREY, "text_wrap": True},
    "hero": {**BARE, "font_size": 17, "bold": True, "font_color": TEAL, "text_wrap": True},
    "notice": {**BARE, "font_color": LOOK[0], "bold": True, "text_wrap": True},
    "lead": {**BARE, "font_size": 11.5, "text_wrap": True, "valign": "top"},
    "figure": {**BARE, "font_size": 20, "bold": True, "align": "left"},
    "caption": {**BARE, "font_color": GREY, "align": "left", "text_wrap": True, "valign": "top"},
    "row": BARE,
    "row short": BARE,
    "row name": {**BARE, "text_wrap": True},
    "row words": {**BARE, "text_wrap": True, "indent": 1},
    "row money": {**BARE, "num_format": "#,##0"},
    "row verdict": {**BARE, "bold": True, "indent": 1},
    "row quiet": BARE,
    "result": {**BARE, "text_wrap": True, "indent": 1},
    "was": {**BARE, "font_color": GREY, "text_wrap": True},
    "heading": {
        **BARE,
        "font_size": 11,
        "bold": True,
        "font_color": TEAL,
        "text_wrap": True,
        "bottom": 1,
        "bottom_color": LINE,
    },
    "strong": {**BARE, "bold": True},
    "strong words": {**BARE, "bold": True, "text_wrap": True, "valign": "top"},
    "page words": {**BARE, "font_color": GREY, "text_wrap": True, "valign": "top"},
    "line plain": {**BARE, "text_wrap": True},
    "page caution": {
        **BARE,
        "font_color": LOOK[0],
        "text_wrap": True,
        "valign": "top",
        "top": 1,
        "top_color": LOOK[0],
    },
    "caption right": {**BARE, "font_color": GREY, "align": "right"},
    **{f"key {tier}": {**BARE, "font_color": fill, "align": "right"} for tier, fill in RUN.items()},
    "strip night": {**BARE, "font_color": GREY, "align": "center"},
    "hours": {**BARE, "font_color": GREY, "align": "left"},
    **{
        f"strip {tier}": {
            **BARE,
            "bg_color": fill,
            "align": "center",
            "top": 1,
            "top_color": "#FFFFFF",
            "bottom": 1,
            "bottom_color": "#FFFFFF",
        }
        for tier, fill in RUN.items()
    },
    "hidden": {**BARE},
    # The offer.
    "page strong": {**BARE, "font_size": 12, "bold": True},
    "paper title": {**BARE, "font_size": 22, "bold": True, "font_color": TEAL},
    "plain": BARE,
    "row left": {**BARE, "align": "left"},
    "plain right": {**BARE, "align": "right"},
    "page warning": {**BARE, "font_color": BAD[0], "bold": True, "text_wrap": True},
    "paper head": {**BARE, "bold": True, "bottom": 1, "bottom_color": INK},
    "paper head right": {**BARE, "bold": True, "bottom": 1, "bottom_color": INK, "align": "right"},
    "paper row": BARE,
    "paper words": {**BARE, "text_wrap": True},
    "paper total": {**BARE, "bold": True, "font_size": 13, "top": 2, "top_color": INK},
    "signature": {**BARE, "font_color": GREY, "text_wrap": True, "valign": "top", "top": 1, "top_color": INK},
    # The card.
    "card title": {**BARE, "font_size": 26, "bold": True},
    "card who": {**BARE, "font_size": 13, "shrink": True},
    "card lead": {**BARE, "font_size": 12, "bold": True, "text_wrap": True, "valign": "top"},
    "card strong": {**BARE, "font_size": 12, "bold": True, "shrink": True},
    "card item": {**BARE, "font_size": 12, "shrink": True},
    "card number": {**BARE, "font_size": 12, "align": "left", "indent": 1},
    "card call": {**BARE, "font_size": 11, "bottom": 1, "bottom_color": INK, "shrink": True},
    "card never": {**BARE, **BAND, "font_size": 10.5, "text_wrap": True, "indent": 1},
    "card band": {**BARE, **BAND, "font_size": 13, "indent": 1},
    "card band small": {**BARE, **BAND, "font_size": 10, "indent": 1, "valign": "top"},
    "card clock": {**BARE, **BAND, "font_size": 14, "align": "center"},
    "card letter": {**BARE, **BAND, "font_size": 10, "align": "center", "valign": "top"},
    "card day": {**BARE, "font_size": 15, "bold": True, "align": "left", "indent": 1},
    "card note": {**BARE, "font_size": 10, "font_color": GREY},
    "card date": {**BARE, "font_size": 10, "font_color": GREY, "valign": "bottom"},
    "card a": {**BARE, "font_size": 20, "bold": True, "align": "center"},
    "card b": {**BARE, "font_size": 13, "align": "center"},
    "card day small": {**BARE, "font_size": 12, "bold": True, "align": "left", "indent": 1},
    "card a small": {**BARE, "font_size": 13, "bold": True, "align": "center"},
    "card b small": {**BARE, "font_size": 12, "align": "center"},
}
"""Kinds of result. `quiet` is arithmetic on the way; its zeros are left out, as those of a `row quiet` are."""

ROW: Final = 13.5
"""Height of a row of one line [pt]."""
CORNER: Final = 12.0
NO_HINT: Final = 4.0
TITLE_TALL: Final = 18.0
"""Heights of the small heading of a composed page, of the row below it that says nothing, and of a title [pt]."""
PAGE_MARGINS: Final = (0.55, 0.55, 0.35, 0.5)
"""Left, right, top and bottom of a composed page [inch]."""
NARROW_PIXELS: Final = 12
"""Width of a narrow column of a composed page [pixel]."""
NARROW_ROOM: Final = NARROW_PIXELS / 7
"""The same in characters."""
INDENT: Final = 1.75
"""Width of a step of indentation, in characters."""
HEAD_ROOM: Final = 1.8
"""Letters that a narrow column adds to a heading over several of them, which breaks."""
HEAD_LINE: Final = 10.5
"""Height of a line of a heading of a composed page [pt]."""
HEIGHTS: Final = {"head": 38, "banner": 40, "line": 20, "answer line": 24, "column name": 26, "asked group": 18}
"""Heights of the rows of an across table that need more than one line."""
BANNERS: Final = ("banner", "line")
"""Roles of sentences that run across the sheet."""
BANNER_COLUMNS: Final = 7
STRONG: Final = ("total", "verdict", "head", "banner", "asked group")
"""Roles whose titles are bold."""
RULED: Final = (
    {"paper row": HAIR, "paper words": HAIR}
    | dict.fromkeys(
        ("row", "row left", "row short", "row name", "row words", "row money", "row verdict", "row quiet"), HAIR
    )
    | dict.fromkeys(
        ("card day", "card date", "card a", "card b", "card day small", "card a small", "card b small"), INK
    )
)
"""Roles of cells that get a line below, of such a colour, while something stands in their record's first cell."""


def wraps(column: Column) -> bool:
    """Whether what a formula says there takes as many lines as it needs."""
    return bool(ROLES[column.role].get("text_wrap"))


def is_free_text(column: Column) -> bool:
    """Whether people type words of their own into it."""
    return column.field is not None and is_text(column.field) and not choices_of(column.field)


MARKED: Final = {"bg_color": TEAL_PALE}
"""Ground of the record that is advised."""
COMPOSED: Final[dict[str, dict[str, Any]]] = {
    "title": {**BASE, "font_size": 11, "bold": True, "font_color": TEAL, "bottom": 1, "bottom_color": LINE},
    "head": {**BASE, "font_color": GREY, "text_wrap": True},
    "unit": {**BASE, "font_color": GREY},
    "group": {**BASE, "font_color": TEAL, "bottom": 1, "bottom_color": HAIR},
    "label": BASE,
    "label unit": {**BASE, "font_color": GREY, "indent": 1},
    "asked": BASE,
}
"""Looks of the same texts on a composed page."""


def label_style(kind: str, role: str, *, measured: bool, composed: bool) -> dict[str, Any]:
    """Properties of a label's format, by its kind and what it stands beside: of which role, and whether it has a unit.

    The role is "" where it stands beside nothing.
    """
    if composed and kind in COMPOSED:
        right = {"align": "right"} if kind in ("head", "unit") and measured else {}
        words = {"indent": 1} if kind == "head" and role in ("row words", "row verdict") else {}
        large = {"font_size": 10} if role.startswith("card") else {}
        return {**COMPOSED[kind], **large, **right, **words}
    if kind != "label" or not role:
        return LABELS[kind]
    if role in GRID_LABELS:
        return {**BASE, **ROLES[role], "font_color": INK, "bold": role in STRONG, "align": "left"}
    look = {**LABELS[kind], "bold": role in STRONG}
    return {**look, "valign": "top"} if role == "words" else look


def figure_format(unit: str, currency: str) -> str:
    """Number format of a large figure, its unit with it."""
    plain = currency.replace('"', "").replace("\\", "")
    return f'"{plain} "#,##0' if unit == "money" else f'#,##0" {unit}"'


def _number_format(column: Column, *, typed: bool) -> str | None:
    """By the unit; money has no cents in the narrow cells of a grid, and what sentences tell in tenths stands so beside them."""
    if column.role == "row short" and column.unit in ("h", "days"):
        return "0.0"
    if typed and column.unit in ("W", "VA"):
        return FEW_WATTS
    return "#,##0" if column.unit == "money" and column.role in INDENTED else FORMATS.get(column.unit)


def cell_style(column: Column, part: Part, *, typed: bool) -> dict[str, Any]:
    """Properties of a cell's format, by unit and role."""
    style = {**LABEL, **ROLES[column.role]}
    number = _number_format(column, typed=typed)
    if "align" not in style:
        number_asked = column.field is not None and not is_text(column.field)
        style["align"] = "right" if column.unit or column.role == "quiet" or number_asked else "left"
    if is_free_text(column):
        style["text_wrap"] = True
    if column.field is not None and is_whole(column.field):
        number = FORMATS["o'clock"] if is_clock(column.field) else "0"
    if typed and column.field is not None and is_clock(column.field):
        number = TIME_OF_DAY
    if style["align"] == "right" and column.role not in INDENTED:
        style["indent"] = 0
    if number and "num_format" not in style:
        style["num_format"] = f"{number};-{number};;@" if column.role.endswith("quiet") else number
    if column.role in SET_BACK and "num_format" in style:
        style["num_format"] += AS_AN_INDENT
    if typed:
        style |= INPUT
    if column.free:  # as text: a program would take 2-3 for a day in February
        style |= {"num_format": "@", "align": "left"}
    if part == "usual":
        style |= {"font_color": GREY, "italic": True}
    if part == "" and column.field is not None and not typed:
        style |= {"bold": True}
    return style
