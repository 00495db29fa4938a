"""What a correction changes: looked at first, in a transaction that is rolled back; done when it is confirmed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

import duckdb
import polars as pl

from pipeline.evaluate import PointAndAnalyte, judge_evidence, read_evidence
from pipeline.load import Occasion
from pipeline.plant.plant import Plant
from pipeline.store import archive
from pipeline.store.connection import Store
from pipeline.store.correcting import changed_results
from pipeline.store.writing import Account, add_event
from pipeline.what_changed import ChangedVerdict, differing

Overdue = Mapping[PointAndAnalyte, date]


@dataclass(frozen=True, slots=True)
class Effect:
    """What a correction does, or would do.

    Attributes
    ----------
    event_id
        The event that did it; ``None`` when it was only looked at.
    results
        Results that begin or stop to count, one row each.
    verdicts
        Verdicts of the day that differ, before and after.
    account
        Of the load that was read again; ``None`` for other corrections.
    """

    event_id: int | None
    results: pl.DataFrame
    verdicts: tuple[ChangedVerdict, ...]
    account: Account | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """When and by whom something is corrected, the day whose verdicts are compared, and whether it is to be done.

    ``overdue`` are samples that are overdue on that day, by sample point and analyte.
    """

    occasion: Occasion
    on: date
    confirmed: bool = False
    overdue: Overdue | None = None


def with_effect(
    store: Store,
    plant: Plant,
    correction: Correction,
    kind: str,
    detail: str,
    act: Callable[[duckdb.DuckDBPyConnection, int], Account | None],
) -> Effect:
    """Do something to the store and say what it changes; without confirmation everything is rolled back.

    Parameters
    ----------
    kind, detail
        Of the event.
    act
        Does it, given the connection and the event; answers the account where there is one.
    """
    if correction.confirmed:
        archive.keep_folder(store.archive, plant.version, plant.files())
    with store.write(discard=not correction.confirmed) as connection:
        before = read_evidence(connection, plant, correction.on)
        event_id = add_event(
            connection,
            kind=kind,
            at=correction.occasion.at,
            who=correction.occasion.who,
            plant_sha256=plant.version,
            detail=detail,
        )
        account = act(connection, event_id)
        results = changed_results(connection, event_id)
        after = read_evidence(connection, plant, correction.on)
    # Judged after the store was given back: it takes longer than the correction.
    verdicts = differing(
        judge_evidence(plant, before, correction.on, correction.overdue),
        judge_evidence(plant, after, correction.on, correction.overdue),
    )
    return Effect(event_id if correction.confirmed else None, results, tuple(verdicts), account)
