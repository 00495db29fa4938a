"""A file split into cells as written: every text, every line, nothing interpreted."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import LayoutError
from pipeline.ingest.cells import FileCells, LineAccount, read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.source import decode_source

HEADER = "Site,Test,Found,Unit,Day,Hour,Limit kind,Limit,Limit unit,Kind 2,Limit 2,Unit 2,Matrix,Remark"
LAYOUT = """
name = "ours"
signature = ["Site", "Test"]
[columns]
point = "Site"
analyte = "Test"
value = "Found"
unit = "Unit"
collected = ["Day", "Hour", "Zone"]
comment = "Remark"
[constants]
laboratory = "Tarnwick"
[[typed_limits]]
kind = "Limit kind"
value = "Limit"
unit = "Limit unit"
[[typed_limits]]
kind = "Kind 2"
value = "Limit 2"
unit = "Unit 2"
[[set_aside]]
column = "Matrix"
equals = ["Air", "Soil"]
reason = "not a water sample"
[[set_aside]]
column = "Test"
equals = ["Weather"]
reason = "not a measurement"
"""
GOOD = {
    "Site": "FW", "Test": "Iron", "Found": "12", "Unit": "ug/L", "Day": "2026-05-04", "Hour": "08:15",
    "Matrix": "Water",
}  # fmt: skip


@pytest.fixture(scope="module")
def layout() -> Layout:
    return read_layout("ours.toml", LAYOUT)


def file(*rows: dict[str, str]) -> str:
    """Lines of the good row, changed as each of ``rows`` says."""
    text = io.StringIO()
    writer = csv.DictWriter(text, HEADER.split(","), restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows({**GOOD, **row} for row in rows or ({},))
    return text.getvalue()


def read(layout: Layout, text: str) -> FileCells:
    return read_cells(decode_source("june.csv", text.encode()), layout)


def column(cells: FileCells, name: str) -> list[str]:
    texts: list[str] = cells.table.column(name).to_pylist()
    return texts


def test_each_row_is_one_cell_with_its_line(layout: Layout) -> None:
    cells = read(layout, file({}, {"Found": "13"}))
    assert (column(cells, "value_text"), column(cells, "line")) == (["12", "13"], [2, 3])
    assert set(column(cells, "column_name")) == {"Found"}


def test_columns_are_joined_and_missing_ones_left_out(layout: Layout) -> None:
    assert column(read(layout, file({}, {"Hour": ""})), "collected_text") == ["2026-05-04 08:15", "2026-05-04"]


def test_a_constant_is_said_of_every_cell(layout: Layout) -> None:
    assert column(read(layout, file({}, {})), "laboratory_text") == ["Tarnwick", "Tarnwick"]


def test_what_the_file_does_not_have_is_an_empty_text(layout: Layout) -> None:
    assert column(read(layout, file()), "qualifier_text") == [""]


def test_a_text_keeps_its_blanks(layout: Layout) -> None:
    assert column(read(layout, file({"Found": " 12 "})), "value_text") == [" 12 "]


@pytest.mark.parametrize(
    ("kind", "detection", "reporting"),
    [  # kinds of the open WQX domain list of detection and quantitation limit types
        ("Method Detection Level", "2", ""),
        ("Lower limit of detection", "2", ""),
        ("Blank-adjusted method detect limit", "2", ""),
        ("Sample-specific min detect conc", "2", ""),
        ("Practical Quantitation Limit", "", "2"),
        ("Lower Quantitation Limit", "", "2"),
        ("Laboratory Reporting Level", "", "2"),
        ("REPORTING LIMIT", "", "2"),
        ("Censoring Level", "", "2"),
        ("Upper Quantitation Limit", "", ""),
        ("Upper Reporting Limit", "", ""),
        ("Drinking Water Maximum", "", ""),
        ("Water Quality Standard or Criteria", "", ""),
        ("Statistical Uncertainty", "", ""),
        ("Laboratory Holding Time Limit", "", ""),
        ("", "", ""),
    ],
)
def test_a_limit_goes_where_its_kind_says(layout: Layout, kind: str, detection: str, reporting: str) -> None:
    cells = read(layout, file({"Limit kind": kind, "Limit": "2", "Limit unit": "ug/L"}))
    assert column(cells, "detection_limit_text") == [detection]
    assert column(cells, "reporting_limit_text") == [reporting]
    assert column(cells, "limit_unit_text") == ["ug/L" if detection or reporting else ""]


def test_two_limits_of_two_kinds_are_both_kept(layout: Layout) -> None:
    first = {"Limit kind": "Reporting limit", "Limit": "2", "Limit unit": "ug/L"}
    second = {"Kind 2": "Method Detection Level", "Limit 2": "0.5", "Unit 2": "ug/L"}
    cells = read(layout, file(first | second))
    assert (column(cells, "reporting_limit_text"), column(cells, "detection_limit_text")) == (["2"], ["0.5"])


def test_the_first_limit_of_a_kind_stays(layout: Layout) -> None:
    first = {"Limit kind": "Reporting limit", "Limit": "2", "Limit unit": "ug/L"}
    second = {"Kind 2": "Lower Reporting Limit", "Limit 2": "9", "Unit 2": "ug/L"}
    assert column(read(layout, file(first | second)), "reporting_limit_text") == ["2"]


def test_a_second_limit_in_another_unit_is_never_read_in_the_first_ones(layout: Layout) -> None:
    first = {"Limit kind": "Reporting limit", "Limit": "2", "Limit unit": "ug/L"}
    second = {"Kind 2": "Method Detection Level", "Limit 2": "0.5", "Unit 2": "ng/L"}
    assert column(read(layout, file(first | second)), "detection_limit_text") == ["0.5 ng/L"]


def test_a_kind_without_a_number_says_nothing(layout: Layout) -> None:
    cells = read(layout, file({"Limit kind": "Reporting limit", "Limit": " ", "Limit unit": "ug/L"}))
    assert (column(cells, "reporting_limit_text"), column(cells, "limit_unit_text")) == ([""], [""])


def test_rules_set_cells_aside_and_the_first_reason_is_given(layout: Layout) -> None:
    cells = read(layout, file({}, {"Matrix": " air "}, {"Test": "weather"}, {"Matrix": "Soil", "Test": "Weather"}))
    assert column(cells, "set_aside") == ["", "not a water sample", "not a measurement", "not a water sample"]


def test_a_rule_for_a_column_that_is_missing_sets_nothing_aside(layout: Layout) -> None:
    text = file().replace("Matrix", "Another")
    assert column(read(layout, text), "set_aside") == [""]


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        ("FW,Iron,12", "the row has 3 cells where the header has 14."),
        ("FW,Iron, total,12" + "," * 11, ""),  # one comma too many, and only blanks behind the end of the header
        (
            "FW,Iron,12,ug/L,2026-05-04,08:15,,,,,,,Water,see note, later",
            "the row has 15 cells where the header has 14.",
        ),
        ("FW,Iron,12,ug/L,2026-05-04,08:15,,,,,,,Water,,,,", ""),
    ],
)
def test_a_row_of_another_width_says_so(layout: Layout, row: str, problem: str) -> None:
    cells = read(layout, f"{HEADER}\n{row}\n")
    assert column(cells, "row_problem") == [problem]


def test_a_short_row_does_not_move_its_neighbours(layout: Layout) -> None:
    good = file().splitlines()[1]
    cells = read(layout, "\n".join([HEADER, good, "FW,Iron", good]))
    assert column(cells, "value_text") == ["12", "", "12"]
    assert column(cells, "line") == [2, 3, 4]


def test_a_column_named_twice_stops_the_file(layout: Layout) -> None:
    text = file().replace("Remark", " FOUND ", 1)
    with pytest.raises(LayoutError, match='names the column "FOUND" twice') as raised:
        read(layout, text)
    assert str(raised.value.place) == "june.csv, line 1"
    assert raised.value.remedy


def test_columns_without_a_name_may_be_many(layout: Layout) -> None:
    assert column(read(layout, "Site,Test,Found,Unit,Day,,\nFW,Iron,12,ug/L,2026-05-04,,\n"), "value_text") == ["12"]


@pytest.mark.parametrize("missing", ["Site", "Found", "Unit", "Day"])
def test_a_missing_column_is_named_with_a_remedy(layout: Layout, missing: str) -> None:
    text = file().replace(missing, "Other", 1)
    with pytest.raises(LayoutError, match=f'column "{missing}" is missing, which the layout "ours" needs') as raised:
        read(layout, text)
    assert "Ask the sender" in raised.value.remedy


def test_a_file_of_blank_lines_has_no_header(layout: Layout) -> None:
    with pytest.raises(LayoutError, match="there is no header"):
        read(layout, "\u00a0\n\n")


def test_a_header_alone_has_no_cells(layout: Layout) -> None:
    cells = read(layout, HEADER + "\n")
    assert (cells.table.num_rows, cells.lines) == (0, LineAccount(title=0, header=1, blank=0, data=0))


def test_quoted_line_breaks_count_as_physical_lines(layout: Layout) -> None:
    text = file({"Remark": "foamed\nread later"}, {}).replace("Site", '"Site"', 1)
    cells = read(layout, "\n" + text + "\n")
    assert cells.lines == LineAccount(title=0, header=1, blank=2, data=3)
    assert column(cells, "line") == [3, 5]
    assert column(cells, "comment_text") == ["foamed\nread later", ""]


texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from('",\n;'), max_size=8)


@given(st.lists(st.tuples(texts, texts, texts), max_size=6))
def test_every_text_and_line_is_what_the_csv_module_says(rows: list[tuple[str, str, str]]) -> None:
    layout = read_layout("ours.toml", LAYOUT)
    text = file(*({"Found": value, "Remark": remark, "Hour": hour} for value, remark, hour in rows))
    reader = csv.reader(io.StringIO(text, newline=""))
    expected, line = [], 1
    for fields in reader:
        expected.append((line, fields[2], fields[13]))
        line = reader.line_num + 1
    cells = read(layout, text)
    found = zip(*(column(cells, name) for name in ("line", "value_text", "comment_text")), strict=True)
    assert list(found) == (expected[1:] if rows else [(2, "12", "")])
    assert cells.lines.total == reader.line_num


def changed(layout: Layout, **changes: object) -> Layout:
    """The layout with other parts."""
    return Layout.model_validate(layout.model_dump() | changes)


@pytest.mark.parametrize(
    ("kind", "detection", "reporting"), [(" lod ", "2", ""), ("Action", "", ""), ("Reporting limit", "", "2")]
)
def test_kinds_that_do_not_speak_for_themselves_are_told_by_the_layout(
    layout: Layout, kind: str, detection: str, reporting: str
) -> None:
    told = changed(layout, words={"limit_kind": {"LOD": "detection limit", "Action": "neither"}})
    cells = read(told, file({"Limit kind": kind, "Limit": "2", "Limit unit": "ug/L"}))
    assert column(cells, "detection_limit_text") == [detection]
    assert column(cells, "reporting_limit_text") == [reporting]


def test_a_pattern_takes_the_part_in_parentheses_and_leaves_other_texts_alone(layout: Layout) -> None:
    told = changed(layout, patterns={"collected": r"D-(\S+).*"})
    cells = read(told, file({"Day": "D-2026-05-04", "Hour": ""}, {"Day": "2026-05-04", "Hour": ""}))
    assert column(cells, "collected_text") == ["2026-05-04", "2026-05-04"]


def test_a_mark_for_missing_empties_times_and_limits_but_no_name(layout: Layout) -> None:
    told = changed(layout, words={"missing": ["NA", "?"]})
    row = {"Day": "?", "Hour": "", "Limit kind": "Reporting limit", "Limit": "na", "Test": "Na", "Found": "?"}
    cells = read(told, file(row))
    assert [column(cells, f"{name}_text") for name in ("collected", "reporting_limit")] == [[""], [""]]
    # The value keeps its text, to be read as an empty cell; Na is sodium.
    assert [column(cells, f"{name}_text") for name in ("value", "analyte")] == [["?"], ["Na"]]
