"""Dates and times in the order and the zone that a layout states, against the calendar and the IANA zone database."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from pipeline.ingest.styles import TimeStyle
from pipeline.ingest.time_text import TimeReading, read_time

HERE = ZoneInfo("America/New_York")
MONTH_FIRST = TimeStyle(order="month first", first_year=1950)
DAY_FIRST = TimeStyle(order="day first", first_year=1950)
YEAR_FIRST = TimeStyle(order="year first", first_year=1950)
FORMATS = {"month first": "%m{0}%d{0}%Y", "day first": "%d{0}%m{0}%Y", "year first": "%Y{0}%m{0}%d"}


def read(text: str, style: TimeStyle) -> TimeReading:
    return read_time(text, HERE, style)


@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)), st.sampled_from(list(FORMATS)), st.sampled_from("/-. "))
def test_a_date_is_read_back_in_the_order_in_which_it_was_written(day: date, order: str, mark: str) -> None:
    written = day.strftime(FORMATS[order].format(mark))
    assert read(written, TimeStyle.model_validate({"order": order})) == TimeReading(local_date=day)


@given(st.dates(date(1950, 1, 1), date(2049, 12, 31)))
def test_two_digits_are_a_year_of_the_hundred_that_are_stated(day: date) -> None:
    assert read(day.strftime("%d.%m.%y"), DAY_FIRST).local_date == day


@pytest.mark.parametrize(("first_year", "year"), [(1950, 2049), (1949, 1949), (2000, 2049)])
def test_the_hundred_years_may_begin_anywhere(first_year: int, year: int) -> None:
    style = TimeStyle(order="day first", first_year=first_year)
    assert read("4/5/49", style).local_date == date(year, 5, 4)


def test_two_digits_without_a_rule_are_no_year() -> None:
    reading = read("4/5/26", TimeStyle(order="day first"))
    assert reading.local_date is None
    assert "two digits" in reading.problem


@pytest.mark.parametrize("text", ["04/05/2026", "4.5.2026", "2026-5-4", "04-May-2026"])
def test_without_an_order_a_date_is_not_guessed(text: str) -> None:
    reading = read_time(text, HERE)
    assert reading.local_date is None
    assert "does not say the order" in reading.problem


@pytest.mark.parametrize(
    ("text", "style"),
    [("13/05/2026", MONTH_FIRST), ("05/13/2026", DAY_FIRST), ("04/05/2026", YEAR_FIRST), ("31/06/2026", DAY_FIRST)],
)
def test_a_date_that_does_not_fit_the_order_is_never_turned_around(text: str, style: TimeStyle) -> None:
    reading = read(text, style)
    assert reading.local_date is None
    assert reading.problem


@pytest.mark.parametrize(
    ("text", "style"),
    [
        ("2026-05-04", MONTH_FIRST), ("2026/05/04", DAY_FIRST), ("20260504", YEAR_FIRST), ("4-May-26", DAY_FIRST),
        ("04MAY2026", DAY_FIRST), ("4 May 2026", MONTH_FIRST), ("May 4, 2026", DAY_FIRST), ("4 Sept. 2026", DAY_FIRST),
        ("26-May-04", YEAR_FIRST), ("5/4/26", MONTH_FIRST),
    ],
)  # fmt: skip
def test_what_cannot_be_mistaken_is_read_in_every_order(text: str, style: TimeStyle) -> None:
    expected = date(2026, 9, 4) if "Sept" in text else date(2026, 5, 4)
    assert read(text, style).local_date == expected


@pytest.mark.parametrize(
    ("clock", "expected"),
    [
        ("8:15", (8, 15)), ("08:15:30", (8, 15, 30)), ("8:15 AM", (8, 15)), ("8:15 p.m.", (20, 15)), ("0815", (8, 15)),
        ("12:00 AM", (0, 0)), ("12:30pm", (12, 30)), ("00:00:00 08:15", (8, 15)), ("12:00:00 AM 8:15 PM", (20, 15)),
    ],
)  # fmt: skip
def test_a_time_of_day_is_read_as_it_is_written(clock: str, expected: tuple[int, ...]) -> None:
    local = datetime(2026, 5, 4, *expected, tzinfo=HERE)
    assert read(f"5/4/2026 {clock}", MONTH_FIRST).instant == local.astimezone(UTC)


@pytest.mark.parametrize("clock", ["13:00 PM", "0:15 AM", "24:00", "8:60", "815", "8.15"])
def test_a_time_of_day_that_is_none_is_not_read(clock: str) -> None:
    reading = read(f"5/4/2026 {clock}", MONTH_FIRST)
    assert (reading.instant, bool(reading.problem)) == (None, True)


def test_half_a_day_is_not_read_where_no_order_is_stated() -> None:
    assert read_time("2026-05-04 08:15 PM", HERE).problem


@pytest.mark.parametrize(
    ("zone", "hours"),
    [("EST", -5), ("EDT", -4), ("UTC", 0), ("Z", 0), ("-07:00", -7), ("+0530", 5.5), ("UTC+2", 2), ("GMT-3", -3)],
)
def test_a_written_zone_is_believed(zone: str, hours: float) -> None:
    local = datetime(2026, 5, 4, 8, 15, tzinfo=timezone(timedelta(hours=hours)))
    assert read(f"5/4/2026 08:15 {zone}", MONTH_FIRST) == TimeReading(
        local.astimezone(UTC), local.astimezone(HERE).date()
    )


def test_words_for_a_zone_mean_what_the_layout_says() -> None:
    style = TimeStyle(zones={"Berlin time": "Europe/Berlin", "EST": "+10:00"})
    summer, eastern = (read(f"2026-07-01 12:00 {zone}", style).instant for zone in ("berlin  TIME", "EST"))
    assert summer == datetime(2026, 7, 1, 10, tzinfo=UTC)  # CEST is two hours ahead
    assert eastern == datetime(2026, 7, 1, 2, tzinfo=UTC)


def test_a_sender_may_live_in_another_zone_than_the_plant() -> None:
    reading = read("2026-05-04 23:30", TimeStyle(zone="America/Los_Angeles"))
    assert (reading.instant, reading.local_date) == (datetime(2026, 5, 5, 6, 30, tzinfo=UTC), date(2026, 5, 5))


@pytest.mark.parametrize("text", ["2026-03-08 02:30", "2026-11-01 01:30", "2026-07-01 12:00", "2026-01-01 12:00"])
def test_a_clock_on_standard_time_knows_no_change(text: str) -> None:
    # Eastern standard time is five hours behind UTC the year round.
    reading = read(text, TimeStyle(clock="standard time all year"))
    assert reading.instant == datetime.fromisoformat(text).replace(tzinfo=UTC) + timedelta(hours=5)
    assert reading.doubt == ""


@pytest.mark.parametrize(("zone", "hour"), [("EDT", 5), ("EST", 6)])
def test_a_zone_resolves_the_hour_that_happens_twice(zone: str, hour: int) -> None:
    reading = read_time(f"2026-11-01 01:30 {zone}", HERE)
    assert (reading.instant, reading.doubt) == (datetime(2026, 11, 1, hour, 30, tzinfo=UTC), "")


@pytest.mark.parametrize(
    ("serial_from", "text", "expected"),
    [
        # ECMA-376 part 1, 18.17.4.1: day 61 is the first of March 1900; in the other system day 0 is 1904-01-01.
        (1900, "61", date(1900, 3, 1)), (1900, "46146", date(2026, 5, 4)), (1904, "44684", date(2026, 5, 4)),
    ],
)  # fmt: skip
def test_a_number_is_a_day_where_the_layout_says_so(serial_from: int, text: str, expected: date) -> None:
    style = TimeStyle.model_validate({"serial_from": serial_from})
    assert read(text.zfill(4), style).local_date == expected
    assert read_time(text, HERE).local_date is None


def test_part_of_a_day_is_a_time() -> None:
    local = datetime(2026, 5, 4, 8, 15, tzinfo=HERE)
    assert read("46146.34375", TimeStyle(serial_from=1900)).instant == local.astimezone(UTC)


@given(st.text(max_size=24), st.sampled_from([MONTH_FIRST, DAY_FIRST, YEAR_FIRST, TimeStyle(serial_from=1900)]))
def test_any_text_is_answered_in_any_style(text: str, style: TimeStyle) -> None:
    reading = read(text, style)
    assert reading.local_date or reading.problem or not text.strip()


@pytest.mark.parametrize(
    "says", [{"zone": "Mars/Olympus"}, {"zones": {"X": "soon"}}, {"first_year": 26}, {"order": "x"}]
)
def test_a_style_that_cannot_be_meant_is_a_fault(says: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        TimeStyle.model_validate(says)
