"""Which layout a file is read with: the one whose header stands in the first records of one of its sheets."""

from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import TypeVar

from pipeline.errors import FileError, LayoutError, Place
from pipeline.ingest.file_layout import BLANKS, DELIMITERS, FileLayout
from pipeline.ingest.sheets import Sheet, sheets_of
from pipeline.ingest.source import Record, SourceFile, read_head

HEAD_RECORDS = 40
"""In how many records from the top of a sheet its header is looked for."""

AnyLayout = TypeVar("AnyLayout", bound=FileLayout)


def recognise(path: Path, layouts: Iterable[AnyLayout]) -> AnyLayout:
    """The layout for a file on disk, of which no more is read than its beginning; see :func:`choose_layout`."""
    return choose_layout(read_head(path), layouts)


def choose_layout(source: SourceFile, layouts: Iterable[AnyLayout]) -> AnyLayout:
    """The layout whose signature a header of the file carries; among several the one with the longest signature.

    The header may stand below title lines, within the first 40 records, of any sheet that the layout reads.

    Raises
    ------
    LayoutError
        When none fits, or two fit equally well.
    FileError
        When the file is not text, or a workbook that cannot be opened.
    """
    heads = Heads(source)
    fitting = [layout for layout in layouts if heads.header(layout)]
    if not fitting and source.problem and not source.is_archive:
        raise source.problem
    if not fitting:
        raise LayoutError(
            _why_none(heads), "Write a layout for it into the plant folder (docs/layouts.md).", Place(source.name, 1)
        )
    most = max(layout.particularity for layout in fitting)
    best = [layout for layout in fitting if layout.particularity == most]
    if len(best) > 1:
        names = " and ".join(f'"{layout.name}"' for layout in best)
        raise LayoutError(
            f"the layouts {names} fit equally well.",
            "Choose one with --layout, or lengthen a signature.",
            Place(source.name, 1),
        )
    return best[0]


class Heads:
    """The first records of each sheet of a file, split once for each way of splitting it."""

    def __init__(self, source: SourceFile) -> None:
        self._source = source.beginning()
        self._split: dict[tuple[str, str], dict[str, list[Record]]] = {}

    def header(self, layout: FileLayout) -> Record | None:
        """The record by which a layout recognises the file: a header, or the first row where it has none."""
        for name, head in self._heads(layout.delimiter, layout.encoding).items():
            if layout.reads_sheet(name):
                said = [record for record in head if not record.is_blank]
                known = (record for record in said[: 1 if layout.headerless else None] if layout.fits(record.fields))
                header = next(known, None)
                if header:
                    return header
        return None

    def sheets_with_header(self, layout: FileLayout) -> list[str]:
        """The names of the sheets in whose first records the layout finds its header."""
        heads = self._heads(layout.delimiter, layout.encoding)
        return [name for name, head in heads.items() if any(layout.fits(record.fields) for record in head)]

    def likely_header(self) -> tuple[str, list[str]]:
        """The likeliest delimiter of a file that no layout knows, and its likeliest header: its widest record."""
        usual = [delimiter for delimiter in DELIMITERS if delimiter != BLANKS]
        widest = {delimiter: self._widest(delimiter) for delimiter in usual}
        likely = max(widest, key=lambda delimiter: len(widest[delimiter]))
        return likely, widest[likely]

    def _widest(self, delimiter: str) -> list[str]:
        heads = self._heads(delimiter, "").values()
        fields = [record.fields for head in heads for record in head]
        return max(fields, key=lambda cells: sum(1 for cell in cells if cell.strip()), default=[])

    def _heads(self, delimiter: str, encoding: str) -> dict[str, list[Record]]:
        how = ("", "") if self._source.is_workbook else (delimiter, encoding)
        if how not in self._split:
            sheets = sheets_of(self._source, delimiter, encoding)
            self._split[how] = {sheet.name: list(_head(sheet)) for sheet in sheets}
        return self._split[how]


def _head(sheet: Sheet) -> Iterator[Record]:
    """The first records; fewer where the text cannot be split further, because the delimiter is not this one."""
    try:
        yield from islice(sheet.records(), HEAD_RECORDS)
    except FileError:
        if not sheet.is_text:
            raise


def _why_none(heads: Heads) -> str:
    likely, _ = heads.likely_header()
    if likely != ",":
        return (
            f"no layout fits; the header is separated by {DELIMITERS[likely]}, and no layout with that delimiter "
            "knows its names."
        )
    return "no layout knows this header."
