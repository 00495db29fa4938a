"""A layout proposed for a file that no layout knows: what is guessed, on what evidence, and what is asked."""

import csv
import io
import tomllib
from collections.abc import Callable
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import BarrierbookError, LayoutError
from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.propose import Proposal, propose
from pipeline.ingest.propose_choices import with_choices
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS

TODAY = date(2026, 11, 25)
Guess = Callable[..., Proposal]
ROW = {
    "Site": "FW", "Test": "Nitrate as N", "Result": "2.1", "Units": "mg/L", "Date Sampled": "2026-05-04 08:15",
}  # fmt: skip


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    folder = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT_TOML)
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    (folder / "labs.csv").write_text("laboratory,name\nTWL,Tarnwick Water Laboratory\n")
    return read_plant(folder)


@pytest.fixture(scope="module")
def guess(plant: Plant) -> Guess:
    """Propose a layout for a text."""
    return lambda text, **known: propose(file(text), plant, "june", TODAY, **known)


def file(text: str) -> SourceFile:
    return decode_source("june.csv", text.encode())


def rows(*changes: dict[str, str], delimiter: str = ",") -> str:
    """A file of the usual row, changed by what the test says; further columns stand behind the usual ones."""
    written = [{**ROW, **change} for change in changes or ({},)]
    buffer = io.StringIO(newline="")
    writer = csv.DictWriter(buffer, list(written[0]), delimiter=delimiter)
    writer.writeheader()
    writer.writerows(written)
    return buffer.getvalue()


@pytest.mark.parametrize(
    ("header", "text", "target"),
    [
        ("Analysis Date", "2026-05-05", "analyzed"),
        ("Date Received", "2026-05-04", "received"),
        ("Prep Date", "2026-05-05", "extracted"),
        ("CAS No", "14797-55-8", "cas"),
        ("MDL", "0.02", "detection_limit"),
        ("RL", "0.1", "reporting_limit"),
        ("Flags", "U", "qualifier"),
        ("Method", "EPA 300.0", "method"),
        ("Lab Sample ID", "L-1", "laboratory_sample"),
        ("Client Sample ID", "S-1", "sample"),
        ("Laboratory", "TWL", "laboratory"),
        ("Result Identifier", "R-1", "result_id"),
        ("Remarks", "cloudy", "comment"),
        ("Code", "7439-96-5", "cas"),
    ],
)
def test_a_usual_column_is_guessed(guess: Guess, header: str, text: str, target: str) -> None:
    assert guess(rows({header: text})).draft["columns"][target] == header


def test_what_stands_in_a_column_can_veto_its_name(guess: Guess) -> None:
    columns = guess(rows({"Result Date": "2026-05-09", "Value": "see the letter"})).draft["columns"]
    assert columns["value"] == "Result"


def test_columns_with_other_names_are_known_by_what_they_hold(guess: Guess) -> None:
    text = "Zq1,Zq2,Zq3,Zq4,Zq5\nFW,Iron,0.2,mg/L,2026-05-04\nRO,Lead,0.1,ug/L,2026-05-05\n"
    columns = guess(text).draft["columns"]
    assert columns == {"point": "Zq1", "analyte": "Zq2", "unit": "Zq4", "collected": "Zq5", "value": "Zq3"}


@pytest.mark.parametrize("delimiter", [";", "\t", "|"])
def test_the_delimiter_is_the_one_that_splits_every_line_alike(guess: Guess, delimiter: str) -> None:
    text = rows({"Result": "2,1"}, {"Result": "12,4"}, delimiter=delimiter)
    assert guess(text).draft["delimiter"] == delimiter


def test_a_header_below_titles_is_found_and_its_titles_are_used(guess: Guess) -> None:
    found = guess(f"Tarnwick Water Laboratory\nResults, May 2026\n\n{rows()}")
    assert found.draft["columns"]["analyte"] == "Test"
    assert found.draft["constants"] == {"laboratory": "Tarnwick Water Laboratory"}


# The days are chosen so that each row alone decides (a month has no number above 12), or none does.
@pytest.mark.parametrize(
    ("days", "order"),
    [
        (["04/05/2026", "13/05/2026"], "day first"),
        (["05/04/2026", "05/13/2026"], "month first"),
        (["2026/05/04"], "year first"),
        (["2026-05-04"], None),
        (["04/05/2026", "06/07/2026"], None),
    ],
)
def test_the_order_of_dates_is_decided_by_all_rows(guess: Guess, days: list[str], order: str | None) -> None:
    found = guess(rows(*({"Date Sampled": day} for day in days)))
    assert found.draft.get("times", {}).get("order") == order
    asked = [said for said in found.undecided if "times.order" in said]
    assert bool(asked) == (days == ["04/05/2026", "06/07/2026"])


def test_two_orders_of_dates_in_one_file_are_a_question(guess: Guess) -> None:
    found = guess(rows({"Date Sampled": "13/05/2026"}, {"Date Sampled": "05/14/2026"}))
    assert [said for said in found.undecided if said.startswith("Two orders of dates")]


@pytest.mark.parametrize(
    ("numbers", "marks"),
    [
        (["0,5", "1.250,0"], {"decimal": ",", "thousands": "."}),
        (["0.5", "1,250.0"], {"decimal": ".", "thousands": ","}),
        (["0,5"], {"decimal": ","}),
        (["0.5", "12.4"], None),
        (["1,250"], None),
    ],
)
def test_the_marks_of_numbers_are_decided_by_all_rows(
    guess: Guess, numbers: list[str], marks: dict[str, str] | None
) -> None:
    found = guess(rows(*({"Result": number} for number in numbers), delimiter=";"))
    assert found.draft.get("numbers") == marks
    assert bool([said for said in found.undecided if "numbers.decimal" in said]) == (numbers == ["1,250"])


def test_a_date_and_a_time_beside_it_are_read_together(guess: Guess) -> None:
    found = guess(rows({"Date Sampled": "2026-05-04", "Time": "08:15", "Zone": "PST"}))
    assert found.draft["columns"]["collected"] == ["Date Sampled", "Time", "Zone"]


def test_a_crosstab_is_known_by_its_analytes_and_their_units(guess: Guess) -> None:
    header = "Station,Date,Iron (mg/L),Lead [ug/L],pH,Weather,No\n"
    found = guess(f"{header}FW,2026-05-04,0.2,<0.5,7.1,dry,1\nFW,2026-05-05,0.2,1,7,wet,2\n").draft
    assert found["shape"] == "crosstab"
    assert found["crosstab"] == {
        "headings": ["{analyte} ({unit})", "{analyte} [{unit}]", "{analyte}"],
        "ignored": ["Weather", "No"],
        "heading_says": {"pH": {"analyte": "pH", "unit": "pH units"}},
    }


def test_a_column_of_numbers_in_a_crosstab_is_never_passed_over(guess: Guess) -> None:
    found = guess("Station,Date,Iron (mg/L),Zq\nFW,2026-05-04,0.2,3.1\nFW,2026-05-05,0.2,2.7\n")
    assert "ignored" not in found.draft["crosstab"]
    assert [said for said in found.undecided if '"Zq" holds numbers' in said]


def test_a_line_of_units_below_the_header_is_one(guess: Guess) -> None:
    found = guess("Station,Date,Iron,Lead\n,,mg/L,ug/L\nFW,2026-05-04,0.2,<0.5\nFW,2026-05-05,0.3,1\n")
    assert found.draft["crosstab"]["lines"] == {"unit": 1}


def test_marks_beside_each_value_are_companions(guess: Guess) -> None:
    text = "Station,Date,Iron (mg/L),Flag,Lead (ug/L),Flag\nFW,2026-05-04,0.2,,0.5,U\nFW,2026-05-05,0.2,J,1,U\n"
    assert guess(text).draft["crosstab"]["companions"] == {"qualifier": "Flag"}


def test_one_analyte_a_row_and_one_day_a_column_is_a_crosstab_too(guess: Guess) -> None:
    found = guess("Parameter,Units,2026-05-04,2026-05-05\nIron,mg/L,0.2,0.3\nLead,ug/L,<0.5,1\n")
    assert found.draft["crosstab"]["headings"] == ["{collected}"]
    assert found.undecided == ("Nothing says the point: name its column, or give one sample point for the whole file.",)


def test_conditions_of_the_open_lists_are_known_and_others_are_asked_for(guess: Guess) -> None:
    found = guess(rows({"Detection Condition": "Not Detected"}, {"Detection Condition": "LT LOQ"}))
    assert found.draft["words"]["condition"] == {"Not Detected": "below"}
    assert [said for said in found.undecided if '"LT LOQ"' in said]


def test_what_is_no_water_is_set_aside(guess: Guess) -> None:
    found = guess(rows({"Matrix": "Water"}, {"Matrix": "Sediment"}))
    assert found.draft["set_aside"] == [{"column": "Matrix", "equals": ["Sediment"], "reason": "not water"}]


def test_a_limit_whose_kind_stands_beside_it_is_typed(guess: Guess) -> None:
    limit = {"Limit Type": "Method Detection Limit", "Limit": "0.02", "Limit Unit": "mg/L"}
    found = guess(rows(limit)).draft
    assert found["typed_limits"] == [{"kind": "Limit Type", "value": "Limit", "unit": "Limit Unit"}]
    assert "detection_limit" not in found["columns"]


def test_times_at_one_interval_are_readings(guess: Guess) -> None:
    text = "Time,RO-TOC,FIN-TURB\n" + "".join(f"2026-05-04 08:{minute:02}:00,0.05,0.1\n" for minute in range(40))
    found = guess(text)
    assert (found.draft["kind"], found.draft["shape"], found.draft["columns"]) == ("readings", "wide", {"time": "Time"})
    assert found.layout().fits(["Time", "RO-TOC", "FIN-TURB"])


def test_samples_without_values_are_a_sample_log(guess: Guess) -> None:
    found = guess("Sample ID,Location,Collected,Sampler,Bottles\nS-1,FW,2026-05-04 08:15,Q. Ferris,3\n")
    assert found.draft["kind"] == "sample log"
    assert found.draft["columns"] == {
        "sample": "Sample ID", "point": "Location", "collected": "Collected", "bottle": "Bottles", "sampler": "Sampler",
    }  # fmt: skip
    assert found.undecided == ()


def test_every_reason_stands_beside_its_line(guess: Guess) -> None:
    text = guess(rows()).text()
    assert 'point = "Site"  # its name says "site"' in text
    assert guess(rows({"Weather": "dry"})).text().endswith('#   "Weather"\n')


def test_what_could_not_be_guessed_is_asked_for_and_can_be_said(guess: Guess) -> None:
    found = guess(rows().replace("Site", "Where from").replace("FW", "the second tap"))
    assert found.undecided == ("Nothing says the point: name its column, or give one sample point for the whole file.",)
    with pytest.raises(BarrierbookError):
        found.layout()
    assert with_choices(found, {"point": "Where from"}, {}).undecided == ()
    assert with_choices(found, {}, {"point": "FW"}).draft["constants"] == {"point": "FW"}


@pytest.mark.parametrize(
    ("columns", "constants", "said"),
    [
        ({"point": "Sit"}, {}, 'Did you mean "Site"'),
        ({"poin": "Site"}, {}, 'Did you mean "point"'),
        ({}, {"place": "FW"}, "none of our columns"),
    ],
)
def test_a_choice_that_means_nothing_is_refused(
    guess: Guess, columns: dict[str, str], constants: dict[str, str], said: str
) -> None:
    with pytest.raises(LayoutError, match=said):
        with_choices(guess(rows()), columns, constants)


def test_keys_of_the_layout_can_be_set(guess: Guess) -> None:
    found = guess(rows({"Date Sampled": "04/05/2026"}))
    chosen = with_choices(found, {"times.order": "day first", "words.missing": '["n/a"]'}, {})
    layout = chosen.layout()
    assert isinstance(layout, Layout)
    assert (layout.times.order, layout.words.missing, chosen.undecided) == ("day first", ("n/a",), ())


def test_a_proposal_is_recognised_by_the_file_and_reads_it(guess: Guess) -> None:
    source = file(rows())
    layout = guess(rows()).layout()
    assert isinstance(layout, Layout)
    assert choose_layout(source, [layout]) is layout
    (cell,) = read_cells(source, layout).table.to_pylist()
    assert [cell[f"{target}_text"] for target in ("point", "analyte", "value", "unit", "collected")] == [*ROW.values()]


CELLS = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)


@settings(max_examples=60)
@given(st.lists(CELLS, min_size=2, max_size=6), st.lists(st.lists(CELLS, max_size=6), min_size=1, max_size=4))
def test_any_table_gives_a_text_that_says_what_the_draft_says(
    guess: Guess, header: list[str], below: list[list[str]]
) -> None:
    buffer = io.StringIO(newline="")
    csv.writer(buffer).writerows([header, *below])
    try:
        found = guess(buffer.getvalue())
    except BarrierbookError:
        return  # not a text file, or no header in it
    assert tomllib.loads(found.text()) == found.draft
    if not found.undecided:
        assert read_layout("june.toml", found.text())
