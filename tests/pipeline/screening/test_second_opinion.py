"""Two independent readings of the rules agree on random years: non-detects, gaps, crowded quarters, other limits."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.screening.judge import judge
from pipeline.screening.rounding import round_half_up
from tests.pipeline.screening import second_opinion
from tests.strategies import POINT, convert_mass, dates, limit, series

NEAR = Fraction(4, 5)
LIMIT_VALUES = st.sampled_from(["0.005", "0.010", "0.012", "0.020"])
STEPS = st.sampled_from([None, "0.001", "0.005"])
DAYS = st.one_of(dates(), st.sampled_from([date(2024, 3, 31), date(2024, 12, 31), date(2025, 6, 30)]))


def word(row, results, on, frequency):
    """Outcome in words by the product."""
    verdict = judge(row, POINT, results, on=on, frequency=frequency, near_limit_share=NEAR, convert=convert_mass)
    return verdict.outcome.value


@settings(max_examples=250, deadline=None)
@given(
    results=series(),
    on=DAYS,
    value=LIMIT_VALUES,
    step=STEPS,
    early=st.booleans(),
    frequency=st.sampled_from(["quarterly", "monthly"]),
)
def test_running_averages_agree(results, on, value, step, early, frequency) -> None:
    row = limit(value, step=step, parameters=f"early={'yes' if early else 'no'}")
    expected = second_opinion.running_average(
        [second_opinion.as_plain(one) for one in results],
        on,
        Fraction(value),
        None if step is None else Fraction(step),
        NEAR,
        early=early,
        one_sample_a_quarter=frequency == "quarterly",
    )
    assert word(row, results, on, frequency) == expected


@settings(max_examples=150, deadline=None)
@given(results=series(), on=DAYS, value=LIMIT_VALUES, step=STEPS)
def test_single_values_agree(results, on, value, step) -> None:
    row = limit(value, step=step, statistic="single value", parameters="", nondetect_rule="bounds")
    expected = second_opinion.single_values(
        [second_opinion.as_plain(one) for one in results],
        on,
        Fraction(value),
        None if step is None else Fraction(step),
        NEAR,
    )
    assert word(row, results, on, None) == expected


@settings(max_examples=100, deadline=None)
@given(thousandths=st.integers(0, 60), step=STEPS)
def test_roundings_agree(thousandths, step) -> None:
    amount = Fraction(thousandths, 2000)
    as_fraction = None if step is None else Fraction(Decimal(step))
    assert round_half_up(amount, as_fraction) == second_opinion.round_half_up(amount, as_fraction)


@settings(max_examples=150, deadline=None)
@given(results=series(), on=DAYS, changed_on=DAYS, old=LIMIT_VALUES, new=LIMIT_VALUES)
def test_a_changed_limit_is_judged_by_the_row_of_the_day(results, on, changed_on, old, new) -> None:
    rows = [
        limit(old, effective_to=changed_on - timedelta(days=1)),
        limit(new, effective_from=changed_on),
    ]
    in_force, other = rows if on < changed_on else reversed(rows)
    plain = [second_opinion.as_plain(one) for one in results]
    expected = second_opinion.running_average(
        plain, on, Fraction(in_force.value), Fraction("0.001"), NEAR, early=True, one_sample_a_quarter=True
    )
    assert word(in_force, results, on, "quarterly") == expected
    assert word(other, results, on, "quarterly") == "information only"
