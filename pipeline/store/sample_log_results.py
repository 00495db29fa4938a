"""The few words of each result that the sample log is compared with, read much faster than whole results."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import duckdb

from pipeline.store.writing import query_text


class KnownResult(NamedTuple):
    """One result as screening would see it, cut to what says where its sample stands."""

    sample: str
    sample_point: str
    analyte: str
    collected_on: date
    laboratory: str
    purpose: str
    kind: str
    value_text: str
    unusable_because: str
    status: str
    file: str
    line: int


def known_results(
    connection: duckdb.DuckDBPyConnection, sample_points: Sequence[str], until: date, as_of_event: int | None = None
) -> list[KnownResult]:
    """Results at the sample points, collected up to a day: the same as screening is given, in the same order."""
    results = connection.sql(
        query_text("results_for_screening"),
        params={
            "sample_points": list(sample_points), "until": until, "load_id": None, "as_of_event": as_of_event,
        },
    )  # fmt: skip
    return list(map(KnownResult._make, results.select(*KnownResult._fields).fetchall()))
