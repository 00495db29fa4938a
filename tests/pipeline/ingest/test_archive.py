"""Several text files in one archive are one delivery, and limits in one of them find their results in another.

The columns are those of the Water Quality Exchange, version 2.2, as the public portal writes results and limits.
"""

import io
import zipfile

import pytest

from pipeline.errors import FileError, LayoutError, PlantRowError
from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout, shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile, decode_source, records
from pipeline.ingest.tables import LineAccount

RESULTS = """OrganizationIdentifier,ActivityStartDate,MonitoringLocationIdentifier,ResultIdentifier,CharacteristicName,\
ResultMeasureValue,ResultMeasure/MeasureUnitCode,ResultDetectionConditionText
ORG,2026-05-04,SITE-1,R-1,Chloride,,,Not Detected
ORG,2026-05-04,SITE-1,R-2,Sulfate,12,mg/l,
ORG,2026-05-04,SITE-1,,Bromide,,,Not Detected
"""
LIMITS = """OrganizationIdentifier,ResultIdentifier,CharacteristicName,DetectionQuantitationLimitTypeName,\
DetectionQuantitationLimitMeasure/MeasureValue,DetectionQuantitationLimitMeasure/MeasureUnitCode
ORG,R-1,Chloride,Lower Reporting Limit,0.8,mg/l
ORG,R-1,Chloride,Method Detection Level,0.2,mg/l
ORG,R-9,Iron,Lower Reporting Limit,5,ug/l
ORG,,Bromide,Lower Reporting Limit,7,mg/l
ORG,R-2
"""


def archive(**files: str) -> SourceFile:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as made:
        for name, text in files.items():
            made.writestr(name, text)
    return decode_source("june.zip", content.getvalue())


def read(source: SourceFile) -> FileCells:
    layout = choose_layout(source, [each for each in shipped_layouts().values() if isinstance(each, Layout)])
    return read_cells(source, layout)


def column(cells: FileCells, name: str) -> list[str]:
    texts: list[str] = cells.table.column(name).to_pylist()
    return texts


@pytest.fixture(scope="module")
def pair() -> FileCells:
    return read(archive(**{"limits.csv": LIMITS, "result.csv": RESULTS}))


def test_every_result_of_the_archive_is_a_cell_that_names_its_file(pair: FileCells) -> None:
    assert column(pair, "line") == [2, 3, 4]
    assert set(column(pair, "column_name")) == {"result.csv!ResultMeasureValue"}


def test_limits_find_their_results_by_the_identifier(pair: FileCells) -> None:
    assert column(pair, "reporting_limit_text") == ["0.8", "", ""]
    assert column(pair, "detection_limit_text") == ["0.2", "", ""]
    assert column(pair, "limit_unit_text") == ["mg/l", "", ""]


def test_limits_without_a_result_or_of_another_width_are_said(pair: FileCells) -> None:
    assert pair.remarks == (
        "2 limits belong to no result of the file.",
        "1 lines of limits have another width than their header and were not read.",
    )


def test_the_lines_of_both_files_are_accounted_for(pair: FileCells) -> None:
    assert pair.lines == LineAccount(title=0, header=2, blank=0, data=8)
    assert pair.lines.total == len((RESULTS + LIMITS).splitlines())
    assert pair.encoding == "zip archive"


def test_results_without_their_limits_are_read_as_before() -> None:
    for source in (archive(**{"result.csv": RESULTS}), decode_source("result.csv", RESULTS.encode())):
        assert column(read(source), "reporting_limit_text") == ["", "", ""]


def test_several_files_of_results_are_one_delivery() -> None:
    cells = read(archive(**{"april.csv": RESULTS, "sub/may.csv": RESULTS, "stations.csv": "a,b\n1,2\n"}))
    assert column(cells, "line") == [2, 3, 4] * 2
    assert cells.remarks == ('The file "stations.csv" was not read: it has no table that the layout knows.',)


def test_a_damaged_row_names_the_file_in_the_archive() -> None:
    with pytest.raises(FileError, match=r"june.zip, result.csv, line 5: a quotation mark is opened"):
        read(archive(**{"result.csv": RESULTS + '"open'}))


def test_an_archive_that_no_layout_knows_is_unknown() -> None:
    with pytest.raises(LayoutError, match="no layout knows this header"):
        read(archive(**{"stations.csv": "a,b\n1,2\n"}))


def test_an_archive_has_no_records_of_its_own() -> None:
    with pytest.raises(FileError, match="zip archive") as raised:
        list(records(archive(**{"result.csv": RESULTS}), ","))
    assert raised.value.remedy == "Unpack it first."


def test_limits_beside_need_an_identifier_of_the_result() -> None:
    text = """
name = "ours"
signature = ["a", "b"]
columns = { point = "a", analyte = "b", value = "c", unit = "d", collected = "e" }
limits_beside = { signature = ["x", "y"], result_id = "x", kind = "k", value = "y", unit = "u" }
"""
    with pytest.raises(PlantRowError, match="joined by the result_id"):
        read_layout("x.toml", text)
