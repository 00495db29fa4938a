"""A newcomer maps a workbook that no layout knows, in a real browser, without a line of code."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from pipeline.store.connection import Store
from tests.browser.dashboard_server import served
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS
from tests.unknown_workbook import CELLS, unknown_workbook

pytestmark = [pytest.mark.browser]

PATIENCE = 120_000


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """An empty store with the plant folder of the tests."""
    made = Store(tmp_path / "book")
    made.plant_folder.mkdir(parents=True)
    (made.plant_folder / "plant.toml").write_text(PLANT_TOML)
    (made.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    made.create()
    return made


@pytest.fixture
def dashboard(chromium: str, store: Store) -> Iterator[str]:  # noqa: ARG001 - no server where there is no browser
    """A dashboard of its own."""
    with served(store.folder) as address:
        yield address


def test_an_unknown_workbook_is_mapped_and_loaded(page: Page, dashboard: str, store: Store, tmp_path: Path) -> None:
    workbook = tmp_path / "three years.xlsx"
    workbook.write_bytes(unknown_workbook())
    page.goto(f"{dashboard}/load")
    page.locator("input[type=file]").set_input_files(workbook)
    expect(page.get_by_text("1 file is not known yet")).to_be_visible(timeout=PATIENCE)
    expect(page.get_by_text(f"{CELLS} cells as they would be stored")).to_be_visible(timeout=PATIENCE)
    page.get_by_role("combobox", name="laboratory", exact=True).click()
    page.get_by_role("option", name="the same text in every row").click()
    page.get_by_label("laboratory of every row").fill("Fernholm Laboratory")
    page.get_by_label("laboratory of every row").press("Enter")
    expect(page.get_by_text("Nothing says")).to_have_count(0)
    page.get_by_role("button", name="Save and load").click()
    expect(page.locator("h1")).to_contain_text("none is held", timeout=PATIENCE)
    with store.read() as connection:
        stored = connection.execute("SELECT count(*), min(laboratory) FROM result_current").fetchone()
    assert stored == (CELLS, "Fernholm Laboratory")
    assert not list((store.folder / "waiting").glob("*/*"))
