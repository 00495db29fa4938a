"""The first cells of a file as they would be stored with a layout: read, staged and checked, and then dropped."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from importlib import resources
from typing import Final, Protocol

import duckdb

from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.scratch import scratch_database
from pipeline.ingest.source import SourceFile
from pipeline.ingest.staging import stage
from pipeline.plant.plant import Plant

MOST_CELLS: Final = 2_000
SHOWN_CELLS: Final = 20


class Check(Protocol):
    """The checks of a load: read ``staged_cell``, write ``staged_finding``."""

    def __call__(self, connection: duckdb.DuckDBPyConnection, plant: Plant, *, loaded_at: datetime) -> object:
        """Check the staged cells; times after ``loaded_at`` are doubtful."""


@dataclass(frozen=True, slots=True)
class PreviewCell:
    """One cell as it was written and as it would be stored; ``problem`` says why it would not."""

    line: int
    column: str
    written: str
    analyte: str
    sample_point: str
    value: str
    unit: str
    collected: str
    outcome: str
    problem: str


@dataclass(frozen=True, slots=True)
class Preview:
    """The first cells of a file, and what would become of the first 2,000.

    ``looked_at`` is how many cells were read; ``outcomes`` counts them by what would become of them, ``problems`` by
    what would hold them, most frequent first.
    """

    cells: tuple[PreviewCell, ...]
    looked_at: int
    outcomes: Mapping[str, int]
    problems: Mapping[str, int]


def preview(source: SourceFile, layout: Layout, plant: Plant, check: Check, now: datetime) -> Preview:
    """Read the beginning of a file with a layout, and store nothing.

    Raises
    ------
    FileError, LayoutError
        When the file cannot be read with this layout.
    """
    cells = read_cells(source.beginning(), layout).table.slice(0, MOST_CELLS)
    with scratch_database() as scratch:
        stage(scratch, cells, layout, plant)
        check(scratch, plant, loaded_at=now)
        sql = resources.files("pipeline.ingest").joinpath("sql", "preview_cell.sql").read_text("utf-8")
        rows = scratch.execute(sql, {"zone": plant.zone.key}).fetchall()
    read = [PreviewCell(*row) for row in rows]
    return Preview(
        tuple(read[:SHOWN_CELLS]),
        len(read),
        dict(Counter(cell.outcome for cell in read).most_common()),
        dict(Counter(cell.problem for cell in read if cell.outcome == "held").most_common()),
    )
