"""Reads a plant folder: every table checked, every fault reported at once, and one frozen plant returned."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Final, TypeVar

from pipeline import reference
from pipeline.errors import Place, PlantFolderError, PlantRowError
from pipeline.plant.analyzers import FILE as ANALYZER_FILE
from pipeline.plant.analyzers import Analyzer, check_analyzers
from pipeline.plant.check_limits import check_limits
from pipeline.plant.check_tables import (
    check_aliases,
    check_analytes,
    check_display_units,
    check_holding_times,
    check_jurisdictions,
    check_laboratories,
    check_monitoring_plan,
    check_sample_log,
    check_sample_points,
)
from pipeline.plant.checking import CheckedTable
from pipeline.plant.faults import Faults
from pipeline.plant.names import Names
from pipeline.plant.plant import Plant, version_of
from pipeline.plant.settings import FILE as SETTINGS_FILE
from pipeline.plant.settings import Settings, read_settings
from pipeline.plant.shipped_names import ShippedNames
from pipeline.plant.table_reader import Placed, read_table
from pipeline.plant.tables import (
    Alias,
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
from pipeline.written_units import WrittenUnits

RowType = TypeVar("RowType", bound=Row)

_ALWAYS_SHIPPED: Final = ("aliases.csv", "analyte_groups.csv", "basis.csv", "units.csv")
_REPLACEABLE: Final = ("analytes.csv", "limits.csv", "holding_times.csv")
_REQUIRED: Final = (SETTINGS_FILE, "sample_points.csv")
_KNOWN: Final = (
    *_REQUIRED,
    *_REPLACEABLE,
    "aliases.csv",
    "labs.csv",
    "monitoring_plan.csv",
    "sample_log.csv",
    ANALYZER_FILE,
)
_READ_ELSEWHERE: Final = ("barriers.toml",)
_SHIPPED: Final = "shipped/"


def read_plant(folder: Path) -> Plant:
    """Read and validate a plant folder.

    Parameters
    ----------
    folder
        Holds ``plant.toml`` and ``sample_points.csv``, and any of the other tables. Analytes, limits and holding times
        that the folder does not have are the shipped ones; other tables that it does not have are empty.

    Returns
    -------
    Plant
        With a version that changes with any byte of the folder's tables, settings and layouts, and of the shipped
        tables in use.

    Raises
    ------
    PlantFolderError
        With every fault found, each with file, line, column and remedy.
    """
    if not folder.is_dir():
        problem, remedy = "the plant folder does not exist.", "Make one with: barrierbook init DIR."
        raise PlantFolderError(folder, [PlantRowError(problem, remedy, Place(str(folder)))])
    return _read_contents(folder, _contents(folder))


def read_archived_plant(folder: Path, contents: Mapping[str, bytes]) -> Plant:
    """Read a plant folder as it was, from the names and bytes that were archived with it.

    Parameters
    ----------
    folder
        Where the folder stood; only its name is kept.
    contents
        As :meth:`Plant.files` gave them. Analytes, limits and holding times that were the shipped ones are those that
        were shipped then; names, units and bases are always those of this installation.

    Raises
    ------
    PlantFolderError
        When this installation can no longer read what an older one could.
    """
    own = {name: content for name, content in contents.items() if not name.startswith(_SHIPPED)}
    then = {file: contents[_SHIPPED + file] for file in _REPLACEABLE if _SHIPPED + file in contents}
    changed = {file: content for file, content in then.items() if content != reference.table_bytes(file)}
    plant = _read_contents(folder, own | changed)
    return replace(plant, contents=dict(contents), version=version_of(contents))


def _read_contents(folder: Path, contents: Mapping[str, bytes]) -> Plant:
    faults = Faults()
    _check_files(contents, faults)
    # A file that is missing is one fault, not one for each thing it would have said.
    settings = read_settings(contents.get(SETTINGS_FILE, b""), faults if SETTINGS_FILE in contents else Faults())
    plant = _read_tables(folder, contents, settings, faults)
    faults.raise_if_any(folder)
    return plant


def _contents(folder: Path) -> dict[str, bytes]:
    """Bytes of every file that belongs to the plant, by its name in the folder, and of the shipped tables in use."""
    own = [*folder.glob("*.toml"), *folder.glob("*.csv"), *folder.glob("layouts/*.toml")]
    contents = {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(own)
        if path.is_file() and not path.name.startswith(".")
    }
    shipped = (*_ALWAYS_SHIPPED, *(file for file in _REPLACEABLE if file not in contents))
    return contents | {f"{_SHIPPED}{file}": reference.table_bytes(file) for file in shipped}


def _check_files(contents: Mapping[str, bytes], faults: Faults) -> None:
    for file in _REQUIRED:
        if file not in contents:
            remedy = "Write it, or start from the files that barrierbook init DIR makes."
            faults.add("the file is missing.", remedy, file=file)
    for file in contents:
        # A misspelled table would be left out without a word, and the shipped one used in its place.
        near = get_close_matches(file, _KNOWN, n=1, cutoff=0.8)
        known = "/" in file or file in _KNOWN or file in _READ_ELSEWHERE
        if not known and near and near[0] not in contents:
            faults.add("no table has this name.", f"Did you mean {near[0]!r}? Rename the file.", file=file)


@cache
def _shipped_units() -> WrittenUnits:
    return WrittenUnits(reference.unit_spellings())


@cache
def _shipped_names() -> ShippedNames:
    return ShippedNames(reference.shipped_aliases())


class _Tables:
    """Reads the tables of one folder, each into rows that remember their lines."""

    def __init__(self, contents: Mapping[str, bytes], faults: Faults) -> None:
        self._contents = contents
        self._faults = faults

    def own(self, file: str, row_type: type[RowType]) -> CheckedTable[RowType]:
        """A table of the folder; empty when the folder does not have it."""
        content = self._contents.get(file)
        placed = [] if content is None else read_table(file, content, row_type, self._faults)
        return CheckedTable(file, placed, self._faults)

    def own_or_shipped(
        self, file: str, row_type: type[RowType], shipped: Callable[[], tuple[RowType, ...]]
    ) -> tuple[CheckedTable[RowType], tuple[RowType, ...]]:
        """A table of the folder to be checked, and the rows to be used: its own, else the shipped ones."""
        table = self.own(file, row_type)
        return table, (table.rows if file in self._contents else shipped())


def _read_tables(folder: Path, contents: Mapping[str, bytes], settings: Settings, faults: Faults) -> Plant:
    tables = _Tables(contents, faults)
    analyte_table, analyte_rows = tables.own_or_shipped("analytes.csv", Analyte, reference.shipped_analytes)
    limit_table, limits = tables.own_or_shipped("limits.csv", Limit, reference.shipped_limits)
    time_table, holding_times = tables.own_or_shipped("holding_times.csv", HoldingTime, reference.shipped_holding_times)
    point_table = tables.own("sample_points.csv", SamplePoint)
    laboratory_table = tables.own("labs.csv", Laboratory)
    alias_table = tables.own("aliases.csv", Alias)
    plan_table = tables.own("monitoring_plan.csv", MonitoringPlanRow)
    log_table = tables.own("sample_log.csv", SampleLogEntry)
    analyzer_table = tables.own(ANALYZER_FILE, Analyzer)

    analytes = {row.analyte: row for row in analyte_rows}
    sample_points = {row.sample_point: row for row in point_table.rows}
    laboratories = {row.laboratory: row for row in laboratory_table.rows}
    units = UnitTable(_shipped_units(), reference.basis_factors(), analyte_rows)

    check_analytes(analyte_table, units)
    check_limits(limit_table, analytes, units)
    if "analytes.csv" in contents and "limits.csv" not in contents:
        _check_shipped_limits(limits, analytes, units, faults)
    check_holding_times(time_table, analytes)
    if "sample_points.csv" in contents:
        check_sample_points(point_table)
    check_laboratories(laboratory_table)
    check_aliases(alias_table, analytes=analytes, sample_points=sample_points, laboratories=laboratories, units=units)
    check_monitoring_plan(plan_table, analytes=analytes, sample_points=sample_points, laboratories=laboratories)
    check_sample_log(log_table, sample_points)
    check_analyzers(analyzer_table, analytes=analytes, sample_points=sample_points, units=units)
    check_display_units(settings, analytes, units, faults)
    check_jurisdictions(limit_table, settings, (row.jurisdiction for row in reference.shipped_limits()), faults)
    return Plant(
        folder=folder,
        name=settings.name,
        zone=settings.zone,
        near_limit_share=settings.near_limit_share,
        jurisdictions=settings.jurisdictions,
        holding_time_policy=settings.holding_time_policy,
        display_units=settings.display_units,
        demonstration_date=settings.demonstration_date,
        sample_points=sample_points,
        analytes=analytes,
        analyte_groups=reference.analyte_groups(),
        aliases=alias_table.rows,
        limits=limits,
        holding_times=holding_times,
        laboratories=laboratories,
        monitoring_plan=plan_table.rows,
        sample_log={row.sample: row for row in log_table.rows},
        units=units,
        names=Names(
            aliases=alias_table.rows,
            shipped=_shipped_names(),
            analytes=analytes,
            sample_points=sample_points,
            laboratories=laboratories,
            units=units,
        ),
        contents=contents,
        version=version_of(contents),
        analyzers={row.tag: row for row in analyzer_table.rows},
    )


def _check_shipped_limits(
    limits: tuple[Limit, ...], analytes: Mapping[str, Analyte], units: UnitTable, faults: Faults
) -> None:
    """A plant's own analytes have to carry the shipped limits, as long as it has none of its own."""
    misfits = Faults()
    placed = [Placed(line, limit) for line, limit in enumerate(limits, start=2)]
    check_limits(CheckedTable("the shipped limits.csv", placed, misfits), analytes, units)
    if misfits.found:
        problem = f"{len(misfits.found)} cells of the shipped limits do not fit it, the first: {misfits.found[0]}"
        remedy = "Start from the shipped analytes.csv, or put a limits.csv of your own into the folder."
        faults.add(problem, remedy, file="analytes.csv")
