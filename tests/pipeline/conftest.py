"""A small plant and an empty store, made anew for each test; the clock stands still."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from checks.run import run_checks
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import LoadReport, Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from pipeline.store.connection import Store
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
Loader = Callable[..., LoadReport]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """An empty store with a plant folder of two sample points."""
    empty = Store(tmp_path / "book")
    empty.plant_folder.mkdir(parents=True)
    (empty.plant_folder / "plant.toml").write_text(PLANT_TOML)
    (empty.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    empty.create()
    return empty


@pytest.fixture
def plant(store: Store) -> Plant:
    """The plant of the store."""
    return read_plant(store.plant_folder)


@pytest.fixture
def load(store: Store) -> Loader:
    """Load the bytes of a file into the store, with every check."""

    def loader(content: bytes, name: str = "file.csv", *, dry_run: bool = False) -> LoadReport:
        return load_file(
            store,
            read_plant(store.plant_folder),
            decode_source(name, content),
            list(shipped_layouts().values()),
            run_checks,
            Occasion(NOW, "tester"),
            dry_run=dry_run,
        )

    return loader
