"""One load of readings, from a delivered file of any length to readings that count; and its account."""

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import duckdb
import pyarrow as pa

from pipeline.analyzers.accounting import arriving_findings, arriving_outcomes
from pipeline.analyzers.blocks import BLOCK_BYTES, BlockFile
from pipeline.analyzers.parts import PART_READINGS
from pipeline.analyzers.read_file import FileRead, ReadingsReader, TagNumbers
from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.analyzers.settle import Settler, TagSettings
from pipeline.load import LoadReport, Occasion, load_row
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.readings_archive import ArrivingFile
from pipeline.store.readings_compact import PARTS_AT_REST, compact_readings
from pipeline.store.readings_reading import stored_tags
from pipeline.store.readings_workroom import readings_workroom
from pipeline.store.readings_writing import ReadingsArrival, begin_change, finish_load, sweep
from pipeline.store.writing import Account, LoadRow


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much of a load is in memory at a time: bytes of the file, and readings of a part."""

    block_bytes: int = BLOCK_BYTES
    part_readings: int = PART_READINGS


USUAL_SIZES: Final = Sizes()


def load_readings(
    store: Store,
    plant: Plant,
    path: Path,
    layout: ReadingsLayout,
    occasion: Occasion,
    *,
    dry_run: bool = False,
    file_name: str = "",
    sizes: Sizes = USUAL_SIZES,
) -> LoadReport:
    """Load one file of readings.

    The file is read in blocks into a scratch database, divided into parts by time and tag, and stored part by part.
    Nothing of it is seen before the last transaction; readers wait for no more than the storing of one part.

    Parameters
    ----------
    dry_run
        Read and compare everything, store nothing.
    file_name
        Name as delivered, where the file stands under another one.
    sizes
        How much is in memory at a time; the result does not depend on it.

    Raises
    ------
    FileError
        When the file cannot be read as a whole; nothing is stored.
    StoreError
        When the store cannot be written; nothing is stored.
    """
    name = file_name or path.name
    with readings_workroom(store) as connection, tempfile.TemporaryDirectory(dir=store.folder) as folder:
        arriving = ArrivingFile(None if dry_run else store.archive)
        try:
            with store.read() as reading:
                tags = TagNumbers({row.tag: row.tag_id for row in stored_tags(reading)})
            file = BlockFile(path, layout.encoding, arriving, sizes.block_bytes)
            found = ReadingsReader(connection, layout, plant, tags, Path(folder)).read(file)
            load = _Load(store, plant, layout, occasion, connection, tags, sizes)
            if dry_run:
                return LoadReport(name, None, layout.name, found.encoding, found.lines, load.rehearse(found))
            arriving.keep()
            row = load_row(name, arriving.sha256, arriving.size, layout, found.encoding, found.lines)
            load_id, account = load.store(found, row)
            compact_readings(store, plant.zone, PARTS_AT_REST)
            return LoadReport(name, load_id, layout.name, found.encoding, found.lines, account)
        finally:
            arriving.discard()


@dataclass(frozen=True, slots=True)
class _Load:
    """What the stages of one load share."""

    store_: Store
    plant: Plant
    layout: ReadingsLayout
    occasion: Occasion
    connection: duckdb.DuckDBPyConnection
    tags: TagNumbers
    sizes: Sizes

    def rehearse(self, found: FileRead) -> Account:
        """Compare everything with the store and store nothing."""
        settler = self._settler(None, found)
        settler.settle_all()
        arrival = self._arrival(settler, found)
        return account_of(arrival.outcomes, arrival.findings)

    def store(self, found: FileRead, row: LoadRow) -> tuple[int, Account]:
        """Store part by part, then let the load count."""
        with self.store_.write() as connection:
            sweep(connection)
            change_id = begin_change(connection, self.occasion.at)
        settler = self._settler(change_id, found)
        settler.settle_all()
        arrival = self._arrival(settler, found)
        archive.keep_folder(self.store_.archive, self.plant.version, self.plant.files())
        with self.store_.write() as connection:
            return finish_load(
                connection, change_id, row, arrival,
                at=self.occasion.at, who=self.occasion.who, plant_sha256=self.plant.version,
            )  # fmt: skip

    def _settler(self, change_id: int | None, found: FileRead) -> Settler:
        numbered = [
            (self.tags.by_tag[tag], row) for tag, row in self.plant.analyzers.items() if tag in self.tags.by_tag
        ]
        analyzers = {tag_id: row for tag_id, row in numbered if tag_id in found.column_of}
        settings = TagSettings(analyzers, found.column_of, self.plant.zone)
        return Settler(
            self.store_, self.connection, settings, self.occasion.at, change_id, self.sizes.part_readings
        )  # fmt: skip

    def _arrival(self, settler: Settler, found: FileRead) -> ReadingsArrival:
        return ReadingsArrival(
            tags=settler.tag_rows(),
            changed_tags=settler.changed_tags(),
            revised=settler.revised(),
            days=settler.days(),
            outcomes=arriving_outcomes(self.connection, self.layout),
            findings=arriving_findings(self.connection),
            months=settler.months,
            cells=found.cells,
        )


def account_of(outcomes: pa.Table, findings: pa.Table) -> Account:
    """The account that the rows of a load make."""
    counts: dict[str, int] = {}
    for outcome, cells in zip(outcomes["outcome"].to_pylist(), outcomes["cells"].to_pylist(), strict=True):
        counts[outcome] = counts.get(outcome, 0) + cells
    flagged = sum(
        cells
        for severity, cells in zip(findings["severity"].to_pylist(), findings["cells"].to_pylist(), strict=True)
        if severity == "flag"
    )
    return Account(
        cells=sum(counts.values()),
        empty=counts.get("empty", 0),
        set_aside=counts.get("set aside", 0),
        held=counts.get("held", 0),
        duplicate=counts.get("duplicate", 0),
        new=counts.get("new", 0),
        revision=counts.get("revision", 0),
        flagged=flagged,
    )
