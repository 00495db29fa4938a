"""The generator's own tables: how the laboratory measures each analyte, and what is sampled where and how often."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources

from sample_lab.generator.points import Point

Hours = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Method:
    """How the laboratory measures one analyte.

    ``written``, ``unit`` and ``basis`` are what it prints. ``detection_limit`` and ``reporting_limit`` are texts, as
    printed; empty where the method has none. ``nondetect`` says how it prints a non-detect: ``<`` before the reporting
    limit, or ``ND``. ``extracted_hours`` run from collection and ``analyzed_hours`` from extraction, or from
    collection where nothing is extracted; an analysis at once is one in the field.
    """

    analyte: str
    written: str
    cas_number: str
    basis: str
    fraction: str
    method: str
    unit: str
    significant: int
    decimals: int
    detection_limit: str
    reporting_limit: str
    nondetect: str
    relative_sd: float
    preservation: str
    extracted_hours: Hours | None
    analyzed_hours: Hours
    batch: str

    @property
    def in_the_field(self) -> bool:
        """Whether the sampler measures it at the tap."""
        return self.analyzed_hours == (0, 0)


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """How often one analyte is sampled at one point.

    ``frequency`` is weekly, monthly or quarterly. A quarterly sample is taken in ``first_month`` of each quarter (1 is
    January, April, July, October). ``starts`` is the first day, where it is not the first day of the record.
    """

    analyte: str
    point: Point
    frequency: str
    weekday: str
    first_month: int
    starts: date | None


@cache
def methods() -> dict[str, Method]:
    """Every method by our name of its analyte, in the order in which the laboratory prints them."""
    return {row["analyte"]: _method(row) for row in _rows("methods.csv")}


@cache
def schedule() -> tuple[ScheduleRow, ...]:
    """What is sampled where and how often."""
    return tuple(_schedule_rows())


def _schedule_rows() -> Iterator[ScheduleRow]:
    for row in _rows("schedule.csv"):
        starts = date.fromisoformat(row["from"] + "-01") if row["from"] else None
        for point in Point:
            if row.get(point):
                month = int(row["first_month"] or 0)
                yield ScheduleRow(row["analyte"], point, row[point], row["weekday"], month, starts)


def _method(row: dict[str, str]) -> Method:
    texts = (
        "analyte", "written", "cas_number", "basis", "fraction", "method", "unit", "detection_limit",
        "reporting_limit", "nondetect", "preservation", "batch",
    )  # fmt: skip
    return Method(
        **{name: row[name] for name in texts},
        significant=int(row["significant"]),
        decimals=int(row["decimals"]),
        relative_sd=float(row["relative_sd"]),
        extracted_hours=_hours(row["extracted_hours"]) if row["extracted_hours"] else None,
        analyzed_hours=_hours(row["analyzed_hours"]),
    )


def _hours(text: str) -> Hours:
    low, _, high = text.partition("-")
    return float(low), float(high or low)


def _rows(name: str) -> list[dict[str, str]]:
    content = resources.files("sample_lab.generator").joinpath(name).read_text("utf-8")
    return list(csv.DictReader(content.splitlines()))
