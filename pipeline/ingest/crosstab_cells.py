"""A crosstab becomes value cells: one for each row and each column that holds values."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import pyarrow as pa
import pyarrow.compute as pc

from pipeline.errors import LayoutError, Place
from pipeline.ingest.cell_texts import cell_table
from pipeline.ingest.crosstab_layout import ALL_OTHERS, Crosstab
from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import NEEDED_TARGETS, TARGETS, Layout
from pipeline.ingest.set_aside import set_aside
from pipeline.ingest.source import Record
from pipeline.ingest.tables import FileTable, missing_column
from pipeline.ingest.text_columns import TextColumns, columns_of, same


@dataclass(frozen=True, slots=True)
class CrosstabCells:
    """The cells of one crosstab, row by row, and how many lines above and below its heading say more of its columns."""

    table: pa.Table
    above: int
    below: int


class _ValueColumn(NamedTuple):
    """A column of values: where it stands, what it is called, and where the columns beside it stand, by our columns."""

    position: int
    name: str
    companions: Mapping[str, int]


class _Lines(NamedTuple):
    """The records that say more of each column, by our columns; the names of companions; and the rows that are left."""

    found: Mapping[str, Record]
    companions: Record | None
    rows: tuple[Record, ...]

    @property
    def used(self) -> dict[int, int]:
        """How many lines each record takes that says more of the columns, by its first line."""
        records = [*self.found.values(), *([self.companions] if self.companions else [])]
        return {record.line: record.line_count for record in records}


def crosstab_cells(table: FileTable, file_name: str, layout: Layout, crosstab: Crosstab) -> CrosstabCells:
    """One cell for each row and each value column.

    What a cell says of one of our columns is the first of these that says anything: the column beside its value, the
    further line, the heading, the row, the constant of the layout.

    Raises
    ------
    LayoutError
        When the heading names a column of the samples twice, lacks one that the layout cannot do without, or has one
        that the layout does not know.
    """
    lines = _further_lines(table, crosstab, file_name)
    columns = columns_of(replace(table, rows=lines.rows), file_name)
    _check_columns(columns, layout)
    values = _value_columns(columns, lines.companions, layout, crosstab)
    taken = {value.position for value in values} | {beside for value in values for beside in value.companions.values()}
    columns = columns.filled(set(range(len(columns.names))) - taken)
    of_rows = {target: columns.joined(layout.columns[target]) for target in layout.columns}
    parts = [_cells_of(value, columns, lines, of_rows, layout, crosstab) for value in values]
    used = lines.used
    header_line = table.header_line or 0
    return CrosstabCells(
        _row_by_row(parts, len(columns.lines)) if parts else _no_cells(columns, layout),
        above=sum(count for line, count in used.items() if line < header_line),
        below=sum(count for line, count in used.items() if line > header_line),
    )


def _further_lines(table: FileTable, crosstab: Crosstab, file_name: str) -> _Lines:
    found = {
        target: _further_line(table, crosstab, where, target, file_name) for target, where in crosstab.lines.items()
    }
    below = crosstab.companions_line
    companions = _further_line(table, crosstab, below, "the columns beside values", file_name) if below else None
    used = _Lines(found, companions, ()).used
    return _Lines(found, companions, tuple(row for row in table.rows if row.line not in used))


def _further_line(table: FileTable, crosstab: Crosstab, where: int | str, what: str, file_name: str) -> Record:
    record = _line_at(table, where) if isinstance(where, int) else _line_called(table, where, crosstab)
    if record is None:
        said = f'begins with "{where}"' if isinstance(where, str) else f"stands {where} lines from the heading"
        raise LayoutError(
            f"there is no line for {what} that {said}.",
            "Correct the layout, or ask the sender for the file with that line.",
            Place(file_name, table.header_line),
        )
    return _spread(record, table)


def _line_at(table: FileTable, offset: int) -> Record | None:
    around = table.rows[offset - 1 : offset] if offset > 0 else table.above[offset : offset + 1 or None]
    return around[0] if around else None


def _line_called(table: FileTable, label: str, crosstab: Crosstab) -> Record | None:
    """The nearest record above that begins with a text, or the first of the rows directly below with such texts."""
    named = [*crosstab.lines.values(), crosstab.companions_line]
    labels = {folded(where) for where in named if isinstance(where, str)}
    for number, row in enumerate(table.rows, start=1):
        if _label(row) == folded(label):
            return row
        if _label(row) not in labels and number not in named:
            break
    return next((record for record in reversed(table.above) if _label(record) == folded(label)), None)


def _label(record: Record) -> str:
    return next((folded(cell) for cell in record.fields if cell.strip()), "")


def _spread(record: Record, table: FileTable) -> Record:
    """The record with the text of merged cells in every column that they span."""
    fields = record.fields + [""] * (len(table.names) - len(record.fields))
    for area in table.sheet.merged():
        if area.first_line <= record.line <= area.last_line and area.first_column < len(fields):
            last = min(area.last_column + 1, len(fields))
            fields[area.first_column : last] = [fields[area.first_column]] * (last - area.first_column)
    return Record(record.line, record.last_line, fields)


def _check_columns(columns: TextColumns, layout: Layout) -> None:
    for target, names in layout.columns.items():
        for name in names:
            columns.named(name)
        if target in NEEDED_TARGETS and folded(names[0]) not in columns.positions:
            raise missing_column(names[0], layout, columns.place)


def _value_columns(
    columns: TextColumns, beside: Record | None, layout: Layout, crosstab: Crosstab
) -> list[_ValueColumn]:
    of_rows = {folded(name) for names in layout.columns.values() for name in names}
    known = of_rows | {folded(name) for name in crosstab.ignored} | {folded(rule.column) for rule in layout.set_aside}
    companions = _Companions(columns, beside, crosstab)
    unsaid = [
        position
        for position, name in enumerate(columns.names)
        if folded(name) not in known and (name.strip() or not _is_empty(columns, position))
    ]
    positions = [position for position in unsaid if not companions.is_one(position)]
    if crosstab.values != ALL_OTHERS:
        listed = {folded(name) for name in crosstab.values}
        _refuse([position for position in positions if folded(columns.names[position]) not in listed], columns, layout)
    names = [_shown(columns, position) for position in positions]
    values = [
        _ValueColumn(position, _unique(name, names, position), companions.of(position, positions))
        for position, name in zip(positions, names, strict=True)
    ]
    owned = {*positions, *(beside for value in values for beside in value.companions.values())}
    _refuse([position for position in unsaid if position not in owned], columns, layout)
    return values


def _refuse(positions: Sequence[int], columns: TextColumns, layout: Layout) -> None:
    """Stop at a heading that would be passed over: the layout does not know it, or it stands beside no value column."""
    if positions:
        raise LayoutError(
            f'the layout "{layout.name}" does not know the heading "{_shown(columns, positions[0])}" there.',
            "Add it to the values or the companions of the crosstab, or to what it ignores.",
            columns.place,
        )


def _is_empty(columns: TextColumns, position: int) -> bool:
    return not any(text.strip() for text in columns.columns[position].unique().to_pylist())


def _shown(columns: TextColumns, position: int) -> str:
    return columns.names[position].strip() or f"column {position + 1}"


def _unique(name: str, names: Sequence[str], position: int) -> str:
    return f"{name} (column {position + 1})" if names.count(name) > 1 else name


class _Companions:
    """The columns beside value columns that say more of their values: called the same everywhere, or after each."""

    def __init__(self, columns: TextColumns, beside: Record | None, crosstab: Crosstab) -> None:
        below = beside.fields if beside else [""] * len(columns.names)
        self._names = [folded(name) or folded(said) for name, said in zip(columns.names, below, strict=False)]
        self._called = {target: folded(form) for target, form in crosstab.companions.items() if "{}" not in form}
        self._named_after = {target: form for target, form in crosstab.companions.items() if "{}" in form}
        self._step = 1 if crosstab.companions_stand == "right" else -1
        after = (
            form.replace("{}", name) for form in self._named_after.values() for name in columns.names if name.strip()
        )
        self._owned = {folded(name) for name in after}

    def is_one(self, position: int) -> bool:
        """Whether a column stands beside another one."""
        return self._names[position] in self._owned or self._names[position] in self._called.values()

    def of(self, position: int, values: Sequence[int]) -> dict[str, int]:
        """Where the companions of a value column stand, up to the next value column."""
        found = {}
        for target, form in self._named_after.items():
            wanted = folded(form.replace("{}", self._names[position]))
            if wanted in self._names:
                found[target] = self._names.index(wanted)
        beside = position + self._step
        while 0 <= beside < len(self._names) and beside not in values:
            for target, called in self._called.items():
                if self._names[beside] == called:
                    found.setdefault(target, beside)
            beside += self._step
        return found


def _cells_of(
    value: _ValueColumn,
    columns: TextColumns,
    lines: _Lines,
    of_rows: Mapping[str, pa.Array],
    layout: Layout,
    crosstab: Crosstab,
) -> pa.Table:
    says = crosstab.said_by(columns.names[value.position])

    def sources(target: str) -> Iterator[pa.Array]:
        if target in value.companions:
            yield columns.columns[value.companions[target]]
        if target in lines.found:
            yield same(columns, lines.found[target].fields[value.position])
        if target in says:
            yield same(columns, says[target])
        if target in of_rows:
            yield of_rows[target]
        yield same(columns, layout.constants.get(target, ""))

    texts = {target: _first_said(sources(target)) for target in TARGETS - {"value"}}
    name = f"{columns.sheet.name}!{value.name}" if columns.sheet.name else value.name
    return cell_table(
        {**texts, "value": columns.columns[value.position]},
        layout,
        lines=columns.lines,
        names=same(columns, name),
        aside=set_aside(columns, layout),
        problems=columns.problems,
    )


def _first_said(sources: Iterator[pa.Array]) -> pa.Array:
    said = next(sources)
    for further in sources:
        said = pc.if_else(pc.equal(pc.utf8_trim_whitespace(said), ""), further, said)
    return said


def _row_by_row(parts: Sequence[pa.Table], rows: int) -> pa.Table:
    """The cells of each column put into the order of the file: by row, and in a row by column."""
    order = [column * rows + row for row in range(rows) for column in range(len(parts))]
    return pa.concat_tables(parts).combine_chunks().take(pa.array(order, pa.int64()))


def _no_cells(columns: TextColumns, layout: Layout) -> pa.Table:
    none = same(columns, "").slice(0, 0)
    texts = dict.fromkeys(TARGETS, none)
    return cell_table(texts, layout, lines=columns.lines.slice(0, 0), names=none, aside=none, problems=none)
