"""A file and a layout become value cells: one row a cell, every text as written, with its line and column."""

from dataclasses import dataclass

import pyarrow as pa

from pipeline.ingest.crosstab_cells import crosstab_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.limits_beside import read_limits, remarks
from pipeline.ingest.narrow_cells import narrow_cells
from pipeline.ingest.source import SourceFile
from pipeline.ingest.tables import LineAccount, read_tables
from pipeline.ingest.text_columns import columns_of


@dataclass(frozen=True, slots=True)
class FileCells:
    """The value cells of one file as written, in file order, and the account of its lines.

    ``table`` has ``cell_id``, ``line``, ``column_name``, ``set_aside``, ``row_problem`` and one ``..._text`` column a
    target of :data:`pipeline.ingest.layout.TARGETS`; a text is ``''`` where the file says nothing. The column name is
    the heading of the value, behind the name of its sheet and "!" in a workbook; line and column name together are
    unique. ``encoding`` is what the file was read with, ``remarks`` are sentences for the person who loads it.
    """

    table: pa.Table
    lines: LineAccount
    encoding: str
    remarks: tuple[str, ...] = ()


def read_cells(source: SourceFile, layout: Layout) -> FileCells:
    """Split a file into its value cells by the layout.

    Raises
    ------
    LayoutError
        When there is no header that fits, when it names a column twice, lacks one that the layout cannot do without, or
        has one in a crosstab that the layout does not know.
    FileError
        When the file cannot be split into records.
    """
    limits = read_limits(source, layout)
    found = read_tables(source, layout, but=limits.sheets)
    lines, parts = found.lines + limits.lines, []
    for table in found.tables:
        if layout.crosstab is None:
            parts.append(narrow_cells(columns_of(table, source.name), layout, limits.by_result))
        else:
            cells = crosstab_cells(table, source.name, layout, layout.crosstab)
            lines = lines.with_header_lines(cells.above, cells.below)
            parts.append(cells.table)
    cells_of_file = pa.concat_tables(parts)
    numbered = cells_of_file.add_column(0, "cell_id", pa.array(range(cells_of_file.num_rows), pa.int64()))
    of_limits = remarks(limits, numbered.column("result_id_text").to_pylist()) if limits.sheets else ()
    return FileCells(numbered, lines, found.encoding, (*found.remarks, *of_limits))
