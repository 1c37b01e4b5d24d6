"""Every check of a candidate: what is asked, what is there, the word, and how far one is from the other."""

from dataclasses import dataclass, replace
from typing import Final

from holdover.case.schema import LAYOUT_NEEDS
from holdover.model.demand import SOCKETS
from holdover.workbook.column import Column, group
from holdover.workbook.sheets.sun import UNPLACED


def stated(name: str) -> str:
    """A figure of the data sheet, or the word that it is not there."""
    return f'=IF({{candidates.{name}[same]}}="","not stated",{{candidates.{name}[same]}})'


def _taken(key: str, instead: str) -> str:
    """What stands in for a figure that is not stated, if it is enough; else the word that it is not there."""
    return f'IF(ROUND({instead}-{{need.{key}}},6)>=0,{instead},"not stated")'


def _blank(name: str) -> str:
    return f'{{candidates.{name}[same]}}=""'


@dataclass(frozen=True)
class Check:
    """One check in formulas. `asked` is one figure for all candidates, "" where each has its own, `needed`.

    `word` is what holds of a listed candidate; `most` tells that what is there must not exceed what is asked.
    """

    key: str
    title: str
    unit: str
    has: str
    word: str
    asked: str = ""
    needed: str = ""
    note: str = ""
    most: bool = False
    turned: bool = False  # what is there is the limit, what is asked the value: as the model has them the other way
    planned: str = ""  # "" or when it is planned; a check that is not planned has neither margin nor ratio
    folded: bool = False
    ratio: str = ""

    @property
    def need(self) -> str:
        """What is asked, as a formula of a candidate's column names it."""
        return f"{{need.{self.key}}}" if self.asked else f"{{check.{self.key}_needed[same]}}"

    def asked_column(self) -> Column:
        """What is asked of all, once."""
        if not self.asked:
            return Column(self.key, self.title, self.unit, standing=("",), note=self.note, role="asked")
        path = f"/offers.0.fit.{self.key}.{'has' if self.turned else 'needed'}"
        return Column(self.key, self.title, self.unit, path=path, formula=self.asked, note=self.note, role="asked")

    def there_column(self) -> Column:
        """What a candidate has."""
        path = f"fit.{self.key}.{'needed' if self.turned else 'has'}"
        return Column(self.key, self.title, self.unit, path=path, formula=self.has, role="there", folded=self.folded)

    def word_column(self) -> Column:
        """The word."""
        return Column(
            self.key,
            self.title,
            path=f"fit.{self.key}.verdict",
            formula=f'=IF({{name}}="","",{self.word})',
            role="word",
            folded=self.folded,
        )

    def working_columns(self, *, judged: bool) -> tuple[Column, ...]:
        """How far what is there is from what is asked; how near, of a check that decides."""
        there = f"{{there.{self.key}[same]}}"
        unsaid = f"OR(ISTEXT({self.need}),ISTEXT({there}))"
        if self.planned:
            unsaid = f"OR(NOT({self.planned}),ISTEXT({self.need}),ISTEXT({there}))"
        more, less = (self.need, there) if self.most else (there, self.need)
        margin = f"{{{self.key}_margin}}"
        needed = (
            (
                Column(
                    f"{self.key}_needed", "Asked", self.unit, path=f"fit.{self.key}.needed", formula=f"={self.needed}"
                ),
            )
            if self.needed
            else ()
        )
        ratio = self.ratio or f'=IF(ISTEXT({margin}),"",IF({less}>0,{more}/{less},1))'
        share = Column(
            f"{self.key}_ratio",
            "There of what is asked",
            "share",
            path=f"fit.{self.key}.ratio",
            formula=ratio,
            role="quiet",
        )
        return group(
            self.title,
            *needed,
            Column(
                f"{self.key}_margin",
                "Margin",
                self.unit,
                path=f"fit.{self.key}.margin",
                formula=f'=IF({unsaid},"",{more}-{less})',
            ),
            *(share,) * judged,
        )


def _against(key: str) -> str:
    """The word of what must be enough: what a silent data sheet leaves open is asked."""
    there, need = f"{{there.{key}[same]}}", f"{{need.{key}}}"
    return f'IF(ISTEXT({there}),IF(ROUND({need},6)<=0,"OK","CHECK"),IF(ROUND({there}-{need},6)>=0,"OK","UNDER"))'


def _enough(key: str, title: str, asked: str, has: str, unit: str = "W") -> Check:
    return Check(key, title, unit, has, _against(key), asked)


def _socket(key: str, feed: str) -> Check:
    ports = _enough(key, f"{feed} ports", f"={{demand.{key}_needed_w}}", stated(f"{key}_w"))
    return replace(ports, folded=True)


_SILENT_SOCKETS = ",".join(_blank(f"{name}_w") for name in SOCKETS)
_ALL_SOCKETS = "+".join(f"N({{candidates.{name}_w[same]}})" for name in SOCKETS)
_LEG = (
    '=IF(AND({candidates.leg_w[same]}="",OR({candidates.volts_at_once[same]}<>"both",'
    '{candidates.ac_volts_2[same]}="")),"no legs",IF({candidates.leg_w[same]}<>"",{candidates.leg_w[same]},'
    f'IF({{candidates.continuous_w[same]}}="","not stated",{_taken("leg", "{candidates.continuous_w[same]}/2")})))'
)
_VOLTAGE = (
    f'IF(ROUND({{there.voltage[same]}}-{{need.voltage}},6)<0,IF({_blank("ac_volts")},"CHECK","UNDER"),'
    f'IF(AND({_blank("volts_at_once")},{{check.volts_1[same]}}>0,{{check.volts_2[same]}}>0),"CHECK","OK"))'
)


def _asked_gap(name: str) -> str:
    return f'=IF({{demand.switched}}=0,"not planned",IF(ISTEXT({{demand.{name}}}),"not stated",{{demand.{name}}}))'


def _gap(key: str, over: str) -> str:
    there, need = f"{{there.{key}[same]}}", f"{{need.{key}}}"
    return f'IF(ISTEXT({need}),{need},IF(ISTEXT({there}),"CHECK",IF(ROUND({need}-{there},6)>=0,"OK","{over}")))'


OUTPUT_HALF: Final = (
    replace(
        _enough(
            "running",
            "Continuous, W",
            "={demand.needed_running_w}",
            stated("continuous_w"),
        ),
        note="Loads of three hours or more with the margin.",
    ),
    replace(
        _enough(
            "apparent",
            "Continuous, VA",
            "={demand.needed_va}",
            '=IF({candidates.continuous_va[same]}<>"",{candidates.continuous_va[same]},IF({candidates.continuous_w[same]}="",'
            f'"not stated",{_taken("apparent", "{candidates.continuous_w[same]}")}))',
            "VA",
        ),
        note="Watts stand in where no VA is stated.",
    ),
    _enough(
        "starting",
        "Starting, W",
        "={demand.peak_starting_w}*(1+{sizing.starting_margin})",
        '=IF({candidates.surge_w[same]}<>"",{candidates.surge_w[same]},IF({candidates.continuous_w[same]}="",'
        f'"not stated",{_taken("starting", "{candidates.continuous_w[same]}")}))',
    ),
    Check(
        "leg",
        "One leg, W",
        "W",
        _LEG,
        f'IF({{there.leg[same]}}="no legs","OK",{_against("leg")})',
        "={demand.needed_leg_w}",
        note="Only of candidates that give two voltages at once.",
        folded=True,
    ),
    Check(
        "voltage",
        "Voltage, AC loads",
        "number",
        '=IF({candidates.volts_at_once[same]}="by switch",MAX({check.volts_1[same]},{check.volts_2[same]}),'
        "{check.volts_1[same]}+{check.volts_2[same]})",
        _VOLTAGE,
        "=SUM({line.is_ac})",
        note="AC loads whose voltage the candidate makes.",
    ),
    replace(
        _enough(
            "dc",
            "DC ports, W",
            "={demand.peak_dc_starting_w}",
            f'=IF({{candidates.dc_w[same]}}<>"",{{candidates.dc_w[same]}},IF(AND({_SILENT_SOCKETS}),"not stated",'
            f"{_taken('dc', f'({_ALL_SOCKETS})')}))",
        ),
        note="All together. Each socket by itself is folded below.",
    ),
    *(_socket(name, feed) for name, feed in SOCKETS.items()),
    Check(
        "gap",
        "Transfer, critical, ms",
        "ms",
        stated("transfer_ms"),
        _gap("gap", "UNDER"),
        _asked_gap("critical_gap_ms"),
        note="The shortest gap that a critical load tolerates: at most so much.",
        most=True,
    ),
)
"""Checks of what comes out at any moment."""

_UNSAID_INPUTS = ",".join(
    (
        _blank("pv_inputs"),
        _blank("pv_max_v"),
        *(f'{{{section}.{name}}}=""' for section, names in LAYOUT_NEEDS.items() for name in names),
        UNPLACED,
    )
)
_MOST = f'=IF({_blank("storage_wh")},"not stated",{{storage.usable_most_wh[same]}})'
_DAYS = '{sizing.basis}="days without recharging"'
_FIRST_V = 'IF({candidates.ac_volts[same]}="",{demand.house_v},{candidates.ac_volts[same]})'
_ASTRAY = f"AND({{vehicle.charger_v}}<>{_FIRST_V},{{vehicle.charger_v}}<>{{candidates.ac_volts_2[same]}})"
_NOT_FED = '{trip.holds[same]}<>"OK"'
_CHARGER_RATIO = f"IF({_ASTRAY},0,N({{candidates.continuous_w[same]}})/({{vehicle.charger_v}}*{{vehicle.charger_a}}))"
_TRIP_OPEN = _blank("storage_wh")
_TRIP_SHORT = (
    f"IF({_TRIP_OPEN},0,IF(ISTEXT({{check.vehicle_needed[same]}}),1,"
    "IF(ROUND({there.vehicle[same]}-{check.vehicle_needed[same]},6)<0,1,0)))=1"
)
_CHARGER_SHORT = (
    f'OR(AND(ROUND({{trip.draw_margin_w[same]}},6)<0,{{candidates.continuous_w[same]}}<>""),'
    f'AND({_ASTRAY},{{candidates.ac_volts[same]}}<>""))'
)
_TRIP_RATIO = "{there.vehicle[same]}/{check.vehicle_needed[same]}"


_MAY_KEEP = "ROUND({supply.left_wh[same]},6)>=0"
"""Whether the promise is within the bounds of what figures that nobody states could bring at best."""
AC_WAITS_FOR: Final = f"IF(AND({_blank('ac_charge_w')},{_MAY_KEEP}),{{plan.given_wh}},0)>0"
"""Whether an outlet or a generator, through a charger that is not stated, might keep the promise."""
SUN_WAITS_FOR: Final = (
    f'IF({{word.solar[same]}}<>"CHECK",0,IF({{solar.missing}}<>"",1,IF({_MAY_KEEP},SUM({{module.outage_w}}),0))'
    "*SUM({skies.share}))>0"
)
"""Whether the sun, through inputs or modules of which a figure is not stated, might keep the promise: under a sky that gives
none nothing waits for it."""
_TRIP_WAITS = (
    'AND({word.promise[same]}="CHECK",{promise.word[same]}="UNDER",'
    f'OR(NOT({_DAYS}),{{promise.broken_tier[same]}}="critical"),'
    "ROUND({there.vehicle[same]}-{trip.storage_needed_wh[same]},6)>=0)"
)
"""Whether the drive by itself has its storage, and what the loads leave of it waits for a figure, as their promise does."""
_VEHICLE = (
    f'IF({{vehicle.distance}}<=0,"not planned",IF({_TRIP_SHORT},IF({_TRIP_WAITS},IF(AND({_NOT_FED},{_CHARGER_SHORT}),"UNDER",'
    f'"CHECK"),"UNDER"),IF({_NOT_FED},IF({_CHARGER_SHORT},"UNDER","CHECK"),IF({_TRIP_OPEN},"CHECK","OK"))))'
)

OUTAGE_HALF: Final = (
    Check(
        "promise",
        "Storage for the promise, Wh",
        "Wh",
        "={storage.usable_wh[same]}",
        f'IF(AND({{promise.word[same]}}="UNDER",OR({_blank("storage_wh")},AND({_DAYS},'
        f'{{promise.broken_tier[same]}}<>"critical"),{AC_WAITS_FOR},{SUN_WAITS_FOR})),"CHECK",{{promise.word[same]}})',
        needed="IF(ISTEXT({promise.full_needed_wh[same]}),{promise.full_needed_wh[same]},"
        "(1-{sizing.reserve})*{promise.full_needed_wh[same]})",
        note="Usable storage with its packs. What keeps the promise depends on the candidate: it is folded below.",
        ratio="=IF(ISTEXT({check.promise_needed[same]}),0,IF({check.promise_needed[same]}>0,"
        "{there.promise[same]}/{check.promise_needed[same]},1))",
    ),
    Check(
        "storage",
        "Days without recharging, Wh",
        "Wh",
        _MOST,
        f'IF({_DAYS},IF(ISTEXT({{there.storage[same]}}),IF(ROUND({{check.storage_needed[same]}},6)<=0,"OK","CHECK"),'
        'IF(ROUND({there.storage[same]}-{check.storage_needed[same]},6)>=0,"OK","UNDER")),"not planned")',
        needed=f"IF({_DAYS},{{storage.needed_wh[same]}},0)",
        note="Where storage is sized so, under Assumptions.",
        planned=_DAYS,
        folded=True,
    ),
    Check(
        "solar",
        "Solar, layouts allowed",
        "number",
        "={strings.allowed[same]}",
        'IF({array.modules}<=0,"not planned",IF(ROUND({there.solar[same]}-1,6)>=0,IF({strings.held_back[same]}=1,"CHECK","OK"),'
        f'IF(AND(OR({_blank("pv_inputs")},{{candidates.pv_inputs[same]}}<>0),OR({_UNSAID_INPUTS})),"CHECK","UNDER")))',
        "=IF({array.modules}>0,1,0)",
        note="String layouts of the planned modules that its inputs bear; at least one.",
        planned="{array.modules}>0",
    ),
    Check(
        "vehicle",
        "Loads and drive, Wh",
        "Wh",
        _MOST,
        _VEHICLE,
        needed="IF({vehicle.distance}>0,{trip.needed_with_loads_wh[same]},0)",
        note="Out of usable storage with all packs, and its charger fed.",
        planned="{vehicle.distance}>0",
        ratio='=IF({vehicle.distance}<=0,"",IF(ISTEXT({check.vehicle_needed[same]}),0,'
        f"IF({_NOT_FED},IF({_TRIP_OPEN},{_CHARGER_RATIO},MIN({_TRIP_RATIO},{_CHARGER_RATIO})),"
        f'IF({_TRIP_OPEN},"",{_TRIP_RATIO}))))',
    ),
)
"""Checks of what carries the client through."""


def _limit(key: str) -> str:
    there, need = f"{{there.{key}[same]}}", f"{{need.{key}}}"
    return f'IF(ISTEXT({there}),"CHECK",IF(ROUND({need}-{there},6)>=0,"OK","CHECK"))'


HANDLING: Final = (
    Check(
        "sockets",
        "AC sockets, at most",
        "number",
        stated("ac_sockets"),
        'IF(ROUND({need.sockets},6)<=0,"OK",IF(ROUND(N({there.sockets[same]})-{need.sockets},6)>=0,"OK","CHECK"))',
        "={demand.ac_items}",
        note="What is wired in needs none. A strip is no remedy for heavy loads.",
        turned=True,
    ),
    Check(
        "lift",
        "Heaviest piece, kg",
        "kg",
        '=IF(AND(ISTEXT({fit.weight_kg[same]}),{fit.heaviest_kg[same]}<={sizing.lift_kg}),"not stated",'
        "{fit.heaviest_kg[same]})",
        _limit("lift"),
        "={sizing.lift_kg}",
        note="For one person. Stairs and reach lower it.",
        most=True,
    ),
    Check(
        "noise",
        "Noise at 1 m, dB(A)",
        "dB(A)",
        stated("noise_db"),
        _limit("noise"),
        "={sizing.noise_limit_db}",
        note="At most.",
        most=True,
    ),
    Check(
        "transfer",
        "Transfer, others, ms",
        "ms",
        stated("transfer_ms"),
        _gap("transfer", "CHECK"),
        _asked_gap("shortest_gap_ms"),
        note="At most. Only where the unit stands between mains and load.",
        most=True,
    ),
    Check(
        "cold",
        "Charging from, °C",
        "°C",
        "={storage.charge_min_c[same]}",
        _limit("cold"),
        "={sizing.storage_c}",
        note="Lithium cells charged too cold are damaged for good.",
        most=True,
    ),
    Check(
        "budget",
        "Price in the budget",
        "money",
        "={fit.total[same]}",
        'IF({money.budget}="","not planned",IF(ISTEXT({there.budget[same]}),"CHECK",'
        'IF(ROUND({need.budget}-{there.budget[same]},6)>=0,"OK","CHECK")))',
        "=N({money.budget})",
        note="At most, with packs, accessories, labour and tax.",
        most=True,
        planned='{money.budget}<>""',
    ),
)
"""What is worth a look; it never decides."""

HARD: Final = (*OUTPUT_HALF, *OUTAGE_HALF)


def served(column: str) -> str:
    """AC loads at a voltage of the candidate."""
    return f"SUMPRODUCT({{line.is_ac}}*({{line.volts}}={column}))"


_WORDS_OF = {"output": OUTPUT_HALF, "outage": OUTAGE_HALF, "handling": HANDLING}


def worst(half: str) -> str:
    """The worst word of a group, which stands in one run of rows."""
    checks = _WORDS_OF[half]
    rows = f"{{{checks[0].key}}}:{{{checks[-1].key}}}"
    return f'=IF({{name}}="","",IF(COUNTIF({rows},"UNDER")>0,"UNDER",IF(COUNTIF({rows},"CHECK")>0,"CHECK","OK")))'


def counted(word: str) -> str:
    """How many checks that decide say a word."""
    return "+".join(
        f'COUNTIF({{{checks[0].key}}}:{{{checks[-1].key}}},"{word}")' for checks in (OUTPUT_HALF, OUTAGE_HALF)
    )


_LEAST = ",".join(f'IF({{word.{check.key}[same]}}="UNDER",{{{check.key}_ratio}},1)' for check in HARD)

CHECK_COLUMNS: Final = (
    *group(
        "AC loads at a voltage of it",
        Column("volts_1", "First voltage", "number", path="fit.volts_1", formula=f"={served(_FIRST_V)}"),
        Column(
            "volts_2",
            "Second voltage",
            "number",
            path="fit.volts_2",
            formula=f"=IF(OR({_blank('ac_volts_2')},{{candidates.ac_volts_2[same]}}={_FIRST_V}),0,"
            f"{served('{candidates.ac_volts_2[same]}')})",
        ),
    ),
    *(column for check in (*HARD, *HANDLING) for column in check.working_columns(judged=check in HARD)),
    *group(
        "All checks that decide",
        Column(
            "least_ratio",
            "Least there of what is asked",
            "share",
            path="fit.least_ratio",
            formula=f"=MIN(1,{_LEAST})",
            note="Of the checks that fall short; the nearest miss is the candidate whose least is largest.",
        ),
    ),
)
"""Margins and ratios, for the working sheet."""
