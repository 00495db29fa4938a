"""The tables of records that a delivered file holds: a text file is one, a workbook has one a sheet."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from pipeline.ingest.source import Record, SourceFile, records
from pipeline.ingest.workbook import MergedCells, open_workbook


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table of records; ``name`` is empty for a text file, which has no merged cells and is never hidden."""

    name: str
    records: Callable[[], Iterator[Record]]
    merged: Callable[[], tuple[MergedCells, ...]] = tuple
    is_hidden: bool = False

    @property
    def is_text(self) -> bool:
        """Whether the records come from lines of text, where a missing separator moves every cell after it."""
        return not self.name


def sheets_of(source: SourceFile, delimiter: str, encoding: str) -> list[Sheet]:
    """The sheets of a file, each to be read as records; a text is split by that delimiter, in that encoding.

    Raises
    ------
    FileError
        When a workbook cannot be opened; a text file is looked into when its records are asked for.
    """
    if source.is_workbook:
        return [Sheet(sheet.name, sheet.records, sheet.merged, sheet.is_hidden) for sheet in open_workbook(source)]
    return [Sheet("", partial(_text_records, source, delimiter, encoding))]


def _text_records(source: SourceFile, delimiter: str, encoding: str) -> Iterator[Record]:
    yield from records(source.read_as(encoding), delimiter)
