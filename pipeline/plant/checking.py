"""What the checks of the plant tables share: a table with its lines, and the faults of one cell."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Generic, TypeVar

from pipeline.plant.faults import Faults, one_of
from pipeline.plant.table_reader import Placed
from pipeline.plant.tables import Row

RowType = TypeVar("RowType", bound=Row)


@dataclass(frozen=True, slots=True)
class CheckedTable(Generic[RowType]):
    """A table as it was read, and where its faults go."""

    file: str
    placed: list[Placed[RowType]]
    faults: Faults

    def __iter__(self) -> Iterator[Placed[RowType]]:
        return iter(self.placed)

    @property
    def rows(self) -> tuple[RowType, ...]:
        """The rows without their lines."""
        return tuple(placed.row for placed in self.placed)

    def fault(self, line: int, column: str, problem: str, remedy: str) -> None:
        """Note a fault of one cell."""
        self.faults.add(problem, remedy, file=self.file, line=line, column=column)

    def must_be_one_of(self, column: str, words: Iterable[str]) -> None:
        """Every cell of a column holds one of certain words."""
        possible = tuple(words)
        known = frozenset(possible)
        for placed in self.placed:
            written = getattr(placed.row, column)
            if written not in known:
                shown = [word for word in possible if word]
                self.fault(placed.line, column, f"{written!r} is not possible here.", one_of(shown, written))

    def must_be_unique(self, column: str, key: "Callable[[RowType], Hashable] | None" = None) -> None:
        """No two rows share a key, by default the text of ``column``."""
        first: dict[Hashable, int] = {}
        for placed in self.placed:
            value = key(placed.row) if key else getattr(placed.row, column)
            if value in first:
                problem = f"{getattr(placed.row, column)!r} stands in line {first[value]} already."
                self.fault(placed.line, column, problem, "Keep one of the two rows.")
            first.setdefault(value, placed.line)

    def must_be_known(self, column: str, known: Iterable[str], thing: str, *, defined_in: str) -> None:
        """Every cell of a column that is not empty names something another table defines."""
        names = dict.fromkeys(known)
        for placed in self.placed:
            written = getattr(placed.row, column)
            if written and written not in names:
                remedy = f"{one_of(names, written)} It is defined in {defined_in}."
                self.fault(placed.line, column, f"the {thing} {written!r} does not exist.", remedy)

    def must_end_after_start(self) -> None:
        """No ``effective_to`` lies before its ``effective_from``."""
        for placed in self.placed:
            start: date | None = getattr(placed.row, "effective_from", None)
            end: date | None = getattr(placed.row, "effective_to", None)
            if start and end and end < start:
                problem = f"it ends on {end}, before it starts on {start}."
                self.fault(placed.line, "effective_to", problem, "Correct one of the two dates; both are inclusive.")
