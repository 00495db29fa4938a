"""Times by every kind of clock, with Python's time zones as the independent calendar."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from pipeline.analyzers.clock_changes import WallTime, clock_changes, microseconds, wall_spans
from pipeline.errors import PlantRowError
from pipeline.ingest.layout_files import read_layout
from tests.pipeline.analyzers.historian import Historian, account, narrow_layout

HEADER = "time,tag,value,status\n"
ZONES = ["America/Los_Angeles", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kolkata", "America/Sao_Paulo", "UTC"]


def minutes(first: datetime, last: datetime, step: int = 10) -> list[datetime]:
    """Instants in UTC."""
    return [first + timedelta(minutes=step * number) for number in range(int((last - first) / timedelta(minutes=step)))]


def times(historian: Historian) -> list[datetime]:
    return [moment for (moment,) in historian.ask("SELECT read_at FROM reading ORDER BY line")]


def narrow(written: list[str]) -> str:
    return HEADER + "".join(f"{text},TURB,1,Good\n" for text in written)


def test_a_time_in_utc_is_itself(historian: Historian) -> None:
    historian.load(narrow(["2026-03-08 10:30:00", "2026-03-08T10:31:00.250"]))
    assert times(historian) == [
        datetime(2026, 3, 8, 10, 30, tzinfo=UTC), datetime(2026, 3, 8, 10, 31, 0, 250_000, tzinfo=UTC)
    ]  # fmt: skip


@pytest.mark.parametrize("zone", ["-08:00", "+05:30"])
def test_standard_time_all_year_knows_no_clock_change(historian: Historian, zone: str) -> None:
    hours = 5.5 if zone == "+05:30" else -8
    local = [datetime(2026, 3, 8, 2, 30), datetime(2026, 11, 1, 1, 30)]  # noqa: DTZ001
    historian.load(narrow([str(moment) for moment in local]), narrow_layout(time={"zone": zone}))
    ahead = timezone(timedelta(hours=hours))
    assert times(historian) == [moment.replace(tzinfo=ahead).astimezone(UTC) for moment in local]


def test_an_offset_that_is_written_is_followed(historian: Historian) -> None:
    layout = narrow_layout(time={"zone": "offset written", "formats": ["%Y-%m-%dT%H:%M:%S%z"]})
    written = ["2026-11-01T01:30:00-07:00", "2026-11-01T01:30:00-0800", "2026-11-01T09:31:00Z", "2026-11-01T09:30:00"]
    assert account(historian.load(narrow(written), layout)) == {"new": 3, "held": 1}
    assert times(historian) == [
        datetime(2026, 11, 1, 8, 30, tzinfo=UTC), datetime(2026, 11, 1, 9, 30, tzinfo=UTC),
        datetime(2026, 11, 1, 9, 31, tzinfo=UTC),
    ]  # fmt: skip


@pytest.mark.parametrize("zone", ["America/Los_Angeles", "Australia/Lord_Howe", "America/Sao_Paulo"])
def test_a_year_of_local_times_is_placed_as_by_python(make_historian: Callable[..., Historian], zone: str) -> None:
    here = ZoneInfo(zone)
    instants = minutes(datetime(2018, 1, 1, tzinfo=UTC), datetime(2019, 1, 1, tzinfo=UTC), step=30)
    local = [instant.astimezone(here).replace(tzinfo=None) for instant in instants]
    twice = {moment for moment in local if _offset(moment, here, 0) != _offset(moment, here, 1)}
    historian = make_historian(zone=zone)
    report = historian.load(narrow([str(moment) for moment in local]), narrow_layout(time={"zone": "plant"}),
                            block_bytes=100_000)  # fmt: skip
    expected = [instant for instant, moment in zip(instants, local, strict=True) if moment not in twice]
    assert times(historian) == expected
    assert account(report).get("held", 0) == len(instants) - len(expected)
    assert historian.faults() == []


@pytest.mark.parametrize("zone", ["America/Los_Angeles", "Europe/Berlin", "Australia/Lord_Howe"])
@pytest.mark.parametrize("block_bytes", [200, 100_000])
def test_the_order_of_lines_tells_a_doubled_hour_apart(
    make_historian: Callable[..., Historian], zone: str, block_bytes: int
) -> None:
    here = ZoneInfo(zone)
    back = next(
        change for change in clock_changes(here, datetime(2018, 1, 1), datetime(2019, 1, 1))  # noqa: DTZ001
        if change.after < change.before
    )  # fmt: skip
    middle = back.at.replace(tzinfo=UTC)
    instants = minutes(middle - timedelta(hours=3), middle + timedelta(hours=3))
    written = [str(instant.astimezone(here).replace(tzinfo=None)) for instant in instants]
    historian = make_historian(zone=zone)
    layout = narrow_layout(time={"zone": "plant", "repeated_hour": "by order"})
    report = historian.load(narrow(written), layout, block_bytes=block_bytes)
    assert times(historian) == instants
    doubled = 2 * int((back.before - back.after) / timedelta(minutes=10))
    assert account(report) == {"new": len(instants), "flagged": doubled}


@pytest.mark.parametrize(
    "hours", [["01:00", "01:20", "01:40"], ["01:00", "01:30", "01:00", "01:30", "01:00"], ["01:30", "01:30", "01:30"]]
)
def test_a_doubled_hour_is_held_where_the_order_does_not_tell(historian: Historian, hours: list[str]) -> None:
    layout = narrow_layout(time={"zone": "plant", "repeated_hour": "by order"})
    report = historian.load(narrow([f"2026-11-01 {hour}:00" for hour in hours]), layout)
    assert account(report) == {"held": len(hours)}
    assert [reason[:28] for reason in historian.why()] == ["the local time happened twic"]


def test_an_hour_that_did_not_happen_is_held(historian: Historian) -> None:
    written = ["2026-03-08 01:59:00", "2026-03-08 02:00:00", "2026-03-08 02:59:59", "2026-03-08 03:00:00"]
    report = historian.load(narrow(written), narrow_layout(time={"zone": "plant"}))
    assert account(report) == {"new": 2, "held": 2}
    assert list(historian.why().values()) == [[3, 4]]


@pytest.mark.parametrize("zone", ZONES)
def test_every_wall_clock_minute_falls_into_one_span(zone: str) -> None:
    here = ZoneInfo(zone)
    first, last = datetime(2018, 1, 1), datetime(2019, 1, 1)  # noqa: DTZ001
    spans = wall_spans(here, first, last)
    for moment in (first + timedelta(minutes=17 * number) for number in range(30_000)):
        (span,) = [span for span in spans if span.start <= moment < span.end]
        early, late = _offset(moment, here, 0), _offset(moment, here, 1)
        kind = WallTime.ONCE if early == late else WallTime.TWICE if early > late else WallTime.SKIPPED
        assert span.kind is kind
        if kind is not WallTime.SKIPPED:
            assert (span.ahead, span.ahead_again) == (early // _US, late // _US)


def test_microseconds_count_from_1970() -> None:
    assert microseconds(datetime(1970, 1, 2, 0, 0, 0, 7)) == 86_400_000_007  # noqa: DTZ001


@pytest.mark.parametrize(
    ("zone", "formats"), [("PST", "%Y"), ("-8", "%Y"), ("plant", "YYYY-MM-DD"), ("plant", "%Y-%q"), ("+25:00", "%Y")]
)
def test_a_clock_that_cannot_be_is_refused_with_the_layout(zone: str, formats: str) -> None:
    text = f"""
        kind = "readings"
        name = "x"
        signature = ["a", "b"]
        shape = "wide"
        columns = {{ time = "a" }}
        time = {{ zone = "{zone}", formats = ["{formats}"] }}
    """
    with pytest.raises(PlantRowError, match="column time"):
        read_layout("x.toml", text)


_US = timedelta(microseconds=1)


def _offset(moment: datetime, zone: ZoneInfo, fold: int) -> timedelta:
    return moment.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta(0)
