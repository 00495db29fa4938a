"""Writes the findings of a failing rule, each message made from the cell's own texts."""

from string import Formatter

import duckdb

from checks.errors import CheckError
from checks.rules import Rule
from checks.scratch import CHECKED_CELLS


def write_findings(connection: duckdb.DuckDBPyConnection, rule: Rule, statement: str) -> int:
    """Insert one finding for each cell that ``statement`` selects, and say how many.

    ``{column}`` in the rule's message and remedy is taken from the evidence that the statement selects beside
    ``cell_id``, else from the cell. Sentences are bound; only checked column names become part of the SQL.
    """
    evidence = connection.sql(statement).columns
    cell = connection.sql(f"FROM {CHECKED_CELLS}").columns
    message, message_values = _sentence(rule, rule.message, evidence, cell)
    remedy, remedy_values = _sentence(rule, rule.remedy, evidence, cell)
    inserted = connection.execute(
        f"INSERT INTO staged_finding SELECT found.cell_id, ?, ?, ?, {message}, {remedy} "
        f"FROM ({statement}) AS found JOIN {CHECKED_CELLS} AS cell ON cell.cell_id = found.cell_id",
        [rule.rule_id, rule.severity.value, rule.excludes_from_compliance, *message_values, *remedy_values],
    ).fetchone()
    return int(inserted[0]) if inserted else 0


def _sentence(rule: Rule, template: str, evidence: list[str], cell: list[str]) -> tuple[str, list[str]]:
    """The SQL expression of a template, and the texts that are bound to its question marks."""
    parts: list[str] = []
    texts: list[str] = []
    for literal, column, _, _ in Formatter().parse(template):
        if literal:
            parts.append("?::VARCHAR")
            texts.append(literal)
        if column:
            parts.append(_qualified(rule, column, evidence, cell))
    return f"concat({', '.join(parts)})", texts


def _qualified(rule: Rule, column: str, evidence: list[str], cell: list[str]) -> str:
    if column in evidence:
        return f'found."{column}"'
    if column in cell:
        return f'cell."{column}"'
    raise CheckError(
        f"The message of rule {rule.rule_id} names {column}, which is neither evidence nor a column of a cell.",
        "This is a fault of the program: report it.",
    )
