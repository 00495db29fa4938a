"""The plant's online analyzers: one row a tag of the historian, what it measures, in which range and how often."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final

from pipeline.errors import ConversionError
from pipeline.plant.cells import NumberOrNothing, WholeNumberOrNothing, Words
from pipeline.plant.checking import CheckedTable
from pipeline.plant.shipped_names import folded
from pipeline.plant.table_reader import Placed
from pipeline.plant.tables import Analyte, Row, SamplePoint
from pipeline.units import UnitTable

FILE: Final = "analyzers.csv"
STORED_DECIMALS: Final = 6
LONGEST_INTERVAL_SECONDS: Final = 86_400
_LARGEST: Final = Decimal(10) ** (18 - STORED_DECIMALS)


class Analyzer(Row):
    """One tag of the historian.

    It reads an ``analyte``, or a ``quantity`` that is none (a valve's position, whether a train runs); exactly one of
    the two is said. ``range_low`` and ``range_high`` [``unit``] are what the instrument can show: a reading outside
    fails. ``usual_low`` and ``usual_high`` [``unit``] are what the operators expect: a reading outside is suspect.
    ``expected_interval_s`` is the time from one reading to the next [s]. ``run_status_tag`` is the tag that reads 0
    while the water does not run past the analyzer. ``also_written`` are other names of the tag in files.
    """

    tag: str
    sample_point: str
    analyte: str = ""
    quantity: str = ""
    unit: str = ""
    basis: str = ""
    range_low: NumberOrNothing = None
    range_high: NumberOrNothing = None
    usual_low: NumberOrNothing = None
    usual_high: NumberOrNothing = None
    expected_interval_s: WholeNumberOrNothing
    run_status_tag: str = ""
    also_written: Words = ()
    note: str = ""

    @property
    def measures(self) -> str:
        """What it reads: the analyte, or the quantity."""
        return self.analyte or self.quantity

    @property
    def interval_s(self) -> int:
        """The time from one reading to the next [s]; the check of the table has made sure that it is said."""
        return self.expected_interval_s or 0


def tag_names(analyzers: Iterable[Analyzer]) -> dict[str, str]:
    """The tag for each of its spellings, folded."""
    return {folded(name): row.tag for row in analyzers for name in (row.tag, *row.also_written)}


def check_analyzers(
    table: CheckedTable[Analyzer],
    *,
    analytes: Mapping[str, Analyte],
    sample_points: Mapping[str, SamplePoint],
    units: UnitTable,
) -> None:
    """Tags are unique in every spelling, measure one known thing in a unit that fits it, and have ranges in order."""
    table.must_be_known("sample_point", sample_points, "sample point", defined_in="sample_points.csv")
    table.must_be_known("analyte", analytes, "analyte", defined_in="analytes.csv")
    table.must_be_known("run_status_tag", [row.tag for row in table.rows], "tag", defined_in="the same table")
    _check_spellings(table)
    for placed in table:
        _check_what_is_measured(table, placed, analytes, units)
        _check_ranges(table, placed)
        _check_interval(table, placed)
        if placed.row.run_status_tag == placed.row.tag:
            problem = "a tag cannot be its own run status."
            table.fault(placed.line, "run_status_tag", problem, "Write the tag that reads 0 while the water stands.")


def _check_spellings(table: CheckedTable[Analyzer]) -> None:
    owners: dict[str, tuple[str, int]] = {}
    for placed in table:
        for column, spelling in (
            ("tag", placed.row.tag),
            *(("also_written", name) for name in placed.row.also_written),
        ):
            owner, line = owners.setdefault(folded(spelling), (placed.row.tag, placed.line))
            if line != placed.line:
                problem = f"{spelling!r} already stands for the tag {owner} in line {line}."
                table.fault(placed.line, column, problem, "A spelling belongs to one tag; case does not tell apart.")


def _check_what_is_measured(
    table: CheckedTable[Analyzer], placed: Placed[Analyzer], analytes: Mapping[str, Analyte], units: UnitTable
) -> None:
    row = placed.row
    if bool(row.analyte) == bool(row.quantity):
        problem = "both an analyte and a quantity are said." if row.analyte else "nothing is said to be measured."
        table.fault(placed.line, "analyte", problem, "Write the analyte, or a quantity that is no analyte.")
    elif row.unit and (match := units.resolve(row.unit)).unit is None:
        table.fault(placed.line, "unit", match.problem, "Write a unit that docs/data_dictionary.md lists.")
    elif row.basis and units.resolve_basis(row.basis) != row.basis:
        table.fault(placed.line, "basis", f"the basis {row.basis!r} is not known.", "Write a basis such as as N.")
    elif (analyte := analytes.get(row.analyte)) is not None:
        if not row.unit:
            table.fault(placed.line, "unit", "the unit is missing.", f"Write it, such as {analyte.canonical_unit}.")
        elif misfit := _misfit(row, analyte, units):
            remedy = f"Write a unit that converts from {analyte.canonical_unit} {analyte.canonical_basis}".rstrip()
            table.fault(placed.line, "unit", misfit, f"{remedy}, or that analytes.csv accepts for it.")


def _misfit(row: Analyzer, analyte: Analyte, units: UnitTable) -> str:
    """Why a unit is none in which the analyte can be read; empty when it is one."""
    if units.resolve(row.unit).unit in {units.resolve(unit).unit for unit in analyte.also_accepted_units}:
        return ""
    try:
        units.conversion(row.analyte, row.unit, row.basis, analyte.canonical_unit, analyte.canonical_basis)
    except ConversionError as error:
        return str(error)
    return ""


def _check_ranges(table: CheckedTable[Analyzer], placed: Placed[Analyzer]) -> None:
    row = placed.row
    for column in ("range_low", "range_high", "usual_low", "usual_high"):
        number = getattr(row, column)
        if number is not None and not _can_be_stored(number):
            problem = f"{number} has more than {STORED_DECIMALS} decimals, or is too large: no reading can equal it."
            table.fault(placed.line, column, problem, "Write it with fewer digits, or choose another unit.")
    for low, high in (("range_low", "range_high"), ("usual_low", "usual_high")):
        bounds = getattr(row, low), getattr(row, high)
        if None not in bounds and bounds[1] <= bounds[0]:
            problem = f"the upper end {bounds[1]} is not above the lower end {bounds[0]}."
            table.fault(placed.line, high, problem, "Exchange the two, or correct one of them.")


def _can_be_stored(number: Decimal) -> bool:
    return abs(number) < _LARGEST and number == round(number, STORED_DECIMALS)


def _check_interval(table: CheckedTable[Analyzer], placed: Placed[Analyzer]) -> None:
    interval = placed.row.expected_interval_s
    if interval is None or not 0 < interval <= LONGEST_INTERVAL_SECONDS:
        problem = "an interval between readings is longer than nothing and at most a day."
        table.fault(placed.line, "expected_interval_s", problem, "Write whole seconds, such as 60.")
