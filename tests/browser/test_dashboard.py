"""What a person sees and does on the dashboard, in a real browser."""

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.dashboard_server import served
from tests.narrow_files import narrow_file

pytestmark = [pytest.mark.browser]

BROMATE = "analyte?limit=us-primary-bromate&point=FIN"
# Each page, and what has to be drawn before it is whole.
PAGES = {
    "": "table img",
    "load": "[role=grid]",
    "finished-water": "table img",
    BROMATE: "[data-testid=stVegaLiteChart] svg",
    "limit-table": "[role=grid]",
}
PATIENCE = 60_000


def _open(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector("h1", timeout=PATIENCE)
    expect(page.get_by_text("Screening aid, not a compliance determination")).to_be_visible(timeout=PATIENCE)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1440, 390])
def test_every_page_is_whole(browser: Browser, dashboard: str, name: str, scheme: str, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(urlsplit(request.url).hostname or ""))
    _open(page, f"{dashboard}/{name}")
    page.wait_for_selector(PAGES[name], timeout=PATIENCE, state="attached")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("h1").count() == 1
    words = page.inner_text("body")
    assert not re.search(r"\b(None|nan|NaT|Traceback|Exception)\b", words)
    assert asked <= {"127.0.0.1", ""}
    context.close()


def test_the_first_page_answers_without_scrolling(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    expect(page.locator("h1")).to_contain_text("exceeded")
    for question in ("What needs a person today?", "Is the finished water inside every limit?"):
        expect(page.get_by_role("heading", name=re.compile(re.escape(question)))).to_be_visible()
    caution = page.get_by_text("Screening aid, not a compliance determination").bounding_box()
    assert caution
    assert caution["y"] + caution["height"] <= 900


def test_an_exceedance_leads_to_its_arithmetic_and_its_line(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    page.get_by_role("link", name=re.compile("limits exceeded")).click()
    expect(page.locator("h1")).to_contain_text("of 106 limits are exceeded", timeout=PATIENCE)
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Manganese").first.click()
    analyte = opened.value
    analyte.wait_for_selector("h1", timeout=PATIENCE)
    expect(analyte.locator("h1")).to_contain_text("Manganese exceeds its limit", timeout=PATIENCE)
    expect(analyte.get_by_text("How the verdict was reached")).to_be_visible()
    expect(analyte.get_by_text("Compared")).to_be_visible()
    expect(analyte.locator("[data-testid=stVegaLiteChart]").first).to_be_visible(timeout=PATIENCE)
    # The table of source rows is a canvas; its accessible copy holds the texts.
    expect(analyte.locator("[role=grid]").first).to_contain_text("tarnwick_2026-", timeout=PATIENCE)


def test_a_reload_shows_the_same_view(page: Page, dashboard: str) -> None:
    _open(page, f"{dashboard}/{BROMATE}&on=2026-06-30")
    expect(page.locator("h1")).to_contain_text("Bromate")
    before = page.locator("h1").inner_text()
    page.reload()
    page.wait_for_selector("h1", timeout=PATIENCE)
    expect(page.locator("h1")).to_have_text(before, timeout=PATIENCE)
    expect(page.get_by_text("evaluated on 30 Jun 2026")).to_be_visible()


def test_the_limit_table_names_its_sources(page: Page, dashboard: str) -> None:
    _open(page, f"{dashboard}/limit-table")
    expect(page.locator("[role=grid]").first).to_contain_text("40 CFR 141.62(b)", timeout=PATIENCE)


def test_the_keyboard_reaches_the_pages(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    reached = []
    for _ in range(12):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.innerText || ''"))
    assert any("Load" in text for text in reached)


@pytest.fixture
def writable(chromium: str, demo_copy: Path) -> Iterator[str]:  # noqa: ARG001 - no server where there is no browser
    """A dashboard of its own, whose store may be written to."""
    with served(demo_copy) as address:
        yield address


def test_a_file_that_is_dropped_in_is_accounted_for(page: Page, writable: str, tmp_path: Path) -> None:
    file = tmp_path / "november.csv"
    file.write_bytes(
        narrow_file(
            {"sample_point": "FIN", "laboratory_sample": "N-1", "sample": "N-1"},
            {"sample_point": "FIN", "laboratory_sample": "N-2", "sample": "N-2", "unit": "furlong"},
        )
    )
    _open(page, f"{writable}/load")
    page.locator("input[type=file]").set_input_files(file)
    expect(page.locator("h1")).to_contain_text("1 cell held in november.csv", timeout=120_000)
    expect(page.get_by_text(re.compile("2 = 0 empty"))).to_be_visible()
    expect(page.get_by_text(re.compile("furlong"))).to_be_visible()
