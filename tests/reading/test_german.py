"""Tables that are German throughout: headings, tiers, times of day and remarks."""

from pathlib import Path

import pytest

from holdover.reading.quantity.clock import read_span
from holdover.reading.table.headers import read_header
from holdover.returned.read import read_any

LOADS = """\
Lastenliste Haus am Hang, aufgenommen im Herbst;;;;;;;
Pos.;Bezeichnung;Anzahl;Leistung;Anlauf;Stunden pro Tag;Priorität;Bemerkung
1;Kühlschrank;1;120 W;700 W;8 h;wichtig;Küche
2;Tauchpumpe;1;0,75 kW;3 kW;2 h;lebenswichtig;Keller
3;Licht LED;12;7,5 W;;17:00-22:00;notwendig;
4;Ladegerät Handy;3;65 W;;abends;Komfort;
5;Fernseher;1;95 W;;19-22 Uhr;Komfort;
;Summe;18;;;;;
Hinweis: Der Herd bleibt am Netz.;;;;;;;
"""
CANDIDATES = """\
Modell;Kapazität;Dauerleistung;Spitzenleistung;Spannung;Umschaltzeit;Gewicht;Lautstärke;Garantie;Zyklen;Solareingang max;\
Ladeleistung (AC);Preis;Zusatzakku;Preis Zusatzakku;Akkus max.;Lieferzeit;Hinweis
Modell 1;5,12 kWh;5 kW;10 kW;230 V;20 ms;48 kg;45 dB(A);5 Jahre;6.000;2,5 kW;3,6 kW;4.999,00 €;5,12 kWh;2.199 €;3;2 Wochen;
Modell 2;3600 Wh;3,6 kW;7200 W;230 V;10 ms;45 kg;45 dB;5 Jahre;3.500;1600 W;3000 W;3.499 €;;;;sofort;mit Wagen
"""


def test_a_case_that_is_german_throughout_reads_clean(tmp_path: Path) -> None:
    """Every heading, tier and time is known: nothing is an error, and the figures are what a German reader takes them for."""
    (tmp_path / "case.toml").write_text('about.currency = "€"\nsizing.feed = "230 V"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(LOADS, encoding="utf-8")
    (tmp_path / "candidates.csv").write_text(CANDIDATES, encoding="utf-8")
    case, findings = read_any(tmp_path)[:2]
    assert [each for each in findings.found if each.level == "error"] == []
    assert case is not None
    fridge, pump, lamps, phones, tv = case.loads
    assert [each.tier for each in case.loads] == ["essential", "critical", "essential", "convenience", "convenience"]
    assert (fridge.running_w, fridge.starting_w, fridge.note) == (120, 700, "Küche")
    assert (pump.running_w, pump.starting_w, lamps.quantity, lamps.running_w) == (750, 3000, 12, 7.5)
    assert (phones.starts_at, phones.hours_per_day, tv.starts_at, tv.hours_per_day) == (18, 5, 19, 3)
    first, second = case.candidates
    assert (first.storage_wh, first.continuous_w, first.surge_w, first.ac_volts) == (5120, 5000, 10_000, 230)
    assert (first.transfer_ms, first.weight_kg, first.noise_db, first.warranty_years) == (20, 48, 45, 5)
    assert (first.cycles, first.pv_total_w, first.ac_charge_w, first.price) == (6000, 2500, 3600, 4999)
    assert (first.pack_wh, first.pack_price, first.packs_max, second.note) == (5120, 2199, 3, "mit Wagen")


def test_packs_and_their_price_in_one_cell_are_two_figures(tmp_path: Path) -> None:
    """`max. 3, je 2.199 €` is three packs at most of 2,199 each; a price column of its own goes before it."""
    (tmp_path / "case.toml").write_text('about.currency = "€"\nsizing.feed = "230 V"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(LOADS, encoding="utf-8")
    table = CANDIDATES.replace(";5,12 kWh;2.199 €;3;", ";5,12 kWh;;max. 3, je 2.199 €;")
    (tmp_path / "candidates.csv").write_text(table, encoding="utf-8")
    case, findings = read_any(tmp_path)[:2]
    assert case is not None, findings.errors
    assert (case.candidates[0].packs_max, case.candidates[0].pack_price) == (3, 2199)


@pytest.mark.parametrize("head", ["Ladeleistung", "Nutzbare Kapazität"])
def test_a_german_heading_of_two_meanings_is_asked(head: str) -> None:
    """`Ladeleistung` may be that of mains or sun; usable storage is no nameplate: both are refused with what to write."""
    header = read_header(head, "candidates")
    assert header is not None
    assert (header.field, bool(header.refused)) == ("", True)


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Preis / Pack price", "pack_price"),
        ("Ladeleistung / AC charging", "ac_charge_w"),
        ("Gewicht / Gewicht Akku", None),
    ],
)
def test_the_english_half_of_a_heading_is_the_precise_one(head: str, field: str | None) -> None:
    """Behind the same in German an English heading counts; two German ones that differ are asked."""
    header = read_header(head, "candidates")
    assert (header.field if header else None) == field


def test_the_word_for_the_clock_stands_once() -> None:
    """`19-22 Uhr` is from 19:00 to 22:00; `8-10 h` is a length between 8 and 10 hours, not a time of day."""
    span = read_span("19-22 Uhr")
    assert span is not None
    assert (span.starts_at, span.hours) == (19, 3)
    assert read_span("8-10 h") is None
