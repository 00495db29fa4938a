"""The tables of records that a delivered file holds: a text file is one; a workbook or an archive has several."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from pipeline.ingest.source import Record, SourceFile, records
from pipeline.ingest.workbook import MergedCells, open_workbook


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table of records: a text file (without a name), one of an archive, or a sheet of a workbook.

    ``is_text`` says that the records come from lines of text, where a missing separator moves every cell after it.
    Text has no merged cells and is never hidden.
    """

    name: str
    records: Callable[[], Iterator[Record]]
    is_text: bool
    merged: Callable[[], tuple[MergedCells, ...]] = tuple
    is_hidden: bool = False


def sheets_of(source: SourceFile, delimiter: str, encoding: str) -> list[Sheet]:
    """The sheets of a file, each to be read as records; a text is split by that delimiter, in that encoding.

    Raises
    ------
    FileError
        When a workbook cannot be opened; a text is looked into when its records are asked for.
    """
    if source.is_workbook:
        return [
            Sheet(sheet.name, sheet.records, False, sheet.merged, sheet.is_hidden) for sheet in open_workbook(source)
        ]
    if source.is_archive:
        return [
            Sheet(name, partial(_member_records, source, name, delimiter, encoding), True) for name in source.members
        ]
    return [Sheet("", partial(_text_records, source, delimiter, encoding), True)]


def _text_records(source: SourceFile, delimiter: str, encoding: str) -> Iterator[Record]:
    yield from records(source.read_as(encoding), delimiter)


def _member_records(source: SourceFile, name: str, delimiter: str, encoding: str) -> Iterator[Record]:
    yield from _text_records(source.member(name), delimiter, encoding)
