"""Checks the plant's tables other than its limits: words, references and rows that contradict each other."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from difflib import get_close_matches
from itertools import combinations
from typing import TypeVar

from pipeline.errors import ConversionError
from pipeline.plant import fixed_lists
from pipeline.plant.checking import CheckedTable
from pipeline.plant.faults import Faults, one_of
from pipeline.plant.monitoring import overlapping_rows
from pipeline.plant.names import compared, valid_cas_number
from pipeline.plant.settings import FILE as SETTINGS_FILE
from pipeline.plant.settings import Settings
from pipeline.plant.shipped_names import folded
from pipeline.plant.table_reader import Placed
from pipeline.plant.tables import (
    Alias,
    AliasMeaning,
    Analyte,
    HoldingTime,
    Laboratory,
    Limit,
    MonitoringPlanRow,
    Row,
    SampleLogEntry,
    SamplePoint,
)
from pipeline.units import UnitTable

RowType = TypeVar("RowType", bound=Row)


def check_sample_points(table: CheckedTable[SamplePoint]) -> None:
    """Sample points are unique, also where one's identifier is another's name, and stand at a known kind of place."""
    table.must_be_one_of("place", fixed_lists.PLACES)
    _check_spellings(table, "sample_point", lambda row: (row.sample_point, row.name))
    if not table.placed and not table.faults.found:
        table.fault(1, "sample_point", "the table has no sample point.", "Add at least the finished water entry point.")


def check_laboratories(table: CheckedTable[Laboratory]) -> None:
    """Laboratories are unique, also where one's identifier is another's name."""
    _check_spellings(table, "laboratory", lambda row: (row.laboratory, row.name))


def _check_spellings(
    table: CheckedTable[RowType], identifier_column: str, names_of: Callable[[RowType], tuple[str, str]]
) -> None:
    owners: dict[str, tuple[str, int]] = {}
    for placed in table:
        identifier, name = names_of(placed.row)
        for column, spelling in ((identifier_column, identifier), ("name", name)):
            if not spelling:
                continue
            owner, line = owners.setdefault(folded(spelling), (identifier, placed.line))
            if line != placed.line:
                problem = f"{spelling!r} already stands for {owner} in line {line}."
                table.fault(placed.line, column, problem, "Give each row a name of its own; case does not tell apart.")


def check_analytes(table: CheckedTable[Analyte], units: UnitTable) -> None:
    """Analytes are unique, their CAS numbers valid, their units known and their possible range in order."""
    table.must_be_unique("analyte", lambda row: folded(row.analyte))
    for placed in table:
        analyte, line = placed.row, placed.line
        if analyte.cas_number and not valid_cas_number(analyte.cas_number):
            problem = f"{analyte.cas_number!r} is not a CAS number: its form or its check digit is wrong."
            table.fault(line, "cas_number", problem, "Look it up again; a spreadsheet may have made a date of it.")
        for column, unit in [("canonical_unit", analyte.canonical_unit)] + [
            ("also_accepted_units", unit) for unit in analyte.also_accepted_units
        ]:
            if (match := units.resolve(unit)).unit is None:
                table.fault(line, column, match.problem, "Write a unit that docs/data_dictionary.md lists.")
        for kind in analyte.value_kind:
            if kind not in fixed_lists.VALUE_KINDS:
                table.fault(line, "value_kind", f"{kind!r} is not possible.", one_of(fixed_lists.VALUE_KINDS, kind))
        low, high = analyte.plausible_low, analyte.plausible_high
        if low is not None and high is not None and high < low:
            problem = f"the highest possible value {high} is below the lowest, {low}."
            table.fault(line, "plausible_high", problem, "Exchange the two, or correct one of them.")
        bases = analyte.default_basis, analyte.canonical_basis
        if all(bases) and not _converts(analyte.analyte, *bases, units):
            problem = f"there is no factor from {bases[0]} to {bases[1]}."
            table.fault(line, "default_basis", problem, "Write two bases of the same substance, or the same one twice.")
        if analyte.basis_required and not analyte.canonical_basis:
            problem = "a basis is required, and none is given in which the numbers are compared."
            table.fault(line, "canonical_basis", problem, "Write the basis, for example as N.")


def _converts(analyte: str, from_basis: str, to_basis: str, units: UnitTable) -> bool:
    try:
        units.conversion(analyte, "mg/L", from_basis, "mg/L", to_basis)
    except ConversionError:
        return False
    return True


def check_aliases(
    table: CheckedTable[Alias],
    *,
    analytes: Mapping[str, Analyte],
    sample_points: Mapping[str, SamplePoint],
    laboratories: Mapping[str, Laboratory],
    units: UnitTable,
) -> None:
    """Every alias means something that exists, and no name means two things on one day."""
    known: dict[AliasMeaning, tuple[Iterable[str], str, str]] = {
        AliasMeaning.ANALYTE: (analytes, "analyte", "analytes.csv"),
        AliasMeaning.POINT: (sample_points, "sample point", "sample_points.csv"),
        AliasMeaning.LABORATORY: (laboratories, "laboratory", "labs.csv"),
    }
    for placed in table:
        alias = placed.row
        if alias.kind in known:
            names, thing, file = known[alias.kind]
            if alias.means not in frozenset(names):
                remedy = f"{one_of(names, alias.means)} It is defined in {file}."
                table.fault(placed.line, "means", f"the {thing} {alias.means!r} does not exist.", remedy)
        elif alias.kind is AliasMeaning.UNIT and (match := units.resolve(alias.means)).unit is None:
            table.fault(placed.line, "means", match.problem, "Write a unit that is known and not ambiguous.")
        elif alias.kind is AliasMeaning.SET_ASIDE and not alias.means:
            remedy = "Write in the column means why these cells are set aside."
            table.fault(placed.line, "means", "no reason is given.", remedy)
        _check_implied(table, placed, units)
    table.must_end_after_start()
    _check_contradictions(table)


def _check_implied(table: CheckedTable[Alias], placed: Placed[Alias], units: UnitTable) -> None:
    alias = placed.row
    if alias.implied_basis and units.resolve_basis(alias.implied_basis) != alias.implied_basis:
        nearest = units.resolve_basis(alias.implied_basis)
        remedy = f"Write {nearest!r}." if nearest else "Write a basis such as as N, as NO3 or as CaCO3."
        table.fault(placed.line, "implied_basis", f"the basis {alias.implied_basis!r} is not known.", remedy)
    if alias.implied_fraction not in fixed_lists.FRACTIONS:
        remedy = one_of(fixed_lists.FRACTIONS[1:], alias.implied_fraction)
        table.fault(placed.line, "implied_fraction", f"{alias.implied_fraction!r} is not a fraction.", remedy)
    conditions = [f"fraction={fraction}" for fraction in ("dissolved", "total")]
    conditions += [f"dimension={dimension}" for dimension in units.dimensions]
    if alias.when and alias.when not in conditions:
        problem = f"the condition {alias.when!r} can never be met."
        table.fault(placed.line, "when", problem, one_of(conditions, alias.when))
    if alias.still_needs not in ("", fixed_lists.BASIS_IN_NAME):
        problem = f"{alias.still_needs!r} is not possible here."
        table.fault(placed.line, "still_needs", problem, f"Write {fixed_lists.BASIS_IN_NAME}, or leave it empty.")


def _check_contradictions(table: CheckedTable[Alias]) -> None:
    by_name: dict[tuple[AliasMeaning, str, str, str], list[Placed[Alias]]] = defaultdict(list)
    for placed in table:
        alias = placed.row
        kind = AliasMeaning.ANALYTE if alias.kind is AliasMeaning.SET_ASIDE else alias.kind
        by_name[kind, folded(alias.sender), compared(kind, alias.as_written), alias.when].append(placed)
    for rows in by_name.values():
        for first, second in combinations(rows, 2):
            starts = max(first.row.effective_from or date.min, second.row.effective_from or date.min)
            ends = min(first.row.effective_to or date.max, second.row.effective_to or date.max)
            if starts <= ends:
                problem = f"{second.row.as_written!r} has a meaning in line {first.line} already ({first.row.means})."
                remedy = "Keep one of the two rows, or give them dates that do not overlap."
                table.fault(second.line, "as_written", problem, remedy)


def check_holding_times(table: CheckedTable[HoldingTime], analytes: Mapping[str, Analyte]) -> None:
    """Holding times are unique, cover known analytes, and count between known steps."""
    table.must_be_unique("holding_time_id")
    table.must_be_one_of("stage", fixed_lists.HOLDING_STAGES)
    table.must_be_one_of("max_unit", fixed_lists.HOLDING_UNITS)
    for placed in table:
        for analyte in placed.row.analytes:
            if analyte not in analytes:
                problem = f"the analyte {analyte!r} does not exist."
                table.fault(placed.line, "analytes", problem, f"{one_of(analytes, analyte)}")
        if placed.row.max_value <= 0:
            problem = f"a holding time of {placed.row.max_value} is not possible."
            table.fault(placed.line, "max_value", problem, "Write how long the sample may wait, above zero.")


def check_monitoring_plan(
    table: CheckedTable[MonitoringPlanRow],
    *,
    analytes: Mapping[str, Analyte],
    sample_points: Mapping[str, SamplePoint],
    laboratories: Mapping[str, Laboratory],
) -> None:
    """The plan speaks of known points, analytes and laboratories, and says one frequency for each day."""
    table.must_be_known("sample_point", sample_points, "sample point", defined_in="sample_points.csv")
    table.must_be_known("analyte", analytes, "analyte", defined_in="analytes.csv")
    table.must_be_known("laboratory", laboratories, "laboratory", defined_in="labs.csv")
    table.must_be_one_of("frequency", fixed_lists.FREQUENCIES)
    table.must_be_one_of("status", fixed_lists.PLAN_STATUSES)
    table.must_end_after_start()
    for first, second in overlapping_rows(table.rows):
        line = table.placed[first].line
        problem = f"line {line} states a frequency for the same analyte, point and days."
        remedy = "End one row before the other starts; both dates are inclusive."
        table.fault(table.placed[second].line, "effective_from", problem, remedy)


def check_sample_log(table: CheckedTable[SampleLogEntry], sample_points: Mapping[str, SamplePoint]) -> None:
    """Samples are logged once, at known points, and confirm samples that are logged."""
    table.must_be_unique("sample")
    table.must_be_known("sample_point", sample_points, "sample point", defined_in="sample_points.csv")
    table.must_be_one_of("purpose", fixed_lists.PURPOSES)
    samples = [placed.row.sample for placed in table]
    table.must_be_known("confirmation_of", samples, "sample", defined_in="the same table")
    for placed in table:
        if placed.row.confirmation_of == placed.row.sample:
            problem = "a sample cannot confirm itself."
            table.fault(placed.line, "confirmation_of", problem, "Write the first sample, the one that is confirmed.")


def check_jurisdictions(table: CheckedTable[Limit], settings: Settings, shipped: Iterable[str], faults: Faults) -> None:
    """No jurisdiction is misspelled: its limits would not be judged, and nobody would notice."""
    in_use = {row.jurisdiction for row in table.rows}
    known = sorted({*shipped, *fixed_lists.ALWAYS_JUDGED})
    for name in settings.jurisdictions:
        if name not in known and name not in in_use:
            line = settings.line_of("jurisdictions")
            problem, remedy = f"no limit has the jurisdiction {name!r}.", one_of(sorted({*known, *in_use}), name)
            faults.add(problem, remedy, file=SETTINGS_FILE, line=line, column="jurisdictions")
    chosen = {*known, *settings.jurisdictions}
    by_fold = {folded(name): name for name in chosen}
    for placed in table:
        written = placed.row.jurisdiction
        near = get_close_matches(folded(written), by_fold, n=1, cutoff=0.8)
        if written not in chosen and near:
            problem = f"{written!r} is not quite the name of a jurisdiction."
            table.fault(placed.line, "jurisdiction", problem, f"Did you mean {by_fold[near[0]]!r}?")


def check_display_units(settings: Settings, analytes: Mapping[str, Analyte], units: UnitTable, faults: Faults) -> None:
    """Every analyte shown in a unit of the plant's choice exists, and converts to that unit."""
    for name, unit in settings.display_units.items():
        if (analyte := analytes.get(name)) is None:
            problem, remedy = f"the analyte {name!r} does not exist.", one_of(analytes, name)
        else:
            basis = analyte.canonical_basis
            try:
                units.conversion(name, analyte.canonical_unit, basis, unit, basis)
            except ConversionError as error:
                problem, remedy = str(error), f"Write a unit that converts from {analyte.canonical_unit}."
            else:
                continue
        faults.add(problem, remedy, file=SETTINGS_FILE, line=settings.line_of(name), column=name)
