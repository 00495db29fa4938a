"""What a person sees and does on the dashboard, in a real browser."""

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from pipeline.vocabulary import Outcome
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
    "trends?analyte=Bromate&point=FIN": "[data-testid=stVegaLiteChart] svg",
    "reports": "[role=grid]",
}
PATIENCE = 60_000
CAUTION = "Screening aid, not a compliance determination"
ABOVE_OR_TRIGGERED = (
    Outcome.EXCEEDS.value,
    Outcome.REJECTION_CLAIMED.value,
    Outcome.ABOVE_NOT_YET.value,
    Outcome.TRIGGER_REACHED.value,
)
# The document is always as wide as the window: what scrolls is the main part of the page inside it.
TOO_WIDE = """[document.documentElement, document.querySelector("[data-testid=stMain]")]
    .filter(part => part.scrollWidth > part.clientWidth).length"""


def _open(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector("h1", timeout=PATIENCE)
    expect(page.get_by_text(CAUTION)).to_be_visible(timeout=PATIENCE)


def _rows(grid: Locator) -> list[dict[str, str]]:
    """Rows of a table that is drawn on a canvas, from the copy of it that is there for screen readers."""
    names = grid.locator("[role=columnheader]").all_text_contents()
    rows = grid.locator("tbody [role=row]").all()
    return [dict(zip(names, row.locator("[role=gridcell]").all_text_contents(), strict=True)) for row in rows]


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1440, 390])
def test_every_page_is_whole(browser: Browser, dashboard: str, name: str, scheme: str, width: int) -> None:
    window = {"width": width, "height": 900}
    with browser.new_context(viewport=window, color_scheme=scheme) as context:  # type: ignore[arg-type]
        page = context.new_page()
        asked: set[str] = set()
        page.on("request", lambda request: asked.add(urlsplit(request.url).hostname or ""))
        page.on("websocket", lambda socket: asked.add(urlsplit(socket.url).hostname or ""))
        _open(page, f"{dashboard}/{name}")
        page.wait_for_selector(PAGES[name], timeout=PATIENCE, state="attached")
        assert page.evaluate(TOO_WIDE) == 0
        assert page.locator("h1").count() == 1
        # An empty cell of a table on a canvas says "None", and only its copy for screen readers is text.
        words = [page.inner_text("body"), *page.locator("[role=gridcell]").all_text_contents()]
        assert re.findall(r"\b(None|nan|NaN|NaT|Traceback|Error|Exception)\b", "\n".join(words)) == []
        assert asked <= {"127.0.0.1", ""}


def test_the_first_page_answers_without_scrolling(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    page.wait_for_selector("table img", timeout=PATIENCE, state="attached")
    expect(page.locator("h1")).to_contain_text("exceeded")
    for question in ("What needs a person today?", "Is the finished water inside every limit?"):
        expect(page.get_by_role("heading", name=re.compile(re.escape(question)))).to_be_visible()
    boxes = [part.bounding_box() for part in (*page.locator("table").all(), page.get_by_text(CAUTION))]
    assert [box for box in boxes if not box or box["y"] + box["height"] > 900] == []


def test_what_is_exceeded_is_one_click_away(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    page.get_by_role("link", name=re.compile("limits exceeded")).click()
    expect(page.locator("h1")).to_contain_text(re.compile(r"of \d+ limits are exceeded"), timeout=PATIENCE)
    expect(page.get_by_role("combobox", name="Show")).to_have_value("Above or triggered", timeout=PATIENCE)
    verdicts = page.locator("table tbody tr td:nth-of-type(1)")
    expect(verdicts.first).to_contain_text("exceeds", timeout=PATIENCE)
    assert [text for text in verdicts.all_inner_texts() if not text.endswith(ABOVE_OR_TRIGGERED)] == []


def test_an_exceedance_opens_its_chart_and_its_arithmetic(page: Page, dashboard: str) -> None:
    _open(page, f"{dashboard}/finished-water")
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Manganese").first.click()
    analyte = opened.value
    expect(analyte.locator("h1")).to_contain_text("Manganese exceeds its limit", timeout=PATIENCE)
    expect(analyte.locator("[data-testid=stVegaLiteChart] svg").first).to_be_visible(timeout=PATIENCE)
    steps = analyte.locator("table").first.locator("tr")
    numbers = [step.locator("td").first.inner_text() for step in steps.all() if step.locator("td").count()]
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]
    expect(steps.filter(has_text="Compared")).to_contain_text("is above 0.05 mg/L")


def test_a_result_is_found_on_the_line_that_the_page_names(page: Page, dashboard: str, demo_store: Path) -> None:
    _open(page, f"{dashboard}/{BROMATE}")
    page.wait_for_selector("[role=grid] tbody [role=row]", timeout=PATIENCE, state="attached")
    rows = _rows(page.locator("[role=grid]").first)
    assert len(rows) > 5
    for row in rows:
        lines = (demo_store / "files" / row["File"]).read_text("utf-8-sig").splitlines()
        (delivered,) = csv.DictReader([lines[0], lines[int(row["Line"]) - 1]])
        assert (delivered[row["Column"]], delivered["collected"][:10]) == (row["Value"], row["Collected"])


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


def test_the_keyboard_opens_another_page(page: Page, dashboard: str) -> None:
    _open(page, dashboard)
    page.wait_for_selector("table img", timeout=PATIENCE, state="attached")
    for _ in range(8):
        page.keyboard.press("Tab")
        # Only a link counts: the body has the focus at first, and its text holds every word of the page.
        if page.evaluate("document.activeElement.matches('a[href$=\"/load\"]')"):
            break
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text(".csv", timeout=PATIENCE)  # the title names the newest file
    assert urlsplit(page.url).path == "/load"


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
    account = "2 = 0 empty + 0 set aside + 1 held + 0 duplicate + 1 new + 0 revision"
    expect(page.get_by_text(re.compile(re.escape(account)))).to_be_visible()
    expect(page.get_by_text(re.compile("furlong"))).to_be_visible()
    expect(page.get_by_text("Name the unit in aliases.csv")).to_be_visible()
