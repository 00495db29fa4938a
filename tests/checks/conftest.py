"""A scratch database of one load with one clean cell, and variations of it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from importlib.resources import files
from typing import Any

import duckdb
import pytest

from checks.report import CheckReport
from checks.run import run_checks
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import HoldingTimePolicy, Plant
from pipeline.plant.tables import HoldingTime

PLANT = """
name = "Quillmere Advanced Water Purification Plant"
time_zone = "America/Los_Angeles"
"""
SAMPLE_POINTS = """\
sample_point,name,place,disinfected,barrier_before,barrier_after,note
RO-1,Permeate,reverse osmosis permeate,no,,,
FW-1,Finished water,finished water entry point,yes,,,
"""

CLEAN_CELL: dict[str, Any] = {
    "line": 2, "column_name": "value", "limit_looked_up": False, "estimated": False,
    "laboratory_text": "Tarnwick Water Laboratory", "laboratory_sample_text": "T-1001",
    "point_text": "FW-1", "sample_point": "FW-1",
    "analyte_text": "Arsenic", "analyte": "Arsenic", "cas_text": "7440-38-2", "fraction": "total",
    "value_text": "1.2", "value_kind": "number", "value": Decimal("1.2"), "canonical_value": Decimal("1.2"),
    "unit_text": "ug/L", "unit": "ug/L", "unit_dimension": "mass per volume", "convertible": True,
    "reporting_limit_text": "0.5", "reporting_limit": Decimal("0.5"), "canonical_reporting_limit": Decimal("0.5"),
    "method_text": "EPA 200.8",
    "sample_type": "sample, routine", "purpose": "compliance", "status": "final",
    "collected_text": "2026-05-04 08:15", "collected_on": date(2026, 5, 4),
    "collected_at": datetime(2026, 5, 4, 15, 15, tzinfo=UTC),
    "received_text": "2026-05-04 14:00", "received_on": date(2026, 5, 4),
    "received_at": datetime(2026, 5, 4, 21, 0, tzinfo=UTC),
    "analyzed_text": "2026-05-11 10:00", "analyzed_on": date(2026, 5, 11),
    "analyzed_at": datetime(2026, 5, 11, 17, 0, tzinfo=UTC),
}  # fmt: skip

NULL_WHEN_UNKNOWN = ("analyte", "sample_point", "unit")

ANALYTES = [
    ("Arsenic", "ug/L", "", False, ["number"], [], 0, 10_000_000, True, True, False, "7440-38-2"),
    ("Nitrate", "mg/L", "as N", True, ["number"], [], 0, 20_000, True, False, True, "14797-55-8"),
    ("E. coli", "MPN/100 mL", "", False, ["count", "present/absent"], ["CFU/mL"], 0, None, True, False, True, ""),
    ("Gross alpha", "pCi/L", "", False, ["number"], [], -1000, 1_000_000_000, True, False, False, ""),
    ("Asbestos", "MFL", "", False, ["count"], [], 0, 100_000, True, False, False, ""),
    ("PFOA", "ng/L", "", False, ["number"], [], 0, 100_000_000, True, False, False, "335-67-1"),
    ("Cryptosporidium", "oocysts/L", "", False, ["count"], [], 0, None, True, False, False, ""),
    ("Enterococci", "MPN/100 mL", "", False, ["count", "present/absent"], [], 0, None, True, False, False, ""),
    ("Alkalinity, total", "mg/L", "as CaCO3", True, ["number"], [], -1000, 20_000, True, False, False, ""),
    ("Ethylene dibromide (EDB)", "ug/L", "", False, ["number"], [], 0, 1_000_000, True, False, False, "106-93-4"),
    ("pH", "pH units", "", False, ["number"], [], -2, 16, False, False, False, ""),
]


@dataclass
class Load:
    """One load's scratch database, as the loader hands it to the checks."""

    connection: duckdb.DuckDBPyConnection
    plant: Plant
    cells: int = 0

    def add(self, **changes: Any) -> int:
        """Stage the clean cell with some columns changed; the number of the new cell."""
        described = self.connection.execute("DESCRIBE staged_cell").fetchall()
        texts = [name for name, kind, *_ in described if kind == "VARCHAR" and name not in NULL_WHEN_UNKNOWN]
        cell = dict.fromkeys(texts, "") | CLEAN_CELL | changes | {"cell_id": self.cells}
        marks = ", ".join("?" for _ in cell)
        statement = f"INSERT INTO staged_cell ({', '.join(cell)}) VALUES ({marks})"
        self.connection.execute(statement, list(cell.values()))
        self.cells += 1
        return self.cells - 1

    def must_prove(self, name: str, value: str, text: str, since: str | None = None, until: str | None = None) -> None:
        """Put a limit of an analyte in force at the finished water, in its canonical unit."""
        row = (name, "FW-1", text, value, text, since, until)
        self.connection.execute("INSERT INTO limit_to_prove VALUES (?, ?, ?, ?, ?, ?, ?)", row)

    def check(self, **settings: Any) -> CheckReport:
        return run_checks(self.connection, self.plant, **settings)

    def findings(self) -> list[tuple[int, str]]:
        """What was found: the cell and the rule, in order."""
        return self.connection.execute("SELECT cell_id, rule_id FROM staged_finding ORDER BY ALL").fetchall()

    def said(self, rule_id: str) -> str:
        """The message of the only finding of a rule."""
        ((message,),) = self.connection.execute(
            "SELECT message FROM staged_finding WHERE rule_id = ?", [rule_id]
        ).fetchall()
        return str(message)


@pytest.fixture(scope="session")
def plant_with(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Plant]:
    """A small plant with these holding times, counted under this policy."""
    folder = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT, encoding="utf-8")
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS, encoding="utf-8")
    plant = read_plant(folder)

    def make(holding_times: Iterable[HoldingTime] = (), **policy: str) -> Plant:
        return replace(plant, holding_times=tuple(holding_times), holding_time_policy=HoldingTimePolicy(**policy))

    return make


@pytest.fixture(scope="session")
def new_load() -> Callable[[Plant], Load]:
    """Makes an empty load at a plant with a few analytes, one disinfected sample point and one that is not."""

    def make(plant: Plant) -> Load:
        connection = duckdb.connect()
        for name in ("staged_cell", "staged_finding", "staged_plant"):
            connection.execute(files("pipeline").joinpath("ingest", "sql", f"{name}.sql").read_text(encoding="utf-8"))
        marks = ", ".join("?" for _ in ANALYTES[0])
        connection.executemany(f"INSERT INTO plant_analyte VALUES ({marks})", ANALYTES)
        points = [(point.sample_point, point.place, point.disinfected) for point in plant.sample_points.values()]
        connection.executemany("INSERT INTO plant_point VALUES (?, ?, ?)", points)
        return Load(connection, plant)

    return make


@pytest.fixture
def load(new_load: Callable[[Plant], Load], plant_with: Callable[..., Plant]) -> Load:
    """An empty load at a plant without holding times."""
    return new_load(plant_with())
