"""Random sequences of everything that can be done to a store, against a store in plain Python.

Loads, revisions, withdrawals, reloads, decisions, held cells read again and settled ones: after each of them the
results in force have to be those of the plain store, and asked as of any earlier event the store has to answer what it
answered then.
"""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any

import duckdb
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from pipeline.store import reading
from pipeline.store.correcting import (
    Decision,
    DecisionRow,
    add_withdrawal,
    decide_cell,
    decide_version,
)
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
written = st.builds(
    Written,
    sample=st.sampled_from(["L-1", "L-1", "L-2"]),
    name=st.sampled_from(list(NAMES)),
    value=st.integers(1, 3),
    revision=st.sampled_from([0, 0, 1, 2]),
    status=st.sampled_from(["final", "final", "preliminary", "rejected"]),
    reported=st.sampled_from(["", "2026-05-08", "2026-05-09"]),
    mark=st.sampled_from(["", "", "J"]),
)
files = st.lists(written, min_size=1, max_size=3).map(tuple)
_make = ArrivalMaker()


@lru_cache(maxsize=500)
def _arrival(rows: tuple[Written, ...], means: tuple[str, ...]) -> Arrival:
    return _make([_staged(row, analyte) for row, analyte in zip(rows, means, strict=True)])


def _staged(row: Written, analyte: str) -> dict[str, object]:
    return {
        "laboratory_sample_text": row.sample, "analyte": analyte or None, "held": "" if analyte else "not known",
        "value_text": str(row.value), "value": row.value, "revision": row.revision or None, "status": row.status,
        "reported_on": date.fromisoformat(row.reported) if row.reported else None, "qualifier_text": row.mark,
    }  # fmt: skip


class StoreAgainstPlainStore(RuleBasedStateMachine):
    """The store in memory, and beside it the plain one."""

    def __init__(self) -> None:
        super().__init__()
        self.connection = duckdb.connect(":memory:", config={"threads": 1})
        self.connection.execute("SET TimeZone = 'UTC'")
        migrate(self.connection)
        self.plain = PlainStore({name: meanings[0] for name, meanings in NAMES.items()})
        self.known: dict[int, dict[Key, Content]] = {}
        self.held_then: dict[int, set[tuple[int, int]]] = {}

    @initialize(rows=files)
    def first_load(self, rows: tuple[Written, ...]) -> None:
        self.load(rows)

    @rule(rows=files)
    def load(self, rows: tuple[Written, ...]) -> None:
        event_id = self._event("load")
        arrival = self._read(rows)
        row = LoadRow(f"{rows}.csv", str(rows), 1, "narrow", "", "utf-8", 0, 1, 0, len(rows))
        load_id, account = add_load(self.connection, row, arrival, event_id)
        self.plain.load(load_id, rows)
        assert account.closes
        self._compare(event_id)

    @rule(data=st.data())
    def load_the_same_file_again(self, data: st.DataObject) -> None:
        self.load(data.draw(st.sampled_from(sorted(set(self.plain.files.values())))))

    @rule(data=st.data())
    def withdraw(self, data: st.DataObject) -> None:
        remaining = sorted(set(self.plain.files) - self.plain.withdrawn)
        if remaining:
            load_id, event_id = data.draw(st.sampled_from(remaining)), self._event("withdraw")
            add_withdrawal(self.connection, load_id, "a wrong file", event_id)
            self.plain.withdraw(load_id)
            self._compare(event_id)

    @rule(name=st.sampled_from(list(NAMES)), meaning=st.integers(0, 2))
    def mean_something_else_by_a_name(self, name: str, meaning: int) -> None:
        self.plain.aliases[name] = NAMES[name][meaning]

    @rule(data=st.data(), every_cell=st.booleans())
    def read_again(self, data: st.DataObject, every_cell: bool) -> None:
        remaining = sorted(set(self.plain.files) - self.plain.withdrawn)
        if remaining:
            load_id, event_id = data.draw(st.sampled_from(remaining)), self._event("retry")
            loads = loads_of_the_file(self.connection, load_id) if every_cell else [load_id]
            begin(self.connection)
            arrival = self._read(self.plain.files[load_id])
            account = add_reading(self.connection, loads, arrival, event_id, held_only=not every_cell)
            let_newest_count(self.connection, event_id)
            self.plain.read_again(load_id, every_cell=every_cell, group=every_cell)
            assert account.closes
            self._compare(event_id)

    @precondition(lambda self: self.plain.keys())
    @rule(data=st.data(), action=st.sampled_from([DecisionAction.ACCEPT, DecisionAction.REJECT]), one=st.booleans())
    def decide_on_a_result(self, data: st.DataObject, action: DecisionAction, one: bool) -> None:
        key = data.draw(st.sampled_from(self.plain.keys()))
        content = data.draw(st.sampled_from(self.plain.said(key)))
        event_id = self._event("decide")
        decision = Decision(action, "because", this_version_only=one)
        decide_version(self.connection, self._result_id(key, content), decision, event_id)
        if action is DecisionAction.ACCEPT:
            self.plain.accept(key, content)
        else:
            self.plain.reject(key, [content] if one else self.plain.said(key))
        self._compare(event_id)

    @rule(data=st.data())
    def accept_a_held_cell(self, data: st.DataObject) -> None:
        tied = [cell for cell in sorted(self.plain.held()) if self._reads(cell) is not None]
        if not tied:
            return
        load_id, line = data.draw(st.sampled_from(tied))
        arrival = self._read(self.plain.files[load_id])
        read = arrival.cells.to_pylist()[line]
        meant = self._reads((load_id, line))
        assert meant is not None
        row = DecisionRow(
            DecisionScope.CELL, DecisionAction.ACCEPT, "asked by telephone", read["key_hash"], read["content_hash"],
            str(self.plain.files[load_id]), line + 2, "value",
        )  # fmt: skip
        if read["state"] == "held":
            return  # rows of one file that contradict each other: see the tests of decisions
        event_id = self._event("decide")
        decide_cell(self.connection, load_id, row, arrival, event_id)
        self.plain.rejected[meant] = False
        self.plain.read_again(load_id, every_cell=False, only=line)
        settled = self.plain.cells[load_id, line]
        if settled.key is not None and settled.content is not None:
            self.plain.prefer(settled.key, settled.content)
        self._compare(event_id)

    def teardown(self) -> None:
        for event_id, known in self.known.items():
            assert self._in_force(event_id) == known, f"as of event {event_id}"
            assert self._held(event_id) == self.held_then[event_id], f"held as of event {event_id}"
        assert list(wrong_intervals(self.connection)) == []
        for load_id in self.plain.files:
            assert read_account(self.connection, load_id).closes
        self.connection.close()

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
        return set(
            reading.held_cells(self.connection, as_of_event=as_of_event).select("load_id", "cell_id").iter_rows()
        )

    def _read(self, rows: tuple[Written, ...]) -> Arrival:
        return _arrival(rows, tuple(self.plain.aliases[row.name] for row in rows))

    def _reads(self, cell: tuple[int, int]) -> tuple[Key, Content] | None:
        return self.plain.read(self.plain.files[cell[0]][cell[1]])

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


def _content(row: dict[str, Any]) -> Content:
    return Content(
        int(row["value"]), int(row["revision"] or Decimal(0)), row["status"],
        row["reported_on"].isoformat() if row["reported_on"] else "", row["qualifier_text"],
    )  # fmt: skip


TestStoreAgainstPlainStore = StoreAgainstPlainStore.TestCase
TestStoreAgainstPlainStore.settings = settings(
    max_examples=8, stateful_step_count=10, deadline=None, suppress_health_check=list(HealthCheck)
)
