"""The page on what is due, its lines on the first page, and field readings beside results."""

from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import links
from checks.run import run_checks
from pipeline.deliver import deliver
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.load import LoadReport, Occasion
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from tests.app.conftest import HOSTILE, NOW
from tests.sample_sheets import sample_sheet

Page = Callable[..., AppTest]
LoadInto = Callable[..., LoadReport]
PLAN = "sample_point,analyte,frequency,effective_from,laboratory\nFW,Nitrate,monthly,2026-05-01,Tarnwick\n"


@pytest.fixture
def planned(new_store: Store) -> Store:
    """A store whose plan asks for nitrate every month; its laboratory takes ten days, and today is June 1, 2026."""
    (new_store.plant_folder / "labs.csv").write_text("laboratory,turnaround_days\nTarnwick,10\n")
    (new_store.plant_folder / "monitoring_plan.csv").write_text(PLAN)
    return new_store


@pytest.fixture
def late(planned: Store, tmp_path: Path) -> Store:
    """The same with a sample of May that is not reported yet, and was sent by somebody with odd remarks."""
    sheet = tmp_path / "sheet.csv"
    sheet.write_bytes(sample_sheet({"comment": HOSTILE}))
    plant, occasion = read_plant(planned.plant_folder), Occasion(NOW, "tester")
    deliver(planned, plant, sheet, list(shipped_layouts().values()), run_checks, occasion)
    return planned


def _rows(shown: AppTest) -> list[tuple[str, str]]:
    table = shown.table[0].value
    when = table["When"].str.replace("\N{NO-BREAK SPACE}", " ")
    return list(zip(table["State"], when, strict=True))


def test_the_title_says_what_needs_a_person(page: Page, late: Store) -> None:
    shown = page(links.DUE, late)
    assert not shown.exception
    assert shown.title[0].value == "One report is late\\."


def test_every_open_state_is_listed_the_most_urgent_first(page: Page, late: Store) -> None:
    assert _rows(page(links.DUE, late)) == [
        (":yellow[Late at the laboratory]", "since 15 May 2026"),
        ("Not sampled yet", "by 30 Jun 2026"),
    ]


def test_the_address_chooses_what_is_listed(page: Page, late: Store) -> None:
    shown = page(links.DUE, late, state="not sampled yet", laboratory="Tarnwick")
    assert [state for state, _ in _rows(shown)] == ["Not sampled yet"]


def test_each_laboratory_has_its_questions_as_workbook_and_text(page: Page, late: Store) -> None:
    shown = page(links.DUE, late)
    assert "1 question to 1 laboratory" in [one.value for one in shown.subheader]
    assert [one.label for one in shown.get("download_button")][-2:] == ["Workbook", "Text"]


def test_without_a_plan_the_page_says_what_is_missing(page: Page) -> None:
    shown = page(links.DUE)
    assert not shown.exception
    assert shown.title[0].value == "The plant has no monitoring plan"


def test_the_first_page_leads_to_late_reports(page: Page, late: Store) -> None:
    labels = [link.label for link in page("", late).get("page_link")]
    assert any("**1**] report late at the laboratory, oldest since 15" in label for label in labels)


def test_when_all_is_well_the_first_page_names_the_next_sample(page: Page, planned: Store, load_into: LoadInto) -> None:
    header, *limits = resources.files("pipeline.reference").joinpath("limits.csv").read_text("utf-8").splitlines(True)
    nitrate = [limit for limit in limits if limit.startswith("us-primary-nitrate,")]
    (planned.plant_folder / "limits.csv").write_text("".join([header, *nitrate]), "utf-8")
    load_into(planned, {})
    texts = [one.value.replace("\N{NO-BREAK SPACE}", " ") for one in page("", planned, on="2026-05-20").markdown]
    assert "Nothing needs a person today. Next sample due Tue 30 Jun." in texts


def test_a_sample_that_is_due_within_the_week_is_named(page: Page, planned: Store, load_into: LoadInto) -> None:
    load_into(planned, {})
    labels = [link.label for link in page("", planned, on="2026-06-24").get("page_link")]
    assert [label.replace("\N{NO-BREAK SPACE}", " ") for label in labels if "this week" in label] == [
        "**1** sample due this week, first by Tue 30 Jun"
    ]


def test_field_readings_stand_beside_the_results_of_their_sample(
    page: Page, planned: Store, load_into: LoadInto
) -> None:
    field = {"laboratory_sample": "F-1", "sample_type": "field measurement", "method": "", "reporting_limit": "",
             "detection_limit": "", "received": "", "analyzed": ""}  # fmt: skip
    load_into(
        planned,
        {},
        {**field, "analyte": "pH", "value": "7.90", "unit": "S.U."},
        {**field, "analyte": "Temperature, water", "value": "18.2", "unit": "deg C"},
    )
    shown = page(links.ANALYTE, planned, limit="us-primary-nitrate", point="FW")
    (nitrate,) = [table.value for table in shown.dataframe if "At sampling" in table.value.columns]
    assert nitrate["At sampling"].to_list() == ["pH 7.90, 18.2 °C"]
