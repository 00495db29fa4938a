"""Random sequences of everything that can be done to a store, against a store in plain Python.

Loads, revisions, withdrawals, reloads, decisions, held cells read again and settled ones: after each of them the
results in force have to be those of the plain store, and asked as of any earlier event the store has to answer what it
answered then.
"""

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from tests.both_stores import NAMES, BothStores
from tests.plain_store import Written

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
files = st.lists(written, min_size=1, max_size=3)


class StoreAgainstPlainStore(RuleBasedStateMachine):
    """What a person may do, in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.both = BothStores()
        self.plain = self.both.plain

    @initialize(rows=files)
    def first_load(self, rows: list[Written]) -> None:
        self.both.load(*rows)

    @rule(rows=files)
    def load(self, rows: list[Written]) -> None:
        self.both.load(*rows)

    @rule(data=st.data())
    def load_the_same_file_again(self, data: st.DataObject) -> None:
        self.both.load(*data.draw(st.sampled_from(sorted(set(self.plain.files.values())))))

    @rule(name=st.sampled_from(list(NAMES)), meaning=st.integers(0, 2))
    def mean_something_else_by_a_name(self, name: str, meaning: int) -> None:
        self.both.mean(name, meaning)

    @precondition(lambda self: set(self.plain.files) - self.plain.withdrawn)
    @rule(data=st.data())
    def withdraw(self, data: st.DataObject) -> None:
        self.both.withdraw(self._a_load(data))

    @precondition(lambda self: set(self.plain.files) - self.plain.withdrawn)
    @rule(data=st.data(), every_cell=st.booleans())
    def read_again(self, data: st.DataObject, every_cell: bool) -> None:
        self.both.read_again(self._a_load(data), every_cell=every_cell)

    @precondition(lambda self: self.plain.keys())
    @rule(data=st.data(), rejects=st.booleans(), alone=st.booleans())
    def decide_on_a_result(self, data: st.DataObject, rejects: bool, alone: bool) -> None:
        key = data.draw(st.sampled_from(self.plain.keys()))
        content = data.draw(st.sampled_from(self.plain.said(key)))
        if rejects:
            self.both.reject(key, content, alone=alone)
        else:
            self.both.accept(key, content)

    @precondition(lambda self: self._tied())
    @rule(data=st.data())
    def accept_a_held_cell(self, data: st.DataObject) -> None:
        self.both.accept_held(*data.draw(st.sampled_from(self._tied())))

    def teardown(self) -> None:
        self.both.prove()

    def _a_load(self, data: st.DataObject) -> int:
        return data.draw(st.sampled_from(sorted(set(self.plain.files) - self.plain.withdrawn)))

    def _tied(self) -> list[tuple[int, int]]:
        return [cell for cell in sorted(self.plain.held()) if self.both.can_be_accepted(*cell)]


TestStoreAgainstPlainStore = StoreAgainstPlainStore.TestCase
TestStoreAgainstPlainStore.settings = settings(
    max_examples=5, stateful_step_count=9, deadline=None, suppress_health_check=list(HealthCheck)
)
