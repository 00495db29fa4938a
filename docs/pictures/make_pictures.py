"""Make the pictures of the README from the demo: python docs/pictures/make_pictures.py

Builds the sample plant's store in a temporary folder, serves its dashboard, and takes the pictures with Debian's
Chromium. Nothing in them is a real plant's.
"""

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent.parent))  # run as a script, the checkout is not on the path

from app.commands.demo import build_demo  # noqa: E402
from tests.browser.conftest import ARGUMENTS  # noqa: E402
from tests.browser.dashboard_server import served  # noqa: E402

# Each picture: its page, and what has to be drawn before it is taken.
PICTURES = {
    "finished-water.png": ("finished-water", "table img"),
    "one-analyte.png": ("analyte?limit=us-primary-bromate&point=FIN", "[data-testid=stVegaLiteChart] svg"),
}


def main() -> None:
    """Take every picture anew."""
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "demo"
        build_demo(store)
        with served(store) as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
            page = browser.new_page(viewport={"width": 1440, "height": 900}, color_scheme="light")
            for name, (path, drawn) in PICTURES.items():
                page.goto(f"{address}/{path}")
                page.wait_for_selector(drawn)
                page.wait_for_timeout(1500)
                page.screenshot(path=HERE / name)
            browser.close()


if __name__ == "__main__":
    main()
