"""Which results count: purpose, fraction, usability."""

from dataclasses import replace
from datetime import date

import pytest

from pipeline.screening.which_count import fraction_counts, keep_preferred_fraction
from pipeline.vocabulary import Outcome, Purpose, ValueKind
from tests.pipeline.screening.ask import QUARTER_DAYS, ask
from tests.strategies import POINT, limit, result

SINGLE = limit(statistic="single value", parameters="", fraction="total")
DAY = QUARTER_DAYS[0]


@pytest.mark.parametrize(
    ("fraction", "counts"),
    [("total", True), ("total recoverable", True), ("", True), ("dissolved", False), ("suspended", False)],
)
def test_a_limit_for_the_total_takes_the_whole(fraction, counts) -> None:
    assert fraction_counts(fraction, "total") is counts


def test_a_limit_without_a_fraction_takes_any() -> None:
    assert fraction_counts("dissolved", "")


def test_dissolved_alone_is_no_data_for_a_total_limit() -> None:
    verdict = ask(SINGLE, [result("0.002", DAY, fraction="dissolved")])
    assert verdict.outcome is Outcome.NO_DATA
    assert [left.because for left in verdict.excluded] == ["dissolved fraction: the limit is for total"]


def test_the_total_of_a_bottle_counts_before_its_dissolved_part() -> None:
    both = [result("0.002", DAY, fraction="dissolved"), result("0.003", DAY, fraction="total")]
    kept, left = keep_preferred_fraction(both, "")
    assert ([one.fraction for one in kept], [one.because for one in left]) == (
        ["total"],
        ["the total fraction of the same sample counts"],
    )


@pytest.mark.parametrize("purpose", [Purpose.PROCESS, Purpose.SPECIAL, Purpose.QUALITY_CONTROL, ""])
def test_only_compliance_samples_count(purpose) -> None:
    verdict = ask(SINGLE, [result("0.002", DAY, purpose=purpose)])
    assert verdict.outcome is Outcome.NO_DATA
    assert "only compliance samples" in verdict.excluded[0].because


def test_the_plants_own_goal_takes_its_process_samples() -> None:
    goal = SINGLE.model_copy(update={"kind": "internal goal"})
    assert ask(goal, [result("0.002", DAY, purpose=Purpose.PROCESS)]).outcome is Outcome.MEETS
    assert ask(goal, [result("0.002", DAY, purpose=Purpose.QUALITY_CONTROL)]).outcome is Outcome.NO_DATA


@pytest.mark.parametrize("kind", [ValueKind.NOT_ANALYZED, ValueKind.UNREADABLE])
def test_a_cell_without_a_result_is_left_out(kind) -> None:
    verdict = ask(SINGLE, [replace(result("0.002", DAY), kind=kind, value=None)])
    assert (verdict.outcome, len(verdict.excluded)) == (Outcome.NO_DATA, 1)


def test_a_word_in_place_of_a_number_leaves_the_limit_open() -> None:
    verdict = ask(SINGLE, [replace(result("0.002", DAY), kind=ValueKind.TOO_NUMEROUS, value=None)])
    assert verdict.outcome is Outcome.CANNOT_DETERMINE


def test_other_points_and_analytes_are_passed_over() -> None:
    elsewhere = replace(result("9", DAY), sample_point=f"not {POINT}")
    verdict = ask(SINGLE, [elsewhere, result("9", DAY, analyte="Lead")])
    assert (verdict.outcome, verdict.excluded) == (Outcome.NO_DATA, ())


def test_what_was_left_out_is_listed_for_the_window_only() -> None:
    results = [
        result("0.002", DAY),
        result("0.009", date(2025, 2, 20), sample="new", purpose=Purpose.PROCESS),
        result("0.009", date(2021, 2, 20), sample="old", purpose=Purpose.PROCESS),
    ]
    assert [left.result.sample for left in ask(SINGLE, results).excluded] == ["new"]
