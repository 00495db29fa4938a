"""A custody sheet and its layout become lines as written: one a sample or bottle, every text with its line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pipeline.errors import LayoutError, Place
from pipeline.ingest.file_layout import folded
from pipeline.ingest.sample_log_layout import NEEDED_SAMPLE_TARGETS, SAMPLE_TARGETS, SampleLogLayout
from pipeline.ingest.source import Record, SourceFile, records
from pipeline.ingest.tables import LineAccount


@dataclass(frozen=True, slots=True)
class WrittenSample:
    """One line of a sheet as written.

    ``texts`` has one text for each of :data:`pipeline.ingest.sample_log_layout.SAMPLE_TARGETS`, ``''`` where the line
    says nothing. ``row_problem`` says why the line cannot be split, and is empty where it can.
    """

    cell_id: int
    line: int
    texts: Mapping[str, str]
    row_problem: str = ""

    def text(self, target: str) -> str:
        """What the line says for one of our columns, without outer blanks."""
        return " ".join(self.texts[target].split())


@dataclass(frozen=True, slots=True)
class SheetLines:
    """The lines of one sheet in file order, the header of its sample ids, and the account of its physical lines."""

    samples: tuple[WrittenSample, ...]
    sample_column: str
    lines: LineAccount


def read_sheet(source: SourceFile, layout: SampleLogLayout) -> SheetLines:
    """Split a sheet into its lines by the layout.

    Raises
    ------
    LayoutError
        When the header names a column twice or lacks one that the layout cannot do without.
    FileError
        When the file cannot be split into records.
    """
    header: Record | None = None
    rows: list[Record] = []
    blank = 0
    for record in records(source, layout.delimiter):
        if record.is_blank:
            blank += _physical_lines(record)
        elif header is None:
            header = record
        else:
            rows.append(record)
    if header is None:
        raise LayoutError("there is no header.", "Ask the sender for the file again.", Place(source.name))
    places = _places(header, layout, source.name)
    width = len(header.fields)
    return SheetLines(
        samples=tuple(
            WrittenSample(number, row.line, _texts(row, places, layout), _row_problem(row, width))
            for number, row in enumerate(rows)
        ),
        sample_column=layout.columns["sample"][0],
        lines=LineAccount(
            title=0, header=_physical_lines(header), blank=blank, data=sum(_physical_lines(row) for row in rows)
        ),
    )


def _physical_lines(record: Record) -> int:
    return record.last_line - record.line + 1


def _places(header: Record, layout: SampleLogLayout, file_name: str) -> dict[str, list[int]]:
    """Positions in a row of the texts of each of our columns."""
    names: dict[str, int] = {}
    for position, written in enumerate(header.fields):
        name = folded(written)
        if name and name in names:
            raise LayoutError(
                f'the header names the column "{written.strip()}" twice.',
                "Name each column once, or ask the sender which of the two counts.",
                Place(file_name, header.line),
            )
        names[name] = position
    for target in NEEDED_SAMPLE_TARGETS:
        wanted = layout.columns.get(target)
        if wanted and folded(wanted[0]) not in names:
            raise LayoutError(
                f'the column "{wanted[0]}" is missing, which the layout "{layout.name}" needs.',
                "Ask for the sheet with that column, or write a layout for it.",
                Place(file_name, header.line),
            )
    return {
        target: [names[folded(header)] for header in headers if folded(header) in names]
        for target, headers in layout.columns.items()
    }


def _texts(row: Record, places: Mapping[str, Sequence[int]], layout: SampleLogLayout) -> dict[str, str]:
    def cell(position: int) -> str:
        return row.fields[position].strip() if position < len(row.fields) else ""

    return {
        target: " ".join(filter(None, map(cell, places[target])))
        if target in places
        else layout.constants.get(target, "")
        for target in SAMPLE_TARGETS
    }


def _row_problem(row: Record, width: int) -> str:
    if len(row.fields) == width or (len(row.fields) > width and not any(map(str.strip, row.fields[width:]))):
        return ""
    return f"the row has {len(row.fields)} cells where the header has {width}."
