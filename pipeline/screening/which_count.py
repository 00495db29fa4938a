"""Which results count toward a compliance statistic, and why the others do not."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.censoring import WITHOUT_RESULT
from pipeline.plant.tables import Limit
from pipeline.screening.model import ExcludedResult, ScreeningResult
from pipeline.vocabulary import Purpose, ValueKind

COUNTING_PURPOSES = frozenset({Purpose.COMPLIANCE, Purpose.CONFIRMATION})
INTERNAL_GOAL = "internal goal"
# A limit for the total takes what a digested or unfiltered sample gave, never the dissolved part alone.
FRACTIONS_FOR_TOTAL = ("total", "total recoverable", "")
# For a limit that names no fraction, the fullest of a sample counts.
FULLEST_FIRST = ("total", "", "total recoverable")


@dataclass(frozen=True, slots=True)
class Counting:
    """Results that count, and those looked at and left out.

    ``unusable`` are the results that would count had they not been late, wrongly preserved or rejected.
    """

    counted: list[ScreeningResult]
    excluded: list[ExcludedResult]
    unusable: list[ScreeningResult]


def reason_not_counted(result: ScreeningResult, limit: Limit) -> str:
    """Why a result does not count for a limit, apart from being unusable; empty when it counts."""
    if result.not_of_record:
        return result.not_of_record
    if result.purpose not in counting_purposes(limit):
        return f"{result.purpose or 'unnamed'} sample: only compliance samples and their confirmations count"
    if not fraction_counts(result.fraction, limit.fraction):
        return f"{result.fraction} fraction: the limit is for {limit.fraction}"
    if result.kind in WITHOUT_RESULT:
        return f"{result.kind.value}: there is no result"
    if result.kind is ValueKind.NUMBER and result.value is None:
        return "no number was stored"
    return ""


def counting_purposes(limit: Limit) -> frozenset[Purpose]:
    """Why a sample must have been taken to count; the plant's own goals also take its process samples."""
    return COUNTING_PURPOSES | {Purpose.PROCESS} if limit.kind == INTERNAL_GOAL else COUNTING_PURPOSES


def fraction_counts(fraction: str, limit_fraction: str) -> bool:
    """Whether a result's fraction may be judged by a limit's fraction."""
    if not limit_fraction:
        return True
    if limit_fraction == "total":
        return fraction in FRACTIONS_FOR_TOTAL
    return fraction == limit_fraction


def fraction_rank(fraction: str, limit_fraction: str) -> int:
    """Order in which fractions of one sample are preferred; the lowest counts."""
    order = FRACTIONS_FOR_TOTAL if limit_fraction == "total" else FULLEST_FIRST
    return order.index(fraction) if fraction in order else len(order)


def pick_counting(results: Iterable[ScreeningResult], limit: Limit, on: date) -> Counting:
    """Divide the results collected up to ``on`` into those that count for the limit and those that do not."""
    counting = Counting([], [], [])
    for result in results:
        if result.collected_on > on:
            continue
        reason = reason_not_counted(result, limit)
        if not reason and result.unusable_because:
            reason = result.unusable_because
            counting.unusable.append(result)
        if reason:
            counting.excluded.append(ExcludedResult(result, reason))
        else:
            counting.counted.append(result)
    return counting


def keep_preferred_fraction(
    results: Sequence[ScreeningResult], limit_fraction: str
) -> tuple[list[ScreeningResult], list[ExcludedResult]]:
    """Keep one fraction of an analyte in a sample: total and dissolved of one bottle are not two results."""
    if len(results) == 1:
        return list(results), []
    ranks = [fraction_rank(result.fraction, limit_fraction) for result in results]
    best = min(ranks)
    kept = [result for result, rank in zip(results, ranks, strict=True) if rank == best]
    name = kept[0].fraction or "unnamed"
    left = [
        ExcludedResult(result, f"the {name} fraction of the same sample counts")
        for result, rank in zip(results, ranks, strict=True)
        if rank != best
    ]
    return kept, left
