"""Pages as they were known at a time, and what changed since."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import links
from checks.run import run_checks
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from tests.narrow_files import narrow_file

Page = Callable[..., AppTest]
MAY = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
JUNE = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
BETWEEN = "2026-05-20"
LATER = {"sample": "S-2", "laboratory_sample": "L-2", "value": "11.2", "analyte": "Nitrate as N"}


@pytest.fixture
def told(new_store: Store) -> Store:
    """A store that learns of a good nitrate in May, and of one above its limit in June."""
    for at, name, row in ((MAY, "may.csv", {}), (JUNE, "june.csv", LATER)):
        layouts = [shipped_layouts()["narrow.toml"]]
        source = decode_source(name, narrow_file(row))
        load_file(new_store, read_plant(new_store.plant_folder), source, layouts, run_checks, Occasion(at, "tester"))
    return new_store


def _texts(page: AppTest) -> str:
    return " ".join(element.value for kind in (page.title, page.subheader, page.info) for element in kind)


def test_a_page_shows_what_was_known_and_says_so(page: Page, told: Store) -> None:
    shown = page(links.FINISHED_WATER, told, known=BETWEEN)
    assert "No limit is exceeded" in _texts(shown)
    assert "As known on 20\N{NO-BREAK SPACE}May\N{NO-BREAK SPACE}2026" in _texts(shown)


def test_without_a_time_a_page_shows_what_is_known_now(page: Page, told: Store) -> None:
    shown = page(links.FINISHED_WATER, told)
    assert "are exceeded in the finished water" in _texts(shown)
    assert not shown.info


def test_what_changed_since_names_the_verdict_and_the_file(page: Page, told: Store) -> None:
    table = page(links.FINISHED_WATER, told, known=BETWEEN).table[-1].value
    nitrate = table[table["Analyte"] == "Nitrate"].iloc[0]
    assert "meets" in nitrate["Then"]
    assert "above the number" in nitrate["Now"] or "exceeds" in nitrate["Now"]
    assert nitrate["Why"] == r"load: june\.csv"


def test_links_keep_the_time(page: Page, told: Store) -> None:
    shown = page(links.TODAY, told, known=BETWEEN)
    assert all(f"known={BETWEEN}" in link.proto.query_string for link in shown.get("page_link"))


def test_one_click_leads_back_to_what_is_known_now(page: Page, told: Store) -> None:
    shown = page(links.TODAY, told, known=BETWEEN)
    (back,) = [button for button in shown.button if button.label == "See what is known now"]
    back.click().run()
    assert not shown.info
    assert "known" not in shown.query_params


def test_a_time_that_is_none_is_an_error_in_words(page: Page, told: Store) -> None:
    shown = page(links.FINISHED_WATER, told, known="in spring")
    assert "is not a day or a time" in shown.error[0].value


def test_before_the_first_load_nothing_was_known(page: Page, told: Store) -> None:
    shown = page(links.FINISHED_WATER, told, known="2026-01-01")
    assert "nothing was known yet" in shown.error[0].value
