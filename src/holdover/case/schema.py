"""What a case holds: every input, its unit, its bounds and the value usual in the trade.

This is the one list of inputs. Readers, workbook, returned workbooks and documentation all walk it.
A setting that the case leaves out takes its usual value; `model_fields_set` says which were set.
It reads no file: that is `folder.py`.
"""

from typing import Final, Literal

from holdover.case.measure import Units
from holdover.case.papers import Business, Calls, Item, OfferPaper, Term
from holdover.case.picture import Picture
from holdover.case.section import Section, ask, carried

SCHEMA: Final = "holdover case 1"
MAX_LOADS: Final = 2_000
MAX_CANDIDATES: Final = 200
MAX_DAYS: Final = 14
MAX_POINTS: Final = 8
MAX_DELIVERIES: Final = 6
MAX_ITEMS: Final = 6
MAX_TERMS: Final = 4

Tier = Literal["critical", "essential", "convenience"]
Feed = Literal["100 V", "120 V", "208 V", "230 V", "240 V", "12 V DC", "24 V DC", "48 V DC", "USB"]
Basis = Literal["metered", "label", "typical", "estimate"]
Starting = Literal["one at a time", "together"]
Inverter = Literal["always on", "only with AC loads"]
Need = Literal["planned days", "days without recharging"]
OnOff = Literal["yes", "no"]
Together = Literal["both", "by switch"]
Criterion = Literal["price", "weight", "price per usable kWh", "price per kWh over life", "weighted score"]
Resource = Literal["global irradiation", "clearness index", "peak sun hours"]
DistanceUnit = Literal["km", "mi"]
ConsumptionUnit = Literal["Wh/km", "kWh/100 km", "km/kWh", "Wh/mi", "kWh/100 mi", "mi/kWh"]
ConsumptionAt = Literal["battery", "outlet"]
PaperSize = Literal["Letter", "A4"]
Purpose = Literal["outage", "day away", "trip", "off grid"]
Promised = Literal["critical", "critical and essential", "all loads"]

AC_VOLTS: Final = {"100 V": 100.0, "120 V": 120.0, "208 V": 208.0, "230 V": 230.0, "240 V": 240.0}
"""AC feeds and their nominal voltage [V]; every other feed is a DC port."""
NEAR: Final = 0.1
"""Nameplates of one system differ by so much from its nominal voltage [share]; ANSI C84.1 and IEC 60038, from memory."""
DISAGREE: Final = 0.25
"""Metered energy may differ from watts x duty x hours by so much [share]; common practice."""
DC_VOLTS: Final = {"12 V DC": 12.0, "24 V DC": 24.0, "48 V DC": 48.0, "USB": 5.0}
"""DC ports and their nominal voltage [V]; USB before any higher voltage is agreed on."""


def is_near(one: float, other: float) -> bool:
    """Whether two voltages may be those of one system, as its nominal and its nameplates."""
    return abs(one - other) <= NEAR * max(one, other)


class About(Section):
    """Who the case is for."""

    title: str = ask("Title", usual="Backup power proposal")
    client: str = ask("Client", usual="")
    place: str = ask("Place", usual="")
    prepared_by: str = ask("Prepared by", usual="")
    date: str = ask("Date", usual="", note="Any form of date; it is shown as written.")
    currency: str = ask("Currency", usual="$", note="The word or sign that stands beside prices.")
    purpose: Purpose = ask(
        "Plan is for",
        usual="outage",
        note="outage: the power fails. day away: a stall, far from the outlet. trip: a vehicle. off grid: no supply. "
        "Sentences speak of it; no number changes.",
    )
    note: str = ask("Remark", usual="")
    units: Units = ask(
        "Units",
        usual="metric",
        note="US: lb, °F, gal in headings, results and what is typed. Sentences follow at once, the rest once it is written anew.",
    )
    paper: PaperSize | None = ask(
        "Paper",
        note="Taken when the workbook is written. Blank = Letter where the house voltage is 120 or 208 V, else A4.",
    )


class Load(Section):
    """One line of the load inventory. Every number is for one of them. All blank: a spare row."""

    name: str = ask("Load", usual="", needed=True, note="What it is, as the client calls it.")
    place: str = ask("Where", usual="", note="Room or circuit.")
    on: OnOff | None = ask("Counts", note="no: left out everywhere, as if it were not there. Blank = yes.")
    tier: Tier | None = ask(
        "Tier",
        note="critical: never shed. essential: shed last. convenience: shed first. Blank = essential.",
    )
    quantity: int | None = ask("How many", low=0, high=999, note="Blank = 1.")
    running_w: float | None = ask(
        "Running", "W", low=0, high=50_000, needed=True, note="Draw of one of them while it runs."
    )
    starting_w: float | None = ask(
        "Starting",
        "W",
        low=0,
        high=200_000,
        note="The whole draw of one at the moment it starts, not what is added to running; a motor's plate tells it by its "
        "amperes at locked rotor (LRA). Blank = as running.",
    )
    power_factor: float | None = ask("Power factor", low=0.1, high=1, note="Running watts per volt-ampere. Blank = 1.")
    duty: float | None = ask(
        "Duty", "share", low=0, high=1, note="Share of its scheduled time that it really runs. Blank = 100 %."
    )
    hours_per_day: float | None = ask(
        "Hours a day", "h", low=0, high=24, needed=True, note="Time switched on in 24 hours."
    )
    starts_at: float | None = ask(
        "From", "clock", low=0, high=23.99, note="Clock hour at which it is switched on. Blank = at any time of day."
    )
    feed: Feed | None = ask("Feed", note="AC voltage or DC port. Blank = the house voltage (Assumptions).")
    turns: str = ask("Never at the same time", usual="", note="Loads with the same word here never run at once.")
    measured_wh_per_day: float | None = ask(
        "Metered",
        "Wh/day",
        low=0,
        high=500_000,
        note="Energy of one in a day, from a plug-in meter or an energy label. It replaces watts x duty x hours.",
    )
    gap_ms: float | None = ask(
        "Longest gap tolerated",
        "ms",
        low=0,
        high=600_000,
        note="Longest gap at transfer that it takes without harm. Blank = any gap.",
    )
    basis: Basis | None = ask(
        "Basis", note="Where the watts come from. typical = a table figure; measure before relying on it."
    )
    note: str = ask("Remark", usual="")


class Candidate(Section):
    """One battery-inverter unit on offer, as its data sheet states it. All blank: a spare column."""

    name: str = ask("Candidate", usual="", needed=True)
    storage_wh: float | None = ask(
        "Storage", "Wh", low=0, high=1_000_000, needed=True, note="Nameplate, without packs."
    )
    usable_share: float | None = ask("Usable share of storage", "share", low=0.1, high=1)
    cycles: float | None = ask("Cycles to 80 % of new", "cycles", low=1, high=100_000)
    continuous_w: float | None = ask("Continuous output", "W", low=0, high=200_000, needed=True)
    continuous_va: float | None = ask(
        "Continuous apparent output", "VA", low=0, high=200_000, note="Blank = the same number as watts."
    )
    surge_w: float | None = ask(
        "Surge output",
        "W",
        low=0,
        high=500_000,
        note="For the seconds in which a motor starts. Blank = not stated: what the continuous output does not start is asked.",
    )
    ac_volts: float | None = ask(
        "AC voltage", "V", low=90, high=350, note="Of one phase: 230, not 400. Blank = the house voltage."
    )
    ac_volts_2: float | None = ask("Second AC voltage", "V", low=90, high=350)
    volts_at_once: Together | None = ask(
        "Two voltages are there", note="both: at the same time. by switch: one or the other. Blank = ask the maker."
    )
    leg_w: float | None = ask(
        "Output on one leg",
        "W",
        low=0,
        high=200_000,
        note="Most that one leg gives where two voltages are there at once. Blank = half of the continuous output.",
    )
    bypass_w: float | None = ask(
        "Pass-through",
        "W",
        low=0,
        high=200_000,
        note="AC that goes past the inverter while a source is connected. Blank = as continuous output. 0 = none.",
    )
    ac_sockets: int | None = ask("AC sockets", low=0, high=99)
    dc_w: float | None = ask("DC ports, together", "W", low=0, high=50_000, note="0 = has none.")
    usb_w: float | None = ask("USB ports", "W", low=0, high=50_000, note="All of them. 0 = has none.")
    dc_12v_w: float | None = ask("12 V DC ports", "W", low=0, high=50_000, note="All of them. 0 = has none.")
    dc_24v_w: float | None = ask("24 V DC ports", "W", low=0, high=50_000, note="All of them. 0 = has none.")
    dc_48v_w: float | None = ask("48 V DC ports", "W", low=0, high=50_000, note="All of them. 0 = has none.")
    inverter_efficiency: float | None = ask(
        "Inverter efficiency", "share", low=0.3, high=1, note="Added output per added storage draw; idle draw apart."
    )
    idle_w: float | None = ask("Idle draw, inverter on", "W", low=0, high=1_000)
    dc_efficiency: float | None = ask("DC port efficiency", "share", low=0.3, high=1)
    charge_efficiency: float | None = ask(
        "Charge efficiency", "share", low=0.3, high=1, note="Stored per solar energy in."
    )
    pack_wh: float | None = ask("Expansion pack", "Wh", low=0, high=1_000_000)
    packs_max: int | None = ask("Packs at most", low=0, high=99)
    packs: int | None = ask("Packs, fixed by hand", low=0, high=99, note="Blank = the fewest that hold the need.")
    ac_charge_w: float | None = ask("Charging from AC", "W", low=0, high=100_000)
    ac_charge_min_w: float | None = ask(
        "Charging from AC, lowest setting", "W", low=0, high=100_000, note="Blank = it can't be set lower."
    )
    ac_charge_efficiency: float | None = ask("AC charge efficiency", "share", low=0.3, high=1)
    pv_inputs: int | None = ask("Solar inputs", low=0, high=20)
    pv_min_v: float | None = ask("Solar input, minimum voltage", "V", low=0, high=1_500)
    pv_max_v: float | None = ask(
        "Solar input, maximum voltage",
        "V",
        low=0,
        high=1_500,
        note="Maximum input voltage: more than this, even for a moment, destroys the input.",
    )
    pv_max_a: float | None = ask("Solar input, maximum current", "A", low=0, high=500, note="More is not drawn.")
    pv_max_isc_a: float | None = ask(
        "Solar input, short-circuit current",
        "A",
        low=0,
        high=500,
        note="Blank = the maker allows more; the input clips.",
    )
    pv_input_w: float | None = ask("Solar input, power each", "W", low=0, high=100_000, note="Blank = the total.")
    pv_total_w: float | None = ask("Solar inputs, power together", "W", low=0, high=200_000, note="Blank = the sum.")
    charge_min_c: float | None = ask("Charging, lowest temperature", "°C", low=-40, high=40)
    weight_kg: float | None = ask("Weight", "kg", low=0, high=2_000)
    pack_weight_kg: float | None = ask("Weight of a pack", "kg", low=0, high=2_000)
    price: float | None = ask("Price", "money", low=0, high=10_000_000)
    pack_price: float | None = ask("Price of a pack", "money", low=0, high=10_000_000)
    noise_db: float | None = ask("Noise at 1 m", "dB(A)", low=0, high=120)
    transfer_ms: float | None = ask("Transfer time", "ms", low=0, high=60_000, note="Gap when mains fails.")
    warranty_years: float | None = ask("Warranty", "years", low=0, high=50)
    note: str = ask("Remark", usual="")


class Sizing(Section):
    """What the sizing assumes and how strict it is."""

    basis: Need = ask(
        "Storage is sized for",
        usual="planned days",
        note="planned days: what keeps the promise, hour by hour. days without recharging: that many mean days.",
    )
    autonomy_days: float = ask(
        "Days without recharging",
        "days",
        usual=1.0,
        low=0.04,
        high=30,
        note="How long storage alone must carry the loads.",
    )
    energy_margin: float = ask(
        "Margin on energy", "share", usual=0.10, low=0, high=2, source="common practice (10 to 15 %)"
    )
    reserve: float = ask("Reserve never planned on", "share", usual=0.10, low=0, high=0.9, source="common practice")
    age_share: float = ask(
        "Share of new capacity left",
        "share",
        usual=0.90,
        low=0.3,
        high=1,
        note="0.80 sizes for the end of the rated cycles, 1.00 for the first day.",
        source="common practice (mean of new and 80 %)",
    )
    storage_c: float = ask(
        "Storage temperature", "°C", usual=20.0, low=-40, high=60, note="Where the unit stands during the outage."
    )
    running_margin: float = ask(
        "Margin on running",
        "share",
        usual=0.25,
        low=0,
        high=2,
        note="On loads of three hours a day or more; the others count as they are.",
        source="NEC 210.20(A)",  # by transcription
    )
    at_once: int = ask(
        "Short-use loads on together",
        usual=2,
        low=0,
        high=99,
        note="Of loads under three hours a day that say no start time, at most so many run together; the largest "
        "count. Critical loads and loads that take turns are not among them. 0 = all of them.",
        source="common practice",
    )
    starting_margin: float = ask("Margin on starting", "share", usual=0.0, low=0, high=2, source="common practice")
    starting: Starting = ask(
        "Starting check",
        usual="one at a time",
        note="together: every motor starts at once, as when power comes back to everything.",
    )
    inverter: Inverter = ask(
        "Inverter is", usual="always on", note="only with AC loads: somebody or a timer switches it off between."
    )
    feed: Literal["100 V", "120 V", "208 V", "230 V", "240 V"] = ask(
        "House voltage", usual="120 V", note="Taken where a load or a candidate leaves its voltage blank."
    )
    lift_kg: float = ask(
        "One person lifts at most",
        "kg",
        usual=23.0,
        low=5,
        high=60,
        note="Load constant of the revised lifting equation: the ideal lift. Real lifts allow less.",
        source="NIOSH Publication 94-110",
    )
    noise_limit_db: float = ask("Noise limit at 1 m", "dB(A)", usual=50.0, low=20, high=100, source="common practice")
    metered_spread: float = ask(
        "Doubt about metered energy", "share", usual=0.05, low=0, high=2, source="common practice"
    )
    label_spread: float = ask(
        "Doubt about label energy",
        "share",
        usual=0.20,
        low=0,
        high=2,
        note="Also for a day's energy that does not say whether it was metered.",
        source="common practice",
    )
    typical_spread: float = ask(
        "Doubt about typical energy",
        "share",
        usual=0.50,
        low=0,
        high=2,
        note="Also for estimates, and for watts that say no basis.",
        source="common practice",
    )


class Assumed(Section):
    """What is taken where a data sheet is silent."""

    usable_share: float = ask("Usable share of storage", "share", usual=0.95, low=0.1, high=1, source="common practice")
    cycles: float = ask("Cycles to 80 % of new", "cycles", usual=3000.0, low=1, high=100_000, source="common practice")
    inverter_efficiency: float = ask(
        "Inverter efficiency", "share", usual=0.90, low=0.3, high=1, source="solar trade press: 0.90 on the safe side"
    )
    idle_w: float = ask(
        "Idle draw, inverter on", "W", usual=15.0, low=0, high=1_000, source="common practice; measure it"
    )
    dc_efficiency: float = ask("DC port efficiency", "share", usual=0.92, low=0.3, high=1, source="common practice")
    charge_efficiency: float = ask("Charge efficiency", "share", usual=0.95, low=0.3, high=1, source="common practice")
    ac_charge_efficiency: float = ask(
        "AC charge efficiency",
        "share",
        usual=0.90,
        low=0.3,
        high=1,
        note="Outlet to storage.",
        source="common practice (0.85 there and back, NREL ReEDS, leaves 0.92 each way)",
    )
    charge_min_c: float = ask(
        "Charging, lowest temperature",
        "°C",
        usual=0.0,
        low=-40,
        high=40,
        note="Lithium iron phosphate cells are not charged below this.",
        source="makers' cell specifications",
    )


class Point(Section):
    """One point of the line of capacity against temperature."""

    temperature_c: float | None = ask("Storage temperature", "°C", low=-60, high=80)
    capacity_share: float | None = ask("Share of capacity", "share", low=0, high=1.2)


USUAL_POINTS: Final = tuple(
    Point(temperature_c=t, capacity_share=s)
    for t, s in ((-20.0, 0.70), (0.0, 0.85), (10.0, 0.95), (25.0, 1.0), (45.0, 1.0))
)
"""Lithium iron phosphate, share of capacity [-] against temperature [°C]; common practice, makers differ by 0.1."""


class Money(Section):
    """What the price is made of, and what decides between candidates that fit."""

    accessories_price: float = ask("Accessories", "money", usual=0.0, low=0, high=10_000_000, note="Cables, box, cart.")
    labour_price: float = ask(
        "Labour", "money", usual=0.0, low=0, high=10_000_000, note="Setting up, wiring by a licensed electrician."
    )
    uses_per_year: float = ask(
        "Uses a year",
        "1/year",
        usual=4.0,
        low=0.01,
        high=1_000,
        note="How often the days planned come; 365 for a unit that works every day of a one-day plan.",
        source="common practice; ask the client",
    )
    years: float = ask("Years in use", "years", usual=10.0, low=0.1, high=50, source="common practice")
    discount_share: float = ask("Discount", "share", usual=0.0, low=0, high=1, note="On unit and packs.")
    tax_share: float = ask("Tax", "share", usual=0.0, low=0, high=1, note="On everything, after the discount.")
    budget: float | None = ask(
        "Budget", "money", low=0, high=10_000_000, note="For all of it, tax in. What costs more is told, not left out."
    )
    rank_by: Criterion = ask("Rank by", usual="price", note="Lowest first; the weighted score highest first.")


class Weights(Section):
    """How much each criterion counts in the weighted score. Only their proportion matters."""

    price: float = ask("Price with packs", "weight", usual=4.0, low=0, high=100)
    life_cost: float = ask("Price per kWh over life", "weight", usual=2.0, low=0, high=100)
    usable: float = ask("Usable storage", "weight", usual=2.0, low=0, high=100)
    weight: float = ask("Weight with packs", "weight", usual=1.0, low=0, high=100)
    noise: float = ask("Noise", "weight", usual=1.0, low=0, high=100)


class Sun(Section):
    """The place under the sun."""

    resource: Resource = ask(
        "Sun is stated as", usual="peak sun hours", note="Which of the three monthly columns counts."
    )
    latitude_deg: float = ask("Latitude", "°", usual=0.0, low=-90, high=90, note="North positive, south negative.")
    shape_clearness: float = ask(
        "Clearness where only sun hours are known",
        "share",
        usual=0.5,
        low=0.3,
        high=0.8,
        note="Shapes the day where only peak sun hours are stated; their sum stays as stated.",
        source="common practice",
    )
    solar_noon_at: float = ask(
        "Solar noon, clock time", "clock", usual=12.0, low=9, high=15, note="About 13 where summer time is kept."
    )
    albedo: float = ask(
        "Ground reflectance",
        "share",
        usual=0.2,
        low=0,
        high=1,
        note="0.7 under snow.",
        source="Duffie and Beckman",  # by transcription
    )
    month: int = ask("Design month", "1-12", usual=12, low=1, high=12, note="The month the array is laid out for.")
    ambient_c: float = ask("Air by day", "°C", usual=20.0, low=-60, high=60, note="For months that leave it blank.")
    coldest_c: float | None = ask(
        "Coldest air",
        "°C",
        low=-60,
        high=40,
        note="Record low in daylight. Blank = no string layout is allowed: on that morning too many in series destroy an input.",
    )
    hottest_c: float = ask("Hottest air", "°C", usual=40.0, low=-20, high=60)

    @property
    def unplaced(self) -> bool:
        """Whether the sun is worked out from a latitude that is not stated."""
        return self.resource != "peak sun hours" and "latitude_deg" not in self.model_fields_set


class Month(Section):
    """One month of the resource; only the column that `resource` names counts."""

    global_kwh: float | None = ask(
        "Global irradiation, flat", "kWh/m²·day", low=0, high=15, note="Mean day of the month on the horizontal."
    )
    clearness: float | None = ask("Clearness index", "share", low=0, high=0.9, note="Global over extraterrestrial.")
    peak_sun_hours: float | None = ask("Peak sun hours", "h/day", low=0, high=15, note="In the plane of the array.")
    ambient_c: float | None = ask("Air by day", "°C", low=-60, high=60, note="Blank = the usual air by day.")


class Array(Section):
    """The solar modules the case plans. Watts, volts and amperes have no usual value: see `LAYOUT_NEEDS`."""

    modules: int = ask("Modules planned", usual=0, low=0, high=200, note="0 = no solar.")
    power_w: float | None = ask("Power", "W", low=1, high=2_000, note="At standard test conditions.")
    voc_v: float | None = ask("Open-circuit voltage", "V", low=1, high=500)
    vmp_v: float | None = ask("Maximum power voltage", "V", low=1, high=500)
    isc_a: float | None = ask("Short-circuit current", "A", low=0.1, high=100)
    imp_a: float | None = ask("Maximum power current", "A", low=0.1, high=100)
    voc_tempco: float | None = ask(
        "Open-circuit voltage per °C", "1/°C", low=-0.01, high=0, note="Negative, such as -0.28 %/°C."
    )
    power_tempco: float = ask("Power per °C", "1/°C", usual=-0.0036, low=-0.01, high=0)
    noct_c: float = ask(
        "Nominal operating cell temperature", "°C", usual=45.0, low=20, high=80, measure="as on data sheets"
    )
    tilt_deg: float = ask("Tilt", "°", usual=30.0, low=0, high=90, note="0 = flat, 90 = upright.")
    azimuth_deg: float = ask("Facing", "°", usual=180.0, low=0, high=360, note="Compass: 90 east, 180 south, 270 west.")
    array_efficiency: float = ask(
        "Array efficiency",
        "share",
        usual=0.85,
        low=0.1,
        high=1,
        note="Soiling, wiring, mismatch, tracking.",
        source="common practice",
    )
    voltage_margin: float = ask(
        "Margin on cold voltage",
        "share",
        usual=0.05,
        low=0,
        high=0.5,
        note="The straight-line rule runs 1 to 3 % below most modules in deep cold, and up to 5 % below some.",
        source="single-diode model of 208 modules against the straight line, computed",
    )


class Recharge(Section):
    """Charging that is not the sun."""

    generator_w: float = ask("Generator, continuous output", "W", usual=0.0, low=0, high=100_000, note="0 = none.")
    fuel_l_per_kwh: float = ask(
        "Fuel per kWh",
        "l/kWh",
        usual=0.54,
        low=0.05,
        high=5,
        note="Small petrol sets near half load.",
        source="EIA gasoline heat content at 20 % efficiency: 7.05 kWh/gal",
    )
    fuel_price: float = ask("Fuel price per litre", "money", usual=0.0, low=0, high=1_000, measure="money/l")
    outlet_v: float | None = ask(
        "Outlet, voltage",
        "V",
        low=90,
        high=480,
        note="Of the mains window of the outage. Blank = the house voltage.",
    )
    outlet_a: float = ask(
        "Outlet, current",
        "A",
        usual=12.0,
        low=0.1,
        high=80,
        note="What may be drawn for hours: 12 A on a 15 A circuit.",
        source="NEC 210.20(A): 80 % of the circuit",  # by transcription
    )


class Outage(Section):
    """The outage that is carried through hour by hour."""

    days: int = ask("Days planned", "days", usual=2, low=1, high=MAX_DAYS)
    starts_at: int = ask("The first begins at", "clock", usual=18, low=0, high=23)
    month: int = ask("Month", "1-12", usual=1, low=1, high=12)
    promise: Promised = ask(
        "Promise", usual="critical and essential", note="Loads that get all they ask for, in every hour."
    )
    start_share: float = ask("State of charge at the start", "share", usual=1.0, low=0, high=1)
    drop_convenience_at: float | None = ask(
        "Device drops convenience loads below",
        "share",
        low=0,
        high=1,
        note="A share that is set in the device. Blank = a person follows the operation card.",
    )
    drop_essential_at: float | None = ask(
        "Device drops essential loads below",
        "share",
        low=0,
        high=1,
        note="As above. Critical loads are never dropped, convenience loads go first.",
    )
    reading_1: int = ask(
        "First reading of the display",
        "clock",
        usual=6,
        low=0,
        high=23,
        note="Nothing is switched in between; it is also read at the start.",
        source="common practice",
    )
    reading_2: int = ask(
        "Second reading", "clock", usual=12, low=0, high=23, note="Type an hour twice to read less often."
    )
    reading_3: int = ask("Third reading", "clock", usual=18, low=0, high=23)
    reading_4: int = ask("Fourth reading", "clock", usual=22, low=0, high=23)
    sky: float = ask(
        "A day's share of the sun",
        "share",
        usual=0.6,
        low=0,
        high=1.5,
        note="For days that say nothing below. 1 = mean day.",
    )
    generator_from: float = ask("Generator runs from", "clock", usual=17.0, low=0, high=23.99)
    generator_hours: float = ask("Generator hours a day", "h", usual=0.0, low=0, high=24, note="0 = not run.")
    mains_from: float = ask(
        "Outlet within reach from",
        "clock",
        usual=22.0,
        low=0,
        high=23.99,
        note="Mains for part of the day, as overnight at home. The generator rests then.",
    )
    mains_hours: float = ask("Outlet hours a day", "h", usual=0.0, low=0, high=24, note="0 = none.")
    repeats: OnOff = ask(
        "Each day must repeat", usual="no", note="yes: the last day must end with as much in storage as it began with."
    )
    packs: int | None = ask(
        "Packs",
        low=0,
        high=99,
        note="Of every candidate, as far as it has so many. Blank = the fewest that hold the need.",
    )
    leave_out: str = ask("Leave out", usual="", note="The name of a load in the inventory: it counts nowhere.")
    without: str = ask("What if without this load", usual="", note="The name of a load in the inventory.")
    candidate: str = ask("Candidate shown", usual="", note="Blank = the pick.")


class Day(Section):
    """One day of the outage."""

    sky: float | None = ask(
        "Share of the sun", "share", low=0, high=1.5, note="1 = a mean day of the month, 0.2 = heavy cloud."
    )


class Vehicle(Section):
    """A vehicle that must be brought to the next charger."""

    distance: float = ask(
        "Distance to the charger", "", usual=0.0, low=0, high=2_000, note="0 = no vehicle is planned."
    )
    distance_unit: DistanceUnit | None = ask("Distance is in", note="Blank = km, or mi where units are US.")
    consumption: float | None = ask(
        "Consumption",
        "",
        low=0.01,
        high=10_000,
        note="Blank = 18 kWh/100 km, which is 29 kWh/100 mi, in whatever unit.",
    )
    consumption_unit: ConsumptionUnit = ask("Consumption is in", usual="kWh/100 km")
    consumption_at: ConsumptionAt = ask(
        "Consumption is counted at",
        usual="battery",
        note="battery: as the dashboard shows it. outlet: as an official label gives it, charging loss included.",
    )
    distance_margin: float = ask(
        "Margin on distance", "share", usual=0.20, low=0, high=3, note="Cold, hills, a detour."
    )
    charger_efficiency: float = ask(
        "Charger efficiency",
        "share",
        usual=0.84,
        low=0.3,
        high=1,
        note="Outlet to traction battery at low power.",
        source="common practice: about 0.84 at level 1",  # from memory, not verified
    )
    charger_v: float = ask("Charger voltage", "V", usual=120.0, low=90, high=480)
    charger_a: float = ask(
        "Charger current",
        "A",
        usual=12.0,
        low=1,
        high=80,
        note="What it draws for hours: 12 A on a 15 A circuit. It is 80 % of the circuit already, so no margin is added.",
        source="SAE J1772 level 1: 120 V, 12 A",  # by transcription
    )


class Delivery(Section):
    """Another one-off: a tool battery, an e-bike, a pump run."""

    name: str = ask("Delivery", usual="")
    energy_wh: float | None = ask("Energy, each time", "Wh", low=0, high=1_000_000, note="At the outlet.")
    power_w: float | None = ask("Draw", "W", low=0, high=50_000)
    times: int | None = ask("Times", low=0, high=1_000, note="Blank = once.")


class Case(Section):
    """The whole case. Rows keep their place; blank rows are rows of which every field is blank."""

    about: About = About()
    loads: tuple[Load, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    sizing: Sizing = Sizing()
    assumed: Assumed = Assumed()
    points: tuple[Point, ...] = USUAL_POINTS
    money: Money = Money()
    weights: Weights = Weights()
    sun: Sun = Sun()
    months: tuple[Month, ...] = (Month(),) * 12
    array: Array = Array()
    recharge: Recharge = Recharge()
    outage: Outage = Outage()
    days: tuple[Day, ...] = ()
    vehicle: Vehicle = Vehicle()
    deliveries: tuple[Delivery, ...] = ()
    business: Business = Business()
    offer: OfferPaper = OfferPaper()
    items: tuple[Item, ...] = ()
    terms: tuple[Term, ...] = ()
    calls: Calls = Calls()
    logo: Picture | None = carried()
    """The picture that `business.logo` names, of a case whose files were read. No input: no formula knows it."""

    @property
    def is_unfed(self) -> bool:
        """Whether a plan off the grid has nothing that recharges: no module, no outlet, no generator that runs. To an outage
        or a day away the outlet comes back.
        """
        generator = self.recharge.generator_w > 0 and self.outage.generator_hours > 0
        return self.about.purpose == "off grid" and not (
            self.array.modules > 0 or self.outage.mains_hours > 0 or generator
        )


RECORDS: Final[dict[str, type[Section]]] = {
    "loads": Load,
    "candidates": Candidate,
    "points": Point,
    "months": Month,
    "days": Day,
    "deliveries": Delivery,
    "items": Item,
    "terms": Term,
}
"""Parts of the case that are rows."""

LAYOUT_NEEDS: Final[dict[str, tuple[str, ...]]] = {
    "array": ("power_w", "voc_v", "vmp_v", "isc_a", "imp_a", "voc_tempco"),
    "sun": ("coldest_c",),
}
"""Settings without a usual value: while one is blank no string layout is allowed. A check on usual figures is none."""

FORMS: Final[dict[str, type[Section]]] = {
    "about": About,
    "sizing": Sizing,
    "assumed": Assumed,
    "money": Money,
    "weights": Weights,
    "sun": Sun,
    "array": Array,
    "recharge": Recharge,
    "outage": Outage,
    "vehicle": Vehicle,
    "business": Business,
    "offer": OfferPaper,
    "calls": Calls,
}
"""Parts of the case that are single settings."""
