"""Questions to the store, each one a query of its name; answers are frames, or values where there is only one.

``as_of_event`` asks what was known then: the store as it was right after that event; ``None`` is now. A time becomes an
event with :func:`event_at`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

import duckdb
import polars as pl

from pipeline.errors import StoreError
from pipeline.screening.model import HeldCell, ScreeningResult
from pipeline.store.settling import query_text
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class LoadedFile:
    """What a load was made from, when, and whether it was withdrawn since."""

    load_id: int
    file_name: str
    sha256: str
    layout: str
    loaded_at: datetime
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class Head:
    """How far the store has come: its last event, and when data were last loaded (``None`` when never)."""

    event_id: int
    last_loaded: datetime | None


class Deed(NamedTuple):
    """Something that was done, and a sample point and analyte that it touched; empty where a held cell says none."""

    event_id: int
    kind: str
    happened_at: datetime
    who: str
    what: str
    sample_point: str
    analyte: str


def head(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> Head:
    """The last event and the time of the last load."""
    (row,) = connection.execute(query_text("head"), {"as_of_event": as_of_event}).fetchall()
    return Head(*row)


def event_at(connection: duckdb.DuckDBPyConnection, at: datetime) -> int:
    """The last event up to which everything had happened by a time; 0 before the first."""
    ((event_id,),) = connection.execute(query_text("event_at"), {"at": at}).fetchall()
    return int(event_id)


def plant_version_at(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> str:
    """SHA-256 of the plant folder that was last used by then; empty before the first event."""
    rows = connection.execute(query_text("plant_version_at"), {"as_of_event": as_of_event}).fetchall()
    return str(rows[0][0]) if rows else ""


def deeds_between(
    connection: duckdb.DuckDBPyConnection, after_event: int | None, until_event: int | None
) -> list[Deed]:
    """What was done after one event and up to another; ``None`` is now."""
    values = {"after_event": after_event, "until_event": until_event}
    return [Deed(*row) for row in connection.execute(query_text("deeds_between"), values).fetchall()]


def loads(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> pl.DataFrame:
    """Every load with its account, newest first; ``withdrawn_at`` is null unless it was withdrawn."""
    return _frame(connection, "loads", as_of_event=as_of_event)


def loaded_file(connection: duckdb.DuckDBPyConnection, load_id: int) -> LoadedFile:
    """The file of a load.

    Raises
    ------
    StoreError
        When there is no such load.
    """
    rows = connection.execute(query_text("loaded_file"), {"load_id": load_id}).fetchall()
    if not rows:
        raise StoreError(f"there is no load {load_id}.", "See the numbers with: barrierbook held, or the Load page.")
    return LoadedFile(*rows[0])


def is_in_force(connection: duckdb.DuckDBPyConnection, result_id: int) -> bool:
    """Whether a version of a result counts now."""
    ((counts,),) = connection.execute(query_text("is_in_force"), {"result_id": result_id}).fetchall()
    return bool(counts)


def held_cells(
    connection: duckdb.DuckDBPyConnection, load_id: int | None = None, as_of_event: int | None = None
) -> pl.DataFrame:
    """Cells that are held, one row a finding that holds them, with what they say and what clears them.

    A file that was loaded twice is counted once, by its last load that was not withdrawn. ``load_id`` limits the answer
    to one load.
    """
    return _frame(connection, "held_cells", load_id=load_id, as_of_event=as_of_event)


def findings(
    connection: duckdb.DuckDBPyConnection, load_id: int | None = None, as_of_event: int | None = None
) -> pl.DataFrame:
    """What the checks say of cells that are held and of results that are in the store; newest load first."""
    return _frame(connection, "findings", load_id=load_id, as_of_event=as_of_event)


def held_for_screening(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> list[HeldCell]:
    """Held cells as screening sees them, one a cell."""
    rows = connection.execute(query_text("held_for_screening"), {"as_of_event": as_of_event}).fetchall()
    return [HeldCell(*row) for row in rows]


def decisions(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> pl.DataFrame:
    """Decisions of persons, newest first; ``standing`` says whether each reaches the version that is said now."""
    return _frame(connection, "decisions", as_of_event=as_of_event)


def results_for_screening(
    connection: duckdb.DuckDBPyConnection,
    sample_points: Sequence[str],
    until: date,
    load_id: int | None = None,
    as_of_event: int | None = None,
) -> list[ScreeningResult]:
    """Results at the sample points, collected up to a day, in order of collection; of one load, or of all.

    Those in force, and those that their sender or a person rejected, which say why they may not be used.
    """
    rows = connection.sql(
        query_text("results_for_screening"),
        params={
            "sample_points": list(sample_points), "until": until, "load_id": load_id, "as_of_event": as_of_event,
        },
    )  # fmt: skip
    names = rows.columns
    kind = names.index("kind")
    return [
        ScreeningResult(**dict(zip(names, (*row[:kind], ValueKind(row[kind]), *row[kind + 1 :]), strict=True)))
        for row in rows.fetchall()
    ]


def results(
    connection: duckdb.DuckDBPyConnection,
    analyte: str | None = None,
    sample_point: str | None = None,
    as_of_event: int | None = None,
) -> pl.DataFrame:
    """Results in force with where they stand in their files, newest first; all, or of one analyte and point.

    All that were reported of a sample are there: another dilution, method or laboratory too. ``replicate_number``
    counts those that only a replicate, dilution or batch mark tells apart; 0 where there is one.
    """
    return _frame(connection, "results", analyte=analyte, sample_point=sample_point, as_of_event=as_of_event)


def results_as_wqx(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> pl.DataFrame:
    """Results in force under the column names of the open Water Quality Exchange schema, version 2.2."""
    return _frame(connection, "results_as_wqx", as_of_event=as_of_event)


def _frame(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> pl.DataFrame:
    frame: pl.DataFrame = connection.sql(query_text(name), params=values).pl()
    return frame
