"""The only code that runs Great Expectations: every suite, on the load's own scratch database.

Great Expectations counts the failing cells of each rule; the findings are then written with the same statement, so that
the count and the findings cannot differ. It is imported on the first run: that takes about two seconds.
"""

from datetime import datetime
from typing import Any

import duckdb

from checks import buffered_duckdb
from checks.errors import CheckError
from checks.findings import write_findings
from checks.holding_times import stage_holding_times
from checks.report import CheckReport, RuleResult
from checks.rules import SUITES, Rule, read_rules, read_suite, suite_text
from checks.scratch import CHECKED_CELLS, prepare
from pipeline.plant.plant import Plant


def run_checks(
    connection: duckdb.DuckDBPyConnection, plant: Plant, *, loaded_at: datetime | None = None
) -> CheckReport:
    """Check every staged cell that is neither empty nor set aside, and write what is found.

    Parameters
    ----------
    connection
        The load's scratch database, with ``staged_cell``, ``plant_analyte``, ``plant_point`` and ``limit_to_prove``
        filled and committed. Gets its findings in ``staged_finding``, one row a cell and failing rule; those of an
        earlier run are replaced.
    plant
        The plant folder: holding times, their policies, and the time zone in which a date is a day.
    loaded_at
        The moment of loading, with its zone; times after it are flagged. ``None``: no time is in the future.

    Returns
    -------
    CheckReport
        For each rule how many cells were checked and how many failed.

    Raises
    ------
    CheckError
        When a rule could not be evaluated, or counts and findings differ: a fault of the program, never bad data.
    """
    prepare(connection, plant, loaded_at)
    stage_holding_times(connection, plant)
    connection.execute("DELETE FROM staged_finding WHERE rule_id = ANY(?)", [[rule.rule_id for rule in read_rules()]])
    evaluated = _count(connection)
    batch, expectation_suite = _great_expectations(connection)
    results: list[RuleResult] = []
    for suite in SUITES:
        expectations = expectation_suite(suite_text(suite))
        counts = _failed_counts(batch.validate(expectations, result_format="BASIC"))
        statements = {entry.meta["rule_id"]: entry.unexpected_rows_query for entry in expectations.expectations}
        for rule in read_suite(suite):
            _account(connection, rule, statements[rule.rule_id], counts[rule.rule_id])
            results.append(RuleResult(rule, evaluated, counts[rule.rule_id]))
    return CheckReport(tuple(results))


def _count(connection: duckdb.DuckDBPyConnection) -> int:
    row = connection.execute(f"SELECT count(*) FROM {CHECKED_CELLS}").fetchone()
    return int(row[0]) if row else 0


def _great_expectations(connection: duckdb.DuckDBPyConnection) -> tuple[Any, Any]:
    """The checked cells as a batch, and the reader of our suites; both live in memory only."""
    import great_expectations
    from great_expectations.data_context.types.base import ProgressBarsConfig
    from sqlalchemy.pool import StaticPool

    from checks.expectations.suite import expectation_suite

    buffered_duckdb.register()
    context = great_expectations.get_context(mode="ephemeral")
    context.variables.progress_bars = ProgressBarsConfig(globally=False)
    source = context.data_sources.add_sql(
        name="load",
        connection_string=f"{buffered_duckdb.DIALECT}:///:memory:",
        kwargs={"creator": lambda: buffered_duckdb.borrowed(connection), "poolclass": StaticPool},
    )
    asset = source.add_table_asset(name="cells", table_name=CHECKED_CELLS)
    return asset.add_batch_definition_whole_table("every cell").get_batch(), expectation_suite


def _failed_counts(validation: Any) -> dict[str, int]:
    return {result.expectation_config.meta["rule_id"]: _failed_count(result) for result in validation.results}


def _failed_count(result: Any) -> int:
    if "observed_value" not in result.result:
        rule_id = result.expectation_config.meta["rule_id"]
        raise CheckError(
            f"Rule {rule_id} could not be evaluated: {_first_exception(result.exception_info)}", _REPORT_IT
        )
    return int(result.result["observed_value"])


def _first_exception(exception_info: dict[str, Any]) -> str:
    entries = [exception_info, *(entry for entry in exception_info.values() if isinstance(entry, dict))]
    messages = [str(entry["exception_message"]) for entry in entries if entry.get("exception_message")]
    return messages[0].splitlines()[0] if messages else "no reason was given."


def _account(connection: duckdb.DuckDBPyConnection, rule: Rule, statement: str, failed: int) -> None:
    if failed == 0:
        return
    written = write_findings(connection, rule, statement.format(batch=CHECKED_CELLS))
    if written != failed:
        raise CheckError(
            f"Rule {rule.rule_id} counted {failed} failing cells, but {written} findings were written.", _REPORT_IT
        )


_REPORT_IT = "Nothing was stored. This is a fault of the program: report it with the file that was loaded."
