"""The suites as data: they survive Great Expectations, agree with the documentation, and name only what there is."""

import json
import re
from importlib.resources import files
from pathlib import Path

import pytest

from checks.expectations.suite import expectation_suite
from checks.rules import SUITES, read_rules, read_suite, suite_text
from pipeline.vocabulary import Severity

RULES = read_rules()
CHECKS_PAGE = Path(__file__).parents[2] / "docs" / "checks.md"
GREAT_EXPECTATIONS_WORD = {Severity.HOLD: "critical", Severity.FLAG: "warning", Severity.NOTE: "info"}


@pytest.mark.parametrize("suite", SUITES)
def test_a_suite_comes_back_from_great_expectations_as_it_was_written(suite):
    written = json.loads(suite_text(suite))
    returned = expectation_suite(suite_text(suite)).to_json_dict()
    for expectation in returned["expectations"]:
        del expectation["kwargs"]["unexpected_rows_query"]
    assert returned["expectations"] == written["expectations"]
    assert expectation_suite(json.dumps(returned)) == expectation_suite(suite_text(suite))


@pytest.mark.parametrize("suite", SUITES)
def test_severities_of_a_suite_are_those_of_great_expectations(suite):
    severities = [entry["severity"] for entry in json.loads(suite_text(suite))["expectations"]]
    assert severities == [GREAT_EXPECTATIONS_WORD[rule.severity] for rule in read_suite(suite)]


def test_rule_ids_are_unique():
    assert len({rule.rule_id for rule in RULES}) == len(RULES)


def test_only_a_flag_excludes_from_compliance():
    assert {rule.severity for rule in RULES if rule.excludes_from_compliance} == {Severity.FLAG}


def test_messages_and_remedies_are_sentences():
    for rule in RULES:
        assert rule.message.endswith((".", "}")), rule.rule_id
        assert rule.remedy.endswith("."), rule.rule_id


def test_every_statement_states_an_expectation():
    statements = {entry.name for entry in files("checks").joinpath("expectations", "sql").iterdir()}
    assert statements == {f"{rule.expectation}.sql" for rule in RULES}


def test_a_parameter_is_a_word_of_its_list():
    text = suite_text("timely").replace('"stop_step": "elution"', '"stop_step": "x\' OR true --"')
    with pytest.raises(ValueError, match="stop_step"):
        expectation_suite(text)


def documented_rules() -> dict[str, tuple[str, str]]:
    """Rule id, severity and whether it excludes from compliance, from the tables of the page."""
    rows = re.findall(r"^\| `(\w+)` \|[^|]+\| (\w+)([^|]*) \|", CHECKS_PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    return {rule_id: (severity, excludes.strip()) for rule_id, severity, excludes in rows}


def test_the_documentation_names_every_rule_with_its_severity():
    not_for_compliance = {False: "", True: ", not for compliance"}
    assert documented_rules() == {
        rule.rule_id: (rule.severity.value, not_for_compliance[rule.excludes_from_compliance]) for rule in RULES
    }
