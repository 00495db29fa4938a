"""Lines without a planted defect were handled as the methods want it: the sampler and the laboratory know their trade.

The limits are those of 40 CFR 141.23(k), 141.131, 141.852(a) and 136.3 Table II, and of the EPA methods [memory].
"""

from datetime import date, datetime, timedelta

import pytest

from sample_lab.records import Record

HOURS_TO_ANALYSIS = {
    "Nitrite-N": 48, "UV-254": 48, "Turbidity": 48, "Color, apparent (CU)": 48, "TDS at 180 C": 168,
    "Alkalinity as CaCO3": 336, "Cyanide, Free": 336, "Chloroform": 336, "Benzene": 336, "Trichloroethene": 336,
    "Total Organic Carbon": 672, "Bromate": 672, "Chlorate": 672, "Chloride": 672, "Sulfate": 672, "Fluoride": 672,
    "Mercury": 672, "Ammonia, automated phenate": 672, "Total Nitrogen": 672, "Total Coliforms": 8, "E. coli": 8,
    "Nitrate-N": 48, "Manganese": 24 * 180,
}  # fmt: skip
HOURS_TO_EXTRACTION = {
    "EPA 552.3": 336, "EPA 556.1": 168, "EPA 522": 672, "EPA 521": 336, "EPA 525.2": 336, "EPA 533": 672,
}  # fmt: skip
HOURS_IN_THE_EXTRACT = {"EPA 552.3": 504, "EPA 522": 672, "EPA 521": 672, "EPA 525.2": 720, "EPA 533": 672}


def _hours(record: Record, earlier: str, later: str) -> float:
    wait = datetime.fromisoformat(record[later]) - datetime.fromisoformat(record[earlier])
    return wait / timedelta(hours=1)


@pytest.mark.parametrize(("analyte", "limit"), HOURS_TO_ANALYSIS.items())
def test_analyzed_in_time(analyte: str, limit: int, sound_records: list[Record]) -> None:
    waits = [
        _hours(record, "collected", "analyzed")
        for record in sound_records
        if record["analyte"] == analyte and record["analyzed"]
    ]
    assert waits
    assert max(waits) <= limit


@pytest.mark.parametrize(("method", "limit"), HOURS_TO_EXTRACTION.items())
def test_extracted_in_time(method: str, limit: int, sound_records: list[Record]) -> None:
    waits = [_hours(record, "collected", "extracted") for record in sound_records if record["method"] == method]
    assert waits
    assert max(waits) <= limit


@pytest.mark.parametrize(("method", "limit"), HOURS_IN_THE_EXTRACT.items())
def test_extract_analyzed_in_time(method: str, limit: int, sound_records: list[Record]) -> None:
    waits = [_hours(record, "extracted", "analyzed") for record in sound_records if record["method"] == method]
    assert waits
    assert max(waits) <= limit


def test_field_measurements_are_made_at_once(sound_records: list[Record]) -> None:
    field = [record for record in sound_records if record["sample_type"] == "field measurement"]
    assert max(record.day for record in field) < date(2025, 11, 1)
    assert {record["analyte"] for record in field} == {"pH", "Temp, field", "Chlorine, Free"}
    assert max(_hours(record, "collected", "analyzed") for record in field) <= 0.25


def test_coolers_arrive_cold_and_not_frozen(sound_records: list[Record]) -> None:
    degrees = [float(record["receipt_temperature_c"]) for record in sound_records if record["receipt_temperature_c"]]
    assert min(degrees) > 0
    assert max(degrees) <= 6


def test_steps_follow_each_other(sound_records: list[Record]) -> None:
    steps = ("collected", "received", "extracted", "analyzed")
    for record in sound_records:
        times = [record[step] for step in steps if record[step]]
        assert times == sorted(times), record
        assert record["analyzed"][:10] < record["reported"], record
