"""How long the verdicts of a whole plant take, as a multiple of what exact arithmetic costs on the same machine.

All shipped limits at two sample points, 20,000 results over a thousand days; the yardstick is 200,000 additions of
fractions. Both are counted in processor time, so that whatever else the machine does counts for neither.
"""

import statistics
from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from time import process_time

from pipeline.plant.tables import SamplePoint
from pipeline.reference import basis_factors, shipped_analytes, shipped_limits, unit_spellings
from pipeline.screening.model import ScreeningResult
from pipeline.screening.screen import screen
from pipeline.units import UnitTable
from pipeline.vocabulary import Purpose, ValueKind

ADDITIONS = 200_000
RESULTS = 20_000
ON = date(2025, 12, 31)
POINTS = (
    SamplePoint(sample_point="clearwell outlet", name="Clearwell outlet", place="finished water entry point"),
    SamplePoint(sample_point="north main", name="North main", place="distribution"),
)


def measure(runs: int) -> dict[str, object]:
    """Processor seconds of the additions and of the verdicts [s], and their ratio [-]; medians of ``runs``."""
    results = plant_results(RESULTS)
    units = UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
    additions: list[float] = []
    screenings: list[float] = []
    for _ in range(runs):
        additions.append(_seconds_of_additions())
        begun = process_time()
        verdicts = screen(
            shipped_limits(), POINTS, results, on=ON, near_limit_share=Fraction(4, 5), convert=units.convert
        )
        screenings.append(process_time() - begun)
    used = sum(len(verdict.used) for verdict in verdicts)
    if len(verdicts) <= 200 or not used:
        raise AssertionError(f"{len(verdicts)} verdicts from {used} results: that is no whole plant")
    return {
        "limits": len(shipped_limits()),
        "results": len(results),
        "verdicts": len(verdicts),
        "results_used": used,
        "additions": ADDITIONS,
        "addition_seconds": round(statistics.median(additions), 3),
        "screening_seconds": round(statistics.median(screenings), 3),
        "ratio": round(statistics.median(screenings) / statistics.median(additions), 1),
    }


def plant_results(count: int) -> Sequence[ScreeningResult]:
    """Results of every analyte that has a limit in mg/L, spread over both points and a thousand days."""
    analytes = sorted({row.analyte for row in shipped_limits() if row.value and row.unit == "mg/L"})
    rounds = (divmod(number, len(analytes)) for number in range(count))
    return [
        _result(number, analytes[place], POINTS[turn % len(POINTS)].sample_point)
        for number, (turn, place) in enumerate(rounds)
    ]


def _result(number: int, analyte: str, sample_point: str) -> ScreeningResult:
    value = Decimal(number % 9) / 1000
    return ScreeningResult(
        result_id=number,
        sample_point=sample_point,
        analyte=analyte,
        fraction="",
        basis="",
        sample=f"S{number}",
        purpose=Purpose.COMPLIANCE,
        confirmation_of="",
        collected_on=ON - timedelta(days=number % 1000),
        collected_at=None,
        kind=ValueKind.NUMBER,
        value=value,
        value_text=f"{value:f}",
        unit="mg/L",
        detection_limit=None,
        reporting_limit=None,
        laboratory="Tarnwick Water Laboratory",
        method="",
        unusable_because="",
        file="results.csv",
        line=number + 2,
        column="value",
        reported_on=None,
        rejection_reference="",
    )


def _seconds_of_additions() -> float:
    begun, added = process_time(), Fraction(0)
    for _ in range(ADDITIONS):
        added = Fraction(1, 3) + Fraction(1, 7)
    if added != Fraction(10, 21):
        raise AssertionError("a third and a seventh are ten parts of twenty-one")
    return process_time() - begun
