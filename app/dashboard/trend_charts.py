"""The charts of trends: a sample point over the days, and its years laid over one another.

No line is fitted and no direction is shown: dots are joined where nothing lies between them, and that is all.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, Final

import altair as alt
import polars as pl

from app.dashboard.chart_layers import gap_layers, limit_layers, point_layers
from app.dashboard.chart_parts import HEIGHT, MUTED, labels, time_axis, utc, value_axis
from app.dashboard.series import LimitLine, Point
from app.dashboard.trend_series import LEAP_YEAR, Panel, Scale, on_one_year
from app.words import Role

SMALL_HEIGHT: Final = 150
MOST_LIMIT_LABELS: Final = 3
# The newest year in the color of data, the one before in ink, older ones quieter.
YEAR_ROLES: Final = (Role.DATA, Role.INK, Role.QUIET, Role.FAINT)


def over_time(panel: Panel, scale: Scale, first: date, last: date, *, small: bool) -> alt.LayerChart:
    """One sample point over the days, on axes that it may share with others."""
    points = sorted(panel.points, key=lambda point: point.on)
    begin, end = _roomy(first, last)
    x_scale = alt.Scale(type="utc", domain=[utc(begin), utc(end)], nice=False)
    layers = [
        *gap_layers(points, x_scale),
        *limit_layers(_labelled(panel.limits, begin, end), begin, end),
        *point_layers(points, scale.top, scale.floor),
    ]
    return _finished(layers, alt.X(scale=x_scale, title=None, axis=time_axis(begin, end)), scale, small=small)


def years_together(panel: Panel, scale: Scale, last: date, *, small: bool) -> alt.LayerChart:
    """One sample point month by month, one line a year, each year named at its end."""
    begin, end = date(LEAP_YEAR, 1, 1), date(LEAP_YEAR, 12, 31)
    x_scale = alt.Scale(type="utc", domain=[utc(begin), utc(end + timedelta(days=24))], nice=False)
    by_year = on_one_year(panel.points)
    layers: list[alt.Chart] = [*limit_layers(_in_force(panel.limits, last), begin, end)]
    newest_first = sorted(by_year, reverse=True)
    for place, year in reversed(list(enumerate(newest_first))):
        points = sorted(by_year[year], key=lambda point: point.on)
        role = YEAR_ROLES[min(place, len(YEAR_ROLES) - 1)]
        layers += _year_layers(points, str(year), role, scale)
    axis = alt.Axis(
        format="%b", grid=False, tickCount={"interval": "month", "step": 1}, labelColor=MUTED, labelFontSize=12,
        labelFlush=False, labelOverlap=True,
    )  # fmt: skip
    return _finished(layers, alt.X(scale=x_scale, title=None, axis=axis), scale, small=small)


def _year_layers(points: Sequence[Point], year: str, role: Role, scale: Scale) -> list[alt.Chart]:
    """A year's dots, strokes and line in its color, and its name at the last of them."""
    colored: list[alt.Chart] = []
    for layer in point_layers(points, scale.top, scale.floor):
        frame = layer.data
        kept = pl.when(pl.col("role") == Role.OVER.value).then(pl.col("role")).otherwise(pl.lit(role.value))
        layer.data = frame.with_columns(role=kept)
        colored.append(layer)
    last = points[-1]
    at = max(float(last.top), scale.floor)
    name = pl.DataFrame(
        [(last.on, at, year)], schema={"on": pl.Date, "value": pl.Float64, "text": pl.String}, orient="row"
    )
    text_role = Role.INK if role in (Role.DATA, Role.INK) else Role.MUTED
    return [*colored, *labels(name, alt.Y("value:Q"), text_role, align="left", dx=7)]


def _finished(layers: Sequence[alt.Chart], x: alt.X, scale: Scale, *, small: bool) -> alt.LayerChart:
    kind: dict[str, Any] = {"type": "log"} if scale.logarithmic else {"zero": True}
    y_scale = alt.Scale(domain=[scale.floor, scale.top], nice=False, clamp=True, **kind)
    return (
        alt.layer(*layers)
        .encode(x=x, y=alt.Y(scale=y_scale, axis=value_axis()))
        .properties(height=SMALL_HEIGHT if small else HEIGHT, width="container")
        .configure_view(stroke=None)
        .configure_axis(domain=False, ticks=False)
    )


def _roomy(first: date, last: date) -> tuple[date, date]:
    days = max((last - first).days, 14)
    return first - timedelta(days=max(1, days // 60)), last + timedelta(days=max(2, days // 60))


def _labelled(lines: Sequence[LimitLine], first: date, last: date) -> list[LimitLine]:
    """Limits with their words; where many would lie over one another, the words of the first few in force."""
    seen = [line for line in lines if (line.applies_from or first) <= last and (line.applies_to or last) >= first]
    values: list[LimitLine] = []
    for line in seen:
        again = any(line.value == other.value and other.words for other in values)
        named = sum(bool(other.words) for other in values) < MOST_LIMIT_LABELS and not again
        values.append(line if named else replace(line, words=""))
    return values


def _in_force(lines: Sequence[LimitLine], on: date) -> list[LimitLine]:
    """The limits of a day, over a whole year."""
    there = [
        line
        for line in lines
        if not line.proposed and (line.applies_from or on) <= on and (line.applies_to or on) >= on
    ]
    return _labelled([replace(line, applies_from=None, applies_to=None) for line in there], on, on)
