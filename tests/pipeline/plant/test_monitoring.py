"""How often an analyte is sampled at a point on a day."""

from datetime import date

import pytest

from pipeline.plant.monitoring import overlapping_rows
from pipeline.plant.plant import Plant
from pipeline.plant.tables import MonitoringPlanRow


@pytest.mark.parametrize(
    ("on", "frequency"),
    [(date(2024, 12, 31), "yearly"), (date(2025, 1, 1), "quarterly"), (date(2040, 1, 1), "quarterly")],
)
def test_the_row_in_force_gives_the_frequency(on: date, frequency: str, plant: Plant) -> None:
    row = plant.frequency("FIN", "Lead", on)
    assert row is not None
    assert row.frequency == frequency


def test_what_the_plan_does_not_say_has_no_frequency(plant: Plant) -> None:
    assert plant.frequency("FIN", "Copper", date(2025, 1, 1)) is None
    assert plant.frequency("INF", "Lead", date(2025, 1, 1)) is None


def test_rows_that_share_a_day_overlap() -> None:
    def row(analyte: str, start: date | None, end: date | None) -> MonitoringPlanRow:
        return MonitoringPlanRow(
            sample_point="FIN", analyte=analyte, frequency="yearly", effective_from=start, effective_to=end
        )

    rows = [
        row("Lead", None, date(2024, 12, 31)),
        row("Lead", date(2025, 1, 1), None),
        row("Copper", None, None),
        row("Lead", date(2030, 1, 1), date(2030, 1, 1)),
    ]
    assert list(overlapping_rows(rows)) == [(1, 3)]
