"""Results that may not be used, and what would follow if they might: a bad result above a limit does not vanish.

Rejecting a result that is above a limit leaves the exceedance as claimed to be rejected until the agency's reference is
recorded; a late or wrongly preserved one above the number is re-sampled, and until then nothing says that the limit is
kept.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from pipeline.screening.assessment import Assessment
from pipeline.screening.model import ScreeningResult
from pipeline.screening.outcome import COMPLIES
from pipeline.screening.samples import sample_identity
from pipeline.vocabulary import Outcome

BEYOND = frozenset({Outcome.EXCEEDS, Outcome.TRIGGER_REACHED, Outcome.ABOVE_NOT_YET})
BETTER_THAN_UNKNOWN = COMPLIES | {Outcome.NO_DATA, Outcome.NOT_ENOUGH_DATA}


def claimed(unusable: list[ScreeningResult]) -> list[ScreeningResult]:
    """Unusable results whose rejection no agency has accepted."""
    return [result for result in unusable if not result.rejection_reference]


def counted_with(
    counted: Sequence[ScreeningResult], disputed: Sequence[ScreeningResult]
) -> list[list[ScreeningResult]]:
    """What would count if the disputed results did: beside the others, and in place of those of the same sample.

    Where a person chose one of two results, or accepted one of two versions, the other one would count by itself and
    not as a bound beside it; so would each of several disputed ones.
    """
    if not disputed:
        return []
    in_their_place = [*_of_other_samples(counted, disputed), *disputed]
    crowded = Counter(map(_subject, disputed))
    alone = [
        [*_of_other_samples([*counted, *disputed], [result]), result]
        for result in disputed
        if crowded[_subject(result)] > 1
    ]
    beside = [*counted, *disputed]
    return [beside, *([in_their_place] if len(in_their_place) < len(beside) else []), *alone]


def _of_other_samples(results: Sequence[ScreeningResult], than: Sequence[ScreeningResult]) -> list[ScreeningResult]:
    subjects = set(map(_subject, than))
    return [result for result in results if _subject(result) not in subjects]


def _subject(result: ScreeningResult) -> tuple[str, str, str]:
    return sample_identity(result), result.analyte, result.fraction


def with_claim(answer: Assessment, if_usable: Assessment) -> tuple[Assessment, bool]:
    """Weigh an assessment against the one with the unusable results counted in.

    Returns
    -------
    tuple
        The assessment to show, and whether it rests on the unusable results, whose number then stays visible.
    """
    if if_usable.outcome is Outcome.EXCEEDS and answer.outcome is not Outcome.EXCEEDS:
        reason = f"with the results that may not be used: {if_usable.reason}; no agency reference accepts the rejection"
        return replace(
            if_usable, outcome=Outcome.REJECTION_CLAIMED, reason=reason, next_action="ask agency; resample"
        ), True
    if if_usable.outcome in BEYOND and answer.outcome in BETTER_THAN_UNKNOWN:
        reason = f"a result beyond the number may not be used ({if_usable.reason}): resample"
        return replace(
            if_usable, outcome=Outcome.CANNOT_DETERMINE, reason=reason, since=None, next_action="resample"
        ), True
    return answer, False
