"""The tables that ship with the code, each row with its source and how far its figure can be trusted.

Every figure is marked ``read`` (in a copy of its source), ``checked`` (recalled, then found in agreement with an
independent table), ``computed`` or ``memory``. The regulation always stands above the table: confirm before use.
"""

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

from pipeline.plant.faults import Faults
from pipeline.plant.table_reader import read_table
from pipeline.plant.tables import (
    Analyte,
    AnalyteGroupMember,
    BasisFactor,
    HoldingTime,
    Limit,
    Row,
    ShippedAlias,
    UnitSpelling,
)

RowType = TypeVar("RowType", bound=Row)


@cache
def table_bytes(file: str) -> bytes:
    """Content of a shipped table as it ships, for example ``limits.csv``."""
    return files(__package__).joinpath(file).read_bytes()


def _rows(file: str, row_type: type[RowType]) -> tuple[RowType, ...]:
    faults = Faults()
    placed = read_table(file, table_bytes(file), row_type, faults)
    faults.raise_if_any(Path("reference"))
    return tuple(row.row for row in placed)


@cache
def shipped_analytes() -> tuple[Analyte, ...]:
    """Analytes that a regulation, a method or an open list names, with unit, basis, CAS number and possible range."""
    return _rows("analytes.csv", Analyte)


@cache
def shipped_aliases() -> tuple[ShippedAlias, ...]:
    """Written names and what they mean, by scope, and the names that must not be resolved."""
    return _rows("aliases.csv", ShippedAlias)


@cache
def unit_spellings() -> tuple[UnitSpelling, ...]:
    """Written units with their exact factor, and the spellings that must be held."""
    return _rows("units.csv", UnitSpelling)


@cache
def basis_factors() -> tuple[BasisFactor, ...]:
    """Exact factors between the bases of an analyte, from the IUPAC abridged atomic weights of 2021."""
    return _rows("basis.csv", BasisFactor)


@cache
def analyte_groups() -> tuple[AnalyteGroupMember, ...]:
    """Members of sums, of choices, and of the sets that holding times are written for."""
    return _rows("analyte_groups.csv", AnalyteGroupMember)


@cache
def shipped_limits() -> tuple[Limit, ...]:
    """Limits of the United States, and examples of California, each with a permanent ``limit_id``."""
    return _rows("limits.csv", Limit)


@cache
def shipped_holding_times() -> tuple[HoldingTime, ...]:
    """Holding times by programme, method, preservation and stage, groups of analytes unfolded."""
    return _rows("holding_times.csv", HoldingTime)
