"""Groups: members of one sample, what may stand for them, and what a missing one leaves open."""

from datetime import date
from fractions import Fraction

import pytest

from pipeline.reference import shipped_limits
from pipeline.vocabulary import Outcome
from tests.pipeline.screening.ask import QUARTER_DAYS, ask
from tests.reference.worked_examples import shipped_units
from tests.strategies import limit, result

DAY = QUARTER_DAYS[0]
LIMITS = {row.limit_id: row for row in shipped_limits()}
PAIR_SUM = limit(
    "0.010",
    analyte="Pair",
    members=[("First", "1"), ("Second", "1")],
    statistic="single value",
    parameters="combine=sum",
)


def one(analyte: str, written: str, unit: str = "mg/L", sample: str = "S1", day: date = DAY):
    return result(written, day, analyte=analyte, unit=unit, sample=sample)


def test_members_of_different_samples_are_not_added() -> None:
    verdict = ask(PAIR_SUM, [one("First", "0.004", sample="S1"), one("Second", "0.004", sample="S2")])
    assert verdict.outcome is Outcome.CANNOT_DETERMINE


def test_a_missing_member_leaves_the_sum_open_above() -> None:
    verdict = ask(PAIR_SUM, [one("First", "0.004")])
    assert (verdict.outcome, verdict.statistic_low, verdict.statistic_high) == (
        Outcome.CANNOT_DETERMINE,
        Fraction("0.004"),
        None,
    )
    assert verdict.next_action == "report Second"
    assert verdict.reason.endswith("Second missing")


def test_one_member_alone_can_exceed() -> None:
    assert ask(PAIR_SUM, [one("First", "0.011")]).outcome is Outcome.EXCEEDS


def test_a_reported_total_stands_for_missing_members() -> None:
    verdict = ask(PAIR_SUM, [one("First", "0.004"), one("Pair", "0.006")])
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.MEETS, Fraction("0.006"))
    assert [left.result.analyte for left in verdict.excluded] == ["First"]


def test_complete_members_count_before_a_reported_total() -> None:
    verdict = ask(PAIR_SUM, [one("First", "0.004"), one("Second", "0.003"), one("Pair", "0.006")])
    assert verdict.statistic_low == Fraction("0.007")
    assert [left.because for left in verdict.excluded] == ["the members of the same sample count"]


def test_an_incomplete_sample_does_not_hide_the_complete_one_of_its_quarter() -> None:
    row = PAIR_SUM.model_copy(
        update={
            "statistic": "running annual average of quarter means",
            "statistic_parameters": {"combine": "sum", "early": "yes"},
        }
    )
    results = [one(name, "0.002", sample=f"S{day}", day=day) for day in QUARTER_DAYS for name in ("First", "Second")]
    alone = one("First", "0.004", sample="alone", day=date(2025, 3, 1))
    verdict = ask(row, [*results, alone])
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.MEETS, Fraction("0.004"))
    assert "Second missing" in verdict.excluded[0].because


def test_gross_alpha_alone_is_no_radium_sample() -> None:
    row = LIMITS["us-primary-radium-226-228"]
    verdict = ask(row, [one("Gross alpha", "2", "pCi/L")], frequency="yearly", convert=shipped_units().convert)
    assert verdict.outcome is Outcome.NO_DATA


@pytest.mark.parametrize(
    ("alpha", "outcome"), [("1.5", Outcome.NEAR_LIMIT), ("5.1", Outcome.CANNOT_DETERMINE)], ids=["may", "may not"]
)
def test_gross_alpha_stands_for_radium_up_to_five(alpha, outcome) -> None:
    """40 CFR 141.26(c)(3)(v) and EPA question page: only at or below 5 pCi/L, and detected then used whole."""
    results = [one("Gross alpha", alpha, "pCi/L"), one("Radium-228", "2.9", "pCi/L")]
    row = LIMITS["us-primary-radium-226-228"]
    verdict = ask(row, results, frequency="yearly", convert=shipped_units().convert)
    assert verdict.outcome is outcome


def test_gross_alpha_reported_in_becquerel_is_held_to_the_same_five() -> None:
    results = [one("Gross alpha", "1", "Bq/L"), one("Radium-228", "2.9", "pCi/L")]
    row = LIMITS["us-primary-radium-226-228"]
    verdict = ask(row, results, frequency="yearly", convert=shipped_units().convert)
    assert verdict.outcome is Outcome.CANNOT_DETERMINE


def test_gross_alpha_stands_for_uranium_through_its_activity() -> None:
    """6.7 pCi/L over 0.67 pCi/ug is 10 ug/L (factor from memory)."""
    row = LIMITS["us-primary-uranium"]
    verdict = ask(row, [one("Gross alpha", "6.7", "pCi/L")], frequency="yearly", convert=shipped_units().convert)
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.MEETS, Fraction(10))


def test_without_uranium_gross_alpha_is_only_an_upper_end() -> None:
    row = LIMITS["us-primary-gross-alpha"]
    verdict = ask(row, [one("Gross alpha", "25", "pCi/L")], frequency="yearly", convert=shipped_units().convert)
    assert (verdict.outcome, verdict.statistic_low, verdict.statistic_high) == (
        Outcome.CANNOT_DETERMINE,
        Fraction(0),
        Fraction(25),
    )


def test_without_potassium_nothing_is_subtracted_from_gross_beta() -> None:
    row = LIMITS["us-trigger-gross-beta-vulnerable"]
    results = [result("60", day, analyte="Gross beta", unit="pCi/L") for day in QUARTER_DAYS]
    verdict = ask(row, results, convert=shipped_units().convert)
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.TRIGGER_REACHED, Fraction(60))


def test_a_weighted_sum_below_zero_counts_as_zero() -> None:
    row = LIMITS["us-primary-gross-alpha"]
    results = [one("Gross alpha", "2", "pCi/L"), one("Uranium", "12", "ug/L")]
    assert ask(row, results, frequency="yearly", convert=shipped_units().convert).statistic_low == 0


def test_one_member_alone_is_no_exceedance_of_the_hazard_index() -> None:
    """40 CFR 141.905(e): PFBS alone, whatever its amount."""
    row = LIMITS["us-primary-pfas-hazard-index"].model_copy(update={"effective_from": date(2024, 1, 1)})
    results = [
        result(written, day, analyte=name, unit="ng/L")
        for day in QUARTER_DAYS
        for name, written in (("HFPO-DA", "<5.0"), ("PFBS", "6000"), ("PFNA", "<4.0"), ("PFHxS", "<3.0"))
    ]
    verdict = ask(row, results, convert=shipped_units().convert)
    assert (verdict.outcome, verdict.since) == (Outcome.NEAR_LIMIT, None)
    assert "only PFBS detected" in verdict.reason


def test_four_times_the_sum_of_fractions_of_beta_emitters() -> None:
    """Tritium 6000 and strontium-90 3 pCi/L make 2.7 mrem/yr (worked from 40 CFR 141.66(d))."""
    row = LIMITS["us-primary-beta-photon"]
    results = [
        result(written, day, analyte=name, unit="pCi/L")
        for day in QUARTER_DAYS
        for name, written in (("Tritium", "6000"), ("Strontium-90", "3"))
    ]
    verdict = ask(row, results, convert=shipped_units().convert)
    assert (verdict.outcome, verdict.statistic_low) == (Outcome.MEETS, Fraction("2.7"))


def test_another_analyte_may_be_judged_in_its_place_but_not_beside_it() -> None:
    row = limit(
        "4.0", analyte="Total chlorine", step="0.1", statistic="single value", parameters="also_accepts=Free chlorine"
    )
    both = [one("Free chlorine", "3.0"), one("Total chlorine", "3.3")]
    assert ask(row, both[:1]).statistic_low == Fraction(3)
    verdict = ask(row, both)
    assert verdict.statistic_low == Fraction("3.3")
    assert [left.because for left in verdict.excluded] == ["Total chlorine of the same sample counts"]
