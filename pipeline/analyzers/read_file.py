"""A file of readings, block by block, becomes readings by tag and instant, and cells that are none, with the reason."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Final

import duckdb
import pyarrow as pa

from pipeline.analyzers.block_table import NOT_PLAIN, BlockTable
from pipeline.analyzers.blocks import Block, BlockFile, Head, find_head, readable, without_head
from pipeline.analyzers.clock_changes import WallSpan, WallTime, microseconds, moment_at, wall_spans
from pipeline.analyzers.columns import FileColumns, file_columns
from pipeline.analyzers.flags import QARTOD
from pipeline.analyzers.odd_values import plain_pattern, read_odd_value
from pipeline.analyzers.readings_layout import OFFSET_WRITTEN, ReadingsLayout
from pipeline.analyzers.sql import statement
from pipeline.analyzers.written_cells import stamp_lines, write_cells
from pipeline.errors import FileError, Place
from pipeline.ingest.file_layout import folded
from pipeline.ingest.tables import LineAccount
from pipeline.plant.analyzers import STORED_DECIMALS, tag_names
from pipeline.plant.plant import Plant
from pipeline.vocabulary import ReadingFlag

# Historians write placeholders for "no time" outside of these years, and no reading is.
FIRST_TIME: Final = datetime(1900, 1, 1)  # noqa: DTZ001 - by the clock of the file
LAST_TIME: Final = datetime(2200, 1, 1)  # noqa: DTZ001


@dataclass(frozen=True, slots=True)
class FileRead:
    """What reading a file gave, beside the tables ``arrived`` and ``unread`` of the load's own database."""

    lines: LineAccount
    encoding: str
    cells: int
    column_of: Mapping[int, str]
    """Header of the column in which the values of each tag stand."""


class TagNumbers:
    """The number of each tag of the plant: the store's, or the next one that is free.

    Parameters
    ----------
    known
        Numbers of the tags that the store keeps already.
    """

    def __init__(self, known: dict[str, int]) -> None:
        self.by_tag = dict(known)
        self._next = count(max(known.values(), default=0) + 1)

    def number(self, tag: str) -> int:
        """The tag's number."""
        if tag not in self.by_tag:
            self.by_tag[tag] = next(self._next)
        return self.by_tag[tag]


class ReadingsReader:
    """Reads one file into the load's own database.

    Parameters
    ----------
    connection
        The load's own database; its tables are made anew.
    folder
        Where a block may stand for a moment.
    """

    def __init__(
        self,
        connection: duckdb.DuckDBPyConnection,
        layout: ReadingsLayout,
        plant: Plant,
        tags: TagNumbers,
        folder: Path,
    ) -> None:
        self._connection = connection
        self._layout = layout
        self._zone = plant.zone
        self._tags = tags
        self._tag_of = tag_names(plant.analyzers.values())
        self._folder = folder
        self._met: dict[str, set[str]] = {"tag": set(), "status": set(), "value": set()}
        connection.execute(statement("reading_cells"))
        connection.execute("INSERT INTO block VALUES (1)")

    def read(self, file: BlockFile) -> FileRead:
        """Read the file to its end.

        Raises
        ------
        FileError
            When it cannot be read as a whole.
        """
        head, columns, table = None, None, None
        total = blank = records = 0
        for raw in file.blocks():
            block = readable(raw, file)
            total += block.number_of_lines
            if head is None or columns is None or table is None:
                head = find_head(block, self._layout, file.path.name)
                columns = file_columns(head.names, self._layout, file.path.name)
                table = BlockTable(self._connection, columns.width, self._layout.delimiter, self._folder)
                block = without_head(block, head.length)
                if not block.content:
                    continue
            blank_lines, found = self._read_block(block, columns, table, file.path.name)
            blank += blank_lines
            records += found
        if head is None or columns is None:
            raise FileError("the file is empty.", "Ask for the file again.", Place(file.path.name))
        self._tell_by_order()
        return FileRead(
            _lines(head, total, blank),
            file.encoding or "utf-8",
            records * len(columns.values),
            self._column_of(columns),
        )

    def _read_block(self, block: Block, columns: FileColumns, table: BlockTable, file: str) -> tuple[int, int]:
        """Sort out the cells of a block; returns how many blank lines and how many records it has."""
        self._run("UPDATE block SET first_line = $first_line", {"first_line": block.first_line})
        bound = self._texts(columns)
        if columns.tag is not None and self._write_plain_cells(block, columns, table, bound):
            self._spell()
            self._sort_out(columns.values[0].name)
            return 0, block.number_of_lines
        blank = table.fill_carefully(block, file) if columns.tag is not None else table.fill(block, file)
        if columns.tag is None:
            self._run(stamp_lines(columns, self._layout), bound)
        for column in columns.values:
            self._run(write_cells(columns, column, self._layout), {**bound, "tag": column.tag})
            self._spell()
            self._sort_out(column.name)
        ((records,),) = self._connection.execute("SELECT count(*) FROM lines").fetchall()
        return blank, int(records)

    def _write_plain_cells(
        self, block: Block, columns: FileColumns, table: BlockTable, bound: dict[str, object]
    ) -> bool:
        """Read the cells of a narrow file while its lines are split; whether every line was as it should be."""
        text, values = table.offer(block)
        try:
            self._run(write_cells(columns, columns.values[0], self._layout, text), {**bound, **values})
        except NOT_PLAIN:
            return False
        ((cells,),) = self._connection.execute("SELECT count(*) FROM cell_text").fetchall()
        return bool(cells == block.number_of_lines)

    def _texts(self, columns: FileColumns) -> dict[str, object]:
        rules = {f"rule_{number}": [folded(text) for text in equals] for number, _, equals in columns.row_rules}
        return {
            **rules,
            "formats": list(self._layout.time.formats),
            "plain": plain_pattern(self._layout),
            "first_time": microseconds(FIRST_TIME),
            "last_time": microseconds(LAST_TIME),
        }

    def _run(self, text: str, values: dict[str, object]) -> None:
        """Run a statement with those of the values that it names."""
        self._connection.execute(text, {name: value for name, value in values.items() if f"${name}" in text})

    def _spell(self) -> None:
        """Give a meaning to every tag, status and odd value that has not been met before."""
        self._spell_new("tag", "tag_text", self._tag)
        self._spell_new("status", "status_text", self._flag)
        self._spell_new("value", "odd", lambda text: read_odd_value(text, self._layout))

    def _spell_new(self, what: str, column: str, read: Callable[[str], tuple[object, ...]]) -> None:
        met = self._met[what]
        found = self._connection.execute(
            f"SELECT DISTINCT {column} FROM cell_text WHERE {column} IS NOT NULL"
        ).fetchall()
        new = [text for (text,) in found if text not in met]
        if new:
            met.update(new)
            rows = list(zip(*((text, *read(text)) for text in new), strict=True))
            names = [field.name for field in _SPELLINGS[what]]
            table = pa.table(dict(zip(names, rows, strict=True)), schema=_SPELLINGS[what])
            self._connection.register("new_spelling", table)
            self._connection.execute(f"INSERT INTO {what}_spelling FROM new_spelling")
            self._connection.unregister("new_spelling")

    def _tag(self, text: str) -> tuple[int | None]:
        tag = self._tag_of.get(folded(text))
        return (None if tag is None else self._tags.number(tag),)

    def _flag(self, text: str) -> tuple[int | None]:
        if not text.strip():
            return (QARTOD[ReadingFlag.NOT_EVALUATED],)
        flag = self._layout.words.flag.get(folded(text))
        return (None if flag is None else QARTOD[flag],)

    def _sort_out(self, column: str) -> None:
        sorted_out = 0
        for span in self._spans():
            start, end = microseconds(span.start), microseconds(span.end)
            values = {
                "start": start, "end": end, "ahead": span.ahead, "ahead_again": span.ahead_again, "column": column,
                "code": span.kind.name.lower(),
            }  # fmt: skip
            if span.kind is WallTime.ONCE:
                sorted_out += self._count("add_arrived", values)
            elif span.kind is WallTime.TWICE and self._layout.time.repeated_hour == "by order":
                sorted_out += self._count("add_told_by_order", values)
            else:
                self._count("add_misplaced", values)
        ((cells,),) = self._connection.execute("SELECT count(*) FROM cell_text").fetchall()
        if sorted_out < cells:
            self._run(statement("add_unread"), {"column": column})

    def _count(self, name: str, values: dict[str, object]) -> int:
        """Run a statement that adds rows; returns how many."""
        self._run(statement(name), values)
        ((added,),) = self._connection.fetchall()
        return int(added)

    def _spans(self) -> list[WallSpan]:
        """Spans of the file's clock that the block at hand touches."""
        ahead = timedelta(0) if self._layout.time.zone == OFFSET_WRITTEN else self._layout.time.fixed_offset
        if ahead is not None:
            shift = ahead // timedelta(microseconds=1)
            return [WallSpan(FIRST_TIME, LAST_TIME, WallTime.ONCE, shift, shift)]
        ((first, last),) = self._connection.execute("SELECT min(wall_us), max(wall_us) FROM cell_text").fetchall()
        if first is None:
            return []
        spans = wall_spans(self._zone, moment_at(first), moment_at(last))
        return [span for span in spans if span.end > moment_at(first) and span.start <= moment_at(last)]

    def _column_of(self, columns: FileColumns) -> dict[int, str]:
        spelled = self._connection.execute("SELECT tag_id, text FROM tag_spelling WHERE tag_id IS NOT NULL").fetchall()
        if columns.tag is not None:
            return {tag_id: columns.values[0].name for tag_id, _ in spelled}
        found: dict[int, str] = {}
        for tag_id, text in spelled:
            found[tag_id] = f"{found[tag_id]}, {text}" if tag_id in found else text
        return found

    def _tell_by_order(self) -> None:
        for name in ("tell_by_order", "add_told", "add_untold"):
            self._connection.execute(statement(name))


def _lines(head: Head, total: int, blank: int) -> LineAccount:
    return LineAccount(head.title_lines, head.header_lines, blank, total - head.length - blank)


_SPELLINGS: Final = {
    "tag": pa.schema([("text", pa.string()), ("tag_id", pa.int32())]),
    "status": pa.schema([("text", pa.string()), ("flag", pa.uint8())]),
    "value": pa.schema([("text", pa.string()), ("number", pa.decimal128(18, STORED_DECIMALS)), ("code", pa.string())]),
}
