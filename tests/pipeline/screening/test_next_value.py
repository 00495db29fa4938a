"""The largest next value that keeps a limit: worked by hand, and held to the judge by judging exactly that value.

The averages are those of 40 CFR 141.133(b) and 141.620(d), the numbers of 40 CFR 141.64; a finished average is brought
to the digits of the limit, half up (EPA Water Supply Guidance 21, 1981).
"""

import re
from datetime import date
from fractions import Fraction

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.plant.tables import Limit
from pipeline.screening.calendar_quarters import last_day, quarter_of
from pipeline.screening.explanation import next_text
from pipeline.screening.figures import figure
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.vocabulary import Outcome
from tests.pipeline.screening.ask import YEAR_END, ask
from tests.strategies import limit, result, series

TTHM = limit("0.080", statistic="locational running annual average")
HAA5 = limit("0.060", statistic="locational running annual average")
BROMATE = limit("0.010", statistic="running annual average of monthly means")
TWO_FIGURES = limit("0.080", statistic="locational running annual average", parameters="early=yes;pre_round=2")
INCLUSIVE = limit("0.080", statistic="locational running annual average", comparison="inclusive")
UNROUNDED = limit("0.080", statistic="locational running annual average", step=None)
BEYOND = {Outcome.EXCEEDS, Outcome.ABOVE_NOT_YET}
QUARTERS = (date(2025, 2, 10), date(2025, 5, 12), date(2025, 8, 11), date(2025, 11, 10))


def quarterly(*written: str, days: tuple[date, ...] = QUARTERS) -> list[ScreeningResult]:
    return [result(text, day) for text, day in zip(written, days, strict=False)]


def monthly(*written: str, year: int = 2025) -> list[ScreeningResult]:
    return [result(text, date(year, month, 9)) for month, text in enumerate(written, 1)]


def test_a_fourth_quarter_of_trihalomethanes_worked_by_hand() -> None:
    """0.075 + 0.090 + 0.068 = 0.233; an average below 0.0805 is a sum below 0.322; 0.322 - 0.233 = 0.089."""
    verdict = ask(TTHM, quarterly("0.120", "0.075", "0.090", "0.068"))
    assert (verdict.next_may_be, verdict.next_assumes) == (
        Fraction("0.08899"),
        "one sample in Q1 2026; non-detects at their highest",
    )


def test_a_first_year_of_haloacetic_acids_worked_by_hand() -> None:
    """One quarter of 0.100 and three to come count as zero: (0.100 + x) / 4 below 0.0605 is x below 0.142."""
    verdict = ask(HAA5, quarterly("0.100"), on=date(2025, 3, 31))
    assert verdict.next_may_be == Fraction("0.14199")


def test_three_months_of_bromate_worked_by_hand() -> None:
    """Nine months of 0.009 stay: 0.081; a year below 0.0105 is a sum below 0.126; 0.045 over three months is 0.015."""
    verdict = ask(BROMATE, monthly(*["0.009"] * 12), frequency="monthly")
    assert verdict.next_may_be == Fraction("0.01499")
    assert verdict.next_assumes.startswith("mean of each of 3 months to come in Q1 2026;")


def test_a_month_that_is_in_leaves_less_to_the_other_two() -> None:
    """0.126 - 0.081 - 0.020 = 0.025 over two months is 0.0125."""
    results = [*monthly(*["0.009"] * 12), *monthly("0.020", year=2026)]
    verdict = ask(BROMATE, results, frequency="monthly", on=date(2026, 1, 31))
    assert verdict.next_may_be == Fraction("0.01249")
    assert "each of 2 months to come in Q1 2026, which has 2026-01" in verdict.next_assumes


def test_samples_that_the_quarter_has_already_count_with_the_next() -> None:
    """0.075 + 0.090 + 0.068 leave 0.089 for the mean; three samples of which two add up to 0.200: 0.267 - 0.200."""
    begun = [result("0.100", date(2026, 1, 5)), result("0.100", date(2026, 2, 5))]
    verdict = ask(
        TTHM, [*quarterly("0.120", "0.075", "0.090", "0.068"), *begun], frequency="monthly", on=date(2026, 2, 28)
    )
    assert verdict.next_may_be == Fraction("0.06699")
    assert "one more sample in Q1 2026, which has 2 samples" in verdict.next_assumes


def test_a_year_that_is_lost_says_that_no_value_keeps_the_limit() -> None:
    """0.150 + 0.090 + 0.100 = 0.340 is more than 0.322 whatever comes."""
    verdict = ask(TTHM, quarterly("0.010", "0.150", "0.090", "0.100"))
    assert verdict.next_may_be is None
    assert verdict.next_assumes
    assert next_text(verdict) == "no next value keeps the limit, not even zero"


def test_a_level_to_keep_has_no_largest_next_value() -> None:
    row = limit("0.2", direction="not below", statistic="single value", parameters="", step=None)
    verdict = ask(row, [result("0.5", QUARTERS[0])])
    assert (verdict.next_may_be, verdict.next_assumes) == (None, "")


def test_a_value_without_an_upper_end_leaves_nothing_to_say() -> None:
    verdict = ask(TTHM, quarterly("0.010", "0.020", ">0.5", "0.020"))
    assert (verdict.next_may_be, verdict.next_assumes) == (None, "")


def _days_to_come(verdict: Verdict, results: list[ScreeningResult]) -> list[date]:
    """The days on which the samples are taken that an answer takes for granted."""
    if "one more sample in 20" in verdict.next_assumes:  # another one in the last month of the quarter
        return [last_day(quarter_of(verdict.on))]
    number, year = re.search(r"in Q(\d) (\d{4})", verdict.next_assumes).groups()
    end = last_day(int(year) * 4 + int(number) - 1)
    if "month" not in verdict.next_assumes:
        return [end]
    count = int((re.search(r"each of (\d) months", verdict.next_assumes) or [0, 1])[1])
    sampled = {one.collected_on.replace(day=27) for one in results}
    months = [date(end.year, end.month - n, 27) for n in range(3)]
    return [day for day in months if day not in sampled][:count]


def _after(row: Limit, before: Verdict, results: list[ScreeningResult], value: Fraction, frequency: str) -> Outcome:
    """The judge's outcome at the end of the quarter in which the next value, or values, came in."""
    days = _days_to_come(before, results)
    added = [result(figure(value, 30), day, sample=f"next {day}", result_id=900 + n) for n, day in enumerate(days)]
    on = last_day(quarter_of(max(days)))
    return ask(row, [*results, *added], on=on, frequency=frequency).outcome


@settings(max_examples=120, deadline=None)
@given(
    results=series(),
    row=st.sampled_from([limit(), TTHM, BROMATE, TWO_FIGURES, INCLUSIVE, UNROUNDED]),
    frequency=st.sampled_from(["monthly", "quarterly"]),
    on=st.sampled_from([YEAR_END, date(2025, 11, 20), date(2025, 7, 3)]),
)
def test_exactly_what_is_said_complies_and_the_next_step_does_not(results, row: Limit, frequency, on) -> None:
    """The judge decides: the value said keeps the limit, a hundredth of the limit's last digit more does not."""
    known = [one for one in results if one.collected_on <= on]
    measured = [(one.value_text.lstrip("<"), one) for one in known]
    numbered = [result(text, one.collected_on, sample=one.sample, result_id=one.result_id) for text, one in measured]
    before = ask(row, numbered, frequency=frequency, on=on)
    assume(before.next_may_be is not None)
    # Before a year is full a mean so far may be above its number and no exceedance yet; a full year is one or is not.
    first = min(quarter_of(one.collected_on) for one in known)
    assume(quarter_of(on) - first >= 4)
    step = (Fraction(row.step) if row.step else Fraction(1, 1000)) / 100
    assert _after(row, before, numbered, before.next_may_be, frequency) not in BEYOND
    assert _after(row, before, numbered, before.next_may_be + step, frequency) in BEYOND


@settings(max_examples=60, deadline=None)
@given(step=st.sampled_from([None, "0.001"]), value=st.sampled_from(["0.010", "0.5", "3"]), inclusive=st.booleans())
def test_a_single_result_complies_up_to_exactly_what_is_said(step, value, inclusive) -> None:
    row = limit(
        value, statistic="single value", parameters="", step=step, comparison="inclusive" if inclusive else "strict"
    )
    said = ask(row, [result("0.001", QUARTERS[0])]).next_may_be
    last_digit = Fraction(step) if step else Fraction(1, 10 ** len(value.partition(".")[2]))
    for more, beyond in ((Fraction(0), False), (last_digit / 100, True)):
        verdict = ask(row, [result(figure(said + more, 30), YEAR_END)])
        assert (verdict.outcome is Outcome.EXCEEDS) is beyond
