"""The hazard index of several perfluorinated substances: exceeded only when at least two members are detected.

One member alone, above its own limit, exceeds that limit and not the index; one without a limit of its own exceeds
nothing (40 CFR 141.905(e)).
"""

from dataclasses import replace

from pipeline.screening.assessment import Assessment, Question
from pipeline.screening.model import Step
from pipeline.screening.outcome import beyond_outcome
from pipeline.vocabulary import Outcome


def with_members_detected(answer: Assessment, question: Question) -> Assessment:
    """Take back an exceedance of an index that rests on fewer members than the rule asks for."""
    least = int(question.limit.statistic_parameters.get("min_members_detected", "0"))
    above = answer.outcome in (beyond_outcome(question.limit), Outcome.ABOVE_NOT_YET)
    if least == 0 or not above:
        return answer
    detected = frozenset(name for sample in answer.samples for name in sample.detected)
    possible = frozenset(name for sample in answer.samples for name in sample.possibly_detected)
    if len(detected) >= least:
        return answer
    names = ", ".join(sorted(detected)) or "no member"
    reason = f"{answer.reason}; but only {names} detected, and the index asks for {least} members"
    step = Step("Members detected", f"{names}; the index asks for {least}")
    outcome = Outcome.CANNOT_DETERMINE if len(possible) >= least else Outcome.NEAR_LIMIT
    return replace(answer, outcome=outcome, reason=reason, since=None, next_action="", steps=(*answer.steps, step))
