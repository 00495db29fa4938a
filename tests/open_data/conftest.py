"""Each file of open data loaded into a store of its own, once a run, whichever worker comes first."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from pipeline.store.connection import Store
from tests.open_data.delivery import Delivery, load_twice

Deliver = Callable[[str, str], Delivery]


@pytest.fixture(scope="session")
def deliver(open_data: Path, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Deliver:
    """Load a file twice into a store with the plant folder of that name; other workers wait and share it."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent

    def of(plant: str, file: str) -> Delivery:
        folder, done = shared / f"open_{plant}", shared / f"open_{plant}_done"
        try:
            folder.mkdir()
        except FileExistsError:
            _wait_for(done)
        else:
            load_twice(plant, open_data / file, folder)
            done.touch()
        return Delivery(open_data / file, Store(folder))

    return of


@pytest.fixture(scope="session")
def kentucky(deliver: Deliver) -> Delivery:
    """Rivers and springs of Kentucky, 2024, three agencies: the narrow profile."""
    return deliver("kentucky", "wqx-kentucky-2024/narrowresult.csv")


@pytest.fixture(scope="session")
def cryptosporidium(deliver: Deliver) -> Delivery:
    """Cryptosporidium in source waters of several states, 2001 to 2017: an older narrow profile."""
    return deliver("cryptosporidium", "wqx-cryptosporidium/narrowresult.csv")


@pytest.fixture(scope="session")
def bay_area(deliver: Deliver) -> Delivery:
    """Major ions of Contra Costa County, 1951 to 2022: the physical/chemical profile."""
    return deliver("bay_area", "wqp-bay-area-ions/resultphyschem.csv")


@pytest.fixture(scope="session")
def wqx_3(deliver: Deliver) -> Delivery:
    """One stream, three samples of 2023: WQX 3.0."""
    return deliver("wqx_3", "usgs-wqp-nwis-samples/samples_results.txt")


def _wait_for(done: Path) -> None:
    deadline = time.monotonic() + 600
    while not done.exists():
        if time.monotonic() > deadline:
            pytest.fail("another worker did not finish loading the open data")
        time.sleep(0.2)
