"""Headers: the longest one counts, a line break is a blank, and what stands in a column has the last word."""

from pathlib import Path

import pytest

from holdover.findings import Finding, Findings
from holdover.reading.fields import ASKED
from holdover.reading.table.headers import known_headers, read_header
from holdover.reading.table.table import read_table
from holdover.returned.read import read_any

NO_NAMES = [
    ("candidates", head)
    for head in ("Battery weight", "Battery price", "Battery life", "Battery brand", "Battery type", "Battery cycles",
                 "Battery warranty", "System voltage", "Option price", "Model year", "Product code", "Battery\nweight",
                 "Battery weight (kg)", "Battery-price", "Battery width")
] + [
    ("loads", head)
    for head in ("Load weight", "Item price", "Device Wh", "Appliance colour", "Name plate", "Load volume", "Item code",
                 "Equipment age", "Device serial", "Load factors", "Appliance brand", "Consumer group")
]  # fmt: skip
LONGER = {
    ("candidates", "Unit price"): "price", ("candidates", "Unit cost (USD)"): "price",
    ("candidates", "Unit weight lb"): "weight_kg", ("candidates", "Product weight"): "weight_kg",
    ("candidates", "Battery capacity"): "storage_wh", ("candidates", "Battery Ah"): "storage_ah",
    ("candidates", "Battery V"): "battery_v", ("candidates", "Model number"): "name",
    ("loads", "Load power"): "running_w", ("loads", "Load W"): "running_w", ("loads", "Item hours"): "hours_per_day",
    ("loads", "Item quantity"): "quantity", ("loads", "Load priority"): "tier", ("loads", "Load current"): "running_a",
    ("loads", "Device voltage"): "feed", ("loads", "Load type"): "name",
}  # fmt: skip
LOADS = "name,running_w,hours_per_day\nLamp,10,5\n"
UNITS = "name,storage_wh,continuous_w,surge_w"


def told(folder: Path, loads: str = LOADS, units: str = f"{UNITS}\nUnit A,2048,2400,4800\n") -> list[Finding]:
    """What is said of a case with these tables; advice apart."""
    (folder / "case.toml").write_text("", encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return [each for each in read_any(folder)[1].found if each.code[0] != "A"]


@pytest.mark.parametrize(("part", "head"), NO_NAMES)
def test_a_word_behind_a_name_makes_it_no_name(part: str, head: str) -> None:
    """`Battery weight` holds no names, whatever its first word means alone."""
    header = read_header(head, part)
    assert header is None or header.field != "name"


@pytest.mark.parametrize(("part", "head"), LONGER)
def test_the_longest_header_counts(part: str, head: str) -> None:
    """`Unit price` is a price, and a word for the thing itself before a header changes nothing."""
    header = read_header(head, part)
    assert header is not None
    assert header.field == LONGER[part, head]


@pytest.mark.parametrize("part", ["loads", "candidates"])
def test_a_line_break_is_a_blank(part: str) -> None:
    """Every header of more than one word means the same with its blanks turned into line breaks."""
    words = [word for word in known_headers(part) if " " in word]
    assert len(words) > 50
    for word in words:
        for broken in (word.replace(" ", "\n"), word.replace(" ", " \r\n"), word.replace(" ", "\n", 1)):
            assert read_header(broken, part) == read_header(word, part), broken


@pytest.mark.parametrize(
    ("head", "field", "unit"),
    [("Surge\nW", "surge_w", ""), ("Peak\nW", "surge_w", "W"), ("Weight\nlb", "weight_kg", "lb"),
     ("Storage\n(kWh)", "storage_wh", "kWh"), ("Continuous\nkW", "continuous_w", "kW"), ("Capacity\nAh", "storage_ah", ""),
     ("Idle\nW", "idle_w", ""), ("Max PV\nvoltage", "pv_max_v", ""), ("Noise\ndB", "noise_db", ""),
     ("AC output\n(W)", "continuous_w", ""), ("Weight\r\n[lb]", "weight_kg", "lb"), ("PV\nmax\nV", "pv_max_v", "")],
)  # fmt: skip
def test_a_unit_on_a_line_of_its_own(head: str, field: str, unit: str) -> None:
    """As programs wrap a narrow heading: the unit below is that of the column."""
    header = read_header(head, "candidates")
    assert header is not None
    assert (header.field, header.unit, header.bad_unit) == (field, unit, "")


OFFERS = {
    "PV max W": "W", "Max input W": "W", "PV voltage W": "W", "Battery weight": "kg", "Battery price": "money",
    "Weight of all": "kg", "PV minimum V": "V", "Solar limit W": "W", "Output current": "A", "Charging temp": "°C",
    "Loudness at night": "dB(A)", "AC charging time": "h", "Surge time": "h", "Transfer current": "A", "Solar power V": "V",
}  # fmt: skip


@pytest.mark.parametrize("head", OFFERS)
def test_no_header_is_offered_in_another_quantity(head: str, tmp_path: Path) -> None:
    """`PV max W` is not answered with volts: what is offered is in the unit that the header says."""
    (found,) = [f for f in told(tmp_path, units=f"{UNITS},{head}\nUnit A,2048,2400,4800,1\n") if f.code == "C003"]
    for title in {asked.title: asked for asked in ASKED["candidates"].values()}:
        units = {asked.unit for asked in ASKED["candidates"].values() if asked.title == title}
        assert OFFERS[head] in units or f"if it is {title}," not in found.remedy
    for word in known_headers("candidates"):
        header = read_header(word, "candidates")
        if header and header.field and found.remedy == f"did you mean {word}?":
            assert ASKED["candidates"][header.field].unit == OFFERS[head]


@pytest.mark.parametrize("words", [["nameplate", "meter"], ["estimate"], ["label", "typical", "label"], ["Metered", "guess"],
                                   ["spec sheet"], ["data sheet", "measured"], ["table"], ["plug-in meter"], ["rated"], ["est."]])  # fmt: skip
def test_a_source_that_is_none_of_current(words: list[str], tmp_path: Path) -> None:
    """`Source` usually heads voltages; where its cells say how figures are known, that is what it is."""
    rows = "".join(f"Lamp {n},10,5,{word}\n" for n, word in enumerate(words))
    found = told(tmp_path, loads=f"name,running_w,hours_per_day,Source\n{rows}")
    assert [(f.code, f.level) for f in found] == [("C023", "note")]
    case = read_any(tmp_path)[0]
    assert case is not None
    assert all(load.feed is None and load.basis for load in case.loads)


@pytest.mark.parametrize(
    ("head", "cell"),
    [("Source", "see list"), ("Feed", "the wall"), ("Priority", "Ann"), ("Duty", "always"), ("Starting", "kitchen"),
     ("Power factor", "good"), ("Qty", "several"), ("Volts", "see plate"), ("Basis", "Tom"), ("From", "whenever"),
     ("Metered", "soon"), ("Counts", "maybe"), ("Duty", "30 W"), ("Qty", "5 kg")],
)  # fmt: skip
def test_one_finding_a_column(head: str, cell: str, tmp_path: Path) -> None:
    """Where no cell of a column can be what its header says, that is said once, not in each of twelve rows."""
    rows = "".join(f"Lamp {n},10,5,{cell}\n" for n in range(12))
    (found,) = told(tmp_path, loads=f"name,running_w,hours_per_day,{head}\n{rows}")
    assert (found.code, found.level, found.column, found.row) == ("C023", "error", head, 2)
    rows += "Lamp 12,10,5,\n" * 2
    assert [f.code for f in told(tmp_path, loads=f"name,running_w,hours_per_day,{head}\n{rows}")] == ["C023"]


@pytest.mark.parametrize("name", ["running_w", "hours_per_day"])
def test_a_needed_column_of_words_is_one_finding(name: str, tmp_path: Path) -> None:
    """The rows are not called incomplete beside it; a row that can be read keeps the column a column."""
    cells = {"running_w": "10", "hours_per_day": "5"} | {name: "a lot"}
    rows = "".join(f"Lamp {n},{cells['running_w']},{cells['hours_per_day']}\n" for n in range(5))
    assert [f.code for f in told(tmp_path, loads=f"name,running_w,hours_per_day\n{rows}")] == ["C023"]
    found = told(tmp_path, loads=f"name,running_w,hours_per_day\n{rows}Fan,10,5\n")
    assert [f.code for f in found] == ["Q001"] * 5


@pytest.mark.parametrize(
    ("head", "field"),
    [("Nominal capacity", "storage_wh"), ("Rated AC output", "continuous_w"), ("Max expansion batteries", "packs_max"),
     ("AC charging power", "ac_charge_w"), ("Expansion battery price EUR", "pack_price"),
     ("Nennkapazität / Nominal capacity", "storage_wh"), ("Preis / Expansion battery price EUR", "pack_price")],
)  # fmt: skip
def test_a_price_list_of_the_trade(head: str, field: str) -> None:
    """What suppliers write above their columns is understood, alone and behind the same in another language."""
    header = read_header(head, "candidates")
    assert header is not None
    assert header.field == field


@pytest.mark.parametrize("head", ["Chemistry", "Art.-Nr. / SKU", "Lieferzeit / Lead time", "EK netto / Dealer net EUR"])
def test_what_bears_on_no_figure_is_left_out_with_a_note(head: str, tmp_path: Path) -> None:
    """Chemistry, order numbers, times of delivery and what the dealer pays count for nothing; a note says so."""
    found = told(tmp_path, units=f"{UNITS},{head}\nUnit A,2048,2400,4800,1190\n")
    assert [(each.code, each.level, each.column) for each in found] == [("C015", "note", head)]


@pytest.mark.parametrize("part", ["loads", "candidates"])
def test_a_column_headed_pos(part: str) -> None:
    """`Pos.` numbers the rows as `No.` does, whatever the language of its other half."""
    for head in ("Pos.", "Pos", "Pos. / No."):
        header = read_header(head, part)
        assert header is not None
        assert header.ignored


@pytest.mark.parametrize(
    ("head", "offered", "kept_from"),
    [("Charging wattage", "Charging from AC", "Continuous output"), ("Outlay price", "Price", "Remark"),
     ("Charge setting (W)", "Charging from AC", "Continuous output")],
)  # fmt: skip
def test_nothing_is_offered_across_quantities(head: str, offered: str, kept_from: str, tmp_path: Path) -> None:
    """A column about charging is no output, and a price is not moved to the remarks, which the client reads."""
    found = told(tmp_path, units=f"name,storage_wh,surge_w,{head}\nUnit A,2048,4800,1800\n")
    (remedy,) = [each.remedy for each in found if each.code == "C003"]
    assert offered in remedy
    assert kept_from not in remedy


@pytest.mark.parametrize(
    ("head", "cells", "meant"),
    [
        ("Model,Battery,Output,Surge", "Alder,2016Wh,2000W,4000W", {"name": "Alder", "storage_wh": "2016Wh"}),
        ("Battery,Model,Output,Surge", "2016Wh,Alder,2000W,4000W", {"name": "Alder", "storage_wh": "2016Wh"}),
        ("Model,Battery (Wh),Output,Surge", "Alder,2016,2000W,4000W", {"name": "Alder", "storage_wh": "2016"}),
        ("Battery,Capacity,Output,Surge", "Alder,2 kWh,2000W,4000W", {"name": "Alder", "storage_wh": "2 kWh"}),
        ("Model,Battery,Capacity,Output", "Alder,LFP,2 kWh,2000W", {"name": "Alder", "storage_wh": "2 kWh"}),
        ("Model,Capacity,Price,Battery price", "Alder,2 kWh,$999,$599", {"price": "$999", "pack_price": "$599"}),
        ("Model,Capacity,Max batteries,Battery cost", "Alder,2 kWh,3,$599", {"packs_max": "3", "pack_price": "$599"}),
        ("Model,Capacity,Output,Volt", "Alder,2 kWh,2000W,120", {"ac_volts": "120"}),
    ],
)
def test_a_battery_is_what_its_column_holds(head: str, cells: str, meant: dict[str, str]) -> None:
    """Beside a column Model one headed Battery is the storage, where watt-hours stand in it, or its chemistry."""
    (row,) = read_table("candidates", f"{head}\n{cells}\n".encode(), "candidates.csv", Findings())
    read = {name: str(entry.value) for name, entry in row.entries.items()}
    assert {name: read.get(name) for name in meant} == meant
