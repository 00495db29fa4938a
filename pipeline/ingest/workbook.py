"""A workbook (.xlsx) as records: every cell as the text that a person sees in it, with its row as its line."""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

import openpyxl
from openpyxl.utils import range_boundaries
from openpyxl.utils.exceptions import InvalidFileException

from pipeline.errors import Place
from pipeline.ingest.source import Record, SourceFile
from pipeline.ingest.workbook_archive import ARCHIVE_DAMAGE, Unread, damaged, unread
from pipeline.ingest.workbook_text import cell_text

_DAMAGE = (*ARCHIVE_DAMAGE, InvalidFileException, ValueError, TypeError, IndexError, AttributeError)


@dataclass(frozen=True, slots=True)
class MergedCells:
    """Cells that show one text together: lines from 1, columns from 0, all inclusive."""

    first_line: int
    last_line: int
    first_column: int
    last_column: int


@dataclass(frozen=True, slots=True)
class WorkbookSheet:
    """One sheet of a workbook, hidden or not."""

    source: SourceFile
    name: str
    is_hidden: bool
    unread: Unread

    def records(self) -> Iterator[Record]:
        """The rows of the sheet from the first one, empty ones included; a row ends with its last text.

        Raises
        ------
        FileError
            When the workbook is damaged.
        """
        with _opened(self.source, data_only=True) as values, _opened(self.source, data_only=False) as formulas:
            rows = values[self.name].iter_rows()
            written = formulas[self.name].iter_rows() if self.unread.has_formulas else ()
            for line, (row, formula_row) in enumerate(zip_longest(rows, written, fillvalue=()), start=1):
                texts = [cell_text(cell, formula) for cell, formula in zip_longest(row, formula_row)]
                while texts and not texts[-1]:
                    texts.pop()
                yield Record(line, line, texts)

    def merged(self) -> tuple[MergedCells, ...]:
        """The groups of merged cells of the sheet."""
        return tuple(
            MergedCells(first_line, last_line, first_column - 1, last_column - 1)
            for first_column, first_line, last_column, last_line in map(range_boundaries, self.unread.merged)
        )


def open_workbook(source: SourceFile) -> list[WorkbookSheet]:
    """The sheets of a workbook in their order; charts on sheets of their own hold no cells.

    Raises
    ------
    FileError
        When the workbook is damaged.
    """
    with _opened(source, data_only=True) as book:
        looked_at = unread(source.content)
        return [
            WorkbookSheet(source, sheet.title, sheet.sheet_state != "visible", looked_at[sheet.title])
            for sheet in book.worksheets
        ]


@contextmanager
def _opened(source: SourceFile, *, data_only: bool) -> Iterator[Any]:
    try:
        book = openpyxl.load_workbook(io.BytesIO(source.content), read_only=True, data_only=data_only, keep_links=False)
        for sheet in book.worksheets:
            sheet.reset_dimensions()  # what a workbook says of its own size is not always so
        try:
            yield book
        finally:
            book.close()
    except _DAMAGE as error:
        raise damaged(Place(source.name)) from error
