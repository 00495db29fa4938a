"""Held cells as people meet them, on a page and in a terminal: which, why, and what clears them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

import duckdb
import polars as pl

from app import figures
from pipeline.store import reading

MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Held:
    """One reason for which a cell is held: what was written, where, and what clears it."""

    load_id: int
    cell_id: int
    held_since: datetime
    file: str
    line: int
    column: str
    value: str
    unit: str
    analyte: str
    sample_point: str
    collected: str
    rule: str
    reason: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason that holds cells of one file."""

    rule: str
    message: str
    remedy: str
    cells: tuple[Held, ...]

    @property
    def file(self) -> str:
        """The file they stand in."""
        return self.cells[0].file

    @property
    def number(self) -> int:
        """How many cells it holds."""
        return len({cell.cell_id for cell in self.cells})

    def place(self) -> str:
        """Where they are in their file: columns and lines."""
        columns = list(dict.fromkeys(cell.column for cell in self.cells))
        named = f"Column {columns[0]}, " if len(columns) == 1 and columns[0] else ""
        return figures.sentence(f"{named}{line_words(cell.line for cell in self.cells)}")


def read_held(
    connection: duckdb.DuckDBPyConnection, load_id: int | None = None, as_of_event: int | None = None
) -> tuple[Held, ...]:
    """Reasons for which cells are held, of one load or of all; now, or as the store was after an event."""
    return tuple(
        Held(
            load_id=row["load_id"],
            cell_id=row["cell_id"],
            held_since=row["loaded_at"],
            file=row["file_name"],
            line=row["line"],
            column=row["column_name"],
            value=row["value_text"],
            unit=row["unit_text"],
            analyte=row["analyte"] or row["analyte_text"],
            sample_point=row["sample_point"] or row["point_text"],
            collected=row["collected_text"],
            rule=row["rule_id"] or "",
            reason=row["message"] or "",
            remedy=row["remedy"] or "",
        )
        for row in reading.held_cells(connection, load_id, as_of_event).iter_rows(named=True)
    )


def reasons(held: Iterable[Held]) -> list[Reason]:
    """Cells gathered by what holds them, file by file, the most frequent reason first."""
    gathered: defaultdict[tuple[int, str, str, str], list[Held]] = defaultdict(list)
    for cell in held:
        gathered[cell.load_id, cell.rule, cell.reason, cell.remedy].append(cell)
    found = [Reason(rule, message, remedy, tuple(cells)) for (_, rule, message, remedy), cells in gathered.items()]
    return sorted(found, key=lambda reason: (-reason.number, reason.rule, reason.message))


def number_of_cells(held: Iterable[Held]) -> int:
    """How many cells are held; a cell with two reasons is one cell."""
    return len({(cell.load_id, cell.cell_id) for cell in held})


def line_words(lines: Iterable[int]) -> str:
    """Line numbers as a person would list them.

    >>> line_words([12, 13, 14, 15]), line_words([40, 44, 52, 60, 61]), line_words([7])
    ('lines 12 to 15', 'lines 40, 44, 52 and 2 more', 'line 7')
    """
    numbers = sorted(set(lines))
    if len(numbers) == 1:
        return f"line {numbers[0]:,}"
    if len(numbers) > 2 and all(after - before == 1 for before, after in pairwise(numbers)):
        return f"lines {numbers[0]:,} to {numbers[-1]:,}"
    if len(numbers) <= MOST_NAMED + 1:
        return f"lines {figures.joined(f'{number:,}' for number in numbers)}"
    named = ", ".join(f"{number:,}" for number in numbers[:MOST_NAMED])
    return f"lines {named} and {len(numbers) - MOST_NAMED:,} more"


def cell_table(cells: Sequence[Held]) -> pl.DataFrame:
    """Held cells as they were written, in the order of the file."""
    rows = [
        (
            cell.file,
            cell.line,
            cell.column,
            cell.value,
            cell.unit,
            cell.analyte,
            cell.sample_point,
            cell.collected,
            cell.reason,
        )
        for cell in sorted(cells, key=lambda cell: (cell.load_id, cell.line, cell.cell_id))
    ]
    columns = ("File", "Line", "Column", "Value", "Unit", "Analyte", "Sample point", "Collected", "Why held")
    schema = {name: pl.Int64 if name == "Line" else pl.String for name in columns}
    return pl.DataFrame(rows, schema=schema, orient="row")
