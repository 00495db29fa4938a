"""One load, from a delivered file to committed cells; and the second reading of cells that were held."""

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from importlib import resources
from typing import Protocol

import duckdb

from pipeline.ingest.cells import LineAccount, read_cells
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout, choose_layout
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.ingest.staging import stage
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.reading import LoadedFile, loaded_file
from pipeline.store.writing import Account, Arrival, LoadRow, add_event, add_load, add_retry


class Checker(Protocol):
    """What a load asks of the checks: read ``staged_cell``, write ``staged_finding``."""

    def __call__(self, connection: duckdb.DuckDBPyConnection, plant: Plant, *, loaded_at: datetime) -> object:
        """Check the staged cells on the load's own connection; times after ``loaded_at`` are doubtful."""


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What one load, or one retry, did. ``load_id`` is ``None`` after a dry run."""

    file_name: str
    load_id: int | None
    layout: str
    encoding: str
    lines: LineAccount
    account: Account


@dataclass(frozen=True, slots=True)
class Occasion:
    """When something is done and by whom; the clock is the caller's."""

    at: datetime
    who: str


def load_file(
    store: Store,
    plant: Plant,
    source: SourceFile,
    layouts: Iterable[Layout],
    check: Checker,
    occasion: Occasion,
    *,
    dry_run: bool = False,
) -> LoadReport:
    """Load one delivered file: archive it, read it, check it, and commit every cell with its outcome.

    The reading and checking happen in a scratch database; the store is taken only for the short commit.

    Parameters
    ----------
    layouts
        Layouts to choose from by the file's header; give one only to insist on it.
    check
        The checks; they write findings for the staged cells.
    dry_run
        Do everything, then roll it back: nothing is stored or archived.

    Raises
    ------
    FileError
        When the file cannot be read as a whole; nothing is stored.
    StoreError
        When the store cannot be written; nothing is stored.
    """
    layout = choose_layout(source, layouts)
    cells = read_cells(source, layout)
    with _scratch() as scratch:
        stage(scratch, cells.table, layout, plant)
        check(scratch, plant, loaded_at=occasion.at)
        arrival = _arrival(scratch)
    row = LoadRow(
        file_name=source.name,
        sha256=source.sha256,
        size=len(source.content),
        layout=layout.name,
        layout_sha=hashlib.sha256(layout.model_dump_json().encode()).hexdigest(),
        encoding=source.encoding,
        lines_title=cells.lines.title,
        lines_header=cells.lines.header,
        lines_blank=cells.lines.blank,
        lines_data=cells.lines.data,
    )
    load_id, account = _commit(store, plant, source, row, arrival, occasion, dry_run=dry_run)
    return LoadReport(source.name, load_id, layout.name, source.encoding, cells.lines, account)


def retry_load(
    store: Store, plant: Plant, load_id: int, layouts: Iterable[FileLayout], check: Checker, occasion: Occasion
) -> LoadReport:
    """Read the held cells of a load again from the archive, with the plant folder as it is now.

    Cells that are not held stay as they are.
    """
    with store.read() as connection:
        loaded = loaded_file(connection, load_id)
    source = decode_source(loaded.file_name, archive.fetch(store.archive, loaded.sha256))
    layout = _same_layout(loaded, source, [layout for layout in layouts if isinstance(layout, Layout)])
    cells = read_cells(source, layout)
    with _scratch() as scratch:
        stage(scratch, cells.table, layout, plant)
        check(scratch, plant, loaded_at=occasion.at)
        arrival = _arrival(scratch)
    with store.write() as connection:
        held = _held_again(connection, load_id, arrival)
        archive.keep_folder(store.archive, plant.version, plant.files())
        event_id = add_event(
            connection,
            kind="retry",
            at=occasion.at,
            who=occasion.who,
            plant_sha256=plant.version,
            detail=f"load {load_id}",
        )
        account = add_retry(connection, load_id, held, event_id)
    return LoadReport(loaded.file_name, load_id, layout.name, source.encoding, cells.lines, account)


def _commit(
    store: Store, plant: Plant, source: SourceFile, row: LoadRow, arrival: Arrival, occasion: Occasion, *, dry_run: bool
) -> tuple[int | None, Account]:
    if not dry_run:
        archive.keep(store.archive, source.content)
        archive.keep_folder(store.archive, plant.version, plant.files())
    with store.write(discard=dry_run) as connection:
        event_id = add_event(
            connection,
            kind="load",
            at=occasion.at,
            who=occasion.who,
            plant_sha256=plant.version,
            detail=row.file_name,
        )
        load_id, account = add_load(connection, row, arrival, event_id)
    return (None if dry_run else load_id), account


def _arrival(scratch: duckdb.DuckDBPyConnection) -> Arrival:
    for name in ("keyed_cell", "equal_keys", "cell_state"):
        scratch.execute(_ingest_sql(name))
    cells = scratch.sql(_ingest_sql("arriving_cell")).to_arrow_table()
    return Arrival(cells, scratch.sql("FROM staged_finding").to_arrow_table())


def _held_again(connection: duckdb.DuckDBPyConnection, load_id: int, arrival: Arrival) -> Arrival:
    """Only those arriving cells that the store holds now; a twin whose first cell is settled stands for itself."""
    connection.register("all_arriving", arrival.cells)
    connection.register("all_findings", arrival.findings)
    cells = connection.sql(_ingest_sql("still_held"), params={"load_id": load_id}).to_arrow_table()
    connection.register("kept_cells", cells)
    findings = connection.sql(
        "SELECT all_findings.* FROM all_findings JOIN kept_cells USING (cell_id)"
    ).to_arrow_table()
    for name in ("all_arriving", "all_findings", "kept_cells"):
        connection.unregister(name)
    return Arrival(cells, findings)


def _same_layout(loaded: LoadedFile, source: SourceFile, layouts: list[Layout]) -> Layout:
    """The layout of that name as it is now; where it is gone, whichever fits."""
    named = [layout for layout in layouts if layout.name == loaded.layout]
    return choose_layout(source, named or layouts)


@contextmanager
def _scratch() -> Iterator[duckdb.DuckDBPyConnection]:
    connection = duckdb.connect(":memory:")
    try:
        yield connection
    finally:
        connection.close()


def _ingest_sql(name: str) -> str:
    return resources.files("pipeline.ingest").joinpath("sql", f"{name}.sql").read_text("utf-8")
