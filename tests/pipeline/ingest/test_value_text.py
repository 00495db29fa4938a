"""Value cells as laboratories write them. Spellings: common practice, no source, unless a source is named."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.ingest.value_text import fits_the_store, read_number, read_value
from pipeline.vocabulary import ValueKind


@pytest.mark.parametrize(
    ("text", "value"),
    [("0.50", "0.50"), ("100.", "100"), (".5", "0.5"), ("-0.3", "-0.3"), ("1.2E-3", "0.0012"), (" 7 ", "7")],
)
def test_a_number_is_read_exactly(text: str, value: str) -> None:
    reading = read_value(text)
    assert reading.kind is ValueKind.NUMBER
    assert reading.value == Decimal(value)


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        ("<0.5", "0.5"),
        ("< 0.5", "0.5"),
        ("<33.3", "33.3"),
        ("<100.", "100"),
        ("ND<0.2", "0.2"),
        ("ND (<0.2)", "0.2"),
        ("≤5", "5"),
    ],
)
def test_a_non_detect_keeps_its_limit(text: str, limit: str) -> None:
    reading = read_value(text)
    assert reading.kind is ValueKind.BELOW
    assert reading.value == Decimal(limit)


@pytest.mark.parametrize("text", ["ND", "nd", "N.D.", "Not detected", "BDL"])
def test_a_word_for_non_detect_has_no_limit_of_its_own(text: str) -> None:
    reading = read_value(text)
    assert (reading.kind, reading.value) == (ValueKind.BELOW, None)


def test_more_than_the_range_of_a_most_probable_number_is_censored_above() -> None:
    # 200.5 is the upper end of a 51-well most probable number table (Standard Methods 9223 B) [memory].
    reading = read_value(">200.5")
    assert (reading.kind, reading.value) == (ValueKind.ABOVE, Decimal("200.5"))


@pytest.mark.parametrize(
    ("text", "kind"),
    [("Present", ValueKind.PRESENT), ("ABSENT", ValueKind.ABSENT), ("TNTC", ValueKind.TOO_NUMEROUS),
     ("not analysed", ValueKind.NOT_ANALYZED)],
)  # fmt: skip
def test_words_that_are_results(text: str, kind: ValueKind) -> None:
    assert read_value(text).kind is kind


@pytest.mark.parametrize("text", ["12..4", "see note", "1,234", "0.5 J", "<", "<-1", "ND>5", "1/2", "٣", "inf", "NaN"])
def test_what_can_be_read_in_two_ways_is_not_read(text: str) -> None:
    reading = read_value(text)
    assert reading.kind is ValueKind.UNREADABLE
    assert reading.value is None
    assert reading.problem


def test_an_empty_cell_reports_nothing() -> None:
    assert read_value("  ").kind is None


def test_blank_beside_not_detected_is_a_non_detect() -> None:
    assert read_value("", condition="below", condition_text="Not Detected").kind is ValueKind.BELOW


def test_a_number_beside_not_detected_is_not_guessed_at() -> None:
    assert read_value("0.4", condition="below", condition_text="Not Detected").kind is ValueKind.UNREADABLE


def test_u_makes_the_number_the_limit() -> None:
    # U: not detected at or above the level stated (EPA National Functional Guidelines) [memory].
    reading = read_value("0.5", says_not_detected=True)
    assert (reading.kind, reading.value) == (ValueKind.BELOW, Decimal("0.5"))


def test_an_unknown_condition_holds() -> None:
    assert "not known" in read_value("3", condition_text="Half Seen").problem


def test_a_number_between_the_limits_is_estimated() -> None:
    assert read_value("0.3", condition="estimated", condition_text="Present Below Quantification Limit").estimated


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**22), max_value=10**22, places=15))
def test_every_decimal_that_fits_is_read_as_it_is(value: Decimal) -> None:
    assert read_number(format(value, "f")).value == value
    assert fits_the_store(value)


def test_a_sixteenth_decimal_does_not_fit() -> None:
    assert read_number("0.1234567890123456").value is None
    assert "exactly" in read_number("0.1234567890123456").problem


@given(st.text(max_size=30))
def test_any_text_is_answered_and_none_raises(text: str) -> None:
    reading = read_value(text)
    assert reading.kind is not ValueKind.UNREADABLE or reading.problem
