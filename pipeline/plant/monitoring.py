"""The monitoring plan: what is sampled where and how often on a given day."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import combinations
from typing import Final

from pipeline.plant.tables import MonitoringPlanRow

YEARLY_OR_LESS: Final = frozenset({"yearly", "every 3 years", "every 9 years"})
"""Frequencies at which the single sample, or its mean with the confirmation, decides (40 CFR 141.23(i)(2))."""


def row_in_force(row: MonitoringPlanRow, on: date) -> bool:
    """Whether a row of the plan holds on a day; both its dates are inclusive, an empty one is open."""
    return (row.effective_from or date.min) <= on <= (row.effective_to or date.max)


def overlapping_rows(rows: Iterable[MonitoringPlanRow]) -> Iterator[tuple[int, int]]:
    """Positions of two rows that state a frequency for the same analyte, point and day."""
    by_subject: dict[tuple[str, str], list[tuple[int, MonitoringPlanRow]]] = defaultdict(list)
    for position, row in enumerate(rows):
        by_subject[row.sample_point, row.analyte].append((position, row))
    for subject_rows in by_subject.values():
        for (first, row), (second, other) in combinations(subject_rows, 2):
            starts = max(row.effective_from or date.min, other.effective_from or date.min)
            ends = min(row.effective_to or date.max, other.effective_to or date.max)
            if starts <= ends:
                yield first, second
