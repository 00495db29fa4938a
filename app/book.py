"""A store folder opened for work: the store, the plant that reads it, the layouts it knows."""

import getpass
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from pipeline.errors import StoreError
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout_files import plant_layouts, shipped_layouts
from pipeline.load import Occasion
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from pipeline.store.connection import Store

Clock = Callable[[], datetime]


def system_clock() -> datetime:
    """The present instant; the only place where the product asks the machine for it."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Book:
    """Everything a command or a page works with."""

    store: Store
    plant: Plant
    layouts: tuple[FileLayout, ...]
    now: Clock

    def today(self) -> date:
        """The day in the plant's zone; in a demonstration plant the day its data end."""
        return self.plant.demonstration_date or self.now().astimezone(self.plant.zone).date()

    def occasion(self) -> Occasion:
        """When and by whom something is being done."""
        return Occasion(self.now(), _user())


def open_book(folder: Path, now: Clock = system_clock) -> Book:
    """Open a store folder.

    Raises
    ------
    StoreError
        When there is no store there.
    PlantFolderError
        When its plant folder is wrong, with every fault.
    """
    store = Store(folder)
    if not store.database.exists():
        raise StoreError(
            f'there is no store in "{folder}".',
            "Name it with --store or BARRIERBOOK_STORE, or make one: barrierbook init DIR, or barrierbook demo.",
        )
    plant = read_plant(store.plant_folder)
    return Book(store, plant, all_layouts(store.plant_folder, plant), now)


def all_layouts(folder: Path, plant: Plant) -> tuple[FileLayout, ...]:
    """The layouts of a plant folder, and the shipped ones that none of them replaces.

    Raises
    ------
    PlantRowError
        For the first layout that cannot be used, with its file and key.
    """
    own = plant_layouts(folder, plant.names.scopes)
    return *own.values(), *(layout for name, layout in shipped_layouts().items() if name not in own)


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # no name for the user id, as in some containers
        return "unknown"
