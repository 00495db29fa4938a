"""The tables of a file: each header with the rows below it, and the account of every line of the file."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from pipeline.errors import LayoutError, Place
from pipeline.ingest.file_layout import FileLayout, folded
from pipeline.ingest.sheets import Sheet, sheets_of
from pipeline.ingest.source import Record, SourceFile


@dataclass(frozen=True, slots=True)
class LineAccount:
    """What every physical line of a file is; the parts add up to ``total``.

    ``title`` counts lines above a header and notes below a table, ``header`` headers and the lines beside them that say
    more of each column. The lines of a workbook are the rows of its sheets.
    """

    title: int
    header: int
    blank: int
    data: int

    @property
    def total(self) -> int:
        """All physical lines of the file."""
        return self.title + self.header + self.blank + self.data

    def __add__(self, other: "LineAccount") -> "LineAccount":
        return LineAccount(
            self.title + other.title, self.header + other.header, self.blank + other.blank, self.data + other.data
        )

    def with_header_lines(self, above: int, below: int) -> "LineAccount":
        """The same lines where so many above and below headers turn out to say more of their columns."""
        return LineAccount(self.title - above, self.header + above + below, self.blank, self.data - below)


@dataclass(frozen=True, slots=True)
class FileTable:
    """One header of a file and the records around it.

    ``names`` are the header's names as written, or the layout's own where the file has no header, whose ``header_line``
    then is ``None``. ``above`` are the records between the table before and the header, ``rows`` those below it;
    neither holds blank ones.
    """

    sheet: Sheet
    header_line: int | None
    names: tuple[str, ...]
    above: tuple[Record, ...]
    rows: tuple[Record, ...]


@dataclass(frozen=True, slots=True)
class FileTables:
    """The tables of one file, the account of its lines, and what a person should know of how it was read."""

    tables: tuple[FileTable, ...]
    lines: LineAccount
    encoding: str
    remarks: tuple[str, ...]


@dataclass(slots=True)
class _Reading:
    """One sheet being read: what was found, and the table that is open. ``below`` counts notes under a table."""

    sheet: Sheet
    layout: FileLayout
    tables: list[FileTable] = field(default_factory=list)
    title: int = 0
    header: int = 0
    blank: int = 0
    data: int = 0
    below: int = 0
    _marks: set[str] = field(default_factory=set)
    _names: tuple[str, ...] = ()
    _header_line: int | None = None
    _above: list[Record] = field(default_factory=list)
    _rows: list[Record] = field(default_factory=list)
    _is_open: bool = False

    @property
    def not_in_tables(self) -> Sequence[Record]:
        """The records since the last table; all of them where there is none."""
        return self._above

    def read(self) -> None:
        """Go through the records of the sheet once."""
        if self.layout.headerless:
            self._open(self.layout.headerless.names, None)
        ends_at_blank, has_footer = self.layout.end == "blank line", bool(self.layout.footer)
        for record in self.sheet.records():
            if record.is_blank:
                self.blank += record.line_count
                if ends_at_blank:
                    self._close()
            elif self._is_header(record.fields):
                self.header += record.line_count
                self._close()
                self._open(tuple(record.fields), record.line)
            elif self._is_open and not (has_footer and self.layout.is_footer(record.fields)):
                self.data += record.line_count
                self._rows.append(record)
            else:
                self.title += record.line_count
                self._close()
                self.below += record.line_count if self.tables else 0
                self._above.append(record)
        self._close()

    def _is_header(self, cells: Sequence[str]) -> bool:
        # Asked of every record: below a header, one glance for its own names answers nearly always.
        if self.layout.headerless or (self._is_open and self._marks.isdisjoint(cells)):
            return False
        return self.layout.fits(cells)

    def _open(self, names: tuple[str, ...], line: int | None) -> None:
        signature = {folded(name) for name in self.layout.signature}
        self._marks = {name for name in names if folded(name) in signature}
        self._names, self._header_line, self._is_open = names, line, True

    def _close(self) -> None:
        if self._is_open and (self._header_line is not None or self._rows):
            above, rows = tuple(self._above), tuple(self._rows)
            self.tables.append(FileTable(self.sheet, self._header_line, self._names, above, rows))
            self._above, self._rows = [], []
        self._is_open = False


def read_tables(
    source: SourceFile, layout: FileLayout, *, only: Collection[str] = (), but: Collection[str] = ()
) -> FileTables:
    """Find every header of a file that the layout knows, and the rows below it.

    Parameters
    ----------
    only, but
        Names of the sheets to look into, where not into all of them; and of those that are read in another way.

    Raises
    ------
    LayoutError
        When there is none.
    FileError
        When the file cannot be split into records.
    """
    sheets = [
        sheet
        for sheet in sheets_of(source, layout.delimiter, layout.encoding)
        if sheet.name not in but and (not only or sheet.name in only)
    ]
    readings = [_Reading(sheet, layout) for sheet in sheets if layout.reads_sheet(sheet.name)]
    for reading in readings:
        reading.read()
    tables = tuple(table for reading in readings for table in reading.tables)
    if not tables:
        raise _no_header(source, layout, [record for reading in readings for record in reading.not_in_tables])
    return FileTables(
        tables,
        LineAccount(
            title=sum(reading.title for reading in readings),
            header=sum(reading.header for reading in readings),
            blank=sum(reading.blank for reading in readings),
            data=sum(reading.data for reading in readings),
        ),
        source.read_as(layout.encoding).encoding,
        tuple(_remarks(sheets, readings)),
    )


def _no_header(source: SourceFile, layout: FileLayout, records: Sequence[Record]) -> LayoutError:
    """The error for a file without a header that fits, by the record that comes closest."""
    wanted = {folded(name): name for name in layout.signature}
    likeliest = max(records, key=lambda record: len(wanted.keys() & set(map(folded, record.fields))), default=None)
    if likeliest is None or layout.headerless:
        return LayoutError("there is no header.", "Ask the sender for the file again.", Place(source.name))
    missing = next(name for key, name in wanted.items() if key not in set(map(folded, likeliest.fields)))
    return missing_column(missing, layout, Place(source.name, likeliest.line))


def missing_column(name: str, layout: FileLayout, place: Place) -> LayoutError:
    """The error for a header without a column that the layout needs."""
    return LayoutError(
        f'the column "{name}" is missing, which the layout "{layout.name}" needs.',
        "Ask the sender for the file with that column, or write a layout for it.",
        place,
    )


def _remarks(sheets: Sequence[Sheet], readings: Sequence[_Reading]) -> Iterator[str]:
    read = {reading.sheet.name for reading in readings if reading.tables}
    asked_for = {reading.sheet.name for reading in readings}
    for sheet in sheets:
        if sheet.name not in asked_for:
            yield f'The {_kind(sheet)} "{sheet.name}" was not read: the layout leaves it out.'
        elif sheet.name not in read:
            yield f'The {_kind(sheet)} "{sheet.name}" was not read: it has no table that the layout knows.'
        elif sheet.is_hidden:
            yield f'The sheet "{sheet.name}" is hidden; it was read.'
    for reading in readings:
        if reading.below:
            where = f' of the {_kind(reading.sheet)} "{reading.sheet.name}"' if reading.sheet.name else ""
            yield f"{reading.below:,} lines{where} stand below the end of a table and were not read as results."


def _kind(sheet: Sheet) -> str:
    if sheet.is_text:
        return "file"
    return "hidden sheet" if sheet.is_hidden else "sheet"
