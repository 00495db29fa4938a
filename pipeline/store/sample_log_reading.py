"""Questions to the sample log of the store, and its proof."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import duckdb

from pipeline.ingest.sample_log_content import SampleContent
from pipeline.store.sample_log_writing import content_of_row
from pipeline.store.writing import query_text


@dataclass(frozen=True, slots=True)
class LoggedLine:
    """A line of a sheet that counts, and where it stands."""

    content: SampleContent
    file: str
    line: int


class _Word(NamedTuple):
    logged_id: int
    key_hash: str
    revision: Decimal
    issued_on: date | None
    filled: int
    from_event: int
    to_event: int | None

    @property
    def newest_first(self) -> tuple[Decimal, date, int, int]:
        return -self.revision, _reversed(self.issued_on), -self.filled, self.logged_id


class _Interval(NamedTuple):
    key_hash: str
    logged_id: int
    from_event: int
    to_event: int | None


def sample_lines(connection: duckdb.DuckDBPyConnection, as_of_event: int | None = None) -> tuple[LoggedLine, ...]:
    """Lines of sheets that count, in order of collection; as of an event, or now."""
    rows = connection.sql(query_text("sample_log_lines"), params={"as_of_event": as_of_event})
    names = rows.columns
    said = (dict(zip(names, row, strict=True)) for row in rows.fetchall())
    return tuple(LoggedLine(content_of_row(row), row["file_name"], row["line"]) for row in said)


def verify_sample_log(connection: duckdb.DuckDBPyConnection) -> list[str]:
    """What is wrong with the sample log of the store, in plain words; empty where it proves itself.

    Every line of a sheet has one outcome and the line that it is, and the lines in force are those that a plain replay
    of the sheets gives.
    """
    cells = connection.execute(query_text("sample_log_verify_cells")).fetchall()
    faults = [f"a line of a sheet is not what its outcome says (load, cell): {load}, {cell}." for load, cell in cells]
    words = [_Word(*row) for row in connection.execute(query_text("sample_log_verify_words")).fetchall()]
    stored = {_Interval(*row) for row in connection.execute(query_text("sample_log_verify_intervals")).fetchall()}
    for interval in sorted(stored ^ set(_replayed(words)), key=lambda one: (one.logged_id, one.from_event)):
        is_or_not = "is" if interval in stored else "is not"
        faults.append(
            f"line {interval.logged_id} of the sample log {is_or_not} in force from event {interval.from_event}, "
            "against what the sheets say: restore the store from a backup, or load the archive into a new one."
        )
    return faults


def _replayed(words: list[_Word]) -> Iterator[_Interval]:
    by_key: dict[str, list[_Word]] = defaultdict(list)
    for word in words:
        by_key[word.key_hash].append(word)
    for key_hash, said in by_key.items():
        events = {word.from_event for word in said} | {word.to_event for word in said if word.to_event is not None}
        counting: int | None = None
        since = 0
        for event in sorted(events):
            standing = [one for one in said if one.from_event <= event and not _over(one, event)]
            newest = min(standing, key=lambda word: word.newest_first).logged_id if standing else None
            if newest != counting:
                if counting is not None:
                    yield _Interval(key_hash, counting, since, event)
                counting, since = newest, event
        if counting is not None:
            yield _Interval(key_hash, counting, since, None)


def _over(word: _Word, event: int) -> bool:
    return word.to_event is not None and word.to_event <= event


def _reversed(day: date | None) -> date:
    return date.fromordinal(date.max.toordinal() - day.toordinal() + 1) if day else date.max
