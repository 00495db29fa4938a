"""The account of a load of readings in words: what became of the cells, why, and what clears those that are held."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import duckdb
import pyarrow as pa

from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.analyzers.sql import statement
from pipeline.vocabulary import CellOutcome, Severity

_OUTCOME_COLUMNS: Final = {
    "column_name": pa.string(), "tag": pa.string(), "outcome": pa.string(), "reason": pa.string(),
    "remedy": pa.string(), "cells": pa.int64(), "first_line": pa.int64(), "last_line": pa.int64(),
    "lines": pa.list_(pa.int64()), "example": pa.string(),
}  # fmt: skip
_FINDING_COLUMNS: Final = {
    "tag": pa.string(), "rule_id": pa.string(), "severity": pa.string(), "message": pa.string(),
    "remedy": pa.string(), "cells": pa.int64(), "first_line": pa.int64(), "last_line": pa.int64(),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fate:
    """What becomes of a cell that is no reading; ``{detail}`` in the reason is what the file says."""

    outcome: CellOutcome
    reason: str
    remedy: str = ""


FATES: Final[dict[str, Fate]] = {
    "empty": Fate(CellOutcome.EMPTY, ""),
    "line": Fate(CellOutcome.HELD, "{detail}", "Have the historian write the file again, or mend the delimiter."),
    "tag": Fate(
        CellOutcome.HELD,
        "the tag is not in analyzers.csv.",
        "Add it, as a tag or under also_written, or set it aside in the layout; then load the file again.",
    ),
    "time": Fate(
        CellOutcome.HELD,
        "the time fits none of the layout's formats, or lies outside 1900 to 2199.",
        "Add its format to the layout, then load the file again.",
    ),
    "skipped": Fate(
        CellOutcome.HELD,
        "the local time did not happen: the clock was set forward.",
        "Have the historian write UTC; or correct the zone in the layout, then load the file again.",
    ),
    "twice": Fate(
        CellOutcome.HELD,
        "the local time happened twice: the clock was set back, and nothing tells the two apart.",
        "Have the historian write UTC; or say in the layout that lines stand in order, then load the file again.",
    ),
    "status": Fate(
        CellOutcome.HELD,
        'the status "{detail}" is not known.',
        "Give it a meaning under words.flag in the layout, then load the file again.",
    ),
    "number": Fate(
        CellOutcome.HELD,
        "the value is not a number.",
        "Name the text under missing or words.value in the layout, then load the file again.",
    ),
    "digits": Fate(
        CellOutcome.HELD,
        "the number would change when it is stored: it has more than 6 decimals, or more than 12 digits before them.",
        "Say in the layout to how many decimals it is meant, then load the file again.",
    ),
    "twins": Fate(
        CellOutcome.HELD,
        "the file holds different values for the same tag and time.",
        "Ask which one is right: a newer file that holds it alone is loaded over this one.",
    ),
    "missing": Fate(CellOutcome.SET_ASIDE, 'the status "{detail}" says that there is no reading'),
    "worse": Fate(CellOutcome.SET_ASIDE, "another line has the same tag and time, and a better status"),
    "rule": Fate(CellOutcome.SET_ASIDE, "{detail}"),
    "repeated": Fate(CellOutcome.DUPLICATE, "the file says it twice"),
}


@dataclass(frozen=True, slots=True)
class Weakness:
    """What is weak about a reading that is kept."""

    severity: Severity
    message: str
    remedy: str = ""


WEAKNESSES: Final[dict[str, Weakness]] = {
    "reading_in_the_future": Weakness(
        Severity.FLAG, "the time lies after the moment of loading.", "Check the historian's clock and the zone."
    ),
    "reading_told_by_order": Weakness(
        Severity.FLAG, "the local time happened twice; the order of the lines told the two apart.", "Write UTC."
    ),
    "reading_suspect": Weakness(Severity.FLAG, "the historian says that it is suspect.", "See what the analyzer did."),
    "reading_failed": Weakness(Severity.FLAG, "the historian says that it failed.", "See what the analyzer did."),
    "reading_out_of_order": Weakness(Severity.NOTE, "it stands in the file after a later reading of its tag."),
}


def arriving_outcomes(connection: duckdb.DuckDBPyConnection, layout: ReadingsLayout) -> pa.Table:
    """Rows of ``reading_outcome``, without the load: every cell of the file stands in exactly one of them."""
    rows: list[tuple[object, ...]] = []
    for column, tag, code, detail, cells, first, last, lines, example in _rows(connection, "unread_in_all"):
        fate = FATES[str(code)]
        said = layout.set_aside[int(str(detail))].reason if code == "rule" else str(detail)
        reason = fate.reason.format(detail=said)
        rows.append((column, tag, fate.outcome.value, reason, fate.remedy, cells, first, last, lines, example))
    rows += [
        (column, tag, outcome, "", "", cells, first, last, [], "")
        for column, tag, outcome, cells, first, last in _rows(connection, "settled_in_all")
    ]
    return _table(rows, _OUTCOME_COLUMNS)


def arriving_findings(connection: duckdb.DuckDBPyConnection) -> pa.Table:
    """Rows of ``reading_finding``, without the load."""
    rows = []
    for tag, rule_id, cells, first, last in _rows(connection, "found_in_all"):
        weakness = WEAKNESSES[str(rule_id)]
        rows.append((tag, rule_id, weakness.severity.value, weakness.message, weakness.remedy, cells, first, last))
    return _table(rows, _FINDING_COLUMNS)


def _rows(connection: duckdb.DuckDBPyConnection, name: str) -> list[tuple[object, ...]]:
    return connection.execute(statement(name)).fetchall()


def _table(rows: Sequence[Sequence[object]], columns: dict[str, pa.DataType]) -> pa.Table:
    cells = list(zip(*rows, strict=True)) if rows else [()] * len(columns)
    return pa.table({name: pa.array(cell, kind) for (name, kind), cell in zip(columns.items(), cells, strict=True)})
