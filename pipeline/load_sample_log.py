"""One load of a custody sheet, from the delivered file to committed lines; and the second reading of held ones."""

from pipeline.errors import StoreError
from pipeline.ingest.sample_log_layout import SampleLogLayout
from pipeline.ingest.sample_log_lines import SheetLines, read_sheet
from pipeline.ingest.sample_log_reading import ReadSample, read_samples
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.load import LoadReport, Occasion, commit, load_row
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.reading import LoadedFile
from pipeline.store.sample_log_writing import add_sheet, add_sheet_retry
from pipeline.store.writing import add_event


def load_sample_log(
    store: Store,
    plant: Plant,
    source: SourceFile,
    layout: SampleLogLayout,
    occasion: Occasion,
    *,
    dry_run: bool = False,
) -> LoadReport:
    """Load one custody sheet: archive it, read it, and commit every line with its outcome.

    Raises
    ------
    FileError
        When the sheet cannot be read as a whole; nothing is stored.
    StoreError
        When the store cannot be written; nothing is stored.
    """
    sheet, lines = _read(source, layout, plant, occasion)
    row = load_row(source.name, source.sha256, len(source.content), layout, sheet.encoding, sheet.lines)
    load_id, account = commit(
        store,
        plant,
        source,
        occasion,
        lambda connection, event_id: add_sheet(connection, row, lines, event_id),
        dry_run=dry_run,
    )
    return LoadReport(source.name, load_id, layout.name, sheet.encoding, sheet.lines, account, sheet.remarks)


def retry_sample_log(
    store: Store, plant: Plant, loaded: LoadedFile, layout: SampleLogLayout, occasion: Occasion
) -> LoadReport:
    """Read the held lines of a sheet again from the archive, with the plant folder as it is now.

    Raises
    ------
    StoreError
        When the load was withdrawn.
    """
    if loaded.withdrawn:
        raise StoreError(f"load {loaded.load_id} was withdrawn.", "Load the file again.")
    source = decode_source(loaded.file_name, archive.fetch(store.archive, loaded.sha256))
    sheet, lines = _read(source, layout, plant, occasion)
    with store.write() as connection:
        archive.keep_folder(store.archive, plant.version, plant.files())
        event_id = add_event(
            connection,
            kind="retry",
            at=occasion.at,
            who=occasion.who,
            plant_sha256=plant.version,
            detail=f"load {loaded.load_id}",
        )
        account = add_sheet_retry(connection, loaded.load_id, lines, event_id)
    return LoadReport(
        loaded.file_name, loaded.load_id, layout.name, sheet.encoding, sheet.lines, account, sheet.remarks
    )


def _read(
    source: SourceFile, layout: SampleLogLayout, plant: Plant, occasion: Occasion
) -> tuple[SheetLines, list[ReadSample]]:
    sheet = read_sheet(source, layout)
    return sheet, read_samples(sheet.samples, layout, plant, loaded_at=occasion.at)
