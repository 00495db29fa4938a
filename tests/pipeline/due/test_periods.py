"""Periods of the calendar against what the rules and the ISO week say."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.due.periods import Period, period_after, period_of, periods_ending
from pipeline.plant.fixed_lists import FREQUENCIES

DAYS = st.dates(date(1993, 1, 1), date(2090, 12, 31))


@pytest.mark.parametrize(
    ("year", "first", "last"),
    [(1993, 1993, 1995), (1996, 1996, 1998), (2001, 1999, 2001), (2022, 2020, 2022), (2026, 2026, 2028)],
)
def test_three_years_are_the_compliance_periods_of_40_cfr_141_2(year: int, first: int, last: int) -> None:
    # 40 CFR 141.2: within the first cycle 1993-1995, 1996-1998, 1999-2001 [from memory].
    assert period_of("every 3 years", date(year, 7, 1)) == Period(date(first, 1, 1), date(last, 12, 31))


@pytest.mark.parametrize(("year", "first", "last"), [(1993, 1993, 2001), (2002, 2002, 2010), (2028, 2020, 2028)])
def test_nine_years_are_the_compliance_cycles_of_40_cfr_141_2(year: int, first: int, last: int) -> None:
    # 40 CFR 141.2: the first cycle is January 1, 1993 to December 31, 2001, the second begins on January 1, 2002
    # [from memory].
    assert period_of("every 9 years", date(year, 7, 1)) == Period(date(first, 1, 1), date(last, 12, 31))


def test_a_cycle_is_three_periods() -> None:
    cycle = period_of("every 9 years", date(2026, 1, 1))
    assert len(list(periods_ending("every 3 years", cycle.first, cycle.last))) == 3


def test_a_week_runs_from_monday_to_sunday() -> None:
    # ISO 8601: 2026-W53 is December 28, 2026 to January 3, 2027.
    assert period_of("weekly", date(2027, 1, 1)) == Period(date(2026, 12, 28), date(2027, 1, 3))


def test_a_leap_day_is_in_its_month() -> None:
    assert period_of("monthly", date(2028, 2, 29)) == Period(date(2028, 2, 1), date(2028, 2, 29))


@given(DAYS, st.sampled_from(FREQUENCIES))
def test_a_day_lies_in_its_period_and_periods_follow_without_a_gap(day: date, frequency: str) -> None:
    period = period_of(frequency, day)
    assert day in period
    assert (period_after(frequency, period).first - period.last).days == 1


@given(DAYS, st.sampled_from(FREQUENCIES))
def test_every_day_of_a_period_gives_the_same_period(day: date, frequency: str) -> None:
    period = period_of(frequency, day)
    assert period_of(frequency, period.first) == period_of(frequency, period.last) == period


def test_a_frequency_that_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="now and then"):
        period_of("now and then", date(2026, 1, 1))
