"""Layers that charts of results share: gaps, limits over their days, measured and censored values."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final

import altair as alt
import polars as pl

from app import figures
from app.dashboard import series
from app.dashboard.chart_parts import color_of, joining_lines, labels, strokes, tinted, tooltip
from app.dashboard.series import LimitLine, Point
from app.words import Role

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


def gap_layers(points: Sequence[Point], x_scale: alt.Scale) -> list[alt.Chart]:
    """A band over every stretch without samples; the longest says so."""
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
        tinted(frame, Role.FAINTER)
        .mark_rect(aria=False, opacity=0.5)
        .encode(x=alt.X("from:T", scale=x_scale), x2="to:T", color=color_of("role"))
    )
    return [band, *labels(middle, alt.YDatum(0), Role.MUTED, baseline="bottom", dy=-4)]


def limit_layers(lines: Iterable[LimitLine], first: date, last: date) -> list[alt.Chart]:
    """Every limit as a line over the days on which it is in force, each with its words; proposed ones dashed."""
    rows = []
    for line in lines:
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
            rule = tinted(part, Role.INK).mark_rule(strokeWidth=1.5, **dash)
            layers.append(rule.encode(x="on:T", x2="to:T", y="value:Q", color=color_of("role"), description="text:N"))
    place = {"align": "left", "baseline": "bottom", "dx": 6, "dy": -3}
    return [*layers, *labels(frame, alt.Y("value:Q"), Role.INK, **place)]


def point_layers(points: Sequence[Point], highest: float, floor: float = 0) -> list[alt.Chart]:
    """Measured values as dots joined where nothing lies between them, censored ones as strokes over all they allow.

    ``floor`` is the lower end of the axis: zero, or on a logarithmic axis a number above it where strokes have to end.
    """
    rows = [
        (
            point.on,
            max(float(point.low), floor),
            max(float(point.top), floor) if point.high is not None else highest,
            _kind(point),
            point.counts,
            (Role.OVER if point.beyond else Role.DATA).value,
            run,
            figures.day(point.collected_on or point.on),
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
    layers = [joining_lines(measured)] if measured.height else []
    for kind in ("not detected", "above"):
        part = frame.filter(pl.col("kind") == kind)
        if part.height:
            layers += strokes(part, "high" if kind == "not detected" else "low")
    for counts in (True, False):
        part = measured.filter(pl.col("counts") == counts)
        if part.height:
            # What does not count is hollow: known to the laboratory, not proven for this purpose.
            dots = alt.Chart(part).mark_point(size=50, opacity=1, filled=counts, strokeWidth=1.5)
            layers.append(
                dots.encode(x="on:T", y="low:Q", color=color_of("role"), tooltip=tooltip(), description="spoken:N")
            )
    return layers


def _spoken(point: Point) -> str:
    beyond = ", beyond the limit" if point.beyond else ""
    not_counted = "" if point.counts else ", does not count"
    return f"{figures.day(point.collected_on or point.on)}: {point.text}{beyond}{not_counted}"


def _kind(point: Point) -> str:
    if point.high is None:
        return "above"
    return "measured" if point.measured else "not detected"
