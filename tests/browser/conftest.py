"""A real browser on the sample plant's dashboard."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.dashboard_server import served

ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-first-run", "--disable-quic",
]  # fmt: skip


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """Debian's Chromium, headless."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def dashboard(chromium: str, demo_store: Path) -> Iterator[str]:  # noqa: ARG001 - no server where there is no browser
    """Address of the sample plant's dashboard."""
    with served(demo_store) as address:
        yield address


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A new tab of a wide window."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, color_scheme="light")
    yield context.new_page()
    context.close()
