"""The run as a whole: what is checked, how it is accounted for, and what a check that fails to run is."""

import subprocess
import sys

import pytest

from checks import run
from checks.errors import CheckError
from checks.rules import Rule


def test_a_clean_cell_passes_every_rule(load):
    load.add()
    report = load.check()
    assert load.findings() == []
    assert report.success
    assert {result.evaluated for result in report.results} == {1}


def test_an_empty_load_passes_every_rule(load):
    report = load.check()
    assert report.success
    assert {result.evaluated for result in report.results} == {0}


@pytest.mark.parametrize("left_out", [{"value_kind": "empty"}, {"set_aside": "another client's sample"}])
def test_empty_and_set_aside_cells_are_not_checked(load, left_out):
    load.add(sample_point=None, unit=None, **left_out)
    load.check()
    assert load.findings() == []


def test_a_cell_may_break_several_rules(load):
    load.add(sample_point=None, unit=None, unit_text="ug/kg")
    load.check()
    assert load.findings() == [(0, "sample_point_not_known"), (0, "unit_not_known")]


# Great Expectations shows no more than 200 failing rows; every one of them needs its finding.
def test_a_rule_that_a_thousand_cells_break_has_a_thousand_findings(load):
    load.add(sample_point=None)
    load.connection.execute(
        "INSERT INTO staged_cell SELECT staged_cell.* REPLACE (range AS cell_id) FROM staged_cell, range(1, 1000)"
    )
    report = load.check()
    (result,) = [result for result in report.results if result.rule.rule_id == "sample_point_not_known"]
    assert (result.failed, report.findings) == (1000, 1000)
    assert len({cell_id for cell_id, _ in load.findings()}) == 1000


def test_checking_again_replaces_the_findings(load):
    load.add(sample_point=None)
    load.check()
    load.check()
    assert load.findings() == [(0, "sample_point_not_known")]


def test_findings_of_the_loader_itself_are_left_alone(load):
    load.add()
    load.connection.execute("INSERT INTO staged_finding VALUES (0, 'equal_keys', 'hold', false, 'Twice.', 'Choose.')")
    load.check()
    assert load.findings() == [(0, "equal_keys")]


def test_a_finding_carries_severity_and_compliance_of_its_rule(load):
    load.add(qualifier_text="R")
    load.add(sample_point=None)
    load.check()
    marks = load.connection.execute("SELECT severity, excludes_from_compliance FROM staged_finding ORDER BY cell_id")
    assert marks.fetchall() == [("flag", True), ("hold", False)]


def test_a_message_quotes_the_cell(load):
    load.add(sample_point=None, point_text="Tap {3}'; DROP TABLE staged_cell")
    load.check()
    assert load.said("sample_point_not_known") == 'Sample point "Tap {3}\'; DROP TABLE staged_cell" is not known.'


def test_an_impossible_value_says_what_is_possible(load):
    load.add(value_text="12000000", value=12_000_000, canonical_value=12_000_000)
    load.check()
    assert load.said("value_not_possible") == (
        "Arsenic 12000000 ug/L is not possible: at least 0 and at most 10000000 ug/L."
    )


# 40 CFR 141.61(c): ethylene dibromide 0.00005 mg/L. A non-detect at 0.0001 mg/L says nothing about it.
@pytest.mark.parametrize(("level", "findings"), [("0.1", [(0, "limit_not_provable")]), ("0.05", [])])
def test_a_non_detect_has_to_lie_at_or_below_the_limit(load, level, findings):
    load.must_prove("Ethylene dibromide (EDB)", "0.05", "0.00005 mg/L")
    about = {"analyte": "Ethylene dibromide (EDB)", "cas_text": "106-93-4", "fraction": ""}
    load.add(**about, value_text=f"<{level}", value_kind="below", value=level, canonical_value=level)
    load.check()
    assert load.findings() == findings


# The clean cell is collected on 4 May 2026; both dates of a limit are inclusive.
@pytest.mark.parametrize(
    ("since", "until", "found"),
    [("2026-05-05", None, False), (None, "2026-05-03", False), ("2026-05-04", "2026-05-04", True)],
)
def test_a_limit_has_to_be_provable_only_while_it_is_in_force(load, since, until, found):
    load.must_prove("Arsenic", "10", "10 ug/L", since, until)
    load.add(value_text="<20", value_kind="below", value=20, canonical_value=20)
    load.check()
    assert bool(load.findings()) is found


def test_of_several_limits_the_lowest_is_named(load):
    for value, text in (("8", "permit"), ("5", "own goal"), ("10", "primary")):
        load.must_prove("Arsenic", value, text)
    load.add(value_text="ND", value_kind="below", value=20, canonical_value=20)
    load.check()
    assert load.said("limit_not_provable").endswith("too high to show that the limit is kept (own goal).")


def test_times_are_compared_with_the_moment_of_loading_only_where_it_is_given(load):
    load.add(collected_on="2999-01-01", collected_at=None, analyzed_on="2999-01-02", analyzed_at=None)
    load.check()
    assert "time_in_the_future" not in {rule_id for _, rule_id in load.findings()}


def test_a_rule_that_cannot_be_evaluated_is_an_error_and_no_finding(load):
    load.add()
    load.connection.execute("DROP TABLE limit_to_prove")
    with pytest.raises(CheckError, match=r"Rule limit_not_provable could not be evaluated: .*limit_to_prove"):
        load.check()


def test_a_count_that_differs_from_the_findings_is_an_error(load, monkeypatch):
    def writes_nothing(connection: object, rule: Rule, statement: str) -> int:  # noqa: ARG001
        return 0

    monkeypatch.setattr(run, "write_findings", writes_nothing)
    load.add(sample_point=None)
    with pytest.raises(CheckError, match="sample_point_not_known counted 1 failing cells, but 0"):
        load.check()


def test_the_load_keeps_its_connection(load):
    load.add()
    load.check()
    assert load.connection.execute("SELECT count(*) FROM staged_cell").fetchone() == (1,)


# Commands print data on standard output; a library that talks there would break them.
def test_a_run_says_nothing_on_the_streams(load, capfd):
    load.add(sample_point=None)
    load.check()
    assert capfd.readouterr() == ("", "")


def test_great_expectations_is_imported_with_the_first_run_and_not_before():
    program = "import checks.run, checks.rules, sys; print('great_expectations' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
