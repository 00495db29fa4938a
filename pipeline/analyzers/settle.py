"""Parts of a load settled one after the other: twins, what the store knows, what is new, and the days they make."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import duckdb
import pyarrow as pa

from pipeline.analyzers.clock_changes import day_start, microseconds, moment_at
from pipeline.analyzers.days import make_day_table, reckon_days
from pipeline.analyzers.parts import DayCount, Part, plan_parts
from pipeline.analyzers.sql import statement
from pipeline.plant.analyzers import STORED_DECIMALS, Analyzer
from pipeline.store.connection import Store
from pipeline.store.readings_reading import known_readings, stored_by_day, stored_tags
from pipeline.store.readings_writing import TagRow, add_part

_DAY: Final = timedelta(days=1)
_EPOCH_DAY: Final = date(1970, 1, 1)
_DECIMAL: Final = pa.decimal128(18, STORED_DECIMALS)


@dataclass(frozen=True, slots=True)
class TagSettings:
    """What the days of each tag of a load are reckoned by: the analyzer, the column of its values, the plant's zone."""

    analyzers: Mapping[int, Analyzer]
    column_of: Mapping[int, str]
    zone: ZoneInfo

    def rows(self) -> tuple[TagRow, ...]:
        """As the store keeps them."""
        return tuple(
            TagRow(tag_id, row.tag, self.zone.key, row.range_low, row.range_high, row.interval_s)
            for tag_id, row in sorted(self.analyzers.items())
        )

    def table(self) -> pa.Table:
        """As the statements of a load see them."""
        rows = [
            (tag_id, self.column_of.get(tag_id, ""), row.tag, row.range_low, row.range_high, row.interval_s)
            for tag_id, row in sorted(self.analyzers.items())
        ]
        columns = {
            "tag_id": pa.int32(), "column_name": pa.string(), "tag": pa.string(), "range_low": _DECIMAL,
            "range_high": _DECIMAL, "expected_interval_s": pa.int32(),
        }  # fmt: skip
        cells = list(zip(*rows, strict=True)) if rows else [()] * len(columns)
        return pa.table({name: pa.array(cell, kind) for (name, kind), cell in zip(columns.items(), cells, strict=True)})


class Settler:
    """Settles the readings in ``arrived``, part by part.

    Parameters
    ----------
    connection
        The load's own database.
    change_id
        The change that the parts are stored under; ``None`` to store nothing.
    part_readings
        About how many readings a part may have.
    """

    def __init__(
        self,
        store: Store,
        connection: duckdb.DuckDBPyConnection,
        settings: TagSettings,
        loaded_at: datetime,
        change_id: int | None,
        part_readings: int,
    ) -> None:
        self._store = store
        self._connection = connection
        self._settings = settings
        self._loaded_us = microseconds(loaded_at.astimezone(UTC).replace(tzinfo=None))
        self._change_id = change_id
        self._part_readings = part_readings
        self.months: dict[date, int] = {}
        connection.execute(statement("settle_tables"))
        make_day_table(connection)
        self._insert("tag_setting", settings.table())
        with store.read() as reading:
            self._stored = {row.tag_id: row for row in stored_tags(reading)}

    def settle_all(self) -> None:
        """Settle every part, and reckon the days of tags anew whose settings have changed."""
        for part in plan_parts(self._counts(), self._part_readings):
            self._settle(part)
        self._reckon_changed()

    def tag_rows(self) -> tuple[TagRow, ...]:
        """Tags of this load as the store keeps them."""
        return self._settings.rows()

    def revised(self) -> pa.Table:
        """Tags and times whose older reading no longer counts."""
        return self._table("revised_in_all")

    def changed_tags(self) -> list[int]:
        """Tags whose days were reckoned by another range, interval or zone than the plant folder states now."""
        rows = self.tag_rows()
        return [row.tag_id for row in rows if row.tag_id in self._stored and self._stored[row.tag_id] != row]

    def days(self) -> pa.Table:
        """Days as they are once the load is complete."""
        return self._table("reckoned_days")

    def _counts(self) -> list[DayCount]:
        """How many readings arrived, and how many are stored, on each day of each tag that arrived."""
        arrived = self._connection.execute(statement("arrived_by_day")).fetchall()
        counts = {(_EPOCH_DAY + number * _DAY, tag_id): readings for number, tag_id, readings in arrived}
        tags = sorted({tag_id for _, tag_id in counts} & self._stored.keys())
        if tags:
            with self._store.read() as reading:
                stored = stored_by_day(reading, tags, min(counts)[0] - _DAY, max(counts)[0] + _DAY)
            for day, tag_id, readings in stored:
                counts[day, tag_id] = counts.get((day, tag_id), 0) + readings
        return [DayCount(day, tag_id, readings) for (day, tag_id), readings in sorted(counts.items())]

    def _settle(self, part: Part) -> None:
        zone = self._settings.zone
        start = microseconds(day_start(zone, part.first_day))
        end = microseconds(day_start(zone, part.last_day + _DAY))
        self._run("take_part", start=start, end=end, first_tag=part.first_tag, last_tag=part.last_tag)
        tags = [tag_id for (tag_id,) in self._connection.execute("SELECT DISTINCT tag_id FROM part").fetchall()]
        if not tags:
            return
        self._settle_twins()
        self._run("add_disorder")
        is_known = self._fetch_known(start, end, tags)
        for name in ("decide_part", "partly_known") if is_known else ("all_new",):
            self._run(name)
        self._run("add_settled")
        self._run("add_found", loaded_us=self._loaded_us)
        self._run("add_revised")
        self._reckon(part, is_known=is_known)
        if self._change_id is not None:
            readings, again = self._table("arriving_readings"), self._table("arriving_again")
            with self._store.write() as connection:
                add_part(connection, self._change_id, readings, again)

    def _settle_twins(self) -> None:
        ((twins,),) = self._connection.execute(statement("count_twins")).fetchall()
        if twins:
            for name in ("judge_twins", "add_twins", "leave_out_twins"):
                self._run(name)

    def _fetch_known(self, start: int, end: int, tags: Sequence[int]) -> bool:
        """Put into ``known`` what the store knows of some tags between two instants; whether there is anything."""
        self._connection.execute("DELETE FROM known")
        stored = sorted(set(tags) & self._stored.keys())
        if not stored:
            return False
        with self._store.read() as reading:
            known = known_readings(
                reading, stored, moment_at(start).replace(tzinfo=UTC), moment_at(end).replace(tzinfo=UTC)
            )
        self._insert("known", known)
        return bool(known.num_rows)

    def _reckon(self, part: Part, *, is_known: bool) -> None:
        ((first, last),) = self._connection.execute(statement("span_of_new")).fetchall()
        if first is None:
            return
        if is_known:
            self._run("touched_readings")
        source = "touched" if is_known else "part"
        reckon_days(self._connection, source, self._settings.zone, part.first_day, part.last_day)
        for month in _months(self._day_of(first), self._day_of(last)):
            self.months[month] = self.months.get(month, 0) + 1

    def _reckon_changed(self) -> None:
        for tag_id in self.changed_tags():
            done = self._connection.execute("SELECT day FROM reckoned_day WHERE tag_id = ?", [tag_id]).fetchall()
            with self._store.read() as reading:
                stored = stored_by_day(reading, [tag_id], date.min, date.max)
            counts = [DayCount(day, tag_id, readings) for day, _, readings in sorted(stored)]
            for part in plan_parts(counts, self._part_readings):
                self._reckon_stored(tag_id, part, {day for (day,) in done})

    def _reckon_stored(self, tag_id: int, part: Part, done: set[date]) -> None:
        zone = self._settings.zone
        self._connection.execute("DELETE FROM known")
        start = day_start(zone, part.first_day).replace(tzinfo=UTC)
        end = day_start(zone, part.last_day + _DAY).replace(tzinfo=UTC)
        with self._store.read() as reading:
            self._insert("known", known_readings(reading, [tag_id], start, end))
        self._connection.execute(
            "CREATE OR REPLACE TEMP TABLE touched AS SELECT tag_id, read_us, value, flag FROM known "
            "WHERE in_force ORDER BY tag_id, read_us"
        )
        before = self._connection.execute("SELECT count(*) FROM reckoned_day").fetchall()[0][0]
        reckon_days(self._connection, "touched", zone, part.first_day, part.last_day)
        self._connection.execute(
            "DELETE FROM reckoned_day WHERE rowid >= ? AND tag_id = ? AND list_contains(?, day)",
            [before, tag_id, sorted(done)],
        )

    def _day_of(self, read_us: int) -> date:
        return moment_at(read_us).replace(tzinfo=UTC).astimezone(self._settings.zone).date()

    def _run(self, name: str, **values: object) -> None:
        self._connection.execute(statement(name), values or None)

    def _table(self, name: str) -> pa.Table:
        return self._connection.sql(statement(name)).to_arrow_table()

    def _insert(self, name: str, table: pa.Table) -> None:
        self._connection.register("rows_to_insert", table)
        self._connection.execute(f"INSERT INTO {name} FROM rows_to_insert")
        self._connection.unregister("rows_to_insert")


def _months(first: date, last: date) -> list[date]:
    months = []
    month = first.replace(day=1)
    while month <= last:
        months.append(month)
        month = (month + 32 * _DAY).replace(day=1)
    return months
