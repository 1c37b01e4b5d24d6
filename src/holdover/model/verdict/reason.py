"""Why a candidate falls short, and what its data sheet leaves open, in words with numbers.

It decides nothing: that is `fit.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from holdover.case.schema import Candidate, Case
from holdover.model.dust import DUST
from holdover.model.outage.promise import Carried
from holdover.model.spoken import clock_words, spoken, thousands
from holdover.model.strings import Strings
from holdover.model.vehicle import VehicleFit
from holdover.model.verdict.fit import CHECK, OK, OUTAGE, OUTPUT, UNDER, Check, Fit, Waits

LESS: Final = {
    "running": ("running", "W"),
    "apparent": ("apparent power", "VA"),
    "starting": ("starting", "W"),
    "leg": ("one leg", "W"),
    "dc": ("DC ports, together", "W"),
    "usb": ("USB ports", "W"),
    "dc_12v": ("12 V DC ports", "W"),
    "dc_24v": ("24 V DC ports", "W"),
    "dc_48v": ("48 V DC ports", "W"),
    "promise": ("storage", "Wh"),
    "storage": ("storage for the days without recharging", "Wh"),
    "vehicle": ("storage for loads and drive", "Wh"),
}
"""Checks that say how much less than needed is there: what, and its unit [-]."""
OF_STORAGE: Final = ("promise", "storage", "vehicle")
"""Those of usable storage [-]; a drive has a margin of its own."""
ASK_FOR: Final = "ask for: "
"""What stands before the figures that a data sheet leaves open [-]."""
SHORT_CIRCUIT: Final = "short-circuit limit of its solar inputs"
"""What is asked where strings in parallel wait for it [-]."""
ASKED: Final = {
    "running": "continuous output",
    "apparent": "continuous apparent output",
    "starting": "surge output",
    "leg": "output on one leg",
    "voltage": "its AC voltages, and whether two are there at once",
    "dc": "output of the DC ports together",
    "usb": "output of its USB ports",
    "dc_12v": "output of its 12 V DC ports",
    "dc_24v": "output of its 24 V DC ports",
    "dc_48v": "output of its 48 V DC ports",
    "gap": "transfer time",
    "storage": "storage",
    "vehicle": "what the drive asks for",
}
"""What is asked where a check can't be decided on the data sheet [-]."""


def less_than_needed(name: str, found: Check, energy_margin: float = 0.0) -> str:
    """How much is missing, such as "running: 375 W less than the 1,875 needed" [-].

    Of storage the need names the margin that it holds, and what is there is told, so that the difference can be followed.

    Args:
        name: Which check [-].
        found: The check [-].
        energy_margin: Margin in what the loads need of storage [-].

    Holds for: checks of numbers.
    Source: arithmetic.

    >>> less_than_needed("running", Check(needed=1875, has=1500, margin=-375, ratio=0.8, verdict="UNDER"))
    'running: 375 W less than the 1,875 needed'
    >>> less_than_needed("promise", Check(needed=1150, has=900, margin=-250, ratio=0.8, verdict="UNDER"), 0.15)
    'storage 250 Wh less than the 1,150 needed with 15 % margin (900 usable)'
    """
    what, unit = LESS[name]
    needed, has, missing = float(found.needed), float(found.has), -float(found.margin)
    if name in OF_STORAGE:  # of the figures as they are shown
        missing = float(spoken(needed)) - float(spoken(has))
    else:  # whole watts that are enough
        missing, needed = ceil(round(missing, DUST)), ceil(round(needed, DUST))
    mark = "" if name == "promise" else ":"
    told = f"{what}{mark} {thousands(missing)} {unit} less than the {thousands(needed)} needed"
    if name not in OF_STORAGE:
        return told
    margin = f" with {spoken(100 * energy_margin, 2)} % margin" if name != "vehicle" and energy_margin > 0 else ""
    return f"{told}{margin} ({thousands(has)} usable)"


AC_CHARGING: Final = "AC charging"
"""What is asked where a source is planned that would charge [-]."""
LOWEST_CHARGING: Final = "lowest setting of its AC charging"
"""What is asked where loads and charger together trip a source [-]."""
AC_WAITS: Final = f"{AC_CHARGING} not stated and not counted"
"""What is told where a source might keep the promise [-]."""
CURES_NOTHING: Final = ", and no charging makes up for it"
"""What is told of a shortage that no answer on solar inputs or AC charging could cure [-]."""
BREAKS_WITHIN: Final = "the promise breaks within the days planned; storage is sized for days without recharging"
"""What is to be looked at where the promise does not decide [-]."""
NO_STORAGE: Final = "its storage is not stated"
"""Why a candidate is not advised on which nothing falls short [-]: nobody knows how long loads run."""


DRIVE_ALONE: Final = "fits but for the drive: "
"""What stands before the miss of a candidate that only the drive keeps from fitting [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """What is not met in either half, each part with a semicolon before it."""

    output: str
    outage: str


def short_of(c: Candidate, fit: Fit, carried: Carried, vehicle: VehicleFit, layouts: str, case: Case) -> Short:
    """Every check that is not met, in words; `layouts` says what the solar inputs allow."""

    def told(name: str) -> str:
        found: Check = getattr(fit, name)
        if found.verdict != UNDER:
            return ""
        match name:
            case "voltage":
                said = _voltage(c, found)
            case "gap":
                said = (
                    f"transfer: a gap of {spoken(float(found.has))} ms, "
                    f"where a critical load tolerates {spoken(float(found.needed))}"
                )
            case "solar":
                said = f"solar: {layouts}"
            case "promise":
                silent = c.ac_charge_w is None and case.outage.mains_hours + case.outage.generator_hours > 0
                said = _promise(found, carried, case, charging_open=fit.solar.verdict == CHECK or silent)
            case "vehicle":
                said = _vehicle(found, vehicle)
            case _:
                said = less_than_needed(name, found, case.sizing.energy_margin)
        return f"; {said}"

    return Short(output="".join(map(told, OUTPUT)), outage="".join(map(told, OUTAGE)))


def waits_words(waits: Waits, layouts: Strings) -> str:
    """What is not stated and so counts for nothing, in words; "" where nothing waits for a figure."""
    parts = [AC_WAITS] if waits.ac else []
    if waits.sun:
        what = SHORT_CIRCUIT if layouts.held_back else layouts.missing or "solar inputs"
        parts.append(f"{what} not stated and {'some modules' if layouts.held_back else 'no module'} counted")
    return ", ".join(parts)


def reason_of(c: Candidate, fit: Fit, short: Short, waiting: str, *, critical_stops: bool) -> str:
    """Why a candidate falls short, or is not known to fit, in one sentence; `waiting` is told where a figure decides.

    Where critical loads go short, that comes first.
    """
    if c.name == "":
        return ""
    parts = (short.outage, short.output) if critical_stops else (short.output, short.outage)
    said = "".join(parts).removeprefix("; ")
    if not said and c.storage_wh is None:
        return NO_STORAGE
    if not said and not fit.fits:
        return waiting
    if fit.unders == 1 and fit.vehicle.verdict == UNDER and c.storage_wh is not None:
        return f"{DRIVE_ALONE}{said}"
    return said or ("every check holds" if fit.asks == 0 and fit.handling == OK else "nothing falls short")


def common_asks(field: Sequence[Fit]) -> tuple[str, ...]:
    """Names of the checks that the data sheets of several candidates all leave open."""
    return tuple(name for name in ASKED if len(field) > 1 and all(_worth_asking(fit, name) for fit in field))


def _worth_asking(fit: Fit, name: str) -> bool:
    """Whether a check is open, and its figure could decide: none of apparent power does where watts fall short."""
    return getattr(fit, name).verdict == CHECK and not (name == "apparent" and fit.running.verdict == UNDER)


def asked_of(c: Candidate, fit: Fit, common: Sequence[str], waits: Waits, layouts: Strings) -> str:
    """Figures to ask the maker for, in words; what the data sheets of the whole field leave open is told elsewhere."""
    if c.name == "":
        return ""
    open_ones = _open(fit)
    if None not in (c.continuous_w, c.ac_volts):
        open_ones = [name for name in open_ones if name != "vehicle"]  # the drive waits for what the loads leave
    asked = [ASKED[name] for name in open_ones if name in ASKED and name not in common and _worth_asking(fit, name)]
    if "promise" in open_ones and c.storage_wh is None and "storage" not in open_ones:
        asked.append(ASKED["storage"])
    if "promise" in open_ones and waits.ac:
        asked.append(AC_CHARGING)
    if waits.lowest:
        asked.append(LOWEST_CHARGING)
    if "solar" in open_ones:
        asked.append(SHORT_CIRCUIT if layouts.held_back else _unasked(c, layouts.missing))
    return ", ".join(asked)


def asks_of(c: Candidate, fit: Fit, carried: Carried, asked: str, energy_margin: float) -> str:
    """What is to be asked or looked at before this candidate is bought, "" where nothing; `asked` is of the maker."""
    if c.name == "":
        return ""
    parts = [ASK_FOR + asked] if asked else []
    if "promise" in _open(fit) and c.storage_wh is not None:
        by_days = bool(fit.fits)  # a promise that breaks keeps nobody from fitting where storage is sized by days
        parts.append(_to_look_at(fit.promise, carried, energy_margin, sized_by_days=by_days))
    return "; ".join(part for part in parts if part)


def _open(fit: Fit) -> list[str]:
    return [name for name in (*OUTPUT, *OUTAGE) if getattr(fit, name).verdict == CHECK]


def _unasked(c: Candidate, missing: str) -> str:
    """What is asked where a layout can't be told: of the maker of the unit, and what is missing in the case."""
    if missing and c.pv_inputs is not None and c.pv_max_v is not None:
        return missing
    return f"its solar inputs; to be stated: {missing}" if missing else "its solar inputs"


def _to_look_at(found: Check, carried: Carried, energy_margin: float, *, sized_by_days: bool) -> str:
    """What is open about a promise that does not simply hold."""
    promise = carried.promise
    if promise.word == UNDER:
        return BREAKS_WITHIN if sized_by_days else ""
    said = []
    if not promise.margin_held:
        less = "" if isinstance(found.margin, str) else f": {less_than_needed('promise', found, energy_margin)}"
        said.append(f"the promise is kept, without the margin{less}")
    if round(carried.source_trips_w, DUST) > 0:
        said.append(_trips(carried))
    if carried.runs_down:
        said.append(f"the last day ends with {thousands(-carried.daily_balance_wh)} Wh less than it began with")
    return "; ".join(said)


def _trips(carried: Carried) -> str:
    """What trips a source: charging, which can be set lower, or the loads alone, which no setting cures."""
    if round(carried.loads_trip_w, DUST) > 0:
        return f"loads alone draw {thousands(carried.loads_trip_w)} W more than a source gives: it trips"
    return f"loads and charger trip a source by {thousands(carried.source_trips_w)} W unless charging is set lower"


def _voltage(c: Candidate, found: Check) -> str:
    others = spoken(-float(found.margin))
    if c.volts_at_once == "by switch":
        return f"voltage: {others} of {spoken(float(found.needed))} AC loads are not served; it gives one voltage at a time"
    return f"voltage: {others} of {spoken(float(found.needed))} AC loads need another one"


def breaks_words(carried: Carried, case: Case) -> str:
    """From when loads are off, "" where the promise is kept; the hour of critical ones stands before an earlier one."""
    promise, critical, starts_at = carried.promise, carried.critical.until_h, case.outage.starts_at
    if isinstance(promise.until_h, str):
        return ""
    if promise.broken_tier == "critical" or isinstance(critical, str):
        return f"{promise.broken_tier} loads are off or short from {clock_words(promise.until_h, starts_at)}"
    return (
        f"critical loads off from {clock_words(critical, starts_at)}, "
        f"{promise.broken_tier} from {clock_words(promise.until_h, starts_at)}"
    )


def _promise(found: Check, carried: Carried, case: Case, *, charging_open: bool) -> str:
    """Why the promise is not kept; `charging_open` tells that what comes in is not wholly stated."""
    first = breaks_words(carried, case)
    breaks = f"{first}: " if first else ""
    if isinstance(found.margin, str):
        return f"{breaks}no size of storage keeps the promise from such a state of charge at the start"
    if round(found.margin, DUST) >= 0:  # storage would do: what is set in the device breaks it
        return f"{breaks}the device drops them while storage would do"
    left_open = CURES_NOTHING if charging_open else ""
    return f"{breaks}{less_than_needed('promise', found, case.sizing.energy_margin)}{left_open}"


def _vehicle(found: Check, vehicle: VehicleFit) -> str:
    """Why a drive fails: storage first, then the charger's draw, then its voltage."""
    if isinstance(found.needed, str):
        return "vehicle: no storage carries the loads beside it"
    if not isinstance(found.margin, str) and round(found.margin, DUST) < 0:
        return less_than_needed("vehicle", found)
    if round(vehicle.draw_margin_w, DUST) < 0:
        return f"vehicle: its charger draws {thousands(-vehicle.draw_margin_w)} W more than this unit gives"
    return "vehicle: its charger needs another voltage"
