"""The store and the plant folder meet the schedule: what is due on a day, and which samples are overdue."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import duckdb

from pipeline.due.confirmations import confirmations_due
from pipeline.due.due import Terms, next_due, outstanding_samples, overdue_samples, what_is_due
from pipeline.due.model import Due, Found, Standing, TakenSample
from pipeline.due.questions import HeldLine, OtherPoint, at_another_point
from pipeline.due.samplings import PointAndAnalyte, samplings_of
from pipeline.ingest.time_text import read_time
from pipeline.plant.plant import Plant
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.sample_log_reading import LoggedLine, sample_lines
from pipeline.store.sample_log_results import KnownResult, known_results
from pipeline.vocabulary import ReportStatus, ValueKind


@dataclass(frozen=True, slots=True)
class WhatIsDue:
    """Everything that is due on a day.

    Parameters
    ----------
    held
        Cells of results that are held, as they were written.
    other_points
        Samples that a report puts at another point than the sample log.
    next_due
        Day by which the next sample has to be taken; ``None`` where the plan asks for none.
    """

    on: date
    dues: tuple[Due, ...]
    held: tuple[HeldLine, ...]
    other_points: tuple[OtherPoint, ...]
    next_due: date | None


def due_on(
    store: Store, plant: Plant, on: date, verdicts: Iterable[Verdict] = (), as_of_event: int | None = None
) -> WhatIsDue:
    """What is due on a day: by the monitoring plan, by the sample log, and by results above a number.

    Parameters
    ----------
    verdicts
        Verdicts of that day; they say which confirmation samples are asked for.
    as_of_event
        The event after which the store is asked; ``None`` is now.
    """
    with store.read() as connection:
        results = known_results(connection, sorted(plant.sample_points), on, as_of_event)
        held_rows = list(reading.held_cells(connection, as_of_event=as_of_event).iter_rows(named=True))
        taken = known_samples(connection, plant, as_of_event)
    found = [*map(_found, results), *held_as_found(held_rows, plant)]
    terms = _terms(plant, on, taken, found)
    samplings = samplings_of(taken, found, plant.monitoring_plan, plant.analyte_groups)
    dues = [
        *confirmations_due(verdicts, taken),
        *what_is_due(plant.monitoring_plan, samplings, terms),
    ]
    # A part whose laboratory the log does not name is told of with any other part of its sample.
    told = {(one.sample_point, one.sample, name) for one in dues if one.sample for name in (one.laboratory, "")}
    outstanding = outstanding_samples(taken, found, terms)
    dues += [one for one in outstanding if (one.sample_point, one.sample, one.laboratory) not in told]
    return WhatIsDue(
        on, tuple(dues), _held_lines(held_rows, plant), tuple(at_another_point(taken, found)), next_due(dues)
    )


def overdue_on(
    connection: duckdb.DuckDBPyConnection,
    plant: Plant,
    on: date,
    sample_points: Collection[str],
    results: Sequence[ScreeningResult],
    as_of_event: int | None = None,
) -> Mapping[PointAndAnalyte, date]:
    """Samples that are overdue on a day at some sample points, with the day since when.

    Parameters
    ----------
    results
        Everything that was collected there up to that day.
    """
    held = reading.held_cells(connection, as_of_event=as_of_event).iter_rows(named=True)
    taken = known_samples(connection, plant, as_of_event)
    found = [*map(_found, results), *held_as_found(held, plant)]
    plan = [row for row in plant.monitoring_plan if row.sample_point in sample_points]
    samplings = samplings_of(taken, found, plan, plant.analyte_groups)
    return overdue_samples(plan, samplings, _terms(plant, on, taken, found))


def known_samples(
    connection: duckdb.DuckDBPyConnection, plant: Plant, as_of_event: int | None = None
) -> list[TakenSample]:
    """Every sample that is logged: by sheets in force, and by the plant folder where no sheet tells of it."""
    lines = sample_lines(connection, as_of_event)
    purposes = {line.content.sample: line.content.purpose for line in lines if line.content.purpose}
    of_sheets = [_taken(line, purposes.get(line.content.sample, "")) for line in lines]
    on_sheets = {sample.sample for sample in of_sheets}
    return [*of_sheets, *(one for one in _of_plant(plant) if one.sample not in on_sheets)]


def _taken(line: LoggedLine, purpose: str) -> TakenSample:
    said = line.content
    return TakenSample(
        sample=said.sample,
        sample_point=said.sample_point,
        collected_on=said.collected_on,
        received_on=said.received_on,
        laboratory=said.laboratory,
        purpose=purpose,
        requested=said.requested,
        confirmation_of=said.confirmation_of,
        repeat_of=said.repeat_of,
        file=line.file,
        line=line.line,
    )


def _of_plant(plant: Plant) -> Iterable[TakenSample]:
    for entry in plant.sample_log.values():
        collected_on = read_time(entry.collected, plant.zone).local_date
        if collected_on is not None:
            yield TakenSample(
                sample=entry.sample,
                sample_point=entry.sample_point,
                collected_on=collected_on,
                received_on=read_time(entry.received, plant.zone).local_date,
                purpose=entry.purpose,
                confirmation_of=entry.confirmation_of,
            )


def _found(result: ScreeningResult | KnownResult) -> Found:
    if result.kind == ValueKind.NOT_ANALYZED:
        standing, reason = Standing.UNUSABLE, f"not analyzed: {result.value_text.strip() or 'no value'}"
    elif result.unusable_because:
        standing, reason = Standing.UNUSABLE, result.unusable_because
    elif result.status == ReportStatus.PRELIMINARY:
        standing, reason = Standing.PRELIMINARY, ""
    else:
        standing, reason = Standing.USABLE, ""
    return Found(
        sample=result.sample,
        sample_point=result.sample_point,
        analyte=result.analyte,
        collected_on=result.collected_on,
        laboratory=result.laboratory,
        purpose=result.purpose,
        standing=standing,
        reason=reason,
        file=result.file,
        line=result.line,
    )


def held_as_found(rows: Iterable[Mapping[str, Any]], plant: Plant) -> list[Found]:
    """Held cells of which analyte, point and day are known, one a cell."""
    cells = {
        (row["load_id"], row["cell_id"]): Found(
            sample=row["sample_text"] or f"{row['file_name']}, line {row['line']}",
            sample_point=row["sample_point"],
            analyte=row["analyte"],
            collected_on=row["collected_on"],
            laboratory=_laboratory(plant, row),
            purpose="",
            standing=Standing.HELD,
            reason=row["message"] or "",
            file=row["file_name"],
            line=row["line"],
        )
        for row in rows
        if row["sample_point"] and row["analyte"] and row["collected_on"]
    }
    return list(cells.values())


def _held_lines(rows: Iterable[Mapping[str, Any]], plant: Plant) -> tuple[HeldLine, ...]:
    """Held cells with every reason that holds them; lines of our own sheets are nothing to ask a laboratory about."""
    gathered: dict[tuple[int, int], list[Mapping[str, Any]]] = {}
    for row in rows:
        if row["unit_text"] or row["value_text"] != row["sample_text"]:
            gathered.setdefault((row["load_id"], row["cell_id"]), []).append(row)
    return tuple(
        HeldLine(
            laboratory=_laboratory(plant, first),
            sample=first["sample_text"],
            sample_point=first["sample_point"] or first["point_text"],
            analyte=first["analyte"] or first["analyte_text"],
            collected=first["collected_text"],
            value=first["value_text"].strip(),
            unit=first["unit_text"].strip(),
            file=first["file_name"],
            line=first["line"],
            column=first["column_name"],
            reason=" ".join(row["message"] or "" for row in alike),
        )
        for alike in gathered.values()
        for first in alike[:1]
    )


def _laboratory(plant: Plant, row: Mapping[str, Any]) -> str:
    written = " ".join(row["laboratory_text"].split())
    return plant.names.laboratory(written, written, row["collected_on"]) or written


def _terms(plant: Plant, on: date, taken: Iterable[TakenSample], found: Iterable[Found]) -> Terms:
    days = [one.collected_on for one in taken] + [one.collected_on for one in found]
    return Terms(
        on=on,
        known_from=min(days, default=None),
        turnaround={
            name: laboratory.turnaround_days
            for name, laboratory in plant.laboratories.items()
            if laboratory.turnaround_days is not None
        },
    )
