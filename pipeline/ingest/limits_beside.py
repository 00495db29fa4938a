"""Limits in a table of their own, beside the results that they belong to: gathered by the identifier of the result."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout, LimitsBeside
from pipeline.ingest.recognition import Heads
from pipeline.ingest.source import SourceFile
from pipeline.ingest.tables import LineAccount, read_tables
from pipeline.ingest.text_columns import columns_of


class WrittenLimit(NamedTuple):
    """A limit as written: what kind of limit, its value and its unit."""

    kind: str
    value: str
    unit: str


WrittenLimits = Mapping[str, Sequence[WrittenLimit]]
NO_LIMITS: Final[WrittenLimits] = {}


@dataclass(frozen=True, slots=True)
class FoundLimits:
    """The limits of a file by the identifier of their result, and the sheets and lines on which they stand.

    ``unreadable`` counts rows of another width than their header, none of which is believed.
    """

    by_result: WrittenLimits
    sheets: tuple[str, ...]
    lines: LineAccount
    unreadable: int


NONE_FOUND: Final = FoundLimits(NO_LIMITS, (), LineAccount(0, 0, 0, 0), 0)


def read_limits(source: SourceFile, layout: Layout) -> FoundLimits:
    """The limits that a workbook or an archive holds beside its results; none where it has no such table.

    Raises
    ------
    LayoutError
        When the table of limits names a column twice.
    FileError
        When the file cannot be split into records.
    """
    beside = layout.limits_beside
    if beside is None or not (source.is_workbook or source.is_archive):
        return NONE_FOUND
    of_limits = FileLayout(
        name=layout.name, delimiter=layout.delimiter, encoding=layout.encoding, signature=beside.signature
    )
    heads = Heads(source)
    sheets = tuple(name for name in heads.sheets_with_header(of_limits) if name not in heads.sheets_with_header(layout))
    return _found(source, of_limits, beside, sheets) if sheets else NONE_FOUND


def _found(source: SourceFile, layout: FileLayout, beside: LimitsBeside, sheets: tuple[str, ...]) -> FoundLimits:
    found = read_tables(source, layout, only=sheets)
    by_result: dict[str, list[WrittenLimit]] = {}
    unreadable = 0
    for table in found.tables:
        columns = columns_of(table, source.name)
        names = (beside.result_id, beside.kind, beside.value, beside.unit)
        texts = (columns.joined([name]).to_pylist() for name in names)
        for problem, result_id, *limit in zip(columns.problems.to_pylist(), *texts, strict=True):
            unreadable += bool(problem)
            if not problem:
                by_result.setdefault(result_id.strip(), []).append(WrittenLimit(*limit))
    return FoundLimits(by_result, sheets, found.lines, unreadable)


def remarks(limits: FoundLimits, result_ids: Iterable[str]) -> Iterator[str]:
    """What a person should know of the limits: how many belong to no result of the file, or could not be read."""
    known = {result_id.strip() for result_id in result_ids} - {""}
    lost = sum(len(found) for result_id, found in limits.by_result.items() if result_id not in known)
    if lost:
        yield f"{lost:,} limits belong to no result of the file."
    if limits.unreadable:
        yield f"{limits.unreadable:,} lines of limits have another width than their header and were not read."
