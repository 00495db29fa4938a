"""Times as written. Clock changes: the zone database itself is the reference (IANA, America/Los_Angeles)."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.ingest.time_text import read_time

HERE = ZoneInfo("America/Los_Angeles")


def test_a_local_time_is_the_plants() -> None:
    assert read_time("2026-05-04 08:15", HERE).instant == datetime(2026, 5, 4, 15, 15, tzinfo=UTC)


@pytest.mark.parametrize(
    "text", ["2026-05-04T15:15:00Z", "2026-05-04 11:15 EDT", "2026-05-04 10:15 -05:00", "2026-05-04T10:15-0500"]
)
def test_a_written_zone_is_believed(text: str) -> None:
    assert read_time(text, HERE).instant == datetime(2026, 5, 4, 15, 15, tzinfo=UTC)


def test_the_date_is_the_plants_date() -> None:
    assert read_time("2026-05-04 02:00 EDT", HERE).local_date == date(2026, 5, 3)


@pytest.mark.parametrize("text", ["2026-05-04", "2026-05-04 EDT"])
def test_a_date_stays_a_date(text: str) -> None:
    reading = read_time(text, HERE)
    assert (reading.instant, reading.local_date) == (None, date(2026, 5, 4))


@pytest.mark.parametrize("text", ["2026-02-30", "05/04/2026", "2026-05-04 25:00", "yesterday", "2026-05-04 08:15 XYZ"])
def test_what_is_not_a_time_says_so(text: str) -> None:
    reading = read_time(text, HERE)
    assert reading.problem
    assert reading.local_date is None


@pytest.mark.parametrize(
    "text", ["0001-01-01", "0001-01-01 00:00 +14:00", "9999-12-31", "9999-12-31 23:59", "1899-12-30"]
)
def test_a_placeholder_for_no_date_is_no_date(text: str) -> None:
    reading = read_time(text, HERE)
    assert "between 1900 and 2199" in reading.problem
    assert reading.local_date is None


def test_an_hour_without_its_leading_zero_is_the_same_hour() -> None:
    assert read_time("2026-05-04 8:15", HERE) == read_time("2026-05-04 08:15", HERE)


def test_a_time_that_never_was_is_doubtful() -> None:
    assert "did not happen" in read_time("2026-03-08 02:30", HERE).doubt


def test_a_time_that_was_twice_is_doubtful() -> None:
    assert "twice" in read_time("2026-11-01 01:30", HERE).doubt


def test_a_written_offset_leaves_no_doubt() -> None:
    assert read_time("2026-11-01 01:30 -07:00", HERE).doubt == ""


def test_time_across_the_clock_change_is_absolute() -> None:
    # 40 CFR 136.3 Table II counts elapsed time: the night of the autumn change has 25 hours.
    before, after = (read_time(text, HERE).instant for text in ("2026-10-31 12:00", "2026-11-01 12:00"))
    assert before
    assert after
    assert after - before == timedelta(hours=25)


@given(st.datetimes(min_value=datetime(1990, 1, 1), max_value=datetime(2050, 1, 1)))  # noqa: DTZ001
def test_an_instant_survives_being_written_with_its_offset(moment: datetime) -> None:
    instant = moment.replace(microsecond=0, tzinfo=UTC)
    written = instant.astimezone(HERE).isoformat(" ")
    assert read_time(written, HERE).instant == instant


@given(st.text(max_size=30))
def test_any_text_is_answered(text: str) -> None:
    reading = read_time(text, HERE)
    assert reading.local_date or reading.problem or not text.strip()
