"""The results behind a verdict, brought to the unit of its limit, as points of a chart and as rows of a table."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

import polars as pl

from app import figures, words
from app.dashboard import data, series
from app.dashboard.pictures import LAST_RESULTS, Spark
from app.dashboard.series import Point, Series
from pipeline.errors import ConversionError
from pipeline.plant.tables import Limit
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.screening.samples import SampleValue, sample_values
from pipeline.screening.terms import LimitTerms, terms_of
from pipeline.screening.which_count import pick_counting
from pipeline.vocabulary import Purpose, ValueKind

MOST_FILES = 3


def sparks(verdict: Verdict) -> Sequence[Spark]:
    """The last eight results of a verdict's analyte, oldest first."""
    return series.sparks(points(verdict)[-LAST_RESULTS:])


def points(verdict: Verdict) -> list[Point]:
    """Every result of a verdict's analyte at its sample point up to its day that can be drawn, oldest first."""
    results = of_verdict(verdict)
    counted = pick_counting(results, verdict.limit, verdict.on).counted
    terms = terms_of(verdict.limit)
    if len(terms.terms) > 1:
        return _sample_totals(verdict.limit, terms, counted)
    counting = {result.result_id for result in counted}
    of_the_water = (result for result in results if result.purpose != Purpose.QUALITY_CONTROL)
    drawn = (_point(result, verdict.limit, result.result_id in counting) for result in of_the_water)
    return [point for point in drawn if point is not None]


def of_verdict(verdict: Verdict) -> list[ScreeningResult]:
    """Results of the limit's analyte, or of the members of its group, at the sample point, oldest first."""
    names = terms_of(verdict.limit).own_analytes
    found = [result for name in names for result in data.results(name, verdict.sample_point, verdict.on)]
    return sorted(found, key=lambda result: (result.collected_on, result.result_id))


def shown_series(verdict: Verdict) -> Series:
    """Everything the chart of a verdict shows; a statistic that only repeats the results is left out."""
    drawn = points(verdict)
    return Series(
        unit=verdict.limit.unit,
        points=tuple(drawn),
        limits=series.limit_lines(_drawn_limits(verdict), verdict.limit.unit),
        statistic=() if series.repeats(verdict.history, drawn) else verdict.history,
        statistic_name=words.statistic(verdict),
        on=verdict.on,
        last_text=figures.statistic(verdict).replace(figures.NO_BREAK, " "),
    )


def result_ids(verdict: Verdict) -> tuple[int, ...]:
    """The results that :func:`source_rows` lists."""
    looked_at = [used.result for used in verdict.used] + [one.result for one in verdict.excluded]
    return tuple(sorted({result.result_id for result in [*of_verdict(verdict), *looked_at]}))


def drawn_rows(shown: Series) -> pl.DataFrame:
    """The values of a chart as a table, newest first."""
    rows = [
        (point.on.isoformat(), point.text.replace(figures.NO_BREAK, " "), "yes" if point.beyond else "no", point.place)
        for point in sorted(shown.points, key=lambda point: point.on, reverse=True)
    ]
    columns = {"Collected": pl.String, "As reported": pl.String, "Beyond the limit": pl.String, "From": pl.String}
    return pl.DataFrame(rows, schema=columns, orient="row")


def source_rows(
    verdict: Verdict, findings: Mapping[int, str], at_sampling: Mapping[str, str] | None = None
) -> pl.DataFrame:
    """Every result with its value as reported, whether it counts, and the file and line it came from, newest first.

    ``at_sampling`` says in words what was read in the field, by our own sample id.
    """
    counted = {used.result.result_id: used for used in verdict.used}
    excluded = {one.result.result_id: one.because for one in verdict.excluded}
    known = {result.result_id: result for result in of_verdict(verdict)}
    known |= {used.result.result_id: used.result for used in verdict.used}
    known |= {one.result.result_id: one.result for one in verdict.excluded}
    newest_first = sorted(known.values(), key=lambda one: (one.collected_on, one.result_id), reverse=True)
    rows = []
    for result in newest_first:
        used = counted.get(result.result_id)
        if used is not None:
            counts = f"yes, {used.substitution}" if used.substitution else "yes"
        else:
            counts = f"no: {excluded.get(result.result_id, 'outside the period')}"
        in_the_field = (at_sampling or {}).get(result.sample, "")
        rows.append(_source_row(result, counts, findings.get(result.result_id, ""), in_the_field))
    return pl.DataFrame(rows, schema=_SOURCE_COLUMNS, orient="row")


_SOURCE_COLUMNS = {
    "Collected": pl.String,
    "Analyte": pl.String,
    "Value": pl.String,
    "Unit": pl.String,
    "Reporting limit": pl.String,
    "Counts": pl.String,
    "Laboratory": pl.String,
    "Method": pl.String,
    "File": pl.String,
    "Line": pl.Int64,
    "Column": pl.String,
    "Findings": pl.String,
    "At sampling": pl.String,
}


def _source_row(result: ScreeningResult, counts: str, findings: str, at_sampling: str) -> tuple[str | int, ...]:
    lowest = result.reporting_limit if result.reporting_limit is not None else result.detection_limit
    basis = f" {result.basis}" if result.basis else ""
    return (
        result.collected_on.isoformat(),
        result.analyte,
        figures.reported(result),
        figures.unit_text(result.unit) + basis,
        "" if lowest is None else figures.stored_text(lowest),
        counts,
        result.laboratory,
        result.method,
        result.file,
        result.line,
        result.column,
        findings,
        at_sampling,
    )


def _point(result: ScreeningResult, limit: Limit, counts: bool) -> Point | None:
    if result.kind not in (ValueKind.NUMBER, ValueKind.BELOW, ValueKind.ABOVE) or result.value is None:
        return None
    value = _in_unit_of(limit, result)
    if value is None:
        return None
    low, high = {
        ValueKind.NUMBER: (value, value),
        ValueKind.BELOW: (Fraction(0), value),
        ValueKind.ABOVE: (value, None),
    }[result.kind]
    beyond = result.kind != ValueKind.BELOW and _beyond(value, limit)
    text = figures.with_unit(figures.reported(result), result.unit)
    place = f"{result.file}, line {result.line}, column {result.column}"
    return Point(result.collected_on, low, high, beyond, text, place, counts)


def _sample_totals(limit: Limit, terms: LimitTerms, counted: Sequence[ScreeningResult]) -> list[Point]:
    """One point a sample for a limit on a group: the members combined as the limit's rule combines them."""
    convert = data.plant().units.convert
    samples = sample_values(limit, terms, counted, convert, average_confirmations=False).values
    return [_total_point(sample, limit) for sample in samples]


def _total_point(sample: SampleValue, limit: Limit) -> Point:
    low = max(sample.value.low or Fraction(0), Fraction(0))
    high = sample.value.high
    unit = figures.unit_text(limit.unit)
    lowest = figures.calculated(low, beside=limit.value)
    if high == low:
        amount = lowest
    elif high is None:
        amount = f"at least {lowest}"
    else:
        amount = f"{lowest} to {figures.calculated(high, beside=limit.value)}"
    files = list(dict.fromkeys(f"{used.result.file}, line {used.result.line}" for used in sample.used))
    missing = f"; without {figures.joined(sample.missing)}" if sample.missing else ""
    text = f"{amount} {unit}, calculated from {figures.plural(len(sample.used), 'result')}{missing}"
    place = "; ".join(files[:MOST_FILES]) + (f" and {len(files) - MOST_FILES} more" if len(files) > MOST_FILES else "")
    return Point(sample.collected_on, low, high, _beyond(low, limit), text, place)


def _in_unit_of(limit: Limit, result: ScreeningResult) -> Fraction | None:
    try:
        return data.plant().units.convert(
            Fraction(result.value or 0),
            analyte=result.analyte,
            from_unit=result.unit,
            from_basis=result.basis,
            to_unit=limit.unit,
            to_basis=limit.basis,
        )
    except ConversionError:
        return None


def _beyond(value: Fraction, limit: Limit) -> bool:
    """Whether a value lies on the wrong side of a limit, before any rounding."""
    highest = {"within": limit.value_high, "not above": limit.value}.get(limit.direction)
    lowest = {"within": limit.value, "not below": limit.value}.get(limit.direction)
    too_high = highest is not None and value > Fraction(highest)
    return too_high or (lowest is not None and value < Fraction(lowest))


def _drawn_limits(verdict: Verdict) -> list[Limit]:
    """The limit itself and, for what it was before and will be, others of its kind for the same analyte."""
    own = verdict.limit
    same_kind = [
        limit
        for limit in data.plant().limits
        if limit.analyte == own.analyte
        and limit.kind == own.kind
        and limit.jurisdiction == own.jurisdiction
        and limit.statistic == own.statistic
        and limit.applies_at == own.applies_at
        and limit.limit_id != own.limit_id
    ]
    return [own, *same_kind]
