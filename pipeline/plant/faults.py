"""Collects every fault of a plant folder, so that a person can mend them all in one go."""

from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from pipeline.errors import BarrierbookError, Place, PlantFolderError, PlantRowError

_MANY = 40


class Faults:
    """The faults found so far, each with its file, line, column and remedy."""

    def __init__(self) -> None:
        self.found: list[BarrierbookError] = []

    def add(self, problem: str, remedy: str, *, file: str, line: int | None = None, column: str = "") -> None:
        """Note one fault; ``line`` counts from 1, with the header on line 1."""
        self.found.append(PlantRowError(problem, remedy, Place(file, line, column)))

    def raise_if_any(self, folder: Path) -> None:
        """End the reading when anything is wrong.

        Raises
        ------
        PlantFolderError
            With every fault, ordered by file and line.
        """
        if self.found:
            ordered = sorted(self.found, key=lambda fault: (fault.place.file, fault.place.line or 0))
            raise PlantFolderError(folder, ordered)


def one_of(words: Iterable[str], written: str = "") -> str:
    """A remedy that lists what could have been written, the nearest first where one is near."""
    possible = list(words)
    if not possible:
        return "None is defined yet."
    near = get_close_matches(written, possible, n=1, cutoff=0.75) if written else []
    question = f"Did you mean {near[0]!r}? " if near else ""
    if len(possible) > _MANY and near:
        return question.strip()
    shown = "; ".join(possible[:_MANY]) + ("; ..." if len(possible) > _MANY else "")
    return f"{question}Write one of: {shown}."
