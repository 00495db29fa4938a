"""What each column of a file of readings is: time, tag, value, status, or what a rule asks for."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.errors import FileError, Place
from pipeline.ingest.file_layout import folded


@dataclass(frozen=True, slots=True)
class ValueColumn:
    """A column of values, by positions in the line from 0; ``tag`` is ``None`` where each line names its own.

    ``rule`` is the number of the rule that sets the whole column aside, ``None`` where there is none.
    """

    position: int
    name: str
    tag: str | None
    status: int | None
    rule: int | None = None


@dataclass(frozen=True, slots=True)
class FileColumns:
    """Every column of a file of readings that is looked at."""

    width: int
    time: tuple[int, ...]
    tag: int | None
    values: tuple[ValueColumn, ...]
    row_rules: tuple[tuple[int, int, tuple[str, ...]], ...]
    """Number of the rule, position of its column, and texts that it equals."""


def file_columns(names: Sequence[str], layout: ReadingsLayout, file: str) -> FileColumns:
    """Find the columns by the header.

    Raises
    ------
    FileError
        When a column that the layout names is not there or stands there twice.
    """
    finder = _Finder(names, file)
    time = tuple(finder.position(name) for name in layout.columns["time"])
    status = finder.position(*layout.columns["status"]) if "status" in layout.columns else None
    rules = [(number, finder.position(rule.column), rule.equals) for number, rule in enumerate(layout.set_aside)]
    row_rules = tuple(rule for rule in rules if rule[2])
    if layout.shape == "narrow":
        position = finder.position(*layout.columns["value"])
        value = ValueColumn(position, names[position], None, status)
        return FileColumns(len(names), time, finder.position(*layout.columns["tag"]), (value,), row_rules)
    whole = {position: number for number, position, equals in rules if not equals}
    values = tuple(_wide_values(finder, {*time, status}, status, layout.status_suffix, whole))
    if not values:
        raise FileError("the file has no column of values.", "Mend the layout.", Place(file, 1))
    return FileColumns(len(names), time, None, values, row_rules)


class _Finder:
    def __init__(self, names: Sequence[str], file: str) -> None:
        self.names = names
        self._file = file
        self.at: dict[str, list[int]] = {}
        for position, name in enumerate(names):
            self.at.setdefault(folded(name), []).append(position)

    def position(self, *written: str) -> int:
        if len(written) != 1:
            raise FileError("only times are put together from several columns.", "Name one column.", Place(self._file))
        found = self.at.get(folded(written[0]), [])
        if len(found) != 1:
            said = f'the column "{written[0]}" {"stands there twice" if found else "is missing"}.'
            raise FileError(said, "Mend the layout, or have the file written again.", Place(self._file, 1, written[0]))
        return found[0]


def _wide_values(
    finder: _Finder, taken: set[int | None], status: int | None, suffix: str, whole: dict[int, int]
) -> list[ValueColumn]:
    named = {position: finder.at.get(folded(name + suffix), []) for position, name in enumerate(finder.names)}
    of_tag = {position: others[0] for position, others in named.items() if suffix and others}
    taken = {*taken, *of_tag.values()}
    return [
        ValueColumn(position, name, name, of_tag.get(position, status), whole.get(position))
        for position, name in enumerate(finder.names)
        if position not in taken
    ]
