"""Faults seeded on purpose: each of them must be caught by at least one worked example.

A fault that none of the published examples notices would show that the examples do not guard the rule it breaks.
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from pipeline.plant.tables import Limit
from pipeline.screening import (
    confirmations,
    judge,
    rounding,
    running_average,
    samples,
    single_results,
    statistic_choice,
    substitution,
    terms,
    which_count,
    yearly_trigger,
)
from pipeline.screening.bounds import Bounds, total
from tests.mutants.worked_example_table import examples_that_fail

Patch = Callable[[pytest.MonkeyPatch], None]


def half_even(patch: pytest.MonkeyPatch) -> None:
    def rounded(value: Fraction, step: Fraction | None) -> Fraction:
        return value if step is None else round(value / step) * step

    patch.setattr(rounding, "round_half_up", rounded)


def rounded_down(patch: pytest.MonkeyPatch) -> None:
    def rounded(value: Fraction, step: Fraction | None) -> Fraction:
        return value if step is None else (value / step).__floor__() * step

    patch.setattr(rounding, "round_half_up", rounded)


def never_rounded(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(rounding, "round_half_up", lambda value, _step: value)


def equal_exceeds(patch: pytest.MonkeyPatch) -> None:
    real = rounding.side_of

    def inclusive(value: Fraction, limit: rounding.LimitNumbers) -> int:
        return 1 if value == limit.value and limit.direction == "not above" else real(value, limit)

    patch.setattr(rounding, "side_of", inclusive)


def triggers_strict(patch: pytest.MonkeyPatch) -> None:
    real = rounding.LimitNumbers.of

    def strict(row: object) -> rounding.LimitNumbers:
        found = real(row)
        return rounding.LimitNumbers(found.value, found.value_high, found.step, found.direction, inclusive=False)

    patch.setattr(rounding.LimitNumbers, "of", staticmethod(strict))


def nondetect_as_its_limit(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(substitution, "nondetect_value", lambda limit, written, _term: (Bounds.exactly(limit), written))


def nondetect_as_half(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(substitution, "nondetect_value", lambda limit, written, _term: (Bounds.exactly(limit / 2), written))


def nondetect_always_zero(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(substitution, "nondetect_value", lambda _limit, written, _term: (substitution.ZERO, written))


def quantitation_level_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(substitution, "number_value", lambda value, _result, _term, _convert: (Bounds.exactly(value), ""))


def pooled_average(patch: pytest.MonkeyPatch) -> None:
    """Divide all results of the year by their number, as if the quarters were not there."""

    def pooled(self: running_average.RunningAverage, quarter: int) -> running_average.AverageAt | None:
        window = self.means.window(quarter)
        values = [sample.value for period in window for sample in period.samples]
        if not values:
            return None
        compared = rounding.compare(total(values), len(values), self.question.numbers)
        return running_average.AverageAt(quarter, window, len(values), compared, early=False)

    patch.setattr(running_average.RunningAverage, "mean_at", pooled)


def missing_quarter_is_zero(patch: pytest.MonkeyPatch) -> None:
    def over_four(self: running_average.RunningAverage, quarter: int) -> running_average.AverageAt | None:
        window = self.means.window(quarter)
        if not window:
            return None
        compared = rounding.compare(running_average.sum_of(window), self.planned, self.question.numbers)
        return running_average.AverageAt(quarter, window, self.planned, compared, early=False)

    patch.setattr(running_average.RunningAverage, "mean_at", over_four)


def no_early_test(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(running_average.RunningAverage, "early_at", lambda _self, _quarter: None)


def first_quarter_dates_today(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(running_average, "_since", lambda running, _quarter: running.question.on)


def dissolved_accepted(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(which_count, "fraction_counts", lambda _fraction, _limit_fraction: True)


def process_samples_counted(patch: pytest.MonkeyPatch) -> None:
    every = frozenset({"compliance", "confirmation", "process", "special", "quality control"})
    patch.setattr(which_count, "COUNTING_PURPOSES", every)


def confirmation_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(statistic_choice, "averages_confirmations", lambda _limit: False)
    patch.setattr(judge, "averages_confirmations", lambda _limit: False)


def confirmation_may_come_late(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(confirmations, "_in_time", lambda _first, _collected_on, _limit: True)


def waits_forever_for_confirmation(patch: pytest.MonkeyPatch) -> None:
    def later(judged_sample: object, question: object, *, confirmed: bool) -> single_results.JudgedSample:
        found = REAL_JUDGE_SAMPLE(judged_sample, question, confirmed=confirmed)
        if found.beyond_since is None or not confirmed or found.sample.confirmed:
            return found
        return replace(found, beyond_since=None, waits_until=question.on)

    patch.setattr(single_results, "judge_sample", later)


REAL_JUDGE_SAMPLE = single_results.judge_sample


def yearly_result_exceeds_at_once(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(yearly_trigger, "_trigger_sample", lambda _question: None)


def frequency_ignored(patch: pytest.MonkeyPatch) -> None:
    def as_if_quarterly(row: Limit, _frequency: object) -> str:
        return row.statistic_parameters.get("more_often", row.statistic)

    patch.setattr(statistic_choice, "chosen_statistic", as_if_quarterly)


def ratios_without_their_divisors(patch: pytest.MonkeyPatch) -> None:
    real = terms.terms_of

    def whole(row: object) -> terms.LimitTerms:
        found = real(row)
        if found.combine != "sum of ratios":
            return found
        return terms.LimitTerms("sum", tuple(_with_weight(term, Fraction(1)) for term in found.terms))

    patch.setattr(judge, "terms_of", whole)


def nothing_subtracted(patch: pytest.MonkeyPatch) -> None:
    real = terms.terms_of

    def unsigned(row: object) -> terms.LimitTerms:
        found = real(row)
        kept = tuple(_with_weight(term, max(term.weight, Fraction(0))) for term in found.terms)
        return terms.LimitTerms(found.combine, kept, found.reported_total)

    patch.setattr(judge, "terms_of", unsigned)


def members_not_added(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(samples, "combine", lambda _how, members: members[0].part)


def stand_in_used_whole(patch: pytest.MonkeyPatch) -> None:
    real = substitution.stand_in_value

    def whole(result: object, term: object, convert: object) -> object:
        counted = real(result, term, convert)
        return counted if counted is None else (counted[0].times(Fraction(2)), counted[1])

    patch.setattr(samples, "stand_in_value", whole)


def _with_weight(term: terms.Term, weight: Fraction) -> terms.Term:
    changed = {name: getattr(term, name) for name in terms.Term.__dataclass_fields__}
    return terms.Term(**{**changed, "weight": weight})


MUTANTS: list[Patch] = [
    half_even,
    rounded_down,
    never_rounded,
    equal_exceeds,
    triggers_strict,
    nondetect_as_its_limit,
    nondetect_as_half,
    nondetect_always_zero,
    quantitation_level_ignored,
    pooled_average,
    missing_quarter_is_zero,
    no_early_test,
    first_quarter_dates_today,
    dissolved_accepted,
    process_samples_counted,
    confirmation_ignored,
    confirmation_may_come_late,
    waits_forever_for_confirmation,
    yearly_result_exceeds_at_once,
    frequency_ignored,
    ratios_without_their_divisors,
    nothing_subtracted,
    members_not_added,
    stand_in_used_whole,
]


def test_the_unchanged_product_passes_every_example() -> None:
    assert examples_that_fail() == []


@pytest.mark.parametrize("seed_fault", MUTANTS, ids=lambda mutant: mutant.__name__.replace("_", " "))
def test_seeded_fault_is_caught(seed_fault: Patch, monkeypatch: pytest.MonkeyPatch) -> None:
    seed_fault(monkeypatch)
    assert examples_that_fail(), "no worked example notices this fault"
