"""Crosstabs: every row and value column is one cell, and what a cell says comes from where the layout says."""

from collections.abc import Mapping

import pytest

from pipeline.errors import LayoutError, PlantRowError
from pipeline.ingest.cells import FileCells, LineAccount, read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.source import decode_source

LAYOUT = """
name = "ours"
shape = "crosstab"
signature = ["Sample", "Point", "Day"]
[columns]
sample = "Sample"
point = "Point"
collected = "Day"
[constants]
laboratory = "Tarnwick"
unit = "mg/L"
[crosstab]
"""
HEADER = "Sample,Point,Day"


def layout(crosstab: str = "", *, head: str = "") -> Layout:
    return read_layout("ours.toml", head + LAYOUT + crosstab)


def read(of: Layout, *lines: str) -> FileCells:
    return read_cells(decode_source("june.csv", "\n".join(lines).encode()), of)


def said(cells: FileCells, *ours: str) -> list[tuple[str, ...]]:
    """What every cell says of some of our columns, in the order of the cells."""
    columns = [cells.table.column(f"{target}_text").to_pylist() for target in ours]
    return list(zip(*columns, strict=True))


def names(cells: FileCells) -> list[str]:
    columns: list[str] = cells.table.column("column_name").to_pylist()
    return columns


def test_every_row_has_a_cell_for_each_value_column_row_by_row() -> None:
    cells = read(layout(), f"{HEADER},Iron,Lead", "S1,FW,2026-05-04,1,2", "S2,FW,2026-05-05,3,")
    assert said(cells, "sample", "analyte", "value") == [
        ("S1", "Iron", "1"), ("S1", "Lead", "2"), ("S2", "Iron", "3"), ("S2", "Lead", ""),
    ]  # fmt: skip
    assert cells.table.column("line").to_pylist() == [2, 2, 3, 3]
    assert cells.table.column("cell_id").to_pylist() == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Turbidity (NTU)", ("Turbidity", "NTU")),
        ("Coliform (Quanti-Tray) (MPN/100mL)", ("Coliform (Quanti-Tray)", "MPN/100mL")),
        ("Iron(ug/L)", ("Iron", "ug/L")),
        ("pH", ("pH", "mg/L")),
    ],
)
def test_the_unit_stands_in_the_heading(heading: str, expected: tuple[str, str]) -> None:
    cells = read(layout('headings = ["{analyte} ({unit})", "{analyte}"]'), f"{HEADER},{heading}", "S1,FW,2026-05-04,1")
    assert said(cells, "analyte", "unit") == [expected]


def test_lines_are_found_by_where_they_stand_and_by_how_they_begin() -> None:
    lines = '[crosstab.lines]\nmethod = -2\nfraction = -1\nunit = 1\ndetection_limit = "MDL"\nreporting_limit = "RL"\n'
    cells = read(
        layout(lines), "Report", "", ",,,EPA 200.7,EPA 200.8", ",,,total,dissolved", f"{HEADER},Iron,Lead",
        ",,,ug/L,ng/L", "RL,,,10,5", "", "MDL,,,2,1", "S1,FW,2026-05-04,1,2",
    )  # fmt: skip
    ours = ("method", "fraction", "unit", "detection_limit", "reporting_limit", "value")
    assert said(cells, *ours) == [
        ("EPA 200.7", "total", "ug/L", "2", "10", "1"), ("EPA 200.8", "dissolved", "ng/L", "1", "5", "2"),
    ]  # fmt: skip
    assert cells.lines == LineAccount(title=1, header=6, blank=2, data=1)


def test_a_labelled_line_may_stand_above() -> None:
    cells = read(layout('lines = { unit = "Unit" }'), "Unit,,,ug/L", "Week 18", f"{HEADER},Iron", "S1,FW,2026-05-04,1")
    assert (said(cells, "unit"), cells.lines) == ([("ug/L",)], LineAccount(title=1, header=2, blank=0, data=1))


def test_a_sample_that_is_called_like_a_line_stays_a_sample() -> None:
    cells = read(
        layout('lines = { unit = "Unit" }'), f"{HEADER},Iron", "Unit,,,ug/L", "S1,FW,2026-05-04,1",
        "Unit,FW,2026-05-04,2",
    )  # fmt: skip
    assert said(cells, "sample", "value") == [("S1", "1"), ("Unit", "2")]


@pytest.mark.parametrize("line", ['"Units"', "2", "-1"])
def test_a_line_that_is_not_there_stops_the_file(line: str) -> None:
    with pytest.raises(LayoutError, match="there is no line for unit") as raised:
        read(layout(f"lines = {{ unit = {line} }}"), f"{HEADER},Iron", "S1,FW,2026-05-04,1")
    assert str(raised.value.place) == "june.csv, line 1"


def test_companions_belong_to_the_value_beside_them() -> None:
    beside = 'companions = { qualifier = "Q", reporting_limit = "RL" }'
    cells = read(
        layout(beside), f"{HEADER},Iron,Q,RL,Lead,RL,Zinc", "S1,FW,2026-05-04,1,J,0.5,2,0.1,3",
    )  # fmt: skip
    assert said(cells, "analyte", "value", "qualifier", "reporting_limit") == [
        ("Iron", "1", "J", "0.5"), ("Lead", "2", "", "0.1"), ("Zinc", "3", "", ""),
    ]  # fmt: skip


def test_companions_may_be_named_after_their_column_or_stand_left() -> None:
    named = read(
        layout('companions = { qualifier = "{} flag" }'), f"{HEADER},Iron,Lead,Lead flag,iron FLAG",
        "S1,FW,2026-05-04,1,2,U,J",
    )  # fmt: skip
    assert said(named, "value", "qualifier") == [("1", "J"), ("2", "U")]
    left = layout('companions = { condition = "Sign" }\ncompanions_stand = "left"')
    cells = read(left, f"{HEADER},Sign,Iron,Sign,Lead", "S1,FW,2026-05-04,<,1,,2")
    assert said(cells, "value", "condition") == [("1", "<"), ("2", "")]


def test_a_companion_may_have_no_name() -> None:
    cells = read(layout('companions = { qualifier = "" }'), f"{HEADER},Iron,,Lead,", "S1,FW,2026-05-04,1,J,2,")
    assert said(cells, "analyte", "value", "qualifier") == [("Iron", "1", "J"), ("Lead", "2", "")]


def test_companions_may_be_named_in_a_line_below_a_heading_that_spans_them() -> None:
    beside = 'companions = { qualifier = "Q", reporting_limit = "RL" }\ncompanions_line = 1\nlines = { unit = "Unit" }'
    cells = read(
        layout(beside), f"{HEADER},Iron,,,Lead,,", ",,,Result,Q,RL,Result,Q,RL", "Unit,,,ug/L,,,ng/L,,",
        "S1,FW,2026-05-04,1,J,0.5,2,,0.1",
    )  # fmt: skip
    assert said(cells, "analyte", "value", "unit", "qualifier", "reporting_limit") == [
        ("Iron", "1", "ug/L", "J", "0.5"), ("Lead", "2", "ng/L", "", "0.1"),
    ]  # fmt: skip
    assert cells.lines == LineAccount(title=0, header=3, blank=0, data=1)


def test_the_most_particular_word_counts() -> None:
    crosstab = """
headings = ["{analyte} ({unit})", "{analyte}"]
companions = { unit = "{} unit" }
lines = { unit = 1 }
"""
    header = f"{HEADER},Iron (a),Iron (a) unit,Lead (b),Zinc (c),Tin"
    cells = read(layout(crosstab), header, ",,,line 1,,line 2,,", "S1,FW,2026-05-04,1,beside,2,3,4")
    assert said(cells, "unit") == [("beside",), ("line 2",), ("c",), ("mg/L",)]


def test_a_heading_may_say_more_than_its_name() -> None:
    says = '[crosstab.heading_says]\n"ph  IN" = { analyte = "pH", point = "Inlet", unit = "pH units" }'
    cells = read(layout(says), f"{HEADER},pH in", "S1,FW,2026-05-04,7")
    assert said(cells, "analyte", "point", "unit") == [("pH", "Inlet", "pH units")]


def test_samples_may_stand_in_columns() -> None:
    transposed = read_layout(
        "ours.toml",
        """
name = "certificate"
shape = "crosstab"
signature = ["Parameter", "Unit"]
[columns]
analyte = "Parameter"
unit = "Unit"
[crosstab]
headings = ["{point} on {collected}"]
lines = { sample = 1 }
""",
    )
    cells = read(transposed, "Parameter,Unit,FW on 2026-05-04,RO on 2026-05-05", ",,S1,S2", "Iron,ug/L,1,2")
    assert said(cells, "analyte", "unit", "point", "collected", "sample", "value") == [
        ("Iron", "ug/L", "FW", "2026-05-04", "S1", "1"), ("Iron", "ug/L", "RO", "2026-05-05", "S2", "2"),
    ]  # fmt: skip


def test_a_heading_that_nothing_names_is_a_value_column_unless_values_are_listed() -> None:
    lines = (f"{HEADER},Iron,Odd", "S1,FW,2026-05-04,1,2")
    assert names(read(layout('values = "all others"'), *lines)) == ["Iron", "Odd"]
    with pytest.raises(LayoutError, match='does not know the heading "Odd"') as raised:
        read(layout('values = ["Iron"]'), *lines)
    assert "ignores" in raised.value.remedy


def test_what_is_ignored_is_not_read() -> None:
    cells = read(layout('values = ["Iron"]\nignored = ["odd"]'), f"{HEADER},Iron,Odd", "S1,FW,2026-05-04,1,2")
    assert names(cells) == ["Iron"]


@pytest.mark.parametrize("header", ["Sample,Point,Q,Day,Iron", "Sample,Point,Day,Iron,Q,Q"])
def test_a_companion_of_no_value_column_is_not_passed_over(header: str) -> None:
    row = ",".join(["S1", "FW", "2026-05-04", "1", "U", "J"][: header.count(",") + 1])
    with pytest.raises(LayoutError, match='does not know the heading "Q" there'):
        read(layout('companions = { qualifier = "Q" }'), header, row)


def test_a_column_without_a_heading_is_passed_over_only_where_it_is_empty() -> None:
    empty = read(layout(), f"{HEADER},Iron,", "S1,FW,2026-05-04,1,", "S2,FW,2026-05-04,1, ")
    assert names(empty) == ["Iron", "Iron"]
    cells = read(layout(), f"{HEADER},Iron,", "S1,FW,2026-05-04,1,2")
    assert (names(cells), said(cells, "analyte")) == (["Iron", "column 5"], [("Iron",), ("",)])


def test_two_columns_with_one_heading_are_told_apart() -> None:
    cells = read(layout(), f"{HEADER},Iron,Iron", "S1,FW,2026-05-04,1,2")
    assert names(cells) == ["Iron (column 4)", "Iron (column 5)"]


def test_several_tables_one_under_another_have_their_own_headings() -> None:
    cells = read(
        layout("lines = { unit = 1 }", head='end = "blank line"\n'), f"{HEADER},Iron", ",,,ug/L",
        "S1,FW,2026-05-04,1", "", "Second week", f"{HEADER},Lead,Zinc", ",,,ng/L,ug/L", "S2,FW,2026-05-04,2,3",
    )  # fmt: skip
    assert said(cells, "sample", "analyte", "unit", "value") == [
        ("S1", "Iron", "ug/L", "1"), ("S2", "Lead", "ng/L", "2"), ("S2", "Zinc", "ug/L", "3"),
    ]  # fmt: skip
    assert cells.lines == LineAccount(title=1, header=4, blank=1, data=2)


def test_a_short_row_is_not_believed_in_any_of_its_cells() -> None:
    cells = read(layout(), f"{HEADER},Iron,Lead", "S1,FW,2026-05-04,1")
    assert cells.table.column("row_problem").to_pylist() == ["the row has 4 cells where the header has 5."] * 2


def test_a_row_is_set_aside_with_all_its_cells() -> None:
    rule = '[[set_aside]]\ncolumn = "Sample"\nbegins_with = ["QC"]\nreason = "the laboratory\'s own"\n'
    cells = read(read_layout("x.toml", LAYOUT + rule), f"{HEADER},Iron,Lead", "QC-1,FW,2026-05-04,1,2", "S1,FW,x,3,4")
    assert cells.table.column("set_aside").to_pylist() == ["the laboratory's own"] * 2 + [""] * 2


def test_a_heading_alone_has_no_cells() -> None:
    cells = read(layout(), f"{HEADER},Iron")
    assert (cells.table.num_rows, cells.lines.header) == (0, 1)
    assert read(layout(), HEADER, "S1,FW,2026-05-04").table.num_rows == 0


@pytest.mark.parametrize(("missing", "why"), [("Point", "Point"), ("Day", "Day")])
def test_a_missing_column_of_the_samples_is_named(missing: str, why: str) -> None:
    other = layout().model_copy(update={"signature": ("Sample", "Iron")})
    with pytest.raises(LayoutError, match=f'the column "{why}" is missing'):
        read(other, f"{HEADER},Iron".replace(missing, "Other"), "S1,FW,2026-05-04,1")


SPOILED: Mapping[str, tuple[str, str]] = {
    "a value column": (LAYOUT.replace('point = "Point"', 'point = "Point"\nvalue = "Iron"'), "under its headings"),
    "no crosstab": (LAYOUT.replace("[crosstab]", ""), "belong together"),
    "no shape": (LAYOUT.replace('shape = "crosstab"', ""), "belong together"),
    "no column in braces": (LAYOUT + 'headings = ["Iron"]', "in braces"),
    "an unknown column": (LAYOUT + 'headings = ["{colour}"]', "unknown column colour"),
    "a column twice": (LAYOUT + 'headings = ["{unit} {unit}"]', "twice"),
    "the heading itself": (LAYOUT + "lines = { method = 0 }", "neither a number of lines"),
    "no day": (LAYOUT.replace('collected = "Day"', ""), "which column holds collected"),
    "typed limits": (LAYOUT + '[[typed_limits]]\nkind = "a"\nvalue = "b"\nunit = "c"', "no typed limits"),
}


@pytest.mark.parametrize("fault", SPOILED)
def test_a_crosstab_that_cannot_be_used_says_why(fault: str) -> None:
    text, said = SPOILED[fault]
    with pytest.raises(PlantRowError, match=said):
        read_layout("ours.toml", text)
