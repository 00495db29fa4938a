"""A store in plain Python, as simple as it can be: what every cell says, and from that what counts.

It shares no line and no statement with the product. Cells are read through an alias table that may change, so that a
second reading can say something else.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple


class Written(NamedTuple):
    """A row of a file as written: which sample, by which name the analyte goes, and what is reported."""

    sample: str
    name: str
    value: int
    revision: int
    status: str
    reported: str
    mark: str


class Content(NamedTuple):
    """What a version of a result says."""

    value: int
    revision: int
    status: str
    reported: str
    mark: str

    @property
    def order(self) -> tuple[int, bool, str, bool]:
        """What makes it newer than another."""
        return (self.revision, self.status != "preliminary", self.reported, self.status == "rejected")

    def says_no_more_than(self, other: "Content") -> bool:
        """Whether everything it says, the other one says too."""
        return (
            (self.value, self.status) == (other.value, other.status)
            and self.revision in (0, other.revision)
            and self.reported in ("", other.reported)
            and self.mark in ("", other.mark)
        )


Key = tuple[str, str]
Cell = tuple[int, int]


@dataclass
class Says:
    """What a cell says: a version of a result, of its own or pointed to; or nothing, and then whether it is held."""

    key: Key | None = None
    content: Content | None = None
    own: bool = False
    held: bool = False
    stored: int = 0


@dataclass
class PlainStore:
    """Loads, what their cells say, and what persons decided."""

    aliases: dict[str, str]
    files: dict[int, tuple[Written, ...]] = field(default_factory=dict)
    withdrawn: set[int] = field(default_factory=set)
    cells: dict[Cell, Says] = field(default_factory=dict)
    rejected: dict[tuple[Key, Content], bool] = field(default_factory=dict)
    stored: int = 0

    def load(self, load_id: int, rows: tuple[Written, ...]) -> None:
        """Load a file."""
        self.files[load_id] = rows
        self._settle(load_id, dict.fromkeys(range(len(rows)), Says()))

    def withdraw(self, load_id: int) -> None:
        """Withdraw a load."""
        self.withdrawn.add(load_id)

    def read_again(self, load_id: int, *, every_cell: bool, only: int | None = None, group: bool = True) -> None:
        """Read a load again: its held cells, or every cell that reads otherwise; with it other loads of its file."""
        same_file = [one for one in self.files if self.files[one] == self.files[load_id] and one not in self.withdrawn]
        loads = [load_id, *(one for one in same_file if one != load_id)] if group else [load_id]
        before = {one: self._chosen(one, every_cell=every_cell, only=only) for one in loads}
        for chosen_of, chosen in before.items():
            for line in chosen:
                self.cells[chosen_of, line] = Says()
        for chosen_of, chosen in before.items():
            self._settle(chosen_of, chosen)

    def accept(self, key: Key, content: Content) -> None:
        """Let a version count: those that are not older are rejected."""
        self.rejected[key, content] = False
        self.prefer(key, content)

    def prefer(self, key: Key, content: Content) -> None:
        """Reject every other version that is not older."""
        for other in self._said(key):
            if other != content and other.order >= content.order:
                self.rejected[key, other] = True

    def reject(self, key: Key, contents: Iterable[Content]) -> None:
        """Let versions count no longer."""
        for content in contents:
            self.rejected[key, content] = True

    def counting(self) -> dict[Key, Content]:
        """The version of every result that counts."""
        newest: dict[Key, tuple[object, Content]] = {}
        for cell, says in self.cells.items():
            if cell[0] in self.withdrawn or says.key is None or says.content is None:
                continue
            if not self.rejected.get((says.key, says.content)):
                order = (says.content.order, says.stored)
                newest[says.key] = max(newest.get(says.key, (((), 0), says.content)), (order, says.content))
        return {key: content for key, (_, content) in newest.items() if content.status != "rejected"}

    def held(self) -> set[Cell]:
        """Cells that are held by the last load of their file that was not withdrawn."""
        last = {rows: load_id for load_id, rows in sorted(self.files.items()) if load_id not in self.withdrawn}
        return {cell for cell, says in self.cells.items() if says.held and cell[0] in last.values()}

    def read(self, row: Written) -> tuple[Key, Content] | None:
        """What a row means by the aliases as they are; ``None`` where its name is not known."""
        analyte = self.aliases[row.name]
        return ((row.sample, analyte), Content(*row[2:])) if analyte else None

    def said(self, key: Key) -> list[Content]:
        """Contents of a result that some load says."""
        return sorted(self._said(key))

    def keys(self) -> list[Key]:
        """Results that some load says."""
        return sorted({says.key for cell, says in self.cells.items() if says.key and cell[0] not in self.withdrawn})

    def _said(self, key: Key) -> dict[Content, int]:
        return {
            says.content: says.stored
            for cell, says in self.cells.items()
            if says.key == key and says.content is not None and cell[0] not in self.withdrawn
        }

    def _states(self, load_id: int) -> list[str | tuple[Key, Content]]:
        """What each row of a file comes to by the file alone: held, or a version of a result."""
        read = [self.read(row) for row in self.files[load_id]]
        said: dict[Key, set[Content]] = {}
        for one in read:
            if one is not None:
                said.setdefault(one[0], set()).add(one[1])
        return ["held" if one is None or len(said[one[0]]) > 1 else one for one in read]

    def _chosen(self, load_id: int, *, every_cell: bool, only: int | None) -> dict[int, Says]:
        states = self._states(load_id)
        chosen: dict[int, Says] = {}
        for line, state in enumerate(states):
            says = self.cells[load_id, line]
            if only is not None and line != only:
                continue
            if says.held or (every_cell and not (says.own and state == (says.key, says.content))):
                chosen[line] = says
        return chosen

    def _settle(self, load_id: int, chosen: Mapping[int, Says]) -> None:
        for line, state in enumerate(self._states(load_id)):
            if line not in chosen:
                continue
            if state == "held":
                self.cells[load_id, line] = Says(held=True)
                continue
            key, content = state
            others = self._said(key)
            fuller = [other for other in others if content.says_no_more_than(other)]
            tied = any(other.order == content.order and not other.says_no_more_than(content) for other in others)
            if content in others:
                self.cells[load_id, line] = Says(key, content, stored=others[content])
            elif fuller:
                newest = max(fuller, key=lambda other: others[other])
                self.cells[load_id, line] = Says(key, newest, stored=others[newest])
            elif tied and (key, content) not in self.rejected:
                self.cells[load_id, line] = Says(held=True)
            else:
                self.stored += 1
                self.cells[load_id, line] = Says(key, content, own=True, stored=self.stored)
