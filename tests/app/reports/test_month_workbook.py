"""The report of a month against figures worked by hand, and the workbook read back with another program.

``hand_worked_2026_05.csv`` was worked out on paper from the rows below: counted, lowest and highest by eye; what a
limit stands at is the latest result rounded half up to the limit's step (nitrate 3.40 to a whole mg/L is 3, fluoride
0.65 to a tenth is 0.7, manganese 60.70 ug/L is 0.0607 mg/L and to a hundredth 0.06, above 0.05: 40 CFR 143.3). ``line``
is the line of the highest in the delivered file, whose header is line 1.
"""

import csv
import io
from collections.abc import Callable
from datetime import UTC, date
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from app.cli import main
from app.reports.month import MonthReport, days_of, month_report
from app.reports.sheets import FLAGGED, HELD, UNANSWERED, finished_water, missing, results, sheets
from app.reports.workbook import file_name, workbook
from pipeline.knowledge import Knowledge
from pipeline.load import LoadReport
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store

MONTH = date(2026, 5, 1)
ZONE = ZoneInfo("America/Los_Angeles")
NITRITE = {"analyte": "Nitrite as N", "method": "EPA 353.2", "basis": ""}
MANGANESE = {
    "analyte": "Manganese", "fraction": "total", "unit": "ug/L", "reporting_limit": "0.5", "method": "EPA 200.8",
}  # fmt: skip
FLUORIDE = {"analyte": "Fluoride", "method": "EPA 300.0"}
DAYS = ("2026-05-04", "2026-05-11", "2026-05-18", "2026-05-05", "2026-05-12", "2026-05-04", "2026-05-06", "2026-05-13")
ROWS = (
    {"value": "2.10"},
    {"value": "<0.10"},
    {"value": "3.40"},
    {**NITRITE, "value": "<0.010", "reporting_limit": "0.010"},
    {**NITRITE, "value": "<0.020", "reporting_limit": "0.020"},
    {**MANGANESE, "value": "60.70"},
    {**FLUORIDE, "value": "0.40"},
    {**FLUORIDE, "value": "0.65"},
)
OTHERS = (
    {**FLUORIDE, "value": "9.99", "collected": "2026-03-31 08:15", "laboratory_sample": "L-90", "sample": "S-90"},
    {"analyte": "Sulfate", "unit": "mg/kg", "laboratory_sample": "L-91", "sample": "S-91"},
    {"value": "5", "sample_point": "RO", "laboratory_sample": "L-92", "sample": "S-92", "purpose": "process"},
)


def delivered() -> list[dict[str, str]]:
    """The rows of the month, each a sample of its own, and three that do not belong to it or are held."""
    numbered = [
        {
            **row,
            "laboratory_sample": f"L-{number}",
            "sample": f"S-{number}",
            "collected": f"{day} 08:15",
            "received": f"{day} 12:00",
            "analyzed": f"{day} 15:00",
            "purpose": "compliance",
        }
        for number, (row, day) in enumerate(zip(ROWS, DAYS, strict=True), 1)
    ]
    march = {"received": "2026-03-31 12:00", "analyzed": "2026-03-31 15:00"}
    in_march, held, elsewhere = OTHERS
    return [*numbered, {**in_march, **march, "purpose": "compliance"}, {**held, "purpose": "compliance"}, elsewhere]


@pytest.fixture
def made(new_store: Store, load_into: Callable[..., LoadReport]) -> MonthReport:
    load_into(new_store, *delivered())
    known = Knowledge(read_plant(new_store.plant_folder))
    return month_report(new_store, known, MONTH, [], date(2026, 6, 1))


@pytest.fixture
def opened(made: MonthReport) -> Workbook:
    return load_workbook(io.BytesIO(workbook(made, ZONE)))


def records(book: Workbook, name: str) -> list[dict[str, object]]:
    heading, *rows = book[name].iter_rows(values_only=True)
    return [dict(zip(heading, row, strict=True)) for row in rows]


WORKED = list(csv.DictReader((Path(__file__).parent / "hand_worked_2026_05.csv").open(encoding="utf-8")))


@pytest.mark.parametrize("worked", WORKED, ids=[f"{row['analyte']} {row['kind']}" for row in WORKED])
def test_the_workbook_says_what_was_worked_by_hand(worked: dict[str, str], opened: Workbook) -> None:
    (row,) = [
        one
        for one in records(opened, "Finished water")
        if (one["Analyte"], one["Kind"]) == (worked["analyte"], worked["kind"])
    ]
    assert (row["Results in month"], row["Non-detects"]) == (int(worked["results"]), int(worked["non_detects"]))
    assert (row["Lowest"], row["Highest"]) == (worked["lowest"], worked["highest"])
    assert row["Highest, number"] == (float(worked["highest_number"]) if worked["highest_number"] else None)
    assert (row["Stands at"], row["Verdict"]) == (worked["stands_at"], worked["verdict"])
    assert (row["File of the highest"], row["Line"]) == ("x.csv", int(worked["line"]))


def test_a_day_of_another_month_and_another_point_are_not_in_it(made: MonthReport) -> None:
    assert len(made.results) == len(ROWS)
    assert {one.sample_point for one in made.results} == {"FW"}


def test_values_stand_as_reported_and_only_measured_ones_as_numbers(opened: Workbook) -> None:
    rows = [(row["Value"], row["Number"]) for row in records(opened, "Results") if row["Analyte"] == "Nitrate"]
    assert rows == [("2.10", 2.1), ("< 0.10", None), ("3.40", 3.4)]


def test_what_is_held_and_what_has_no_answer_is_told(made: MonthReport) -> None:
    told = missing(made).column("What")
    assert told.count(HELD) == 1
    assert told.count(UNANSWERED) == len(made.unanswered) > 0
    assert told.count(FLAGGED) == len(made.flagged)


def test_the_summary_counts_what_the_sheets_hold(made: MonthReport, opened: Workbook) -> None:
    says = {row["About"]: row["Says"] for row in records(opened, "Summary") if row["About"]}
    assert says["Month"] == "2026-05"
    assert says["Evaluated on"].date() == date(2026, 5, 31)
    assert says["Results of the month"] == len(results(made, ZONE).rows)
    assert says["of these not detected"] == 3
    assert says["Limits"] == len(finished_water(made).rows)
    counted = sum(number for name, number in says.items() if name[:1] in "■□◆?–…◊✓i" and isinstance(number, int))
    assert counted == says["Limits"]


def test_the_same_store_gives_the_same_bytes(made: MonthReport) -> None:
    first, second = (workbook(made, ZONE) for _ in range(2))
    assert first == second
    created = load_workbook(io.BytesIO(first)).properties.created
    assert created == made.last_loaded.astimezone(UTC).replace(tzinfo=None, microsecond=0)


@pytest.mark.parametrize("name", ["Finished water", "Results", "Missing and flagged", "Summary"])
def test_every_sheet_prints_in_landscape_with_its_headings_on_each_page(name: str, opened: Workbook) -> None:
    sheet = opened[name]
    assert sheet.page_setup.orientation == "landscape"
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) in ((1, 0), (None, 0))
    assert sheet.print_title_rows == "$1:$1"


@pytest.mark.parametrize("text", ["=1+1", '=HYPERLINK("http://a.invalid")', "+1", "-1", "@SUM(A1)"])
def test_a_text_that_would_act_stays_a_text(text: str, new_store: Store, load_into: Callable[..., LoadReport]) -> None:
    load_into(new_store, {"method": text, "purpose": "compliance"})
    known = Knowledge(read_plant(new_store.plant_folder))
    made = month_report(new_store, known, MONTH, [], date(2026, 6, 1))
    sheet = load_workbook(io.BytesIO(workbook(made, ZONE)))["Results"]
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == text]
    assert (cell.data_type, cell.quotePrefix) == ("s", True)
    assert not [cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f" or cell.hyperlink]


def test_a_month_without_anything_is_a_report_all_the_same(made: MonthReport, new_store: Store) -> None:
    known = Knowledge(read_plant(new_store.plant_folder))
    empty = month_report(new_store, known, date(2020, 2, 3), [], date(2026, 6, 1))
    assert (empty.first, empty.last, empty.results) == (date(2020, 2, 1), date(2020, 2, 29), [])
    assert len(sheets(empty, ZONE)) == len(sheets(made, ZONE))
    assert file_name(empty) == "finished-water_2020-02_FW.xlsx"


def test_a_month_that_is_not_over_is_judged_today(new_store: Store) -> None:
    made = month_report(new_store, Knowledge(read_plant(new_store.plant_folder)), MONTH, [], date(2026, 5, 20))
    assert made.evaluated_on == date(2026, 5, 20)
    assert days_of(date(2026, 12, 31)) == (date(2026, 12, 1), date(2026, 12, 31))


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--month", "May"], "is not a month"),
        (["--month", "2026-05", "--to", "a.csv"], "is no .xlsx file"),
        (["--month", "2026-05", "--point", "nowhere"], "there is no sample point"),
    ],
)
def test_what_cannot_be_reported_is_told(given, said, new_store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", *given, "--store", str(new_store.folder)]) == 1
    assert said in capsys.readouterr().err


def test_the_command_writes_the_workbook(made: MonthReport, new_store: Store, tmp_path: Path) -> None:
    to = tmp_path / "may.xlsx"
    assert main(["report", "--month", "2026-05", "--to", str(to), "--store", str(new_store.folder)]) == 0
    assert to.read_bytes() == workbook(made, ZONE)
