"""A series counted by year: non-detects stay what they are, and a median is said only as far as it can be."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.screening.bounds import Bounds
from pipeline.trends.measures import place
from pipeline.trends.model import Measure, Placed, Series, SeriesResult
from pipeline.trends.yearly import median_bounds, yearly_summaries
from pipeline.vocabulary import ValueKind
from tests.strategies import convert_mass

UG = Measure("ug/L")
SIGNS = {"<": ValueKind.BELOW, ">": ValueKind.ABOVE}


def reported(written: str, on: date = date(2025, 3, 4), **changes: object) -> SeriesResult:
    number = written.lstrip("<> ")
    kind = SIGNS.get(written[:1], ValueKind.NUMBER) if number else ValueKind.BELOW
    given_ = {
        "result_id": 1, "sample_point": "FIN", "fraction": "", "collected_on": on, "collected_at": None, "kind": kind,
        "value_text": written, "value": Decimal(number) if number else None, "unit": "ug/L", "basis": "",
        "detection_limit": None, "reporting_limit": None, "qualifier": "", "sample": "S", "laboratory": "Tarnwick",
        "method": "", "purpose": "compliance", "status": "final", "reportable": "", "findings": "", "file": "a.csv",
        "line": 2, "column": "value",
    }  # fmt: skip
    return SeriesResult(**(given_ | changes))


def series(*results: SeriesResult, measure: Measure = UG) -> Series:
    placed, others = place(results, "Bromate", measure, convert_mass)
    return Series("Bromate", ("FIN",), "", measure, None, date(2026, 1, 1), tuple(placed), tuple(others), 0)


def year(*written: str):
    (only,) = yearly_summaries(series(*(reported(text) for text in written)))
    return only


def test_the_middle_one_is_said_when_non_detects_lie_below_it() -> None:
    """Worked by hand: <1, <1, 2, 3, 5 has its third value, 2, whatever the first two are."""
    found = year("<1", "2", "5", "<1", "3")
    assert (found.count, found.non_detects, found.median) == (5, 2, Bounds(Fraction(2), Fraction(2)))
    assert (found.lowest.result.value_text, found.highest.result.value_text) == ("2", "5")


def test_the_median_is_bounded_when_a_non_detect_is_the_middle_one() -> None:
    """Worked by hand: of <1, <4, 3 the middle one lies between 0 and 3: <4 may be anything up to 4."""
    assert year("<1", "<4", "3").median == Bounds(Fraction(0), Fraction(3))


def test_an_even_number_takes_the_mean_of_the_middle_two_on_both_sides() -> None:
    """Worked by hand: <1, <1, 3, 4 gives (0 + 3) / 2 to (1 + 3) / 2."""
    assert year("<1", "<1", "3", "4").median == Bounds(Fraction(3, 2), Fraction(2))


def test_more_non_detects_than_half_leave_no_number_but_a_bound() -> None:
    found = year("<0.5", "<0.5", "<0.5")
    assert (found.lowest, found.highest, found.median) == (None, None, Bounds(Fraction(0), Fraction(1, 2)))


def test_a_value_above_the_range_has_no_upper_end() -> None:
    found = year(">200", ">200", "5")
    assert (found.above_range, found.median) == (2, Bounds(Fraction(200), None))


def test_a_non_detect_takes_its_reporting_limit_when_no_number_stands_beside_it() -> None:
    found = series(reported("<", reporting_limit=Decimal("0.2"), value_text="ND"))
    assert (found.placed[0].low, found.placed[0].high) == (0, Fraction(1, 5))


def test_what_has_no_amount_is_counted_and_leaves_the_median_open() -> None:
    absent = reported("1", kind=ValueKind.ABSENT, value=None, value_text="absent")
    (found,) = yearly_summaries(series(reported("1"), absent))
    assert (found.count, found.without_amount, found.median) == (2, 1, None)


def test_a_result_in_a_unit_of_another_kind_is_not_placed() -> None:
    assert [one.unit for one in series(reported("1"), reported("3", unit="NTU")).others] == ["NTU"]


def test_a_result_that_its_laboratory_does_not_stand_for_is_shown_and_not_counted() -> None:
    both = series(reported("9", reportable="no"), reported("2"))
    (found,) = yearly_summaries(both)
    assert (len(both.placed), found.count, found.highest.result.value_text) == (2, 1, "2")


def test_years_and_points_are_apart() -> None:
    rows = [reported("1", date(2024, 12, 31)), reported("2", date(2025, 1, 1)), reported("3", sample_point="INF")]
    both = replace(series(*rows), sample_points=("INF", "FIN"))
    assert [(one.sample_point, one.year) for one in yearly_summaries(both)] == [
        ("INF", 2025),
        ("FIN", 2024),
        ("FIN", 2025),
    ]


amount = st.fractions(min_value=0, max_value=9)
ends = st.one_of(
    amount.map(lambda value: (value, value)),
    amount.map(lambda value: (Fraction(0), value)),
    amount.map(lambda v: (v, None)),
)


@given(st.lists(st.tuples(ends, st.fractions(0, 1)), min_size=1, max_size=9))
def test_whatever_the_non_detects_were_the_median_lies_within_its_bounds(drawn) -> None:
    found = median_bounds([Placed(reported("1"), *pair) for pair, _ in drawn])
    true = median(low + share * ((100 if high is None else high) - low) for (low, high), share in drawn)
    assert found.low <= true
    assert found.high is None or true <= found.high


@given(st.lists(ends, min_size=1, max_size=9))
def test_the_bounds_are_reached(drawn) -> None:
    """They are no wider than need be: all at their lowest give the lower one, all at their highest the upper one."""
    found = median_bounds([Placed(reported("1"), *pair) for pair in drawn])
    assert found.low == median(low for low, _ in drawn)
    if found.high is not None:
        assert found.high == median(1000 if high is None else high for _, high in drawn)


@pytest.mark.parametrize(("unit", "factor"), [("mg/L", Fraction(1, 1000)), ("ng/L", Fraction(1000))])
def test_another_unit_changes_amounts_and_nothing_else(unit, factor) -> None:
    rows = [reported(text) for text in ("<1", "2", "3.5")]
    (here,), (there,) = (yearly_summaries(series(*rows, measure=measure)) for measure in (UG, Measure(unit)))
    assert there.median == Bounds(here.median.low * factor, here.median.high * factor)
    assert there.highest.result is here.highest.result
