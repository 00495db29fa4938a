"""The order of a list of verdicts: worst first."""

from collections.abc import Iterable
from fractions import Fraction

from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome

RANK = {outcome: rank for rank, outcome in enumerate(Outcome)}


def worst_first(verdicts: Iterable[Verdict]) -> list[Verdict]:
    """Sort verdicts: act now above all, then by outcome, then by share of the limit, highest first."""
    return sorted(verdicts, key=_severity)


def _severity(verdict: Verdict) -> tuple[bool, int, bool, Fraction, str, str, str]:
    share = verdict.share_high if verdict.share_high is not None else verdict.share_low
    return (
        not verdict.act_now,
        RANK[verdict.outcome],
        share is None,
        -share if share is not None else Fraction(0),
        verdict.limit.analyte,
        verdict.sample_point,
        verdict.limit.limit_id,
    )
