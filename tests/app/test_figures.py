"""Numbers on a page: as reported where a laboratory wrote them, honest about the limit where we calculated them."""

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from app import figures
from pipeline.vocabulary import ValueKind


def spaced(text: str) -> str:
    return text.replace(figures.NO_BREAK, " ")


@pytest.mark.parametrize("text", ["10.80", "0.070", "1,284.0", "5"])
def test_a_measured_value_stays_as_the_laboratory_wrote_it(result, text: str) -> None:
    assert figures.reported(result(text)) == text


def test_a_non_detect_is_written_with_its_limit(result) -> None:
    assert spaced(figures.reported(result("<0.50", ValueKind.BELOW))) == "< 0.50"


def test_a_non_detect_without_a_number_says_so_in_words(result) -> None:
    assert figures.reported(result("ND", ValueKind.BELOW)) == "not detected"


def test_a_value_above_the_counting_range_keeps_its_sign(result) -> None:
    assert spaced(figures.reported(result(">200.5", ValueKind.ABOVE))) == "> 200.5"


def test_words_are_results_too(result) -> None:
    assert figures.reported(result("A", ValueKind.ABSENT)) == "absent"


def test_micro_is_printed_as_the_letter_it_is() -> None:
    assert spaced(figures.with_unit("8.8", "ug/L")) == "8.8 µg/L"


def test_nothing_has_no_unit() -> None:
    assert figures.with_unit("", "mg/L") == ""


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [("8.79", "0.1", "8.8"), ("0.0105", "0.001", "0.011"), ("0.0104", "0.001", "0.010"), ("83.5", "1", "84")],
)
def test_a_calculated_value_is_written_at_the_step_of_its_limit(value: str, step: str, shown: str) -> None:
    # 0.0104 and 0.0105 mg/L: the agency's own example for arsenic, 66 FR 6976 (2001), from memory.
    assert figures.calculated(Fraction(value), Decimal(step)) == shown


def test_without_a_step_digits_are_added_until_the_side_of_the_limit_shows() -> None:
    a_third_above = Fraction(10) + Fraction(1, 300_000)
    assert figures.calculated(a_third_above, beside=Decimal(10)) == "10.000003"


def test_a_repeating_fraction_has_four_significant_digits() -> None:
    assert figures.calculated(Fraction(2, 3000)) == "0.0006667"


def test_a_single_result_keeps_its_trailing_zeros(verdict, used, limit) -> None:
    exact = limit(step=None, statistic="single value")
    shown = verdict(share="1.08", limit=exact, used=(used("10.80", "10.8"),))
    assert figures.statistic(shown) == "10.80"


def test_two_bounds_are_shown_as_two_bounds(verdict) -> None:
    shown = verdict(compared_low=Fraction(27, 10), compared_high=Fraction(16))
    assert figures.statistic(shown) == "2.7–16.0"


def test_an_upper_bound_alone_reads_as_a_non_detect(verdict) -> None:
    assert spaced(figures.statistic(verdict(compared_low=Fraction(0), compared_high=Fraction(64, 10)))) == "< 6.4"


def test_no_number_is_an_empty_cell(verdict) -> None:
    assert figures.statistic(verdict(share=None)) == ""
    assert figures.percent(None, None) == ""


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        ("1.08", "1.08", "108 %"),
        ("0", "1.6", "≤160 %"),
        ("0.27", "1.6", "27–160 %"),
        ("1.004", "1.004", "100.4 %"),
        ("0.996", "0.996", "99.6 %"),
        ("1.00001", "1.00001", "100.001 %"),
        ("1", "1", "100 %"),
        ("12.84", "12.84", "1,284 %"),
        ("0.805", "0.805", "81 %"),
    ],
)
def test_percent_of_the_limit_never_hides_the_side_it_is_on(low: str, high: str, shown: str) -> None:
    assert spaced(figures.percent(Fraction(low), Fraction(high))) == shown


def test_thousands_have_a_comma() -> None:
    assert figures.whole(1284) == "1,284"
    assert figures.plural(1284, "result") == "1,284 results"
    assert figures.plural(1, "result") == "1 result"


def test_dates_are_written_in_one_way() -> None:
    assert spaced(figures.day(date(2026, 11, 20))) == "20 Nov 2026"
    assert spaced(figures.short_day(date(2026, 9, 3))) == "3 Sep"


def test_an_instant_is_written_in_the_time_of_the_plant() -> None:
    at = datetime(2026, 11, 20, 15, 42, tzinfo=UTC)
    assert spaced(figures.moment(at, ZoneInfo("America/Los_Angeles"))) == "20 Nov 2026, 07:42"


def test_padding_makes_a_column_flush_on_the_right() -> None:
    padded = figures.right_aligned(["108", "", "7"])
    assert padded == ["108", "", figures.FIGURE_SPACE * 2 + "7"]


def test_capitals_inside_a_name_survive_a_sentence() -> None:
    assert figures.sentence("n-Nitrosodimethylamine") == "N-Nitrosodimethylamine"


@pytest.mark.parametrize(("names", "text"), [([], ""), (["a"], "a"), (["a", "b", "c"], "a, b and c")])
def test_names_are_listed_as_a_sentence_lists_them(names: list[str], text: str) -> None:
    assert figures.joined(names) == text
