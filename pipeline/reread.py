"""Reading a load again from the archive, with the plant folder as it is now: its held cells, or all of them."""

from collections.abc import Iterable

import duckdb

from pipeline.effect import Correction, Effect, with_effect
from pipeline.errors import StoreError
from pipeline.ingest.cells import FileCells
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout
from pipeline.ingest.source import decode_source
from pipeline.load import Checker, LoadReport, Occasion, read_arrival, same_layout
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.reading import LoadedFile, loaded_file
from pipeline.store.rereading import add_reading, loads_of_the_file
from pipeline.store.settling import Arrival, begin, let_newest_count
from pipeline.store.writing import Account, add_event


def retry_load(
    store: Store, plant: Plant, load_id: int, layouts: Iterable[FileLayout], check: Checker, occasion: Occasion
) -> LoadReport:
    """Read the held cells of a load again; cells that are not held stay as they are.

    Raises
    ------
    StoreError
        When there is no such load, or it was withdrawn.
    """
    loaded, layout, cells, arrival = read_again(store, plant, load_id, layouts, check)
    archive.keep_folder(store.archive, plant.version, plant.files())
    with store.write() as connection:
        event_id = add_event(
            connection,
            kind="retry",
            at=occasion.at,
            who=occasion.who,
            plant_sha256=plant.version,
            detail=f"load {load_id}",
        )
        begin(connection)
        account = add_reading(connection, [load_id], arrival, event_id, held_only=True)
        let_newest_count(connection, event_id)
    return LoadReport(loaded.file_name, load_id, layout.name, cells.encoding, cells.lines, account)


def reread_load(
    store: Store,
    plant: Plant,
    load_id: int,
    layouts: Iterable[FileLayout],
    check: Checker,
    correction: Correction,
) -> Effect:
    """Read every cell of a load again, settled ones too, and say which results and verdicts that changes.

    Other loads of the same file are read again with it, since they say the same. A result that reads otherwise gets
    another version and the earlier one stays in the store; a cell that cannot be read any more is held.

    Raises
    ------
    StoreError
        When there is no such load, or it was withdrawn.
    """
    _, _, _, arrival = read_again(store, plant, load_id, layouts, check)

    def act(connection: duckdb.DuckDBPyConnection, event_id: int) -> Account:
        begin(connection)
        load_ids = loads_of_the_file(connection, load_id)
        account = add_reading(connection, load_ids, arrival, event_id, held_only=False)
        let_newest_count(connection, event_id)
        return account

    return with_effect(store, plant, correction, "retry", f"all cells of load {load_id}", act)


def read_again(
    store: Store, plant: Plant, load_id: int, layouts: Iterable[FileLayout], check: Checker
) -> tuple[LoadedFile, Layout, FileCells, Arrival]:
    """Read and check a load's file again from the archive, as of the time at which it was loaded; nothing is stored."""
    with store.read() as connection:
        loaded = loaded_file(connection, load_id)
    if loaded.withdrawn:
        raise StoreError(f"load {load_id} was withdrawn.", "Load the file again.")
    layouts = list(layouts)
    if any(layout.name == loaded.layout and not isinstance(layout, Layout) for layout in layouts):
        raise StoreError(f"load {load_id} holds no laboratory results.", "Only those have cells to be read again.")
    source = decode_source(loaded.file_name, archive.fetch(store.archive, loaded.sha256))
    layout = same_layout(loaded, source, layouts)
    cells, arrival = read_arrival(source, layout, plant, check, loaded.loaded_at)
    return loaded, layout, cells, arrival
