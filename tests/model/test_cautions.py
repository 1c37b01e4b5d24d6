"""Cautions are told where they apply, and nowhere else."""

from fnmatch import fnmatchcase
from typing import Any

import pytest

from holdover.case.schema import FORMS, About, Array, Case, Load, Outage, Sizing, Vehicle
from holdover.case.section import source_of
from holdover.case.words import data, vocabulary
from holdover.model.pages.cautions import CONDITIONS, Cautions, cord_amps, lost_share
from holdover.model.study import Slots, study
from holdover.workbook.sheets.cautions import APPLIES

LAMP = Load(name="Lamp", running_w=9, hours_per_day=4)
DRIVE = Vehicle(distance=10)
ABROAD = Sizing(feed="230 V")


def cautions(*loads: Load, us: bool = False, **parts: Any) -> Cautions:
    case = Case(loads=loads or (LAMP,), **({"sizing": ABROAD} | parts))
    return study(case, Slots(loads=4, candidates=1, days=2, us=us)).answer.called_for


def told(*loads: Load, **parts: Any) -> set[str]:
    return {each.name for each in cautions(*loads, **parts).all if each.applies}


def named(name: str, **more: object) -> Load:
    return Load.model_validate({"name": name, "running_w": 100, "hours_per_day": 4} | more)


def test_a_lamp_in_a_house_of_230_v_calls_for_nothing() -> None:
    """Where no condition holds, no caution beyond those that always hold is told."""
    found = cautions()
    assert (found.count, found.said, [line.title for line in found.lines if line.title]) == (0, "", [])


def test_how_a_source_was_seen_is_not_told_to_a_client() -> None:
    """Sheets name documents; whether somebody read or remembers them stands in the code."""
    sources = [caution["source"] for caution in vocabulary("cautions").values()]
    sources += [source_of(info) for form in FORMS.values() for info in form.model_fields.values()]
    assert len(sources) > 50
    assert not [source for source in sources if any(word in source for word in ("memory", "transcription", "seen"))]


@pytest.mark.parametrize(
    ("loads", "purpose", "with_whom"),
    [
        (("Till",), "day away", False),
        (("Till", "Nebulizer"), "day away", True),
        (("Till",), "outage", True),
    ],
)
def test_a_clinician_plans_for_no_till(loads: tuple[str, ...], purpose: str, *, with_whom: bool) -> None:
    """Away from home a critical load that isn't medical needs a second way out, and nobody's health hangs on it."""
    case = Case(
        about=About.model_validate({"purpose": purpose}), loads=tuple(named(one, tier="critical") for one in loads)
    )
    said = study(case, Slots(loads=4, candidates=1, days=2)).answer.cautions
    assert "A critical load needs a second way out" in said
    assert ("clinician" in said) == with_whom


@pytest.mark.parametrize(
    ("caution", "parts"),
    [
        ("shared_neutral", {"sizing": Sizing(feed="120 V")}),
        ("residual_current", {"about": About(purpose="day away")}),
        ("residual_current", {"about": About(purpose="off grid")}),
        ("residual_current", {"vehicle": DRIVE}),
        ("adapter_plug", {"vehicle": DRIVE}),
        ("hot_places", {"about": About(purpose="trip")}),
        ("hot_places", {"sizing": Sizing(feed="230 V", storage_c=35)}),
        ("transport", {"about": About(purpose="day away")}),
        ("array_disconnect", {"array": Array(modules=1)}),
        ("cold_vehicle", {"vehicle": DRIVE, "sizing": Sizing(feed="230 V", storage_c=9.9)}),
        ("cold_vehicle", {"about": About(purpose="trip"), "sizing": Sizing(feed="230 V", storage_c=-5)}),
        ("cords", {"vehicle": DRIVE}),
    ],
)
def test_a_plan_calls_for_a_caution(caution: str, parts: dict[str, Any]) -> None:
    """What is planned brings the caution, and without it the caution is silent."""
    assert caution in told(**parts)
    assert caution not in told()


@pytest.mark.parametrize(
    ("caution", "parts"),
    [
        ("shared_neutral", {"sizing": Sizing(feed="120 V"), "about": About(purpose="trip")}),
        ("shared_neutral", {"sizing": Sizing(feed="240 V")}),
        ("hot_places", {"sizing": Sizing(feed="230 V", storage_c=34.9)}),
        ("hot_places", {"about": About(purpose="off grid")}),
        ("transport", {"vehicle": DRIVE}),
        ("adapter_plug", {"about": About(purpose="trip")}),
        ("cold_vehicle", {"vehicle": DRIVE, "sizing": Sizing(feed="230 V", storage_c=10)}),
        ("cold_vehicle", {"sizing": Sizing(feed="230 V", storage_c=-5)}),
    ],
)
def test_a_plan_that_comes_close_does_not(caution: str, parts: dict[str, Any]) -> None:
    """Each condition ends where it says."""
    assert caution not in told(**parts)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Gas furnace", {"furnace", "sine"}),
        ("Combi BOILER controls", {"furnace", "sine"}),
        ("Sump pump", {"flood", "residual_current", "sine", "cords"}),
        ("Refrigerator", {"sine", "cords"}),
        ("Mini fridge", {"sine", "cords"}),
        ("Kettle", {"cords"}),
        ("Oxygen concentrator", {"sine", "medical"}),
        ("Ventilator", {"sine", "medical"}),
        ("Tauchpumpe Keller", {"flood", "residual_current", "sine", "cords"}),
        ("Gasheizung (Steuerung)", {"furnace", "sine"}),
        ("Vide-cave", {"flood", "residual_current", "sine", "cords"}),
        ("Caldera de gas", {"furnace", "sine"}),
        ("Sauerstoffkonzentrator", {"sine", "medical"}),
        ("Decken-Ventilator aus", {"sine"}),
        ("Lüfter (Ventilator)", {"sine"}),
        ("Router", set()),
    ],
)
def test_a_load_calls_for_a_caution_by_its_name(name: str, expected: set[str]) -> None:
    """A word in the name of a load brings the cautions of its kind, and no others."""
    assert told(named(name)) == expected


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_a_name_in_another_language_calls_for_what_its_english_one_does(language: str) -> None:
    """A name that is known as a typical load has a word of each caution that its English name has a word of.

    But for a breast pump, which stands in no water: its English name is caught by the pump in it.
    """
    words = {name: each["words"] for name, each in vocabulary("cautions").items() if "words" in each}
    names = data(f"typical-{language}.toml")["spellings"]

    def called(name: str) -> set[str]:
        return {
            caution
            for caution, patterns in words.items()
            if any(fnmatchcase(name, word if "*" in word else f"*{word}*") for word in patterns)
        }

    known = {name: english for name, english in names.items() if english != "breast pump"}
    assert len(known) >= 60
    assert {
        name: called(english) - called(name) for name, english in known.items() if called(english) - called(name)
    } == {}


def test_a_load_that_does_not_count_calls_for_nothing() -> None:
    """A load that is switched off or left out brings no caution, nor does one at a DC port but for water."""
    assert told(named("Furnace", on="no")) == set()
    assert told(named("Furnace"), outage=Outage(leave_out="Furnace")) == set()
    assert told(named("Fridge", feed="12 V DC")) == set()
    assert told(named("Bilge pump", feed="12 V DC")) == {"flood"}


def test_what_is_told_stands_in_order_with_its_source() -> None:
    """The first lines hold the cautions that apply, each with a text and a source; the rest are blank."""
    found = cautions(named("Furnace"), named("Kettle"), vehicle=DRIVE)
    titles = [each.title for each in found.all if each.applies]
    assert [line.title for line in found.lines] == titles + [""] * (len(found.all) - len(titles))
    assert found.said == ", ".join(titles)
    assert found.count == len(titles) == 5
    assert all(line.text and line.source for line in found.lines[: found.count])


def test_every_caution_has_words_a_condition_and_a_formula() -> None:
    """The three lists hold the same cautions in one order, and each names its source."""
    texts = data("cautions.toml")
    assert set(texts) == set(CONDITIONS)
    assert list(CONDITIONS) == list(APPLIES)
    assert all({"title", "text", "source"} <= set(words) and len(words["text"]) < 400 for words in texts.values())


def test_in_the_united_states_words_are_theirs() -> None:
    """Where units are US an RCD is a GFCI."""
    found = cautions(named("Sump pump"), us=True)
    assert "GFCI" in found.said
    assert "RCD (GFCI) and the neutral" in cautions(named("Sump pump")).said  # Canada is metric and says GFCI


def test_a_cord_carries_what_an_outlet_gives_at_most() -> None:
    """500 VA at 230 V are 2.2 A; 20 kVA are cut at 16 A, at 120 V at 15 A; a charger of 32 A counts in full."""
    for house, loads, vehicle, amps in (
        ("230 V", 500, 0, 500 / 230),
        ("230 V", 20_000, 0, 16),
        ("120 V", 20_000, 0, 15),
        ("120 V", 20_000, 5, 32),
    ):
        case = Case(
            loads=(named("Load", running_w=loads, hours_per_day=1, tier="critical"),),
            sizing=Sizing(feed=house),  # type: ignore[arg-type]  # a feed of the list above
            vehicle=Vehicle(distance=vehicle, charger_a=32),
        )
        assert cord_amps(study(case).demand, case) == pytest.approx(amps)


def test_a_cord_of_the_longest_length_loses_three_per_cent() -> None:
    """The longest length is the one at which the loss is 3 %; with no current there is none."""
    found = cautions(named("Heater", running_w=2000))
    for cord in found.cords:
        assert isinstance(cord.longest_m, float)
        assert lost_share(found.amps, cord.longest_m, cord.ohm_per_km, found.volts) == pytest.approx(0.03)
    assert {cord.longest_m for cord in cautions(named("Nothing", running_w=0)).cords} == {""}
