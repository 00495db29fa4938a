"""Where a sample stands: in time, overdue, at the laboratory, late, held, to be taken again."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.due.due import next_due, outstanding_samples, overdue_samples, what_is_due
from pipeline.due.model import Due, DueState, Found, Sampling, Standing, TakenSample
from pipeline.plant.tables import MonitoringPlanRow
from tests.pipeline.due.plans import plan_row, sampling, terms
from tests.pipeline.due.second_schedule import ends_asked_for

HERE = ("FW", "Bromate")
DAYS = st.sets(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=25)
TODAY = st.dates(date(2026, 2, 1), date(2027, 2, 1))
EVERY_MONTH = [f"2026-{month:02}-05" for month in range(1, 11)]


def _due(*samplings: Sampling, on: str = "2026-10-20", row: MonitoringPlanRow | None = None, **days: int) -> list[Due]:
    in_order = sorted(samplings, key=lambda one: one.collected_on)
    return what_is_due([row or plan_row()], {HERE: in_order}, terms(on, "2026-01-01", **days))


def _of(dues: list[Due], last: str) -> Due:
    (one,) = [due for due in dues if due.period and str(due.period.last) == last]
    return one


def _monthly(*, until: str = "2026-09-30") -> list[Sampling]:
    return [sampling(day) for day in EVERY_MONTH if day <= until]


def test_a_sample_of_the_running_month_is_due_by_its_end() -> None:
    current = _of(_due(*_monthly()), "2026-10-31")
    assert (current.state, current.due_by) == (DueState.NOT_YET, date(2026, 10, 31))


def test_a_sample_on_the_last_day_of_the_month_is_in_time() -> None:
    assert _of(_due(*_monthly(), on="2026-10-31"), "2026-10-31").state is DueState.NOT_YET


def test_on_the_first_day_after_the_month_it_is_overdue() -> None:
    overdue = _of(_due(*_monthly(), on="2026-11-01"), "2026-10-31")
    assert (overdue.state, overdue.since) == (DueState.OVERDUE, date(2026, 11, 1))


def test_a_reported_month_asks_for_the_next_one() -> None:
    dues = _due(*_monthly(until="2026-10-31"))
    assert _of(dues, "2026-10-31").state is DueState.REPORTED
    assert next_due(dues) == date(2026, 11, 30)


def test_two_samples_of_one_month_are_one_month_done() -> None:
    dues = _due(*_monthly(until="2026-10-31"), sampling("2026-10-12"))
    assert [due.state for due in dues if due.period and due.period.last == date(2026, 10, 31)] == [DueState.REPORTED]


def test_months_in_a_row_without_a_sample_are_told_once() -> None:
    dues = [due for due in _due(*_monthly(until="2026-07-31")) if due.state is DueState.OVERDUE]
    assert [(due.since, due.reason) for due in dues] == [(date(2026, 9, 1), "2 periods in a row")]


def test_a_month_without_a_sample_is_missed_once_a_later_sample_was_taken() -> None:
    dues = _due(*[one for one in _monthly() if one.collected_on.month != 8])
    assert _of(dues, "2026-08-31").state is DueState.MISSED
    assert DueState.OVERDUE not in {due.state for due in dues}


def test_nothing_is_missed_before_the_store_knew_any_sample() -> None:
    dues = what_is_due([plan_row()], {HERE: [sampling("2026-09-05")]}, terms("2026-10-20", "2026-08-10"))
    assert {due.state for due in dues} == {DueState.REPORTED, DueState.NOT_YET}


def test_an_empty_store_knows_of_nothing_overdue() -> None:
    dues = what_is_due([plan_row()], {}, terms("2026-10-20", None))
    assert [due.state for due in dues] == [DueState.NOT_YET]


@pytest.mark.parametrize(
    ("on", "state"),
    [("2026-10-16", DueState.AT_LABORATORY), ("2026-10-17", DueState.LATE)],
)
def test_a_report_is_late_the_day_after_the_turnaround_of_its_laboratory(on: str, state: DueState) -> None:
    awaited = sampling("2026-10-05", Standing.AWAITED, received_on=date(2026, 10, 6), laboratory="Tarnwick")
    assert _of(_due(*_monthly(), awaited, on=on, Tarnwick=10), "2026-10-31").state is state


def test_the_plan_may_give_an_analyte_more_days_than_its_laboratory_has() -> None:
    awaited = sampling("2026-10-05", Standing.AWAITED, laboratory="Tarnwick")
    due = _of(_due(*_monthly(), awaited, row=plan_row(turnaround_days="21"), Tarnwick=10), "2026-10-31")
    assert due.due_by == date(2026, 10, 26)


def test_without_a_receipt_the_turnaround_runs_from_the_sampling() -> None:
    awaited = sampling("2026-10-05", Standing.AWAITED, laboratory="Tarnwick")
    assert _of(_due(*_monthly(), awaited, Tarnwick=10), "2026-10-31").due_by == date(2026, 10, 15)


@pytest.mark.parametrize(
    ("standing", "state"),
    [
        (Standing.PRELIMINARY, DueState.PRELIMINARY),
        (Standing.HELD, DueState.HELD),
        (Standing.UNUSABLE, DueState.RESAMPLE),
    ],
)
def test_what_is_known_of_the_sample_is_where_its_month_stands(standing: Standing, state: DueState) -> None:
    assert _of(_due(*_monthly(), sampling("2026-10-05", standing)), "2026-10-31").state is state


def test_a_broken_bottle_is_sampled_again_by_the_end_of_its_month() -> None:
    again = _of(_due(*_monthly(), sampling("2026-10-05", Standing.UNUSABLE, reason="bottle broken")), "2026-10-31")
    assert (again.due_by, again.reason) == (date(2026, 10, 31), "bottle broken")


def test_a_good_sample_beside_a_spoiled_one_is_enough() -> None:
    dues = _due(*_monthly(), sampling("2026-10-05", Standing.UNUSABLE), sampling("2026-10-09"))
    assert _of(dues, "2026-10-31").state is DueState.REPORTED


def test_a_spoiled_sample_of_a_month_that_is_over_is_overdue_for_screening() -> None:
    spoiled = {HERE: [*_monthly(), sampling("2026-10-05", Standing.UNUSABLE)]}
    (due,) = [one for one in what_is_due([plan_row()], spoiled, terms("2026-11-20", "2026-01-01")) if one.since]
    assert due.state is DueState.RESAMPLE
    assert overdue_samples([plan_row()], spoiled, terms("2026-11-20", "2026-01-01")) == {HERE: date(2026, 11, 1)}


def test_what_the_plan_says_comes_along() -> None:
    row = plan_row(status="increased", effective_from="2026-06-10", effective_to="2027-06-09")
    due = _of(_due(*_monthly(), row=row), "2026-10-31")
    assert (due.status, due.status_from, due.status_to) == ("increased", date(2026, 6, 10), date(2027, 6, 9))


def test_a_special_sample_of_which_nothing_is_reported_is_late_too() -> None:
    taken = [TakenSample("S-9", "FW", date(2026, 8, 1), purpose="special"), TakenSample("S-1", "FW", date(2026, 8, 1))]
    (due,) = outstanding_samples(taken, [_reported("S-1")], terms("2026-10-20"))
    assert (due.state, due.sample, due.reason) == (DueState.LATE, "S-9", "special")


def test_of_a_sample_that_went_to_two_laboratories_the_silent_one_is_late() -> None:
    taken = [TakenSample("S-1", "FW", date(2026, 8, 1), laboratory=name) for name in ("Tarnwick", "Ludwell")]
    (due,) = outstanding_samples(taken, [_reported("S-1", "Tarnwick")], terms("2026-10-20"))
    assert (due.state, due.laboratory) == (DueState.LATE, "Ludwell")


def _reported(sample: str, laboratory: str = "") -> Found:
    return Found(sample, "FW", "Bromate", date(2026, 8, 1), laboratory, "compliance", Standing.USABLE)


@given(DAYS, TODAY, st.sampled_from(["daily", "weekly", "monthly", "quarterly", "twice a year"]))
def test_overdue_is_what_a_calendar_walked_day_by_day_finds(days: set[date], on: date, frequency: str) -> None:
    row = plan_row(frequency=frequency, effective_from="2026-01-01")
    taken = {HERE: [sampling(str(day)) for day in sorted(days)]}
    ended = list(ends_asked_for([row], date(2026, 1, 1), on - timedelta(days=1)))
    known = [day for day in days if day <= on]
    empty = [last for first, last in ended if not known or first > max(known)]
    found = overdue_samples([row], taken, terms(str(on), "2026-01-01"))
    assert found == ({HERE: min(empty) + timedelta(days=1)} if empty else {})


@given(
    st.sets(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=25), st.dates(date(2026, 2, 1), date(2027, 2, 1))
)
def test_every_period_is_told_once_and_only_once(days: set[date], on: date) -> None:
    row = plan_row(effective_from="2026-01-01")
    dues = what_is_due([row], {HERE: [sampling(str(day)) for day in sorted(days)]}, terms(str(on), "2026-01-01"))
    for first, last in ends_asked_for([row], date(2026, 1, 1), on - timedelta(days=1)):
        assert len([due for due in dues if due.period and due.period.first <= first and last <= due.period.last]) == 1
