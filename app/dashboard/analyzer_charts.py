"""The chart of one analyzer: the band between lowest and highest readings, gaps, the range, and a limit as a line."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any, Final

import altair as alt
import polars as pl

from app.dashboard.chart_parts import HEIGHT, color_of, labels, time_axis, tinted, value_axis
from app.dashboard.series import LimitLine
from app.words import Role
from pipeline.analyzers.flags import GAP_INTERVALS
from pipeline.analyzers.watch import Gap, Watched

SMALL_HEIGHT: Final = 110
NARROWEST_NAMED_GAP: Final = 0.06
"""Share of the span from which on a gap has room for its words."""


def analyzer_chart(watched: Watched, lines: Sequence[LimitLine], *, small: bool) -> alt.LayerChart:
    """Readings of a tag over its span, on an axis from zero.

    Each bucket is drawn from its lowest to its highest reading, so that no extreme is lost; where nothing was read for
    more than three intervals the line breaks.
    """
    span = watched.span
    x_scale = alt.Scale(type="utc", domain=[_wall(span.start, watched), _wall(span.end, watched)], nice=False)
    frame = _frame(watched)
    low, high = _ends(frame, lines)
    layers = [
        *_gap_layers(watched, x_scale),
        *_range_layers(watched, low, high),
        *_limit_layers(watched, lines),
        *_reading_layers(frame),
    ]
    y_scale = alt.Scale(domain=[low, high], nice=False, clamp=True)
    return (
        alt.layer(*layers)
        .encode(x=alt.X(scale=x_scale, title=None, axis=_time_axis(watched)), y=alt.Y(scale=y_scale, axis=value_axis()))
        .properties(height=SMALL_HEIGHT if small else HEIGHT, width="container")
        .configure_view(stroke=None)
        .configure_axis(domain=False, ticks=False)
    )


def _wall(moment: datetime, watched: Watched) -> Any:
    """A moment as the plant's clock shows it, placed as if it were UTC, whatever the zone of the browser."""
    local = moment.astimezone(watched.span.zone)
    return alt.DateTime(
        year=local.year, month=local.month, date=local.day, hours=local.hour, minutes=local.minute, utc=True
    )


def _time_axis(watched: Watched) -> alt.Axis:
    axis = time_axis(watched.span.first, watched.span.last)
    if (watched.span.last - watched.span.first).days < 3:
        axis.format = "%-d %b %H:%M"
    return axis


def _frame(watched: Watched) -> pl.DataFrame:
    """One row a bucket that has a usable reading, with the run between gaps that it belongs to."""
    zone = watched.span.zone
    longest = timedelta(seconds=GAP_INTERVALS * watched.analyzer.interval_s)
    moments = watched.buckets.select("first_at", "last_at").rows()
    breaks = [False, *(after[0] - before[1] > longest for before, after in pairwise(moments))] if moments else []
    frame = watched.buckets.with_columns(run=pl.Series(breaks, dtype=pl.Boolean).cum_sum().cast(pl.Int64))
    middle = pl.col("first_at") + (pl.col("last_at") - pl.col("first_at")) / 2
    return (
        frame.filter(pl.col("lowest").is_not_null())
        .with_columns(at=middle.dt.convert_time_zone(zone.key).dt.replace_time_zone(None).dt.replace_time_zone("UTC"))
        .select(
            "at", "run", "readings", pl.col("lowest").cast(pl.Float64).alias("low"),
            pl.col("highest").cast(pl.Float64).alias("high"),
        )
        .with_columns(shown=pl.col("at").dt.strftime("%-d %b %Y %H:%M"))
    )  # fmt: skip


def _ends(frame: pl.DataFrame, lines: Sequence[LimitLine]) -> tuple[float, float]:
    lowest = min(frame["low"].to_list(), default=0.0)
    highest = max([*frame["high"].to_list(), *(float(line.value) for line in lines)], default=0.0)
    room = (highest - min(lowest, 0.0)) * 0.08 or 1.0
    return min(lowest - room if lowest < 0 else 0.0, 0.0), highest + room


def _reading_layers(frame: pl.DataFrame) -> list[alt.Chart]:
    tooltip = [
        alt.Tooltip("shown:N", title="at"), alt.Tooltip("low:Q", title="lowest"),
        alt.Tooltip("high:Q", title="highest"), alt.Tooltip("readings:Q", title="readings"),
    ]  # fmt: skip
    data = tinted(frame, Role.DATA)
    band = data.mark_area(opacity=0.35, aria=False).encode(
        x="at:T", y="low:Q", y2="high:Q", detail="run:N", color=color_of("role")
    )
    edges = [
        data.mark_line(strokeWidth=1.2, aria=False).encode(
            x="at:T", y=f"{end}:Q", detail="run:N", color=color_of("role"), tooltip=tooltip
        )
        for end in ("low", "high")
    ]
    alone = frame.filter(pl.len().over("run") == 1)
    dots = tinted(alone, Role.DATA).mark_circle(size=16, aria=False)
    return [band, *edges, dots.encode(x="at:T", y="high:Q", color=color_of("role"), tooltip=tooltip)]


def _gap_layers(watched: Watched, x_scale: alt.Scale) -> list[alt.Chart]:
    """A band over every gap; the widest says what it is, where it has room."""
    if not watched.gaps:
        return []
    rows = [(_as_shown(gap.last_before, watched), _as_shown(gap.first_after, watched)) for gap in watched.gaps]
    frame = pl.DataFrame(rows, schema=["from", "to"], orient="row")
    band = (
        tinted(frame, Role.FAINTER)
        .mark_rect(aria=False, opacity=0.6)
        .encode(x=alt.X("from:T", scale=x_scale), x2="to:T", color=color_of("role"))
    )
    widest = max(watched.gaps, key=lambda gap: gap.first_after - gap.last_before)
    if _length(widest) < NARROWEST_NAMED_GAP * (watched.span.end - watched.span.start):
        return [band]
    middle = widest.last_before + _length(widest) / 2
    name = pl.DataFrame([(_as_shown(middle, watched), "no readings")], schema=["on", "text"], orient="row")
    return [band, *labels(name, alt.YDatum(0), Role.MUTED, baseline="bottom", dy=-4)]


def _length(gap: Gap) -> timedelta:
    return gap.first_after - gap.last_before


def _range_layers(watched: Watched, low: float, high: float) -> list[alt.Chart]:
    """The ends of the instrument's range, dashed, where the axis reaches them."""
    analyzer = watched.analyzer
    ends = [float(end) for end in (analyzer.range_low, analyzer.range_high) if end is not None]
    frame = pl.DataFrame({"value": [end for end in ends if low < end <= high]}, schema={"value": pl.Float64})
    if not frame.height:
        return []
    rule = tinted(frame, Role.MUTED).mark_rule(strokeDash=[2, 3], strokeWidth=1, aria=False)
    return [rule.encode(y="value:Q", color=color_of("role"))]


def _limit_layers(watched: Watched, lines: Sequence[LimitLine]) -> list[alt.Chart]:
    if not lines:
        return []
    start = _as_shown(watched.span.start, watched)
    frame = pl.DataFrame(
        [(start, float(line.value), line.words) for line in lines], schema=["on", "value", "text"], orient="row"
    )
    rule = tinted(frame, Role.INK).mark_rule(strokeWidth=1.5).encode(
        y="value:Q", color=color_of("role"), description="text:N"
    )  # fmt: skip
    place = {"align": "left", "baseline": "bottom", "dx": 6, "dy": -3}
    return [rule, *labels(frame, alt.Y("value:Q"), Role.INK, **place)]


def _as_shown(moment: datetime, watched: Watched) -> datetime:
    return moment.astimezone(watched.span.zone).replace(tzinfo=UTC)
