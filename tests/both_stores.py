"""The store in memory, and beside it the one in plain Python: whatever is done is done to both, and compared."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any

import duckdb

from pipeline.store import reading
from pipeline.store.correcting import Decision, DecisionRow, add_withdrawal, decide_cell, decide_version
from pipeline.store.migrations import migrate
from pipeline.store.rereading import add_reading, loads_of_the_file
from pipeline.store.settling import Arrival, begin, let_newest_count
from pipeline.store.verify import wrong_intervals
from pipeline.store.writing import LoadRow, add_event, add_load, read_account
from pipeline.vocabulary import DecisionAction, DecisionScope
from tests.arrivals import ArrivalMaker
from tests.plain_store import Content, Key, PlainStore, Written

START = datetime(2026, 6, 1, tzinfo=UTC)
NAMES = {"Fe": ("Iron", "Manganese", ""), "Mn": ("Manganese", "Iron", "")}
_make = ArrivalMaker()


class BothStores:
    """Two stores with one history; after each event what counts and what is held has to be the same in both."""

    def __init__(self) -> None:
        self.connection = duckdb.connect(":memory:", config={"threads": 1})
        self.connection.execute("SET TimeZone = 'UTC'")
        migrate(self.connection)
        self.plain = PlainStore({name: meanings[0] for name, meanings in NAMES.items()})
        self.known: dict[int, dict[Key, Content]] = {}
        self.held_then: dict[int, set[tuple[int, int]]] = {}

    def load(self, *rows: Written) -> int:
        """Load a file of these rows; answers the number of the load."""
        event_id = self._event("load")
        row = LoadRow(f"{rows}.csv", str(rows), 1, "narrow", "", "utf-8", 0, 1, 0, len(rows))
        load_id, account = add_load(self.connection, row, self._read(rows), event_id)
        assert account.closes
        self.plain.load(load_id, rows)
        self._compare(event_id)
        return load_id

    def withdraw(self, load_id: int) -> None:
        """Withdraw a load."""
        event_id = self._event("withdraw")
        add_withdrawal(self.connection, load_id, "a wrong file", event_id)
        self.plain.withdraw(load_id)
        self._compare(event_id)

    def mean(self, name: str, meaning: int) -> None:
        """Let a name mean another analyte, or none, from now on."""
        self.plain.aliases[name] = NAMES[name][meaning]

    def read_again(self, load_id: int, *, every_cell: bool = True) -> None:
        """Read a load again: its held cells, or all of them and those of other loads of its file."""
        event_id = self._event("retry")
        loads = loads_of_the_file(self.connection, load_id) if every_cell else [load_id]
        begin(self.connection)
        arrival = self._read(self.plain.files[load_id])
        account = add_reading(self.connection, loads, arrival, event_id, held_only=not every_cell)
        let_newest_count(self.connection, event_id)
        assert account.closes
        self.plain.read_again(load_id, every_cell=every_cell, group=every_cell)
        self._compare(event_id)

    def accept(self, key: Key, content: Content) -> None:
        """Let a version count."""
        event_id = self._decide(key, content, Decision(DecisionAction.ACCEPT, "because"))
        self.plain.accept(key, content)
        self._compare(event_id)

    def reject(self, key: Key, content: Content, *, alone: bool = False) -> None:
        """Let a version count no longer, and all others of the result or it alone."""
        contents = [content] if alone else self.plain.said(key)
        event_id = self._decide(key, content, Decision(DecisionAction.REJECT, "because", this_version_only=alone))
        self.plain.reject(key, contents)
        self._compare(event_id)

    def accept_held(self, load_id: int, line: int) -> None:
        """Let a held cell count that can be read and is not contradicted in its own file."""
        arrival = self._read(self.plain.files[load_id])
        read, meant = arrival.cells.to_pylist()[line], self.reads(load_id, line)
        assert meant is not None
        row = DecisionRow(
            DecisionScope.CELL, DecisionAction.ACCEPT, "asked by telephone", read["key_hash"], read["content_hash"],
            str(self.plain.files[load_id]), line + 2, "value",
        )  # fmt: skip
        event_id = self._event("decide")
        decide_cell(self.connection, load_id, row, arrival, event_id)
        self.plain.rejected[meant] = False
        self.plain.read_again(load_id, every_cell=False, only=line)
        settled = self.plain.cells[load_id, line]
        if settled.key is not None and settled.content is not None:
            self.plain.prefer(settled.key, settled.content)
        self._compare(event_id)

    def can_be_accepted(self, load_id: int, line: int) -> bool:
        """Whether a held cell can be read, and no other row of its file contradicts it."""
        meant = self.reads(load_id, line)
        rows = range(len(self.plain.files[load_id]))
        others = [other for row in rows if (other := self.reads(load_id, row)) is not None]
        return meant is not None and all(other == meant for other in others if other[0] == meant[0])

    def reads(self, load_id: int, line: int) -> tuple[Key, Content] | None:
        """What a row means by the names as they are now."""
        return self.plain.read(self.plain.files[load_id][line])

    def prove(self) -> None:
        """Ask as of every event what was known then, replay the intervals, and close."""
        for event_id, known in self.known.items():
            assert self._in_force(event_id) == known, f"as of event {event_id}"
            assert self._held(event_id) == self.held_then[event_id], f"held as of event {event_id}"
        assert list(wrong_intervals(self.connection)) == []
        assert all(read_account(self.connection, load_id).closes for load_id in self.plain.files)
        self.connection.close()

    def _decide(self, key: Key, content: Content, decision: Decision) -> int:
        event_id = self._event("decide")
        decide_version(self.connection, self._result_id(key, content), decision, event_id)
        return event_id

    def _compare(self, event_id: int) -> None:
        self.known[event_id] = self._in_force(None)
        self.held_then[event_id] = self._held(None)
        assert self.known[event_id] == self.plain.counting()
        assert self.held_then[event_id] == self.plain.held()

    def _in_force(self, as_of_event: int | None) -> dict[Key, Content]:
        rows = reading.results(self.connection, as_of_event=as_of_event).iter_rows(named=True)
        found = [((row["laboratory_sample_text"], row["analyte"]), _content(row)) for row in rows]
        assert len(found) == len(dict(found)), "two versions of one result are in force"
        return dict(found)

    def _held(self, as_of_event: int | None) -> set[tuple[int, int]]:
        frame = reading.held_cells(self.connection, as_of_event=as_of_event)
        return set(frame.select("load_id", "cell_id").iter_rows())

    def _read(self, rows: tuple[Written, ...]) -> Arrival:
        return _arrival(rows, tuple(self.plain.aliases[row.name] for row in rows))

    def _result_id(self, key: Key, content: Content) -> int:
        rows = self.connection.sql(
            "SELECT DISTINCT result.* FROM result JOIN assertion USING (result_id) "
            "WHERE laboratory_sample_text = ? AND analyte = ?",
            params=list(key),
        ).pl()
        return max(int(row["result_id"]) for row in rows.iter_rows(named=True) if _content(row) == content)

    def _event(self, kind: str) -> int:
        at = START + timedelta(minutes=len(self.known))
        return add_event(self.connection, kind=kind, at=at, who="tester", plant_sha256="as it was")


@lru_cache(maxsize=500)
def _arrival(rows: tuple[Written, ...], means: tuple[str, ...]) -> Arrival:
    return _make([_staged(row, analyte) for row, analyte in zip(rows, means, strict=True)])


def _staged(row: Written, analyte: str) -> dict[str, object]:
    return {
        "laboratory_sample_text": row.sample, "analyte": analyte or None, "held": "" if analyte else "not known",
        "value_text": str(row.value), "value": row.value, "revision": row.revision or None, "status": row.status,
        "reported_on": date.fromisoformat(row.reported) if row.reported else None, "qualifier_text": row.mark,
    }  # fmt: skip


def _content(row: dict[str, Any]) -> Content:
    return Content(
        int(row["value"]), int(row["revision"] or Decimal(0)), row["status"],
        row["reported_on"].isoformat() if row["reported_on"] else "", row["qualifier_text"],
    )  # fmt: skip
