"""The load's own scratch database: cells as written become cells as read, each way of writing decided once.

A laboratory file repeats itself: a few hundred spellings of names, units, times and values stand for thousands of
cells. What repeats is therefore taken apart from what is a cell's own (``written_cell.sql``), read once, and put
together again in the view ``staged_cell``; the columns of the view are those of ``staged_cell.sql``.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

import duckdb
import pyarrow as pa

from pipeline.errors import AccountError
from pipeline.ingest.file_layout import folded
from pipeline.ingest.identity import UnitRule
from pipeline.ingest.layout import Layout
from pipeline.ingest.spelling import DECIMAL, INSTANT, run, spell
from pipeline.ingest.staged_plant import stage_plant
from pipeline.ingest.statements import read_statements
from pipeline.ingest.stored_value import to_stored
from pipeline.ingest.time_text import read_time
from pipeline.ingest.value_text import ValueReading, read_number, read_value
from pipeline.plant.plant import Plant
from pipeline.vocabulary import ValueKind

_UNIT_FREE = (ValueKind.PRESENT, ValueKind.ABSENT, ValueKind.TOO_NUMEROUS, ValueKind.NOT_ANALYZED)


def stage(
    connection: duckdb.DuckDBPyConnection, cells: pa.Table | Iterable[pa.Table], layout: Layout, plant: Plant
) -> None:
    """Read every cell of a file into ``staged_cell``, and put beside it what the checks need to know of the plant.

    Parameters
    ----------
    connection
        The load's scratch database; ``staged_cell``, ``staged_finding`` and the plant's tables are made anew.
    cells
        Cells as written, from :func:`pipeline.ingest.cells.read_cells`, at once or part by part.

    Raises
    ------
    AccountError
        When a cell is lost on the way: a fault of the program, never of the data.
    """
    connection.execute("SET TimeZone = 'UTC'")
    run(connection, "staged_finding")
    _keep_written(connection, [cells] if isinstance(cells, pa.Table) else cells)
    by_day = plant.names.has_dated_aliases
    _read_times(connection, layout, plant)
    _read_numbers(connection, layout)
    run(connection, "said_value", by_day=by_day)
    _read_values(connection, layout)
    read_statements(connection, layout, plant)
    run(connection, "stated_value")
    _convert_to_canonical(connection)
    for name in ("read_cell", "staged_cell_of_parts"):
        run(connection, name, **({"by_day": by_day} if name == "read_cell" else {}))
    _require_every_cell(connection)
    stage_plant(connection, plant)


def _keep_written(connection: duckdb.DuckDBPyConnection, parts: Iterable[pa.Table]) -> None:
    run(connection, "written_cell")
    for part in parts:
        connection.register("delivered_cell", part)
        run(connection, "add_wordings")
        run(connection, "add_written_cells")
        connection.unregister("delivered_cell")


def _read_values(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
    not_detected = {folded(mark) for mark in layout.words.not_detected}
    missing = {folded(mark) for mark in layout.words.missing}

    def read(value: str, condition: str, qualifier: str) -> tuple[object, ...]:
        marks = {folded(mark) for mark in qualifier.replace(",", ";").split(";")}
        reading = read_value(
            "" if folded(value) in missing else value,
            condition=layout.words.condition.get(folded(condition)),
            condition_text=condition,
            says_not_detected=bool(marks & not_detected),
            style=layout.numbers,
        )
        kind = reading.kind or "empty"
        return (
            kind,
            reading.value,
            reading.at_detection_limit,
            reading.estimated,
            reading.problem,
            _unit_rule(reading),
        )

    run(connection, "written_value")
    spell(
        connection,
        "value_spelling",
        ("value_text", "condition_text", "qualifier_text"),
        read,
        {
            "value_kind": pa.string(), "value": DECIMAL, "at_detection_limit": pa.bool_(), "estimated": pa.bool_(),
            "value_problem": pa.string(), "unit_rule": pa.string(),
        },
        source="written_value",
    )  # fmt: skip


def _unit_rule(reading: ValueReading) -> UnitRule:
    if reading.kind in _UNIT_FREE:
        return UnitRule.NONE
    # What was not seen has no number of its own: the unit of its limit speaks for both.
    only_a_limit = reading.kind in (ValueKind.BELOW, ValueKind.ABOVE) and reading.value is None
    return UnitRule.OF_ITS_LIMIT if only_a_limit else UnitRule.OWN


def _read_numbers(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
    run(connection, "written_numbers")
    spell(
        connection,
        "number_spelling",
        ("text",),
        lambda text: read_number(text, layout.numbers),
        {"number": DECIMAL, "problem": pa.string()},
        source="written_number",
    )


def _read_times(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    def read(text: str) -> tuple[object, ...]:
        reading = read_time(text, plant.zone, layout.times)
        return reading.instant, reading.local_date, reading.problem, reading.doubt

    run(connection, "written_times")
    spell(
        connection,
        "time_spelling",
        ("text",),
        read,
        {"instant": INSTANT, "local_date": pa.date32(), "problem": pa.string(), "doubt": pa.string()},
        source="written_time",
    )


def _convert_to_canonical(connection: duckdb.DuckDBPyConnection) -> None:
    def convert(value: Decimal, factor: str, addend: str) -> tuple[object, ...]:
        return (to_stored(Fraction(value) * Fraction(factor) + Fraction(addend)),)

    run(connection, "values_to_convert")
    spell(
        connection,
        "converted_value",
        ("value", "factor", "addend"),
        convert,
        {"converted": DECIMAL},
        source="value_to_convert",
    )
    run(connection, "read_value")


def _require_every_cell(connection: duckdb.DuckDBPyConnection) -> None:
    counts = connection.execute(
        "SELECT (SELECT count(*) FROM written_cell), count(*), count(DISTINCT cell_id) FROM staged_cell"
    ).fetchone()
    if counts is None or len(set(counts)) > 1:
        raise AccountError(
            f"of the cells as written, in number, not each one was read once: {counts}.",
            "Nothing was stored. This is a fault of barrierbook: please report it with the file.",
        )
