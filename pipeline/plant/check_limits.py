"""Checks a limit table: words, numbers, units and what one row says of another."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from re import compile as pattern
from typing import Final

from pipeline.errors import ConversionError
from pipeline.plant import fixed_lists
from pipeline.plant.checking import CheckedTable
from pipeline.plant.faults import one_of
from pipeline.plant.tables import Analyte, Limit
from pipeline.units import UnitTable

_TRIGGER: Final = pattern(r"(see (?P<limit_id>\S+)|[a-z ]+ (>=|<=|>|<) \d+(\.\d+)?)")
_BY_FREQUENCY: Final = ("yearly_or_less", "more_often")
_TRIGGER_ONLY: Final = "trigger only"


def check_limits(table: CheckedTable[Limit], analytes: Mapping[str, Analyte], units: UnitTable) -> None:
    """Note every fault of the limit table that a single cell does not show."""
    table.must_be_unique("limit_id")
    table.must_be_one_of("kind", fixed_lists.LIMIT_KINDS)
    table.must_be_one_of("direction", fixed_lists.DIRECTIONS)
    table.must_be_one_of("comparison", fixed_lists.COMPARISONS)
    table.must_be_one_of("fraction", fixed_lists.FRACTIONS)
    table.must_be_one_of("statistic", fixed_lists.STATISTICS)
    table.must_be_one_of("nondetect_rule", fixed_lists.NONDETECT_RULES)
    table.must_be_one_of("applies_at", fixed_lists.LIMIT_PLACES)
    table.must_be_known("analyte", analytes, "analyte", defined_in="analytes.csv")
    table.must_end_after_start()
    limit_ids = {placed.row.limit_id for placed in table}
    for placed in table:
        limit, line = placed.row, placed.line
        _check_value(table, line, limit)
        _check_step(table, line, limit)
        _check_parameters(table, line, limit)
        _check_triggers(table, line, limit, limit_ids)
        _check_members(table, line, limit, analytes)
        _check_unit(table, line, limit, analytes, units)


def _check_value(table: CheckedTable[Limit], line: int, limit: Limit) -> None:
    if limit.value is None and limit.statistic not in ("descriptive", "information only"):
        table.fault(line, "value", "the limit has no value.", "Write the value, or make the statistic descriptive.")
    if limit.direction == "within" and limit.value_high is None:
        table.fault(line, "value_high", "a limit within two values has no upper one.", "Write the upper value.")
    if limit.value is not None and limit.value_high is not None and limit.value_high < limit.value:
        problem = f"the upper value {limit.value_high} is below the lower one, {limit.value}."
        table.fault(line, "value_high", problem, "Exchange the two, or correct one of them.")


def _check_step(table: CheckedTable[Limit], line: int, limit: Limit) -> None:
    if limit.step is None:
        return
    for column in ("value", "value_high"):
        value: Decimal | None = getattr(limit, column)
        if value is not None and (Fraction(value) / Fraction(limit.step)).denominator != 1:
            problem = f"the step {limit.step} does not divide the {column} {value}."
            remedy = "Write a step of which the limit is a whole multiple, or exact: else the limit itself is rounded."
            table.fault(line, "step", problem, remedy)


def _check_parameters(table: CheckedTable[Limit], line: int, limit: Limit) -> None:
    column = "statistic_parameters"
    for key in limit.statistic_parameters:
        if key not in fixed_lists.PARAMETER_KEYS:
            table.fault(line, column, f"the key {key!r} is not known.", one_of(fixed_lists.PARAMETER_KEYS, key))
    if limit.statistic != "by monitoring frequency":
        return
    for key in _BY_FREQUENCY:
        chosen = limit.statistic_parameters.get(key)
        possible = (_TRIGGER_ONLY, *fixed_lists.STATISTICS)
        if chosen is None:
            table.fault(line, column, f"the statistic needs {key}.", f"Add {key}=single value, or another statistic.")
        elif chosen not in possible:
            table.fault(line, column, f"{chosen!r} is not a statistic.", one_of(possible, chosen))


def _check_triggers(table: CheckedTable[Limit], line: int, limit: Limit, limit_ids: set[str]) -> None:
    for trigger in limit.trigger_values:
        match = _TRIGGER.fullmatch(trigger)
        if match is None:
            remedy = "Write name, comparison and number (quarterly monitoring >= 5.0), or see LIMIT_ID."
            table.fault(line, "trigger_values", f"{trigger!r} is not readable.", remedy)
        elif match["limit_id"] and match["limit_id"] not in limit_ids:
            remedy = one_of(sorted(limit_ids), match["limit_id"])
            table.fault(line, "trigger_values", f"the limit {match['limit_id']!r} does not exist.", remedy)


def _check_members(table: CheckedTable[Limit], line: int, limit: Limit, analytes: Mapping[str, Analyte]) -> None:
    for member in limit.group_members:
        if member.analyte not in analytes:
            remedy = f"{one_of(analytes, member.analyte)} Members are written Name, Name/10 or Name*-0.67."
            table.fault(line, "group_members", f"the analyte {member.analyte!r} does not exist.", remedy)


def _check_unit(
    table: CheckedTable[Limit], line: int, limit: Limit, analytes: Mapping[str, Analyte], units: UnitTable
) -> None:
    analyte = analytes.get(limit.analyte)
    if analyte is None or limit.statistic in fixed_lists.OWN_UNIT_STATISTICS:
        return
    match = units.resolve(limit.unit)
    if match.unit is None:
        table.fault(line, "unit", match.problem, f"Write a unit such as {analyte.canonical_unit}.")
        return
    if match.unit in analyte.also_accepted_units:
        return
    try:
        units.conversion(limit.analyte, limit.unit, limit.basis, analyte.canonical_unit, analyte.canonical_basis)
    except ConversionError as error:
        remedy = (
            f"Write the limit in a unit that converts to {analyte.canonical_unit} {analyte.canonical_basis}".strip()
        )
        table.fault(line, "unit", str(error), f"{remedy}.")
