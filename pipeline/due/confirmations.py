"""Confirmation samples that a result above a number asks for, and by when: prompts to check with rule and agency."""

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from pipeline.due.model import Due, DueState, TakenSample
from pipeline.screening.confirmations import HOURS_OF_A_DAY, clock_starts, confirmation_due
from pipeline.screening.model import ScreeningResult, UsedResult, Verdict
from pipeline.vocabulary import Outcome, Purpose

ASK = "check with the rule and the agency"


def confirmations_due(verdicts: Iterable[Verdict], taken: Sequence[TakenSample]) -> list[Due]:
    """Confirmation samples of results that are above a number and not yet an exceedance.

    The time runs as the limit says: hours from the laboratory's word, two weeks from the sampling (40 CFR 141.23(f)(1)
    and (f)(2) [from memory]). A confirmation that is logged waits for its result.

    Returns
    -------
    list of Due
        One an analyte, point and first sample, however many limits ask for it; the earliest time counts.
    """
    found: dict[tuple[str, str, str], Due] = {}
    for verdict in verdicts:
        if verdict.outcome is not Outcome.ABOVE_NOT_YET or verdict.limit.confirmation_hours is None:
            continue
        for used in verdict.used:
            one = _due(verdict, used, taken)
            if one is None:
                continue
            key = one.sample_point, one.analyte, one.sample
            if key not in found or _earlier(one.due_by, found[key].due_by):
                found[key] = one
    return list(found.values())


def _due(verdict: Verdict, used: UsedResult, taken: Sequence[TakenSample]) -> Due | None:
    limit, result = verdict.limit, used.result
    last_day = confirmation_due(
        clock_starts(result.collected_on, result.reported_on or result.collected_on, limit), limit
    )
    waits = last_day is not None and verdict.on <= last_day and not _confirms(result)
    if not waits or not _beyond(verdict, used):
        return None
    hours = limit.confirmation_hours or 0
    within = f"{hours} h of the laboratory's word" if hours < 7 * HOURS_OF_A_DAY else f"{hours // HOURS_OF_A_DAY} days"
    confirming = next((one for one in taken if one.confirmation_of == result.sample), None)
    return Due(
        state=DueState.CONFIRM if confirming is None else DueState.AT_LABORATORY,
        sample_point=verdict.sample_point,
        analyte=result.analyte,
        due_by=last_day,
        laboratory=result.laboratory,
        sample=result.sample if confirming is None else confirming.sample,
        collected_on=result.collected_on if confirming is None else confirming.collected_on,
        reason=(
            f"{result.value_text.strip()} {result.unit} is above the {limit.kind} limit: confirm within {within}; {ASK}"
            if confirming is None
            else f"confirms {result.sample}"
        ),
        file=result.file,
        line=result.line,
    )


def _confirms(result: ScreeningResult) -> bool:
    return result.purpose == Purpose.CONFIRMATION or bool(result.confirmation_of)


def _beyond(verdict: Verdict, used: UsedResult) -> bool:
    """Whether the result by itself is above the number; members of a group are never told apart."""
    value, high = verdict.limit.value, used.counted_high
    if value is None or high is None or verdict.limit.group_members:
        return True
    return high < Fraction(value) if verdict.limit.direction == "not below" else high > Fraction(value)


def _earlier(one: date | None, other: date | None) -> bool:
    return one is not None and (other is None or one < other)
