"""Asking the judge in tests, with everything at its usual value."""

from datetime import date
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.judge import judge
from pipeline.screening.model import ScreeningResult, Verdict
from tests.strategies import POINT, convert_mass

YEAR_END = date(2025, 12, 31)
QUARTER_DAYS = (date(2025, 2, 10), date(2025, 5, 12), date(2025, 8, 11), date(2025, 11, 10))


def ask(row: Limit, results: list[ScreeningResult], **changes: object) -> Verdict:
    """Judge results at the usual sample point at the end of 2025, sampled quarterly unless told otherwise."""
    usual: dict[str, object] = {
        "on": YEAR_END,
        "frequency": "quarterly",
        "near_limit_share": Fraction(4, 5),
        "convert": convert_mass,
    }
    return judge(row, POINT, results, **{**usual, **changes})


def step_text(verdict: Verdict) -> str:
    """All steps in one text."""
    return "\n".join(f"{step.what}: {step.how}" for step in verdict.steps)
