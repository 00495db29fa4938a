"""Reads one CSV table of the plant folder into typed rows, noting every fault on the way."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

from pydantic import ValidationError

from pipeline.plant.faults import Faults, one_of
from pipeline.plant.tables import Row

RowType = TypeVar("RowType", bound=Row)


@dataclass(frozen=True, slots=True)
class Placed(Generic[RowType]):
    """A row and the physical line on which it starts, from 1."""

    line: int
    row: RowType


def read_table(file: str, content: bytes, row_type: type[RowType], faults: Faults) -> list[Placed[RowType]]:
    """Read a table; rows that cannot be read are left out and stand in ``faults``.

    Parameters
    ----------
    file
        Name of the file as it is shown to a person.
    content
        The bytes of the file: UTF-8, with or without a byte order mark, comma-separated.
    row_type
        What a row is; its fields are the columns, those without a default are required.
    """
    text = _decode(file, content, faults)
    if text is None:
        return []
    records = _records(file, text, faults)
    header = next(records, None)
    if header is None:
        faults.add("the file is empty.", f"Write the header: {','.join(row_type.model_fields)}", file=file, line=1)
        return []
    columns = [name.strip() for name in header[1]]
    if not _header_fits(file, header[0], columns, row_type, faults):
        return []
    rows = (_read_row(file, line, columns, cells, row_type, faults) for line, cells in records)
    return [row for row in rows if row is not None]


def _decode(file: str, content: bytes, faults: Faults) -> str | None:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        faults.add(
            f"the file is not UTF-8 text (byte {content[error.start]:#04x}).",
            "Save it again with the encoding UTF-8.",
            file=file,
            line=line,
        )
        return None


def _records(file: str, text: str, faults: Faults) -> Iterator[tuple[int, list[str]]]:
    """Each record that is not blank, with the line on which it starts."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    start = 1
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            faults.add(
                f"the line is not readable as CSV ({error}).", "Check the quotation marks.", file=file, line=start
            )
            return
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield start, cells
        start = reader.line_num + 1


def _header_fits(file: str, line: int, columns: list[str], row_type: type[Row], faults: Faults) -> bool:
    fields = row_type.model_fields
    before = len(faults.found)
    for separator, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "vertical bars")):
        if len(columns) == 1 and separator in columns[0]:
            faults.add(f"the columns are separated by {name}.", "Separate them by commas.", file=file, line=line)
            return False
    for position, column in enumerate(columns):
        if column not in fields:
            problem, remedy = f"the column {column!r} is not known.", one_of(fields, column)
        elif column in columns[:position]:
            problem, remedy = f"the column {column!r} stands there twice.", "Keep one of them."
        else:
            continue
        faults.add(problem, remedy, file=file, line=line, column=column)
    for name, field in fields.items():
        if name not in columns and (field.is_required() or name in row_type.must_be_said):
            remedy = "Add it to the header and fill it."
            faults.add(f"the column {name!r} is missing.", remedy, file=file, line=line, column=name)
    return len(faults.found) == before


def _read_row(
    file: str, line: int, columns: list[str], cells: list[str], row_type: type[RowType], faults: Faults
) -> Placed[RowType] | None:
    if len(cells) != len(columns):
        faults.add(
            f"the row has {len(cells)} cells, the header {len(columns)}.",
            "Write one cell a column, and put cells that contain a comma in quotation marks.",
            file=file,
            line=line,
        )
        return None
    said = {
        column: text
        for column, text in zip(columns, cells, strict=True)
        if text.strip() or column in row_type.must_be_said
    }
    try:
        return Placed(line, row_type.model_validate(said))
    except ValidationError as error:
        _note_cell_faults(file, line, error, row_type, faults)
        return None


def _note_cell_faults(file: str, line: int, error: ValidationError, row_type: type[Row], faults: Faults) -> None:
    for detail in error.errors(include_url=False):
        column = str(detail["loc"][0]) if detail["loc"] else ""
        context = detail.get("ctx", {})
        if detail["type"] == "missing":
            problem, remedy = "the cell is empty.", f"Every row needs a {column}."
        elif detail["type"] == "enum":
            words = tuple(word.value for word in row_type.model_fields[column].annotation or ())
            problem, remedy = f"{detail['input']!r} is not possible here.", one_of(words, str(detail["input"]))
        else:
            problem = str(context.get("problem", detail["msg"]))
            remedy = str(context.get("remedy", "See docs/data_dictionary.md for what this column holds."))
        faults.add(problem, remedy, file=file, line=line, column=column)
