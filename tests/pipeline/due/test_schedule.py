"""Which periods ask for a sample: rows that begin and end inside a period, and a second schedule to compare with."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from pipeline.due.schedule import expected, next_expected
from pipeline.plant.fixed_lists import FREQUENCIES
from pipeline.plant.tables import MonitoringPlanRow
from tests.pipeline.due.plans import plan_row
from tests.pipeline.due.second_schedule import ends_asked_for


@st.composite
def plans(draw: st.DrawFn) -> list[MonitoringPlanRow]:
    """One to three rows that follow each other, with or without days between."""
    day = draw(st.dates(date(2022, 1, 1), date(2024, 12, 31)))
    rows = []
    for _ in range(draw(st.integers(1, 3))):
        last = day + timedelta(days=draw(st.integers(0, 500)))
        rows.append(
            plan_row(frequency=draw(st.sampled_from(FREQUENCIES)), effective_from=str(day), effective_to=str(last))
        )
        day = last + timedelta(days=draw(st.integers(1, 40)))
    return rows


@given(plans(), st.dates(date(2022, 1, 1), date(2026, 1, 1)), st.integers(0, 900))
def test_the_schedule_is_that_of_a_calendar_walked_day_by_day(
    rows: list[MonitoringPlanRow], first: date, days: int
) -> None:
    last = first + timedelta(days=days)
    found = [(one.period.first, one.period.last) for one in expected(rows, first, last)]
    assert found == list(ends_asked_for(rows, first, last))


@given(plans(), st.dates(date(2022, 1, 1), date(2026, 1, 1)))
def test_the_next_period_is_the_first_one_to_come(rows: list[MonitoringPlanRow], day: date) -> None:
    following = expected(rows, day, date(2030, 12, 31))
    assert next_expected(rows, day) == (following[0] if following else None)


def _ends(rows: list[MonitoringPlanRow], year: int = 2026) -> list[str]:
    return [str(one.period.last) for one in expected(rows, date(year, 1, 1), date(year, 12, 31))]


def test_a_row_that_begins_inside_a_quarter_asks_for_a_sample_by_its_end() -> None:
    # 40 CFR 141.23(c)(7): above a limit, quarterly monitoring begins in the next quarter [from memory]. A plan that is
    # dated inside a quarter asks for one sample sooner.
    assert _ends([plan_row(frequency="quarterly", effective_from="2026-08-15")]) == ["2026-09-30", "2026-12-31"]


def test_a_row_that_ends_inside_a_quarter_asks_for_no_sample_there() -> None:
    assert _ends([plan_row(frequency="quarterly", effective_to="2026-08-15")]) == ["2026-03-31", "2026-06-30"]


def test_increased_monitoring_replaces_the_yearly_sample_of_its_year() -> None:
    rows = [
        plan_row(frequency="yearly", effective_to="2026-08-14"),
        plan_row(frequency="quarterly", status="increased", effective_from="2026-08-15"),
    ]
    assert _ends(rows) == ["2026-09-30", "2026-12-31"]


def test_reduced_monitoring_asks_for_one_sample_of_the_year_in_which_it_begins() -> None:
    rows = [
        plan_row(frequency="quarterly", effective_to="2026-08-14"),
        plan_row(frequency="yearly", status="reduced", effective_from="2026-08-15"),
    ]
    assert _ends(rows) == ["2026-03-31", "2026-06-30", "2026-12-31"]


def test_four_quarterly_samples_are_asked_for_in_a_year() -> None:
    # 40 CFR 141.24(f)(4): four consecutive quarterly samples [from memory].
    assert len(_ends([plan_row(frequency="quarterly")])) == 4


def test_one_sample_is_asked_for_in_a_compliance_period() -> None:
    # 40 CFR 141.23(c)(1): ground water takes one sample in each compliance period of three years [from memory].
    rows = [plan_row(frequency="every 3 years", effective_from="2020-01-01")]
    assert [len(_ends(rows, year)) for year in range(2020, 2029)] == [0, 0, 1, 0, 0, 1, 0, 0, 1]


def test_bromate_is_asked_for_every_month() -> None:
    # 40 CFR 141.132(b)(3): plants that use ozone take one sample a month [from memory].
    assert len(_ends([plan_row()])) == 12
