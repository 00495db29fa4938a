"""What a compliance officer should find in the finished water, by the arithmetic of the rules and nothing else."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from sample_lab.generator.files import sample_files
from sample_lab.records import Record, records_of

Numbers = Callable[[str, str], dict[date, Decimal]]

FINISHED = "Clearwell Outlet"


def _finished(records: list[Record], analyte: str) -> list[Record]:
    return [r for r in records if r["sample_point"] == FINISHED and r["analyte"] == analyte and r.is_routine]


def test_bromate_runs_close_to_its_limit(numbers: Numbers) -> None:
    # 40 CFR 141.64(a), 141.133(b)(2): mean of the months of four quarters against 0.010 mg/L.
    by_day = numbers("Bromate", FINISHED)
    year = [value for day, value in by_day.items() if date(2025, 10, 1) <= day <= date(2026, 9, 30)]
    assert len(year) == 12
    assert Decimal(8) < sum(year) / 12 < Decimal("9.5")


def test_bromate_was_far_from_its_limit_before_the_salt_changed(numbers: Numbers) -> None:
    values = [value for day, value in numbers("Bromate", FINISHED).items() if day < date(2025, 9, 1)]
    assert max(values) < 5


def test_bromate_does_not_come_through_the_membranes(sound_records: list[Record]) -> None:
    permeate = [r["value"] for r in sound_records if r["analyte"] == "Bromate" and r["sample_point"].startswith("RO-")]
    assert permeate
    assert all(value == "<1.0" or Decimal(value) < 1 for value in permeate)


def test_ndma_of_october_stays_above_the_permit_with_its_confirmation(records: list[Record]) -> None:
    october = [r for r in _finished(records, "N-Nitrosodimethylamine") if r.day >= date(2026, 10, 1)]
    first, confirmation, special = october
    assert (first["purpose"], confirmation["purpose"], special["purpose"]) == ("compliance", "confirmation", "special")
    assert confirmation["confirmation_of"] == first["sample"]
    assert (Decimal(first["value"]) + Decimal(confirmation["value"])) / 2 > 10
    assert special["value"] == "ND"


def test_ndma_of_the_summer_before_was_brought_under_by_its_confirmation(records: list[Record]) -> None:
    first, confirmation = (
        r for r in _finished(records, "N-Nitrosodimethylamine") if r.day.isoformat().startswith("2025-08")
    )
    assert Decimal(first["value"]) > 10
    assert confirmation["confirmation_of"] == first["sample"]
    assert (Decimal(first["value"]) + Decimal(confirmation["value"])) / 2 <= 10


def test_one_manganese_above_its_secondary_level(numbers: Numbers) -> None:
    # 40 CFR 143.3: 0.05 mg/L.
    above = {day: value for day, value in numbers("Manganese", FINISHED).items() if value > 50}
    assert list(above) == [date(2026, 10, 13)]


def test_pfoa_of_october_proves_nothing(records: list[Record]) -> None:
    # 40 CFR 141.902(a): trigger level 2.0 ng/L.
    *earlier, last = _finished(records, "Perfluorooctanoic acid (PFOA)")
    assert {r["value"] for r in earlier} == {"ND"}
    assert max(Decimal(r["reporting_limit"]) for r in earlier) < 2
    assert (last["value"], last.day) == ("ND", date(2026, 10, 13))
    assert Decimal(last["reporting_limit"]) > 4


def test_free_cyanide_has_two_of_four_quarters(records: list[Record]) -> None:
    assert [r.day.isoformat()[:7] for r in _finished(records, "Cyanide, Free")] == ["2026-07", "2026-10"]


def test_fluoride_of_the_last_month_is_in_a_unit_that_cannot_be(records: list[Record]) -> None:
    units = [r["unit"] for r in _finished(records, "Fluoride")]
    assert (set(units[:-1]), units[-1]) == ({"mg/L"}, "mg/kg")


def test_lead_and_copper_are_not_sampled(records: list[Record]) -> None:
    assert {record["analyte"] for record in records}.isdisjoint({"Lead", "Copper"})


def test_organic_carbon_stays_under_the_permit(numbers: Numbers) -> None:
    assert max(numbers("Total Organic Carbon", FINISHED).values()) < Decimal("0.5")


def test_another_seed_tells_the_same_story() -> None:
    records = [r for file in sample_files(7) if "sent_again" not in file.name for r in records_of(file)]
    bromate = [r for r in _finished(records, "Bromate") if "2025-10" <= r["collected"] < "2026-10"]
    assert Decimal(8) < sum(Decimal(r["value"]) for r in bromate) / 12 < Decimal("9.5")
    first, confirmation, _ = (r for r in _finished(records, "N-Nitrosodimethylamine") if r["collected"] > "2026-10")
    assert Decimal(first["value"]) + Decimal(confirmation["value"]) > 20
    (manganese,) = [r for r in _finished(records, "Manganese") if r["collected"].startswith("2026-10-13")]
    assert Decimal(manganese["value"]) > 55
