"""The store proves itself: what can be recomputed is recomputed, what was archived is hashed again."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import duckdb

from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.sample_log_reading import verify_sample_log
from pipeline.store.settling import query_text
from pipeline.vocabulary import ReportStatus

_STATUS_RANK = {ReportStatus.PRELIMINARY: 0, ReportStatus.FINAL: 1, ReportStatus.REJECTED: 2}


@dataclass(frozen=True, slots=True)
class Proof:
    """What was proved, and what was found wrong; both in plain words."""

    checked: tuple[str, ...]
    faults: tuple[str, ...]


class _Version(NamedTuple):
    key_id: int
    result_id: int
    event_id: int
    status: str
    revision: Decimal | None
    reported_on: date | None

    @property
    def order(self) -> tuple[Decimal, date, int]:
        return (self.revision or Decimal(0), self.reported_on or date.min, _STATUS_RANK[ReportStatus(self.status)])


class _Interval(NamedTuple):
    result_id: int
    from_event: int
    to_event: int | None


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
        for name, said in _QUESTIONS.items():
            rows = connection.execute(query_text(f"verify_{name}")).fetchall()
            faults += [f"{said}: {', '.join(map(str, row))}." for row in rows]
        checked.append("every cell of every load has one outcome, and every result its cell")
        faults += list(_wrong_intervals(connection))
        checked.append("the results in force are those that the deliveries make, recomputed one by one")
        faults += verify_sample_log(connection)
        checked.append("the samples in force are those that the custody sheets make")
    return Proof(tuple(checked), tuple(faults))


_QUESTIONS = {
    "cells_without_one_outcome": "a cell does not have one outcome at one event (load, cell)",
    "results_without_cell": "a result has no cell that became it (result)",
    "keys_not_unique": "two keys are the same result (key hash)",
    "two_in_force": "two versions of one result are in force (key)",
}


def _wrong_intervals(connection: duckdb.DuckDBPyConnection) -> Iterator[str]:
    """Differences between the intervals in the store and those that a plain replay of the deliveries gives."""
    versions = [_Version(*row) for row in connection.execute(query_text("verify_versions")).fetchall()]
    stored = {_Interval(*row) for row in connection.execute(query_text("verify_intervals")).fetchall()}
    replayed = set(_replayed(versions))
    for interval in sorted(stored ^ replayed, key=lambda interval: interval[:2]):
        place = "is" if interval in stored else "is not"
        yield (
            f"result {interval.result_id} {place} in force from event {interval.from_event}, against what the "
            "deliveries say: restore the store from a backup, or load the archive into a new one."
        )


def _replayed(versions: list[_Version]) -> Iterator[_Interval]:
    by_key: dict[int, list[_Version]] = defaultdict(list)
    for version in versions:
        by_key[version.key_id].append(version)
    for of_key in by_key.values():
        yield from _replayed_key(of_key)


def _replayed_key(versions: list[_Version]) -> Iterator[_Interval]:
    counting: _Version | None = None
    since = 0
    known: list[_Version] = []
    for event_id in sorted({version.event_id for version in versions}):
        known += [version for version in versions if version.event_id == event_id]
        newest = max(known, key=lambda version: version.order)
        now_counting = None if newest.status == ReportStatus.REJECTED else newest
        if now_counting != counting:
            if counting is not None:
                yield _Interval(counting.result_id, since, event_id)
            counting, since = now_counting, event_id
    if counting is not None:
        yield _Interval(counting.result_id, since, None)
