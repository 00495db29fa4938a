"""What is known of each analyte at each point: its samplings, from the sample log, the results and what is held.

A sample whose log does not say what was asked for counts for every analyte that the plan gives to its laboratory, as
long as that laboratory has reported nothing of it; once it has, its report says what was asked for. Each part of a
sample that went to another laboratory is waited for by itself. Analytes of a group (total
trihalomethanes) count by their members, as a sum that needs all of them, or as a choice that needs one.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from pipeline.due.model import Found, Sampling, Standing, TakenSample
from pipeline.plant.monitoring import row_in_force
from pipeline.plant.tables import AnalyteGroupMember, MonitoringPlanRow
from pipeline.vocabulary import Purpose

PointAndAnalyte = tuple[str, str]
Samplings = Mapping[PointAndAnalyte, Sequence[Sampling]]

ROUTINE_PURPOSES: Final = frozenset({"", Purpose.COMPLIANCE.value, Purpose.PROCESS.value})
"""Why a sample may have been taken to be the one that a plan asks for; a confirmation is never a routine sample."""

_ALL_MEMBERS: Final = frozenset({"sum of members", "hazard index", "measured together", "difference"})
_ANY_MEMBER: Final = frozenset({"any one of"})


class _Subject(NamedTuple):
    """One analyte in one sample."""

    sample_point: str
    analyte: str
    sample: str


def samplings_of(
    taken: Iterable[TakenSample],
    found: Iterable[Found],
    plan: Sequence[MonitoringPlanRow],
    groups: Iterable[AnalyteGroupMember] = (),
) -> dict[PointAndAnalyte, list[Sampling]]:
    """Samplings of every analyte at every point, in order of collection; those of routine purpose only.

    Parameters
    ----------
    taken
        Samples as logged.
    found
        Results in force, and held cells.
    plan
        It says what an unspecified sample is for, and which groups are asked for.
    groups
        Members of groups of analytes.
    """
    taken, found = list(taken), list(found)
    reporters = reporters_of(found)
    best: dict[_Subject, Sampling] = {}
    for one in found:
        if one.purpose in ROUTINE_PURPOSES:
            _keep_better(best, _Subject(one.sample_point, one.analyte, one.sample), _sampling_of(one))
    for sample in taken:
        if sample.purpose in ROUTINE_PURPOSES:
            for analyte in _asked_for(sample, plan, reported=has_reported(sample, reporters)):
                _keep_better(best, _Subject(sample.sample_point, analyte, sample.sample), _awaited(sample))
    _add_groups(best, plan, groups)
    by_place: dict[PointAndAnalyte, list[Sampling]] = defaultdict(list)
    for subject, sampling in best.items():
        by_place[subject.sample_point, subject.analyte].append(sampling)
    for samplings in by_place.values():
        samplings.sort(key=lambda one: (one.collected_on, one.sample))
    return dict(by_place)


def reporters_of(found: Iterable[Found]) -> dict[str, set[str]]:
    """Laboratories that have said something of a sample, by sample."""
    reporters: dict[str, set[str]] = defaultdict(set)
    for one in found:
        reporters[one.sample].add(one.laboratory)
    return dict(reporters)


def has_reported(sample: TakenSample, reporters: Mapping[str, set[str]]) -> bool:
    """Whether the laboratory of this part of a sample has said something; a name that is not known may be anybody's."""
    said = reporters.get(sample.sample, set())
    return sample.laboratory in said or (bool(said) and ("" in said or not sample.laboratory))


def _sampling_of(found: Found) -> Sampling:
    return Sampling(
        sample=found.sample,
        collected_on=found.collected_on,
        standing=found.standing,
        laboratory=found.laboratory,
        reason=found.reason,
        file=found.file,
        line=found.line,
    )


def _awaited(sample: TakenSample) -> Sampling:
    return Sampling(
        sample=sample.sample,
        collected_on=sample.collected_on,
        standing=Standing.AWAITED,
        laboratory=sample.laboratory,
        received_on=sample.received_on,
        file=sample.file,
        line=sample.line,
    )


def _asked_for(sample: TakenSample, plan: Sequence[MonitoringPlanRow], *, reported: bool) -> Iterable[str]:
    if sample.requested:
        return sample.requested
    if reported:
        return ()
    return (
        row.analyte
        for row in plan
        if row.sample_point == sample.sample_point
        and row_in_force(row, sample.collected_on)
        and (not sample.laboratory or not row.laboratory or row.laboratory == sample.laboratory)
    )


def _keep_better(best: dict[_Subject, Sampling], subject: _Subject, sampling: Sampling) -> None:
    known = best.get(subject)
    if known is None or sampling.standing.rank > known.standing.rank:
        best[subject] = sampling


def _add_groups(
    best: dict[_Subject, Sampling], plan: Sequence[MonitoringPlanRow], groups: Iterable[AnalyteGroupMember]
) -> None:
    """Give each planned group the standing that its members leave it, sample by sample."""
    wanted = {row.analyte for row in plan}
    members: dict[str, list[str]] = defaultdict(list)
    needs_all: dict[str, bool] = {}
    for row in groups:
        if row.group in wanted and row.relation in _ALL_MEMBERS | _ANY_MEMBER:
            members[row.group].append(row.member)
            needs_all[row.group] = row.relation in _ALL_MEMBERS
    places = {(subject.sample_point, subject.sample) for subject in best}
    for group, names in members.items():
        for point, sample in places:
            known = {name: best.get(_Subject(point, name, sample)) for name in names}
            if together := _together(known, needs_all=needs_all[group]):
                _keep_better(best, _Subject(point, group, sample), together)


def _together(known: Mapping[str, Sampling | None], *, needs_all: bool) -> Sampling | None:
    there = [sampling for sampling in known.values() if sampling is not None]
    if not there:
        return None
    if not needs_all:
        return max(there, key=lambda one: one.standing.rank)
    weakest = min(there, key=lambda one: one.standing.rank)
    missing = [name for name, sampling in known.items() if sampling is None]
    if not missing:
        return weakest
    standing = min(Standing.AWAITED, weakest.standing, key=lambda one: one.rank)
    return replace(weakest, standing=standing, reason=f"{', '.join(missing)} missing")
