"""What must hold for any results: order, units and sensitivity change nothing for the better."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.plant.tables import Limit
from pipeline.screening.rounding import LimitNumbers, divide_round_compare
from pipeline.vocabulary import Outcome, ValueKind
from tests.pipeline.screening.ask import YEAR_END, ask
from tests.strategies import amounts, dates, limit, result, series

RUNNING = limit()
SINGLE = limit(statistic="single value", parameters="", nondetect_rule="bounds")
CONFIRMED = limit(statistic="mean with confirmation", parameters="", confirmation_hours=336)
YEARLY = limit(
    statistic="by monitoring frequency",
    parameters="yearly_or_less=trigger only;more_often=running annual average of quarter means;early=yes",
)
ROWS = st.sampled_from([RUNNING, SINGLE, CONFIRMED, YEARLY])
FREQUENCIES = st.sampled_from(["monthly", "quarterly", "yearly", None])
KEPT = {Outcome.MEETS, Outcome.NEAR_LIMIT}


@settings(max_examples=80, deadline=None)
@given(results=series(), row=ROWS, frequency=FREQUENCIES, shuffled=st.randoms(use_true_random=False))
def test_order_never_matters(results, row: Limit, frequency, shuffled) -> None:
    other = list(results)
    shuffled.shuffle(other)
    first, second = (ask(row, order, frequency=frequency) for order in (results, other))
    assert (first.outcome, first.statistic_low, first.statistic_high, first.reason, first.since) == (
        second.outcome,
        second.statistic_low,
        second.statistic_high,
        second.reason,
        second.since,
    )


@settings(max_examples=150, deadline=None)
@given(results=series(), row=ROWS, frequency=FREQUENCIES, which=st.integers(0, 13), factor=st.integers(2, 50))
def test_a_less_sensitive_nondetect_never_decides_anything(results, row: Limit, frequency, which, factor) -> None:
    nondetects = [number for number, one in enumerate(results) if one.kind is ValueKind.BELOW]
    if not nondetects:
        return
    number = nondetects[which % len(nondetects)]
    raised = list(results)
    raised[number] = replace(results[number], value=results[number].value * factor)
    before, after = (ask(row, order, frequency=frequency).outcome for order in (results, raised))
    assert not (before in KEPT and after is Outcome.EXCEEDS)
    assert not (before is Outcome.CANNOT_DETERMINE and after in KEPT)


@settings(max_examples=80, deadline=None)
@given(results=series(), row=ROWS, frequency=FREQUENCIES)
def test_units_change_nothing(results, row: Limit, frequency) -> None:
    in_micrograms = [replace(one, value=one.value * 1000, unit="ug/L") for one in results]
    first, second = (ask(row, order, frequency=frequency) for order in (results, in_micrograms))
    assert (first.outcome, first.statistic_low, first.share_high) == (
        second.outcome,
        second.statistic_low,
        second.share_high,
    )


@settings(max_examples=80, deadline=None)
@given(results=series(), frequency=FREQUENCIES, factor=st.sampled_from([10, 1000]))
def test_a_limit_in_another_unit_decides_alike(results, frequency, factor) -> None:
    scaled_row = RUNNING.model_copy(update={"value": RUNNING.value * factor, "step": RUNNING.step * factor})
    scaled = [replace(one, value=one.value * factor) for one in results]
    first, second = ask(RUNNING, results, frequency=frequency), ask(scaled_row, scaled, frequency=frequency)
    assert (first.outcome, first.share_low, first.since) == (second.outcome, second.share_low, second.since)


@settings(max_examples=150, deadline=None)
@given(results=series(), row=ROWS, frequency=FREQUENCIES, more=amounts(), day=dates())
def test_a_result_that_does_not_count_changes_no_outcome(results, row: Limit, frequency, more, day) -> None:
    process = result(more, day, sample="process", purpose="process")
    assert ask(row, [*results, process], frequency=frequency).outcome is ask(row, results, frequency=frequency).outcome


@settings(max_examples=150, deadline=None)
@given(results=series(), frequency=st.sampled_from(["monthly", "quarterly"]))
def test_the_next_quarter_may_be_exactly_what_is_said(results, frequency) -> None:
    """At the value said the next average complies; a hundredth of the limit's last digit more and it does not."""
    verdict = ask(RUNNING, results, frequency=frequency)
    may_be = verdict.next_may_be
    if may_be is None or verdict.outcome not in KEPT or verdict.window_to != YEAR_END:
        return
    numbers = LimitNumbers.of(RUNNING)
    ending = [one for one in verdict.used if one.result.collected_on.month > 3]
    quarters: dict[int, list[Fraction]] = {}
    for one in ending:
        quarters.setdefault((one.result.collected_on.month - 1) // 3, []).append(one.counted_high)
    means = [sum(values) / len(values) for values in quarters.values()]
    for more, side in ((Fraction(0), 0), (Fraction("0.00001"), 1)):
        end = divide_round_compare(sum(means) + may_be + more, len(means) + 1, numbers)
        assert end.side == side


@pytest.mark.parametrize("row", [RUNNING, SINGLE, CONFIRMED, YEARLY], ids=lambda row: row.statistic)
@pytest.mark.parametrize("amount", [Decimal("0.0104"), Decimal("0.0105")])
def test_the_half_step_is_the_edge_for_every_statistic(row: Limit, amount) -> None:
    results = [result(f"{amount:f}", day) for day in (YEAR_END.replace(month=m, day=5) for m in (1, 4, 7, 10))]
    exceeds = ask(row, results).outcome is Outcome.EXCEEDS
    assert exceeds is (amount == Decimal("0.0105"))
