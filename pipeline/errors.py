"""The errors a person can meet: what is wrong, where, and what to do about it."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Place:
    """Where something is wrong; empty parts are left out of the text."""

    file: str = ""
    line: int | None = None
    column: str = ""

    def __str__(self) -> str:
        line = f"line {self.line}" if self.line is not None else ""
        column = f"column {self.column}" if self.column else ""
        return ", ".join(part for part in (self.file, line, column) if part)


class BarrierbookError(Exception):
    """Base of every error that is shown to a person as one line.

    Parameters
    ----------
    problem
        What is wrong, in plain words.
    remedy
        What to do about it.
    place
        Where it is wrong.
    """

    def __init__(self, problem: str, remedy: str, place: Place | None = None) -> None:
        self.problem = problem
        self.remedy = remedy
        self.place = place or Place()
        super().__init__(str(self))

    def __str__(self) -> str:
        where = str(self.place)
        return f"{where + ': ' if where else ''}{self.problem} {self.remedy}".strip()


class PlantFolderError(BarrierbookError):
    """The plant folder cannot be used as it is; ``problems`` holds every fault found, not only the first."""

    def __init__(self, folder: Path, problems: "list[BarrierbookError]") -> None:
        self.problems = problems
        first = problems[0]
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        super().__init__(first.problem + more, first.remedy, first.place)
        self.folder = folder


class PlantRowError(BarrierbookError):
    """One row of a plant table is wrong."""


class FileError(BarrierbookError):
    """A file cannot be loaded; nothing of it was stored."""


class LayoutError(FileError):
    """No layout fits the file, or more than one does."""


class StoreError(BarrierbookError):
    """The store cannot be opened, written, or proved."""


class StoreBusyError(StoreError):
    """Somebody else is writing, or reading at length; try again."""


class AccountError(StoreError):
    """The account of a load does not close; nothing was stored. This is a fault of the program."""


class ConversionError(ValueError):
    """A value cannot be brought to another unit or basis."""
