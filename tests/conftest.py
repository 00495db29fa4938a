"""What several folders of tests share: open data, a browser, and one demo store built once a run."""

import os
import shutil
import time
from pathlib import Path

import pytest
from hypothesis import settings

from app.commands.demo import build_demo

# A loaded machine is no fault of a property. In a run that decides about a change the examples are the same each time,
# and fewer; everywhere else they are new, and what they find becomes an example of its own.
settings.register_profile("by hand", deadline=None)
settings.register_profile("deciding", deadline=None, derandomize=True, max_examples=30)
settings.load_profile("deciding" if os.environ.get("CI") else "by hand")

CHROMIUM = "/usr/bin/chromium"


def _skip(kind: str, why: str) -> None:
    """Skip, saying so; where nothing may be skipped (``BARRIERBOOK_NO_SKIPS``), fail instead."""
    if os.environ.get("BARRIERBOOK_NO_SKIPS", "") in ("1", kind):
        pytest.fail(f"may not be skipped here: {why}")
    pytest.skip(why)


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of open data that nobody here wrote; the tests that use it are skipped where it is not."""
    named = os.environ.get("BARRIERBOOK_OPEN_DATA", "")
    if not named or not Path(named).is_dir():
        _skip("open data", "BARRIERBOOK_OPEN_DATA names no folder of open data")
    return Path(named)


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of Debian's Chromium; the tests that use it are skipped where it is not installed."""
    if not Path(CHROMIUM).exists():
        _skip("browser", f"{CHROMIUM} is not installed")
    return CHROMIUM


@pytest.fixture(scope="session")
def demo_store(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The sample plant's store, built once a run and shared by all workers: read it, or copy it to write."""
    base = tmp_path_factory.getbasetemp()
    shared = (base if worker_id == "master" else base.parent) / "demo"
    try:
        shared.mkdir()
    except FileExistsError:
        _wait_for(shared / "done")
    else:
        build_demo(shared / "barrierbook-demo")
        (shared / "done").touch()
    return shared / "barrierbook-demo"


@pytest.fixture
def demo_copy(demo_store: Path, tmp_path: Path) -> Path:
    """A copy of the sample plant's store, to be written to."""
    return Path(shutil.copytree(demo_store, tmp_path / "demo"))


def _wait_for(done: Path) -> None:
    deadline = time.monotonic() + 600
    while not done.exists():
        if time.monotonic() > deadline:
            pytest.fail("another worker did not finish the demo store")
        time.sleep(0.2)
