"""A layout proposed for a file that no layout knows: a start for a person, and always one that can be read."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import FileError
from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout import NEEDED_TARGETS
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.propose import proposed_layout
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile, decode_source, records


def file(*lines: str) -> SourceFile:
    return decode_source("june.csv", "\n".join(lines).encode())


def guesses(*headers: str) -> dict[str, str]:
    text = proposed_layout("june.csv", file(",".join(f'"{header}"' for header in headers)))
    columns: dict[str, str] = tomllib.loads(text)["columns"]
    return columns


@pytest.mark.parametrize(
    ("header", "target"),
    [
        ("Sample Location", "point"),
        ("SITE_CODE", "point"),
        ("Date Sampled", "collected"),
        ("CollectionDate", "collected"),
        ("Analysis Date", "analyzed"),
        ("Date Received", "received"),
        ("Prep Date", "extracted"),
        ("Parameter", "analyte"),
        ("Characteristic Name", "analyte"),
        ("CAS No", "cas"),
        ("Result Value", "value"),
        ("Units", "unit"),
        ("UOM", "unit"),
        ("MDL", "detection_limit"),
        ("RL", "reporting_limit"),
        ("Flags", "qualifier"),
        ("Method", "method"),
        ("Lab Sample ID", "laboratory_sample"),
        ("Client Sample ID", "sample"),
        ("Laboratory", "laboratory"),
        ("Result Identifier", "result_id"),
        ("Remarks", "comment"),
    ],
)
def test_a_usual_header_is_guessed(header: str, target: str) -> None:
    assert guesses(header, "Colour of the lid")[target] == header


def test_the_plainest_of_several_headers_is_taken() -> None:
    found = guesses("Result Comment", "Result", "Report Date", "Date", "Unit of Limit", "Unit")
    assert (found["value"], found["collected"], found["unit"]) == ("Result", "Date", "Unit")


def test_a_word_inside_another_word_is_no_guess() -> None:
    # "rl" is a reporting limit, and part of "Early".
    assert "reporting_limit" not in guesses("Early", "Colour of the lid")


def test_one_column_is_proposed_for_one_thing_only() -> None:
    found = guesses("Lab Sample ID", "Sample ID", "Site", "Test", "Result", "Unit", "Date")
    columns = [column for column in found.values() if column != "?"]
    assert len(columns) == len(set(columns))


def test_what_could_not_be_guessed_is_asked_for() -> None:
    found = guesses("Site", "Who", "Result", "Unit", "Date")
    assert {target for target, header in found.items() if header == "?"} == {"analyte"}


def test_unused_columns_are_listed_for_the_person() -> None:
    text = proposed_layout("june.csv", file("Site,Result,Weather of the day"))
    assert '#   "Weather of the day"' in text


def test_a_proposal_reads_the_file_once_its_questions_are_answered() -> None:
    source = file(
        "Site;What was looked for;Result;Units;Date Sampled;Lab",
        "FW;Nitrate as N;2.1;mg/L;2026-05-04 08:15;Tarnwick",
    )
    filled = proposed_layout("june.csv", source).replace('"?"', '"What was looked for"')
    layout = read_layout("june.toml", filled)
    assert choose_layout(source, [layout]) is layout
    (cell,) = read_cells(source, layout).table.to_pylist()
    assert [cell[f"{target}_text"] for target in ("point", "analyte", "value", "unit", "collected", "laboratory")] == [
        "FW", "Nitrate as N", "2.1", "mg/L", "2026-05-04 08:15", "Tarnwick",
    ]  # fmt: skip


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_the_one_that_makes_most_columns(delimiter: str) -> None:
    text = proposed_layout("june.csv", file(delimiter.join(["Site", "Test", "Result"])))
    assert tomllib.loads(text)["delimiter"] == delimiter


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=10), min_size=2, max_size=8))
def test_any_header_gives_a_layout_that_can_be_read(headers: list[str]) -> None:
    written = ",".join('"' + header.replace('"', '""') + '"' for header in headers)
    try:
        source = decode_source("june.csv", written.encode())
    except FileError:
        return  # not a text file
    named = {header.strip() for header in next(records(source, ",")).fields} - {""}
    if len(named) < 2:
        return
    layout = read_layout("june.toml", proposed_layout("june\n.csv", source))
    assert set(NEEDED_TARGETS) <= layout.columns.keys()
    assert {header for columns in layout.columns.values() for header in columns} <= named | {"?"}
