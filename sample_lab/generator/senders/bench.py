"""How another laboratory measures: its list of tests, and one measured number."""

import csv
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from importlib import resources

from sample_lab.generator.laboratory import rounded
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point

# From this day on the laboratories have newer instruments, and reporting limits are lower.
NEW_INSTRUMENTS = date(2025, 2, 1)


@dataclass(frozen=True, slots=True)
class Test:
    """One analyte at one laboratory.

    ``written`` is the laboratory's name for it. ``reporting_limit`` holds since :data:`NEW_INSTRUMENTS` and
    ``earlier_limit`` before [``unit``]. ``block`` is the part of the report in which it stands.
    """

    block: str
    analyte: str
    written: str
    unit: str
    method: str
    significant: int
    decimals: int
    reporting_limit: str
    earlier_limit: str
    relative_sd: float
    points: tuple[Point, ...]

    def limit_on(self, day: date) -> str:
        """The reporting limit of a day, as printed."""
        return self.reporting_limit if day >= NEW_INSTRUMENTS else self.earlier_limit

    def measured(self, noise: Noise, sample: str, day: date, level: float) -> str:
        """What is printed for a sample that really holds ``level``: a number, or ``<`` and the reporting limit."""
        limit = self.limit_on(day)
        spread = level * self.relative_sd + float(limit) / 8
        number = max(0.0, level + spread * noise.normal("measure", self.block, sample, self.analyte))
        value = rounded(number, self.significant, self.decimals)
        return str(value) if value >= Decimal(limit) else f"<{limit}"


@cache
def tests(laboratory: str) -> tuple[Test, ...]:
    """The tests of one laboratory, in the order in which it prints them."""
    content = resources.files("sample_lab.generator.senders").joinpath(f"{laboratory}.csv").read_text("utf-8")
    return tuple(
        Test(
            row["block"], row["analyte"], row["written"], row["unit"], row["method"], int(row["significant"]),
            int(row["decimals"]), row["reporting_limit"], row["earlier_limit"], float(row["relative_sd"]),
            tuple(Point(code) for code in row["points"].split()),
        )
        for row in csv.DictReader(content.splitlines())
    )  # fmt: skip
