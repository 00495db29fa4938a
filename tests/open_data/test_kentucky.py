"""A real file of three agencies and eight laboratories, against counts and arithmetic that know nothing of the product.

Source: Water Quality Portal, narrow result profile, 3,571 results of 2024 from the Ohio River region of Kentucky.
"""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from tests.open_data.delivery import Delivery, FileRow, counted, names_set_aside

NAME, VALUE, UNIT = "CharacteristicName", "ResultMeasureValue", "ResultMeasure/MeasureUnitCode"
CONDITION, BASIS, QUALIFIER = "ResultDetectionConditionText", "MethodSpecificationName", "MeasureQualifierCode"
STATUS = "ResultStatusIdentifier"
DATE, TIME, ZONE = "ActivityStartDate", "ActivityStartTime/Time", "ActivityStartTime/TimeZoneCode"
HERE = ZoneInfo("America/New_York")

ASIDE = names_set_aside("kentucky")
# What a condition says of a result that has no number: that it is less, or more, than a limit.
CENSORING = {
    "Not Detected",
    "Below Reporting Limit",
    "Between Inst Detect and Quant Limit",
    "Present Below Quantification Limit",
    "Present Above Quantification Limit",
}

# Atomic weights, IUPAC 2021 abridged [memory].
H, N, O = Fraction("1.008"), Fraction("14.007"), Fraction("15.999")  # noqa: E741
CACO3 = Fraction("40.078") + Fraction("12.011") + 3 * O
# Units of the file to the unit in which the analyte is compared, by plain arithmetic; every other unit is that unit.
FACTOR = {
    ("Nitrate", "mg/L", "as NO3"): N / (N + 3 * O),
    ("Nitrite", "mg/L", "as NO2"): N / (N + 2 * O),
    ("Ammonia", "mg/L", "as NH4"): N / (N + 4 * H),
    ("Gran acid neutralizing capacity", "ueq/L", ""): CACO3 / 2 / 1000,  # an equivalent is half a mole of CaCO3
    ("Mercury", "ng/L", ""): Fraction(1, 1000),
    ("Precipitation", "cm", ""): Fraction(10),
    ("Barometric pressure", "mm/Hg", ""): Fraction("13.5951") * Fraction("9.80665") / 1000,  # density of mercury
    **{(metal, "mg/L", ""): Fraction(1000) for metal in ("Aluminum", "Copper", "Iron", "Manganese", "Zinc")},
}
# Beside the analyte's own unit, never converted into it (NTU and FNU measure differently; # may be CFU or MPN).
KEPT_APART = {("Turbidity", "FNU"), ("Escherichia coli", "#/100mL"), ("Total Coliform", "#/100mL")}


def outcome(row: FileRow) -> str:
    """What should become of a row."""
    if row[NAME] in ASIDE:
        return "set aside"
    if row[CONDITION] == "Not Reported":
        return "new"
    return "held" if row[VALUE] == "" or row[UNIT] == "MPN" else "new"


def checked(delivery: Delivery) -> list[FileRow]:
    """The rows that are not set aside."""
    return [row for row in delivery.rows if row[NAME] not in ASIDE]


def lines(rows: list[FileRow]) -> set[int]:
    return {row.line for row in rows}


def instant(row: FileRow) -> datetime:
    """Local time less the offset that its zone code means: four hours for EDT, five for EST."""
    local = datetime.fromisoformat(f"{row[DATE]}T{row[TIME]}")
    return (local + timedelta(hours={"EDT": 4, "EST": 5}[row[ZONE]])).replace(tzinfo=UTC)


def test_every_row_has_the_outcome_of_the_simple_rules(kentucky: Delivery) -> None:
    assert kentucky.outcome_at == {row.line: outcome(row) for row in kentucky.rows}


def test_the_account_is_the_one_counted_by_hand(kentucky: Delivery) -> None:
    assert kentucky.account() == {"set_aside": 175, "held": 1332, "new": 2064}
    assert counted(kentucky.outcome_at) == kentucky.account()


def test_non_detects_without_a_limit_are_held(kentucky: Delivery) -> None:
    without = [row for row in checked(kentucky) if row[VALUE] == "" and row[CONDITION] in CENSORING]
    assert Counter(row[CONDITION] for row in without)["Not Detected"] == 826
    assert len(without) == 1176
    assert kentucky.lines_of("non_detect_without_limit") == lines(without)


def test_numbers_without_a_usable_unit_are_held(kentucky: Delivery) -> None:
    # A count of "MPN" says nothing until its volume is known; a blank unit says nothing at all.
    unusable = [
        row
        for row in checked(kentucky)
        if row[UNIT] in ("", "MPN") and row[CONDITION] not in ("Not Reported", "Value affected by contamination")
    ]
    assert sum(row[UNIT] == "MPN" for row in unusable) == 152
    assert kentucky.lines_of("unit_not_known") == lines(unusable)


def test_a_remark_is_no_value(kentucky: Delivery) -> None:
    remarks = [row for row in checked(kentucky) if row[CONDITION] == "Value affected by contamination"]
    assert len(remarks) == 4
    assert kentucky.lines_of("value_not_readable") == lines(remarks)


def test_a_basis_that_nobody_states_is_not_assumed(kentucky: Delivery) -> None:
    # Hydrogen phosphate may be as P or as PO4. Every other nutrient has its basis in a column, in the unit, or, for
    # silica, in the sender's documentation.
    unstated = [row for row in checked(kentucky) if row[NAME] == "Hydrogen phosphate"]
    assert {row[BASIS] for row in unstated} == {""}
    assert kentucky.lines_of("basis_missing") == lines(unstated)


def test_nothing_else_is_held(kentucky: Delivery) -> None:
    query = "SELECT DISTINCT rule_id FROM finding WHERE severity = 'hold'"
    rules = {"non_detect_without_limit", "unit_not_known", "value_not_readable", "basis_missing"}
    assert {rule for (rule,) in kentucky.ask(query)} == rules


def test_words_about_the_river_are_set_aside(kentucky: Delivery) -> None:
    words = {"See Remark for TEXT", "NORMAL", "LOW", "DRY", "NO FLOW", "ABOVE NORMAL"}
    rows = [row for row in kentucky.rows if row[VALUE] in words]
    assert len(rows) == 45
    assert {kentucky.outcome_at[row.line] for row in rows} == {"set aside"}


def test_every_number_is_stored_as_written(kentucky: Delivery) -> None:
    for result, row in kentucky.results_with_rows():
        assert result["value"] == (None if row[VALUE] == "" else Decimal(row[VALUE])), row
        assert result["value_text"] == row[VALUE]


def test_every_number_is_converted_as_by_plain_arithmetic(kentucky: Delivery) -> None:
    met = set()
    for result, row in kentucky.results_with_rows():
        if row[VALUE] == "" or (row[NAME], row[UNIT]) in KEPT_APART:
            assert result["canonical_value"] is None
            continue
        way = (row[NAME], row[UNIT], row[BASIS])
        met.add(way)
        written = Fraction(row[VALUE])
        expected = (written - 32) * 5 / 9 if row[UNIT] == "deg F" else written * FACTOR.get(way, 1)
        assert abs(Fraction(str(result["canonical_value"])) - expected) < Fraction(1, 10**12), row
    assert {way for way in FACTOR if way not in met} == {("Copper", "mg/L", ""), ("Zinc", "mg/L", "")}  # no number


def test_one_analyte_in_two_units_has_one_canonical_unit(kentucky: Delivery) -> None:
    units = kentucky.ask("SELECT DISTINCT unit FROM result WHERE analyte = 'Iron' AND value IS NOT NULL ORDER BY 1")
    assert units == [("mg/L",), ("ug/L",)]
    # 0.062 mg/L is 62 ug/L: each in its own unit, and equal where they are compared.
    written = [r for r, row in kentucky.results_with_rows() if (row[NAME], row[UNIT]) == ("Iron", "mg/L")]
    assert len(written) == 7
    assert all(result["canonical_value"] == 1000 * result["value"] for result in written)


def test_conductance_in_three_spellings_is_one_unit(kentucky: Delivery) -> None:
    spelled = {row[UNIT] for _, row in kentucky.results_with_rows() if row[NAME] == "Specific conductance"}
    assert spelled == {"umho/cm", "uS/cm", "uS/cm @25C"}
    query = "SELECT count(*), bool_and(canonical_value = value) FROM result WHERE analyte = 'Specific conductance' {}"
    assert kentucky.ask(query.format("AND value IS NOT NULL")) == [(90, True)]


def test_a_fraction_that_means_nothing_is_dropped(kentucky: Delivery) -> None:
    written = {row["ResultSampleFractionText"] for row in kentucky.rows if row[NAME] == "Escherichia coli"}
    assert {"Filterable", "Total"} <= written
    query = "SELECT DISTINCT fraction FROM result WHERE analyte IN ('E. coli', 'Specific conductance', 'pH')"
    assert kentucky.ask(query) == [("",)]


def test_organic_carbon_is_named_by_its_fraction(kentucky: Delivery) -> None:
    # 40 "Filtered, field" and 14 "Dissolved" with a number; 47 "Total".
    query = "SELECT analyte, count(*) FROM result WHERE analyte LIKE '%organic carbon' GROUP BY ALL ORDER BY 1"
    assert kentucky.ask(query) == [("Dissolved organic carbon", 54), ("Total organic carbon", 47)]


def test_a_time_with_a_zone_is_the_right_instant(kentucky: Delivery) -> None:
    zoned = [(result, row) for result, row in kentucky.results_with_rows() if row[ZONE]]
    assert {row[ZONE] for _, row in zoned} == {"EDT", "EST"}
    for result, row in zoned:
        assert result["collected_at"] == instant(row), row
        assert result["collected_on"] == instant(row).astimezone(HERE).date()


def test_a_date_without_a_time_stays_a_date(kentucky: Delivery) -> None:
    # All of them are counts of E. coli in "MPN", which are held: what was read of them is kept beside their texts.
    dated = {row.line: row[DATE] for row in kentucky.rows if not row[TIME]}
    assert len(dated) == 164
    query = "SELECT line, collected_on::VARCHAR FROM held_text JOIN current_outcome USING (load_id, cell_id, event_id)"
    read = dict(kentucky.ask(query + " WHERE load_id = 1"))
    assert {line: read[line] for line in dated} == dated


def test_standard_time_in_summer_is_believed(kentucky: Delivery) -> None:
    # Gauges keep standard time all year: EST in July is an hour later than a clock on the wall says.
    summer = [r for r, row in kentucky.results_with_rows() if row[ZONE] == "EST" and row[DATE][5:7] in ("06", "07")]
    assert summer
    assert all(r["collected_at"].astimezone(HERE).utcoffset() == timedelta(hours=-4) for r in summer)


def test_a_rejected_result_is_never_in_force(kentucky: Delivery) -> None:
    rejected = [row for row in kentucky.rows if row[STATUS] == "Rejected"]
    assert len(rejected) == 7
    stored = kentucky.ask("SELECT line FROM result WHERE status = 'rejected'")
    assert {line for (line,) in stored} == {row.line for row in rejected if row[VALUE]}
    assert kentucky.ask("SELECT count(*) FROM result_current WHERE status = 'rejected'") == [(0,)]
    assert kentucky.lines_of("result_rejected") == lines(rejected)


@pytest.mark.parametrize(
    ("rule_id", "header", "texts"),
    [
        ("result_preliminary", STATUS, {"Preliminary"}),
        ("qualifier_has_several_meanings", QUALIFIER, {"B", "D", "H", "H;U"}),  # two codes in one cell
        ("result_estimated", QUALIFIER, {"EST", "J"}),
    ],
)
def test_what_the_sender_says_against_a_result_is_kept(
    kentucky: Delivery, rule_id: str, header: str, texts: set[str]
) -> None:
    said = [row for row in checked(kentucky) if row[header] in texts]
    assert said
    assert kentucky.lines_of(rule_id) == lines(said)


def test_a_concentration_of_zero_is_flagged_and_a_temperature_is_not(kentucky: Delivery) -> None:
    zero = [row for row in checked(kentucky) if row[VALUE] and Decimal(row[VALUE]) == 0]
    assert Counter(row[NAME] for row in zero) == {"Phosphorus": 1, "Temperature, air": 2}
    assert kentucky.lines_of("zero_concentration") == {row.line for row in zero if row[NAME] == "Phosphorus"}


def test_several_lines_of_one_sample_and_method_are_all_kept(kentucky: Delivery) -> None:
    # Replicates and reruns: only the sender's own result number tells them apart.
    same = ("ActivityIdentifier", NAME, "ResultSampleFractionText", "ResultAnalyticalMethod/MethodIdentifier", BASIS)
    groups: dict[tuple[str, ...], list[FileRow]] = {}
    for row in checked(kentucky):
        groups.setdefault(tuple(row[header] for header in same), []).append(row)
    repeated = [row for rows in groups.values() if len(rows) > 1 for row in rows]
    assert len(repeated) > 50
    assert "duplicate" not in {kentucky.outcome_at[row.line] for row in repeated}


def test_suspended_solids_are_late_after_seven_days(kentucky: Delivery) -> None:
    # 40 CFR 136.3 Table II: residue, nonfilterable (TSS): 7 days. Where only the date of analysis is known, days are
    # counted on the calendar.
    solids = [row for row in checked(kentucky) if row[NAME] == "Total suspended solids" and row["AnalysisStartDate"]]
    waited = {row.line: date.fromisoformat(row["AnalysisStartDate"]) - date.fromisoformat(row[DATE]) for row in solids}
    late = {line for line, days in waited.items() if days > timedelta(days=7)}
    assert timedelta(days=7) in waited.values()
    assert late
    assert kentucky.lines_of("analyzed_late") & lines(solids) == late
