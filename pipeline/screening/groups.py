"""Groups: members of one sample combined to a sum, a weighted sum or a sum of ratios.

The weight of each member, the scale after the sum and the unit of the members are already in its part; what is left
is to add the parts. A member without a result leaves the sum open at one end; a weighted sum below zero counts as zero.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.screening.bounds import Bounds, mean, total
from pipeline.screening.model import UsedResult


@dataclass(frozen=True, slots=True)
class Member:
    """The part of one term in one sample [limit's unit], and the results it came from; none when it is missing."""

    analyte: str
    part: Bounds
    used: tuple[UsedResult, ...]
    missing: bool = False
    by_stand_in: bool = False


def combine(how: str, members: Sequence[Member]) -> Bounds:
    """Add the parts of one sample.

    Parameters
    ----------
    how
        ``sum``, ``weighted sum`` or ``sum of ratios``; empty for a limit on a single substance.
    members
        All terms of the limit, or the reported total that stands for them.
    """
    value = members[0].part if len(members) == 1 else total(member.part for member in members)
    return value.not_below_zero() if how == "weighted sum" else value


def members_averaged(how: str, samples: Sequence[list[Member]]) -> list[Member]:
    """Average a sample and its confirmations member by member; a member that only one of them has keeps its value.

    Where one has the members and the other a reported total, their combined values are averaged.
    """
    if len(samples) == 1:
        return samples[0]
    if len({tuple(member.analyte for member in sample) for sample in samples}) > 1:
        samples = [[_as_one(how, sample)] for sample in samples]
    averaged = []
    for same_term in zip(*samples, strict=True):
        present = [member for member in same_term if not member.missing] or same_term[:1]
        used = tuple(used for member in same_term for used in member.used)
        part = mean([member.part for member in present])
        averaged.append(Member(present[0].analyte, part, used, missing=present[0].missing))
    return averaged


def _as_one(how: str, sample: Sequence[Member]) -> Member:
    used = tuple(used for member in sample for used in member.used)
    names = ", ".join(member.analyte for member in sample)
    return Member(names, combine(how, sample), used, missing=any(member.missing for member in sample))
