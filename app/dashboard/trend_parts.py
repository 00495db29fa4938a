"""The parts of the page of trends: charts with their words, and the tables beneath them."""

from collections.abc import Sequence
from datetime import date
from typing import Final

import pandas as pd  # type: ignore[import-untyped]
import polars as pl
import streamlit as st

from app import figures, trend_rows, words
from app.dashboard import controls, links, trend_charts, trend_controls, trend_series, verdict_rows
from app.dashboard.trend_series import Panel, Scale
from pipeline.screening.model import Verdict
from pipeline.trends.limit_steps import LimitStep
from pipeline.trends.model import Series
from pipeline.trends.yearly import yearly_summaries

KEY: Final = (
    "Dot: measured, red when beyond the number of a limit of its day, which is not yet an exceedance; open when it "
    "does not count. Stroke: not detected, the true value lies between its cap and zero; above a cap, it is higher "
    "than the laboratory could count. Dots are joined where nothing lies between them: no line is fitted, no direction "
    "claimed."
)
ON_LOG: Final = "The axis is logarithmic: it has no zero, so strokes, and values of zero, end at its lower edge."
WITHOUT: Final = "Limits above every value are left out of the charts; the table below has them."
OF_YEARS: Final = "Blue: the newest year. Dark: the year before. Gray: older ones. Limits: those of the last day."


def title(series: Series) -> None:
    """Analyte, where and how many results, with their span: the answer before the chart."""
    placed = [one for one in series.placed if one.result.counts]
    number = len(placed) + sum(one.counts for one in series.others)
    where = figures.joined(controls.point_name(code) for code in series.sample_points)
    measured = [one for one in placed if one.detected]
    said = f"{series.analyte} at {where}: {figures.plural(number, 'result')}" if where else series.analyte
    if measured:
        lowest, highest = (pick(measured, key=lambda one: one.low) for pick in (min, max))
        texts = [trend_rows.shown_text(one, series.measure) for one in (lowest, highest)]
        said += f", measured {texts[0]} to {figures.with_unit(texts[1], series.measure.unit)}"
    elif placed:
        said += ", none detected"
    st.title(words.plain(said), anchor=False)


def charts(series: Series, steps: Sequence[LimitStep], on: date, *, years: bool, axis: str) -> None:
    """One chart a sample point on shared axes, each with its words, and beneath them a key."""
    logarithmic = axis == trend_controls.LOGARITHMIC
    whole = trend_series.panels(series, steps)
    shown = trend_series.without_limits_above(whole) if axis == trend_controls.VALUES_ALONE else whole
    if not shown:
        st.markdown("No result here has an amount that could be drawn; the table has what was reported.")
        return
    scale = trend_series.shared_scale(shown, logarithmic=logarithmic)
    first, last = trend_series.spans(series, shown, min(series.last, on))
    unit = trend_rows.measure_text(series.measure)
    for panel in shown:
        name = words.plain(controls.point_name(panel.sample_point))
        st.markdown(f"**{name}**{', ' + words.plain(unit) if unit else ''}")
        small = len(shown) > 1
        chart = (
            trend_charts.years_together(panel, scale, last, small=small)
            if years
            else trend_charts.over_time(panel, scale, first, last, small=small)
        )
        st.altair_chart(chart, alt=description(series, panel, scale, years=years), theme="streamlit")
    parts = [
        KEY,
        *([OF_YEARS] if years else []),
        *([ON_LOG] if logarithmic else []),
        *([WITHOUT] if shown != whole else []),
        *_reduced(series),
    ]
    st.markdown(f":small[:gray[{words.plain(' '.join([*parts, *trend_rows.notes(series)]))}]]")


def description(series: Series, panel: Panel, scale: Scale, *, years: bool) -> str:
    """A chart in words, with its numbers, for those who do not see it."""
    measured = [point for point in panel.points if point.measured]
    not_detected = sum(point.high is not None and not point.measured for point in panel.points)
    days = [point.on for point in panel.points]
    how = "each year as a line over its months" if years else "each result on its day"
    where = controls.point_name(panel.sample_point)
    span = f"from {figures.day(min(days))} to {figures.day(max(days))}"
    said = [f"{series.analyte} at {where}: {figures.plural(len(days), 'result')} {span}, {how}"]
    if measured:
        lowest, highest = (pick(measured, key=lambda point: point.low) for pick in (min, max))
        said.append(f"{figures.whole(len(measured))} measured, from {lowest.text} to {highest.text}")
    if not_detected:
        said.append(f"{figures.whole(not_detected)} not detected")
    said += [line.words for line in panel.limits]
    said.append(f"{figures.plural(sum(point.beyond for point in panel.points), 'result')} beyond a limit’s number")
    said.append("logarithmic axis" if scale.logarithmic else "axis from zero")
    return ". ".join(said).replace(figures.NO_BREAK, " ") + "."


def years_table(series: Series) -> None:
    """Each year of each sample point: counts, non-detects, the span, and the median as far as it can be said."""
    rows = trend_rows.years(yearly_summaries(series), series.measure)
    unit = trend_rows.measure_text(series.measure)
    st.subheader(f"By year{', ' + unit if unit else ''}", anchor=False)
    if rows.height:
        named = rows.with_columns(pl.col("Sample point").map_elements(controls.point_name, return_dtype=pl.String))
        _table(named, ("Results", "Non-detects", "Lowest measured", "Highest measured"), "Results by year")
        st.markdown(
            ":small[:gray[A non-detect takes part in the median with all it allows, from zero to its limit; nothing is "
            "put in its place.]]"
        )
    else:
        st.markdown(":gray[No result.]")


def limits_table(series: Series, steps: Sequence[LimitStep], plant_limits: pl.DataFrame) -> None:
    """The limits with the days on which they are in force."""
    st.subheader("Limits and their days", anchor=False)
    if steps:
        _table(plant_limits, (), f"Limits on {series.analyte}")
    else:
        st.markdown(":gray[No limit is judged here.]")


def next_table(verdicts: Sequence[Verdict], on: date, chosen: date | None) -> None:
    """For every limit that the analyte enters: where it stands, and the largest next value that keeps it."""
    st.subheader("What the next value may be", anchor=False)
    if not verdicts:
        st.markdown(":gray[No limit is judged here.]")
        return
    rows = trend_rows.next_values(verdicts)
    named = rows.with_columns(
        pl.Series("Sample point", [controls.point_name(code) for code in rows["Sample point"]]),
    )
    table = _escaped(named)
    table["Limit"] = [
        links.markdown(text, links.ANALYTE, verdict_rows.analyte_parameters(one, chosen))
        for text, one in zip(named["Limit"].to_list(), verdicts, strict=True)
    ]
    table["Verdict"] = [words.verdict_markdown(one) for one in verdicts]
    st.table(table, border="horizontal", hide_index=True, alt="Largest next values")
    st.markdown(
        f":small[:gray[Evaluated on {figures.day(on)}, rounded as the limit is judged: a hundredth of the limit’s last "
        "digit more would be beyond it.]]"
    )


def results_table(series: Series) -> None:
    """Every result as reported, with file and line, and the same to take away."""
    rows = trend_rows.results(series)
    st.subheader("Results, newest first", anchor=False)
    if not rows.height:
        st.markdown(":gray[No result.]")
        return
    st.dataframe(
        rows,
        hide_index=True,
        row_height=30,
        alt=f"{figures.plural(rows.height, 'result')} of {series.analyte}, newest first",
        column_config={"Value": st.column_config.TextColumn(alignment="right")},
    )
    name = "_".join([series.analyte, *series.sample_points, series.last.isoformat()])
    file = "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in name)
    st.download_button("Download as CSV", rows.write_csv(), f"{file}.csv", "text/csv", icon=":material/download:")


def _reduced(series: Series) -> list[str]:
    if not series.reduced:
        return []
    drawn = sum(one.result.drawn for one in series.placed)
    total = figures.whole(len(series.placed))
    counts = f"{figures.whole(drawn)} of {total} results"
    return [f"Drawn: the lowest and the highest of each stretch, {counts}; the tables have all."]


def _table(rows: pl.DataFrame, always: Sequence[str], alt: str) -> None:
    """A table to read, without the columns that say nothing."""
    kept = [name for name in rows.columns if name in always or any(value not in ("", 0) for value in rows[name])]
    st.table(_escaped(rows.select(kept)), border="horizontal", hide_index=True, alt=alt)


def _escaped(rows: pl.DataFrame) -> pd.DataFrame:
    """Cells as Markdown that shows them letter by letter; numbers flush at the right."""
    columns = {}
    for name in rows.columns:
        texts = [words.plain(str(value)) for value in rows[name]]
        columns[name] = figures.right_aligned(texts) if rows[name].dtype.is_numeric() else texts
    return pd.DataFrame(columns)
