"""Cells: quantities, decimal marks, choices and names."""

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from example import Example, case


def _one(column: str, text: str, name: str = "Thing") -> str:
    """One load, tab-separated so that commas need no quotes, with one column of interest."""
    base = {"name": name, "running_w": "100", "hours_per_day": "5"}
    base[column] = text
    return "\t".join(base) + "\n" + "\t".join(base.values()) + "\n"


def _quantities() -> Iterator[Example]:
    """Ways to write a quantity that are read."""
    good: list[tuple[str, str, float | str, str]] = [
        ("running_w", "1.5 kW", 1500, "Q005"),
        ("running_w", "850W", 850, ""),
        ("running_w", " 850 watts ", 850, ""),
        ("running_w", "0.85kW", 850, "Q005"),
        ("running_w", "1,200.5", 1200.5, ""),
        ("running_w", "1.200,5", 1200.5, ""),
        ("running_w", "1 200", 1200, ""),
        ("running_w", "1\u202f200\u00a0W", 1200, ""),
        ("running_w", "1'200 W", 1200, ""),
        ("running_w", "½", 0.5, ""),
        ("running_w", "1½ kW", 1500, "Q005"),
        ("running_w", "1/2 kW", 500, "Q005"),
        ("running_w", "1 1/2 kW", 1500, "Q005"),
        ("running_w", "1.2e3", 1200, ""),
        ("running_w", "~600", 600, "Q014"),
        ("running_w", "approx. 600 W", 600, "Q014"),
        ("running_w", "12 A @ 120 V", 1440, "L005"),
        ("running_w", "12A", 1440, "L005"),
        ("running_w", "120V 12A", 1440, "L005"),
        ("running_w", "12 A x 120V", 1440, "L005"),
        ("running_w", "850 VA", 850, "L005"),
        ("running_w", "0.85 kVA", 850, "L005"),
        ("running_w", "2 x 60 W", 60, "Q005"),
        ("running_w", "2×60W", 60, "Q005"),
        ("running_w", "3 * 40", 40, "Q005"),
        ("running_w", "500 mA @ 120 V", 60, "L005"),
        ("hours_per_day", "30 min", 0.5, "Q005"),
        ("hours_per_day", "1h30", 1.5, "Q005"),
        ("hours_per_day", "1:30", 1.5, "Q005"),
        ("hours_per_day", "1 h 30 min", 1.5, "Q005"),
        ("hours_per_day", "18:00-22:30", 4.5, "Q005"),
        ("hours_per_day", "6 pm – 10:30 pm", 4.5, "Q005"),
        ("hours_per_day", "22:00 to 06:00", 8, "Q005"),
        ("hours_per_day", "24/7", 24, "Q005"),
        ("hours_per_day", "8 h/day", 8, ""),
        ("hours_per_day", "14 h/week", 2, "Q005"),
        ("hours_per_day", "all day", 24, "Q005"),
        ("hours_per_day", "8 hrs", 8, ""),
        ("hours_per_day", "3600 s", 1, "Q005"),
        ("hours_per_day", "6-10 pm", 4, "Q005"),
        ("starts_at", "18:00", 18, ""),
        ("starts_at", "6 pm", 18, ""),
        ("starts_at", "6:30pm", 18.5, ""),
        ("starts_at", "12 am", 0, ""),
        ("starts_at", "noon", 12, ""),
        ("starts_at", "18h30", 18.5, ""),
        ("starts_at", "18", 18, ""),
        ("starts_at", "24:00", 0, ""),
        ("duty", "35%", 0.35, ""),
        ("duty", "35 %", 0.35, ""),
        ("duty", "0.35", 0.35, ""),
        ("duty", "1/3", 1 / 3, ""),
        ("power_factor", "0,95", 0.95, ""),
        ("gap_ms", "<20 ms", 20, "Q014"),
        ("gap_ms", "0.02 s", 20, "Q005"),
        ("measured_wh_per_day", "340 kWh/yr", 340_000 / 365, "Q005"),
        ("measured_wh_per_day", "0.9 kWh/day", 900, "Q005"),
        ("measured_wh_per_day", "900 Wh per day", 900, ""),
        ("measured_wh_per_day", "7 kWh/week", 1000, "Q005"),
        ("measured_wh_per_day", "365 kWh/annum", 1000, "Q005"),
        ("quantity", "2 pcs", 2, ""),
        ("quantity", "3.0", 3, ""),
    ]
    for column, text, value, said in good:
        yield case(f"read {column} {text.strip()}", _one(column, text), said=said, values={f"loads.0.{column}": value})
    yield case("count from the cell", _one("running_w", "2 x 60 W"), values={"loads.0.quantity": 2})
    yield case("start from the cell", _one("hours_per_day", "18:00-22:30"), values={"loads.0.starts_at": 18})
    for column, text in [("starting_w", "-"), ("duty", "n/a"), ("gap_ms", "N/A"), ("power_factor", "—"), ("feed", "-")]:
        yield case(f"blank {column} {text}", _one(column, text), values={f"loads.0.{column}": None})
    yield case("blank unknown", _one("starting_w", "tbd"), said="Q016", values={"loads.0.starting_w": None})


def _refused_quantities() -> Iterator[Example]:
    """Texts that must not become a number."""
    bad = [
        ("running_w", "1.5 kW (start 4 kW)", "Q001"),
        ("running_w", "a lot", "Q001"),
        ("running_w", "100-200 W", "Q001"),
        ("running_w", "100 to 200", "Q001"),
        ("running_w", "1 hp", "Q006"),
        ("running_w", "5000 BTU/h", "Q006"),
        ("running_w", "5 MW", "Q006"),
        ("running_w", "12 V", "Q006"),
        ("running_w", "2 kWh", "Q006"),
        ("running_w", "nan", "Q001"),
        ("running_w", "inf", "Q001"),
        ("running_w", "-inf", "Q001"),
        ("running_w", "1e999", "Q010"),
        ("running_w", "1e308", "Q010"),
        ("running_w", "-5", "Q002"),
        ("running_w", "9" * 400, "Q010"),
        ("running_w", "1_000", "Q001"),
        ("running_w", "１２", "Q001"),
        ("running_w", "٣", "Q001"),
        ("running_w", "0x10", "Q001"),
        ("running_w", "99999999", "Q002"),
        ("running_w", "1.2.3", "Q001"),
        ("running_w", "1,2,3", "Q001"),
        ("running_w", "12,34,567", "Q001"),
        ("running_w", "++5", "Q001"),
        ("running_w", "5W6", "Q001"),
        ("running_w", "(5)", "Q001"),
        ("running_w", "=1+1", "Q001"),
        ("running_w", "true", "Q001"),
        ("running_w", "1" + "0" * 20, "Q002"),
        ("running_w", "60 A @ 5000 V", "Q002"),
        ("running_w", "°", "Q001"),
        ("running_w", "500 ½ ½", "Q001"),
        ("running_w", "1/0", "Q001"),
        ("running_w", ".", "Q001"),
        ("running_w", ",", "Q001"),
        ("running_w", "e5", "Q001"),
        ("hours_per_day", "30 h", "Q002"),
        ("hours_per_day", "25:00", "Q002"),
        ("hours_per_day", "1:75", "Q001"),
        ("hours_per_day", "1500 min", "Q002"),
        ("hours_per_day", "13 pm - 14 pm", "Q001"),
        ("hours_per_day", "-1", "Q002"),
        ("hours_per_day", "often", "Q001"),
        ("hours_per_day", "8-10", "Q001"),
        ("hours_per_day", "5 days", "Q006"),
        ("starts_at", "25:00", "Q001"),
        ("starts_at", "99", "Q002"),
        ("starts_at", "13 pm", "Q001"),
        ("starts_at", "dusk", "Q001"),
        ("duty", "35", "Q002"),
        ("duty", "-5 %", "Q002"),
        ("duty", "120 %", "Q002"),
        ("duty", "half", "Q001"),
        ("quantity", "2.5", "Q008"),
        ("quantity", "-1", "Q002"),
        ("quantity", "two", "Q001"),
        ("quantity", "1000", "Q002"),
        ("measured_wh_per_day", "340 kWh", "Q011"),
        ("measured_wh_per_day", "340 kW", "Q006"),
        ("power_factor", "0", "Q002"),
        ("power_factor", "1.2", "Q002"),
        ("gap_ms", "1 year", "Q006"),
    ]
    for number, (column, text, code) in enumerate(bad):
        yield case(f"refuse {number} {column} {text[:20]}", _one(column, text), errors=code)


def _marks() -> Iterator[Example]:
    """The decimal mark is decided by the file or refused, never guessed."""
    head = "name;running_w;hours_per_day\n"
    yield case("mark undecided", head + "A;1,200;5\n", errors="Q003")
    yield case("mark undecided point", head + "A;1.200;5\n", errors="Q003")
    yield case("mark by other row, comma", head + "A;1,200;5\nB;7,5;2\n", values={"loads.0.running_w": 1.2})
    yield case("mark by other row, point", head + "A;1,200;5\nB;7.5;2\n", values={"loads.0.running_w": 1200})
    yield case("mark by thousands", head + "A;1.200;5\nB;1.200,50;2\n", values={"loads.0.running_w": 1200})
    yield case(
        "mark by bounds", head + "A;1.200;1.500\n", values={"loads.0.running_w": 1.2, "loads.0.hours_per_day": 1.5}
    )
    yield case("mark by leading zero", head + "A;1,200;0,125\n", values={"loads.0.hours_per_day": 0.125})
    yield case("marks in conflict", head + "A;1,200;5\nB;7,5;2\nC;7.5;2\n", errors="Q003 Q004")
    yield case("marks in conflict, none in doubt", head + "B;7,5;2\nC;7.5;2\n", errors="Q004")
    yield case(
        "mark of each file its own",
        head + "A;7,5;5\n",
        "name,storage_wh,continuous_w,surge_w\nU,2048.5,2400,4800\n",
        values={"loads.0.running_w": 7.5, "candidates.0.storage_wh": 2048.5},
    )
    yield case("comma decimals unquoted", "name,running_w,hours_per_day\nA,7,5,2,5\n", errors="C006")


def _choices() -> Iterator[Example]:
    good = [
        ("tier", "CRITICAL", "critical"),
        ("tier", "must-have", "critical"),
        ("tier", "nice to have", "convenience"),
        ("basis", "nameplate", "label"),
        ("basis", "Measured", "metered"),
        ("feed", "115", "120 V"),
        ("feed", "115 VAC", "120 V"),
        ("feed", "12V", "12 V DC"),
        ("feed", "12VDC", "12 V DC"),
        ("feed", "230", "230 V"),
        ("feed", "240 V AC", "240 V"),
        ("feed", "usb-c", "USB"),
        ("feed", "110 volts", "120 V"),
        ("feed", "mains", None),
    ]
    for column, text, value in good:
        yield case(f"choice {column} {text}", _one(column, text), values={f"loads.0.{column}": value})
    yield case(
        "tiers of another scale",
        "name,watts,hours,priority\nA,9,5,1\nB,9,5,3\nC,9,5,2\n",
        said="Q025",
        values={"loads.0.tier": "critical", "loads.1.tier": "convenience", "loads.2.tier": "essential"},
    )
    for column, text in [
        ("tier", "vip"),
        ("tier", "1"),
        ("feed", "DC"),
        ("feed", "400 V"),
        ("feed", "120/240"),
        ("basis", "sworn"),
    ]:
        yield case(f"no choice {column} {text}", _one(column, text), errors="Q007")
    yield case("feed in a range", _one("feed", "220-240 V"), said="Q026", values={"loads.0.feed": "230 V"})
    yield case("220 V undecided", _one("feed", "220 V"), errors="Q018")
    yield case(
        "220 V in a 230 V house",
        _one("feed", "220 V"),
        toml='[sizing]\nfeed = "230 V"\n',
        said="Q017",
        values={"loads.0.feed": "230 V"},
    )
    yield case(
        "220 V in a 120 V house",
        _one("feed", "220 V"),
        toml='[sizing]\nfeed = "120 V"\n',
        values={"loads.0.feed": "240 V"},
    )
    yield case(
        "feed from amps at volts",
        _one("running_w", "5 A @ 240 V"),
        values={"loads.0.feed": "240 V", "loads.0.running_w": 1200},
    )
    yield case("amps on 12 V DC", "name,amps,volts,hours_per_day\nFan,2,12,5\n", values={"loads.0.running_w": 24})


def _candidates() -> Iterator[Example]:
    def unit(column: str, text: str) -> str:
        base = {"name": "U", "storage_wh": "2048", "continuous_w": "2400", "surge_w": "4800"}
        base[column] = text
        return "\t".join(base) + "\n" + "\t".join(base.values()) + "\n"

    good: list[tuple[str, str, float]] = [
        ("storage_wh", "2.05 kWh", 2050),
        ("storage_wh", "160Ah @ 12.8V", 2048),
        ("storage_wh", "12.8 V 160 Ah", 2048),
        ("storage_wh", "3000 mAh @ 3.7 V", 11.1),
        ("weight_kg", "50 lb", 22.6796185),
        ("weight_kg", "22,7 kg", 22.7),
        ("charge_min_c", "32 °F", 0),
        ("charge_min_c", "−10 °C", -10),
        ("charge_min_c", "-4F", -20),
        ("ac_volts", "120 V", 120),
        ("ac_volts", "110", 120),
        ("cycles", "3500+ cycles", 3500),
        ("cycles", "≥ 3500", 3500),
        ("transfer_ms", "< 20 ms", 20),
        ("price", "$1,299.00", 1299),
        ("price", "1 299 $", 1299),
        ("price", "USD 1299.5", 1299.5),
        ("warranty_years", "60 months", 5),
        ("noise_db", "<50 dB(A)", 50),
        ("usable_share", "95 %", 0.95),
        ("pv_max_a", "15A", 15),
    ]
    for column, text, value in good:
        yield case(f"unit {column} {text}", units=unit(column, text), values={f"candidates.0.{column}": value})
    yield case(
        "unit two voltages",
        units=unit("ac_volts", "120/240 V"),
        values={"candidates.0.ac_volts": 120, "candidates.0.ac_volts_2": 240},
    )
    yield case("unit depth of discharge", units=unit("DoD", "90 %"), values={"candidates.0.usable_share": 0.9})
    yield case(
        "unit amp-hours and volts",
        units="name,Ah,battery_v,continuous_w,surge_w\nU,160,12.8,2400,4800\n",
        said="L005",
        values={"candidates.0.storage_wh": 2048},
    )
    yield case(
        "unit header kWh",
        units="Model,Capacity (kWh),Continuous (kW),Surge (kW)\nU,2.048,2.4,4.8\n",
        said="C011",
        values={"candidates.0.storage_wh": 2048, "candidates.0.surge_w": 4800},
    )
    yield case(
        "unit va beside watts",
        units="Model,Storage (Wh),Continuous output (W),Continuous output (VA),Surge\nU,1,2,3,400\n",
        values={"candidates.0.continuous_w": 2, "candidates.0.continuous_va": 3},
    )
    yield case("unit AC output bare", units="Model,Wh,AC output,Surge\nU,1,2,3\n", errors="C010 C016")
    yield case("unit AC output aside", units="Model,Wh,AC output (rated),Surge\nU,1,2,3\n", errors="C003 C010")
    for head, cell, field, value in [
        ("AC output (W)", "2", "continuous_w", 2),
        ("AC output [kW]", "2", "continuous_w", 2000),
        ("AC output (VA)", "700", "continuous_va", 700),
        ("AC output (V)", "240", "ac_volts", 240),
        ("AC output (VAC)", "120/240", "ac_volts_2", 240),
        ("AC voltage (V)", "240", "ac_volts", 240),
        ("Second AC voltage (V)", "240", "ac_volts_2", 240),
        ("Continuous apparent output (VA)", "700", "continuous_va", 700),
    ]:
        watts, power = ("", "") if field == "continuous_w" else (",Continuous output (W)", ",5")
        yield case(
            f"unit head {head}",
            units=f"Model,Storage (Wh),Surge (W),{head}{watts}\nU,1,3000,{cell}{power}\n",
            values={f"candidates.0.{field}": value},
        )
    bad = [
        ("storage_wh", "100 Ah", "Q012"),
        ("continuous_w", "3 kVA", "Q006"),
        ("price", "€ 99", "Q013"),
        ("price", "99 apples", "Q001"),
        ("ac_volts", "120/208/240", "Q001"),
        ("ac_volts", "12", "Q002"),
        ("ac_volts", "220", "Q018"),
        ("weight_kg", "5 stone", "Q001"),
        ("charge_min_c", "-80 °F", "Q002"),
        ("packs_max", "1.5", "Q008"),
        ("storage_wh", "2 GWh", "Q001"),
        ("cycles", "many", "Q001"),
    ]
    for column, text, code in bad:
        yield case(f"unit refuse {column} {text}", units=unit(column, text), errors=code)
    for text in ("12-60 V", "12 V to 60V", "12 – 60", "12~60V"):
        yield case(
            f"unit solar window {text}",
            units=unit("PV voltage range", text),
            values={"candidates.0.pv_min_v": 12, "candidates.0.pv_max_v": 60},
        )
    for text in ("60 V", "60-12 V", "12-60-90", "12-6000 V", "12-x"):
        yield case(f"unit solar window refused {text}", units=unit("PV voltage", text), errors="Q001")
    yield case("unit without surge column", units="name,storage_wh,continuous_w\nU,1,2\n", errors="C010")
    yield case("unit without surge value", units="name,storage_wh,continuous_w,surge_w\nU,1,2,\n", errors="R001")
    yield case("unit ah without volts", units="name,Ah,continuous_w,surge_w\nU,100,2,3\n", errors="Q012 R001")
    yield case(
        "unit ah against wh",
        units="name,Ah,battery_v,storage_wh,continuous_w,surge_w\nU,100,12,5000,2,3\n",
        errors="L004",
    )


def _text() -> Iterator[Example]:
    for number, (typed, kept) in enumerate(
        [
            ("=HYPERLINK(1)", "=HYPERLINK(1)"),
            ("+1+1", "+1+1"),
            ("-2", "-2"),
            ("@SUM(A1)", "@SUM(A1)"),
            ("{=1}", "{=1}"),
            ("=cmd|'/C calc'!A0", "=cmd|'/C calc'!A0"),
            ("[/foo]", "[/foo]"),
            ("Cafe\u0301", "Café"),
            ("👩\u200d🔧 tools", "👩\u200d🔧 tools"),
            ("%s%n", "%s%n"),
            ("</t></si>", "</t></si>"),
            ("_x000D_", "_x000D_"),
            ("12", "12"),
        ]
    ):
        yield case(f"name kept {number}", _one("name", typed), values={"loads.0.name": kept})
    for number, (typed, kept) in enumerate(
        [
            ("a\u202egnp.exe", "agnp.exe"),
            ("\x1b]0;evil\x07x", "]0;evilx"),
            ("a\u200bb", "ab"),
            ("\x9b31mred", "31mred"),
            ("x\ufeffy", "xy"),
            ("a\u2066b\u2069", "ab"),
            ("\ufffe!", "!"),
        ]
    ):
        yield case(f"name cleaned {number}", _one("name", typed), said="Q019", values={"loads.0.name": kept})
    yield case("name tab in quotes", 'name,running_w,hours_per_day\n"\t=1+1",10,5\n', values={"loads.0.name": "=1+1"})
    yield case("name too long", _one("name", "x" * 40_000), said="Q020", values={"loads.0.name": "x" * 32_000})
    yield case("name of only controls", _one("name", "\u202e\u200b"), errors="R001", said="Q019")


def examples() -> Iterator[Example]:
    """Every case of this file."""
    yield from _quantities()
    yield from _refused_quantities()
    yield from _marks()
    yield from _choices()
    yield from _candidates()
    yield from _text()
