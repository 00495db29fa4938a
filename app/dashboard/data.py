"""What pages read, and how long an answer holds.

Every answer is kept for as long as the store and the plant folder have not moved on: the store's last event and the
version of the plant folder are part of each question. Connections are read-only and last for one question, so a load
is never kept waiting; while one is writing, pages go on showing the state before it.
"""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final

import streamlit as st

from app.answers import suggestions as suggested
from app.as_of import instant
from app.book import Book, open_book
from app.dashboard import links
from app.field_words import in_words
from app.held_cells import Held, read_held
from app.reports.month import MonthReport, month_report
from pipeline import evaluate
from pipeline.errors import StoreBusyError
from pipeline.knowledge import Knowledge, known_at
from pipeline.plant.plant import Plant
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.store import reading
from pipeline.store import series_results as store_series
from pipeline.store.sample_log_fields import field_readings_of_samples
from pipeline.store.series_results import SeriesThereIs
from pipeline.trends.model import SeriesResult
from pipeline.unknown_texts import HeldFor
from pipeline.vocabulary import CellOutcome
from pipeline.what_changed import ChangedVerdict, what_changed
from pipeline.what_is_due import WhatIsDue, due_on

STORE_VARIABLE: Final = "BARRIERBOOK_STORE"

_KNOWN: Final = "what is known"
_DAYS_KEPT: Final = 8


@dataclass(frozen=True, slots=True)
class Load:
    """One loaded file and its account."""

    load_id: int
    loaded_at: datetime
    file: str
    layout: str
    cells: Mapping[CellOutcome, int]
    lines: Mapping[str, int]
    flagged: int


def store_folder() -> Path | None:
    """The store folder that the dashboard was started on; ``None`` when none was named or it holds no store."""
    named = os.environ.get(STORE_VARIABLE, "")
    folder = Path(named)
    return folder if named and (folder / "store.duckdb").exists() else None


def refresh() -> bool:
    """Look how far the store has come, once a page; true when it is busy and an earlier state is shown.

    Raises
    ------
    BarrierbookError
        When the store or its plant folder cannot be read, or the store is busy and nothing earlier is known.
    """
    book = _book()
    asked = st.query_params.get(links.AS_KNOWN, "")
    try:
        knowledge = known_at(book.store, book.plant, instant(asked, book.plant.zone) if asked else None)
        with book.store.read() as connection:
            newest = reading.head(connection)
            head = reading.head(connection, knowledge.as_of_event) if asked else newest
        st.session_state[_KNOWN] = _Known(book, knowledge, head, newest.event_id)
    except StoreBusyError:
        if _KNOWN not in st.session_state:
            raise
        return True
    return False


def plant() -> Plant:
    """The plant as its folder describes it now, or described it at the time that the address asks for."""
    return _known().knowledge.plant


def as_known() -> datetime | None:
    """The time whose knowledge the page shows; ``None`` is now."""
    return _known().knowledge.at


def changes(on: date) -> tuple[ChangedVerdict, ...]:
    """Verdicts of a day that differ now from what the page shows, when it shows an earlier knowledge."""
    known = _known()
    return _changes(known, known.newest_event, known.book.plant.version, on) if as_known() else ()


def today() -> date:
    """The day on which pages evaluate when their address names none."""
    return _known().book.today()


def last_loaded() -> datetime | None:
    """When data were last loaded; ``None`` when never."""
    return _known().head.last_loaded


def verdicts(on: date) -> tuple[Verdict, ...]:
    """Every verdict on a day, at every sample point."""
    return _verdicts(_known(), on)


def due(on: date) -> WhatIsDue:
    """What is due on a day: by the plan, by the sample log, by results above a number."""
    return _due(_known(), on)


def at_sampling() -> Mapping[str, str]:
    """What was read in the field when samples were taken, in words, by our own sample id."""
    return _at_sampling(_known())


def results(analyte: str, sample_point: str, on: date) -> tuple[ScreeningResult, ...]:
    """Results in force of one analyte at one sample point, collected up to a day, in order of collection."""
    return _results(_known(), on).get((sample_point, analyte), ())


def series_there_are() -> tuple[SeriesThereIs, ...]:
    """Every analyte and sample point with results, by name."""
    return _series_there_are(_known())


def series_results(
    analyte: str, sample_points: tuple[str, ...], first: date | None, last: date
) -> tuple[SeriesResult, ...]:
    """Results of one analyte at some sample points between two days, oldest first, read with one query."""
    return _series_results(_known(), analyte, sample_points, first, last)


def month(first: date, sample_points: tuple[str, ...]) -> MonthReport:
    """The report of the month that begins on a day."""
    return _month(_known(), first, sample_points, today())


def findings(result_ids: tuple[int, ...]) -> Mapping[int, str]:
    """What the checks say of results, in words, by result."""
    said = _findings(_known())
    return {result_id: said[result_id] for result_id in result_ids if result_id in said}


def loads() -> tuple[Load, ...]:
    """Every load with its account, newest first."""
    return _loads(_known())


def held(load_id: int | None = None) -> tuple[Held, ...]:
    """Reasons for which cells are held now, of one load or of all."""
    return tuple(one for one in _held(_known()) if load_id is None or one.load_id == load_id)


def suggestions(load_id: int) -> tuple[HeldFor, ...]:
    """What unknown texts hold the cells of a load, and what they can mean."""
    return _suggestions(_known(), load_id)


def book() -> Book:
    """The store and the plant as they are now."""
    return _known().book


@dataclass(frozen=True, slots=True)
class _Known:
    """The state of knowledge that an answer belongs to."""

    book: Book
    knowledge: Knowledge
    head: reading.Head
    newest_event: int

    def key(self) -> tuple[str, int, str]:
        """What tells one state from another."""
        return str(self.book.store.folder), self.head.event_id, self.knowledge.plant.version


_HASHES: Final[dict[str | type[Any], Callable[[Any], Any]]] = {_Known: _Known.key}


def _known() -> _Known:
    known: _Known | None = st.session_state.get(_KNOWN)
    if known is None:
        raise LookupError("A page asked for data before it made sure that a store is open.")
    return known


def _book() -> Book:
    folder = store_folder()
    if folder is None:
        raise LookupError("A page asked for data although no store is open.")
    written = sorted((str(path), path.stat().st_mtime_ns) for path in (folder / "plant").rglob("*") if path.is_file())
    return _opened((str(folder), tuple(written)))


@st.cache_resource(max_entries=2, show_spinner=False)
def _opened(as_written: tuple[str, tuple[tuple[str, int], ...]]) -> Book:
    folder, _ = as_written
    return open_book(Path(folder))


@st.cache_resource(max_entries=_DAYS_KEPT, hash_funcs=_HASHES, show_spinner="Judging every limit")
def _verdicts(known: _Known, on: date) -> tuple[Verdict, ...]:
    return tuple(evaluate.verdicts(known.book.store, known.knowledge.plant, on, known.knowledge.as_of_event))


@st.cache_resource(max_entries=_DAYS_KEPT, hash_funcs=_HASHES, show_spinner="Looking what is due")
def _due(known: _Known, on: date) -> WhatIsDue:
    knowledge = known.knowledge
    return due_on(known.book.store, knowledge.plant, on, _verdicts(known, on), knowledge.as_of_event)


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner=False)
def _at_sampling(known: _Known) -> dict[str, str]:
    with known.book.store.read() as connection:
        read = field_readings_of_samples(connection, known.knowledge.as_of_event)
    return {sample: in_words(some) for sample, some in read.items()}


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner="Comparing with what is known now")
def _changes(
    known: _Known,
    newest_event: int,  # noqa: ARG001 - the answer holds until the store moves on
    plant_version: str,  # noqa: ARG001 - or the plant folder does
    on: date,
) -> tuple[ChangedVerdict, ...]:
    now = Knowledge(known.book.plant)
    return tuple(what_changed(known.book.store, known.knowledge, now, on))


@st.cache_resource(max_entries=_DAYS_KEPT, hash_funcs=_HASHES, show_spinner=False)
def _results(known: _Known, on: date) -> dict[tuple[str, str], tuple[ScreeningResult, ...]]:
    with known.book.store.read() as connection:
        found = reading.results_for_screening(
            connection, list(known.knowledge.plant.sample_points), on, as_of_event=known.knowledge.as_of_event
        )
    by_analyte: dict[tuple[str, str], list[ScreeningResult]] = {}
    for result in found:
        by_analyte.setdefault((result.sample_point, result.analyte), []).append(result)
    return {key: tuple(some) for key, some in by_analyte.items()}


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner=False)
def _series_there_are(known: _Known) -> tuple[SeriesThereIs, ...]:
    with known.book.store.read() as connection:
        return tuple(store_series.series_there_are(connection, known.knowledge.as_of_event))


@st.cache_resource(max_entries=_DAYS_KEPT, hash_funcs=_HASHES, show_spinner=False)
def _series_results(
    known: _Known, analyte: str, sample_points: tuple[str, ...], first: date | None, last: date
) -> tuple[SeriesResult, ...]:
    with known.book.store.read() as connection:
        return tuple(
            store_series.series_results(
                connection, analyte, sample_points, first=first, last=last, as_of_event=known.knowledge.as_of_event
            )
        )


@st.cache_resource(max_entries=_DAYS_KEPT, hash_funcs=_HASHES, show_spinner="Putting the month together")
def _month(known: _Known, first: date, sample_points: tuple[str, ...], until: date) -> MonthReport:
    return month_report(known.book.store, known.knowledge, first, sample_points, until)


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner=False)
def _findings(known: _Known) -> dict[int, str]:
    with known.book.store.read() as connection:
        rows = reading.results(connection, as_of_event=known.knowledge.as_of_event)
    said = rows.select("result_id", "findings").iter_rows()
    return {int(result_id): str(words) for result_id, words in said if words}


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner=False)
def _loads(known: _Known) -> tuple[Load, ...]:
    with known.book.store.read() as connection:
        rows = list(reading.loads(connection, known.knowledge.as_of_event).iter_rows(named=True))
    return tuple(
        Load(
            load_id=row["load_id"],
            loaded_at=row["loaded_at"],
            file=row["file_name"],
            layout=row["layout"],
            cells={outcome: row[outcome.value.replace(" ", "_")] for outcome in CellOutcome},
            lines={name: row[f"lines_{name}"] for name in ("title", "header", "blank", "data")},
            flagged=row["flagged"],
        )
        for row in rows
    )


@st.cache_resource(max_entries=2, hash_funcs=_HASHES, show_spinner=False)
def _held(known: _Known) -> tuple[Held, ...]:
    with known.book.store.read() as connection:
        return read_held(connection, as_of_event=known.knowledge.as_of_event)


@st.cache_resource(max_entries=4, hash_funcs=_HASHES, show_spinner="Looking for what unknown texts can mean")
def _suggestions(known: _Known, load_id: int) -> tuple[HeldFor, ...]:
    return tuple(suggested(known.book, load_id))
