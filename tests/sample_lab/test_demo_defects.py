"""Every planted defect of the sample plant, end to end: two years of files through the real loader, with every check.

The list of defects was written with the files, before and beside the product. Each one has to be met at its file and
line by its own rule and outcome, and nothing else may be held.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from pipeline.store.connection import Store
from sample_lab import PlantedDefect, planted_defects
from sample_lab.generator.files import sample_files
from sample_lab.records import records_of

Place = tuple[str, int]

DEFECTS = [defect for defect in planted_defects() if defect.line is not None]
SENT_AGAIN = next(defect.file for defect in planted_defects() if defect.line is None)
OUTCOME = {
    "held": "held", "flagged": "new", "note": "new", "accepted": "new", "duplicate": "duplicate",
    "revision": "revision",
}  # fmt: skip
SEVERITY = {"held": "hold", "flagged": "flag", "note": "note"}
FOUND_BY_THE_LOAD_ITSELF = {"equal keys, different content": "equal_keys_in_file"}


def _place(defect: PlantedDefect) -> Place:
    assert defect.line is not None
    return defect.file, defect.line


def _rule(defect: PlantedDefect) -> str:
    return defect.rule_id or FOUND_BY_THE_LOAD_ITSELF.get(defect.kind, "")


def _name(defect: PlantedDefect) -> str:
    return f"{defect.kind}-{defect.file}-{defect.line}"


@pytest.fixture(scope="module")
def connection(demo_store: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with Store(demo_store).read() as reading:
        yield reading


@pytest.fixture(scope="module")
def outcomes(connection: duckdb.DuckDBPyConnection) -> dict[Place, str]:
    """Outcome of every cell by file and line."""
    query = "SELECT file_name, line, outcome FROM current_outcome JOIN load USING (load_id)"
    return {(file, line): outcome for file, line, outcome in connection.execute(query).fetchall()}


@pytest.fixture(scope="module")
def findings(connection: duckdb.DuckDBPyConnection) -> dict[Place, set[tuple[str, str]]]:
    """Rule and severity of every finding by file and line."""
    query = """
        SELECT file_name, line, rule_id, severity
        FROM current_finding
        JOIN current_outcome USING (load_id, cell_id)
        JOIN load USING (load_id)
    """
    found: dict[Place, set[tuple[str, str]]] = {}
    for file, line, rule_id, severity in connection.execute(query).fetchall():
        found.setdefault((file, line), set()).add((rule_id, severity))
    return found


@pytest.mark.parametrize("defect", DEFECTS, ids=_name)
def test_defect_has_its_outcome(defect: PlantedDefect, outcomes: dict[Place, str]) -> None:
    assert outcomes[_place(defect)] == OUTCOME[defect.expected]


@pytest.mark.parametrize("defect", [defect for defect in DEFECTS if defect.expected in SEVERITY], ids=_name)
def test_defect_is_caught_by_its_rule(defect: PlantedDefect, findings: dict[Place, set[tuple[str, str]]]) -> None:
    assert (_rule(defect), SEVERITY[defect.expected]) in findings[_place(defect)]


def test_nothing_but_the_listed_defects_is_held(outcomes: dict[Place, str]) -> None:
    held = {place for place, outcome in outcomes.items() if outcome == "held"}
    assert held == {_place(defect) for defect in DEFECTS if defect.expected == "held"}


def test_nothing_but_the_listed_defects_is_flagged(findings: dict[Place, set[tuple[str, str]]]) -> None:
    # The laboratory's own estimates (J) are flagged as such; they are ordinary results.
    spoiled = {_place(defect) for defect in DEFECTS}
    elsewhere = {rule for place, said in findings.items() if place not in spoiled for rule, _ in said}
    assert elsewhere == {"result_estimated"}


def test_what_only_looks_wrong_is_not_spoken_of(findings: dict[Place, set[tuple[str, str]]]) -> None:
    accepted = [defect for defect in DEFECTS if defect.expected == "accepted"]
    assert len(accepted) == 4
    assert {rule for defect in accepted for rule, _ in findings.get(_place(defect), ())} <= {"result_estimated"}


def test_the_file_sent_again_is_nothing_but_duplicates(outcomes: dict[Place, str]) -> None:
    first = SENT_AGAIN.replace("_sent_again", "")
    again = [outcome for (file, _), outcome in outcomes.items() if file == SENT_AGAIN]
    assert len(again) == sum(file == first for file, _ in outcomes)
    assert set(again) == {"duplicate"}


def test_a_corrected_number_is_in_force_and_the_first_one_is_kept(connection: duckdb.DuckDBPyConnection) -> None:
    corrected = [defect for defect in DEFECTS if defect.expected == "revision"]
    assert len(corrected) == 2
    for defect in corrected:
        query = """
            SELECT file_name, line, to_event IS NULL
            FROM result
            JOIN result_key USING (key_id)
            JOIN load USING (load_id)
            JOIN in_force USING (result_id)
            WHERE result_identifier = ?
            ORDER BY load_id
        """
        earlier, later = connection.execute(query, [defect.result_id]).fetchall()
        assert earlier[2] is False
        assert later == (*_place(defect), True)


def test_a_rejected_number_is_stored_and_never_in_force(connection: duckdb.DuckDBPyConnection) -> None:
    (defect,) = [defect for defect in DEFECTS if defect.rule_id == "result_rejected"]
    query = """
        SELECT count(*), count(in_force.result_id)
        FROM result
        JOIN load USING (load_id)
        LEFT JOIN in_force USING (result_id)
        WHERE file_name = ? AND line = ? AND status = 'rejected'
    """
    assert connection.execute(query, list(_place(defect))).fetchall() == [(1, 0)]


def test_no_cell_of_any_file_is_lost(outcomes: dict[Place, str]) -> None:
    written = {(file.name, record.line) for file in sample_files() for record in records_of(file)}
    assert outcomes.keys() == written


def test_the_totals_of_two_years(outcomes: dict[Place, str], connection: duckdb.DuckDBPyConnection) -> None:
    total = Counter(outcomes.values())
    expected = Counter(OUTCOME[defect.expected] for defect in DEFECTS)
    sent_again = sum(file == SENT_AGAIN for file, _ in outcomes)
    assert total["held"] == expected["held"]
    assert total["revision"] == expected["revision"]
    assert total["duplicate"] == expected["duplicate"] + sent_again
    assert total["new"] == len(outcomes) - total["held"] - total["revision"] - total["duplicate"]
    rejected = sum(defect.rule_id == "result_rejected" for defect in DEFECTS)
    ((in_force,),) = connection.execute("SELECT count(*) FROM result_current").fetchall()
    assert in_force == total["new"] - rejected
    _print_table(total)


def _print_table(total: Counter[str]) -> None:
    print("\noutcome of every cell:", dict(total))
    for (expected, kind), count in sorted(Counter((defect.expected, defect.kind) for defect in DEFECTS).items()):
        print(f"  {expected:<10} {count:>2}  {kind}")
