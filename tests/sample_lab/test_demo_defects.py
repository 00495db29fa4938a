"""Every planted defect of the sample plant, end to end: three years of files through the real loaders and checks.

The list of defects was written with the files, before and beside the product. Each one has to be met at its file, line
and column by its own rule and outcome, and nothing else may be held, repeated or flagged.
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

Place = tuple[str, int, str]

DEFECTS = [defect for defect in planted_defects() if defect.line is not None]
SENT_AGAIN = next(defect.file for defect in planted_defects() if defect.line is None)
OUTCOME = {
    "held": "held", "flagged": "new", "note": "new", "accepted": "new", "duplicate": "duplicate",
    "revision": "revision",
}  # fmt: skip
SEVERITY = {"held": "hold", "flagged": "flag", "note": "note"}
FOUND_BY_THE_LOAD_ITSELF = {
    "equal keys, different content": "equal_keys_in_file",
    "equal rows but for one value": "equal_keys_in_file",
    "one sample, two times": "equal_keys_in_file",
}
KINDS = sorted({(defect.file, defect.kind) for defect in DEFECTS})


def _place(defect: PlantedDefect) -> Place:
    assert defect.line is not None
    return defect.file, defect.line, defect.column_name


def _of(file: str, kind: str) -> list[PlantedDefect]:
    return [defect for defect in DEFECTS if (defect.file, defect.kind) == (file, kind)]


@pytest.fixture(scope="module")
def connection(demo_store: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with Store(demo_store).read() as reading:
        yield reading


@pytest.fixture(scope="module")
def outcomes(connection: duckdb.DuckDBPyConnection) -> dict[Place, str]:
    """Outcome of every cell of laboratories, crew and custody sheets, by file, line and column."""
    query = """
        SELECT file_name, line, column_name, outcome
        FROM cell_outcome
        JOIN load USING (load_id)
        QUALIFY row_number() OVER (PARTITION BY load_id, cell_id ORDER BY cell_outcome.event_id DESC) = 1
    """
    return {(file, line, column): outcome for file, line, column, outcome in connection.execute(query).fetchall()}


@pytest.fixture(scope="module")
def findings(connection: duckdb.DuckDBPyConnection) -> dict[Place, set[tuple[str, str]]]:
    """Rule and severity of every finding by file, line and column."""
    query = """
        SELECT DISTINCT file_name, line, column_name, rule_id, severity
        FROM finding
        JOIN cell_outcome USING (load_id, cell_id)
        JOIN load USING (load_id)
    """
    found: dict[Place, set[tuple[str, str]]] = {}
    for file, line, column, rule_id, severity in connection.execute(query).fetchall():
        found.setdefault((file, line, column), set()).add((rule_id, severity))
    return found


@pytest.mark.parametrize(("file", "kind"), KINDS)
def test_defects_have_their_outcome(file: str, kind: str, outcomes: dict[Place, str]) -> None:
    for defect in _of(file, kind):
        assert outcomes[_place(defect)] == OUTCOME[defect.expected], defect


@pytest.mark.parametrize(("file", "kind"), KINDS)
def test_defects_are_caught_by_their_rule(file: str, kind: str, findings: dict[Place, set[tuple[str, str]]]) -> None:
    for defect in _of(file, kind):
        rule = defect.rule_id or FOUND_BY_THE_LOAD_ITSELF.get(kind, "")
        if defect.expected in SEVERITY:
            assert (rule, SEVERITY[defect.expected]) in findings.get(_place(defect), set()), defect


@pytest.mark.parametrize("outcome", ["held", "revision", "duplicate"])
def test_nothing_but_the_listed_defects_is(outcome: str, outcomes: dict[Place, str]) -> None:
    found = {place for place, one in outcomes.items() if one == outcome and place[0] != SENT_AGAIN}
    assert found == {_place(defect) for defect in DEFECTS if OUTCOME[defect.expected] == outcome}


def test_nothing_but_the_listed_defects_is_flagged(findings: dict[Place, set[tuple[str, str]]]) -> None:
    # The laboratory's own estimates (J) are flagged as such; they are ordinary results.
    spoiled = {_place(defect) for defect in DEFECTS}
    elsewhere = {rule for place, said in findings.items() if place not in spoiled for rule, _ in said}
    assert elsewhere == {"result_estimated"}


def test_what_only_looks_wrong_is_not_spoken_of(findings: dict[Place, set[tuple[str, str]]]) -> None:
    accepted = [defect for defect in DEFECTS if defect.expected == "accepted"]
    assert len({defect.kind for defect in accepted}) == 8
    assert {rule for defect in accepted for rule, _ in findings.get(_place(defect), ())} <= {"result_estimated"}


def test_the_file_sent_again_is_nothing_but_duplicates(outcomes: dict[Place, str]) -> None:
    first = SENT_AGAIN.replace("_sent_again", "")
    again = [outcome for (file, _, _), outcome in outcomes.items() if file == SENT_AGAIN]
    assert len(again) == sum(file == first for file, _, _ in outcomes)
    assert set(again) == {"duplicate"}


@pytest.mark.parametrize("kind", ["correction in a later file", "preliminary, then final"])
def test_a_corrected_number_is_in_force_and_the_first_one_is_kept(
    kind: str, connection: duckdb.DuckDBPyConnection
) -> None:
    (defect,) = [defect for defect in DEFECTS if (defect.kind, defect.expected) == (kind, "revision")]
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
    assert later == (defect.file, defect.line, True)


def test_a_partial_reissue_leaves_what_it_does_not_hold(connection: duckdb.DuckDBPyConnection) -> None:
    query = "SELECT count(*) FROM result_current JOIN load USING (load_id) WHERE file_name = ? AND revision = ?"
    counts = [
        connection.execute(query, [file, revision]).fetchall()
        for file, revision in (("fernholm_2026-04.csv", 0), ("fernholm_2026-04_rev1.csv", 1))
    ]
    assert counts == [[(209,)], [(30,)]]


def test_samples_that_were_exchanged_stand_at_their_own_points(connection: duckdb.DuckDBPyConnection) -> None:
    query = """
        SELECT DISTINCT sample_point, right(sample_text, 3)
        FROM result_current
        JOIN load USING (load_id)
        WHERE file_name = 'fernholm_2026-07_rev1.csv'
    """
    pairs = connection.execute(query).fetchall()
    assert len(pairs) == 8
    assert all(point == sample for point, sample in pairs)


@pytest.mark.parametrize("kind", ["rejected by the laboratory", "rejected in WQX"])
def test_a_rejected_number_is_stored_and_never_in_force(kind: str, connection: duckdb.DuckDBPyConnection) -> None:
    (defect,) = [defect for defect in DEFECTS if defect.kind == kind]
    query = """
        SELECT count(*), count(in_force.result_id)
        FROM result
        JOIN load USING (load_id)
        LEFT JOIN in_force USING (result_id)
        WHERE file_name = ? AND line = ? AND status = 'rejected'
    """
    assert connection.execute(query, [defect.file, defect.line]).fetchall() == [(1, 0)]


def test_no_cell_of_the_first_laboratory_is_lost(outcomes: dict[Place, str]) -> None:
    written = {(file.name, record.line, "value") for file in sample_files() for record in records_of(file)}
    assert {place for place in outcomes if place[0].startswith("tarnwick")} == written


def test_the_totals_of_three_years(outcomes: dict[Place, str]) -> None:
    total = Counter(outcomes.values())
    expected = Counter(OUTCOME[defect.expected] for defect in DEFECTS)
    sent_again = sum(file == SENT_AGAIN for file, _, _ in outcomes)
    assert total["held"] == expected["held"]
    assert total["revision"] == expected["revision"]
    assert total["duplicate"] == expected["duplicate"] + sent_again
    assert 28_000 < total["new"] < 40_000
