"""What came more than once is accounted for: loads of the months with repeats, twins, reissues and a second sending.

The rules are left out; they have their own test.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import LoadReport, Occasion, load_file
from pipeline.plant.plant import Plant
from pipeline.store.connection import Store
from sample_lab import planted_defects
from sample_lab.generator.files import sample_files

MONTHS = ("2025-06", "2025-06_sent_again", "2025-09", "2025-10", "2026-02", "2026-03")
OCCASION = Occasion(datetime(2026, 12, 1, tzinfo=UTC), "test")


def _no_checks(connection: duckdb.DuckDBPyConnection, plant: Plant, *, loaded_at: datetime) -> None:
    """Leave every cell without a finding."""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    made = Store(Path(tmp_path_factory.mktemp("store")))
    made.create()
    return made


@pytest.fixture(scope="module")
def reports(store: Store, sample_plant: Plant) -> dict[str, LoadReport]:
    content = {file.name: file.content for file in sample_files()}
    by_month = {}
    for month in MONTHS:
        source = decode_source(f"tarnwick_{month}.csv", content[f"tarnwick_{month}.csv"])
        layouts = shipped_layouts().values()
        by_month[month] = load_file(store, sample_plant, source, layouts, _no_checks, OCCASION)
    return by_month


@pytest.fixture
def connection(store: Store, reports: dict[str, LoadReport]) -> Iterator[duckdb.DuckDBPyConnection]:
    assert reports
    with store.read() as reading:
        yield reading


def _outcome(connection: duckdb.DuckDBPyConnection, file: str, line: int | None) -> str:
    query = "SELECT outcome FROM current_outcome JOIN load USING (load_id) WHERE file_name = ? AND line = ?"
    (row,) = connection.execute(query, [file, line]).fetchall()
    return str(row[0])


def test_the_file_sent_again_brings_nothing_new(reports: dict[str, LoadReport]) -> None:
    first, again = (reports[month].account for month in MONTHS[:2])
    assert (again.duplicate, again.new, again.revision, again.held) == (first.cells, 0, 0, 0)


def test_every_line_of_a_month_becomes_one_cell(reports: dict[str, LoadReport]) -> None:
    for report in reports.values():
        assert report.account.cells == report.lines.data


@pytest.mark.parametrize("kind", ["the same line twice", "correction in a later file", "equal keys, different content"])
def test_outcome_is_the_expected_one(kind: str, connection: duckdb.DuckDBPyConnection) -> None:
    defects = [defect for defect in planted_defects() if defect.kind == kind]
    assert defects
    for defect in defects:
        assert _outcome(connection, defect.file, defect.line) == defect.expected


def test_the_final_number_is_in_force(connection: duckdb.DuckDBPyConnection) -> None:
    (defect,) = [d for d in planted_defects() if (d.kind, d.expected) == ("preliminary, then final", "revision")]
    query = "SELECT line, status FROM result_current JOIN load USING (load_id) WHERE file_name = ? AND line = ?"
    assert connection.execute(query, [defect.file, defect.line]).fetchall() == [(defect.line, "final")]
