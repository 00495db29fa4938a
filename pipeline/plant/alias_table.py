"""Adds rows to a plant's ``aliases.csv`` as its owner would: what stands there already is not touched."""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final

from pipeline.errors import Place, PlantRowError
from pipeline.plant.tables import Alias

FILE: Final = "aliases.csv"
COLUMNS: Final = tuple(Alias.model_fields)
_BYTE_ORDER_MARK: Final = "\ufeff"


def with_aliases(content: bytes, rows: Sequence[Alias]) -> bytes:
    """The table with rows added at its end.

    Order, quoting, line ends, byte order mark and blank lines of the rows before stay as they are, byte for byte. A
    column that the table does not have and a new row needs is added at the right, empty in the rows before.

    Parameters
    ----------
    content
        The table as it is; empty bytes make a new one, with every column.

    Raises
    ------
    PlantRowError
        When the table cannot be read as CSV in UTF-8.
    """
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _unreadable() from error
    lines = list(io.StringIO(text, newline=""))
    ends = _ends_of_records(lines)
    if not ends:
        return _new_table(text, rows)
    header_end, header = ends[0]
    columns = [name.strip().removeprefix(_BYTE_ORDER_MARK) for name in header]
    line_end = _line_end(lines[header_end])
    added = [name for name in _needed(rows) if name not in columns]
    for position, (index, _) in enumerate(ends):
        lines[index] = _with_cells(lines[index], added if position == 0 else [""] * len(added))
    if not _line_end(lines[-1], otherwise=""):
        lines[-1] += line_end
    return ("".join(lines) + _written(rows, [*columns, *added], line_end)).encode()


def _ends_of_records(lines: Sequence[str]) -> list[tuple[int, list[str]]]:
    """Index of the line on which each record that is not blank ends, with its cells."""
    reader = csv.reader(iter(lines), strict=True)
    try:
        records = [(reader.line_num - 1, cells) for cells in reader]
    except csv.Error as error:
        raise _unreadable() from error
    return [(end, cells) for end, cells in records if any(cell.strip(f"{_BYTE_ORDER_MARK} \t") for cell in cells)]


def _unreadable() -> PlantRowError:
    return PlantRowError(
        "the table cannot be read, so no row was added.", "Save it as CSV in UTF-8, then try again.", Place(FILE)
    )


def _new_table(text: str, rows: Sequence[Alias]) -> bytes:
    line_end = "\r\n" if "\r\n" in text else "\n"
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    return (mark + ",".join(COLUMNS) + line_end + _written(rows, COLUMNS, line_end)).encode()


def _with_cells(line: str, cells: Sequence[str]) -> str:
    end = _line_end(line, otherwise="")
    return "".join((line.removesuffix(end), *(f",{cell}" for cell in cells), end))


def _line_end(line: str, otherwise: str = "\n") -> str:
    return next((end for end in ("\r\n", "\n", "\r") if line.endswith(end)), otherwise)


def _needed(rows: Iterable[Alias]) -> list[str]:
    """Columns in which a row says something that it would not say by default, in our order."""
    default = {name: field.default for name, field in Alias.model_fields.items()}
    return [name for name in COLUMNS if any(getattr(row, name) != default[name] for row in rows)]


def _written(rows: Iterable[Alias], columns: Sequence[str], line_end: str) -> str:
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator=line_end)
    for row in rows:
        writer.writerow([_text(getattr(row, column, "")) for column in columns])
    return buffer.getvalue()


def _text(value: object) -> str:
    if value is None:
        return ""
    return value.isoformat() if isinstance(value, date) else str(value)
