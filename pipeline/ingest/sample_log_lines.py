"""A custody sheet and its layout become lines as written: one a sample or bottle, every text with its line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pipeline.ingest.file_layout import folded
from pipeline.ingest.sample_log_layout import NEEDED_SAMPLE_TARGETS, SAMPLE_TARGETS, SampleLogLayout
from pipeline.ingest.source import SourceFile
from pipeline.ingest.tables import LineAccount, missing_column, read_tables
from pipeline.ingest.text_columns import TextColumns, columns_of


@dataclass(frozen=True, slots=True)
class WrittenSample:
    """One line of a sheet as written.

    Parameters
    ----------
    column
        Header of the sample ids, with its sheet in a workbook.
    texts
        One text for each of :data:`pipeline.ingest.sample_log_layout.SAMPLE_TARGETS`, ``''`` where the line says
        nothing.
    row_problem
        Why the line cannot be split; empty where it can.
    set_aside
        Why the line is not ours to load, by a rule of the layout; empty where it is.
    """

    cell_id: int
    line: int
    column: str
    texts: Mapping[str, str]
    row_problem: str = ""
    set_aside: str = ""

    def text(self, target: str) -> str:
        """What the line says for one of our columns, without outer blanks."""
        return " ".join(self.texts[target].split())


@dataclass(frozen=True, slots=True)
class SheetLines:
    """The lines of one file in its order, the account of its physical lines, and how it was read."""

    samples: tuple[WrittenSample, ...]
    lines: LineAccount
    encoding: str
    remarks: tuple[str, ...] = ()


def read_sheet(source: SourceFile, layout: SampleLogLayout) -> SheetLines:
    """Split a file of samples into its lines by the layout; a workbook may have them on several sheets.

    Raises
    ------
    LayoutError
        When no header fits, one names a column twice, or one lacks a column that the layout cannot do without.
    FileError
        When the file cannot be split into records.
    """
    found = read_tables(source, layout)
    samples: list[WrittenSample] = []
    for table in found.tables:
        samples += _samples(columns_of(table, source.name), layout, len(samples))
    return SheetLines(tuple(samples), found.lines, found.encoding, found.remarks)


def _samples(columns: TextColumns, layout: SampleLogLayout, already: int) -> list[WrittenSample]:
    for target in NEEDED_SAMPLE_TARGETS:
        wanted = layout.columns.get(target)
        if wanted and folded(wanted[0]) not in columns.positions:
            raise missing_column(wanted[0], layout, columns.place)
    columns = columns.filled(set(range(len(columns.names))))
    texts: dict[str, Sequence[str]] = {
        target: columns.joined(layout.columns[target]).to_pylist()
        if target in layout.columns
        else [layout.constants.get(target, "")] * len(columns.lines)
        for target in SAMPLE_TARGETS
    }
    header = layout.columns["sample"][0]
    column = f"{columns.sheet.name}!{header}" if columns.sheet.name else header
    aside = _set_aside(columns, layout)
    lines, problems = columns.lines.to_pylist(), columns.problems.to_pylist()
    return [
        WrittenSample(
            cell_id=already + row,
            line=line,
            column=column,
            texts={target: column_texts[row] for target, column_texts in texts.items()},
            row_problem=problems[row],
            set_aside=aside[row],
        )
        for row, line in enumerate(lines)
    ]


def _set_aside(columns: TextColumns, layout: SampleLogLayout) -> list[str]:
    """The reason for which each line is set aside, by the first rule that means it."""
    reasons = [""] * len(columns.lines)
    for rule in layout.set_aside:
        texts = columns.named(rule.column)
        for row, text in enumerate(texts.to_pylist() if texts is not None else ()):
            if not reasons[row] and rule.means(text):
                reasons[row] = rule.reason
    return reasons
