"""Whatever a laboratory sends, each shipped limit gets a verdict whose parts agree with each other."""

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.plant.tables import Limit, LimitStatus
from pipeline.reference import shipped_limits
from pipeline.screening.explanation import explain
from pipeline.screening.model import Verdict
from pipeline.screening.statistic_choice import is_supported
from pipeline.screening.terms import terms_of
from pipeline.vocabulary import Comparison, Outcome, Purpose, ValueKind
from tests.pipeline.screening.ask import ask
from tests.reference.worked_examples import shipped_units
from tests.strategies import dates, result

JUDGED = [
    row.model_copy(update={"status": LimitStatus.IN_FORCE, "effective_from": None, "effective_to": None})
    for row in shipped_limits()
    if is_supported(row) and row.value is not None
]
UNITS = ["mg/L", "ug/L", "ng/L", "pCi/L", "NTU", ""]
KEPT = {Outcome.MEETS, Outcome.NEAR_LIMIT}


@st.composite
def deliveries(draw: st.DrawFn) -> tuple[Limit, list]:
    """A limit and results of its analytes: any kind, unit, purpose, sample, fraction and date."""
    row = draw(st.sampled_from(JUDGED))
    names = list(terms_of(row).analytes)
    results = []
    for number in range(draw(st.integers(0, 12))):
        amount = row.value * draw(st.integers(0, 30)) / 10
        one = result(
            f"{amount:f}",
            draw(dates(date(2024, 1, 1))),
            analyte=draw(st.sampled_from(names)),
            unit=draw(st.sampled_from([row.unit, row.unit, row.unit, *UNITS])),
            basis=draw(st.sampled_from([row.basis, row.basis, ""])),
            sample=draw(st.sampled_from(["", "S1", "S2", "S3", "S4"])),
            purpose=draw(st.sampled_from([*[Purpose.COMPLIANCE] * 4, Purpose.CONFIRMATION, Purpose.PROCESS])),
            confirmation_of=draw(st.sampled_from(["", "", "", "S1", "S3", "nobody"])),
            fraction=draw(st.sampled_from(["", "total", "dissolved"])),
            unusable_because=draw(st.sampled_from(["", "", "", "late"])),
            result_id=number,
        )
        kind = draw(st.sampled_from([*[ValueKind.NUMBER] * 4, *ValueKind]))
        results.append(replace(one, kind=kind))
    return row, results


@settings(max_examples=200, deadline=None)
@given(delivery=deliveries(), frequency=st.sampled_from([None, "monthly", "quarterly", "twice a year", "yearly"]))
def test_the_parts_of_a_verdict_agree(delivery, frequency) -> None:
    row, results = delivery
    verdict = ask(row, results, frequency=frequency, convert=shipped_units().convert)
    assert verdict.outcome is not Outcome.INFORMATION
    assert faults(verdict) == []
    assert explain(verdict).count("\n") >= 3


def faults(verdict: Verdict) -> list[str]:
    """What contradicts itself in a verdict."""
    said = {
        "kept, but the number is not within": verdict.outcome in KEPT
        and verdict.comparison is not Comparison.WITHIN
        and "detected, and the index asks" not in verdict.reason,
        "exceeds, but the number is not beyond": verdict.outcome is Outcome.EXCEEDS
        and verdict.comparison is not Comparison.ABOVE,
        "act now, but the limit is not acute": verdict.act_now and not verdict.limit.acute,
        "exceeds, but since when is not said": verdict.outcome is Outcome.EXCEEDS and verdict.since is None,
        "no reason": not verdict.reason,
        "prompt too long": len(verdict.next_action) > 28,
        "bounds crossed": _crossed(verdict),
        "a result counts twice": len({id(one.result) for one in verdict.used}) != len(verdict.used),
        "used and left out": bool(
            {id(one.result) for one in verdict.used} & {id(one.result) for one in verdict.excluded}
        ),
        "an unusable result counts": verdict.outcome in KEPT
        and any(one.result.unusable_because for one in verdict.used),
    }
    return [fault for fault, holds in said.items() if holds]


def _crossed(verdict: Verdict) -> bool:
    pairs = [
        (verdict.statistic_low, verdict.statistic_high),
        (verdict.compared_low, verdict.compared_high),
        (verdict.share_low, verdict.share_high),
    ]
    return any(low is not None and high is not None and low > high for low, high in pairs)
