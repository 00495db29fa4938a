"""Rows of a plan, samplings and the terms of a question, for tests; each changed by what the test says."""

from datetime import date
from typing import Any

from pipeline.due.due import Terms
from pipeline.due.model import Sampling, Standing
from pipeline.plant.tables import MonitoringPlanRow


def plan_row(**changes: Any) -> MonitoringPlanRow:
    """Bromate at the clearwell every month since 2025."""
    given = {
        "sample_point": "FW",
        "analyte": "Bromate",
        "frequency": "monthly",
        "effective_from": "2025-01-01",
        "laboratory": "Tarnwick",
    }
    return MonitoringPlanRow.model_validate(given | changes)


def sampling(day: str, standing: Standing = Standing.USABLE, **changes: Any) -> Sampling:
    """A sample of a day, reported unless said otherwise."""
    return Sampling(**({"sample": f"S-{day}", "collected_on": date.fromisoformat(day), "standing": standing} | changes))


def terms(on: str, known_from: str | None = "2025-01-01", **turnaround: int) -> Terms:
    """The question of a day, in a store that knows samples since 2025."""
    return Terms(date.fromisoformat(on), date.fromisoformat(known_from) if known_from else None, turnaround)
