"""The store proves itself: what can be recomputed is recomputed, what was archived is hashed again."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import duckdb

from pipeline.errors import StoreError
from pipeline.plant.plant import version_of
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.replay import Decided, Interval, Said, Version, Withdrawn, replayed
from pipeline.store.sample_log_reading import verify_sample_log
from pipeline.store.settling import query_text
from pipeline.store.verify_readings import verify_readings


@dataclass(frozen=True, slots=True)
class Proof:
    """What was proved, and what was found wrong; both in plain words."""

    checked: tuple[str, ...]
    faults: tuple[str, ...]


def verify_store(store: Store) -> Proof:
    """Prove the store: archive whole, accounts closed, keys unique, and exactly the right results in force."""
    checked: list[str] = []
    faults: list[str] = []
    with store.read() as connection:
        fingerprints = [row[0] for row in connection.execute("SELECT sha256 FROM file ORDER BY file_id").fetchall()]
        faults += [
            f"the archive has lost or damaged {sha256[:12]}: restore it from a backup."
            for sha256 in archive.damaged(store.archive, iter(fingerprints))
        ]
        checked.append(f"{len(fingerprints):,} archived files have the bytes they were delivered with")
        faults += list(_damaged_plant_folders(store, connection))
        checked.append("every plant folder that was used is in the archive as it was")
        for name, said in _QUESTIONS.items():
            rows = connection.execute(query_text(f"verify_{name}")).fetchall()
            faults += [f"{said}: {', '.join(map(str, row))}." for row in rows]
        checked.append("every cell of every load has one outcome, and every result its cell")
        faults += list(wrong_intervals(connection))
        checked.append(
            "the results in force, now and after every event, are those that deliveries, withdrawals and decisions make"
        )
        faults += verify_sample_log(connection)
        checked.append("the samples in force are those that the custody sheets make")
        proved, wrong = verify_readings(connection)
        checked += proved
        faults += wrong
    return Proof(tuple(checked), tuple(faults))


_QUESTIONS = {
    "cells_without_one_outcome": "a cell does not have one outcome at one event (load, cell)",
    "results_without_cell": "a result has no cell that became it (result)",
    "keys_not_unique": "two keys are the same result (key hash)",
    "two_in_force": "two versions of one result are in force (key)",
    "accounts_open": "the account of a load does not close (load)",
    "events_unknown": "something was done at an event that is not there (what, event)",
}


def wrong_intervals(connection: duckdb.DuckDBPyConnection) -> Iterator[str]:
    """Differences between the intervals in the store and those that a plain replay of everything done gives."""

    def rows(name: str) -> list[tuple[Any, ...]]:
        return connection.execute(query_text(f"verify_{name}")).fetchall()

    stored = {Interval(*row) for row in rows("intervals")}
    proved = set(
        replayed(
            (Version(*row) for row in rows("versions")),
            (Said(*row) for row in rows("said")),
            (Withdrawn(*row) for row in rows("withdrawn")),
            (Decided(*row) for row in rows("decided")),
        )
    )
    for interval in sorted(stored ^ proved, key=lambda interval: interval[:2]):
        place = "is" if interval in stored else "is not"
        yield (
            f"result {interval.result_id} {place} in force from event {interval.from_event}, against what the "
            "deliveries say: restore the store from a backup, or load the archive into a new one."
        )


def _damaged_plant_folders(store: Store, connection: duckdb.DuckDBPyConnection) -> Iterator[str]:
    """Versions of the plant folder that the archive cannot give back as they were."""
    for (version,) in connection.execute("SELECT sha256 FROM plant_version ORDER BY plant_version").fetchall():
        try:
            whole = version_of(archive.fetch_folder(store.archive, version)) == version
        except StoreError:
            whole = False
        if not whole:
            yield f"the archive has lost or damaged the plant folder {version[:12]}: restore it from a backup."
