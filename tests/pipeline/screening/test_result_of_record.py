"""Of several results for one analyte of one sample one counts, the others stay visible, and none is averaged."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from pipeline.plant.tables import MonitoringPlanRow, SamplePoint
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.screening.result_of_record import mark_result_of_record
from pipeline.screening.screen import screen
from pipeline.vocabulary import Comparison, Outcome, ReportStatus
from tests.strategies import POINT, convert_mass, limit, result

DAY = date(2026, 5, 4)
# A limit that each single value is held to, by a laboratory that reports several for one sample.
LIMIT = limit("10", statistic="single value", parameters="", step="1")
PLAN = (MonitoringPlanRow(sample_point=POINT, analyte="Arsenic", frequency="quarterly", laboratory="Tarnwick"),)
BY_METHOD = (MonitoringPlanRow(sample_point=POINT, analyte="Arsenic", frequency="quarterly", method="EPA 200.8"),)


def of_sample(written: str, laboratory: str = "Tarnwick", **changes: object) -> ScreeningResult:
    """A result of the one sample that these tests are about."""
    return replace(result(written, DAY, sample="S-1"), laboratory=laboratory, **changes)


def verdict(*results: ScreeningResult, plan: tuple[MonitoringPlanRow, ...] = ()) -> Verdict:
    """The verdict that these results of one sample come to."""
    point = SamplePoint(sample_point=POINT, name="Clearwell", place="finished water entry point")
    (found,) = screen(
        [LIMIT], [point], results, on=DAY, near_limit_share=Fraction(4, 5), convert=convert_mass, plan=plan
    )
    return found


def counting(*results: ScreeningResult, plan: tuple[MonitoringPlanRow, ...] = ()) -> list[str]:
    """What was written of the results that may count."""
    return [
        one.value_text
        for one in mark_result_of_record(results, plan)
        if not one.not_of_record and not one.unusable_because
    ]


def test_where_nothing_says_which_counts_both_are_bounds_and_no_mean_is_taken() -> None:
    found = verdict(of_sample("6"), of_sample("8", "Ainsty"))
    assert (found.statistic_low, found.statistic_high) == (6, 8)
    assert found.outcome is Outcome.NEAR_LIMIT


def test_two_results_on_both_sides_of_a_limit_decide_nothing() -> None:
    found = verdict(of_sample("6"), of_sample("18", "Ainsty"))
    assert (found.outcome, found.comparison) == (Outcome.CANNOT_DETERMINE, Comparison.UNDECIDED)


def test_the_laboratory_of_record_counts_and_the_other_is_shown_with_the_reason() -> None:
    found = verdict(of_sample("6"), of_sample("18", "Ainsty"), plan=PLAN)
    assert [used.result.value_text for used in found.used] == ["6"]
    assert [(one.result.value_text, one.because) for one in found.excluded] == [
        ("18", "the result of the laboratory of record, Tarnwick, counts")
    ]


def test_the_method_of_record_counts_however_it_is_written() -> None:
    assert counting(of_sample("6", method="200.8 rev 5.4"), of_sample("7", method="EPA 200.9"), plan=BY_METHOD) == ["6"]


def test_the_plan_of_another_day_says_nothing() -> None:
    ended = (PLAN[0].model_copy(update={"effective_to": date(2026, 5, 3)}),)
    assert counting(of_sample("6"), of_sample("7", "Ainsty"), plan=ended) == ["6", "7"]


def test_a_laboratory_of_record_that_reported_nothing_decides_nothing() -> None:
    assert counting(of_sample("6", "Ainsty"), of_sample("7", "Skell"), plan=PLAN) == ["6", "7"]


@pytest.mark.parametrize("other", ["no", ""])
def test_the_laboratory_says_which_dilution_it_stands_for(other: str) -> None:
    assert counting(of_sample("12.3", reportable=other), of_sample("9.9", reportable="yes")) == ["9.9"]


def test_what_is_not_reportable_does_not_count_beside_what_carries_no_mark() -> None:
    assert counting(of_sample("12.3", reportable="no"), of_sample("9.9")) == ["9.9"]


def test_a_mark_says_nothing_of_another_laboratory() -> None:
    assert counting(of_sample("6", reportable="yes"), of_sample("7", "Ainsty")) == ["6", "7"]


def test_the_mark_comes_before_the_plan() -> None:
    first, second = of_sample("6", reportable="no", method="EPA 200.8"), of_sample("7", reportable="yes", method="x")
    assert counting(first, second, plan=BY_METHOD) == ["7"]


def test_an_exceedance_that_its_laboratory_does_not_stand_for_does_not_vanish() -> None:
    assert verdict(of_sample("18", reportable="no")).outcome is Outcome.REJECTION_CLAIMED


def test_what_a_person_chose_counts_against_mark_and_plan() -> None:
    chosen = of_sample("7", "Ainsty", reportable="no", chosen_because="chosen by Kim on 2026-05-09: overlap study")
    found = verdict(of_sample("6", reportable="yes"), chosen, plan=PLAN)
    assert [used.result.value_text for used in found.used] == ["7"]
    assert "chosen by Kim" in found.excluded[0].because


def test_choosing_the_lower_of_two_does_not_make_an_exceedance_vanish() -> None:
    chosen = of_sample("6", chosen_because="chosen by Kim on 2026-05-09: bottle mix-up")
    found = verdict(chosen, of_sample("18", "Ainsty"))
    assert found.outcome is Outcome.REJECTION_CLAIMED
    assert found.statistic_high == 18


def test_a_choice_with_an_agencys_reference_stands() -> None:
    chosen = of_sample("6", chosen_because="chosen by Kim", choice_reference="DDW 2026-114")
    assert verdict(chosen, of_sample("18", "Ainsty")).outcome is Outcome.MEETS


def test_a_preliminary_result_gives_way_to_the_final_one_of_its_laboratory() -> None:
    told = of_sample("18", status=ReportStatus.PRELIMINARY, method="")
    found = verdict(told, of_sample("6", method="EPA 200.8"))
    assert found.outcome is Outcome.MEETS
    assert found.excluded[0].because == "preliminary: the laboratory's final result counts"


def test_a_preliminary_result_counts_until_then_and_beside_another_laboratory() -> None:
    told = of_sample("18", status=ReportStatus.PRELIMINARY)
    assert verdict(told).outcome is Outcome.EXCEEDS
    assert counting(told, of_sample("6", "Ainsty")) == ["18", "6"]


def test_a_preliminary_exceedance_whose_final_result_was_rejected_does_not_vanish() -> None:
    told = of_sample("18", status=ReportStatus.PRELIMINARY)
    final = of_sample("6", status=ReportStatus.REJECTED, unusable_because="the laboratory rejects the result")
    assert verdict(told, final).outcome is Outcome.REJECTION_CLAIMED


def test_a_late_result_of_record_leaves_the_other_one_to_count() -> None:
    late = of_sample("6", unusable_because="analyzed too late")
    assert counting(late, of_sample("7", "Ainsty"), plan=PLAN) == ["7"]


@pytest.mark.parametrize("other", [{"sample": "S-2"}, {"fraction": "dissolved"}, {"purpose": "process"}])
def test_only_results_of_one_sample_fraction_and_purpose_compete(other: dict[str, str]) -> None:
    assert len(counting(of_sample("6"), replace(of_sample("7", "Ainsty"), **other), plan=PLAN)) == 2


def test_every_result_is_still_there_and_in_its_order() -> None:
    given = [of_sample("6"), of_sample("7", "Ainsty"), of_sample("8", reportable="no")]
    assert [one.value_text for one in mark_result_of_record(given, PLAN)] == ["6", "7", "8"]
