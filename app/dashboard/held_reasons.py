"""Why cells are held, gathered by reason: how many, where, and what clears them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import polars as pl

from app.dashboard import data, figures
from app.dashboard.words import plain

MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason that holds cells of one file."""

    rule: str
    message: str
    remedy: str
    cells: tuple[data.Held, ...]

    @property
    def number(self) -> int:
        """How many cells it holds."""
        return len({cell.cell_id for cell in self.cells})

    def place(self) -> str:
        """Where they are: columns and lines, in Markdown."""
        columns = list(dict.fromkeys(cell.column for cell in self.cells))
        named = f"Column *{plain(columns[0])}*, " if len(columns) == 1 and columns[0] else ""
        return figures.sentence(f"{named}{line_words(cell.line for cell in self.cells)}")


def reasons(held: Iterable[data.Held]) -> list[Reason]:
    """Cells gathered by what holds them, the most frequent reason first."""
    gathered: defaultdict[tuple[str, str, str], list[data.Held]] = defaultdict(list)
    for cell in held:
        gathered[cell.rule, cell.reason, cell.remedy].append(cell)
    found = [Reason(*said, tuple(cells)) for said, cells in gathered.items()]
    return sorted(found, key=lambda reason: (-reason.number, reason.rule, reason.message))


def number_of_cells(held: Iterable[data.Held]) -> int:
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


def cell_table(cells: Sequence[data.Held]) -> pl.DataFrame:
    """Held cells as they were written, in the order of the file."""
    rows = [
        (cell.line, cell.column, cell.value, cell.unit, cell.analyte, cell.sample_point, cell.collected, cell.reason)
        for cell in sorted(cells, key=lambda cell: (cell.line, cell.cell_id))
    ]
    columns = ("Line", "Column", "Value", "Unit", "Analyte", "Sample point", "Collected", "Why held")
    schema = {name: pl.Int64 if name == "Line" else pl.String for name in columns}
    return pl.DataFrame(rows, schema=schema, orient="row")
