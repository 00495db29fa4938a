"""The charts: one analyte against its limit, and what happened to every cell of a file."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Final

import altair as alt
import polars as pl

from app import figures
from app.dashboard import series
from app.dashboard.chart_layers import gap_layers, limit_layers, point_layers
from app.dashboard.chart_parts import (
    HEIGHT,
    PAPER,
    color_of,
    labels,
    time_axis,
    tinted,
    utc,
    value_axis,
)
from app.dashboard.series import Point, Series
from app.words import Role
from pipeline.vocabulary import CellOutcome

NARROWEST_SHARE: Final = 0.006

CELL_ROLES: Final = {
    CellOutcome.EMPTY: Role.FAINTER,
    CellOutcome.SET_ASIDE: Role.FAINT,
    CellOutcome.HELD: Role.OPEN,
    CellOutcome.DUPLICATE: Role.QUIET,
    CellOutcome.NEW: Role.DATA,
    CellOutcome.REVISION: Role.INK,
}


def analyte_chart(shown: Series) -> alt.LayerChart:
    """Results, limit and running statistic of one analyte at one sample point.

    Measured values are dots, non-detects strokes from their reporting limit down to zero, values above a number strokes
    upward. The line between dots breaks at both and at gaps. The limit is a line; the statistic a step.
    """
    points = series.at_most(sorted(shown.points, key=lambda point: point.on))
    first, last = _span(shown)
    highest = _ceiling(shown, points)
    x_scale = alt.Scale(type="utc", domain=[utc(first), utc(last)], nice=False)
    y_scale = alt.Scale(domain=[0, highest], nice=False, zero=True)
    layers = [
        *gap_layers(points, x_scale),
        *limit_layers(shown.limits, first, last),
        *_statistic_layers(shown),
        *point_layers(points, highest),
    ]
    return (
        alt.layer(*layers)
        .encode(
            x=alt.X(scale=x_scale, title=None, axis=time_axis(first, last)), y=alt.Y(scale=y_scale, axis=value_axis())
        )
        .properties(height=HEIGHT, width="container")
        .configure_view(stroke=None)
        .configure_axis(domain=False, ticks=False)
    )


def analyte_description(analyte: str, shown: Series) -> str:
    """The chart in words, with its numbers, for those who do not see it."""
    measured = [point for point in shown.points if point.measured]
    bounds = len(shown.points) - len(measured)
    beyond = sum(point.beyond for point in shown.points)
    unit = figures.unit_text(shown.unit)
    parts = [f"{analyte}: {figures.plural(len(shown.points), 'result')} up to {figures.day(shown.on)}"]
    if measured:
        lowest = min(measured, key=lambda point: point.low)
        highest = max(measured, key=lambda point: point.low)
        parts.append(f"{len(measured)} measured, from {lowest.text} to {highest.text}")
    if bounds:
        parts.append(f"{bounds} not detected or reported as a bound")
    parts += [line.words for line in shown.limits]
    parts.append(f"{figures.plural(beyond, 'result')} beyond the limit")
    if shown.last_text:
        parts.append(f"{shown.statistic_name or 'statistic'} {shown.last_text} {unit}".rstrip())
    return ". ".join(parts).replace(figures.NO_BREAK, " ") + "."


def account_bar(cells: Mapping[CellOutcome, int]) -> alt.LayerChart:
    """One stacked bar of what happened to every cell of a load, in the order of the account."""
    rows, start = [], 0.0
    for outcome, width in _widths(cells).items():
        rows.append(_account_row(outcome, cells[outcome], start, start + width))
        start += width
    frame = pl.DataFrame(rows, schema=_ACCOUNT_COLUMNS, orient="row")
    across = alt.X("start:Q", scale=alt.Scale(domain=[0, 1], nice=False), axis=None)
    base = alt.Chart(frame)
    # A label that its segment has no room for is hidden rather than laid over its neighbor; the equation has them all.
    shown = alt.ExprRef("(datum.end - datum.start) * width >= datum.room || datum.at_end ? 1 : 0")
    label = {"align": alt.ExprRef("datum.at_end ? 'right' : 'left'"), "opacity": shown, "aria": False}
    bar = base.mark_bar(height=30, strokeWidth=2, stroke=PAPER).encode(
        x=across,
        x2="end:Q",
        y=alt.value(37),
        color=color_of("role"),
        description="spoken:N",
        tooltip=[alt.Tooltip("spoken:N", title="cells")],
    )
    number = base.mark_text(fontSize=15, fontWeight=500, baseline="bottom", **label).encode(
        x=alt.X("anchor:Q"), y=alt.value(17), text="text:N", color=color_of("text_role")
    )
    name = (
        tinted(frame, Role.MUTED)
        .mark_text(fontSize=12, baseline="top", **label)
        .encode(x=alt.X("anchor:Q"), y=alt.value(57), text="name:N", color=color_of("role"))
    )
    return alt.layer(bar, number, name).properties(height=74, width="container").configure_view(stroke=None)


_ACCOUNT_COLUMNS: Final = {
    "name": pl.String,
    "text": pl.String,
    "spoken": pl.String,
    "role": pl.String,
    "text_role": pl.String,
    "start": pl.Float64,
    "end": pl.Float64,
    "anchor": pl.Float64,
    "room": pl.Int64,
    "at_end": pl.Boolean,
}


def _widths(cells: Mapping[CellOutcome, int]) -> dict[CellOutcome, float]:
    """Share of the bar for every outcome that occurs; one held cell among thousands still gets a visible sliver."""
    total = sum(cells.values())
    raised = {outcome: max(cells[outcome] / total, NARROWEST_SHARE) for outcome in CellOutcome if cells.get(outcome, 0)}
    return {outcome: share / sum(raised.values()) for outcome, share in raised.items()}


def _account_row(outcome: CellOutcome, number: int, start: float, end: float) -> tuple[Any, ...]:
    text = figures.whole(number)
    # The last segment may be a sliver: its label then hangs to the left of the right edge.
    at_end = end > 0.999 and end - start < 0.08
    held = outcome == CellOutcome.HELD
    room = max(7 * len(outcome.value), 9 * len(text)) + 4
    return (
        outcome.value,
        text,
        f"{text} {outcome.value}",
        CELL_ROLES[outcome].value,
        (Role.OPEN if held else Role.INK).value,
        start,
        end,
        end if at_end else start,
        room,
        at_end,
    )


def _span(shown: Series) -> tuple[date, date]:
    """First and last day of the axis, with room at the right end for the last value's label."""
    days = max((shown.on - shown.begins).days, 14)
    return shown.on - timedelta(days=days + max(1, days // 60)), shown.on + timedelta(days=max(2, days // 18))


def _ceiling(shown: Series, points: Sequence[Point]) -> float:
    tops = [point.top for point in points] + [step.high for step in shown.statistic]
    tops += [line.value for line in shown.limits]
    highest = max(tops, default=None)
    return float(highest) * 1.12 if highest else 1.0


def _statistic_layers(shown: Series) -> list[alt.Chart]:
    if not shown.statistic:
        return []
    rows = [(step.on, float(step.low), float(step.high)) for step in sorted(shown.statistic, key=lambda step: step.on)]
    if rows[-1][0] < shown.on:
        rows.append((shown.on, *rows[-1][1:]))
    frame = pl.DataFrame(rows, schema={"on": pl.Date, "low": pl.Float64, "high": pl.Float64}, orient="row")
    two_bounds = any(low != high for _, low, high in rows)
    layers = []
    if two_bounds:
        area = tinted(frame, Role.FAINTER).mark_area(interpolate="step-after", aria=False)
        layers.append(area.encode(x="on:T", y="low:Q", y2="high:Q", color=color_of("role")))
    words = f"{shown.statistic_name}, last {shown.last_text} {figures.unit_text(shown.unit)}"
    for bound in ("low", "high") if two_bounds else ("high",):
        step = tinted(frame, Role.INK).mark_line(interpolate="step-after", strokeWidth=2.2, description=words)
        layers.append(step.encode(x="on:T", y=f"{bound}:Q", color=color_of("role")))
    name = frame.head(1).with_columns(text=pl.lit(shown.statistic_name))
    value = frame.tail(1).with_columns(text=pl.lit(shown.last_text))
    layers += labels(name, alt.Y("high:Q"), Role.INK, align="left", baseline="top", dy=6)
    layers += labels(value, alt.Y("high:Q"), Role.INK, align="left", dx=6, fontWeight=700)
    return layers
