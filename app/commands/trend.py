"""``trend``: one analyte over time as reported, counted by year, beside its limits and what the next value may be."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated

import polars as pl
import typer

from app import trend_rows
from app.book import open_book
from app.commands.options import DEFAULT_STORE, AsOfOption, DateOption, JsonOption, StoreOption, as_date, known
from app.commands.screening import CAUTION
from app.figures import stored_text
from app.printing import print_json, print_rows, progress, say
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.ingest.file_layout import folded
from pipeline.knowledge import Knowledge
from pipeline.plant.plant import Plant
from pipeline.screening.model import Verdict
from pipeline.store.connection import Store
from pipeline.store.series_results import series_results
from pipeline.trends.assemble import assemble
from pipeline.trends.limit_steps import LimitStep, limit_steps
from pipeline.trends.model import Measure, Series
from pipeline.trends.yearly import YearSummary, yearly_summaries

NO_DIRECTION = "Counts and spans only: nothing here says in which direction values go."
SHOWN_COLUMNS = ("Collected", "Sample point", "Value", "Unit", "Reporting limit", "Purpose", "Findings", "File", "Line")


def trend(
    analyte: Annotated[str, typer.Argument(help="Name of the analyte.")],
    store: StoreOption = DEFAULT_STORE,
    point: Annotated[list[str] | None, typer.Option(help="Sample point; may be given several times.")] = None,
    since: Annotated[datetime | None, typer.Option("--from", formats=["%Y-%m-%d"], help="First day.")] = None,
    until: Annotated[datetime | None, typer.Option("--to", formats=["%Y-%m-%d"], help="Last day.")] = None,
    unit: Annotated[str, typer.Option(help='Unit to show, with its basis: "mg/L as N".')] = "",
    fraction: Annotated[str | None, typer.Option(help="Only this fraction: total, dissolved.")] = None,
    on: DateOption = None,
    as_of: AsOfOption = "",
    csv: Annotated[Path | None, typer.Option(help="Write the results with file and line to this CSV file.")] = None,
    json: JsonOption = False,
) -> None:
    """Show one analyte over time: results as reported, a summary of each year, limits, what the next value may be.

    Example: barrierbook trend Bromate --point FIN --from 2025-01-01 --store plant-data
    """
    book = open_book(store)
    knowledge = known(book, as_of)
    day = as_date(on, book.today())
    name, points = analyte_named(knowledge.plant, analyte), points_named(knowledge.plant, point or [])
    first, last = since.date() if since else None, as_date(until, day)
    series = read_series(book.store, knowledge, name, points, first, last, unit, fraction)
    summaries = yearly_summaries(series)
    steps = limit_steps(knowledge.plant, name, series.sample_points, series.measure, first, last)
    judged = verdicts(book.store, knowledge.plant, day, knowledge.as_of_event)
    entering = trend_rows.of_series(judged, name, series.sample_points)
    if json:
        print_json(_as_json(series, summaries, steps, entering, day))
    elif csv is None:
        _print(series, summaries, steps, entering, knowledge.plant, day)
    if csv is not None:
        frame = trend_rows.results(series)
        frame.write_csv(csv)
        progress(f"Wrote {frame.height:,} results to {csv}.")


def read_series(
    store: Store,
    known: Knowledge,
    analyte: str,
    points: Sequence[str],
    first: date | None,
    last: date,
    unit: str,
    fraction: str | None,
) -> Series:
    """Read a series at the points, or at all that have results of it, in the order of the water."""
    plant = known.plant
    with store.read() as connection:
        rows = series_results(
            connection,
            analyte,
            points or list(plant.sample_points),
            first=first,
            last=last,
            as_of_event=known.as_of_event,
        )
    measure = measure_named(plant, unit) if unit else None
    series = assemble(plant, analyte, points, rows, first=first, last=last, measure=measure, fraction=fraction)
    having = {one.sample_point for one in series.results}
    return (
        series
        if points
        else replace(series, sample_points=tuple(code for code in plant.sample_points if code in having))
    )


def analyte_named(plant: Plant, written: str) -> str:
    """The analyte of a name or of one of its aliases, whatever its case and blanks.

    Raises
    ------
    BarrierbookError
        When there is none, with names that look alike.
    """
    found = plant.names.analyte(written).analyte
    if found is None:
        names = {folded(name): name for name in plant.analytes}
        alike = [names[one] for one in get_close_matches(folded(written), names, n=3, cutoff=0.5)]
        hint = f"Did you mean: {'; '.join(alike)}?" if alike else "See the names in analytes.csv."
        raise BarrierbookError(f'there is no analyte "{written}".', hint)
    return found


def points_named(plant: Plant, written: Sequence[str]) -> list[str]:
    """The sample points of codes or names, once each, in the order given; raises for one that is not there."""
    known = {folded(text): code for code, one in plant.sample_points.items() for text in (one.name, code) if text}
    for text in written:
        if folded(text) not in known:
            raise BarrierbookError(
                f'there is no sample point "{text}".', f"There are: {', '.join(plant.sample_points)}."
            )
    return list(dict.fromkeys(known[folded(text)] for text in written))


def measure_named(plant: Plant, written: str) -> Measure:
    """The unit and basis of a text such as ``mg/L as N``; raises for a unit that is not known."""
    unit, _, basis = written.partition(" as ")
    match = plant.units.resolve(unit)
    known_basis = plant.units.resolve_basis(basis)
    if match.unit is None or known_basis is None:
        problem = match.problem or f'the basis "{basis}" is not known.'
        raise BarrierbookError(problem, 'Write a unit and its basis like "mg/L as N".')
    return Measure(match.unit, known_basis or match.implied_basis)


def _print(
    series: Series,
    summaries: Sequence[YearSummary],
    steps: Sequence[LimitStep],
    entering: Sequence[Verdict],
    plant: Plant,
    day: date,
) -> None:
    say(f"{trend_rows.sentence(series, day)}.\n")
    results = trend_rows.results(series)
    converted = [name for name in results.columns if name.startswith("In ")]
    _print_frame(results.select(*SHOWN_COLUMNS[:4], *converted, *SHOWN_COLUMNS[4:]))
    for title, frame in (
        (f"By year, {trend_rows.measure_text(series.measure)}", trend_rows.years(summaries, series.measure)),
        ("Limits", trend_rows.limits(steps, series.measure, plant).drop("Source")),
        (f"What the next value may be, evaluated on {day}", trend_rows.next_values(entering)),
    ):
        if frame.height:
            say(f"\n{title}")
            _print_frame(frame)
    say("\n" + " ".join([*trend_rows.notes(series), NO_DIRECTION, CAUTION]))


def _print_frame(frame: pl.DataFrame) -> None:
    kept = [name for name in frame.columns if name in SHOWN_COLUMNS[:4] or _says_something(frame[name])]
    print_rows([list(row) for row in frame.select(kept).iter_rows()], kept)


def _says_something(column: pl.Series) -> bool:
    return any(value not in ("", 0, None) for value in column)


def _as_json(
    series: Series,
    summaries: Sequence[YearSummary],
    steps: Sequence[LimitStep],
    entering: Sequence[Verdict],
    day: date,
) -> dict[str, object]:
    """A series by name; amounts are in the unit of the series, and each keeps its value as reported."""
    amounts = {one.result.result_id: one for one in series.placed}
    return {
        "analyte": series.analyte,
        "sample_points": series.sample_points,
        "fraction": series.fraction,
        "fractions": series.fractions,
        "unit": series.measure.unit,
        "basis": series.measure.basis,
        "from": series.first,
        "to": series.last,
        "evaluated_on": day,
        "caution": f"{NO_DIRECTION} {CAUTION}",
        "quality_control_left_out": series.quality_control,
        "results": [
            {
                "result": one.result_id,
                "sample_point": one.sample_point,
                "collected_on": one.collected_on,
                "collected_at": one.collected_at,
                "kind": one.kind,
                "value": one.value_text,
                "unit": one.unit,
                "basis": one.basis,
                "low": amounts[one.result_id].low if one.result_id in amounts else None,
                "high": amounts[one.result_id].high if one.result_id in amounts else None,
                "reporting_limit": one.reporting_limit and stored_text(one.reporting_limit),
                "detection_limit": one.detection_limit and stored_text(one.detection_limit),
                "qualifier": one.qualifier,
                "purpose": one.purpose,
                "counts": one.counts,
                "findings": one.findings,
                "laboratory": one.laboratory,
                "method": one.method,
                "sample": one.sample,
                "file": one.file,
                "line": one.line,
                "column": one.column,
            }
            for one in series.results
        ],
        "years": [
            {
                "sample_point": one.sample_point,
                "year": one.year,
                "results": one.count,
                "non_detects": one.non_detects,
                "above_range": one.above_range,
                "without_amount": one.without_amount,
                "lowest_measured": one.lowest and one.lowest.low,
                "highest_measured": one.highest and one.highest.low,
                "median_low": one.median and one.median.low,
                "median_high": one.median and one.median.high,
            }
            for one in summaries
        ],
        "limits": [
            {
                "limit": one.limit.limit_id,
                "kind": one.limit.kind,
                "statistic": one.limit.statistic,
                "value": one.value,
                "value_high": one.value_high,
                "limit_value": one.limit.value,
                "limit_unit": one.limit.unit,
                "from": one.applies_from,
                "to": one.applies_to,
                "proposed": one.proposed,
                "sample_points": one.sample_points,
                "source": one.limit.source,
            }
            for one in steps
        ],
        "next_values": [
            {
                "limit": one.limit.limit_id,
                "sample_point": one.sample_point,
                "statistic": one.statistic_name,
                "compared_low": one.compared_low,
                "compared_high": one.compared_high,
                "next_may_be": one.next_may_be,
                "next_assumes": one.next_assumes,
                "unit": one.limit.unit,
                "outcome": one.outcome,
            }
            for one in entering
        ],
    }
