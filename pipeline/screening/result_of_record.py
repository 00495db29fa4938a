"""The result of record: of several results for one analyte of one sample, which one counts.

Dilutions, re-analyses, two methods, a split, a subcontractor's copy, a number told by telephone before the report: all
stay visible, and at most one is meant to count. Asked in this order: whether its laboratory has said something later
than a preliminary result; what a person chose; which result the laboratory stands for; the laboratory and the method
of record in the monitoring plan. Where nothing says it all of them stay, and a verdict takes the lowest and the highest
as its bounds. They are never averaged.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from pipeline.censoring import WITHOUT_RESULT
from pipeline.method_names import method_fits
from pipeline.plant.monitoring import row_in_force
from pipeline.plant.tables import MonitoringPlanRow
from pipeline.screening.model import ScreeningResult
from pipeline.vocabulary import ReportStatus

Group = list[ScreeningResult]


@dataclass(frozen=True, slots=True)
class OfRecord:
    """Laboratory and method of record; empty where the monitoring plan names none."""

    laboratory: str = ""
    method: str = ""


def mark_result_of_record(
    results: Iterable[ScreeningResult], plan: Iterable[MonitoringPlanRow] = ()
) -> list[ScreeningResult]:
    """Say of every result that does not count beside another one of its sample which one does, and why.

    Parameters
    ----------
    plan
        Monitoring plan; its laboratory and method of record decide where nothing else does.

    Returns
    -------
    list of ScreeningResult
        All results in the order given, with ``not_of_record`` or ``unusable_because`` filled where one does not count.

    Notes
    -----
    Whoever chooses one result claims something about the others, as does a laboratory that stands for none of its
    results: one of them that is above a limit does not vanish by that, until an agency's reference is recorded.
    """
    given = list(results)
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for position, result in enumerate(given):
        if result.kind not in WITHOUT_RESULT:
            groups[_subject(result)].append(position)
    rows = _rows_by_subject(plan)
    for positions in groups.values():
        first = given[positions[0]]
        if len(positions) > 1 or first.reportable == "no":
            of_record = _of_record(rows.get((first.sample_point, first.analyte), ()), first)
            marked = _marked([given[position] for position in positions], of_record)
            for position, result in zip(positions, marked, strict=True):
                given[position] = result
    return given


def _subject(result: ScreeningResult) -> tuple[object, ...]:
    sample = result.sample or (result.collected_at or result.collected_on)
    return result.sample_point, sample, result.analyte, result.fraction, result.purpose


def _rows_by_subject(plan: Iterable[MonitoringPlanRow]) -> dict[tuple[str, str], list[MonitoringPlanRow]]:
    rows: dict[tuple[str, str], list[MonitoringPlanRow]] = defaultdict(list)
    for row in plan:
        if row.laboratory or row.method:
            rows[row.sample_point, row.analyte].append(row)
    return rows


def _of_record(rows: Sequence[MonitoringPlanRow], result: ScreeningResult) -> OfRecord:
    """What the plan said on the day of collection."""
    in_force = [row for row in rows if row_in_force(row, result.collected_on)]
    return OfRecord(
        laboratory=next((row.laboratory for row in in_force if row.laboratory), ""),
        method=next((row.method for row in in_force if row.method), ""),
    )


def _marked(group: Group, of_record: OfRecord) -> Group:
    marked = _without_preliminary(group)
    marked = _as_chosen(marked)
    marked = _as_reportable(marked)
    if of_record.laboratory:
        named = f"the result of the laboratory of record, {of_record.laboratory}, counts"
        marked = _prefer(marked, lambda result: result.laboratory == of_record.laboratory, named)
    if of_record.method:
        named = f"the result by the method of record, {of_record.method}, counts"
        marked = _prefer(marked, lambda result: method_fits(of_record.method, result.method), named)
    return marked


def _without_preliminary(group: Group) -> Group:
    """Let preliminary results give way to the later word of their laboratory, whatever it is."""
    later: dict[str, set[str]] = defaultdict(set)
    for result in group:
        if result.status != ReportStatus.PRELIMINARY:
            later[result.laboratory].add(result.status)

    def given_way(result: ScreeningResult) -> ScreeningResult:
        statuses = later.get(result.laboratory, set())
        if result.status != ReportStatus.PRELIMINARY or not statuses:
            return result
        if statuses == {ReportStatus.REJECTED}:
            return _unusable(result, "preliminary, and its laboratory rejected the final result")
        return replace(result, not_of_record="preliminary: the laboratory's final result counts")

    return [given_way(result) for result in group]


def _as_chosen(group: Group) -> Group:
    """Let a person's choice stand; with two choices in one sample nothing is chosen."""
    chosen = [result for result in group if result.chosen_because and not result.not_of_record]
    if len(chosen) != 1:
        return group
    reason = f"another result of the sample was {chosen[0].chosen_because}"
    return [
        result
        if result is chosen[0] or result.not_of_record
        else replace(_unusable(result, reason), rejection_reference=chosen[0].choice_reference)
        for result in group
    ]


def _as_reportable(group: Group) -> Group:
    """Let each laboratory's own mark say which of its results it stands for; it says nothing of another's."""
    marks: dict[str, set[str]] = defaultdict(set)
    for result in group:
        if not result.not_of_record:
            marks[result.laboratory].add(result.reportable)

    def by_its_mark(result: ScreeningResult) -> ScreeningResult:
        of_laboratory = marks.get(result.laboratory, set())
        best = next(mark for mark in ("yes", "", "no") if mark in of_laboratory or mark == "no")
        if result.not_of_record or result.unusable_because or result.chosen_because:
            return result
        if best == "no":
            return _unusable(result, "the laboratory does not stand for it (not reportable), nor for another one")
        if result.reportable == best:
            return result
        return replace(result, not_of_record="the laboratory stands for another result of the sample (reportable)")

    return [by_its_mark(result) for result in group]


def _prefer(group: Group, is_of_record: Callable[[ScreeningResult], bool], named: str) -> Group:
    """Among the results that may count let those of record count, where there are any and nobody chose."""
    competing = [result for result in group if not result.not_of_record and not result.unusable_because]
    if any(result.chosen_because for result in competing) or not any(map(is_of_record, competing)):
        return group
    losing = {id(result) for result in competing if not is_of_record(result)}
    return [replace(result, not_of_record=named) if id(result) in losing else result for result in group]


def _unusable(result: ScreeningResult, reason: str) -> ScreeningResult:
    return replace(result, unusable_because=f"{result.unusable_because} {reason}".strip())
