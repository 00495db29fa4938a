"""Limits, results and verdicts as screening hands them to the dashboard, invented for a plant that does not exist."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from pipeline.plant.tables import Limit, LimitStatus
from pipeline.screening.model import ScreeningResult, UsedResult, Verdict
from pipeline.vocabulary import Comparison, Outcome, ValueKind


def make_limit(**changes: Any) -> Limit:
    given = {
        "limit_id": "bromate",
        "jurisdiction": "United States",
        "status": LimitStatus.IN_FORCE,
        "kind": "primary",
        "analyte": "Bromate",
        "value": Decimal("10"),
        "unit": "ug/L",
        "statistic": "running annual average of quarter means",
        "step": Decimal("0.1"),
        "nondetect_rule": "zero",
        "applies_at": "finished water entry point",
    }
    return Limit(**(given | changes))


def make_result(text: str = "8.8", kind: ValueKind = ValueKind.NUMBER, **changes: Any) -> ScreeningResult:
    number = text.lstrip("<> ")
    given = {
        "result_id": 1,
        "sample_point": "CW-1",
        "analyte": "Bromate",
        "fraction": "",
        "basis": "",
        "sample": "S-1",
        "purpose": "compliance",
        "confirmation_of": "",
        "collected_on": date(2026, 8, 4),
        "collected_at": None,
        "kind": kind,
        "value": Decimal(number) if number.replace(".", "").isdigit() else None,
        "value_text": text,
        "unit": "ug/L",
        "detection_limit": None,
        "reporting_limit": Decimal("1.0"),
        "laboratory": "Tarnwick Water Laboratory",
        "method": "ion chromatography",
        "unusable_because": "",
        "file": "finished_2026_08.csv",
        "line": 107,
        "column": "value",
    }
    return ScreeningResult(**(given | changes))


def make_verdict(outcome: Outcome = Outcome.MEETS, share: str | None = "0.5", **changes: Any) -> Verdict:
    limit = changes.pop("limit", None) or make_limit()
    part = None if share is None else Fraction(share)
    value = None if part is None or limit.value is None else part * Fraction(limit.value)
    given = {
        "limit": limit,
        "sample_point": "CW-1",
        "on": date(2026, 11, 20),
        "outcome": outcome,
        "comparison": Comparison.WITHIN,
        "reason": "as invented",
        "statistic_low": value,
        "statistic_high": value,
        "compared_low": value,
        "compared_high": value,
        "share_low": part,
        "share_high": part,
    }
    return Verdict(**(given | changes))


@pytest.fixture
def limit() -> Callable[..., Limit]:
    return make_limit


@pytest.fixture
def result() -> Callable[..., ScreeningResult]:
    return make_result


@pytest.fixture
def verdict() -> Callable[..., Verdict]:
    return make_verdict


@pytest.fixture
def used() -> Callable[..., UsedResult]:
    def use(text: str, value: str, **changes: Any) -> UsedResult:
        number = Fraction(value)
        return UsedResult(make_result(text, **changes), number, number)

    return use
