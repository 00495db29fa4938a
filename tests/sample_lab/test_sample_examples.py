"""The checked-in example files are read by the shipped layouts, every cell of them."""

from importlib import resources

import duckdb
import pytest

from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import decode_source
from pipeline.ingest.staging import stage
from pipeline.plant.plant import Plant

LAYOUTS = {"narrow.csv": "barrierbook narrow", "wqx_2_2.csv": "WQX 2.2 results", "wqx_3_0.csv": "WQX 3.0 results"}
_PROBLEMS = "analyte_problem || unit_problem || basis_problem || value_problem || limit_problem || collected_problem"


@pytest.mark.parametrize(("name", "layout_name"), LAYOUTS.items())
def test_example_is_understood(name: str, layout_name: str, sample_plant: Plant) -> None:
    content = resources.files("sample_lab").joinpath("examples", name).read_bytes()
    source = decode_source(name, content)
    layout = choose_layout(source, shipped_layouts().values())
    assert layout.name == layout_name
    with duckdb.connect() as connection:
        stage(connection, read_cells(source, layout).table, layout, sample_plant)
        query = f"SELECT count(*), count(sample_point), string_agg({_PROBLEMS}, '') FROM staged_cell"
        assert connection.execute(query).fetchone() == (12, 12, "")


def test_each_layout_has_its_example() -> None:
    assert {layout.name for layout in shipped_layouts().values()} == set(LAYOUTS.values())


@pytest.mark.parametrize(
    ("name", "columns"),
    [
        # Result columns of the Water Quality Portal's downloads in WQX 2.2 (2023) and WQX 3.0 (2024).
        ("wqx_2_2.csv", ("CharacteristicName", "ResultMeasureValue", "ResultMeasure/MeasureUnitCode")),
        ("wqx_3_0.csv", ("Result_Characteristic", "Result_Measure", "Result_MeasureUnit")),
    ],
)
def test_header_is_the_open_standards(name: str, columns: tuple[str, ...]) -> None:
    header = resources.files("sample_lab").joinpath("examples", name).read_text("utf-8").splitlines()[0].split(",")
    assert set(columns) < set(header)
