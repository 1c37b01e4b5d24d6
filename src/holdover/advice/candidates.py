"""What an adviser would remark on in the data sheet of a candidate. Pure over the case."""

from collections.abc import Iterator
from typing import Final

from holdover.case.figures import figure
from holdover.case.measure import at_most, told
from holdover.case.schema import AC_VOLTS, Candidate, Case, Load, is_near
from holdover.case.section import is_blank, unit_of
from holdover.case.typical import SMALL
from holdover.findings import Finding, report

SMALL_BESIDE: Final = {
    "continuous_va": 50.0,
    "pack_wh": 50.0,
    "ac_charge_w": 20.0,
    "pv_input_w": 20.0,
    "pv_total_w": 20.0,
}
"""Hardly a candidate states less [Wh, W]; common practice."""
CHEAP: Final = 0.05
"""A pack below this share of its unit's price, or a unit below it for each Wh of the others', may be misread [share];
common practice: packs cost a third of their unit or more."""
SOLAR: Final = ("pv_min_v", "pv_max_v", "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w")
"""Figures that only a solar input has."""


def remarks_on_candidate(candidate: Candidate, case: Case) -> Iterator[Finding]:
    """Remarks on one candidate: where it stands, its units, its voltages, what is left out, what contradicts itself."""
    yield from _stand(candidate, case)
    yield from _kilowatts(candidate)
    yield from _price(candidate, case)
    yield from _voltage(candidate, case)
    yield from _left_out(candidate, case)
    yield from _output_contradicts(candidate)
    yield from _packs_contradict(candidate)
    yield from _solar_contradicts(candidate)
    if candidate.packs is not None and candidate.packs > (candidate.packs_max or 0):
        yield report("A011.packs", packs=candidate.packs, packs_max=candidate.packs_max or 0)


def _stand(candidate: Candidate, case: Case) -> Iterator[Finding]:
    """What carrying it takes, and whether it is charged in the cold where it is to stand."""
    units = case.about.units
    for weight, what in ((candidate.weight_kg, "unit"), (candidate.pack_weight_kg, "pack")):
        if weight is not None and weight > case.sizing.lift_kg:
            yield report(
                "A009", what=what, weight=told(weight, "kg", units), lift=at_most(case.sizing.lift_kg, "kg", units)
            )
    lowest = case.assumed.charge_min_c if candidate.charge_min_c is None else candidate.charge_min_c
    if case.sizing.storage_c < lowest:
        yield report("A010", stands=told(case.sizing.storage_c, "°C", units), lowest=told(lowest, "°C", units))


def _kilowatts(candidate: Candidate) -> Iterator[Finding]:
    """Figures so small that kilowatts may be meant."""
    small = {
        name: value
        for name, least in (SMALL | SMALL_BESIDE).items()
        if (value := getattr(candidate, name)) is not None and 0 < value < least
    }
    if small:
        fields = Candidate.model_fields
        listed = ", ".join(f"{str(fields[n].title).lower()} {figure(v)} {unit_of(fields[n])}" for n, v in small.items())
        name, value = next(iter(small.items()))
        unit = unit_of(fields[name])
        yield report(
            "A024.candidate", figures=listed, kilo=f"{figure(value)} k{unit}", whole=f"{figure(1000 * value)} {unit}"
        )


def _price(candidate: Candidate, case: Case) -> Iterator[Finding]:
    """Prices so low that a thousand may have been read as one."""
    price, pack = candidate.price, candidate.pack_price
    if price and pack is not None and pack < CHEAP * price:
        yield report("A035.pack", pack_price=pack, price=price)
    others = [_price_per_wh(other) for other in case.candidates if other is not candidate]
    own, least = _price_per_wh(candidate), min((each for each in others if each), default=0.0)
    if price and own and own < CHEAP * least:
        yield report("A035.unit", price=price, wh=candidate.storage_wh)


def _price_per_wh(candidate: Candidate) -> float:
    """Price of each watt-hour on the nameplate, 0 where it is not stated."""
    return candidate.price / candidate.storage_wh if candidate.price and candidate.storage_wh else 0.0


def _voltage(candidate: Candidate, case: Case) -> Iterator[Finding]:
    """A voltage beside that of the house, which counts as another one though many loads take both."""
    house = AC_VOLTS[case.sizing.feed]
    made = [volts for volts in (candidate.ac_volts, candidate.ac_volts_2) if volts is not None]
    near = [volts for volts in made if volts != house and is_near(volts, house)]
    if near and house not in made:
        yield report("A026", near=near[0], house_v=house)


def _left_out(candidate: Candidate, case: Case) -> Iterator[Finding]:
    """Blank fields of a data sheet that decide something in this case."""
    if candidate.pv_inputs is None and any(getattr(candidate, name) for name in SOLAR):
        yield report("A027")
    if case.array.modules and candidate.pv_inputs and candidate.pv_min_v is None:
        yield report("A029")
    if candidate.dc_w is None and (fed := sum(map(_is_fed_dc, case.loads))):
        yield report("A028", loads=fed)
    if candidate.surge_w is None and candidate.continuous_w is not None:
        yield report("A036")
    generator = case.recharge.generator_w or case.outage.generator_hours
    if generator and candidate.ac_charge_w is None:
        yield report("A030")


def _is_fed_dc(load: Load) -> bool:
    return load.feed is not None and load.feed not in AC_VOLTS and load.on != "no" and not is_blank(load)


def _output_contradicts(sheet: Candidate) -> Iterator[Finding]:
    if sheet.continuous_w is None:
        return
    if sheet.surge_w is not None and sheet.surge_w < sheet.continuous_w:
        yield report("A011.surge", surge_w=sheet.surge_w, continuous_w=sheet.continuous_w)
    if sheet.continuous_va is not None and sheet.continuous_va < sheet.continuous_w:
        yield report("A011.apparent", continuous_va=sheet.continuous_va, continuous_w=sheet.continuous_w)


def _packs_contradict(sheet: Candidate) -> Iterator[Finding]:
    if sheet.packs_max and sheet.pack_wh is None:
        yield report("A011.pack_energy", packs_max=sheet.packs_max)
    if sheet.pack_wh and sheet.packs_max is None:
        yield report("A011.packs_most")


def _solar_contradicts(sheet: Candidate) -> Iterator[Finding]:
    inputs, input_w, total_w = sheet.pv_inputs or 0, sheet.pv_input_w or 0.0, sheet.pv_total_w
    if inputs * input_w and total_w is not None and total_w > inputs * input_w:
        yield report("A011.solar_power", total_w=total_w, inputs=inputs, input_w=input_w)
    if sheet.pv_min_v is not None and sheet.pv_max_v is not None and sheet.pv_min_v >= sheet.pv_max_v:
        yield report("A011.solar_voltage", min_v=sheet.pv_min_v, max_v=sheet.pv_max_v)
    if sheet.pv_max_a is not None and sheet.pv_max_isc_a is not None and sheet.pv_max_isc_a < sheet.pv_max_a:
        yield report("A011.solar_current", isc_a=sheet.pv_max_isc_a, max_a=sheet.pv_max_a)
