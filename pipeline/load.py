"""One load, from a delivered file to committed cells."""

import hashlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from importlib import resources
from typing import Protocol

import duckdb

from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile
from pipeline.ingest.staging import stage
from pipeline.ingest.tables import LineAccount
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.reading import LoadedFile
from pipeline.store.settling import Arrival
from pipeline.store.writing import Account, LoadRow, add_event, add_load


class Checker(Protocol):
    """What a load asks of the checks: read ``staged_cell``, write ``staged_finding``."""

    def __call__(self, connection: duckdb.DuckDBPyConnection, plant: Plant, *, loaded_at: datetime) -> object:
        """Check the staged cells on the load's own connection; times after ``loaded_at`` are doubtful."""


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What one load, or one reading of it again, did. ``load_id`` is ``None`` after a dry run.

    ``remarks`` say what a person should know of how the file was read, such as a sheet that was left out.
    """

    file_name: str
    load_id: int | None
    layout: str
    encoding: str
    lines: LineAccount
    account: Account
    remarks: tuple[str, ...] = ()


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
    cells, arrival = read_arrival(source, layout, plant, check, occasion.at)
    row = load_row(source.name, source.sha256, len(source.content), layout, cells.encoding, cells.lines)
    load_id, account = commit(
        store,
        plant,
        source,
        occasion,
        lambda connection, event_id: add_load(connection, row, arrival, event_id),
        dry_run=dry_run,
    )
    return LoadReport(source.name, load_id, layout.name, cells.encoding, cells.lines, account, cells.remarks)


def read_arrival(
    source: SourceFile, layout: Layout, plant: Plant, check: Checker, loaded_at: datetime
) -> tuple[FileCells, Arrival]:
    """Read and check every cell of a file, ready to be committed; nothing is stored."""
    cells = read_cells(source, layout)
    with _scratch() as scratch:
        stage(scratch, cells.table, layout, plant)
        check(scratch, plant, loaded_at=loaded_at)
        return cells, _arrival(scratch)


def load_row(name: str, sha256: str, size: int, layout: FileLayout, encoding: str, lines: LineAccount) -> LoadRow:
    """What the store keeps of a load, whatever its file holds."""
    return LoadRow(
        file_name=name,
        sha256=sha256,
        size=size,
        layout=layout.name,
        layout_sha=hashlib.sha256(layout.model_dump_json().encode()).hexdigest(),
        encoding=encoding,
        lines_title=lines.title,
        lines_header=lines.header,
        lines_blank=lines.blank,
        lines_data=lines.data,
    )


def commit(
    store: Store,
    plant: Plant,
    source: SourceFile,
    occasion: Occasion,
    add: Callable[[duckdb.DuckDBPyConnection, int], tuple[int, Account]],
    *,
    dry_run: bool,
) -> tuple[int | None, Account]:
    """Archive a file and the plant folder, and let ``add`` write its load as one event, in one transaction.

    After a dry run nothing of it is there, and there is no number.
    """
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
            detail=source.name,
        )
        load_id, account = add(connection, event_id)
    return (None if dry_run else load_id), account


def same_layout(loaded: LoadedFile, source: SourceFile, layouts: Iterable[FileLayout]) -> Layout:
    """The layout that a load was read with, as it is now; where it is gone, whichever fits.

    Raises
    ------
    LayoutError
        When none fits.
    """
    of_results = [layout for layout in layouts if isinstance(layout, Layout)]
    named = [layout for layout in of_results if layout.name == loaded.layout]
    return choose_layout(source, named or of_results)


def _arrival(scratch: duckdb.DuckDBPyConnection) -> Arrival:
    for name in ("keyed_cell", "equal_keys", "cell_state"):
        scratch.execute(_ingest_sql(name))
    cells = scratch.sql(_ingest_sql("arriving_cell")).to_arrow_table()
    return Arrival(cells, scratch.sql("FROM staged_finding").to_arrow_table())


@contextmanager
def _scratch() -> Iterator[duckdb.DuckDBPyConnection]:
    connection = duckdb.connect(":memory:")
    try:
        yield connection
    finally:
        connection.close()


def _ingest_sql(name: str) -> str:
    return resources.files("pipeline.ingest").joinpath("sql", f"{name}.sql").read_text("utf-8")
