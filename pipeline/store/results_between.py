"""The results of some sample points between two days, with everything that was said of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

import duckdb

from pipeline.store.writing import query_text
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class DeliveredResult:
    """A result in force as it was delivered.

    Parameters
    ----------
    value
        The number, or the limit of a censored value [``unit``]; ``None`` for kinds without one.
    detection_limit, reporting_limit
        As reported [``unit``]; ``None`` when not reported.
    findings
        What the checks say of it, in words; empty when nothing.
    flagged
        Whether one of the findings is a flag.
    """

    sample_point: str
    analyte: str
    fraction: str
    collected_on: date
    collected_at: datetime | None
    kind: ValueKind
    value_text: str
    value: Decimal | None
    unit: str
    basis: str
    detection_limit: Decimal | None
    reporting_limit: Decimal | None
    qualifier: str
    sample_type: str
    purpose: str
    status: str
    laboratory: str
    method: str
    sample: str
    findings: str
    flagged: bool
    file: str
    line: int
    column: str


def results_between(
    connection: duckdb.DuckDBPyConnection,
    sample_points: Sequence[str],
    first: date,
    last: date,
    as_of_event: int | None = None,
) -> list[DeliveredResult]:
    """Results in force at the sample points, collected from ``first`` to ``last``, by analyte, point and day."""
    rows = connection.sql(
        query_text("results_between"),
        params={"sample_points": list(sample_points), "first": first, "last": last, "as_of_event": as_of_event},
    )
    names = rows.columns
    kind = names.index("kind")
    return [
        DeliveredResult(**dict(zip(names, (*row[:kind], ValueKind(row[kind]), *row[kind + 1 :]), strict=True)))
        for row in rows.fetchall()
    ]
