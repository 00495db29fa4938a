"""Records and a layout become value cells: one row a cell, every text as written, with its line."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import pyarrow as pa

from pipeline.errors import LayoutError, Place
from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import NEEDED_TARGETS, TARGETS, Layout, SetAsideRule, TypedLimit
from pipeline.ingest.source import Record, SourceFile, records

_Joined = Callable[[Sequence[str]], Sequence[str]]
TEXT_COLUMNS = tuple(f"{target}_text" for target in sorted(TARGETS))


@dataclass(frozen=True, slots=True)
class LineAccount:
    """What every physical line of a file is; the parts add up to ``total``."""

    title: int
    header: int
    blank: int
    data: int

    @property
    def total(self) -> int:
        """All physical lines of the file."""
        return self.title + self.header + self.blank + self.data


@dataclass(frozen=True, slots=True)
class FileCells:
    """The value cells of one file as written, in file order, and the account of its lines.

    ``table`` has ``cell_id``, ``line``, ``column_name``, ``set_aside``, ``row_problem`` and one ``..._text`` column a
    target of :data:`pipeline.ingest.layout.TARGETS`; a text is ``''`` where the file says nothing.
    """

    table: pa.Table
    lines: LineAccount


def read_cells(source: SourceFile, layout: Layout) -> FileCells:
    """Split a file into its value cells by the layout.

    Raises
    ------
    LayoutError
        When the header names a column twice or lacks one that the layout cannot do without.
    FileError
        When the file cannot be split into records.
    """
    header: Record | None = None
    rows: list[Record] = []
    blank = 0
    for record in records(source, layout.delimiter):
        if record.is_blank:
            blank += record.last_line - record.line + 1
        elif header is None:
            header = record
        else:
            rows.append(record)
    if header is None:
        raise LayoutError("there is no header.", "Ask the sender for the file again.", Place(source.name))
    names = _checked_header(header, layout, source.name)
    lines = LineAccount(
        title=0,
        header=header.last_line - header.line + 1,
        blank=blank,
        data=sum(row.last_line - row.line + 1 for row in rows),
    )
    return FileCells(_cell_table(rows, names, layout), lines)


def _checked_header(header: Record, layout: Layout, file_name: str) -> list[str]:
    names = [folded(name) for name in header.fields]
    seen: set[str] = set()
    for name, written in zip(names, header.fields, strict=True):
        if name and name in seen:
            raise LayoutError(
                f'the header names the column "{written.strip()}" twice.',
                "Ask the sender which of the two counts.",
                Place(file_name, header.line),
            )
        seen.add(name)
    for target in NEEDED_TARGETS:
        wanted = layout.columns.get(target)
        if wanted and folded(wanted[0]) not in seen:
            raise LayoutError(
                f'the column "{wanted[0]}" is missing, which the layout "{layout.name}" needs.',
                "Ask the sender for the file with that column, or write a layout for it.",
                Place(file_name, header.line),
            )
    return names


def _cell_table(rows: Sequence[Record], names: list[str], layout: Layout) -> pa.Table:
    width = len(names)
    problems = [_row_problem(row, width) for row in rows]
    padded = [(row.fields + [""] * (width - len(row.fields)))[:width] for row in rows]
    columns: Iterable[Sequence[str]] = zip(*padded, strict=True) if padded else [()] * width
    by_name = dict(zip(names, columns, strict=True))
    count = len(rows)

    def joined(headers: Sequence[str]) -> Sequence[str]:
        columns = [by_name[folded(header)] for header in headers if folded(header) in by_name]
        if not columns:
            return [""] * count
        if len(columns) == 1:
            return columns[0]
        return [" ".join(filter(None, map(str.strip, parts))) for parts in zip(*columns, strict=True)]

    texts: dict[str, Sequence[str]] = {
        f"{target}_text": (
            joined(layout.columns[target]) if target in layout.columns else [layout.constants.get(target, "")] * count
        )
        for target in sorted(TARGETS)
    }
    for typed in layout.typed_limits:
        _fill_typed_limit(texts, typed, joined)
    value_header = layout.columns["value"][0]
    return pa.table(
        {
            "cell_id": pa.array(range(count), pa.int64()),
            "line": pa.array([row.line for row in rows], pa.int64()),
            "column_name": pa.array([value_header] * count, pa.string()),
            "set_aside": pa.array(_set_aside(layout.set_aside, by_name, count), pa.string()),
            "row_problem": pa.array(problems, pa.string()),
            **{name: pa.array(column, pa.string()) for name, column in texts.items()},
        }
    )


def _row_problem(row: Record, width: int) -> str:
    if len(row.fields) == width or (len(row.fields) > width and not any(map(str.strip, row.fields[width:]))):
        return ""
    return f"the row has {len(row.fields)} cells where the header has {width}."


def _fill_typed_limit(texts: dict[str, Sequence[str]], typed: TypedLimit, joined: _Joined) -> None:
    """Put a limit into the detection or the reporting column by the words of its kind; the first one there stays."""
    kinds, values, units = joined([typed.kind]), joined([typed.value]), joined([typed.unit])
    wanted = [_limit_column(kind) if value.strip() else "" for kind, value in zip(kinds, values, strict=True)]
    for column in ("detection_limit_text", "reporting_limit_text"):
        texts[column] = [
            already or (_limit_text(value, unit, limit_unit) if target == column else "")
            for already, target, value, unit, limit_unit in zip(
                texts[column], wanted, values, units, texts["limit_unit_text"], strict=True
            )
        ]
    texts["limit_unit_text"] = [
        already or (unit if target else "")
        for already, target, unit in zip(texts["limit_unit_text"], wanted, units, strict=True)
    ]


def _limit_column(kind: str) -> str:
    """Which limit a kind is by the words of the WQX domain list of limit types.

    Upper limits, uncertainties, holding times and water quality standards stand on the same list: none of them says
    how little a method can see, and a non-detect may never be taken as "below the standard".
    """
    words = kind.casefold()
    if "upper" in words:
        return ""
    if "detect" in words:
        return "detection_limit_text"
    return "reporting_limit_text" if any(word in words for word in ("report", "quantit", "censor")) else ""


def _limit_text(value: str, unit: str, limit_unit: str) -> str:
    """A second limit in another unit than the first keeps its own unit in its text."""
    return f"{value} {unit}" if value.strip() and limit_unit and folded(limit_unit) != folded(unit) else value


def _set_aside(rules: Sequence[SetAsideRule], by_name: dict[str, Sequence[str]], count: int) -> list[str]:
    reasons = [""] * count
    for rule in rules:
        column = by_name.get(folded(rule.column))
        if column is None:
            continue
        unwanted = {folded(text) for text in rule.equals}
        reasons = [
            reason or (rule.reason if folded(text) in unwanted else "")
            for reason, text in zip(reasons, column, strict=True)
        ]
    return reasons
