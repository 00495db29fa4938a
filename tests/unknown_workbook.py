"""A workbook as plants keep them for years: many sheets, titles and merged cells above the header, a line of units."""

import io
from datetime import datetime

import openpyxl
from openpyxl.styles import Font

HEADINGS = ("Station", "Date sampled", "Order", "Manganese", "Lead", "Chloride", "Turbidity", "pH")
UNITS = ("", "", "", "ug/L", "ug/L", "mg/L", "NTU", "")
POINTS = (("FW", "Clearwell outlet"), ("RO", "Train A permeate"))
YEARS = (2023, 2024, 2025)
CELLS = len(YEARS) * len(POINTS) * 12 * 5


def unknown_workbook(points: tuple[tuple[str, str], ...] = POINTS) -> bytes:
    """Three years of monthly samples, one sheet a year and point; dates are serial numbers shown as days."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for year in YEARS:
        for point, name in points:
            _fill(book.create_sheet(f"{name} {year}"), year, point)
    notes = book.create_sheet("Notes")
    notes["A1"] = "Reporting limits on request. =1+1 <b>bold</b>"
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def _fill(sheet: openpyxl.worksheet.worksheet.Worksheet, year: int, point: str) -> None:
    sheet["A1"] = "Fernholm Laboratory"
    sheet["A1"].font = Font(bold=True)
    sheet.merge_cells("A1:H1")
    sheet["A2"] = f"Monthly samples {year}"
    sheet.merge_cells("A2:H2")
    for cells, text in (("A4:C4", "Sample"), ("D4:E4", "Metals"), ("F4:H4", "General")):
        sheet[cells.split(":")[0]] = text
        sheet.merge_cells(cells)
    for column, (heading, unit) in enumerate(zip(HEADINGS, UNITS, strict=True), start=1):
        sheet.cell(5, column, heading)
        sheet.cell(6, column, unit or None)
    for month in range(1, 13):
        row = 6 + month
        sheet.cell(row, 1, point)
        day = datetime(year, month, 3 + month, 8, 15)  # noqa: DTZ001  a workbook knows no zones
        sheet.cell(row, 2, day).number_format = "dd/mm/yyyy hh:mm"
        sheet.cell(row, 3, f"{year}-{month:02}-{point}")
        values = ("<0.5" if month % 3 else 1.2, 0.31, 40 + month, 0.05, 7.1)
        for column, value in enumerate(values, start=4):
            sheet.cell(row, column, value)
