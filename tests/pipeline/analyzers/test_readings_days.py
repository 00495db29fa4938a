"""Days of the plant, the withdrawal of loads, closed months and what a dead program leaves."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from pipeline.analyzers.parts import DayCount, plan_parts
from pipeline.errors import StoreBusyError
from pipeline.store.readings_compact import compact_readings
from pipeline.store.readings_workroom import readings_workroom
from pipeline.store.readings_writing import begin_change
from tests.pipeline.analyzers.historian import LOADED_AT, TAGS, Historian, account

HEADER = "time,tag,value,status\n"


def every_minute(first: datetime, number: int, value: str = "1", tag: str = "TURB") -> str:
    rows = (f"{first + timedelta(minutes=minute):%Y-%m-%d %H:%M:%S},{tag},{value},Good\n" for minute in range(number))
    return HEADER + "".join(rows)


@pytest.mark.parametrize(("day", "hours"), [(date(2026, 3, 8), 23), (date(2026, 11, 1), 25), (date(2026, 5, 4), 24)])
def test_a_day_is_as_long_as_the_clock_makes_it(historian: Historian, day: date, hours: int) -> None:
    # The clock of Los Angeles is set forward on 8 March and back on 1 November 2026 (15 U.S.C. 260a).
    start = datetime(day.year, day.month, day.day, tzinfo=UTC) - timedelta(days=1)
    historian.load(every_minute(start, 4 * 1440))
    assert historian.ask("SELECT readings FROM reading_day WHERE day = ?", [day]) == [(hours * 60,)]


def test_only_touched_days_are_reckoned_anew(historian: Historian) -> None:
    historian.load(every_minute(datetime(2026, 5, 1, 8, tzinfo=UTC), 5 * 1440))
    with historian.store.write() as connection:
        connection.execute("UPDATE reading_day SET readings = -1 WHERE day = '2026-05-01'")
    historian.load(every_minute(datetime(2026, 5, 5, 9, tzinfo=UTC), 1, value="2"))
    assert historian.ask("SELECT readings FROM reading_day WHERE day = '2026-05-01'") == [(-1,)]
    assert historian.ask("SELECT highest FROM reading_day WHERE day = '2026-05-05'") == [(Decimal(2),)]


def test_another_range_makes_the_days_of_its_tag_anew(historian: Historian) -> None:
    historian.load(every_minute(datetime(2026, 5, 1, 7, tzinfo=UTC), 3 * 1440, value="7"))
    historian.write_plant(TAGS.replace("NTU,0,10", "NTU,0,5"))
    historian.load(every_minute(datetime(2026, 5, 4, 8, tzinfo=UTC), 10, value="7"))
    assert historian.ask("SELECT day::VARCHAR, outside, outside_s FROM reading_day ORDER BY day") == [
        ("2026-05-01", 1440, 86400), ("2026-05-02", 1440, 86400), ("2026-05-03", 1440, 86400),
        ("2026-05-04", 10, 720),
    ]  # fmt: skip
    assert historian.faults() == []


def test_a_load_that_is_taken_back_leaves_what_another_says(historian: Historian) -> None:
    first, second = datetime(2026, 5, 1, 8, tzinfo=UTC), datetime(2026, 5, 1, 9, tzinfo=UTC)
    historian.load(every_minute(first, 120))
    historian.load(every_minute(second, 120))
    historian.withdraw(1)
    assert sorted(moment for _, moment in historian.in_force()) == [second + timedelta(minutes=m) for m in range(120)]
    assert historian.ask("SELECT readings FROM reading_day") == [(120,)]
    assert historian.faults() == []


def test_what_was_known_before_a_withdrawal_can_still_be_told(historian: Historian) -> None:
    moment = datetime(2026, 5, 1, 8, tzinfo=UTC)
    for value in ("1", "2"):
        historian.load(every_minute(moment, 1, value=value))
    historian.withdraw(2)
    assert historian.ask(
        "SELECT value, counts_from, counts_to FROM reading_past "
        "UNION ALL SELECT value, counts_from, NULL FROM reading ORDER BY ALL"
    ) == [(Decimal(1), 1, 2), (Decimal(1), 3, None), (Decimal(2), 2, 3)]
    assert account(historian.load(every_minute(moment, 1, value="2"))) == {"revision": 1}
    assert historian.faults() == []


def test_closed_months_are_put_in_order_and_stay_the_same(historian: Historian) -> None:
    for day in range(3):
        for tag in ("TURB", "TOC"):
            historian.load(every_minute(datetime(2026, 5, 31 - day, 8, tzinfo=UTC), 30, tag=tag))
    historian.load(every_minute(datetime(2026, 6, 10, tzinfo=UTC), 1))
    before = historian.in_force()
    with readings_workroom(historian.store):
        assert compact_readings(historian.store, historian.plant.zone) == [date(2026, 5, 1)]
    assert historian.in_force() == before
    rows = historian.ask("SELECT tag_id, read_at FROM reading WHERE read_at < '2026-06-01' ORDER BY rowid")
    assert rows == sorted(rows)
    assert historian.ask("SELECT parts FROM reading_month ORDER BY month") == [(1,), (1,)]
    assert historian.faults() == []


def test_a_load_puts_a_closed_month_in_order_that_stands_in_many_parts(historian: Historian) -> None:
    for day in range(9):
        historian.load(every_minute(datetime(2026, 5, 10 + day, 8, tzinfo=UTC), 2))
    assert historian.ask("SELECT month::VARCHAR, parts FROM reading_month") == [("2026-05-01", 9)]
    historian.load(every_minute(datetime(2026, 6, 10, 8, tzinfo=UTC), 1))
    assert historian.ask("SELECT parts FROM reading_month ORDER BY month") == [(1,), (1,)]
    assert len(historian.in_force()) == 19


def test_nothing_of_a_dead_load_counts_and_the_next_one_sweeps_it(historian: Historian) -> None:
    moment = datetime(2026, 5, 1, 8, tzinfo=UTC)
    historian.load(every_minute(moment, 1))
    with historian.store.write() as connection:
        change_id = begin_change(connection, LOADED_AT)
        connection.execute("INSERT INTO analyzer_tag VALUES (9, 'TOC', 'UTC', NULL, NULL, 60)")
        connection.execute(
            "INSERT INTO reading SELECT 9, read_at, value, flag, line, $change, $change FROM reading",
            {"change": change_id},
        )
    assert len(historian.in_force()) == 1
    historian.load(every_minute(moment, 2))
    assert historian.ask("SELECT count(*) FROM reading") == [(2,)]
    assert historian.ask("FROM reading_pending") == []


def test_a_withdrawal_during_a_load_stops_the_load(historian: Historian, monkeypatch: pytest.MonkeyPatch) -> None:
    moment = datetime(2026, 5, 1, 8, tzinfo=UTC)
    historian.load(every_minute(moment, 1))
    from pipeline.analyzers import load_readings

    kept = load_readings.archive.keep_folder

    def withdrawing(*given: object) -> None:
        kept(*given)  # type: ignore[arg-type]
        historian.withdraw(1)

    monkeypatch.setattr(load_readings.archive, "keep_folder", withdrawing)
    with pytest.raises(StoreBusyError, match="taken back while"):
        historian.load(every_minute(moment, 3))
    assert historian.in_force() == {}


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        ("UPDATE reading SET value = 3 WHERE line = 2", "a day is not what its readings make"),
        ("INSERT INTO reading SELECT * FROM reading WHERE line = 2", "a day is not what its readings make"),
        ("DELETE FROM reading WHERE line = 2", "the account of a load"),
        ("UPDATE reading_day SET highest = 9", "a day is not what its readings make"),
        ("UPDATE reading_outcome SET cells = cells + 1 WHERE outcome = 'new'", "the account of a load"),
        ("INSERT INTO withdrawal VALUES (99, 1, '')", "not the reading counts that the loads make"),
    ],
)
def test_the_proof_finds_what_is_wrong(historian: Historian, sql: str, said: str) -> None:
    historian.load(every_minute(datetime(2026, 5, 1, 8, tzinfo=UTC), 3))
    assert historian.faults() == []
    with historian.store.write() as connection:
        connection.execute(sql)
    assert any(fault.startswith(said) for fault in historian.faults())


def test_parts_cover_every_day_and_tag_once() -> None:
    days = [date(2026, 1, 20) + timedelta(days=number) for number in range(40)]
    counts = [DayCount(day, tag, 7 + tag) for day in days for tag in (1, 2, 3)]
    for most in (1, 9, 30, 100, 10_000):
        parts = list(plan_parts(counts, most))
        covered = [
            (part.first_day + timedelta(days=number), tag)
            for part in parts
            for number in range((part.last_day - part.first_day).days + 1)
            for tag in (1, 2, 3)
            if part.first_tag <= tag <= part.last_tag
        ]
        around = [days[0] - timedelta(days=1), *days, days[-1] + timedelta(days=1)]
        assert sorted(covered) == [(day, tag) for day in around for tag in (1, 2, 3)]


def test_two_programs_do_not_load_readings_at_once(make_historian: Callable[..., Historian]) -> None:
    # In one process DuckDB shares the file; the lock between processes is tested with kill -9 elsewhere.
    historian = make_historian()
    with readings_workroom(historian.store) as first:
        assert first.execute("SELECT current_setting('TimeZone')").fetchall() == [("UTC",)]
