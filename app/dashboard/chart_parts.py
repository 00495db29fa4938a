"""Parts that the charts share: color roles, axes, marks of measured and censored values, direct labels.

Charts name color roles and nothing else: the ten roles are the domain of every color scale, and the theme in
``.streamlit/config.toml`` supplies the ten colors, so a switch to dark needs no rerun.
"""

from datetime import date
from typing import Any, Final

import altair as alt
import polars as pl

from app.words import Role

ROLES: Final = [role.value for role in Role]
HEIGHT: Final = 300

ROLE_SCALE: Final = alt.Scale(domain=ROLES)
MUTED: Final = alt.ExprRef("scale('color','muted')")
PAPER: Final = alt.ExprRef("scale('color','paper')")


def color_of(field: str) -> alt.Color:
    """Color by the role that a field names; roles carry their meaning, so there is no legend."""
    return alt.Color(f"{field}:N", scale=ROLE_SCALE, legend=None)


def tinted(frame: pl.DataFrame, role: Role) -> alt.Chart:
    """A chart of ``frame`` whose marks all have one role."""
    return alt.Chart(frame.with_columns(role=pl.lit(role.value)))


def value_axis() -> alt.Axis:
    """The axis of values: from below, few lines, no frame; its unit stands above the chart."""
    return alt.Axis(title=None, grid=True, tickCount=3, labelColor=MUTED, labelFontSize=12, labelFlush=False)


def time_axis(first: date, last: date) -> alt.Axis:
    """The axis of days, by month where the span is long."""
    days = (last - first).days
    text = "%b %Y" if days > 120 else "%-d %b"
    return alt.Axis(
        format=text, grid=False, tickCount=8, labelColor=MUTED, labelFontSize=12, labelFlush=False, labelOverlap=True
    )


def utc(on: date) -> alt.DateTime:
    """A day as a place on an axis, whatever the time zone of the browser."""
    return alt.DateTime(year=on.year, month=on.month, date=on.day, utc=True)


def joining_lines(measured: pl.DataFrame) -> alt.Chart:
    """A thin line through the measured values of each run."""
    thin = tinted(measured, Role.DATA).mark_line(strokeWidth=1, opacity=0.5, aria=False)
    return thin.encode(x="on:T", y="low:Q", detail="run:N", color=color_of("role"))


def strokes(part: pl.DataFrame, cap_at: str) -> list[alt.Chart]:
    """Strokes over all the values a censored result may have, with a cap at the number the laboratory gave."""
    shared = {"tooltip": tooltip(), "color": color_of("role")}
    stroke = alt.Chart(part).mark_rule(strokeWidth=1.3)
    cap = alt.Chart(part).mark_tick(orient="horizontal", width=9, thickness=2, aria=False)
    return [
        stroke.encode(x="on:T", y="low:Q", y2="high:Q", description="spoken:N", **shared),
        cap.encode(x="on:T", y=f"{cap_at}:Q", **shared),
    ]


def labels(frame: pl.DataFrame, y: alt.Y | alt.YDatum, role: Role, **place: Any) -> list[alt.Chart]:
    """A direct label and, beneath it, its halo of paper."""
    text = {"fontSize": 12, "aria": False, **place}
    words = tinted(frame, role)
    return [
        mark.encode(x="on:T", y=y, text="text:N", color=color_of("role"))
        for mark in (words.mark_text(stroke=PAPER, strokeWidth=4, strokeJoin="round", **text), words.mark_text(**text))
    ]


def tooltip() -> list[alt.Tooltip]:
    """What a mark says when it is pointed at: day, value as reported, place in its file."""
    return [
        alt.Tooltip("day:N", title="collected"),
        alt.Tooltip("text:N", title="as reported"),
        alt.Tooltip("place:N", title="from"),
    ]
