"""What is due on a day: each period of the plan with where its sample stands, and samples that no plan asks for."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from pipeline.due.model import Due, DueState, Found, Sampling, Standing, TakenSample
from pipeline.due.periods import Period
from pipeline.due.samplings import PointAndAnalyte, Samplings, has_reported, reporters_of
from pipeline.due.schedule import Expected, expected, next_expected
from pipeline.plant.tables import MonitoringPlanRow

LOOK_BACK_DAYS: Final = 366
"""How far back periods are listed; what is overdue is known further back."""

USUAL_TURNAROUND_DAYS: Final = 30
"""How long a report may take where neither the plan nor ``labs.csv`` says (common practice, no source)."""

_A_DAY: Final = timedelta(days=1)
_STATE_OF: Final = {
    Standing.USABLE: DueState.REPORTED,
    Standing.PRELIMINARY: DueState.PRELIMINARY,
    Standing.HELD: DueState.HELD,
    Standing.AWAITED: DueState.AT_LABORATORY,
    Standing.UNUSABLE: DueState.RESAMPLE,
}


@dataclass(frozen=True, slots=True)
class Terms:
    """What the answer depends on beside samples.

    Parameters
    ----------
    on
        Day of the question, in the plant's zone.
    known_from
        First day of which the store knows any sample; nothing before it is overdue or missed. ``None``: it knows none.
    turnaround
        Days that a laboratory may take, by its name.
    """

    on: date
    known_from: date | None
    turnaround: Mapping[str, int]

    def knows_all_of(self, one: Expected) -> bool:
        """Whether the store knows of all the days in which the sample could have been taken."""
        begins = max(one.period.first, one.row.effective_from or one.period.first)
        return self.known_from is not None and begins >= self.known_from

    def turnaround_days(self, row: MonitoringPlanRow | None, laboratory: str) -> int:
        """Days that a report may take: by the row of the plan, else by the laboratory, else the usual ones."""
        if row is not None and row.turnaround_days is not None:
            return row.turnaround_days
        return self.turnaround.get(laboratory, USUAL_TURNAROUND_DAYS)


def what_is_due(plan: Iterable[MonitoringPlanRow], samplings: Samplings, terms: Terms) -> list[Due]:
    """Where every sample stands that the plan asks for.

    Parameters
    ----------
    samplings
        Of each analyte at each point, in order of collection.

    Returns
    -------
    list of Due
        For each analyte and point: the periods of the last year with where they stand; the one that runs, or the next
        one where that is done; and one entry for all periods that ended without a sample since the last one taken.
    """
    by_subject: dict[PointAndAnalyte, list[MonitoringPlanRow]] = defaultdict(list)
    for row in plan:
        by_subject[row.sample_point, row.analyte].append(row)
    return [one for subject, rows in by_subject.items() for one in _of_subject(rows, samplings.get(subject, ()), terms)]


def overdue_samples(
    plan: Iterable[MonitoringPlanRow], samplings: Samplings, terms: Terms
) -> dict[PointAndAnalyte, date]:
    """Samples that are overdue, with the day since when: while one is, nobody may say that its limit is kept.

    A sample whose result cannot be used is overdue like one never taken, once its period is over.
    """
    overdue: dict[PointAndAnalyte, date] = {}
    by_subject: dict[PointAndAnalyte, list[MonitoringPlanRow]] = defaultdict(list)
    for row in plan:
        by_subject[row.sample_point, row.analyte].append(row)
    for subject, rows in by_subject.items():
        if run := _open_run(rows, _good(samplings.get(subject, ())), terms):
            overdue[subject] = run[0].period.last + _A_DAY
    return overdue


def outstanding_samples(taken: Iterable[TakenSample], found: Iterable[Found], terms: Terms) -> list[Due]:
    """Logged samples of the last year of which their laboratory reported nothing, whatever they were taken for."""
    reporters = reporters_of(found)
    first = terms.on - timedelta(days=LOOK_BACK_DAYS)
    return [
        _outstanding(sample, terms)
        for sample in taken
        if not has_reported(sample, reporters) and first <= sample.collected_on <= terms.on
    ]


def next_due(dues: Iterable[Due]) -> date | None:
    """The day by which the next sample has to be taken; ``None`` where the plan asks for none."""
    return min((one.due_by for one in dues if one.state is DueState.NOT_YET and one.due_by is not None), default=None)


def _of_subject(rows: Sequence[MonitoringPlanRow], samplings: Sequence[Sampling], terms: Terms) -> list[Due]:
    taken = [one for one in samplings if one.collected_on <= terms.on]
    good, run = _good(taken), _open_run(rows, _good(taken), terms)
    first = max(terms.on - timedelta(days=LOOK_BACK_DAYS), terms.known_from or terms.on)
    in_run = {one.period for one in run}
    ended = [one for one in expected(rows, first, terms.on - _A_DAY) if one.period not in in_run]
    dues = [_of_period(one, taken, terms) for one in ended]
    dues = [due for due, one in zip(dues, ended, strict=True) if due.sample or terms.knows_all_of(one)]
    if run:
        dues.append(_overdue(run, taken))
        return dues
    current = next_expected(rows, terms.on)
    if current is not None:
        dues.append(_of_period(current, taken, terms))
        done = any(one.collected_on in current.period for one in good)
        following = next_expected(rows, current.period.last + _A_DAY) if done else None
        if following is not None:
            dues.append(_of_period(following, (), terms))
    return dues


def _collected_on(sampling: Sampling) -> date:
    return sampling.collected_on


def _good(samplings: Iterable[Sampling]) -> list[Sampling]:
    return [one for one in samplings if one.standing is not Standing.UNUSABLE]


def _open_run(rows: Sequence[MonitoringPlanRow], good: Sequence[Sampling], terms: Terms) -> list[Expected]:
    """Periods that ended without a usable sample, since the last one that was taken."""
    if terms.known_from is None:
        return []
    sampled = [one.collected_on for one in good if one.collected_on <= terms.on]
    last = max(sampled, default=None)
    first = terms.known_from if last is None else max(terms.known_from, last)
    ended = expected(rows, first, terms.on - _A_DAY)
    return [one for one in ended if terms.knows_all_of(one) and (last is None or one.period.first > last)]


def _of_period(one: Expected, taken: Sequence[Sampling], terms: Terms) -> Due:
    period = one.period
    begin = bisect_left(taken, period.first, key=_collected_on)
    inside = taken[begin : bisect_right(taken, period.last, lo=begin, key=_collected_on)]
    best = max(inside, key=lambda sampling: sampling.standing.rank, default=None)
    over = period.last < terms.on
    if best is None:
        if over:
            return replace(_planned(one, DueState.MISSED), since=period.last + _A_DAY)
        return replace(_planned(one, DueState.NOT_YET), due_by=period.last)
    told = replace(
        _planned(one, _STATE_OF[best.standing]),
        laboratory=best.laboratory or one.row.laboratory,
        sample=best.sample,
        collected_on=best.collected_on,
        received_on=best.received_on,
        reason=best.reason,
        file=best.file,
        line=best.line,
    )
    if best.standing is Standing.UNUSABLE:
        if over:
            return replace(told, state=DueState.MISSED, since=period.last + _A_DAY)
        return replace(told, due_by=period.last)
    if best.standing is Standing.AWAITED:
        return _awaited(told, best.report_by(terms.turnaround_days(one.row, told.laboratory)), terms.on)
    return told


def _awaited(told: Due, report_by: date, on: date) -> Due:
    if on <= report_by:
        return replace(told, due_by=report_by)
    return replace(told, state=DueState.LATE, due_by=report_by, since=report_by + _A_DAY)


def _overdue(run: Sequence[Expected], taken: Sequence[Sampling]) -> Due:
    first, last = run[0], run[-1]
    since = first.period.last + _A_DAY
    spoiled = [one for one in taken if one.collected_on >= first.period.first]
    told = replace(
        _planned(last, DueState.RESAMPLE if spoiled else DueState.OVERDUE),
        period=Period(first.period.first, last.period.last),
        due_by=last.period.last,
        since=since,
        reason=f"{len(run)} periods in a row" if len(run) > 1 else "",
    )
    if not spoiled:
        return told
    newest = spoiled[-1]
    return replace(
        told,
        laboratory=newest.laboratory or told.laboratory,
        sample=newest.sample,
        collected_on=newest.collected_on,
        reason=newest.reason,
        file=newest.file,
        line=newest.line,
    )


def _planned(one: Expected, state: DueState) -> Due:
    row = one.row
    return Due(
        state=state,
        sample_point=row.sample_point,
        analyte=row.analyte,
        period=one.period,
        frequency=row.frequency,
        status=row.status,
        status_from=row.effective_from,
        status_to=row.effective_to,
        laboratory=row.laboratory,
    )


def _outstanding(sample: TakenSample, terms: Terms) -> Due:
    told = Due(
        state=DueState.AT_LABORATORY,
        sample_point=sample.sample_point,
        analyte=", ".join(sample.requested),
        laboratory=sample.laboratory,
        sample=sample.sample,
        collected_on=sample.collected_on,
        received_on=sample.received_on,
        reason=sample.purpose,
        file=sample.file,
        line=sample.line,
    )
    days = terms.turnaround_days(None, sample.laboratory)
    return _awaited(told, (sample.received_on or sample.collected_on) + timedelta(days=days), terms.on)
