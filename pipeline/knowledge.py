"""What was known at a time: the store up to an event, and the plant folder that was used by then."""

from dataclasses import dataclass
from datetime import datetime

from pipeline.errors import StoreError
from pipeline.plant.folder import read_archived_plant
from pipeline.plant.plant import Plant
from pipeline.store import archive, reading
from pipeline.store.connection import Store


@dataclass(frozen=True, slots=True)
class Knowledge:
    """A state of knowledge, to be handed to whatever reads the store or judges.

    Attributes
    ----------
    plant
        The plant folder as known.
    as_of_event
        The last event that is known; ``None`` is now.
    at
        The time that was asked for; ``None`` is now.
    """

    plant: Plant
    as_of_event: int | None = None
    at: datetime | None = None


def known_at(store: Store, plant: Plant, at: datetime | None) -> Knowledge:
    """What was known at a time.

    Parameters
    ----------
    plant
        The plant folder as it is now; it is the answer where it had not changed by then, or for ``at`` ``None``.
    at
        An instant with its zone; ``None`` is now.

    Raises
    ------
    StoreError
        When nothing was known yet, or the archive has lost the plant folder of then.
    PlantFolderError
        When this installation cannot read the plant folder of then.
    """
    if at is None:
        return Knowledge(plant)
    with store.read() as connection:
        event_id = reading.event_at(connection, at)
    if event_id == 0:
        raise StoreError(
            f"nothing was known yet at {at.astimezone(plant.zone):%Y-%m-%d %H:%M}.", "Ask for a later time."
        )
    return Knowledge(plant_as_of(store, plant, event_id), event_id, at)


def plant_as_of(store: Store, plant: Plant, event_id: int) -> Plant:
    """The plant folder that was last used up to an event, from the archive; ``plant`` itself where it is the same."""
    with store.read() as connection:
        version = reading.plant_version_at(connection, event_id)
    if version in ("", plant.version):
        return plant
    return read_archived_plant(plant.folder, archive.fetch_folder(store.archive, version))
