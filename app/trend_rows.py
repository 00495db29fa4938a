"""A series as rows that commands and pages show alike: results, years, limits and what the next value may be.

Rows say what was reported and what is counted. They never say in which direction values go.
"""

from collections.abc import Sequence
from datetime import date
from typing import Final

import polars as pl

from app import figures, words
from pipeline.censoring import WITHOUT_RESULT
from pipeline.plant.plant import Plant
from pipeline.screening.bounds import Bounds
from pipeline.screening.explanation import next_text
from pipeline.screening.model import Verdict
from pipeline.screening.terms import terms_of
from pipeline.trends.limit_steps import LimitStep
from pipeline.trends.model import Measure, Placed, Series, SeriesResult
from pipeline.trends.yearly import YearSummary
from pipeline.vocabulary import Outcome, ValueKind

RESULT_COLUMNS: Final = (
    "Collected",
    "Sample point",
    "Fraction",
    "Value",
    "Unit",
    "Shown as",
    "Reporting limit",
    "Qualifier",
    "Purpose",
    "Counts",
    "Findings",
    "Laboratory",
    "Method",
    "Sample",
    "File",
    "Line",
    "Column",
)
YEAR_COLUMNS: Final = (
    "Sample point",
    "Year",
    "Results",
    "Non-detects",
    "Above range",
    "Without amount",
    "Lowest measured",
    "Highest measured",
    "Median",
    "Median rests on",
    "File of the highest",
)
LIMIT_COLUMNS: Final = ("Limit", "Kind", "Statistic", "From", "To", "Sample points", "Shown as", "Status", "Source")
NEXT_COLUMNS: Final = (
    "Limit",
    "Sample point",
    "Kind",
    "Statistic",
    "Stands at",
    "Next value may be",
    "Supposes",
    "Verdict",
)


def measure_text(measure: Measure) -> str:
    """A unit and basis as they are printed: ``mg/L as N``."""
    return " ".join(part for part in (figures.unit_text(measure.unit), measure.basis) if part)


def reported_text(result: SeriesResult) -> str:
    """The value as reported, non-detects as ``< 0.5``; with plain spaces."""
    return figures.reported(result).replace(figures.NO_BREAK, " ")


def shown_text(placed: Placed, measure: Measure) -> str:
    """A result in the unit of the series: as reported where that is its unit, else converted."""
    result = placed.result
    if result.measure == measure:
        return reported_text(result)
    if result.non_detect:
        return "not detected" if placed.high is None else f"< {figures.calculated(placed.high)}"
    number = figures.calculated(placed.low)
    return f"> {number}" if result.kind is ValueKind.ABOVE else number


def why_not_counted(result: SeriesResult) -> str:
    """Why a result does not count here; empty when it does."""
    if result.kind in WITHOUT_RESULT:
        return "there is no result"
    return "" if result.counts else "the laboratory stands for another result of the sample"


def results(series: Series) -> pl.DataFrame:
    """Every result of a series, newest first, with its file and line."""
    shown = {one.result.result_id: shown_text(one, series.measure) for one in series.placed}
    rows = [
        (
            one.collected_on.isoformat(),
            one.sample_point,
            one.fraction,
            reported_text(one),
            measure_text(one.measure),
            shown.get(one.result_id, ""),
            "" if one.reporting_limit is None else figures.stored_text(one.reporting_limit),
            one.qualifier,
            one.purpose,
            f"no: {why}" if (why := why_not_counted(one)) else "yes",
            one.findings,
            one.laboratory,
            one.method,
            one.sample,
            one.file,
            one.line,
            one.column,
        )
        for one in reversed(series.results)
    ]
    frame = pl.DataFrame(
        rows, schema={name: pl.Int64 if name == "Line" else pl.String for name in RESULT_COLUMNS}, orient="row"
    )
    same_unit = all(one.result.measure == series.measure for one in series.placed)
    return frame.drop("Shown as") if same_unit else frame.rename({"Shown as": f"In {measure_text(series.measure)}"})


def years(summaries: Sequence[YearSummary], measure: Measure) -> pl.DataFrame:
    """One row a year and sample point."""
    rows = [
        (
            one.sample_point,
            str(one.year),
            one.count,
            one.non_detects,
            one.above_range,
            one.without_amount,
            shown_text(one.lowest, measure) if one.lowest else "",
            shown_text(one.highest, measure) if one.highest else "",
            median_text(one.median),
            median_rests_on(one),
            f"{one.highest.result.file}, line {one.highest.result.line}" if one.highest else "",
        )
        for one in summaries
    ]
    numbers = {"Results", "Non-detects", "Above range", "Without amount"}
    schema = {name: pl.Int64 if name in numbers else pl.String for name in YEAR_COLUMNS}
    return pl.DataFrame(rows, schema=schema, orient="row")


def median_text(median: Bounds | None) -> str:
    """A median, or the two numbers between which it lies; empty when nothing can be said.

    >>> from fractions import Fraction
    >>> median_text(Bounds(Fraction(0), Fraction(1, 2))), median_text(Bounds(Fraction(2), Fraction(2)))
    ('0 to 0.5', '2')
    """
    if median is None or median.low is None:
        return ""
    low = figures.calculated(median.low)
    if median.high is None:
        return f"at least {low}"
    return low if median.low == median.high else f"{low} to {figures.calculated(median.high)}"


def median_rests_on(one: YearSummary) -> str:
    """What a median was made of, or why there is none."""
    if one.median is None:
        return "results without an amount leave it open" if one.without_amount else ""
    if one.non_detects or one.above_range:
        said = "the same" if one.median.known else "bounds"
        return (
            f"{said} whatever the non-detects were" if not one.above_range else f"{said} whatever the bounded ones were"
        )
    return "measured values"


def limits(steps: Sequence[LimitStep], measure: Measure, plant: Plant) -> pl.DataFrame:
    """One row a limit, with the days on which it is in force."""
    rows = [
        (
            figures.limit_text(one.limit).replace(figures.NO_BREAK, " ") or "no number",
            one.limit.kind,
            words.short_statistic(one.limit.statistic),
            one.applies_from.isoformat() if one.applies_from else "",
            one.applies_to.isoformat() if one.applies_to else "",
            figures.joined(_name(plant, code) for code in one.sample_points),
            _step_text(one, measure),
            one.limit.status.value,
            one.limit.source,
        )
        for one in steps
    ]
    return pl.DataFrame(rows, schema=dict.fromkeys(LIMIT_COLUMNS, pl.String), orient="row")


def next_values(verdicts: Sequence[Verdict]) -> pl.DataFrame:
    """One row a limit: where it stands and the largest next value that keeps it."""
    rows = [
        (
            f"{one.limit.analyte}, {figures.limit_text(one.limit)}".replace(figures.NO_BREAK, " "),
            one.sample_point,
            one.limit.kind,
            words.statistic(one),
            figures.with_unit(figures.statistic(one), one.limit.unit).replace(figures.NO_BREAK, " "),
            next_value_text(one),
            one.next_assumes,
            one.outcome.value,
        )
        for one in verdicts
    ]
    return pl.DataFrame(rows, schema=dict.fromkeys(NEXT_COLUMNS, pl.String), orient="row")


def next_value_text(verdict: Verdict) -> str:
    """The largest next value with its unit and all its digits; in words where there is none or nothing can be said."""
    if not verdict.next_assumes:
        return "cannot be said"
    if verdict.next_may_be is None:
        return "none keeps the limit"
    return next_text(verdict).removeprefix("the next value may be up to ").replace(" ug/", " µg/")


def of_series(verdicts: Sequence[Verdict], analyte: str, sample_points: Sequence[str]) -> list[Verdict]:
    """Verdicts on limits that an analyte enters, by itself or as a member of a group, at some sample points."""
    return [
        one
        for one in verdicts
        if one.sample_point in sample_points
        and one.outcome is not Outcome.INFORMATION
        and analyte in (one.limit.analyte, *terms_of(one.limit).own_analytes)
    ]


def sentence(series: Series, on: date) -> str:
    """What a series holds, as one sentence without a direction: counts, and the span of the measured values."""
    placed = [one for one in series.placed if one.result.counts]
    measured = [one for one in placed if one.detected]
    total = len(placed) + sum(one.counts for one in series.others)
    unit = measure_text(series.measure)
    parts = [f"{series.analyte}: {figures.plural(total, 'result')} up to {figures.day(min(series.last, on))}"]
    if measured:
        lowest, highest = (pick(measured, key=lambda one: one.low) for pick in (min, max))
        span = f"from {shown_text(lowest, series.measure)} to {shown_text(highest, series.measure)} {unit}".rstrip()
        parts.append(f"{figures.whole(len(measured))} measured, {span}")
    if not_detected := sum(one.result.non_detect for one in placed):
        parts.append(f"{figures.whole(not_detected)} not detected")
    return "; ".join(parts).replace(figures.NO_BREAK, " ")


def notes(series: Series) -> list[str]:
    """What was left out of a series, and why; nothing is left out in silence."""
    said = []
    if series.quality_control:
        said.append(f"{figures.plural(series.quality_control, 'result')} of quality control not shown.")
    if len(series.fractions) > 1:
        others = [one or "without fraction" for one in series.fractions if one != series.fraction]
        said.append(f"Shown: {series.fraction or 'without fraction'}; also reported: {figures.joined(others)}.")
    apart = [one for one in series.others if one.has_amount]
    if apart:
        said.append(f"{figures.plural(len(apart), 'result')} in a unit that cannot be converted: in the table alone.")
    if words_only := len(series.others) - len(apart):
        said.append(f"{figures.plural(words_only, 'result')} without an amount (such as absent): in the table alone.")
    return said


def _step_text(step: LimitStep, measure: Measure) -> str:
    if step.value is None:
        return "not an amount"
    number = figures.calculated(step.value)
    if step.value_high is not None:
        number = f"{number} to {figures.calculated(step.value_high)}"
    return f"{number} {measure_text(measure)}"


def _name(plant: Plant, code: str) -> str:
    point = plant.sample_points.get(code)
    return point.name if point and point.name else code
