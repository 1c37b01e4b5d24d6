"""Case files and folders: TOML, settings, file names and links."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
from example import CASE, LOADS, UNITS, Example, as_bytes, case


def _toml() -> Iterator[Example]:
    def only(
        name: str, data: bytes | str, errors: str = "", said: str = "", values: dict[str, Any] | None = None
    ) -> Example:
        return Example(
            name, {"case.toml": as_bytes(data)}, frozenset(errors.split()), frozenset(said.split()), values or {}
        )

    inline = (
        CASE.decode() + '[[loads]]\nname = "Lamp"\nrunning_w = "0.01 kW"\nhours_per_day = 5\n'
        '[[candidates]]\nname = "U"\nstorage_wh = 2048\ncontinuous_w = 2400\nsurge_w = 4800\n'
    )
    yield only("inline", inline, said="Q005", values={"loads.0.running_w": 10, "candidates.0.storage_wh": 2048})
    yield only("inline with a mark", b"\xef\xbb\xbf" + inline.encode(), values={"loads.0.running_w": 10})
    yield only("toml broken", "[about\n", "T001")
    yield only("toml quote", 'title = "x\n', "T001")
    yield only("toml bare unit", "[array]\npower_w = 400 W\n", "T001")
    yield only("toml twice", "[about]\n[about]\n", "T001")
    yield only("toml deep", "a = " + "[" * 600 + "]" * 600, "T002")
    yield only("toml dotted key", ".".join(["a"] * 20_000) + " = 1\n", "T002")
    yield only("toml dotted key in quotes", '"a".' * 60_000 + '"a" = 1\n', "T002")
    yield only("toml dotted table", "[" + ".".join("a" * 20_000) + "]\n", "T002")
    yield only("toml long number in hex", "schema = 0x" + "f" * 10_000 + "\n", "T006")
    yield only("toml long number in a list", "[about]\ntitle = [0x" + "f" * 10_000 + "]\n", "Q009")
    yield only("toml many keys", "".join(f"k{n} = 1\n" for n in range(20_000)), "T004")
    yield only("toml many keys in a part", "[about]\n" + "".join(f"k{n} = 1\n" for n in range(20_000)), "T003")
    yield only("toml many rows", "[[loads]]\n" * 20_000, "R001 T007")
    yield only("toml many days", "[[days]]\nx = 1\n" * 10_000, "T003 T007")
    yield only("toml long word", "x" * 200_000 + " = 1\n", "T004")
    yield only("toml long string", 'a = "' + "b." * 100_000 + '"\n', "T002")
    yield only("toml quotes", '"' * 200_000, "T001")
    yield only("toml large", "# " + "x" * 300_000, "T002")
    yield only("toml digits", "[array]\nmodules = " + "9" * 5000, "T001")
    yield only("toml cp1252", '[about]\ntitle = "Hütte"\n'.encode("cp1252"), "F006")
    yield only("toml zeros", b"\x00" * 100, "T001")
    yield only("toml empty", b"", said="A014 A015")
    yield only("shown, spelt otherwise", inline + '[outage]\ncandidate = "u."\n', said="Q005 Q027")
    yield only("toml escaped path", 'loads = "C:\\temp\\new.csv"\n', "F007")
    yield only("unknown part", "[abuot]\ntitle = 'x'\n", "T004")
    yield only("unknown key", "[about]\ntitel = 'x'\n", "T003")
    yield only("unknown key of a load", '[[loads]]\nname = "A"\nwatt = 5\n', "R001 T003")
    yield only("section as value", "about = 5\n", "T005")
    yield only("section as list", "[[about]]\n", "T005")
    yield only("loads as table", "[loads]\nname = 'x'\n", "T005")
    yield only("loads as number", "loads = 5\n", "T005")
    yield only("loads as list of numbers", "loads = [1, 2]\n", "T005")
    yield only("days as table", "[days]\nsky = 1\n", "T005")
    yield only("monthly as value", "monthly = 1\n", "T005")
    yield only("schema of tomorrow", 'schema = "holdover case 9"\n', "T006")
    yield only("typical as word", 'use_typical = "maybe"\n', "T005")
    yield only(
        "two names for one key",
        '[[loads]]\nname = "A"\nrunning_w = 5\nhours_per_day = 1\nvolts = 120\nfeed = "120 V"\n',
        "C004",
    )
    for name, value, code in [
        ("nan", "nan", "Q010"),
        ("inf", "-inf", "Q010"),
        ("huge", "1" + "0" * 400, "Q010"),
        ("true", "true", "Q009"),
        ("list", "[1]", "Q009"),
        ("date", "2024-01-01", "X006"),
        ("negative", "-1", "Q002"),
        ("1e308", "1e308", "Q010"),
        ("half", "1.5", "Q008"),
        ("text", '"many"', "Q001"),
        ("table", "{}", "Q009"),
    ]:
        yield only(f"toml number {name}", f"[array]\nmodules = {value}\n", code)
    yield only("toml name of a number", "[about]\ntitle = 12\n", values={"about.title": "12"})
    yield only("toml date as text", "[about]\ndate = 2024-05-01\n", values={"about.date": "2024-05-01"})
    yield only("toml title true", "[about]\ntitle = true\n", "Q009")
    yield only(
        "toml clock time", "[recharge]\n[outage]\ngenerator_from = 17:30:00\n", values={"outage.generator_from": 17.5}
    )


def _settings() -> Iterator[Example]:
    twelve = ", ".join(str(n / 2) for n in range(12))
    for name, toml, values in [
        ("percent", '[sizing]\nreserve = "15 %"\n', {"sizing.reserve": 0.15, "sizing.energy_margin": None}),
        ("fahrenheit", '[sizing]\nstorage_c = "68 °F"\n', {"sizing.storage_c": 20}),
        ("autonomy in hours", '[sizing]\nautonomy_days = "36 h"\n', {"sizing.autonomy_days": 1.5}),
        ("month name", '[sun]\nmonth = "Feb"\n', {"sun.month": 2}),
        ("latitude south", '[sun]\nlatitude_deg = "33.9° S"\n', {"sun.latitude_deg": -33.9}),
        ("facing by word", '[array]\nazimuth_deg = "south-west"\n', {"array.azimuth_deg": 225}),
        ("coefficient in percent", '[array]\nvoc_tempco = "-0.28 %/°C"\n', {"array.voc_tempco": -0.0028}),
        ("monthly", f"[monthly]\npeak_sun_hours = [{twelve}]\n", {"months.11.peak_sun_hours": 5.5}),
        ("months", "[[months]]\npeak_sun_hours = 2\n" * 12, {"months.0.peak_sun_hours": 2}),
        ("daily", "[daily]\nsky = [0.2, 1.0]\n", {"days.1.sky": 1}),
        ("days", '[[days]]\nsky = "20 %"\n', {"days.0.sky": 0.2}),
        (
            "points",
            "[[points]]\ntemperature_c = 0\ncapacity_share = 0.8\n[[points]]\ntemperature_c = 25\ncapacity_share = 1\n",
            {"points.0.capacity_share": 0.8},
        ),
        ("miles", '[vehicle]\ndistance = "40 mi"\n', {"vehicle.distance": 40, "vehicle.distance_unit": "mi"}),
        (
            "consumption unit",
            '[vehicle]\nconsumption_unit = "kwh/100 mi"\n',
            {"vehicle.consumption_unit": "kWh/100 mi"},
        ),
        (
            "delivery",
            '[[deliveries]]\nname = "Bike"\nenergy_wh = "0.5 kWh"\ntimes = 2\n',
            {"deliveries.0.energy_wh": 500},
        ),
        ("rank", '[money]\nrank_by = "Weighted Score"\n', {"money.rank_by": "weighted score"}),
        (
            "currency",
            '[about]\ncurrency = "€"\n[money]\naccessories_price = "99 EUR"\n',
            {"money.accessories_price": 99},
        ),
        ("nothing set", "", {"sizing.reserve": None, "about.title": None}),
    ]:
        yield case(f"setting {name}", toml=toml, values=values)
    for name, toml, errors in [
        ("11 months", "[[months]]\npeak_sun_hours = 2\n" * 11, "T007"),
        ("11 values", "[monthly]\npeak_sun_hours = [1, 2]\n", "T007"),
        ("monthly key", "[monthly]\nsun = [1]\n", "T003"),
        ("15 days", "[[days]]\nsky = 1\n" * 15, "T007"),
        ("15 skies", f"[daily]\nsky = {[1] * 15}\n", "T007"),
        ("9 points", "[[points]]\ntemperature_c = 1\ncapacity_share = 1\n" * 9, "T007 T008"),
        ("one point", "[[points]]\ntemperature_c = 1\ncapacity_share = 1\n", "T008"),
        ("no point", "points = []\n", "T008"),
        ("days twice", "[daily]\nsky = [1]\n[[days]]\nsky = 1\n", "F011"),
        ("7 deliveries", "[[deliveries]]\ntimes = 1\n" * 7, "T007"),
        ("word", '[sizing]\nstarting = "maybe"\n', "Q007"),
        ("feed", '[sizing]\nfeed = "12 V DC"\n', "Q007"),
        ("margin of 25", "[sizing]\nrunning_margin = 25\n", "Q002"),
        ("distance against unit", '[vehicle]\ndistance = "4 mi"\ndistance_unit = "km"\n', "L004"),
        ("month 13", "[sun]\nmonth = 13\n", "Q002"),
        ("month of nowhere", '[sun]\nmonth = "Ju"\n', "Q001"),
    ]:
        yield case(f"setting refused {name}", toml=toml, errors=errors)


def _files() -> Iterator[Example]:
    names = [
        "../loads.csv",
        "/etc/passwd",
        "\\\\\\\\host\\\\share\\\\x.csv",
        "//host/share/x.csv",
        "C:\\\\x.csv",
        "C:x.csv",
        "file:///etc/passwd",
        "https://example.org/x.csv",
        "NUL",
        "con.csv",
        "COM1.csv",
        "a/../../x.csv",
        "a\\\\..\\\\x.csv",
        "x\\u0000.csv",
        "x\\u202ecsv.exe",
        "\\u001b[2J.csv",
        "",
        " ",
        "~" + "x" * 300 + ".csv",
        "lpt1.csv ",
    ]
    for number, name in enumerate(names):
        yield case(f"path {number}", None, toml=f'loads = "{name}"\n', errors="F007")
    yield case(
        "path elsewhere in the folder",
        None,
        toml='loads = "survey/loads.csv"\n',
        **{"survey/loads__csv": LOADS},
        values={"loads.0.running_w": 10},
    )
    yield case("path that is not there", None, toml='loads = "nothing.csv"\n', errors="F009")
    yield case("path to itself", None, toml='loads = "case.toml"\n', errors="F003")
    yield case("path to a folder", None, toml='loads = "sub.csv"\n', errors="F003", **{"sub.csv/x": b""})
    yield case("path named", None, toml='loads = "mine.csv"\n', mine__csv=LOADS, values={"loads.0.running_w": 10})
    yield case("two files", toml="", errors="F008", loads__xlsx=b"PK")
    yield case("rows and file", toml='[[loads]]\nname = "A"\nrunning_w = 1\nhours_per_day = 1\n', errors="F011")

    def link_out(home: Path) -> None:
        (home.parent / "secret.csv").write_bytes(LOADS)
        (home / "loads.csv").symlink_to(home.parent / "secret.csv")

    def link_case(home: Path) -> None:
        (home.parent / "secret.toml").write_bytes(CASE)
        (home / "case.toml").unlink()
        (home / "case.toml").symlink_to(home.parent / "secret.toml")

    def link_loop(home: Path) -> None:
        (home / "loads.csv").symlink_to("loads.csv")

    def fifo(home: Path) -> None:
        os.mkfifo(home / "loads.csv")

    base = {"case.toml": CASE + b'loads = "loads.csv"\n', "candidates.csv": UNITS}
    yield Example("link out", base, frozenset({"F007"}), prepare=link_out)
    yield Example("link out, unnamed", base | {"case.toml": CASE}, frozenset({"F007"}), prepare=link_out)
    yield Example("link out, the case file", base, frozenset({"F007"}), prepare=link_case)
    yield Example("link loop", base, frozenset({"F007"}), prepare=link_loop)
    yield Example("pipe", base, frozenset({"F003"}), prepare=fifo)
    yield Example("no folder", {}, frozenset({"F001"}), entry="missing")
    yield Example("no case file", {"loads.csv": LOADS}, frozenset({"F002"}))
    yield Example("a table as case", {"loads.csv": LOADS}, frozenset({"F003"}), entry="loads.csv")
    yield Example(
        "case file itself", {"case.toml": CASE, "loads.csv": LOADS, "candidates.csv": UNITS}, entry="case.toml"
    )
    yield Example("case file is a folder", {"case.toml/x": b""}, frozenset({"F002"}))


def examples() -> Iterator[Example]:
    """Every case of this file."""
    yield from _toml()
    yield from _settings()
    yield from _files()
