"""Running averages, confirmations and frequency: the cases beside the published examples."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from pipeline.plant.tables import LimitStatus
from pipeline.screening.figures import figure_at_step
from pipeline.vocabulary import Comparison, Outcome, Purpose
from tests.pipeline.screening.ask import QUARTER_DAYS, YEAR_END, ask, step_text
from tests.strategies import limit, result

BY_FREQUENCY = {
    "statistic": "by monitoring frequency",
    "parameters": "yearly_or_less=trigger only;more_often=running annual average of quarter means;early=yes",
}
PAIR = {"statistic": "mean with confirmation", "parameters": "no_confirmation=first result stands"}


def test_a_quarter_that_is_not_over_counts_once_its_only_sample_is_in() -> None:
    results = [result("0.002", day) for day in QUARTER_DAYS]
    assert ask(limit(), results, on=date(2025, 11, 20)).outcome is Outcome.MEETS


def test_a_quarter_with_samples_to_come_waits_for_its_end() -> None:
    results = [result("0.002", day) for day in QUARTER_DAYS]
    verdict = ask(limit(), results, on=date(2025, 11, 20), frequency="monthly")
    assert verdict.outcome is Outcome.NOT_ENOUGH_DATA
    assert verdict.statistic_low == Fraction("0.002")


def test_one_sample_can_end_the_year_inside_its_quarter() -> None:
    results = [*(result("0.010", day) for day in QUARTER_DAYS), result("0.060", date(2026, 1, 5))]
    verdict = ask(limit(), results, on=date(2026, 1, 20), frequency="monthly")
    assert (verdict.outcome, verdict.since) == (Outcome.EXCEEDS, date(2026, 3, 31))


def test_an_exceedance_dates_from_the_quarter_in_which_it_became_certain() -> None:
    results = [result("0.044", QUARTER_DAYS[0]), *(result("0.002", day) for day in QUARTER_DAYS[1:])]
    verdict = ask(limit(), results)
    assert (verdict.outcome, verdict.since) == (Outcome.EXCEEDS, date(2025, 3, 31))


def test_an_exceedance_never_dates_from_before_the_limit() -> None:
    results = [result("0.044", QUARTER_DAYS[0]), *(result("0.002", day) for day in QUARTER_DAYS[1:])]
    verdict = ask(limit(effective_from=date(2025, 10, 1)), results)
    assert verdict.since == date(2025, 10, 1)


def test_a_limit_of_later_is_shown_as_coming() -> None:
    results = [result("0.044", day) for day in QUARTER_DAYS]
    verdict = ask(limit(effective_from=date(2029, 4, 26), acute=True), results)
    assert (verdict.outcome, verdict.act_now, verdict.since) == (Outcome.INFORMATION, False, None)
    assert verdict.reason.startswith("coming from 2029-04-26; by it today: exceeds")
    assert verdict.comparison is Comparison.ABOVE


def test_a_coming_limit_without_a_date_is_not_judged() -> None:
    verdict = ask(limit(status=LimitStatus.NOT_YET), [result("9", day) for day in QUARTER_DAYS])
    assert (verdict.outcome, verdict.next_action) == (Outcome.INFORMATION, "coming, date not known")


def test_a_limit_that_has_ended_is_information() -> None:
    verdict = ask(limit(effective_to=date(2025, 12, 30)), [result("0.002", QUARTER_DAYS[0])])
    assert (verdict.outcome, verdict.next_action) == (Outcome.INFORMATION, "ended 2025-12-30")


def test_both_dates_of_a_limit_are_inclusive() -> None:
    row = limit(effective_from=YEAR_END, effective_to=YEAR_END)
    assert ask(row, [result("0.002", day) for day in QUARTER_DAYS]).outcome is Outcome.MEETS


@pytest.mark.parametrize("status", [LimitStatus.EXAMPLE, LimitStatus.PROPOSED])
def test_an_unconfirmed_row_is_never_judged(status) -> None:
    verdict = ask(limit(status=status), [result("9", day) for day in QUARTER_DAYS])
    assert (verdict.outcome, verdict.comparison) == (Outcome.INFORMATION, Comparison.NONE)


def test_a_goal_is_never_a_verdict() -> None:
    row = limit("0", statistic="information only", parameters="", kind="goal")
    assert ask(row, [result("9", QUARTER_DAYS[0])]).outcome is Outcome.INFORMATION


@pytest.mark.parametrize("statistic", ["percentile 90 by rank", "log removal total", "descriptive"])
def test_a_rule_without_its_arithmetic_is_not_missing(statistic) -> None:
    verdict = ask(limit(statistic=statistic), [])
    assert verdict.outcome is Outcome.CANNOT_DETERMINE
    assert verdict.reason.startswith("rule not yet supported")


def test_a_yearly_result_within_is_judged_by_itself() -> None:
    verdict = ask(limit(**BY_FREQUENCY), [result("0.006", QUARTER_DAYS[0])], frequency="yearly")
    assert (verdict.outcome, verdict.statistic_name) == (Outcome.MEETS, "single yearly result")


def test_a_yearly_result_above_starts_quarterly_samples() -> None:
    verdict = ask(limit(**BY_FREQUENCY), [result("0.016", QUARTER_DAYS[0])], frequency="yearly", on=date(2025, 3, 31))
    assert (verdict.outcome, verdict.next_action) == (Outcome.ABOVE_NOT_YET, "quarterly samples start")


def test_a_yearly_result_far_above_is_certain_at_once() -> None:
    verdict = ask(limit(**BY_FREQUENCY), [result("0.044", QUARTER_DAYS[0])], frequency="yearly", on=date(2025, 3, 31))
    assert (verdict.outcome, verdict.since) == (Outcome.EXCEEDS, date(2025, 3, 31))


def test_the_year_after_a_trigger_begins_with_the_trigger() -> None:
    before = result("0.001", date(2024, 2, 10))
    results = [before, *(result(v, d) for v, d in zip(("0.016", "0.004", "0.004", "0.004"), QUARTER_DAYS, strict=True))]
    verdict = ask(limit(**BY_FREQUENCY), results, frequency="yearly")
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.MEETS, Fraction("0.007"))


def test_a_frequency_nobody_planned_is_told_by_the_samples() -> None:
    verdict = ask(limit(**BY_FREQUENCY), [result("0.006", QUARTER_DAYS[0])], frequency=None)
    assert verdict.statistic_name == "single yearly result"
    assert "not in the monitoring plan; 1 compliance sample since 2025-01-01" in step_text(verdict)


def test_two_unplanned_samples_are_the_start_of_a_year_of_quarters() -> None:
    results = [result("0.016", QUARTER_DAYS[0]), result("0.018", QUARTER_DAYS[1])]
    verdict = ask(limit(**BY_FREQUENCY), results, frequency=None, on=date(2025, 6, 30))
    assert verdict.outcome is Outcome.ABOVE_NOT_YET
    assert "0.034 ÷ 4" in step_text(verdict)


def test_twice_a_year_has_two_periods() -> None:
    results = [result("0.016", QUARTER_DAYS[0])]
    verdict = ask(limit(), results, frequency="twice a year", on=date(2025, 3, 31))
    assert "0.016 ÷ 2: 0.008 mg/L" in step_text(verdict)


def test_a_first_result_waits_for_its_confirmation() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, acute=True, **PAIR)
    verdict = ask(row, [result("11.4", QUARTER_DAYS[0], analyte="Nitrate")], on=date(2025, 2, 11))
    assert (verdict.outcome, verdict.act_now) == (Outcome.ABOVE_NOT_YET, True)
    assert verdict.next_action == "confirm within 24 h"


def test_the_time_for_a_confirmation_runs_from_being_told() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, **PAIR)
    told = result("11.4", QUARTER_DAYS[0], analyte="Nitrate", reported_on=date(2025, 2, 18))
    assert ask(row, [told], on=date(2025, 2, 19)).outcome is Outcome.ABOVE_NOT_YET
    late = ask(row, [told], on=date(2025, 2, 20))
    assert (late.outcome, late.since) == (Outcome.EXCEEDS, date(2025, 2, 19))


def test_a_later_routine_sample_does_not_end_the_wait_for_a_confirmation() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, **PAIR)
    results = [
        result("11.4", date(2025, 2, 10), analyte="Nitrate"),
        result("8.0", date(2025, 2, 11), analyte="Nitrate"),
    ]
    assert ask(row, results, on=date(2025, 2, 11)).outcome is Outcome.ABOVE_NOT_YET


def test_field_duplicates_and_checks_are_not_confirmations() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, **PAIR)
    results = [
        result("11.4", date(2025, 2, 10), analyte="Nitrate", sample="first"),
        result("8.0", date(2025, 2, 10), analyte="Nitrate", sample="twin", purpose=Purpose.QUALITY_CONTROL),
    ]
    assert ask(row, results, on=date(2025, 2, 28)).statistic_low == Fraction("11.4")


def test_a_confirmation_without_a_name_confirms_the_sample_before_it() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, **PAIR)
    results = [
        result("11.4", date(2025, 2, 10), analyte="Nitrate", sample="first"),
        result("10.2", date(2025, 2, 11), analyte="Nitrate", sample="second", purpose=Purpose.CONFIRMATION),
    ]
    assert ask(row, results, on=date(2025, 2, 28)).statistic_low == Fraction("10.8")


def test_a_confirmation_of_a_confirmation_belongs_to_the_first_sample() -> None:
    row = limit("10", analyte="Nitrate", step="1", confirmation_hours=24, **PAIR)
    names = [("first", ""), ("second", "first"), ("third", "second")]
    results = [
        result(v, date(2025, 2, 10 + n), analyte="Nitrate", sample=name, confirmation_of=of)
        for n, (v, (name, of)) in enumerate(zip(("12", "9", "6"), names, strict=True))
    ]
    assert ask(row, results, on=date(2025, 2, 28)).statistic_low == Fraction(9)


def test_a_confirmation_may_repeat_only_the_member_that_was_high() -> None:
    row = limit(
        "10",
        analyte="Nitrate + nitrite",
        step="1",
        members=[("Nitrate", "1"), ("Nitrite", "1")],
        statistic="mean with confirmation",
        parameters="combine=sum;no_confirmation=first result stands",
        confirmation_hours=24,
    )
    results = [
        result("9.8", date(2025, 2, 10), analyte="Nitrate", sample="first"),
        result("0.9", date(2025, 2, 10), analyte="Nitrite", sample="first"),
        result("9.0", date(2025, 2, 11), analyte="Nitrate", sample="second", confirmation_of="first"),
    ]
    assert ask(row, results, on=date(2025, 2, 28)).statistic_low == Fraction("10.3")


def test_one_result_above_decides_its_quarter_even_when_the_latest_is_within() -> None:
    row = limit("0.05", analyte="Manganese", statistic="single value", parameters="", step="0.01")
    results = [
        result("0.061", date(2025, 4, 3), analyte="Manganese"),
        result("0.020", date(2025, 6, 5), analyte="Manganese"),
    ]
    verdict = ask(row, results, on=date(2025, 6, 30), frequency="monthly")
    assert (verdict.outcome, verdict.since) == (Outcome.EXCEEDS, date(2025, 4, 3))
    assert "the latest, of 2025-06-05, is not above it" in verdict.reason


def test_the_next_quarter_starts_afresh_for_single_results() -> None:
    row = limit("0.05", analyte="Manganese", statistic="single value", parameters="", step="0.01")
    results = [
        result("0.061", date(2025, 4, 3), analyte="Manganese"),
        result("0.020", date(2025, 7, 5), analyte="Manganese"),
    ]
    assert ask(row, results, on=date(2025, 9, 30), frequency="monthly").outcome is Outcome.MEETS


def test_a_trigger_below_the_limit_is_told_for_yearly_samples() -> None:
    row = limit(**BY_FREQUENCY, trigger_values=("quarterly monitoring > 0.0005", "reduced monitoring <= 0.004"))
    verdict = ask(row, [result("0.0007", QUARTER_DAYS[0])], frequency="yearly")
    assert (verdict.outcome, verdict.next_action) == (Outcome.TRIGGER_REACHED, "quarterly samples start")


def test_a_trigger_for_quarterly_samples_is_moot_where_they_are_taken() -> None:
    row = limit(**BY_FREQUENCY, trigger_values=("quarterly monitoring > 0.0005",))
    results = [result("0.0007", day) for day in QUARTER_DAYS]
    assert ask(row, results, frequency="quarterly").outcome is Outcome.MEETS


def test_above_the_number_before_rounding_is_near_the_limit_at_least() -> None:
    row = limit(statistic="single value", parameters="")
    verdict = ask(row, [result("0.0101", QUARTER_DAYS[0])], near_limit_share=Fraction(2))
    assert (verdict.outcome, verdict.comparison) == (Outcome.NEAR_LIMIT, Comparison.WITHIN)


@pytest.mark.parametrize(
    ("written", "outcome"),
    [("0.19", Outcome.EXCEEDS), ("0.2", Outcome.NEAR_LIMIT), ("0.24", Outcome.NEAR_LIMIT), ("0.5", Outcome.MEETS)],
)
def test_a_limit_not_to_be_fallen_below(written, outcome) -> None:
    row = limit("0.2", direction="not below", statistic="single value", parameters="", step=None)
    assert ask(row, [result(written, QUARTER_DAYS[0])]).outcome is outcome


def test_a_nondetect_below_a_level_to_keep_is_beyond_it() -> None:
    row = limit("0.2", direction="not below", statistic="single value", parameters="", step=None)
    assert ask(row, [result("<0.05", QUARTER_DAYS[0])]).outcome is Outcome.EXCEEDS


def test_history_holds_the_average_at_each_quarter_end_of_three_years() -> None:
    days = [date(2023 + n // 4, n % 4 * 3 + 2, 10) for n in range(12)]
    verdict = ask(limit(), [result(f"0.00{1 + n % 4}", day) for n, day in enumerate(days)])
    assert [point.on for point in verdict.history] == [
        date(y, m, d) for y in (2023, 2024, 2025) for m, d in ((3, 31), (6, 30), (9, 30), (12, 31))
    ][3:]
    assert {point.low for point in verdict.history} == {Fraction("0.0025")}


def test_the_next_quarter_may_average_what_still_complies() -> None:
    verdict = ask(
        limit(), [result(v, d) for v, d in zip(("0.004", "0.006", "0.010", "0.012"), QUARTER_DAYS, strict=True)]
    )
    # (0.006 + 0.010 + 0.012 + x) / 4 must stay below 0.0105: x below 0.014.
    assert verdict.next_may_be == Fraction("0.01399")


@pytest.mark.parametrize(("figures", "printed"), [("none", "0.080"), ("2", "0.079")])
def test_quarters_rounded_to_two_figures_first_lose_a_microgram(figures, printed) -> None:
    """40 CFR 141.2 defines the sum as rounded to two figures; most agencies average what the laboratory reports."""
    row = limit("0.080", parameters=f"early=yes;pre_round={figures}")
    written = ("0.1046", "0.0846", "0.0714", "0.0606")
    verdict = ask(row, [result(text, day) for text, day in zip(written, QUARTER_DAYS, strict=True)])
    assert figure_at_step(verdict.compared_low, row.step) == printed


def test_a_gap_in_a_full_year_is_told() -> None:
    verdict = ask(limit(), [result("0.002", day) for day in QUARTER_DAYS[:2] + QUARTER_DAYS[3:]])
    assert (verdict.outcome, verdict.next_action) == (Outcome.MEETS, "1 quarter without a sample")
    assert "no sample in 1 of 4 quarters" in verdict.reason


def test_of_two_readings_on_a_day_the_one_nearer_its_limit_is_shown() -> None:
    row = limit(
        "6.5",
        analyte="pH",
        value_high=Decimal("8.5"),
        unit="",
        direction="within",
        statistic="single value",
        step="0.1",
    )
    day = QUARTER_DAYS[0]
    readings = [result(text, day, analyte="pH", unit="", sample=f"S{text}") for text in ("6.6", "7.5")]
    verdict = ask(row, readings)
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.NEAR_LIMIT, Fraction("6.6"))


def test_results_from_before_a_limit_took_effect_are_told() -> None:
    results = [result("0.002", day) for day in QUARTER_DAYS]
    assert "the window begins before it" in step_text(ask(limit(effective_from=date(2025, 6, 1)), results))
