"""Pathogens of nine senders: most of the file has no unit, and a unit check must refuse more rows than it accepts.

Source: Water Quality Portal, narrow result profile, 2,448 results of 2001 to 2017. A spreadsheet has been at work:
hours have lost their leading zero, one date is American, one time has become a date.
"""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

from tests.open_data.delivery import Delivery, FileRow

VALUE, UNIT, CONDITION = "ResultMeasureValue", "ResultMeasure/MeasureUnitCode", "ResultDetectionConditionText"
DATE, TIME, ZONE = "ActivityStartDate", "ActivityStartTime/Time", "ActivityStartTime/TimeZoneCode"
# Liters of water in which the written number of oocysts is meant to be.
LITERS = {"#/l": 1, "oocyst/10L": 10, "#/100L": 100, "ocyst/100L": 100}
HOURS_BEHIND_UTC = {"CDT": 5, "CST": 6, "EDT": 4, "EST": 5, "AWST": -8}


def liters(row: FileRow) -> int | None:
    """The volume behind a count; ``None`` where the unit is blank, or a recovery in percent."""
    return LITERS.get(row[UNIT].strip())


def lines(rows: list[FileRow]) -> set[int]:
    return {row.line for row in rows}


def test_only_counts_in_a_volume_become_results(cryptosporidium: Delivery) -> None:
    expected = {row.line: "new" if liters(row) else "held" for row in cryptosporidium.rows}
    assert cryptosporidium.outcome_at == expected
    assert cryptosporidium.account() == {"held": 1912, "new": 536}


def test_a_blank_unit_is_held(cryptosporidium: Delivery) -> None:
    blank = [row for row in cryptosporidium.rows if not row[UNIT]]
    assert len(blank) == 1909
    assert cryptosporidium.lines_of("unit_not_known") == lines(blank)


def test_a_censored_value_without_a_unit_is_not_believed(cryptosporidium: Delivery) -> None:
    # "<33.3" of what? The limit is written, its unit is not.
    written = Counter((row[VALUE], row[UNIT]) for row in cryptosporidium.rows if row[VALUE].startswith("<"))
    assert (written["<33.3", ""], written["<33.3", "#/100L"]) == (41, 7)
    stored = cryptosporidium.ask("SELECT unit_text, count(*) FROM result WHERE value_text = '<33.3' GROUP BY ALL")
    assert stored == [("#/100L", 7)]


def test_a_recovery_in_percent_is_no_count(cryptosporidium: Delivery) -> None:
    percent = [row for row in cryptosporidium.rows if row[UNIT] == "%"]
    assert len(percent) == 3
    assert cryptosporidium.lines_of("unit_of_another_kind") == lines(percent)


def test_a_non_detect_without_a_limit_is_held(cryptosporidium: Delivery) -> None:
    unlimited = [row for row in cryptosporidium.rows if row[CONDITION] == "Not Detected"]
    assert len(unlimited) == 183
    assert {row[VALUE] for row in unlimited} == {""}
    assert cryptosporidium.lines_of("non_detect_without_limit") == lines(unlimited)


def test_a_censored_value_keeps_its_limit(cryptosporidium: Delivery) -> None:
    censored = [(r, row) for r, row in cryptosporidium.results_with_rows() if row[VALUE].startswith("<")]
    assert len(censored) == 8
    for result, row in censored:
        limit = Decimal(row[VALUE].removeprefix("<"))
        assert (result["value_kind"], result["value"], result["unit"]) == ("below", limit, "#/100 L")
        assert result["canonical_value"] == limit / 100


def test_every_count_is_brought_to_one_liter(cryptosporidium: Delivery) -> None:
    met = Counter()
    for result, row in cryptosporidium.results_with_rows():
        met[row[UNIT]] += 1
        expected = Fraction(row[VALUE].removeprefix("<")) / (liters(row) or 0)
        assert Fraction(result["canonical_value"]) == expected, row
    assert met == {"oocyst/10L": 287, "#/l": 160, "ocyst/100L": 79, "#/100L": 9, "#/l       ": 1}


def test_a_count_of_zero_is_kept_as_a_count(cryptosporidium: Delivery) -> None:
    # Counts may be zero; the rule that asks for a limit instead of a zero is for concentrations.
    zeros = [r for r, row in cryptosporidium.results_with_rows() if row[VALUE] == "0"]
    assert len(zeros) == 352
    assert {(result["value_kind"], result["value"]) for result in zeros} == {("number", Decimal(0))}
    assert cryptosporidium.lines_of("zero_concentration") == set()


def test_an_hour_without_its_zero_is_the_same_hour(cryptosporidium: Delivery) -> None:
    early = [(r, row) for r, row in cryptosporidium.results_with_rows() if row[ZONE] and row[TIME][1] == ":"]
    assert early
    for result, row in early:
        hour, minute, _ = row[TIME].split(":")
        local = datetime.fromisoformat(row[DATE]) + timedelta(hours=int(hour), minutes=int(minute))
        expected = (local + timedelta(hours=HOURS_BEHIND_UTC[row[ZONE]])).replace(tzinfo=UTC)
        assert result["collected_at"] == expected, row


def test_every_time_of_collection_is_read(cryptosporidium: Delivery) -> None:
    assert cryptosporidium.lines_of("collected_time_not_readable") == set()
    assert cryptosporidium.lines_of("collected_time_missing") == set()


def test_a_date_in_american_order_is_not_guessed(cryptosporidium: Delivery) -> None:
    # 7/12/2006 may be in July or in December; 1-Jan-01 is a time that a spreadsheet turned into a date.
    american = [row for row in cryptosporidium.rows if row["AnalysisStartDate"]]
    assert {row["AnalysisStartDate"] for row in american} == {"7/12/2006", "3/22/2006"}
    assert cryptosporidium.lines_of("time_not_readable") == lines(american)
    stored = cryptosporidium.ask("SELECT count(*) FROM result WHERE analyzed_on IS NOT NULL OR analyzed_at IS NOT NULL")
    assert stored == [(0,)]


def test_a_western_australian_zone_in_wisconsin_is_read_as_written(cryptosporidium: Delivery) -> None:
    # 2016-03-08 16:50 AWST is ten minutes to three that night in Wisconsin; nothing in the file says that it is a slip.
    (odd,) = [row for row in cryptosporidium.rows if row[ZONE] == "AWST"]
    query = "SELECT collected_on FROM {} JOIN current_outcome USING (load_id, cell_id) WHERE load_id = 1 AND line = ?"
    assert cryptosporidium.ask(query.format("held_text"), [odd.line]) == [(date(2016, 3, 8),)]


def test_a_blank_status_is_final_and_said_to_be_nothing_else(cryptosporidium: Delivery) -> None:
    preliminary = [row for row in cryptosporidium.rows if row["ResultStatusIdentifier"] == "Preliminary"]
    assert len(preliminary) == 17
    assert cryptosporidium.lines_of("result_preliminary") == lines(preliminary)
    assert cryptosporidium.lines_of("word_not_known") == set()
