"""Which sample confirms which: only a confirmation is averaged with the sample it confirms."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from pipeline.plant.tables import Limit
from pipeline.screening.model import ScreeningResult
from pipeline.vocabulary import Purpose

# A plant that cannot take the second sample in the short time has two weeks (40 CFR 141.23(f)(2), from memory).
TWO_WEEKS_HOURS = 336
HOURS_OF_A_DAY = 24


def pair_confirmations(by_sample: Mapping[str, Sequence[ScreeningResult]], limit: Limit) -> dict[str, list[str]]:
    """Samples that confirm each first sample.

    A confirmation names the sample that it confirms; one that names none confirms the latest compliance sample before
    it. One that comes too late, or confirms a sample that does not count, stands by itself.
    """
    pairs: dict[str, list[str]] = defaultdict(list)
    firsts = [(_collected_on(results), name) for name, results in by_sample.items() if not _confirms(results)]
    for name, results in by_sample.items():
        if not _confirms(results):
            continue
        collected_on = _collected_on(results)
        named = _first_of_chain(name, by_sample)
        candidates = firsts if named is None else [first for first in firsts if first[1] == named]
        in_time = [first for first in candidates if _in_time(by_sample[first[1]], collected_on, limit)]
        if in_time:
            pairs[max(in_time)[1]].append(name)
    return pairs


def confirmation_due(told_on: date, limit: Limit) -> date | None:
    """Last day for the confirmation of a result; ``None`` when the limit gives no time for one."""
    if limit.confirmation_hours is None:
        return None
    return told_on + timedelta(days=_whole_days(limit.confirmation_hours))


def clock_starts(collected_on: date, told_on: date, limit: Limit) -> date:
    """Day from which the time for a confirmation runs: two weeks run from sampling, hours from being told."""
    return collected_on if (limit.confirmation_hours or 0) >= TWO_WEEKS_HOURS else told_on


def _first_of_chain(name: str, by_sample: Mapping[str, Sequence[ScreeningResult]]) -> str | None:
    """Name the sample that a chain of confirmations goes back to; ``None`` when the first one names no sample."""
    named = by_sample[name][0].confirmation_of
    if not named:
        return None
    seen = {name}
    while named in by_sample and named not in seen and (further := by_sample[named][0].confirmation_of):
        seen.add(named)
        named = further
    return named


def _in_time(first: Sequence[ScreeningResult], collected_on: date, limit: Limit) -> bool:
    first_on = _collected_on(first)
    if collected_on < first_on:
        return False
    if limit.confirmation_hours is None:
        return True
    told_on = max(result.reported_on or result.collected_on for result in first)
    allowed = _whole_days(max(limit.confirmation_hours, TWO_WEEKS_HOURS))
    return collected_on <= clock_starts(first_on, told_on, limit) + timedelta(days=allowed)


def _whole_days(hours: int) -> int:
    return -(-hours // HOURS_OF_A_DAY)


def _confirms(results: Sequence[ScreeningResult]) -> bool:
    return any(result.purpose == Purpose.CONFIRMATION or result.confirmation_of for result in results)


def _collected_on(results: Sequence[ScreeningResult]) -> date:
    return min(result.collected_on for result in results)
