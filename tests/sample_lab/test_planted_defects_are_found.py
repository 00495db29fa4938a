"""The product finds every planted defect by its rule, and finds nothing to hold in the lines without one.

All months are read as one delivery, so that the rules run once over two years of cells.
"""

import csv
import io
from collections import defaultdict
from datetime import UTC, datetime

import duckdb
import pytest

from checks.run import run_checks
from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.ingest.staging import stage
from pipeline.plant.plant import Plant
from sample_lab import PlantedDefect, planted_defects
from sample_lab.generator.rows import COLUMNS
from sample_lab.records import Record

LOADED_AT = datetime(2026, 12, 1, tzinfo=UTC)
FOUND_BY_RULE = [defect for defect in planted_defects() if defect.rule_id]
SEVERITY = {"held": "hold", "flagged": "flag", "note": "note"}

Place = tuple[str, int]
Findings = dict[Place, dict[str, str]]


def _one_delivery(records: list[Record]) -> tuple[bytes, dict[int, Place]]:
    """Every record in one file, and where each of its lines came from."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    origin, line = {}, 2
    for record in records:
        cells = [record[column] for column in COLUMNS]
        writer.writerow(cells)
        origin[line] = (record.file, record.line)
        line += 1 + sum(cell.count("\n") for cell in cells)
    return text.getvalue().encode(), origin


@pytest.fixture(scope="module")
def findings(records: list[Record], sample_plant: Plant) -> Findings:
    """Severity by rule for every line with a finding."""
    content, origin = _one_delivery(records)
    layout = shipped_layouts()["narrow.toml"]
    found: Findings = defaultdict(dict)
    with duckdb.connect() as connection:
        stage(connection, read_cells(decode_source("two_years.csv", content), layout).table, layout, sample_plant)
        run_checks(connection, sample_plant, loaded_at=LOADED_AT)
        query = "SELECT line, rule_id, severity FROM staged_finding JOIN staged_cell USING (cell_id)"
        for line, rule_id, severity in connection.execute(query).fetchall():
            found[origin[line]][rule_id] = severity
    return found


@pytest.mark.parametrize("defect", FOUND_BY_RULE, ids=lambda defect: f"{defect.kind}-{defect.file}-{defect.line}")
def test_defect_is_found_by_its_rule(defect: PlantedDefect, findings: Findings) -> None:
    assert defect.line is not None
    assert findings[defect.file, defect.line].get(defect.rule_id) == SEVERITY[defect.expected]


@pytest.mark.parametrize("defect", FOUND_BY_RULE, ids=lambda defect: f"{defect.kind}-{defect.file}-{defect.line}")
def test_only_a_held_defect_is_held(defect: PlantedDefect, findings: Findings) -> None:
    assert defect.line is not None
    held = "hold" in findings[defect.file, defect.line].values()
    assert held == (defect.expected == "held")


def test_no_other_line_is_held(findings: Findings) -> None:
    spoiled = {(defect.file, defect.line) for defect in planted_defects()}
    held = {place for place, rules in findings.items() if "hold" in rules.values()}
    assert held <= spoiled


def test_other_lines_carry_only_the_laboratorys_own_estimates(findings: Findings) -> None:
    spoiled = {(defect.file, defect.line) for defect in planted_defects()}
    rules = {rule for place, by_rule in findings.items() if place not in spoiled for rule in by_rule}
    assert rules == {"result_estimated"}


def test_what_only_looks_wrong_is_accepted(findings: Findings) -> None:
    accepted = [defect for defect in planted_defects() if defect.expected == "accepted"]
    assert len(accepted) == 4
    for defect in accepted:
        assert defect.line is not None
        assert set(findings.get((defect.file, defect.line), {})) <= {"result_estimated"}
