"""Field readings beside laboratory results: what was read at the tap when a sample was taken, by our own sample id."""

from dataclasses import dataclass
from datetime import datetime

import duckdb

from pipeline.store.writing import query_text
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class FieldReading:
    """One reading of a field sheet, as reported, and where it stands; ``collected_at`` is ``None`` for a day alone."""

    analyte: str
    kind: ValueKind
    value_text: str
    unit: str
    collected_at: datetime | None
    file: str
    line: int


def field_readings_of_sample(
    connection: duckdb.DuckDBPyConnection, sample: str, as_of_event: int | None = None
) -> tuple[FieldReading, ...]:
    """What was read in the field when a sample was taken; empty where no field sheet tells of it.

    Parameters
    ----------
    sample
        Our own sample id.
    as_of_event
        The event after which the store is asked; ``None`` is now.
    """
    return _read(connection, sample, as_of_event).get(sample, ())


def field_readings_of_samples(
    connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None
) -> dict[str, tuple[FieldReading, ...]]:
    """The same of every sample, by our own sample id."""
    return _read(connection, None, as_of_event)


def _read(
    connection: duckdb.DuckDBPyConnection, sample: str | None, as_of_event: int | None
) -> dict[str, tuple[FieldReading, ...]]:
    rows = connection.execute(
        query_text("sample_log_field_readings"), {"sample": sample, "as_of_event": as_of_event}
    ).fetchall()
    found: dict[str, list[FieldReading]] = {}
    for of_sample, analyte, kind, *rest in rows:
        found.setdefault(of_sample, []).append(FieldReading(analyte, ValueKind(kind), *rest))
    return {name: tuple(some) for name, some in found.items()}
