"""Tables: CSV in every dress, headers, rows, and what an adviser would remark on."""

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from example import CASE, LOADS, UNITS, Example, case


def _csv() -> Iterator[Example]:
    text = "name,running_w,hours_per_day\nLüfter,10.5,5\n"
    values = {"loads.0.name": "Lüfter", "loads.0.running_w": 10.5}
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"):
        yield case(f"encoding {encoding}", text.encode(encoding), values=values)
    yield case("encoding cp1252", text.encode("cp1252"), said="F005", values=values)
    yield case("encoding none", b"name,running_w,hours_per_day\n\x81\x8d\x8f,1,2\n", errors="F006")
    yield case("zeros", b"name,running_w,hours_per_day\nA\x00B,1,2\n", errors="F006")
    yield case("noise", bytes(range(256)) * 8, errors="F006")
    for name, mark in (("semicolon", ";"), ("tab", "\t"), ("bar", "|")):
        yield case(f"delimiter {name}", text.replace(",", mark), values=values)
    for name, end in (("cr", "\r"), ("crlf", "\r\n")):
        yield case(f"line end {name}", text.replace("\n", end).encode(), values=values)
    yield case(
        "quoted line break",
        'name,running_w,hours_per_day\n"Pump\nwell",10,5\n',
        said="A001",
        values={"loads.0.name": "Pump well"},
    )
    yield case(
        "quoted delimiter",
        'name,running_w,hours_per_day\n"Pan, ""big""","1,200.5",5\n',
        values={"loads.0.name": 'Pan, "big"'},
    )
    yield case("open quote", 'name,running_w,hours_per_day\n"Pan,10,5\n', errors="C001")
    yield case("inch mark", 'name,running_w,hours_per_day\n"12" pipe",10,5\n', errors="C001")
    yield case("inch mark later", 'name,running_w,hours_per_day,note\nLamp,10,5,"12" pipe"\n', errors="C001")
    yield case("empty file", b"", errors="F012")
    yield case("blank file", b" \n\n\t\n", errors="F012")
    yield case("only a mark", b"\xef\xbb\xbf", errors="C002")
    yield case("header only", "name,running_w,hours_per_day\n", errors="C018")
    yield case("no header", "Lamp,10,5\nFan,20,6\n", errors="C002")
    yield case("prose", "Dear all,\nplease find below nothing.\n", errors="C002")
    yield case("one column", "name\nLamp\n", errors="C002")
    yield case(
        "title rows",
        "Survey of loads,,\nCabin,,\n,,\nname,running_w,hours_per_day\nLamp,10,5\n",
        said="C014",
        values={"loads.0.running_w": 10},
    )
    yield case(
        "sep line", "sep=;\nname;running_w;hours_per_day\nLamp;10;5\n", said="C014", values={"loads.0.running_w": 10}
    )
    yield case("short rows", "name,running_w,hours_per_day,note\nLamp,10,5\n", values={"loads.0.running_w": 10})
    yield case(
        "trailing delimiters",
        "name,running_w,hours_per_day,,,\nLamp,10,5,,,\n,,,,,\n",
        values={"loads.0.running_w": 10},
    )
    yield case("a workbook called csv", b"PK\x03\x04" + b"\x00" * 50, errors="X001")
    yield case("an old workbook", b"\xd0\xcf\x11\xe0" + b"\x00" * 600, errors="X001")


def _headers() -> Iterator[Example]:
    yield case(
        "trade headers",
        "Appliance,QTY.,Rated Power [kW],Surge (W),Hours/day,Duty %\nFan,2,0.2,400,5,50\n",
        said="C011",
        values={"loads.0.running_w": 200, "loads.0.starting_w": 400, "loads.0.duty": 0.5, "loads.0.quantity": 2},
    )
    yield case("amps header", "Item;Amps;Hours\nFan;2,5;5\n", said="L005", values={"loads.0.running_w": 300})
    yield case(
        "amps in brackets", "Item;Running (A);Hours\nFan;2,5;5\n", said="L005", values={"loads.0.running_w": 300}
    )
    yield case(
        "starting in va",
        "Item,Running (W),Starting [VA],Hours\nFan,200,900,5\n",
        said="L005",
        values={"loads.0.starting_w": 900},
    )
    yield case("minutes header", "Item,Watts,Minutes/day\nFan,200,90\n", values={"loads.0.hours_per_day": 1.5})
    yield case("units row", "Item,Power,Time on\n,kW,h\nFan,1.5,5\n", said="C011", values={"loads.0.running_w": 1500})
    yield case(
        "units row in amps", "Item,Power,Hours\n-,A,h\nFan,1.5,5\n", said="C011", values={"loads.0.running_w": 180}
    )
    yield case(
        "header order",
        "Hours/day,Notes,Watts,Load\n5,x,200,Fan\n",
        values={"loads.0.running_w": 200, "loads.0.note": "x"},
    )
    yield case("unknown column", "name,running_w,hours_per_day,Colour\nFan,200,5,red\n", errors="C003")
    yield case("misspelt column", "name,runing_w,hours_per_day\nFan,200,5\n", errors="C003 C010")
    yield case("two columns alike", "name,Watts,Power,hours\nFan,200,300,5\n", errors="C004")
    yield case("wrong unit", "name,Running (V),hours\nFan,200,5\n", errors="C012")
    yield case("energy column", "name,Watts,hours,kWh/day\nFan,200,5,1\n", errors="C016")
    yield case(
        "aside in brackets", "name,Watts (see plate),hours\nFan,200,5\n", said="C017", values={"loads.0.running_w": 200}
    )
    yield case("aside that is known", "name,Watts (each),hours\nFan,200,5\n", values={"loads.0.running_w": 200})
    yield case(
        "header in two languages",
        "Gerät / Appliance,Leistung / Power,hours\nFan,200,5\n",
        values={"loads.0.running_w": 200},
    )
    yield case("header of two meanings", "name,Qty,Watts / Hours\nFan,1,200\n", errors="C003 C010")
    yield case("horsepower column", "name,Watts,hours,HP\nFan,200,5,1\n", errors="C016")
    yield case("hours a week", "name,Watts,Hours/week\nFan,200,5\n", errors="C010 C016")
    yield case("row numbers", "#,name,Watts,hours\n1,Fan,200,5\n", said="C015", values={"loads.0.running_w": 200})
    yield case("no. that counts", "Item;No.;Power;Hours\nLamp;14;9;5\nFan;2;50;5\nTV;3;90;5\n", errors="C019")
    yield case("no header over values", "name,Watts,,hours\nFan,200,x,5\n", errors="C005")
    yield case("beyond the header", "name,Watts,hours\nFan,200,5,6\n", errors="C006")
    yield case("no watts", "name,hours\nFan,5\n", errors="C010")
    yield case("no hours", "name,watts\nFan,5\n", errors="C010")
    yield case(
        "shares under %", "name,Watts,hours,Duty (%)\nA,200,5,0.35\nB,20,5,1\n", said="Q021", values={"loads.1.duty": 1}
    )
    yield case("share among %", "name,Watts,hours,Duty (%)\nA,200,5,0.35\nB,20,5,50\n", errors="Q022")
    yield case("watts and va", "name,W,VA,hours\nA,80,100,5\n", said="L005", values={"loads.0.power_factor": 0.8})
    yield case(
        "starting amps with power factor",
        "name,W,PF,Starting amps,hours\nA,100,0.8,10,5\n",
        said="L005",
        values={"loads.0.starting_w": 1200},
    )
    yield case("va with power factor", "name,VA,PF,hours\nA,100,0.8,5\n", said="L005", values={"loads.0.running_w": 80})
    yield case("watts against amps", "name,W,Amps,PF,hours\nA,500,1,1,5\n", errors="L004")
    yield case("watts within amps", "name,W,Amps,hours\nA,80,1,5\n", values={"loads.0.running_w": 80})
    yield case(
        "starting adds",
        "name,W,Additional starting watts,hours\nFridge,800,2300,8\n",
        said="L005",
        values={"loads.0.starting_w": 3100},
    )
    yield case("starting adds to nothing", "name,Metered (Wh/day),starting_adds_w\nFridge,800,2300\n", errors="L004")
    yield case("starting twice", "name,W,starting_w,starting_adds_w,hours\nA,800,900,2300,8\n", errors="L004")
    yield case(
        "from and until",
        "name,W,From,Until\nTV,80,18:00,22:30\n",
        said="L005",
        values={"loads.0.hours_per_day": 4.5, "loads.0.starts_at": 18},
    )
    yield case("until without from", "name,W,Until\nTV,80,22:30\n", errors="L006 R001")
    yield case("hours against times", "name,W,Hours,From,Until\nTV,80,2,18:00,22:30\n", errors="L004")
    yield case("start twice", "name,W,Hours,From\nTV,80,18:00-22:00,17:00\n", errors="L004")
    yield case("count twice", "name,Qty,W,Hours\nTV,3,2 x 60 W,5\n", errors="L004")


def _rows() -> Iterator[Example]:
    head = "name,quantity,running_w,hours_per_day\n"
    yield case("total row", head + "A,1,100,5\nB,2,50,5\nTotal,3,150,\n", said="C008", values={"loads.1.quantity": 2})
    yield case("total of quantity times watts", head + "A,1,100,5\nB,2,50,5\nTotal,,200,\n", said="C008")
    yield case("total of mixed units", head + "A,1,1.5 kW,5\nB,2,2 x 50 W,5\nTotal,,1600,\n", said="C008")
    yield case("total in kilowatts", head + "A,1,1500,5\nB,1,50,5\nTotal,,1.55 kW,\n", said="C008")
    yield case(
        "subtotals", head + "A,1,100,5\nSubtotal,,100,\nB,2,50,5\nSub-total,,50,\nGrand total,,150,\n", said="C008"
    )
    yield case("total that is none", head + "A,1,100,5\nB,2,50,5\nTotal,,777,\n", errors="C009")
    yield case(
        "total under another column", "place,name,running_w,hours_per_day\nHall,A,100,5\nTOTAL,,100,\n", said="C008"
    )
    yield case("footnote", head + "A,1,100,5\n* without kitchen,,,\n", said="C020", values={"loads.0.name": "A"})
    yield case("header again", head + "A,1,100,5\n" + head + "B,2,50,5\n", said="C013", values={"loads.1.name": "B"})
    yield case("missing name", head + ",1,100,5\n", errors="R001")
    yield case("missing watts", head + "A,1,,5\n", errors="R001")
    yield case("missing hours", head + "A,1,100,\n", errors="R001")
    yield case(
        "metered only",
        "name,Metered (kWh/year)\nFridge,340\n",
        said="A005",
        values={"loads.0.measured_wh_per_day": 340_000 / 365},
    )
    yield case("many findings", head + "".join(f"L{n},x,y,z\n" for n in range(200)), errors="Q001")


def _advice() -> Iterator[Example]:
    """What an adviser would remark on, each said and the case still read."""
    head = "name,running_w,starting_w,hours_per_day,duty,tier,measured_wh_per_day,feed\n"
    for name, row, code in [
        ("motor", "Well pump,750,,1,,,,", "A001"),
        ("start below running", "Fan,750,300,1,,,,", "A002"),
        ("cycling", "Fridge,150,600,24,,,,", "A003"),
        ("metered", "Fridge,150,600,24,0.33,,3000,", "A004"),
        ("metered only", "Fridge,,,,,,900,", "A005"),
        ("medical", "CPAP machine,60,,8,,,,", "A006"),
        ("heater over power", "Space heater,3000,,1,,,,", "A007"),
        ("heater over energy", "Kettle,1500,,3,,,,", "A007"),
        ("voltage", "Range hood,100,,1,,,,240 V", "A008"),
        ("voltage in the name", "Well pump 230V,100,400,1,,,,", "A025"),
    ]:
        yield case(f"advice {name}", head + row + "\n", said=code)
    yield case("advice kilo load", "name,W,h\nMicrowave,1.5,1\n", said="A024", values={"loads.0.running_w": 1.5})
    yield case("advice kilo unit", units=UNITS.replace(b"2400", b"2.4"), said="A024")
    yield case("kilo load", "Item;Power;Hours\nMicrowave;1.5;1\n", errors="Q023")
    yield case("kilo unit", units="Candidate;Capacity;Continuous;Surge\nU;2;2;4\n", errors="Q023")
    yield case("kilo column", "Item;Power;Hours\nA;1.5;1\nB;0.2;2\nC;12;5\n", said="Q024")
    heads = "name,storage_wh,continuous_w,surge_w"
    for name, columns, row, code in [
        ("heavy", "weight_kg", "40", "A009"),
        ("heavy pack", "pack_weight_kg", "40", "A009"),
        ("surge", "note", "", "A011"),
        ("packs", "packs_max", "3", "A011"),
        ("pack", "pack_wh", "1000", "A011"),
        ("fixed packs", "packs", "3", "A011"),
        ("solar", "pv_inputs,pv_input_w,pv_total_w", "2,200,500", "A011"),
        ("window", "pv_min_v,pv_max_v", "60,12", "A011"),
        ("isc", "pv_max_a,pv_max_isc_a", "15,10", "A011"),
        ("va", "continuous_va", "2000", "A011"),
    ]:
        surge = 2000 if name == "surge" else 4800
        yield case(f"advice {name}", units=f"{heads},{columns}\nU,2048,2400,{surge},{row}\n", said=code)
    yield case(
        "advice near voltage",
        units="name,storage_wh,continuous_w,surge_w,ac_volts\nU,2048,2400,4800,240\n",
        toml='[sizing]\nfeed = "230 V"\n',
        said="A026",
    )
    yield case(
        "advice no inputs", units="name,storage_wh,continuous_w,surge_w,pv_max_v\nU,2048,2400,4800,60\n", said="A027"
    )
    yield case("advice no ports", "name,watts,hours,feed\nLamp,9,5,USB\n", said="A028")
    yield case("advice no charging", toml="[recharge]\ngenerator_w = 900\n", said="A030 A031")
    yield case("advice no generator", toml="[outage]\ngenerator_hours = 2\n", said="A030 A031")
    yield case("advice cold", toml="[sizing]\nstorage_c = -5\n", said="A010")
    yield case("advice twins", LOADS + b"lamp ,10,5\n", said="A012")
    yield case("advice twin units", units=UNITS + b"UNIT A,1,2,3\n", said="A013")
    yield case("advice nothing", None, None, said="A014 A015")
    yield case("advice outage", toml='[outage]\ncandidate = "Unit Z"\n', said="A016")
    yield case("advice shedding", toml="[outage]\ndrop_convenience_at = 0.2\n", said="A021")
    yield case("advice very cold", toml="[sizing]\nstorage_c = -21\n", said="A010 A022")
    yield case("advice hot", toml="[sizing]\nstorage_c = 46\n", said="A022")
    yield case("advice charger", toml='[sizing]\nfeed = "230 V"\n[vehicle]\ndistance = 20\n', said="A023")
    yield from _solar_advice()


def _solar_advice() -> Iterator[Example]:
    array = (
        "[array]\nmodules = 2\npower_w = 390\nvoc_v = 37.2\nvmp_v = 30.9\nisc_a = 13.6\nimp_a = 12.7\n"
        "voc_tempco = -0.0027\n"
    )
    sky = f"[monthly]\npeak_sun_hours = {[3] * 12}\n[sun]\ncoldest_c = -20\n"
    yield case("advice no latitude", toml=array + sky, errors="A017")
    yield case("advice no sun", toml=f"{array}[sun]\nlatitude_deg = 40\ncoldest_c = -20\n", said="A018")
    dark = "global_kwh = [1,1,1,1,1,1,1,1,1,1,1,1]\n"
    yield case(
        "advice sun at night",
        toml=f'{array}[sun]\nlatitude_deg = 75\ncoldest_c = -40\nresource = "global irradiation"\n[monthly]\n{dark}',
        said="A033",
    )
    yield case("advice facing", toml=f"{array}azimuth_deg = 0\n{sky}latitude_deg = 40\n", said="A019")
    yield case("advice facing south of the line", toml=f"{array}{sky}latitude_deg = -40\n", said="A019")
    yield case("advice bare modules", toml=f"[array]\nmodules = 2\n{sky}latitude_deg = 40\n", errors="A020")
    for line in array.splitlines()[2:]:
        name = line.split()[0]
        yield case(f"advice no {name}", toml=array.replace(line, "") + sky + "latitude_deg = 40\n", errors="A020")
    yield case("advice no coldest_c", toml=array + sky.replace("coldest_c = -20", "latitude_deg = 40"), errors="A020")
    inputs = "name,storage_wh,continuous_w,surge_w,pv_inputs,pv_max_v,pv_max_a\nU,2048,2400,4800,1,60,15\n"
    yield case("advice silent inputs", units=inputs, toml=f"{array}{sky}latitude_deg = 40\n", said="A029 A032")
    yield case("advice no modules", toml="[array]\nmodules = 0\n", values={"array.modules": 0})


def _large() -> Iterator[Example]:
    head = b"name,running_w,hours_per_day\n"
    yield case("500 loads", head + b"".join(b"L%d,10,5\n" % n for n in range(500)), values={"loads.499.name": "L499"})
    yield case("501 loads", head + b"".join(b"L%d,10,5\n" % n for n in range(501)), errors="R002")
    yield case("5001 rows", head + b"".join(b"L%d,10,5\n" % n for n in range(5001)), errors="C007")
    yield case("100000 rows", head + b"L,10,5\n" * 100_000, errors="C007")
    yield case(
        "41 candidates",
        units=b"name,storage_wh,continuous_w,surge_w\n" + b"".join(b"U%d,1,2,3\n" % n for n in range(41)),
        errors="R002",
    )
    yield case("totals without end", head + b"L,10.5 W,5\nTotal,7777 W,\n" * 2400, errors="C009 R002")
    yield case("19 MB", head + b"L,10,5\n" * 2_700_000, errors="C007")
    yield case("a long row", head + b"L,10,5" + b",9" * 45_000 + b"\n", errors="C006")
    yield case("values beyond, many", head + (b"L,10,5" + b",9" * 1000 + b"\n") * 1000, errors="C006 R002")
    yield case("21 MB", head + b"L,10,5\n" * 3_000_001, errors="F004")
    yield case(
        "wide", b"name,running_w,hours_per_day" + b"," * 10_000 + b"\nL,10,5\n", values={"loads.0.running_w": 10}
    )
    yield case("one long line", b"x" * 1_000_000, errors="C001")
    yield case("one long field", head + b"A," + b"9" * 140_000 + b",5\n", errors="C001")
    yield case("delimiters only", b"," * 100_000, errors="C002")
    yield case("quotes only", b'"' * 99_999, errors="C001")
    yield case("breaks only", b"\n" * 100_000 + LOADS, values={"loads.0.running_w": 10})


def _typical() -> Iterator[Example]:
    head = "name,running_w,hours_per_day\n"
    yield case("typical", head + "Kitchen fridge,,24\n", toml="", errors="R001")
    yield Example(
        "typical taken",
        {
            "case.toml": CASE + b"use_typical = true\n",
            "loads.csv": (head + "Kitchen fridge,,24\n").encode(),
            "candidates.csv": UNITS,
        },
        said=frozenset({"L007"}),
        values={"loads.0.running_w": 500, "loads.0.starting_w": 2000, "loads.0.duty": 0.33, "loads.0.basis": "typical"},
    )
    yield Example(
        "typical unknown",
        {
            "case.toml": CASE + b"use_typical = true\n",
            "loads.csv": (head + "Flux capacitor,,24\n").encode(),
            "candidates.csv": UNITS,
        },
        frozenset({"R001"}),
    )
    yield Example(
        "typical not over own figures",
        {
            "case.toml": CASE + b"use_typical = true\n",
            "loads.csv": (head + "Fridge,90,24\n").encode(),
            "candidates.csv": UNITS,
        },
        values={"loads.0.running_w": 90, "loads.0.basis": None},
    )


def examples() -> Iterator[Example]:
    """Every case of this file."""
    yield from _csv()
    yield from _headers()
    yield from _rows()
    yield from _advice()
    yield from _large()
    yield from _typical()
