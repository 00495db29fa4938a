"""A verdict unfolds into its arithmetic, every number with the place it came from."""

from datetime import date
from fractions import Fraction

import pytest

from pipeline.screening.bounds import Bounds
from pipeline.screening.explanation import explain, share_text
from pipeline.screening.figures import figure, figure_at_step
from pipeline.vocabulary import Purpose
from tests.pipeline.screening.ask import QUARTER_DAYS, ask
from tests.strategies import held_cell, limit, result

YEAR = [
    result(text, day, result_id=number)
    for number, (text, day) in enumerate(zip(("0.012", "<0.001", "0.018", "<0.001"), QUARTER_DAYS, strict=True))
]


@pytest.mark.parametrize(
    "line",
    [
        "Arsenic at clearwell outlet, evaluated on 2025-12-31",
        "running annual average 0.0075 mg/L, rounded 0.008, is not above 0.010 mg/L",
        "Quarters counted: Q1 2025 to Q4 2025; 4 of 4 quarters",
        "Quarter means: Q1 2025: 0.012 · Q2 2025: 0 · Q3 2025: 0.018 · Q4 2025: 0",
        "Average of quarters: 0.03 ÷ 4 = 0.0075 mg/L",
        "Rounded once, half up, step 0.001: 0.008 mg/L",
        "Compared: 0.008 is not above 0.010 mg/L",
        "75 % of the limit used",
        "Substituted: Arsenic: not detected below 0.001 mg/L: counts as 0 (2 of 4 results)",
        "the next value may be up to 0.02399 mg/L (one sample in Q1 2026; non-detects at their highest)",
        "[results.csv, line 3, column value]",
    ],
)
def test_each_step_is_written_down(line) -> None:
    assert line in explain(ask(limit(), YEAR))


def test_act_now_opens_the_text() -> None:
    row = limit(acute=True, statistic="single value", parameters="")
    assert "ACT NOW: exceeds since 2025-02-10" in explain(ask(row, [YEAR[0]]))


def test_an_early_exceedance_inside_a_quarter_is_dated_from_its_end() -> None:
    verdict = ask(limit(), [result("0.044", QUARTER_DAYS[0])], on=date(2025, 2, 20))
    assert "exceeds as of 2025-03-31" in explain(verdict)


def test_what_was_left_out_and_what_is_held_is_told() -> None:
    special = result("0.5", QUARTER_DAYS[3], sample="pilot", purpose=Purpose.SPECIAL)
    text = explain(ask(limit(), [*YEAR, special], held=[held_cell()]))
    assert "left out: 2025-11-10 Arsenic 0.5 mg/L: special sample" in text
    assert "held: Arsenic: unit is not known [results.csv, line 7, column value]" in text


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("0", "0"),
        ("0.0050", "0.005"),
        ("-8.04", "-8.04"),
        ("72.5", "72.5"),
        ("123456.7", "123457"),
        ("1/3", "0.33333"),
        ("0.000000030", "0.00000003"),
        ("99999.99", "100000"),
    ],
)
def test_figures_are_written_as_a_person_would(value, written) -> None:
    assert figure(Fraction(value)) == written


def test_a_rounded_figure_keeps_the_digits_of_its_step() -> None:
    step = limit(step="0.0010").step
    assert figure_at_step(Fraction("0.01"), step) == "0.0100"


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (Fraction(22, 25), Fraction(22, 25), "88 %"),
        (Fraction(0), Fraction(8, 5), "0 to 160 %"),
        (Fraction(1), None, "100 % or more"),
    ],
)
def test_shares_are_whole_percent(low, high, text) -> None:
    assert share_text(Bounds(low, high)) == text
