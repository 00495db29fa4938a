"""What was found toward one limit between two days: how many results, how many non-detects, the lowest and the highest.

Only results that count toward the limit are taken, as the judge takes them. A non-detect is never given a value: where
nothing was measured, the lowest and the highest are the limits below which the non-detects lie.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pipeline.censoring import WITHOUT_NUMBER, nondetect_limit
from pipeline.errors import ConversionError
from pipeline.plant.tables import Limit
from pipeline.screening.conversion import Converter
from pipeline.screening.model import ScreeningResult
from pipeline.screening.samples import SampleValue, sample_values
from pipeline.screening.terms import LimitTerms, terms_of
from pipeline.screening.which_count import pick_counting
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class Extreme:
    """The lowest or the highest of a span.

    Parameters
    ----------
    low, high
        The amounts it allows [limit's unit]; equal for a measured value, ``high`` ``None`` where nothing bounds it.
    results
        The result it was reported as; for a limit on a group the members of the sample that it was combined from.
    """

    low: Fraction
    high: Fraction | None
    results: tuple[ScreeningResult, ...]

    @property
    def reported(self) -> ScreeningResult | None:
        """The one result that it is; ``None`` for a value combined from several."""
        return self.results[0] if len(self.results) == 1 else None


@dataclass(frozen=True, slots=True)
class LimitSpan:
    """The results toward a limit between two days.

    Parameters
    ----------
    count
        Results that count; for a limit on a group, samples.
    non_detects
        How many of them are known only to lie below a limit; of a group, samples in which no member was detected.
    without_amount
        How many have no amount in the limit's unit: present or absent, or a unit of another kind.
    """

    count: int
    non_detects: int
    without_amount: int
    lowest: Extreme | None
    highest: Extreme | None


def limit_span(
    limit: Limit, results: Sequence[ScreeningResult], first: date, last: date, convert: Converter
) -> LimitSpan:
    """Count the results of one sample point toward a limit from ``first`` to ``last``, both inclusive."""
    terms = terms_of(limit)
    names = set(terms.own_analytes)
    of_limit = [one for one in results if one.analyte in names]
    counted = [one for one in pick_counting(of_limit, limit, last).counted if one.collected_on >= first]
    if limit.group_members:
        return _of_group(limit, terms, counted, convert)
    return _of_results(limit, counted, convert)


def _of_results(limit: Limit, counted: Sequence[ScreeningResult], convert: Converter) -> LimitSpan:
    placed = [(one, amount) for one in counted if (amount := _amount(one, limit, convert)) is not None]
    non_detects = [Extreme(Fraction(0), amount, (one,)) for one, amount in placed if one.kind is ValueKind.BELOW]
    measured = [Extreme(amount, amount, (one,)) for one, amount in placed if one.kind is ValueKind.NUMBER]
    above = [Extreme(amount, None, (one,)) for one, amount in placed if one.kind is ValueKind.ABOVE]
    return LimitSpan(
        count=len(counted),
        non_detects=sum(one.kind is ValueKind.BELOW for one in counted),
        without_amount=len(counted) - len(placed),
        lowest=min(measured or above or non_detects, key=_size, default=None),
        highest=max([*measured, *above] or non_detects, key=_size, default=None),
    )


def _of_group(limit: Limit, terms: LimitTerms, counted: Sequence[ScreeningResult], convert: Converter) -> LimitSpan:
    samples = sample_values(limit, terms, counted, convert, average_confirmations=False).values
    extremes = [_of_sample(sample) for sample in samples]
    return LimitSpan(
        count=len(samples),
        non_detects=sum(all(one.result.kind is ValueKind.BELOW for one in sample.used) for sample in samples),
        without_amount=0,
        lowest=min(extremes, key=_size, default=None),
        highest=max(extremes, key=_size, default=None),
    )


def _of_sample(sample: SampleValue) -> Extreme:
    low = max(sample.value.low or Fraction(0), Fraction(0))
    return Extreme(low, sample.value.high, tuple(used.result for used in sample.used))


def _size(one: Extreme) -> tuple[Fraction, Fraction]:
    """Order of extremes: by what is certain, then by what is possible."""
    return one.low, one.low if one.high is None else one.high


def _amount(result: ScreeningResult, limit: Limit, convert: Converter) -> Fraction | None:
    """The number of a result, or the limit of a censored one [limit's unit]; ``None`` where it has none."""
    value = result.value
    if result.kind is ValueKind.BELOW:
        value = nondetect_limit(value, result.reporting_limit, result.detection_limit)
    if result.kind in WITHOUT_NUMBER or value is None:
        return None
    try:
        return convert(
            Fraction(value),
            analyte=result.analyte,
            from_unit=result.unit,
            from_basis=result.basis,
            to_unit=limit.unit,
            to_basis=limit.basis,
        )
    except ConversionError:
        return None
