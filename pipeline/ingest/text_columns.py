"""The rows below one header as columns of text, with their lines: the form in which cells are made of them."""

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import zip_longest

import pyarrow as pa
import pyarrow.compute as pc

from pipeline.errors import LayoutError, Place
from pipeline.ingest.file_layout import folded
from pipeline.ingest.sheets import Sheet
from pipeline.ingest.source import Record
from pipeline.ingest.tables import FileTable


@dataclass(frozen=True)
class TextColumns:
    """One table of a file by columns.

    ``columns`` has one array of texts a name of ``names`` (as written), ``''`` where a row ends early; ``lines`` the
    line on which each row starts, ``problems`` why a row cannot be believed, ``''`` where it can.
    """

    file_name: str
    sheet: Sheet
    header_line: int | None
    names: tuple[str, ...]
    columns: tuple[pa.Array, ...]
    lines: pa.Array
    problems: pa.Array

    @property
    def place(self) -> Place:
        """Where the header stands."""
        return Place(self.file_name, self.header_line, f"{self.sheet.name}!" if self.sheet.name else "")

    @cached_property
    def positions(self) -> Mapping[str, Sequence[int]]:
        """Where each name stands in the header, by the folded name; names that are blank are left out."""
        positions: dict[str, list[int]] = {}
        for position, name in enumerate(self.names):
            if name.strip():
                positions.setdefault(folded(name), []).append(position)
        return positions

    def named(self, name: str) -> pa.Array | None:
        """The texts below a name; ``None`` where the header does not have it.

        Raises
        ------
        LayoutError
            When the header has it twice.
        """
        found = self.positions.get(folded(name), ())
        if len(found) > 1:
            raise LayoutError(
                f'the header names the column "{self.names[found[1]].strip()}" twice.',
                "Ask the sender which of the two counts.",
                self.place,
            )
        return self.columns[found[0]] if found else None

    def joined(self, names: Sequence[str]) -> pa.Array:
        """The texts of several columns, joined by a blank where they say something; those that are missing left out."""
        columns = [column for name in names if (column := self.named(name)) is not None]
        if not columns:
            return same(self, "")
        if len(columns) == 1:
            return columns[0]
        said, *further = (pc.utf8_trim_whitespace(column) for column in columns)
        for text in further:
            both = pc.binary_join_element_wise(said, text, " ")
            said = pc.if_else(pc.equal(text, ""), said, pc.if_else(pc.equal(said, ""), text, both))
        return said

    def filled(self, positions: Set[int]) -> "TextColumns":
        """The columns at ``positions`` with the text of merged cells in every row that they span."""
        down = [area for area in self.sheet.merged() if area.last_line > area.first_line]
        if not down:
            return self
        row_of = {line: row for row, line in enumerate(self.lines.to_pylist())}
        texts = {position: self.columns[position].to_pylist() for position in positions}
        for area in down:
            rows = [row_of[line] for line in range(area.first_line, area.last_line + 1) if line in row_of]
            for position in positions & set(range(area.first_column, area.last_column + 1)):
                for row in rows[1:]:
                    texts[position][row] = texts[position][rows[0]]
        columns = (pa.array(texts[at], pa.string()) if at in texts else kept for at, kept in enumerate(self.columns))
        return replace(self, columns=tuple(columns))


def columns_of(table: FileTable, file_name: str) -> TextColumns:
    """The rows of a table by columns."""
    width = len(table.names)
    problem = _row_problem if table.sheet.is_text else _cells_beyond
    by_column = zip_longest(*(row.fields for row in table.rows), fillvalue="")
    columns = [pa.array(column, pa.string()) for column, _ in zip(by_column, range(width), strict=False)]
    columns += [pa.array([""] * len(table.rows), pa.string())] * (width - len(columns))
    return TextColumns(
        file_name=file_name,
        sheet=table.sheet,
        header_line=table.header_line,
        names=table.names,
        columns=tuple(columns),
        lines=pa.array([row.line for row in table.rows], pa.int64()),
        problems=pa.array([problem(row, width) for row in table.rows], pa.string()),
    )


def same(columns: TextColumns, text: str) -> pa.Array:
    """One text in every row."""
    return pa.repeat(pa.scalar(text, pa.string()), len(columns.lines))


def respelled(texts: pa.Array, change: Callable[[str], str]) -> pa.Array:
    """Texts changed, each spelling once."""
    spelled = texts.dictionary_encode()
    return pa.array([change(text) for text in spelled.dictionary.to_pylist()], pa.string()).take(spelled.indices)


def _row_problem(row: Record, width: int) -> str:
    if len(row.fields) == width or (len(row.fields) > width and not any(map(str.strip, row.fields[width:]))):
        return ""
    return f"the row has {len(row.fields)} cells where the header has {width}."


def _cells_beyond(row: Record, width: int) -> str:
    return "the row has text beyond the last column of the header." if any(row.fields[width:]) else ""
