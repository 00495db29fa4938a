"""The rules of the suites as data: read without Great Expectations, so that a page can list them at once."""

import json
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from pipeline.vocabulary import Severity

# In the order in which a person asks: can it be read, what is it, can it be true, was it in time, is it good enough.
SUITES = ("readable", "identified", "possible", "timely", "sensitive", "qualified")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it expects, what a failure does to the cell, and what a person is told.

    Attributes
    ----------
    rule_id
        Permanent name, kept with every finding.
    expectation
        Type name of the expectation that states the rule.
    parameters
        What the expectation is given, beside the cells.
    excludes_from_compliance
        Whether a failing result may still be looked at, but not be used for a compliance statistic.
    message, remedy
        Sentences with ``{column}`` where the cell's own text or the rule's evidence belongs.
    """

    rule_id: str
    suite: str
    expectation: str
    severity: Severity
    excludes_from_compliance: bool
    message: str
    remedy: str
    parameters: dict[str, Any] = field(default_factory=dict)


def suite_text(suite: str) -> str:
    """The suite as shipped: JSON in the form in which Great Expectations writes one."""
    return files("checks").joinpath("suites", f"{suite}.json").read_text(encoding="utf-8")


def read_suite(suite: str) -> tuple[Rule, ...]:
    """The rules of one suite, in the order of its file."""
    return tuple(_rule(suite, entry) for entry in json.loads(suite_text(suite))["expectations"])


def read_rules() -> tuple[Rule, ...]:
    """Every rule of every suite.

    Examples
    --------
    >>> {rule.severity.value for rule in read_rules()} == {"hold", "flag", "note"}
    True
    """
    return tuple(rule for suite in SUITES for rule in read_suite(suite))


def _rule(suite: str, entry: dict[str, Any]) -> Rule:
    meta = entry["meta"]
    return Rule(
        rule_id=meta["rule_id"],
        suite=suite,
        expectation=entry["type"],
        severity=Severity(meta["severity"]),
        excludes_from_compliance=meta["excludes_from_compliance"],
        message=meta["message"],
        remedy=meta["remedy"],
        parameters=dict(entry["kwargs"]),
    )
