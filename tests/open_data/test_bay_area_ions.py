"""Seventy years of major ions: limits in columns of their own, one ion in several units, field replicates.

Source: Water Quality Portal, physical/chemical result profile, 6,296 results of 1951 to 2022 from Contra Costa County.
"""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import polars as pl
import pytest

from pipeline.store import reading
from tests.open_data.delivery import Delivery, FileRow, names_set_aside

NAME, VALUE, UNIT = "CharacteristicName", "ResultMeasureValue", "ResultMeasure/MeasureUnitCode"
CONDITION, KIND = "ResultDetectionConditionText", "DetectionQuantitationLimitTypeName"
LIMIT, LIMIT_UNIT = (f"DetectionQuantitationLimitMeasure/Measure{what}" for what in ("Value", "UnitCode"))
DATE, TIME, ZONE = "ActivityStartDate", "ActivityStartTime/Time", "ActivityStartTime/TimeZoneCode"
REPLICATE = "Quality Control Sample-Field Replicate"
ASIDE = names_set_aside("bay_area")

# Atomic weights, IUPAC 2021 abridged [memory], by the charge of the ion: grams of one equivalent.
EQUIVALENT = {
    "Sodium": Fraction("22.990"),
    "Potassium": Fraction("39.098"),
    "Calcium": Fraction("40.078") / 2,
    "Magnesium": Fraction("24.305") / 2,
}
# Milliequivalents of one milligram: Hem, Study and Interpretation of the Chemical Characteristics of Natural Water,
# USGS Water-Supply Paper 2254 (1985), table 9 [memory].
HEM = {"Sodium": "0.04350", "Potassium": "0.02558", "Calcium": "0.04990", "Magnesium": "0.08229"}


def analyzed_long_before(row: FileRow) -> bool:
    """Analyzed more than a day before it was collected."""
    day = row["AnalysisStartDate"]
    return bool(day) and date.fromisoformat(day) < date.fromisoformat(row[DATE]) - timedelta(days=1)


def outcome(row: FileRow) -> str:
    """What should become of a row."""
    if row[NAME] in ASIDE:
        return "set aside"
    return "held" if analyzed_long_before(row) else "new"


def test_every_row_has_the_outcome_of_the_simple_rules(bay_area: Delivery) -> None:
    assert bay_area.outcome_at == {row.line: outcome(row) for row in bay_area.rows}
    assert bay_area.account() == {"set_aside": 344, "held": 4, "new": 5948}


def test_an_analysis_half_a_century_too_early_is_held(bay_area: Delivery) -> None:
    early = [row for row in bay_area.rows if analyzed_long_before(row)]
    assert {(row[DATE], row["AnalysisStartDate"]) for row in early} == {("2003-07-16", "1950-01-01")}
    assert bay_area.lines_of("step_long_before_collection") == {row.line for row in early}


def test_every_number_is_stored_as_written(bay_area: Delivery) -> None:
    for result, row in bay_area.results_with_rows():
        assert result["value"] == Decimal(row[VALUE] or row[LIMIT]), row


def test_every_number_is_converted_as_by_plain_arithmetic(bay_area: Delivery) -> None:
    met = Counter()
    for result, row in bay_area.results_with_rows():
        unit = row[UNIT] or row[LIMIT_UNIT]
        met[unit] += 1
        milligrams = {"ueq/L": EQUIVALENT.get(row[NAME], Fraction(0)) / 1000, "ug/L": Fraction(1, 1000)}.get(unit, 1)
        expected = Fraction(row[VALUE] or row[LIMIT]) * milligrams
        assert abs(Fraction(result["canonical_value"]) - expected) < Fraction(1, 10**14), row
    assert met == {"mg/L": 4093, "mg/l": 1844, "ueq/L": 7, "mg/l as Na": 3, "ug/L": 1}


@pytest.mark.parametrize("ion", sorted(HEM))
def test_equivalents_agree_with_the_handbook(bay_area: Delivery, ion: str) -> None:
    written = [r for r, row in bay_area.results_with_rows() if (row[NAME], row[UNIT]) == (ion, "ueq/L")]
    assert written
    for result in written:
        milliequivalents = result["value"] / 1000
        # The handbook prints four digits.
        assert abs(result["canonical_value"] * Decimal(HEM[ion]) / milliequivalents - 1) < Decimal("0.0003")


def test_two_agencies_report_one_sample_alike_in_different_units(bay_area: Delivery) -> None:
    # One creek on 16 July 2003: microequivalents from one agency, milligrams from the other (its rows are held for
    # their date of analysis). The agencies' own rounding leaves half a percent.
    milligrams = {row[NAME]: Decimal(row[VALUE]) for row in bay_area.rows if analyzed_long_before(row)}
    equivalents = [(r, row) for r, row in bay_area.results_with_rows() if row[UNIT] == "ueq/L"]
    assert {row[NAME] for _, row in equivalents} == milligrams.keys()
    for result, row in equivalents:
        assert abs(result["canonical_value"] / milligrams[row[NAME]] - 1) < Decimal("0.005"), row


def test_a_unit_that_states_its_basis_is_read(bay_area: Delivery) -> None:
    query = "SELECT analyte, unit, basis, value = canonical_value FROM result WHERE unit_text = 'mg/l as Na'"
    assert set(bay_area.ask(query)) == {("Sodium plus potassium", "mg/L", "as Na", True)}


def test_a_non_detect_takes_its_limit_and_unit_from_the_limit_columns(bay_area: Delivery) -> None:
    below = [(r, row) for r, row in bay_area.results_with_rows() if row[CONDITION] == "Not Detected"]
    assert Counter((row[NAME], row[LIMIT]) for _, row in below) == {("Potassium", "1.00"): 3, ("Magnesium", "0.50"): 1}
    for result, row in below:
        assert (row[VALUE], row[UNIT], row[KIND]) == ("", "", "Historical Lower Reporting Limit")
        assert (result["value_kind"], result["value"]) == ("below", Decimal(row[LIMIT]))
        assert (result["unit"], result["reporting_limit"]) == ("mg/L", Decimal(row[LIMIT]))


def test_each_limit_stands_in_the_column_of_its_kind(bay_area: Delivery) -> None:
    column = {
        "": (None, None),
        "Detection limit by DQCALC": ("detection_limit", "reporting_limit"),
        "Reporting limit": ("reporting_limit", "detection_limit"),
        "Historical Lower Reporting Limit": ("reporting_limit", "detection_limit"),
    }
    for result, row in bay_area.results_with_rows():
        filled, other = column[row[KIND]]
        if filled is None:
            assert (result["detection_limit"], result["reporting_limit"]) == (None, None)
        else:
            assert (result[filled], result[other]) == (Decimal(row[LIMIT]), None), row


def test_field_replicates_never_count_for_compliance(bay_area: Delivery) -> None:
    replicates = {row.line for row in bay_area.rows if row["ActivityTypeCode"] == REPLICATE}
    assert len(replicates) == 40
    stored = {line for line in replicates if bay_area.outcome_at[line] == "new"}
    assert len(stored) == 32  # the other eight are shares of sodium, which are set aside
    with bay_area.store.read() as connection:
        seen = reading.results_for_screening(connection, list(bay_area.plant.sample_points), date.max)
    assert {result.line for result in seen if result.purpose == "quality control"} == stored
    kept = bay_area.results.filter(pl.col("line").is_in(sorted(stored)))
    assert set(kept["sample_type"]) == {"quality control, field replicate"}


def test_a_composite_and_a_field_measurement_are_told_apart(bay_area: Delivery) -> None:
    written = Counter(row["ActivityTypeCode"] for _, row in bay_area.results_with_rows())
    stored = dict(bay_area.ask("SELECT sample_type, count(*) FROM result GROUP BY ALL"))
    assert stored["sample, composite"] == written["Sample-Composite Without Parents"]
    assert stored["field measurement"] == written["Field Msr/Obs"]
    assert stored["sample, routine"] == written["Sample-Routine"] + written["Sample"]


def test_a_time_with_a_zone_is_the_right_instant(bay_area: Delivery) -> None:
    zones = Counter()
    for result, row in bay_area.results_with_rows():
        if not row[ZONE]:
            continue
        zones[row[ZONE]] += 1
        local = datetime.fromisoformat(f"{row[DATE]}T{row[TIME]}")
        expected = (local + timedelta(hours={"PST": 8, "PDT": 7}[row[ZONE]])).replace(tzinfo=UTC)
        assert result["collected_at"] == expected, row
    assert zones.keys() == {"PST", "PDT"}


def test_a_date_without_a_time_stays_a_date(bay_area: Delivery) -> None:
    dated = [(r, row) for r, row in bay_area.results_with_rows() if not row[TIME]]
    assert dated
    for result, row in dated:
        assert (result["collected_at"], result["collected_on"].isoformat()) == (None, row[DATE])


def test_a_concentration_of_zero_is_flagged(bay_area: Delivery) -> None:
    zero = {row.line for row in bay_area.rows if row[VALUE] and Decimal(row[VALUE]) == 0 and row[NAME] not in ASIDE}
    assert len(zero) == 3
    assert bay_area.lines_of("zero_concentration") == zero


def test_a_historical_result_is_final(bay_area: Delivery) -> None:
    status = {"Accepted": "final", "Historical": "final", "Final": "final", "Preliminary": "preliminary"}
    for result, row in bay_area.results_with_rows():
        assert result["status"] == status[row["ResultStatusIdentifier"]]
