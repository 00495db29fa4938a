"""A delivered file finds the loader for what it holds: laboratory results, analyzer readings, or samples taken."""

from collections.abc import Sequence
from pathlib import Path

from pipeline.analyzers.load_readings import load_readings
from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout
from pipeline.ingest.recognition import recognise
from pipeline.ingest.sample_log_layout import SampleLogLayout
from pipeline.ingest.source import read_source
from pipeline.load import Checker, LoadReport, Occasion, load_file
from pipeline.load_sample_log import load_sample_log, retry_sample_log
from pipeline.plant.plant import Plant
from pipeline.reread import retry_load
from pipeline.store.connection import Store
from pipeline.store.reading import loaded_file


def deliver(
    store: Store,
    plant: Plant,
    path: Path,
    layouts: Sequence[FileLayout],
    check: Checker,
    occasion: Occasion,
    *,
    dry_run: bool = False,
) -> LoadReport:
    """Load one file, whatever it holds.

    Parameters
    ----------
    layouts
        Layouts of every kind to choose from by the file's beginning; give one only to insist on it.
    check
        The checks for laboratory results.
    dry_run
        Do everything, then roll it back: nothing is stored or archived.

    Raises
    ------
    FileError, LayoutError
        When the file cannot be read as a whole, or no layout knows it; nothing is stored.
    StoreError
        When the store cannot be written; nothing is stored.
    """
    layout = recognise(path, layouts)
    if isinstance(layout, ReadingsLayout):
        return load_readings(store, plant, path, layout, occasion, dry_run=dry_run)
    source = read_source(path)
    if isinstance(layout, SampleLogLayout):
        return load_sample_log(store, plant, source, layout, occasion, dry_run=dry_run)
    if not isinstance(layout, Layout):
        raise TypeError(f"no loader for files of the kind {layout.kind!r}")
    return load_file(store, plant, source, [layout], check, occasion, dry_run=dry_run)


def read_again(
    store: Store, plant: Plant, load_id: int, layouts: Sequence[FileLayout], check: Checker, occasion: Occasion
) -> LoadReport:
    """Read the held cells of a load again from the archive, whatever its file holds.

    Cells that are not held stay as they are.

    Raises
    ------
    StoreError
        When there is no such load, or the store cannot be written.
    """
    with store.read() as connection:
        loaded = loaded_file(connection, load_id)
    sheets = [layout for layout in layouts if isinstance(layout, SampleLogLayout) and layout.name == loaded.layout]
    if sheets:
        return retry_sample_log(store, plant, loaded, sheets[0], occasion)
    return retry_load(store, plant, load_id, layouts, check, occasion)
