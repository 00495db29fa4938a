"""One result a row: the columns of a narrow file become value cells."""

from collections.abc import Iterator, Sequence

import pyarrow as pa

from pipeline.ingest.cell_texts import cell_table
from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import NEEDED_TARGETS, TARGETS, Layout, LimitKind, TypedLimit
from pipeline.ingest.limits_beside import NO_LIMITS, WrittenLimit, WrittenLimits
from pipeline.ingest.set_aside import set_aside
from pipeline.ingest.tables import missing_column
from pipeline.ingest.text_columns import TextColumns, same

_TARGET_OF_LIMIT: dict[LimitKind, str] = {
    "detection limit": "detection_limit",
    "reporting limit": "reporting_limit",
    "neither": "",
}


def narrow_cells(columns: TextColumns, layout: Layout, beside: WrittenLimits = NO_LIMITS) -> pa.Table:
    """One cell a row.

    Parameters
    ----------
    beside
        Limits from a table of their own, by the identifier of their result; those of the row come first.

    Raises
    ------
    LayoutError
        When the header names a column twice, or lacks one that the layout cannot do without.
    """
    for name in columns.positions:
        columns.named(name)
    for target in NEEDED_TARGETS:
        wanted = layout.columns.get(target)
        if wanted and folded(wanted[0]) not in columns.positions:
            raise missing_column(wanted[0], layout, columns.place)
    value_header = layout.columns["value"][0]
    value_at = columns.positions[folded(value_header)]
    columns = columns.filled(set(range(len(columns.names))) - set(value_at))
    texts = {
        target: columns.joined(layout.columns[target])
        if target in layout.columns
        else same(columns, layout.constants.get(target, ""))
        for target in TARGETS
    }
    for typed in layout.typed_limits:
        _fill_typed_limit(texts, _of_rows(typed, columns), layout)
    for limits in _of_results(texts["result_id"].to_pylist(), beside):
        _fill_typed_limit(texts, limits, layout)
    sheet = columns.sheet.name
    return cell_table(
        texts,
        layout,
        lines=columns.lines,
        names=same(columns, f"{sheet}!{value_header}" if sheet else value_header),
        aside=set_aside(columns, layout),
        problems=columns.problems,
    )


def _of_rows(typed: TypedLimit, columns: TextColumns) -> list[WrittenLimit]:
    """What each row says of a limit."""
    texts = (columns.joined([name]).to_pylist() for name in (typed.kind, typed.value, typed.unit))
    return [WrittenLimit(*said) for said in zip(*texts, strict=True)]


def _of_results(result_ids: Sequence[str], beside: WrittenLimits) -> Iterator[list[WrittenLimit]]:
    """The first limit of each result, then the second of each, and so on."""
    of_rows = (
        [beside.get(result_id.strip(), ()) if result_id.strip() else () for result_id in result_ids] if beside else []
    )
    for number in range(max(map(len, of_rows), default=0)):
        yield [limits[number] if number < len(limits) else WrittenLimit("", "", "") for limits in of_rows]


def _fill_typed_limit(texts: dict[str, pa.Array], limits: Sequence[WrittenLimit], layout: Layout) -> None:
    """Put a limit into the detection or the reporting column by the words of its kind; the first one there stays."""
    kinds, values, units = zip(*limits, strict=True) if limits else ((), (), ())
    limit_units: Sequence[str] = texts["limit_unit"].to_pylist()
    told = {kind: _TARGET_OF_LIMIT[means] for kind, means in layout.words.limit_kind.items()}
    wanted = [
        told.get(folded(kind), _limit_column(kind)) if value.strip() else ""
        for kind, value in zip(kinds, values, strict=True)
    ]
    for target in ("detection_limit", "reporting_limit"):
        filled = [
            already or (_limit_text(value, unit, limit_unit) if column == target else "")
            for already, column, value, unit, limit_unit in zip(
                texts[target].to_pylist(), wanted, values, units, limit_units, strict=True
            )
        ]
        texts[target] = pa.array(filled, pa.string())
    with_unit = [
        already or (unit if column else "") for already, column, unit in zip(limit_units, wanted, units, strict=True)
    ]
    texts["limit_unit"] = pa.array(with_unit, pa.string())


def _limit_column(kind: str) -> str:
    """Which limit a kind is by the words of the WQX domain list of limit types.

    Upper limits, uncertainties, holding times and water quality standards stand on the same list: none of them says
    how little a method can see, and a non-detect may never be taken as "below the standard".
    """
    words = kind.casefold()
    if "upper" in words:
        return ""
    if "detect" in words:
        return "detection_limit"
    return "reporting_limit" if any(word in words for word in ("report", "quantit", "censor")) else ""


def _limit_text(value: str, unit: str, limit_unit: str) -> str:
    """A second limit in another unit than the first keeps its own unit in its text."""
    return f"{value} {unit}" if value.strip() and limit_unit and folded(limit_unit) != folded(unit) else value
