"""What is in the water in traces: substances and organisms that only follow the water and change nothing else in it.

``trace.csv`` holds the mean in the influent, its spread from day to day [share], and the share that each barrier leaves
of what enters it; ``conditioning`` is what the last step adds. Concentrations are in the unit of the laboratory that
measures them. The figures are middle-of-the-road: common practice, no source.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

BARRIERS = ("ozonation", "carbon", "ultrafiltration", "reverse_osmosis", "oxidation")


@dataclass(frozen=True, slots=True)
class Trace:
    """One substance or organism, and what each barrier leaves of it."""

    analyte: str
    influent: float
    spread: float
    kept: Mapping[str, float]
    added: float


@cache
def traces() -> tuple[Trace, ...]:
    """Every trace of the water."""
    content = resources.files("sample_lab.generator").joinpath("trace.csv").read_text("utf-8")
    return tuple(
        Trace(
            row["analyte"],
            float(row["influent"]),
            float(row["spread"]),
            {barrier: float(row[barrier]) for barrier in BARRIERS},
            float(row["conditioning"]),
        )
        for row in csv.DictReader(content.splitlines())
    )


@cache
def kept_by(barrier: str) -> dict[str, float]:
    """The share that one barrier leaves of every trace."""
    return {trace.analyte: trace.kept[barrier] for trace in traces()}
