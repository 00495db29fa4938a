"""Whatever a table holds, a plant folder is read or every fault is named; nothing else ever happens."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.errors import BarrierbookError, PlantFolderError
from pipeline.plant.folder import read_plant
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

TABLES: dict[str, type[Row]] = {
    "sample_points.csv": SamplePoint,
    "analytes.csv": Analyte,
    "aliases.csv": Alias,
    "limits.csv": Limit,
    "holding_times.csv": HoldingTime,
    "labs.csv": Laboratory,
    "monitoring_plan.csv": MonitoringPlanRow,
    "sample_log.csv": SampleLogEntry,
}
CELLS = st.one_of(
    st.sampled_from(
        ["", "yes", "no", "Lead", "FIN", "ug/L", "as N", "0", "-1", "1e999", "0.1", "NaN", "inf", "exact", "2025-01-01",
         "9999-12-31", "0001-01-01", "a=b", "a=", ";", "Lead/0", "Lead*-0.5", "analyte", "set aside", "unit", "point",
         "in force", "single value", "by monitoring frequency", "not above", "within", "\u0663", "2025-W01", "\x00",
         '"']
    ),
    st.text(max_size=8),
)  # fmt: skip
POINTS = "sample_point,name,place,disinfected\nFIN,Finished water,finished water entry point,yes\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text('name = "A"\ntime_zone = "UTC"\n', encoding="utf-8")
    (folder / "sample_points.csv").write_text(POINTS, encoding="utf-8")
    return folder


def read_or_name_faults(folder: Path, file: str, content: bytes) -> None:
    path = folder / file
    before = path.read_bytes() if path.exists() else None
    path.write_bytes(content)
    faults: list[BarrierbookError] = []
    try:
        read_plant(folder)
    except PlantFolderError as error:
        faults = error.problems
    finally:
        path.unlink() if before is None else path.write_bytes(before)
    assert [fault for fault in faults if not (fault.problem and fault.remedy and fault.place.file)] == []


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
@pytest.mark.parametrize("file", TABLES)
def test_a_table_with_any_cells_is_read_or_its_faults_are_named(file: str, folder: Path, data: st.DataObject) -> None:
    columns = [*TABLES[file].model_fields]
    rows = data.draw(st.lists(st.lists(CELLS, min_size=len(columns), max_size=len(columns)), max_size=3))
    quoted = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    read_or_name_faults(folder, file, "\n".join([",".join(columns), *quoted]).encode("utf-8", "surrogatepass"))


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(content=st.binary(max_size=200))
@pytest.mark.parametrize("file", ["plant.toml", "labs.csv"])
def test_any_bytes_are_read_or_their_faults_are_named(file: str, folder: Path, content: bytes) -> None:
    read_or_name_faults(folder, file, content)
