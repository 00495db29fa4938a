"""Cells on their way into the store, made without a file: rows that differ by what a test says, keyed as always.

Everything between a file and its cells is left out; what makes two cells the same result, and what the store makes of
them, is the product's own.
"""

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from importlib import resources

import duckdb

from pipeline.store.settling import Arrival

COLLECTED = datetime(2026, 5, 4, 15, 15, tzinfo=UTC)
ROW: dict[str, object] = {
    "column_name": "value", "laboratory": "Tarnwick", "laboratory_sample_text": "L-1", "sample_point": "FW",
    "analyte": "Iron", "unit": "mg/L", "value_kind": "number", "value_text": "1", "value": 1, "status": "final",
    "sample_type": "sample, routine", "purpose": "compliance", "collected_at": COLLECTED,
    "collected_on": date(2026, 5, 4),
}  # fmt: skip
HELD = "unreadable"


class ArrivalMaker:
    """Makes arrivals in one scratch database, which is quicker than one a time."""

    def __init__(self) -> None:
        self._scratch = duckdb.connect(":memory:")
        self._scratch.execute("SET TimeZone = 'UTC'")
        for name in ("staged_cell", "staged_finding"):
            self._scratch.execute(_ingest_sql(name))
        columns = self._scratch.execute("DESCRIBE staged_cell").fetchall()
        nothing = {"VARCHAR": "", "BOOLEAN": False}
        self._blank = {
            name: nothing[kind] for name, kind, can_be_null, *_ in columns if can_be_null == "NO" and kind in nothing
        }

    def __call__(self, rows: Iterable[Mapping[str, object]]) -> Arrival:
        """The arrival of rows, each :data:`ROW` changed as it says; ``held`` is the reason why one cannot be read."""
        self._scratch.execute("DELETE FROM staged_cell; DELETE FROM staged_finding")
        for cell_id, row in enumerate(rows):
            cell = {**self._blank, **ROW, "cell_id": cell_id, "line": cell_id + 2, **row}
            held = cell.pop("held", "")
            self._scratch.execute(
                f"INSERT INTO staged_cell ({', '.join(cell)}) VALUES ({', '.join('?' * len(cell))})",
                list(cell.values()),
            )
            if held:
                values = [cell_id, HELD, "hold", True, held, "Write it again."]
                self._scratch.execute("INSERT INTO staged_finding VALUES (?, ?, ?, ?, ?, ?)", values)
        for name in ("keyed_cell", "equal_keys", "cell_state"):
            self._scratch.execute(_ingest_sql(name))
        cells = self._scratch.sql(_ingest_sql("arriving_cell")).to_arrow_table()
        return Arrival(cells, self._scratch.sql("FROM staged_finding").to_arrow_table())


def _ingest_sql(name: str) -> str:
    return resources.files("pipeline.ingest").joinpath("sql", f"{name}.sql").read_text("utf-8")
