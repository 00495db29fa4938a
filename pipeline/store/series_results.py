"""The results of one analyte over time, read with one query."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import duckdb

from pipeline.store.writing import query_text
from pipeline.trends.model import SeriesResult
from pipeline.vocabulary import ValueKind

MOST_DRAWN = 2_000


def series_results(
    connection: duckdb.DuckDBPyConnection,
    analyte: str,
    sample_points: Sequence[str],
    *,
    first: date | None = None,
    last: date,
    most_drawn: int = MOST_DRAWN,
    as_of_event: int | None = None,
) -> list[SeriesResult]:
    """Results in force of an analyte at the sample points between two days, quality control among them, oldest first.

    Parameters
    ----------
    first
        First day of collection; ``None`` is the beginning.
    most_drawn
        About how many of them a chart may show. Where there are more, those marked as drawn are the lowest and the
        highest of each stretch of days, point by point and fraction by fraction.
    as_of_event
        The event after which the store is asked; ``None`` is now.
    """
    rows = connection.sql(
        query_text("series_results"),
        params={
            "analyte": analyte, "sample_points": list(sample_points), "first": first, "last": last,
            "most": most_drawn, "as_of_event": as_of_event,
        },
    )  # fmt: skip
    names = rows.columns
    kind = names.index("kind")
    return [
        SeriesResult(**dict(zip(names, (*row[:kind], ValueKind(row[kind]), *row[kind + 1 :]), strict=True)))
        for row in rows.fetchall()
    ]


@dataclass(frozen=True, slots=True)
class SeriesThereIs:
    """An analyte with results at a sample point: how many, and the days of the first and the last."""

    analyte: str
    sample_point: str
    results: int
    first: date
    last: date


def series_there_are(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> list[SeriesThereIs]:
    """Every analyte and sample point with results in force that are no quality control."""
    rows = connection.execute(query_text("series_there_are"), {"as_of_event": as_of_event}).fetchall()
    return [SeriesThereIs(*row) for row in rows]
