"""One value a sample for a limit: results of the sample, members of a group combined, confirmation averaged in."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.bounds import Bounds, hull
from pipeline.screening.confirmations import pair_confirmations
from pipeline.screening.conversion import Converter
from pipeline.screening.groups import Member, combine, members_averaged
from pipeline.screening.model import ExcludedResult, ScreeningResult, UsedResult
from pipeline.screening.substitution import counted_value, stand_in_value
from pipeline.screening.terms import LimitTerms, Term
from pipeline.screening.which_count import keep_preferred_fraction

OfSample = Mapping[str, list[ScreeningResult]]


@dataclass(frozen=True, slots=True)
class SampleValue:
    """What one sample says about a limit, with its confirmation where the rule averages it in.

    Parameters
    ----------
    value
        Counted value [limit's unit], mean of the sample and its confirmations.
    first_value
        The same of the first sample alone.
    collected_on
        Local date of the first sample; the period it belongs to follows from it.
    decided_on
        Local date of the last sample that entered.
    told_on
        Date from which the time for a confirmation runs.
    missing
        Members without a result; the value is open where there are any.
    members
        Parts of the value, one a member.
    """

    sample: str
    collected_on: date
    decided_on: date
    told_on: date
    value: Bounds
    first_value: Bounds
    confirmed: bool
    missing: tuple[str, ...]
    members: tuple[Member, ...]
    used: tuple[UsedResult, ...]

    @property
    def complete(self) -> bool:
        """Whether every member has a result."""
        return not self.missing

    @property
    def detected(self) -> frozenset[str]:
        """Members that certainly count above zero."""
        return frozenset(one.analyte for one in self.members if one.part.low is not None and one.part.low > 0)

    @property
    def possibly_detected(self) -> frozenset[str]:
        """Members that may count above zero."""
        return frozenset(one.analyte for one in self.members if one.part.high is None or one.part.high > 0)


@dataclass(slots=True)
class SampleValues:
    """The sample values of a limit in time order, and the results that did not enter one."""

    values: list[SampleValue] = field(default_factory=list)
    excluded: list[ExcludedResult] = field(default_factory=list)


def sample_values(
    limit: Limit,
    terms: LimitTerms,
    counted: Sequence[ScreeningResult],
    convert: Converter,
    *,
    average_confirmations: bool,
) -> SampleValues:
    """Turn counting results into one value a sample.

    Parameters
    ----------
    average_confirmations
        Whether the rule averages a confirmation with the sample it confirms; else each sample stands by itself.
    """
    by_sample: dict[str, list[ScreeningResult]] = defaultdict(list)
    for result in counted:
        by_sample[sample_identity(result)].append(result)
    pairs = pair_confirmations(by_sample, limit) if average_confirmations else {}
    outcome = SampleValues()
    members = {sample: _members(terms, of_sample, limit, convert, outcome) for sample, of_sample in by_sample.items()}
    # A confirmation of a sample that says nothing about this limit stands by itself.
    pairs = {first: seconds for first, seconds in pairs.items() if members[first] is not None}
    confirming = {second for seconds in pairs.values() for second in seconds}
    for sample in by_sample:
        if sample not in confirming:
            seconds = tuple(second for second in pairs.get(sample, ()) if members[second] is not None)
            value = _sample_value(terms, by_sample, members, sample, seconds)
            if value is not None:
                outcome.values.append(value)
    outcome.values.sort(key=lambda value: (value.collected_on, value.sample))
    return outcome


def sample_identity(result: ScreeningResult) -> str:
    """Identity of a result's sample; point and time of collection where the sender gave none."""
    return result.sample or f"{result.sample_point}, {result.collected_at or result.collected_on}"


def _sample_value(
    terms: LimitTerms,
    by_sample: Mapping[str, list[ScreeningResult]],
    members: Mapping[str, "list[Member] | None"],
    sample: str,
    seconds: tuple[str, ...],
) -> SampleValue | None:
    first = members[sample]
    if first is None:
        return None
    confirming = [found for second in seconds if (found := members[second]) is not None]
    averaged = members_averaged(terms.combine, [first, *confirming])
    results = by_sample[sample]
    value = combine(terms.combine, averaged)
    return SampleValue(
        sample=sample,
        collected_on=min(result.collected_on for result in results),
        decided_on=max(result.collected_on for name in (sample, *seconds) for result in by_sample[name]),
        told_on=max(result.reported_on or result.collected_on for result in results),
        value=value,
        first_value=combine(terms.combine, first) if seconds else value,
        confirmed=bool(seconds),
        missing=tuple(member.analyte for member in averaged if member.missing),
        members=tuple(averaged),
        used=tuple(used for member in averaged for used in member.used),
    )


def _members(
    terms: LimitTerms,
    of_sample: Iterable[ScreeningResult],
    limit: Limit,
    convert: Converter,
    outcome: SampleValues,
) -> "list[Member] | None":
    """Members of one sample; ``None`` when the sample says nothing about the limit."""
    by_analyte: dict[str, list[ScreeningResult]] = defaultdict(list)
    for result in of_sample:
        by_analyte[result.analyte].append(result)
    found = [_member(term, by_analyte, limit, convert, outcome) for term in terms.terms]
    if terms.reported_total is not None:
        reported = _own_value(terms.reported_total, by_analyte, limit, convert, outcome)
        if reported is not None and any(member.missing for member in found):
            reason = f"the reported {terms.reported_total.analyte} of the same sample counts"
            outcome.excluded += [ExcludedResult(used.result, reason) for member in found for used in member.used]
            return [reported]
        if reported is not None:
            reason = "the members of the same sample count"
            outcome.excluded += [ExcludedResult(used.result, reason) for used in reported.used]
    if len(found) == 1:
        return found if found[0].used else None
    # A stand-in alone, or only what is subtracted, is no sample of the group.
    pairs = zip(found, terms.terms, strict=True)
    speaks = any(member.used and not member.by_stand_in and not term.subtracts for member, term in pairs)
    return found if speaks else None


def _member(term: Term, of_sample: OfSample, limit: Limit, convert: Converter, outcome: SampleValues) -> Member:
    own = _own_value(term, of_sample, limit, convert, outcome)
    if own is not None:
        if term.stand_in:
            _exclude(outcome, of_sample.get(term.stand_in, ()), f"{term.analyte} itself was measured")
        return own
    stand_in = _stand_in_value(term, of_sample, convert, outcome) if term.stand_in else None
    if stand_in is not None:
        return stand_in
    if term.optional:
        return Member(term.analyte, Bounds.exactly(Fraction(0)), ())
    return Member(term.analyte, Bounds(Fraction(0), None).times(term.weight), (), missing=True)


def _own_value(
    term: Term, of_sample: OfSample, limit: Limit, convert: Converter, outcome: SampleValues
) -> Member | None:
    """Value of a term from its own analyte, else from the first accepted one that the sample has."""
    names = [name for name in (term.analyte, *term.accepts) if name in of_sample]
    if not names:
        return None
    for other in names[1:]:
        _exclude(outcome, of_sample[other], f"{names[0]} of the same sample counts")
    kept, left = keep_preferred_fraction(of_sample[names[0]], limit.fraction)
    outcome.excluded += left
    used = tuple(_used(result, term, *counted_value(result, term, convert)) for result in kept)
    ranges = [Bounds(one.counted_low, one.counted_high) for one in used]
    return Member(term.analyte, ranges[0] if len(ranges) == 1 else hull(ranges), used)


def _stand_in_value(term: Term, of_sample: OfSample, convert: Converter, outcome: SampleValues) -> Member | None:
    used = []
    for result in of_sample.get(term.stand_in, ()):
        counted = stand_in_value(result, term, convert)
        if counted is None:
            _exclude(outcome, (result,), f"{result.analyte} may not stand for {term.analyte} here")
        else:
            used.append(_used(result, term, *counted))
    if not used:
        return None
    ranges = [Bounds(one.counted_low, one.counted_high) for one in used]
    return Member(term.analyte, hull(ranges), tuple(used), by_stand_in=True)


def _used(result: ScreeningResult, term: Term, value: Bounds, substitution: str) -> UsedResult:
    part = value.times(term.weight)
    return UsedResult(result, part.low, part.high, substitution)


def _exclude(outcome: SampleValues, results: Iterable[ScreeningResult], because: str) -> None:
    outcome.excluded += [ExcludedResult(result, because) for result in results]
