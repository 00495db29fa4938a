"""The checked-in example files are read by the shipped layouts, every cell of them."""

from datetime import UTC, datetime
from importlib import resources
from io import BytesIO
from pathlib import Path

import duckdb
import openpyxl
import pytest

from pipeline.errors import LayoutError
from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout_files import plant_layouts, shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.sample_log_layout import SampleLogLayout
from pipeline.ingest.sample_log_lines import read_sheet
from pipeline.ingest.sample_log_reading import read_samples
from pipeline.ingest.source import decode_source
from pipeline.ingest.staging import stage
from pipeline.plant.plant import Plant
from sample_lab import copy_plant_folder
from sample_lab.generator.files import DEFAULT_SEED
from sample_lab.generator.senders import process_laboratory

EXAMPLES = resources.files("sample_lab").joinpath("examples")
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
    shipped = {layout.name for layout in shipped_layouts().values()}
    assert shipped == {*LAYOUTS.values(), "barrierbook sample log"}


def test_the_example_of_a_custody_sheet_is_understood(sample_plant: Plant) -> None:
    layout = shipped_layouts()["sample_log.toml"]
    assert isinstance(layout, SampleLogLayout)
    source = decode_source("sample_log.csv", EXAMPLES.joinpath("sample_log.csv").read_bytes())
    assert choose_layout(source, shipped_layouts().values()) == layout
    now = datetime(2026, 12, 1, tzinfo=UTC)
    lines = read_samples(read_sheet(source, layout).samples, layout, sample_plant, loaded_at=now)
    assert [line.state for line in lines] == ["candidate"] * 12
    assert not any(line.findings for line in lines)


def test_the_newcomers_workbook_is_the_generators() -> None:
    content = EXAMPLES.joinpath(process_laboratory.NAME).read_bytes()
    book = openpyxl.load_workbook(BytesIO(content))
    assert len(book.worksheets) == 12
    assert sum(sheet.max_row - 4 for sheet in book.worksheets) == 156
    assert content == process_laboratory.content(DEFAULT_SEED)


def test_no_layout_of_the_plant_knows_the_newcomers_workbook(tmp_path: Path) -> None:
    copy_plant_folder(tmp_path)
    layouts = [*shipped_layouts().values(), *plant_layouts(tmp_path, {"USGS NWIS"}).values()]
    source = decode_source(process_laboratory.NAME, EXAMPLES.joinpath(process_laboratory.NAME).read_bytes())
    with pytest.raises(LayoutError):
        choose_layout(source, layouts)


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
