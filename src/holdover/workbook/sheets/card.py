"""The card for the refrigerator door: one portrait page, read from a metre away; and the arithmetic behind it."""

from dataclasses import replace

from holdover.case.measure import us_first
from holdover.case.papers import Calls
from holdover.model.demand import TIERS
from holdover.model.pages.door_card import FOOD as KEEPS
from holdover.model.pages.door_card import FUEL_UNKNOWN, GALLON_L, HEADS, LONG_NAME, MEDICINE, OUTDOORS, ROADSIDE, ROOM
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet
from holdover.workbook.sheets.offer import HALF, NAME, WIDE, sentence
from holdover.workbook.sheets.outage.field import clock_words, of_shown, trips_unless

READINGS = range(1, 5)
"""Readings of the display in a day."""
_DAY, _A, _B = 16, 6, 4
"""Narrow columns of a day's name, and of what list A and list B take at a reading."""

# The arithmetic

SWITCH = Table(
    "switch",
    "The order of switching off",
    "door_card.switches",
    (
        Column(
            "words",
            "Load",
            formula=f'=IF({{load.name[same]}}="","Line "&{{line.number[same]}},LEFT({{load.name[same]}},{LONG_NAME}))'
            f'&IF(LEN({{load.name[same]}}&{{load.place[same]}})>{LONG_NAME},"",IF({{load.place[same]}}="","",", "&{{load.place[same]}}))',
            width=40,
        ),
        Column("energy_wh", "Energy a day", "Wh", formula="=ROUND({load.energy_wh[same]},6)", role="quiet"),
        Column(
            "first",
            "Leads its list (1 = yes)",
            "number",
            formula='=IF(AND({energy_wh}>0,{line.critical_gap_ms[same]}<>""),1,0)',
            role="quiet",
        ),
        Column(
            "key",
            "Tier and place in it",
            formula='=IF({energy_wh}<=0,"",{line.tier[same]}&" "&(1'
            "+SUMPRODUCT(({line.tier}={line.tier[same]})*({switch.first}>{first}))"
            "+SUMPRODUCT(({line.tier}={line.tier[same]})*({switch.first}={first})*({switch.energy_wh}>{energy_wh}))"
            "+SUMPRODUCT(({line.tier}={line.tier[same]})*({switch.first}={first})*({switch.energy_wh}={energy_wh})"
            "*({line.number}<{line.number[same]}))))",
            width=18,
        ),
    ),
    note="What uses most in a day is switched off first. A critical load with a stated gap leads the list of what is never off.",
)


def _reading(n: int) -> Column:
    """A reading; one that repeats an earlier one is blank."""
    hour = f"{{outage.reading_{n}}}"
    again = ",".join(f"{hour}={{outage.reading_{i}}}" for i in range(1, n))
    formula = f'=IF(OR({again}),"",{hour})' if again else f"={hour}"
    return Column(f"reading_{n}", f"Reading {n}", "o'clock", path=f"readings.{n - 1}.clock", formula=formula)


DOOR = Table(
    "door",
    "Readings and lists",
    "door_card",
    (
        *map(_reading, READINGS),
        *(
            Column(
                f"clock_{n}",
                f"Reading {n} of a day",
                "o'clock",
                path=f"clocks.{n - 1}",
                formula=f'=IF(COUNT({{door.readings}})<{n},"",SMALL({{door.readings}},{n}))',
            )
            for n in READINGS
        ),
        *(
            Column(
                tier,
                f"{tier.capitalize()} loads",
                "number",
                path=f"counts.{i}",
                formula=f'=SUMPRODUCT(({{line.tier}}="{tier}")*({{switch.energy_wh}}>0))',
            )
            for i, tier in enumerate(TIERS)
        ),
    ),
    kind="across",
    spans=(("readings", "reading_1", "reading_4"),),
    widths={"title": 40, "unit": 9, "record": 18},
)

# The page

_DAYS = '{plan.days}&" days"'
_BEGINS = 'TEXT({outage.starts_at},"00")&":00"'
_PURPOSE = (
    f'="For "&{{decision.stretch}}&", from "&{_BEGINS}&" on day 1."'
    '&IF({about.prepared_by}="",""," "&{about.prepared_by})&IF({about.date}="",""," "&{about.date})'
)
_FULL = "{supplied.full_wh}"


def _at(n: int) -> str:
    """Hour of the outage at a reading of a day."""
    return f"(24*({{number}}-1)+{{door.clock_{n}}}-{{outage.starts_at}})"


def _share(n: int, tier: str) -> str:
    """What the display must read, in per cent."""
    found = f"INDEX({{hold.{tier}_share}},MATCH({_at(n)},{{hold.t}},0))"
    return (
        f'=IF(OR({{number}}="",{{door.clock_{n}}}="",{NAME}="",{_FULL}<=0),"",IF(COUNTIF({{hold.t}},{_at(n)})=0,"",'
        f'IFERROR(ROUND(100*{found},0),"off")))'
    )


def _heads() -> Table:
    clocks = (
        Column(
            f"head_{n}",
            "",
            path=f"heads.{n - 1}",
            formula=f'=IF({{door.clock_{n}}}="","",TEXT({{door.clock_{n}}},"00")&":00")',
            role="card clock",
            cells=_A + _B,
        )
        for n in READINGS
    )
    says = Column("says", "", role="card band", cells=_DAY, standing=("Read the display at",))
    return Table("card_heads", "", "door_card", (says, *clocks), heads=False, tall=22, gap=0)


def _letters() -> Table:
    says = Column("says", "", role="card band small", cells=_DAY, standing=("Below this per cent:",))
    letters = (
        column
        for n in READINGS
        for column in (
            Column(f"a_{n}", "", role="card letter", cells=_A, standing=("A off",)),
            Column(f"b_{n}", "", role="card letter", cells=_B, standing=("B off",)),
        )
    )
    return Table("card_letters", "", "door_card", (says, *letters), heads=False, tall=17, gap=0)


def _held(n: int, letter: str, tier: str, cells: int) -> Column:
    """The charge that a reading must show to leave a tier on."""
    return Column(
        f"{letter}_{n}",
        letter.upper(),
        "percent",
        path=f"{tier}.{n - 1}",
        formula=_share(n, tier),
        cells=cells,
    )


_TALL_DAYS = 8
"""Lines of days that have room for large figures."""


def _days(count: int) -> Table:
    """A line a day; a reading before the power goes, or after it is back, is blank."""
    small = " small" if count > _TALL_DAYS else ""
    date = Column("date", "", formula='=IF({number}="","","date")', role="card date", cells=_DAY - 7)
    number = Column(
        "number",
        "Day",
        "day",
        first="=1",
        formula='=IF({number[-1]}="","",IF(24*{number[-1]}+{door.clock_1}<{outage.starts_at}+24*{plan.days},{number[-1]}+1,""))',
        role=f"card day{small}",
        cells=7,
    )
    shares = (
        replace(_held(n, *what), role=f"card {what[0]}{small}")
        for n in READINGS
        for what in (("a", "convenience", _A), ("b", "essential", _B))
    )
    return Table(
        "card_days",
        "",
        "door_card.days",
        (number, date, *shares),
        heads=False,
        chained=True,
        tall=max(15.5, min(28.0, 186 / count)),
        gap=0,
    )


_CHARGE = "ROUND(100*{outage.start_share},6)"
_FIRST_A, _FIRST_B = ("INDEX({hold.convenience_share},1)", "INDEX({hold.essential_share},1)")


def _off(share: str) -> str:
    return f"IF(ISTEXT({share}),1,IF(ROUND({share}-{{outage.start_share}},8)>0,1,0))"


_LEAVING = (
    'IF({about.purpose}="outage","when the power goes",IF({about.purpose}="off grid","at the start","when you leave"))'
)
_START = (
    f'=IF({NAME}="","",IF({_FULL}<=0,"No charge can be told yet: the storage is not stated.",'
    f'"At "&{_BEGINS}&", "&{_LEAVING}&", with "&ROUND({_CHARGE},0)&" %: "'
    f'&IF({_off(_FIRST_B)}=1,"list A and list B off.",IF({_off(_FIRST_A)}=1,"list A off.","all may stay on.")'
    f"&{trips_unless(of_shown, ' But ', '.')})))"
)


def _drops(letter: str, tier: str) -> str:
    return (
        f'IF({{outage.drop_{tier}_at}}="",""," and list {letter} below "'
        f'&ROUND(ROUND(100*{{outage.drop_{tier}_at}},6),0)&" %")'
    )


_DROPS = f"{_drops('A', 'convenience')}&{_drops('B', 'essential')}"
_DEVICE = f'=IF(AND({{outage.drop_convenience_at}}="",{{outage.drop_essential_at}}=""),"","The unit itself switches off "&MID({_DROPS},6,80)&".")'


_UNTIL = of_shown("served.critical_until_h")
_STOPS = (
    f'=IF({NAME}="","",IF(OR({_FULL}<=0,{_UNTIL}=""),"","What is never off stops at "'
    f'&{clock_words(_UNTIL)}&": have its second way ready before."))'
)


def _list(tier: str, title: str) -> Table:
    """The loads of a tier in the order in which they are switched off."""
    room = ROOM[tier]
    key, count = f'"{tier} "&{{number}}', f"{{door.{tier}}}"
    return Table(
        f"card_{tier}",
        title,
        f"door_card.lists.{TIERS.index(tier)}",
        (
            Column(
                "number",
                "",
                "number",
                first=f'=IF({count}>0,1,"")',
                formula=f'=IF({{number[-1]}}="","",IF({{number[-1]}}<{count},{{number[-1]}}+1,""))',
                role="card number",
                cells=3,
            ),
            Column(
                "name",
                "",
                formula=f'=IF({{number}}="","",IF(AND({{number}}={room},{count}>{room}),'
                f'"and "&({count}-{room - 1})&" more: see the Load sheet",INDEX({{switch.words}},MATCH({key},{{switch.key}},0))))',
                role="card item",
                cells=HALF - 3,
            ),
        ),
        heads=False,
        chained=True,
        tall=_ROW,
        space=_SPACE,
    )


_ROW = 15.5
_SPACE = 6.0
"""Heights of a line of a list, and of the blank row below it [pt]."""


def _clock(hour: str) -> str:
    """A clock hour as it is written."""
    minutes = f"MOD(ROUND(ROUND(60*{hour},6),0),1440)"
    return f'TEXT(ROUNDDOWN({minutes}/60,0),"00")&":"&TEXT(MOD({minutes},60),"00")'


def _window(of: str) -> str:
    end = f"({{outage.{of}_from}}+{{outage.{of}_hours}})"
    return f'from "&{_clock(f"{{outage.{of}_from}}")}&" to "&{_clock(end)}&"'


_GENERATOR = (
    '=IF({recharge.generator_w}<=0,IF({about.purpose}="outage","None is planned. If you borrow one:","No generator is planned."),IF({outage.generator_hours}<=0,'
    '"A generator is there, but no hours for it.",IF({outage.generator_hours}>=24,"Run it all day.",'
    f'"Run it {_window("generator")} each day.")))'
)
_LITRES = "ROUND({shown.fuel_l},6)"
_GALLONS = f"ROUND(ROUND({_LITRES}/{GALLON_L},6),1)"
_FUEL = (
    f'=IF({NAME}="","",IF(AND({{recharge.generator_w}}>0,{{outage.generator_hours}}>0,{of_shown("candidates.ac_charge_w")}=""),'
    f'"{FUEL_UNKNOWN}",IF({_LITRES}<=0,"","Fuel for "&IF({{plan.days}}=1,"the day",{_DAYS})&": at least "'
    f'&IF({{about.units}}="US",{_GALLONS}&" US gal ("&ROUND({_LITRES},1)&" l).",ROUND({_LITRES},1)&" l ("&{_GALLONS}&" US gal)."))))'
)
_OUTLET = (
    '=IF({outage.mains_hours}<=0,"",IF({outage.mains_hours}>=24,"Plug the unit in wherever an outlet works.",'
    f'"Plug the unit in {_window("mains")}."))'
)
_RIGHT = WIDE - HALF


def _advice(name: str, title: str, *columns: Column) -> Table:
    """Lines below each other, right of a list."""
    return Table(
        f"card_{name}",
        title,
        "door_card",
        columns,
        kind="across",
        cells={"title": 0, "unit": 0, "record": HALF},
        left=_RIGHT,
        beside=True,
        tall=_ROW,
    )


def _in_units(text: str) -> str:
    """A text, the unit of the client first where it tells an amount in two."""
    us = us_first(text)
    return f'"{text}"' if us == text else f'IF({{about.units}}="US","{us}","{text}")'


def _by_purpose(name: str, path: str, when: str, text: str, other: str = "", role: str = "card item") -> Column:
    """A line that is told of some plans only."""
    return Column(name, "", path=path, formula=f'=IF({when},{_in_units(text)},"{other}")', role=role)


_OUTAGE = '{about.purpose}="outage"'
_TITLE = (
    f'=IF({_OUTAGE},"{HEADS["outage"]}",IF({{about.purpose}}="trip","{HEADS["trip"]}",'
    f'IF({{about.purpose}}="day away","{HEADS["day away"]}","{HEADS["off grid"]}")))'
)


REFILL = _advice(
    "refill",
    "Generator and outlet",
    Column("generator", "", formula=_GENERATOR, role="card strong"),
    Column("fuel", "", formula=_FUEL, role="card item"),
    *(
        _by_purpose(name, f"outdoors.{i}", f"OR({_OUTAGE},{{recharge.generator_w}}>0)", OUTDOORS[i])
        for i, name in enumerate(("outdoors", "cool"))
    ),
    Column("outlet", "", formula=_OUTLET, role="card item"),
)
_DRIVE_SHARE = (
    f"ROUNDUP(ROUND(100*({{supplied.reserve_wh}}+INDEX({{trip.storage_needed_wh}},{{shown.number}}))/{_FULL},6),0)"
)


_DRIVES = "{vehicle.distance}>0"


def _kept_cold(name: str, i: int) -> Column:
    """A line of how long food keeps in a house without power, else of the roadside, below what a drive takes."""
    house = f'IF({_DRIVES},"{KEEPS[i - 1]}",{_in_units(KEEPS[i])})'
    formula = f'=IF({_OUTAGE},{house},IF({_DRIVES},"{ROADSIDE[i - 1]}",""))'
    return Column(name, "", path=f"food.{i}", formula=formula, role="card item")


FOOD = _advice(
    "food",
    "Keep in mind",
    Column(
        "hours",
        "",
        path="food.0",
        formula=f'=IF({_DRIVES},IF(OR({NAME}="",{_FULL}<=0),"",IF({_DRIVE_SHARE}>100,"A full storage is not enough for the drive.",'
        f'"Charge the vehicle at "&{_DRIVE_SHARE}&" % or more.")),IF({_OUTAGE},"{KEEPS[0]}",""))',
        role="card strong",
    ),
    _kept_cold("shut", 1),
    _kept_cold("discard", 2),
    Column("medicine", "", role="card note", standing=(MEDICINE,)),
)
_GRID = f"OR({_OUTAGE},{{outage.mains_hours}}>0)"


def _call(name: str, title: str) -> str:
    """Whom to call, behind what they are; a power company only where the plan has a grid."""
    told = f'"{title}: "&{{calls.{name}}}'
    return f'=IF({_GRID},{told},"")' if name == "power_company" else f"={told}"


CALL = Table(
    "card_calls",
    "Call",
    "door_card",
    tuple(
        Column(name, "", path=f"calls.{i}", formula=_call(name, info.title or name), role="card call")
        for i, (name, info) in enumerate(sorted(Calls.model_fields.items(), key=lambda one: one[0] == "power_company"))
    ),
    kind="across",
    cells={"title": 0, "unit": 0, "record": HALF},
    tall=_ROW,
    left=_RIGHT,
    beside=True,
)


def _standing(name: str, role: str, text: str, tall: float) -> Table:
    """A sentence that stands as it is."""
    column = Column("text", "", role=role, cells=WIDE, standing=(text,))
    return Table(name, "", "door_card", (column,), heads=False, tall=tall, gap=0)


_NEVER = (
    "Never plug the unit or a generator into a wall socket. Never run a generator in the house, the garage or on the porch: "
    "carbon monoxide kills; have a CO alarm. Never charge a unit that is damaged, wet, below 0 °C (32 °F) or hotter than its maker "
    "allows; keep it off ways out and away from sleepers. If a critical load stops, go the second way that was planned for it."
)


def card_sheet(days: int) -> Sheet:
    """The card with room for so many days of outage; they may fall on one more from midnight to midnight."""
    return Sheet(
        "Card",
        "Print it and hang it where everybody sees it.",
        (
            sentence("card_title", "card title", _TITLE, 33, path="door_card.title"),
            sentence(
                "card_who",
                "card who",
                '=IF({unread.paper}<>"","Draft. "&{unread.paper},'
                f'IF({NAME}="","No candidate is listed yet.",{of_shown("told.named")}'
                f'&IF({of_shown("fit.fits")}=1,"",": it falls short, so this is no plan to rely on")))',
                18,
                path="door_card.who",
            ),
            sentence("card_purpose", "card note", _PURPOSE, 14, path="door_card.purpose"),
            _heads(),
            _letters(),
            _days(days + 1),
            sentence("card_start", "card lead", _START, 32, path="door_card.start"),
            _standing(
                "card_below", "card item", "Below A: all of list A off until the next reading. Below B: list B too.", 16
            ),
            _standing("card_longer", "card item", "If it may last a day longer, go by the line of the day before.", 16),
            replace(sentence("card_device", "card item", _DEVICE, 15, path="door_card.device"), gap=1, space=_SPACE),
            _list("convenience", "A  Switch off first, in this order"),
            REFILL,
            _list("essential", "B  Only when it must be"),
            CALL,
            sentence("card_stops", "card strong", _STOPS, 18, path="door_card.stops"),
            _list("critical", "Never off"),
            FOOD,
            _standing("card_never", "card never", _NEVER, 60),
        ),
        narrow=WIDE,
        portrait=True,
        foot="Order of switching off: the largest use of a day first. Loads as on the Load sheet.",
        zoom=120,
    )


CARD_WORKING = (DOOR, SWITCH)
