"""Chooses the holding times of a load and judges every cell by them, on the load's scratch database.

The choice is made once for each combination of analyte, method, preservation and disinfection by
:func:`pipeline.holding_times.choose_rules`; the counting is done in SQL, because a load may have millions of cells. A
test compares it with :func:`pipeline.holding_times.judge`, cell by cell.
"""

from fractions import Fraction
from typing import Any

import duckdb

from checks.scratch import append_rows, run_statement
from pipeline.holding_times import allowance, choose_rules, receipt_temperature
from pipeline.plant.plant import HoldingTimePolicy, Plant
from pipeline.plant.tables import HoldingTime

_MICROSECONDS_OF_AN_HOUR = 3_600_000_000
_AT_ONCE_HOURS = Fraction(1, 4)
_MOMENTS = ("moment", "moment_between", "time_between")


def stage_holding_times(connection: duckdb.DuckDBPyConnection, plant: Plant) -> None:
    """Fill ``staged_holding_time`` with every clock that ran out, and every one of which that cannot be told.

    Needs the table ``cell_to_check`` and the tables ``plant_analyte`` and ``plant_point``. Leaves ``holding_rule`` with
    the rules chosen for each combination, and ``holding_note`` with why there is none.
    """
    for name in (*_MOMENTS, "holding_case", "cell_holding_case", "holding_rule", "holding_note"):
        run_statement(connection, name)
    _choose(connection, plant)
    run_statement(connection, "local_day", zone=plant.zone.key)
    run_statement(connection, "staged_holding_time")


def _choose(connection: duckdb.DuckDBPyConnection, plant: Plant) -> None:
    cases = connection.execute(
        "SELECT case_id, analyte, method_text, preservation_text, disinfected FROM holding_case ORDER BY case_id"
    ).fetchall()
    rows_of: dict[str, list[HoldingTime]] = {}
    for row in plant.holding_times:
        for covered in row.analytes:
            rows_of.setdefault(covered, []).append(row)
    rules: list[dict[str, Any]] = []
    notes: list[dict[str, Any]] = []
    for case_id, analyte, method, preservation, disinfected in cases:
        rows = rows_of.get(analyte, [])
        choice = choose_rules(rows, analyte, method, preservation=preservation, disinfected=disinfected)
        rules += [
            {"case_id": case_id, **_counted(rule, plant.holding_time_policy), **_on_ice(rule, method)}
            for rule in choice.rules
        ]
        notes += [{"case_id": case_id, "note": note} for note in choice.notes]
    append_rows(connection, "holding_rule", rules)
    append_rows(connection, "holding_note", notes)


def _counted(rule: HoldingTime, policy: HoldingTimePolicy) -> dict[str, Any]:
    allowed = allowance(rule, policy)
    start_step, stop_step = rule.stage.split("->")
    return {
        "holding_time_id": rule.holding_time_id,
        "start_step": start_step,
        "stop_step": stop_step,
        "max_text": f"{rule.max_value.normalize():f} {rule.max_unit}",
        "max_microseconds": None if allowed.hours is None else int(allowed.hours * _MICROSECONDS_OF_AN_HOUR),
        "max_days": allowed.days,
        "max_months": allowed.months,
        "at_once": stop_step == "analysis" and allowed.hours is not None and allowed.hours <= _AT_ONCE_HOURS,
    }


def _on_ice(rule: HoldingTime, method: str) -> dict[str, Any]:
    arrival = receipt_temperature(rule.receipt_temp_max_c, method)
    return {
        "receipt_max_c": arrival and arrival.max_c,
        "receipt_inclusive": arrival and arrival.inclusive,
        "receipt_early_max_c": arrival and arrival.early_max_c,
        "receipt_early_hours": arrival and arrival.early_hours,
        "may_freeze": arrival and arrival.may_freeze,
    }
