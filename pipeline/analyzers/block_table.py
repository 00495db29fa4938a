"""A block of lines as a table of texts: by DuckDB where every line is as it should be, carefully where one is not."""

import csv
import io
from pathlib import Path

import duckdb
import pyarrow as pa

from pipeline.analyzers.blocks import Block
from pipeline.errors import FileError, Place
from pipeline.ingest.source import LONGEST_FIELD_CHARACTERS

NOT_PLAIN = (duckdb.InvalidInputException, duckdb.ConversionException)
"""What DuckDB raises where a line has other fields than it should."""


def field_name(position: int) -> str:
    """The name under which a field stands in the table: never a text of the file."""
    return f"f{position}"


class BlockTable:
    """Puts blocks into the table ``line_text`` (line, fault, f0, f1, ...) of the load's own database.

    Parameters
    ----------
    connection
        The load's own database.
    width
        How many fields a line has.
    folder
        Where a block may stand for the moment in which DuckDB reads it.
    """

    def __init__(self, connection: duckdb.DuckDBPyConnection, width: int, delimiter: str, folder: Path) -> None:
        self._connection = connection
        self._width = width
        self._delimiter = delimiter
        self._path = folder / "block.csv"

    def offer(self, block: Block) -> tuple[str, dict[str, object]]:
        """The text with which DuckDB reads the block as it stands, and what the text asks for.

        It holds only where every line has as many fields as there should be, none of them over two lines: DuckDB
        refuses a line of another width, and leaves out blank ones, so that the number of rows is that of the lines.
        """
        self._path.write_bytes(block.content)
        columns = {field_name(position): "VARCHAR" for position in range(self._width)}
        line_end = "\\r\\n" if block.content[: block.content.index(b"\n") + 1].endswith(b"\r\n") else "\\n"
        text = (
            "(SELECT NULL::BIGINT AS position, NULL::VARCHAR AS fault, * FROM read_csv($path, header = false, "
            "auto_detect = false, delim = $delimiter, quote = '\"', escape = '\"', comment = '', columns = $columns, "
            "new_line = $line_end, parallel = true, buffer_size = 8388608, max_line_size = 1048576))"
        )
        return text, {
            "path": str(self._path), "delimiter": self._delimiter, "columns": columns, "line_end": line_end
        }  # fmt: skip

    def fill(self, block: Block, file: str) -> int:
        """Split a block into the view ``lines``; returns how many of its lines are blank.

        Raises
        ------
        FileError
            When quotation marks leave open where a cell ends.
        """
        text, values = self.offer(block)
        try:
            self._connection.execute(f"CREATE OR REPLACE TEMP TABLE line_text AS FROM {text}", values)
        except NOT_PLAIN:
            return self.fill_carefully(block, file)
        ((lines,),) = self._connection.execute("SELECT count(*) FROM line_text").fetchall()
        if lines != block.number_of_lines:
            return self.fill_carefully(block, file)
        self._connection.execute(
            "CREATE OR REPLACE TEMP VIEW lines AS SELECT * REPLACE (rowid AS position) FROM line_text"
        )
        return 0

    def fill_carefully(self, block: Block, file: str) -> int:
        """Split line by line, as the standard library does; a line of another width is a fault of that line."""
        csv.field_size_limit(LONGEST_FIELD_CHARACTERS)
        reader = csv.reader(io.StringIO(block.content.decode(), newline=""), delimiter=self._delimiter, strict=True)
        rows: list[list[str | int | None]] = []
        blank, position = 0, 0
        try:
            for fields in reader:
                spread = reader.line_num - position
                if not fields or (len(fields) == 1 and not fields[0].strip()):
                    blank += spread
                else:
                    rows.append([position, *self._fitted(fields)])
                position = reader.line_num
        except csv.Error as error:
            raise FileError(
                f"a quotation mark leaves open where a cell ends ({error}).",
                "Have the file written again.", Place(file, block.first_line + position),
            ) from error  # fmt: skip
        self._keep(rows)
        return blank

    def _fitted(self, fields: list[str]) -> list[str | None]:
        while len(fields) > self._width and not fields[-1].strip():
            fields = fields[:-1]
        if len(fields) == self._width:
            return [None, *fields]
        padded: list[str | None] = [*fields[: self._width], *[None] * (self._width - len(fields))]
        return [f"the line has {len(fields)} cells, the header {self._width}.", *padded]

    def _keep(self, rows: list[list[str | int | None]]) -> None:
        columns = list(zip(*rows, strict=True)) if rows else [()] * (self._width + 2)
        names = ["position", "fault", *(field_name(position) for position in range(self._width))]
        types = [pa.int64(), *[pa.string()] * (self._width + 1)]
        table = pa.table(
            {name: pa.array(column, kind) for name, kind, column in zip(names, types, columns, strict=True)}
        )
        self._connection.register("split_lines", table)
        self._connection.execute("CREATE OR REPLACE TEMP TABLE line_text AS FROM split_lines")
        self._connection.unregister("split_lines")
        self._connection.execute("CREATE OR REPLACE TEMP VIEW lines AS FROM line_text")
