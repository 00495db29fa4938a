"""Results in the column names of WQX 3.0, told from 2.2 by the header alone.

Source: recorded replies of public government services: 67 results of one stream (USGS, 2023) and five field readings of
another (Wisconsin, 2011), the latter in both versions.
"""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from pipeline.store import reading
from pipeline.store.connection import Store
from tests.open_data.delivery import FIRST, Delivery, load_twice, names_set_aside

NAME, VALUE, UNIT, BASIS = "Result_Characteristic", "Result_Measure", "Result_MeasureUnit", "Result_MethodSpeciation"
ASIDE = names_set_aside("wqx_3")
SAID = ("sample_point", "analyte", "collected_at", "value_text", "unit", "sample_type", "status", "sample_text")


def test_the_header_chooses_the_layout(wqx_3: Delivery) -> None:
    assert wqx_3.loads[FIRST]["layout"] == "WQX 3.0 results"


def test_every_row_that_is_about_water_quality_becomes_a_result(wqx_3: Delivery) -> None:
    expected = {row.line: "set aside" if row[NAME] in ASIDE else "new" for row in wqx_3.rows}
    assert wqx_3.outcome_at == expected
    assert wqx_3.account() == {"set_aside": 9, "new": 58}


def test_every_number_is_stored_as_written(wqx_3: Delivery) -> None:
    # One of them is 1e-05: a power of ten is a number too.
    powers = {row[VALUE] for row in wqx_3.rows if "e" in row[VALUE]}
    assert powers
    for result, row in wqx_3.results_with_rows():
        assert result["value"] == Decimal(row[VALUE] or row["DetectionLimit_MeasureA"]), row


def test_a_non_detect_is_censored_at_its_first_limit(wqx_3: Delivery) -> None:
    below = [(r, row) for r, row in wqx_3.results_with_rows() if row["Result_ResultDetectionCondition"]]
    assert len(below) == 4
    for result, row in below:
        assert row["DetectionLimit_TypeA"] == "Censoring Level"
        assert (result["value_kind"], result["unit"]) == ("below", "mg/L")
        assert result["value"] == result["reporting_limit"] == Decimal(row["DetectionLimit_MeasureA"])


def test_both_limits_of_a_row_are_kept(wqx_3: Delivery) -> None:
    for result, row in wqx_3.results_with_rows():
        detection = row["DetectionLimit_MeasureB"]
        assert result["detection_limit"] == (Decimal(detection) if detection else None), row


@pytest.mark.parametrize(
    ("analyte", "ion", "weight"),
    [  # atomic weights, IUPAC 2021 abridged [memory]: N 14.007, O 15.999, P 30.974, H 1.008
        ("Nitrate", "as NO3", Fraction("62.004") / Fraction("14.007")),
        ("Nitrite", "as NO2", Fraction("46.005") / Fraction("14.007")),
        ("Ammonia", "as NH4", Fraction("18.039") / Fraction("14.007")),
        ("Orthophosphate", "as PO4", Fraction("94.970") / Fraction("30.974")),
    ],
)
def test_a_value_on_its_ion_is_brought_to_its_element(
    wqx_3: Delivery, analyte: str, ion: str, weight: Fraction
) -> None:
    query = "SELECT canonical_value, value FROM result WHERE analyte = ? AND basis = ?"
    converted = wqx_3.ask(query, [analyte, ion])
    assert converted
    for canonical, value in converted:
        assert abs(Fraction(canonical) * weight - Fraction(value)) < Fraction(1, 10**12)


def test_the_agencys_own_pairs_of_bases_agree(wqx_3: Delivery) -> None:
    # The agency prints the same result as the element and as the ion; its rounding is at most half of the last digit.
    query = """
        SELECT as_ion.canonical_value, as_element.canonical_value
        FROM result AS as_ion
        JOIN result AS as_element USING (analyte, collected_at)
        WHERE as_ion.basis IN ('as NO3', 'as NO2', 'as NH4', 'as PO4')
          AND as_element.basis IN ('as N', 'as P')
          AND as_ion.value_kind = 'number' AND as_element.value_kind = 'number'
    """
    pairs = wqx_3.ask(query)
    assert pairs
    for ion, element in pairs:
        assert abs(ion / element - 1) < Decimal("0.05"), (ion, element)


def test_a_bacterium_in_a_volume_is_a_result(wqx_3: Delivery) -> None:
    query = "SELECT count(*), any_value(unit) FROM result WHERE analyte = 'E. coli'"
    assert wqx_3.ask(query) == [(3, "MPN/100 mL")]


def test_a_time_in_central_daylight_time_is_the_right_instant(wqx_3: Delivery) -> None:
    query = "SELECT DISTINCT strftime(collected_at AT TIME ZONE 'UTC', '%Y-%m-%d %H:%M') FROM result ORDER BY 1"
    # 09:25, 09:00 and 08:50 CDT, five hours behind UTC.
    assert wqx_3.ask(query) == [("2023-06-20 14:25",), ("2023-07-25 14:00",), ("2023-08-22 13:50",)]


def test_a_provisional_result_is_preliminary(wqx_3: Delivery) -> None:
    provisional = {row.line for row in wqx_3.rows if row["Result_MeasureStatusIdentifier"] == "Provisional"}
    assert wqx_3.lines_of("result_preliminary") == {line for line in provisional if wqx_3.outcome_at[line] == "new"}


def test_what_the_laboratory_calls_late_is_found_late(wqx_3: Delivery) -> None:
    # The laboratory's own word, in a column that the checks do not read. Total nitrogen is a sum without a holding time
    # of its own in 40 CFR 136.3 Table II.
    comment = "DataQuality_ResultComment"
    called_late = {row.line: row[NAME] for row in wqx_3.rows if row[comment].startswith("Hold time")}
    assert len(called_late) == 14
    missed = called_late.keys() - wqx_3.lines_of("analyzed_late")
    assert {called_late[line] for line in missed} == {"Nitrogen, mixed forms (NH3), (NH4), organic, (NO2) and (NO3)"}
    assert len(missed) == 3


def test_both_versions_of_the_same_readings_say_the_same(open_data: Path, tmp_path: Path) -> None:
    # The older file has no identifiers of results: sample, analyte and method tell its results apart.
    read = {}
    for version, file in (("3.0", "wqp3_results.txt"), ("2.2", "wqp_results.txt")):
        load_twice("wqx_3", open_data / "usgs-wqp-nwis-samples" / file, tmp_path / version)
        with Store(tmp_path / version).read() as connection:
            newest, first = reading.loads(connection).select("layout", "new", "duplicate").rows()
            read[version] = reading.results(connection).select(*SAID).sort("collected_at").rows()
        assert (first, newest) == ((f"WQX {version} results", 5, 0), (f"WQX {version} results", 0, 5))
    assert read["3.0"] == read["2.2"]
