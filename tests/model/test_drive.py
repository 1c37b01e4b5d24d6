"""What the pages say of a drive: what it takes, what would do, and how far the vehicle comes."""

from holdover.case.schema import About, Candidate, Case, Outage, Vehicle
from holdover.model.study import Study, study


def test_packs_that_would_do_are_named_where_fewer_are_set() -> None:
    """One pack is set and two would bring the vehicle there: the page says how many, and that one more does it."""
    unit = Candidate(
        name="Unit", storage_wh=2000, pack_wh=2000, packs_max=2, continuous_w=1800, surge_w=3000, ac_volts=120
    )
    vehicle = Vehicle(distance=9, distance_unit="mi", consumption=280, consumption_unit="Wh/mi")

    def told(packs: int | None) -> Study:
        return study(Case(candidates=(unit,), vehicle=vehicle, outage=Outage(days=1, packs=packs)))

    assert "It takes 2 packs to get there with the margin." in told(1).drive.lead
    assert told(1).answer.more.pack == "One pack more: loads and drive both get theirs."
    assert "before the vehicle charges" in told(1).answer.now
    assert told(1).drive.spare == "drive, to spare"
    free = told(None)
    assert free.shown.held.packs == 2 and "Storage is enough for the drive by itself." in free.drive.lead
    far = vehicle.model_copy(update={"distance": 90})
    lead = study(free.case.model_copy(update={"vehicle": far})).drive.lead
    assert "does not get there with its margin, not with every pack it may have." in lead


def test_the_first_page_and_the_offer_tell_of_the_drive() -> None:
    """9 miles are why it is bought: the offer promises them, the page tells how long it charges, by what, and how safely."""
    unit = Candidate(name="Unit", storage_wh=6000, continuous_w=1800, surge_w=3000, ac_volts=120)
    case = Case(candidates=(unit,), vehicle=Vehicle(distance=9, distance_unit="mi"), about=About(purpose="trip"))
    found = study(case)
    assert found.drive.first_page.endswith(" kWh, at 29 kWh/100 mi, as is usual.")
    assert " Charging takes 2.6 h and " in found.drive.first_page
    assert "; the vehicle goes 11.7 miles, 9 are planned" in found.quotation.so_that
    assert found.answer.cautions.startswith("Charge clear of traffic") and "building" not in found.answer.cautions
    stated = case.model_copy(update={"vehicle": Vehicle(distance=9, consumption=18)})
    assert "as is usual" not in study(stated).drive.first_page


def test_a_distance_is_the_same_in_tables_and_sentences() -> None:
    """What a sentence cuts to a tenth the table beside it does not round up: 13.26 miles are 13.2 in both."""
    unit = Candidate(name="Unit", storage_wh=6250, continuous_w=1800, surge_w=3000, ac_volts=120)
    found = study(Case(candidates=(unit,), vehicle=Vehicle(distance=9.05, distance_unit="mi"))).shown
    told = found.arrival.range_told
    assert told <= found.arrival.range_own < told + 0.1
    assert found.arrival.told.startswith(f"{told:g} miles")
    assert found.vehicle.range_told[0] == told and found.vehicle.range_told[1] == ""
