"""A plain replay of everything that was done to a store: which version of each result counted, and from when to when.

It is written apart from the statements that keep ``in_force``, and reads only what is appended: outcomes of cells,
withdrawals and decisions. Where the two differ, one of them is wrong.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from pipeline.vocabulary import DecisionAction, ReportStatus

Content = tuple[str, str]


class Version(NamedTuple):
    """A version of a result, as stored."""

    result_id: int
    key_id: int
    key_hash: str
    content_hash: str
    status: str
    revision: Decimal | None
    reported_on: date | None

    @property
    def order(self) -> tuple[Decimal, int, date, int, int]:
        """What makes a version newer than another; the number only tells apart versions that do not contradict."""
        return (
            self.revision or Decimal(0),
            0 if self.status == ReportStatus.PRELIMINARY else 1,
            self.reported_on or date.min,
            1 if self.status == ReportStatus.REJECTED else 0,
            self.result_id,
        )


class Interval(NamedTuple):
    """A version that counted from one event until another; ``to_event`` is ``None`` while it does."""

    result_id: int
    from_event: int
    to_event: int | None


class Said(NamedTuple):
    """An outcome of a cell at an event; ``result_id`` is ``None`` where it is no result."""

    event_id: int
    load_id: int
    cell_id: int
    result_id: int | None


class Withdrawn(NamedTuple):
    """A load that was withdrawn at an event."""

    event_id: int
    load_id: int


class Decided(NamedTuple):
    """A decision on a version at an event."""

    event_id: int
    key_hash: str
    content_hash: str
    action: str


@dataclass(slots=True)
class _State:
    """What the replay knows after each event."""

    versions: Mapping[int, Version]
    of_key: Mapping[int, list[Version]]
    keys_of_hash: Mapping[str, int]
    said_by_cell: dict[tuple[int, int], int | None] = field(default_factory=dict)
    cells_of_load: dict[int, set[tuple[int, int]]] = field(default_factory=lambda: defaultdict(set))
    times_said: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    withdrawn: set[int] = field(default_factory=set)
    rejected: set[Content] = field(default_factory=set)

    def say(self, said: Said) -> Iterator[int]:
        """Let a cell say what it says now; gives the keys that it touches."""
        cell = (said.load_id, said.cell_id)
        self.cells_of_load[said.load_id].add(cell)
        yield from self._count(self.said_by_cell.get(cell), -1)
        self.said_by_cell[cell] = said.result_id
        yield from self._count(said.result_id, 1)

    def withdraw(self, load_id: int) -> Iterator[int]:
        """Let the cells of a load say nothing any more."""
        if load_id not in self.withdrawn:
            self.withdrawn.add(load_id)
            for cell in self.cells_of_load[load_id]:
                yield from self._count(self.said_by_cell[cell], -1)

    def decide(self, decided: Decided) -> Iterator[int]:
        """Let a decision stand in the place of an earlier one on the same version."""
        content = (decided.key_hash, decided.content_hash)
        if decided.action == DecisionAction.REJECT:
            self.rejected.add(content)
        else:
            self.rejected.discard(content)
        if decided.key_hash in self.keys_of_hash:
            yield self.keys_of_hash[decided.key_hash]

    def counting(self, key_id: int) -> int | None:
        """The version of a result that counts; ``None`` where none does."""
        candidates = [
            version
            for version in self.of_key[key_id]
            if self.times_said[version.result_id] > 0 and (version.key_hash, version.content_hash) not in self.rejected
        ]
        newest = max(candidates, key=lambda version: version.order, default=None)
        return None if newest is None or newest.status == ReportStatus.REJECTED else newest.result_id

    def _count(self, result_id: int | None, step: int) -> Iterator[int]:
        if result_id is not None:
            self.times_said[result_id] += step
            yield self.versions[result_id].key_id


def replayed(
    versions: Iterable[Version], said: Iterable[Said], withdrawn: Iterable[Withdrawn], decided: Iterable[Decided]
) -> Iterator[Interval]:
    """Every interval in which a version counts, from what was said, withdrawn and decided."""
    state = _state(versions)
    counting: dict[int, tuple[int, int]] = {}
    for event_id, deeds in sorted(_by_event(said, withdrawn, decided).items()):
        touched: set[int] = set()
        for deed in deeds:
            match deed:
                case Said():
                    touched.update(state.say(deed))
                case Withdrawn():
                    touched.update(state.withdraw(deed.load_id))
                case Decided():
                    touched.update(state.decide(deed))
        for key_id in touched:
            now = state.counting(key_id)
            before, since = counting.pop(key_id, (None, event_id))
            if before is not None and before != now:
                yield Interval(before, since, event_id)
                since = event_id
            if now is not None:
                counting[key_id] = (now, since)
    yield from (Interval(result_id, since, None) for result_id, since in counting.values())


def _state(versions: Iterable[Version]) -> _State:
    of_key: dict[int, list[Version]] = defaultdict(list)
    for version in versions:
        of_key[version.key_id].append(version)
    every = [version for of_one in of_key.values() for version in of_one]
    return _State(
        versions={version.result_id: version for version in every},
        of_key=of_key,
        keys_of_hash={version.key_hash: version.key_id for version in every},
    )


def _by_event(
    said: Iterable[Said], withdrawn: Iterable[Withdrawn], decided: Iterable[Decided]
) -> dict[int, list[Said | Withdrawn | Decided]]:
    by_event: dict[int, list[Said | Withdrawn | Decided]] = defaultdict(list)
    for deeds in (said, withdrawn, decided):
        for deed in deeds:
            by_event[deed.event_id].append(deed)
    return by_event
