"""The report of a month as a workbook: the same store, plant folder and month give the same bytes."""

import io
from datetime import UTC, date, datetime, time
from typing import Final
from zoneinfo import ZoneInfo

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from app.reports.month import MonthReport
from app.reports.sheets import CAUTION, Cell, Kind, Sheet, month_name, sheets

# Texts of files go into cells as texts: one that begins with "=" is neither calculated nor linked.
_AS_WRITTEN: Final = {
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
    "in_memory": True,
}
_ACTS: Final = ("=", "+", "-", "@", "\t", "\r")
LETTER: Final = 1
_LONGEST_FOOTER: Final = 200


def workbook(report: MonthReport, zone: ZoneInfo) -> bytes:
    """The report as the bytes of an .xlsx file.

    Parameters
    ----------
    zone
        The plant's time zone, in which times are written.
    """
    written = io.BytesIO()
    book = xlsxwriter.Workbook(written, _AS_WRITTEN)
    made = report.last_loaded or datetime.combine(report.first, time(), UTC)
    title = f"{report.plant_name}: finished water {month_name(report.first)}"
    book.set_properties({"title": title, "created": made.astimezone(UTC).replace(tzinfo=None)})
    formats = _formats(book)
    for sheet in sheets(report, zone):
        page = book.add_worksheet(sheet.name)
        _write(page, sheet, formats)
        _set_up_printing(page, title, sheet)
    book.close()
    return written.getvalue()


def file_name(report: MonthReport) -> str:
    """A name for the file: the month and the points."""
    points = "-".join("".join(letter for letter in code if letter.isalnum()) for code in report.sample_points)
    return f"finished-water_{month_name(report.first)}_{points}.xlsx"


def _formats(book: xlsxwriter.Workbook) -> dict[str, Format]:
    base = {"valign": "top"}
    return {
        "heading": book.add_format({**base, "bold": True, "text_wrap": True, "bottom": 1}),
        Kind.TEXT.name: book.add_format({**base, "text_wrap": True}),
        Kind.RIGHT.name: book.add_format({**base, "align": "right"}),
        Kind.NUMBER.name: book.add_format(base),
        Kind.COUNT.name: book.add_format({**base, "num_format": "#,##0"}),
        Kind.DAY.name: book.add_format({**base, "num_format": "yyyy-mm-dd", "align": "left"}),
        # A cell that is edited by hand would act on its first sign, were it not marked as a text.
        "quoted": book.add_format({**base, "text_wrap": True, "quote_prefix": True}),
        "quoted right": book.add_format({**base, "align": "right", "quote_prefix": True}),
    }


def _write(page: Worksheet, sheet: Sheet, formats: dict[str, Format]) -> None:
    for place, column in enumerate(sheet.columns):
        page.set_column(place, place, column.width)
        page.write_string(0, place, column.heading, formats["heading"])
    for line, row in enumerate(sheet.rows, start=1):
        for place, (column, cell) in enumerate(zip(sheet.columns, row, strict=True)):
            _write_cell(page, line, place, cell, column.kind, formats)
    page.freeze_panes(1, 1)
    if sheet.rows:
        page.autofilter(0, 0, len(sheet.rows), len(sheet.columns) - 1)


def _write_cell(page: Worksheet, line: int, place: int, cell: Cell, kind: Kind, formats: dict[str, Format]) -> None:
    match cell:
        case None | "":
            return
        case str() if cell.startswith(_ACTS):
            page.write_string(line, place, cell, formats["quoted right" if kind is Kind.RIGHT else "quoted"])
        case str():
            page.write_string(line, place, cell, formats[kind.name])
        case date():
            page.write_datetime(line, place, datetime.combine(cell, time()), formats[Kind.DAY.name])
        case _:
            page.write_number(line, place, cell, formats[kind.name])


def _set_up_printing(page: Worksheet, title: str, sheet: Sheet) -> None:
    """Landscape, all columns on one width of paper (Letter, or A4 just as well), the headings on every page."""
    page.set_landscape()
    page.set_paper(LETTER)
    page.fit_to_pages(1, 0)
    page.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.8)
    page.repeat_rows(0)
    named = f"{title}, {sheet.name}".replace("&", "&&")[:_LONGEST_FOOTER]
    page.set_header(f"&L{named}&R&P / &N")
    page.set_footer(f"&L&8{CAUTION.split('. ')[0]}.")
