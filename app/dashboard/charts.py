"""The charts: one analyte against its limit, and what happened to every cell of a file.

Charts name color roles and nothing else: the ten roles are the domain of every color scale, and the theme in
``.streamlit/config.toml`` supplies the ten colors, so a switch to dark needs no rerun.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Final

import altair as alt
import polars as pl

from app import figures
from app.dashboard import series
from app.dashboard.series import Point, Series
from app.words import Role
from pipeline.vocabulary import CellOutcome

ROLES: Final = [role.value for role in Role]
HEIGHT: Final = 300
NARROWEST_SHARE: Final = 0.006

CELL_ROLES: Final = {
    CellOutcome.EMPTY: Role.FAINTER,
    CellOutcome.SET_ASIDE: Role.FAINT,
    CellOutcome.HELD: Role.OPEN,
    CellOutcome.DUPLICATE: Role.QUIET,
    CellOutcome.NEW: Role.DATA,
    CellOutcome.REVISION: Role.INK,
}

_ROLE_SCALE = alt.Scale(domain=ROLES)
_MUTED = alt.ExprRef("scale('color','muted')")
_PAPER = alt.ExprRef("scale('color','paper')")


def analyte_chart(shown: Series) -> alt.LayerChart:
    """Results, limit and running statistic of one analyte at one sample point.

    Measured values are dots, non-detects strokes from their reporting limit down to zero, values above a number strokes
    upward. The line between dots breaks at both and at gaps. The limit is a line; the statistic a step.
    """
    points = series.at_most(sorted(shown.points, key=lambda point: point.on))
    first, last = _span(shown)
    highest = _ceiling(shown, points)
    x_scale = alt.Scale(type="utc", domain=[_utc(first), _utc(last)], nice=False)
    y_scale = alt.Scale(domain=[0, highest], nice=False, zero=True)
    layers = [
        *_gap_layers(points, x_scale),
        *_limit_layers(shown, first, last),
        *_statistic_layers(shown),
        *_point_layers(points, highest),
    ]
    return (
        alt.layer(*layers)
        .encode(x=alt.X(scale=x_scale, title=None, axis=_time_axis(first, last)), y=alt.Y(scale=y_scale, axis=_axis()))
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
    bar = base.mark_bar(height=30, strokeWidth=2, stroke=_PAPER).encode(
        x=across,
        x2="end:Q",
        y=alt.value(37),
        color=_color("role"),
        description="spoken:N",
        tooltip=[alt.Tooltip("spoken:N", title="cells")],
    )
    number = base.mark_text(fontSize=15, fontWeight=500, baseline="bottom", **label).encode(
        x=alt.X("anchor:Q"), y=alt.value(17), text="text:N", color=_color("text_role")
    )
    name = (
        _tinted(frame, Role.MUTED)
        .mark_text(fontSize=12, baseline="top", **label)
        .encode(x=alt.X("anchor:Q"), y=alt.value(57), text="name:N", color=_color("role"))
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


def _color(field: str) -> alt.Color:
    return alt.Color(f"{field}:N", scale=_ROLE_SCALE, legend=None)


def _tinted(frame: pl.DataFrame, role: Role) -> alt.Chart:
    """A chart of ``frame`` whose marks all have one role."""
    return alt.Chart(frame.with_columns(role=pl.lit(role.value)))


def _axis() -> alt.Axis:
    return alt.Axis(title=None, grid=True, tickCount=3, labelColor=_MUTED, labelFontSize=12, labelFlush=False)


def _time_axis(first: date, last: date) -> alt.Axis:
    days = (last - first).days
    text = "%b %Y" if days > 120 else "%-d %b"
    return alt.Axis(
        format=text, grid=False, tickCount=8, labelColor=_MUTED, labelFontSize=12, labelFlush=False, labelOverlap=True
    )


def _utc(on: date) -> alt.DateTime:
    return alt.DateTime(year=on.year, month=on.month, date=on.day, utc=True)


def _span(shown: Series) -> tuple[date, date]:
    """First and last day of the axis, with room at the right end for the last value's label."""
    days = max((shown.on - shown.begins).days, 14)
    return shown.on - timedelta(days=days + max(1, days // 60)), shown.on + timedelta(days=max(2, days // 18))


def _ceiling(shown: Series, points: Sequence[Point]) -> float:
    tops = [point.top for point in points] + [step.high for step in shown.statistic]
    tops += [line.value for line in shown.limits]
    highest = max(tops, default=None)
    return float(highest) * 1.12 if highest else 1.0


def _gap_layers(points: Sequence[Point], x_scale: alt.Scale) -> list[alt.Chart]:
    found = series.gaps([point.on for point in points])
    if not found:
        return []
    widest = max(found, key=lambda gap: gap[1] - gap[0])
    rows = [(before + (after - before) * 0.15, after - (after - before) * 0.15) for before, after in found]
    frame = pl.DataFrame(rows, schema={"from": pl.Date, "to": pl.Date}, orient="row")
    middle = pl.DataFrame(
        [(widest[0] + (widest[1] - widest[0]) / 2, "no samples")], schema=["on", "text"], orient="row"
    )
    band = (
        _tinted(frame, Role.FAINTER)
        .mark_rect(aria=False, opacity=0.5)
        .encode(x=alt.X("from:T", scale=x_scale), x2="to:T", color=_color("role"))
    )
    return [band, *_labels(middle, alt.YDatum(0), Role.MUTED, baseline="bottom", dy=-4)]


def _limit_layers(shown: Series, first: date, last: date) -> list[alt.Chart]:
    rows = []
    for line in shown.limits:
        begins, ends = max(first, line.applies_from or first), min(last, line.applies_to or last)
        if begins < ends:
            rows.append((begins, ends, float(line.value), line.words, line.proposed))
    if not rows:
        return []
    frame = pl.DataFrame(rows, schema=["on", "to", "value", "text", "proposed"], orient="row")
    layers = []
    for proposed in (False, True):
        part = frame.filter(pl.col("proposed") == proposed)
        if part.height:
            dash = {"strokeDash": [4, 4]} if proposed else {}
            rule = _tinted(part, Role.INK).mark_rule(strokeWidth=1.5, **dash)
            layers.append(rule.encode(x="on:T", x2="to:T", y="value:Q", color=_color("role"), description="text:N"))
    place = {"align": "left", "baseline": "bottom", "dx": 6, "dy": -3}
    return [*layers, *_labels(frame, alt.Y("value:Q"), Role.INK, **place)]


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
        area = _tinted(frame, Role.FAINTER).mark_area(interpolate="step-after", aria=False)
        layers.append(area.encode(x="on:T", y="low:Q", y2="high:Q", color=_color("role")))
    words = f"{shown.statistic_name}, last {shown.last_text} {figures.unit_text(shown.unit)}"
    for bound in ("low", "high") if two_bounds else ("high",):
        step = _tinted(frame, Role.INK).mark_line(interpolate="step-after", strokeWidth=2.2, description=words)
        layers.append(step.encode(x="on:T", y=f"{bound}:Q", color=_color("role")))
    name = frame.head(1).with_columns(text=pl.lit(shown.statistic_name))
    value = frame.tail(1).with_columns(text=pl.lit(shown.last_text))
    layers += _labels(name, alt.Y("high:Q"), Role.INK, align="left", baseline="top", dy=6)
    layers += _labels(value, alt.Y("high:Q"), Role.INK, align="left", dx=6, fontWeight=700)
    return layers


def _point_layers(points: Sequence[Point], highest: float) -> list[alt.Chart]:
    rows = [
        (
            point.on,
            float(point.low),
            float(point.top) if point.high is not None else highest,
            _kind(point),
            point.counts,
            (Role.OVER if point.beyond else Role.DATA).value,
            run,
            figures.day(point.on),
            point.text,
            point.place,
            _spoken(point),
        )
        for point, run in zip(points, series.runs(points), strict=True)
    ]
    if not rows:
        return []
    frame = pl.DataFrame(rows, schema=_POINT_COLUMNS, orient="row")
    measured = frame.filter(pl.col("kind") == "measured")
    layers = [_joining_lines(measured)] if measured.height else []
    for kind in ("not detected", "above"):
        part = frame.filter(pl.col("kind") == kind)
        if part.height:
            layers += _strokes(part, "high" if kind == "not detected" else "low")
    for counts in (True, False):
        part = measured.filter(pl.col("counts") == counts)
        if part.height:
            # What does not count is hollow: known to the laboratory, not proven for this purpose.
            dots = alt.Chart(part).mark_point(size=50, opacity=1, filled=counts, strokeWidth=1.5)
            layers.append(
                dots.encode(x="on:T", y="low:Q", color=_color("role"), tooltip=_tooltip(), description="spoken:N")
            )
    return layers


_POINT_COLUMNS: Final = {
    "on": pl.Date,
    "low": pl.Float64,
    "high": pl.Float64,
    "kind": pl.String,
    "counts": pl.Boolean,
    "role": pl.String,
    "run": pl.Int64,
    "day": pl.String,
    "text": pl.String,
    "place": pl.String,
    "spoken": pl.String,
}


def _spoken(point: Point) -> str:
    beyond = ", beyond the limit" if point.beyond else ""
    return f"{figures.day(point.on)}: {point.text}{beyond}{'' if point.counts else ', does not count'}"


def _kind(point: Point) -> str:
    if point.high is None:
        return "above"
    return "measured" if point.measured else "not detected"


def _joining_lines(measured: pl.DataFrame) -> alt.Chart:
    thin = _tinted(measured, Role.DATA).mark_line(strokeWidth=1, opacity=0.5, aria=False)
    return thin.encode(x="on:T", y="low:Q", detail="run:N", color=_color("role"))


def _strokes(part: pl.DataFrame, cap_at: str) -> list[alt.Chart]:
    """Strokes over all the values a censored result may have, with a cap at the number the laboratory gave."""
    shared = {"tooltip": _tooltip(), "color": _color("role")}
    stroke = alt.Chart(part).mark_rule(strokeWidth=1.3)
    cap = alt.Chart(part).mark_tick(orient="horizontal", width=9, thickness=2, aria=False)
    return [
        stroke.encode(x="on:T", y="low:Q", y2="high:Q", description="spoken:N", **shared),
        cap.encode(x="on:T", y=f"{cap_at}:Q", **shared),
    ]


def _labels(frame: pl.DataFrame, y: alt.Y | alt.YDatum, role: Role, **place: Any) -> list[alt.Chart]:
    """A direct label and, beneath it, its halo of paper."""
    text = {"fontSize": 12, "aria": False, **place}
    words = _tinted(frame, role)
    return [
        mark.encode(x="on:T", y=y, text="text:N", color=_color("role"))
        for mark in (words.mark_text(stroke=_PAPER, strokeWidth=4, strokeJoin="round", **text), words.mark_text(**text))
    ]


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("day:N", title="collected"),
        alt.Tooltip("text:N", title="as reported"),
        alt.Tooltip("place:N", title="from"),
    ]
