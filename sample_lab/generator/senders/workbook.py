"""Workbooks with the same bytes each time: sheets of titles, merged headings, dates as serial numbers, and values."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

Value = str | int | float | datetime | date | None

# The day written into the file's properties: a clock would make other bytes every time.
_MADE = datetime.fromisoformat("2026-10-31")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet.

    ``titles`` stand above, one a row. ``groups`` are headings merged over several columns, as (first column, last
    column, text), counted from 0; ``headings`` and ``units`` stand below them. Then the rows.
    """

    name: str
    titles: Sequence[str]
    groups: Sequence[tuple[int, int, str]]
    headings: Sequence[str]
    units: Sequence[str]
    rows: Sequence[Sequence[Value]]
    hidden: bool = False
    widths: Sequence[int] = field(default_factory=tuple)

    @property
    def first_row(self) -> int:
        """The row of the first sample, from 1."""
        return len(self.titles) + bool(self.groups) + 1 + bool(self.units) + 1


def workbook(sheets: Sequence[Sheet]) -> bytes:
    """The bytes of a workbook."""
    content = io.BytesIO()
    book = xlsxwriter.Workbook(content, {"in_memory": True})
    book.set_properties({"title": "results", "created": _MADE})
    formats = _formats(book)
    for sheet in sheets:
        _write(book.add_worksheet(sheet.name), sheet, formats)
    book.close()
    return content.getvalue()


def _formats(book: Workbook) -> dict[str, Format]:
    return {
        "title": book.add_format({"bold": True, "font_size": 13}),
        "group": book.add_format({"bold": True, "align": "center", "bottom": 1}),
        "heading": book.add_format({"bold": True, "text_wrap": True}),
        "unit": book.add_format({"italic": True}),
        "date": book.add_format({"num_format": "dd-mmm-yy"}),
        "moment": book.add_format({"num_format": "dd-mmm-yy hh:mm"}),
    }


def _write(page: Worksheet, sheet: Sheet, formats: dict[str, Format]) -> None:
    row = 0
    for title in sheet.titles:
        page.write_string(row, 0, title, formats["title"])
        row += 1
    if sheet.groups:
        for first, last, text in sheet.groups:
            page.merge_range(row, first, row, last, text, formats["group"])
        row += 1
    for texts, look in ((sheet.headings, "heading"), (sheet.units, "unit")):
        for column, text in enumerate(texts):
            if text:
                page.write_string(row, column, text, formats[look])
        row += bool(texts)
    for values in sheet.rows:
        for column, value in enumerate(values):
            _write_value(page, row, column, value, formats)
        row += 1
    for column, width in enumerate(sheet.widths):
        page.set_column(column, column, width)
    if sheet.hidden:
        page.hide()


def _write_value(page: Worksheet, row: int, column: int, value: Value, formats: dict[str, Format]) -> None:
    if value is None or value == "":
        return
    if isinstance(value, datetime):
        page.write_datetime(row, column, value, formats["moment"])
    elif isinstance(value, date):
        page.write_datetime(row, column, value, formats["date"])
    elif isinstance(value, str):
        page.write_string(row, column, value)
    else:
        page.write_number(row, column, value)
