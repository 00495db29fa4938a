"""How a file that no layout knows is most likely split: its delimiter, its header, the sheets that share it."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

from pipeline.errors import FileError, LayoutError, Place
from pipeline.ingest.file_layout import BLANKS, DELIMITERS, folded
from pipeline.ingest.sheets import Sheet, sheets_of
from pipeline.ingest.source import Record, SourceFile
from pipeline.ingest.value_text import read_value
from pipeline.vocabulary import ValueKind

HEAD_RECORDS: Final = 40
MOST_ROWS: Final = 200_000
"""How many rows are looked at for evidence; of a longer file the first ones."""

_LOOKED_AT: Final = 200
_NOT_A_NAME: Final = frozenset({ValueKind.NUMBER, ValueKind.BELOW, ValueKind.ABOVE})


@dataclass(frozen=True, slots=True)
class LikelyTable:
    """The header and the rows of a file as they most likely are.

    Attributes
    ----------
    delimiter
        Empty for a workbook.
    sheets
        Names of the sheets that have this header; other sheets with text are in ``other_sheets``.
    names
        The header as written, with blank names at its end left out.
    titles
        Texts above the header.
    rows
        Rows below it, of all its sheets, each as long as ``names``; at most 200,000.
    unit_line
        The record below the header where it says the unit of each column; it is not among the rows then.
    line_above
        The record right above the header, which may say more of each column; empty where there is none.
    """

    delimiter: str
    sheets: tuple[str, ...]
    other_sheets: tuple[str, ...]
    header_line: int
    names: tuple[str, ...]
    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    unit_line: tuple[str, ...] = ()
    line_above: tuple[str, ...] = ()


def likely_table(
    source: SourceFile, is_known_name: Callable[[str], bool], is_unit: Callable[[str], bool]
) -> LikelyTable:
    """Find the likely header of a file, and what stands below it.

    Parameters
    ----------
    is_known_name
        Whether a text is a usual word of a header or the name of an analyte.
    is_unit
        Whether a text is a known unit.

    Raises
    ------
    LayoutError
        When nothing in the file looks like a header with rows below it.
    """
    delimiter = "" if source.is_workbook else likely_delimiter(source)
    sheets = [(sheet, _records(sheet)) for sheet in sheets_of(source, delimiter or ",", "")]
    found = [(sheet, _likely_header(records, is_known_name)) for sheet, records in sheets]
    with_header = [(sheet, header) for sheet, header in found if header is not None]
    if not with_header:
        raise LayoutError(
            "no line looks like a header with rows below it.",
            "Ask the sender for the file as a table with one line of names.",
            Place(source.name),
        )
    header = max((header for _, header in with_header), key=lambda one: one.score * one.rows_below)
    own = [(sheet, one) for sheet, one in with_header if _same_names(one.names, header.names)]
    names = list(header.names)
    for _, one in own:
        names += [name for name in one.names if folded(name) not in map(folded, names)]
    rows = [row for _, one in own for row in _below(one, names)][:MOST_ROWS]
    unit_line = rows[0] if rows and _is_unit_line(rows[0], is_unit) else ()
    titles = [cell.strip() for _, one in own[:1] for record in one.above for cell in record.fields if cell.strip()]
    own_names = [sheet.name for sheet, _ in own]
    return LikelyTable(
        delimiter=delimiter,
        sheets=tuple(own_names),
        other_sheets=tuple(sheet.name for sheet, _ in found if sheet.name not in own_names),
        header_line=header.record.line,
        names=tuple(names),
        titles=tuple(titles),
        rows=tuple(row for row in rows if row != unit_line) if unit_line else tuple(rows),
        unit_line=unit_line,
        line_above=_as_wide(header.above[-1].fields, len(names)) if header.above else (),
    )


def likely_delimiter(source: SourceFile) -> str:
    """The delimiter that splits the beginning of a file into the same number of cells on most of its lines."""
    head = source.beginning()
    evenness = {delimiter: _evenness(head, delimiter) for delimiter in DELIMITERS}
    best = max((delimiter for delimiter in DELIMITERS if delimiter != BLANKS), key=lambda one: evenness[one])
    return best if evenness[best][0] > 0 else BLANKS


def _evenness(source: SourceFile, delimiter: str) -> tuple[float, int]:
    """Share of the records that have the most frequent number of cells, and that number; zero where it is one."""
    sheet, *_ = sheets_of(source, delimiter, "")
    widths = [len(record.fields) for record in _records(sheet, _LOOKED_AT) if not record.is_blank]
    usual = Counter(width for width in widths if width > 1).most_common(1)
    if not usual:
        return 0.0, 0
    width, count = usual[0]
    return (round(count / len(widths), 1) if count > 1 or len(widths) == 1 else 0.0), width


def _records(sheet: Sheet, count: int = MOST_ROWS) -> list[Record]:
    """The first records, as far as they can be split."""
    found: list[Record] = []
    try:
        found.extend(islice(sheet.records(), count))
    except FileError:
        if not sheet.is_text:
            raise
    return found


@dataclass(frozen=True, slots=True)
class _Header:
    record: Record
    names: tuple[str, ...]
    above: tuple[Record, ...]
    below: tuple[Record, ...]
    score: float

    @property
    def rows_below(self) -> int:
        """How many records stand below it, as far as looked at."""
        return min(len(self.below), _LOOKED_AT)


def _likely_header(records: Sequence[Record], is_known_name: Callable[[str], bool]) -> _Header | None:
    """The first record that reads like a header: texts and no numbers, as wide as the records below it."""
    head = [record for record in records if not record.is_blank]
    scored = [
        (_score(record, head[position + 1 : position + 21], is_known_name), position, record)
        for position, record in enumerate(head[:HEAD_RECORDS])
    ]
    best = max((score for score, _, _ in scored), default=0.0)
    if best <= 0:
        return None
    score, position, record = next(one for one in scored if one[0] >= 0.7 * best)
    names = list(record.fields)
    while names and not names[-1].strip():
        names.pop()
    return _Header(record, tuple(names), tuple(head[:position]), tuple(head[position + 1 :]), score)


def _score(record: Record, below: Sequence[Record], is_known_name: Callable[[str], bool]) -> float:
    said = [cell.strip() for cell in record.fields if cell.strip()]
    names = [cell for cell in said if not _is_data(cell)]
    if len(names) < 2 or not below:
        return 0.0
    known = sum(1 for cell in names if is_known_name(cell))
    twice = len(said) - len({folded(cell) for cell in said})
    data_below = sum(1 for cell in below[-1].fields if _is_data(cell))
    return len(names) + 2 * known - 3 * (len(said) - len(names)) - 2 * twice + min(data_below, 2)


def _is_data(text: str) -> bool:
    return read_value(text).kind in _NOT_A_NAME or text.strip()[:4].isdigit()


def _same_names(names: Sequence[str], others: Sequence[str]) -> bool:
    """Whether two sheets hold the same kind of table: most names of the one are those of the other."""
    first, second = set(map(folded, names)) - {""}, set(map(folded, others)) - {""}
    return len(first & second) >= 0.7 * max(len(first), len(second))


def _below(header: "_Header", names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """The rows below a header, in the order of ``names``; names that stand there twice stay where they are."""
    own = [folded(name) for name in header.names]
    same = own == [folded(name) for name in names[: len(own)]]
    places = list(range(len(names))) if same else [_place(folded(name), own) for name in names]
    for record in header.below:
        fields = record.fields
        yield tuple(fields[place] if 0 <= place < len(fields) else "" for place in places)


def _place(name: str, own: Sequence[str]) -> int:
    return own.index(name) if name in own else -1


def _as_wide(fields: Sequence[str], width: int) -> tuple[str, ...]:
    return tuple([*fields, *[""] * width][:width])


def _is_unit_line(row: Sequence[str], is_unit: Callable[[str], bool]) -> bool:
    said = [cell for cell in row if cell.strip()]
    return len(said) > 1 and sum(1 for cell in said if is_unit(cell)) > len(said) / 2
