"""Each file of open data loaded into a store of its own, once a run, whichever worker comes first."""

import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from pipeline.store.connection import Store
from tests.open_data.delivery import Delivery, load_twice, write_some

Wanted = Callable[[int, Sequence[str]], bool]
Deliver = Callable[..., Delivery]

NEW_YORK = "nyc-distribution/Drinking_Water_Quality_Distribution_Monitoring_Data.csv"
TORONTO = "toronto-lead-tap/toronto_water_lead_sample.csv"
DAILY_VALUES = "uci-water-treatment/water-treatment.data"
IDAHO = "usgs-inl-groundwater/samples_2019_onward.csv"


@pytest.fixture(scope="session")
def deliver(open_data: Path, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Deliver:
    """Load a file, or some of its records, twice into a store with the plant folder of that name.

    Other workers wait and share it.
    """
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent

    def of(plant: str, file: str, wanted: Wanted | None = None) -> Delivery:
        folder, done = shared / f"open_{plant}", shared / f"open_{plant}_done"
        path = shared / f"some_of_{plant}.csv" if wanted else open_data / file
        try:
            folder.mkdir()
        except FileExistsError:
            _wait_for(done)
        else:
            if wanted:
                write_some(open_data / file, path, wanted)
            load_twice(plant, path, folder)
            done.touch()
        return Delivery(path, Store(folder))

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


@pytest.fixture(scope="session")
def new_york(deliver: Deliver) -> Delivery:
    """Distribution samples of 2015: a crosstab; its first records, and every one with a count above or missing."""

    def wanted(number: int, cells: Sequence[str]) -> bool:
        return number <= 120 or any(cell.startswith((">", "-")) for cell in cells[9:])

    return deliver("new_york", NEW_YORK, wanted)


@pytest.fixture(scope="session")
def toronto(deliver: Deliver) -> Delivery:
    """Lead at taps, 2014 to 2024: the first records, and every one without its place or with one in lower case."""

    def wanted(number: int, cells: Sequence[str]) -> bool:
        return number <= 200 or not cells[3].isupper()

    return deliver("toronto", TORONTO, wanted)


@pytest.fixture(scope="session")
def daily_values(deliver: Deliver) -> Delivery:
    """A waste water plant of 1990 by the day, without a header: its first records."""
    return deliver("daily_values", DAILY_VALUES, lambda number, _: number <= 25)


@pytest.fixture(scope="session")
def idaho(deliver: Deliver) -> Delivery:
    """Wells and streams, 2019 to 2024: the first records, and some of every site's with all kinds of samples."""

    def wanted(number: int, cells: Sequence[str]) -> bool:
        return number <= 200 or number % 90 == 0 or cells[4] == ">"

    return deliver("idaho", IDAHO, wanted)


def _wait_for(done: Path) -> None:
    deadline = time.monotonic() + 600
    while not done.exists():
        if time.monotonic() > deadline:
            pytest.fail("another worker did not finish loading the open data")
        time.sleep(0.2)
