"""Screening a whole plant: one verdict a limit and applicable point, worst first."""

from datetime import date
from fractions import Fraction

import pytest

from pipeline.plant.tables import LimitStatus, MonitoringPlanRow, SamplePoint
from pipeline.reference import shipped_limits
from pipeline.screening.screen import screen
from pipeline.vocabulary import Outcome
from tests.pipeline.screening.ask import QUARTER_DAYS, YEAR_END
from tests.reference.worked_examples import shipped_units
from tests.strategies import convert_mass, held_cell, limit, result

CLEARWELL = SamplePoint(sample_point="clearwell outlet", name="Clearwell outlet", place="finished water entry point")
NORTH = SamplePoint(sample_point="north main", name="North main", place="distribution")
TWO_LIMITS = [
    limit(limit_id="arsenic"),
    limit(limit_id="lead", analyte="Lead", statistic="single value", parameters=""),
]


def screened(limits, results, points=(CLEARWELL,), **changes):
    usual = {"on": YEAR_END, "near_limit_share": Fraction(4, 5), "convert": convert_mass}
    return screen(limits, points, results, **{**usual, **changes})


def test_a_limit_without_data_has_its_verdict() -> None:
    assert [one.outcome for one in screened(TWO_LIMITS, [])] == [Outcome.NO_DATA, Outcome.NO_DATA]


@pytest.mark.parametrize(
    ("applies_at", "judged"),
    [("finished water entry point", 1), ("source or entry point", 1), ("distribution", 1), ("tap", 0)],
)
def test_a_limit_is_judged_where_it_applies(applies_at, judged) -> None:
    assert len(screened([limit(applies_at=applies_at)], [], points=(CLEARWELL, NORTH))) == judged


def test_act_now_stands_above_everything() -> None:
    acute = limit("1", limit_id="acute", analyte="Nitrite", acute=True, statistic="single value", parameters="")
    results = [result("9", QUARTER_DAYS[0], analyte="Lead"), result("1.1", QUARTER_DAYS[0], analyte="Nitrite")]
    verdicts = screened([*TWO_LIMITS, acute], results)
    assert [one.limit.limit_id for one in verdicts] == ["acute", "lead", "arsenic"]


def test_verdicts_follow_the_outcome_then_the_share() -> None:
    limits = [limit(limit_id=f"limit {n}", analyte=f"A{n}", statistic="single value", parameters="") for n in range(5)]
    written = ("0.002", "0.009", "0.02", "0.03", "<0.02")
    results = [result(text, QUARTER_DAYS[0], analyte=f"A{n}", sample=f"S{n}") for n, text in enumerate(written)]
    assert [one.limit.limit_id for one in screened(limits, results)] == [
        "limit 3",
        "limit 2",
        "limit 4",
        "limit 1",
        "limit 0",
    ]


def test_the_plan_in_force_on_the_day_says_the_frequency() -> None:
    row = limit(
        statistic="by monitoring frequency",
        parameters="yearly_or_less=trigger only;more_often=running annual average of quarter means;early=yes",
    )
    plan = [
        MonitoringPlanRow(
            sample_point="clearwell outlet", analyte="Arsenic", frequency="yearly", effective_to=date(2024, 12, 31)
        ),
        MonitoringPlanRow(
            sample_point="clearwell outlet", analyte="Arsenic", frequency="quarterly", effective_from=date(2025, 1, 1)
        ),
    ]
    (verdict,) = screened([row], [result("0.002", day) for day in QUARTER_DAYS], plan=plan)
    assert verdict.statistic_name == "running annual average of quarter means"


def test_a_group_is_planned_held_and_overdue_by_its_members() -> None:
    row = limit(analyte="Pair", members=[("First", "1"), ("Second", "1")], parameters="combine=sum;early=yes")
    results = [result("0.001", day, analyte=name) for day in QUARTER_DAYS for name in ("First", "Second")]
    assert screened([row], results)[0].outcome is Outcome.MEETS
    (held,) = screened([row], results, held=[held_cell(analyte="Second")])
    (overdue,) = screened([row], results, overdue={("clearwell outlet", "First"): YEAR_END})
    assert [held.outcome, overdue.outcome] == [Outcome.CANNOT_DETERMINE] * 2


def test_every_shipped_limit_has_a_verdict_and_a_reason() -> None:
    places = sorted({row.applies_at for row in shipped_limits()})
    points = [SamplePoint(sample_point=place, name=place, place=place) for place in places]
    verdicts = screened(shipped_limits(), [], points=points, convert=shipped_units().convert)
    assert {one.limit.limit_id for one in verdicts} == {row.limit_id for row in shipped_limits()}
    assert all(one.reason for one in verdicts)


def test_next_actions_fit_the_table() -> None:
    judged = [
        row.model_copy(update={"status": LimitStatus.IN_FORCE, "effective_from": None}) for row in shipped_limits()
    ]
    points = [SamplePoint(sample_point="clearwell outlet", name="", place=row.applies_at) for row in judged]
    places = {point.place: point for point in points}.values()
    for amount in ("0.0000001", "1000000", "<1000000"):
        results = [
            result(amount, QUARTER_DAYS[0], analyte=row.analyte, unit=row.unit, basis=row.basis, sample=row.limit_id)
            for row in judged
        ]
        verdicts = screened(judged, results, points=places, convert=shipped_units().convert)
        assert [one.next_action for one in verdicts if len(one.next_action) > 28] == []
