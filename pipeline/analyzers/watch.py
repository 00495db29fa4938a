"""One tag over a span of time, for a person: reduced to what can be seen, its gaps, its days and its marks."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Final
from zoneinfo import ZoneInfo

import duckdb
import polars as pl

from pipeline.analyzers.clock_changes import day_start
from pipeline.analyzers.flags import GAP_INTERVALS
from pipeline.plant.analyzers import Analyzer
from pipeline.store import readings_reading
from pipeline.store.readings_reading import Marking

LONGEST_BY_READING: Final = timedelta(days=92)
"""A longer span is shown from the days; every extreme is in them."""

MOST_BUCKETS: Final = 900
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Span:
    """Days of the plant, both included."""

    first: date
    last: date
    zone: ZoneInfo

    @property
    def start(self) -> datetime:
        """Where it begins [UTC]."""
        return day_start(self.zone, self.first).replace(tzinfo=UTC)

    @property
    def end(self) -> datetime:
        """Where it ends [UTC], exclusive."""
        return day_start(self.zone, self.last + _DAY).replace(tzinfo=UTC)

    @property
    def is_long(self) -> bool:
        """Whether it is shown from the days."""
        return self.end - self.start > LONGEST_BY_READING


@dataclass(frozen=True, slots=True)
class Gap:
    """A time without readings, between the last reading before it and the first after it."""

    last_before: datetime
    first_after: datetime


@dataclass(frozen=True, slots=True)
class Watched:
    """What is shown of a tag: buckets in order of time with their extremes, and the gaps between readings.

    ``buckets`` has the columns first_at, last_at, readings, lowest, highest (null where no reading is usable), failed.
    """

    analyzer: Analyzer
    span: Span
    buckets: pl.DataFrame
    gaps: tuple[Gap, ...]

    @property
    def readings(self) -> int:
        """How many readings there are."""
        return int(self.buckets["readings"].sum())

    @property
    def extremes(self) -> tuple[Decimal, Decimal] | None:
        """Lowest and highest usable reading; ``None`` where there is none."""
        low, high = self.buckets["lowest"].min(), self.buckets["highest"].max()
        return (low, high) if isinstance(low, Decimal) and isinstance(high, Decimal) else None


def watch(
    connection: duckdb.DuckDBPyConnection,
    analyzer: Analyzer,
    tag_id: int,
    span: Span,
    buckets: int = MOST_BUCKETS,
    as_of_event: int | None = None,
) -> Watched:
    """A tag over a span, in at most so many buckets, or in days where the span is longer than three months.

    Days are kept as of now: as of an earlier event a long span is read from the readings too.
    """
    longest = GAP_INTERVALS * timedelta(seconds=analyzer.interval_s)
    if span.is_long and as_of_event is None:
        found = _of_days(readings_reading.days(connection, tag_id, span.first, span.last), span.zone, buckets)
        gaps = readings_reading.gaps_of_days(connection, tag_id, span.first, span.last, longest)
    else:
        found = readings_reading.reduced(connection, tag_id, span.start, span.end, buckets, as_of_event)
        gaps = readings_reading.gaps_between(connection, tag_id, span.start, span.end, longest, as_of_event)
    columns = ("first_at", "last_at", "readings", "lowest", "highest", "failed")
    return Watched(analyzer, span, found.select(columns), tuple(Gap(*gap) for gap in gaps))


def marking_of(analyzer: Analyzer, tag_ids: dict[str, int]) -> Marking:
    """By what readings of a tag are marked; ``tag_ids`` are the numbers of the tags that the store knows."""
    return Marking(
        range_low=analyzer.range_low,
        range_high=analyzer.range_high,
        usual_low=analyzer.usual_low,
        usual_high=analyzer.usual_high,
        run_tag_id=tag_ids.get(analyzer.run_status_tag),
    )


def _of_days(days: pl.DataFrame, zone: ZoneInfo, buckets: int) -> pl.DataFrame:
    """Days as buckets, several days in one where there are more days than buckets."""
    together = -(-days.height // buckets) or 1
    local = [pl.col(name).dt.convert_time_zone(zone.key) for name in ("first_at", "last_at")]
    return (
        days.with_columns(*local, failed=pl.col("readings") - pl.col("usable"))
        .with_columns(bucket=(pl.col("day") - pl.date(1970, 1, 1)).dt.total_days() // together)
        .group_by("bucket", maintain_order=True)
        .agg(
            pl.col("first_at").min(), pl.col("last_at").max(), pl.col("readings").sum(), pl.col("lowest").min(),
            pl.col("highest").max(), pl.col("failed").sum(),
        )
    )  # fmt: skip
