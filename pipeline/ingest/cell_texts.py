"""What is done to the texts of our columns whatever the shape of the file: patterns, marks for "missing"."""

import re
from collections.abc import Callable, Mapping

import pyarrow as pa

from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import TARGETS, Layout
from pipeline.ingest.text_columns import respelled

# Where a number or a time is expected, a mark for "missing" is an empty cell. The value keeps its text and is read so.
_MAY_BE_MISSING = frozenset(
    {
        "detection_limit", "reporting_limit", "uncertainty", "receipt_temperature", "dilution", "revision", "collected",
        "received", "filtered", "extracted", "analyzed", "reported",
    }
)  # fmt: skip


def cell_table(
    texts: Mapping[str, pa.Array],
    layout: Layout,
    *,
    lines: pa.Array,
    names: pa.Array,
    aside: pa.Array,
    problems: pa.Array,
) -> pa.Table:
    """The table of cells without their numbers; see :class:`pipeline.ingest.cells.FileCells`."""
    return pa.table(
        {
            "line": lines,
            "column_name": names,
            "set_aside": aside,
            "row_problem": problems,
            **{f"{target}_text": as_meant(texts[target], target, layout) for target in sorted(TARGETS)},
        }
    )


def as_meant(texts: pa.Array, target: str, layout: Layout) -> pa.Array:
    """The texts of one of our columns after the layout's pattern for it and its marks for "missing"."""
    pattern, missing = layout.patterns.get(target), {folded(mark) for mark in layout.words.missing}
    if pattern:
        texts = respelled(texts, _taken_out(re.compile(pattern)))
    if missing and target in _MAY_BE_MISSING:
        texts = respelled(texts, lambda text: "" if folded(text) in missing else text)
    return texts


def _taken_out(pattern: re.Pattern[str]) -> Callable[[str], str]:
    def taken(text: str) -> str:
        match = pattern.fullmatch(text.strip())
        return match[1] or "" if match else text

    return taken
