"""Small pictures inside tables: margin bar, sparkline and dot strip, as SVG data addresses.

A table of Markdown cells can hold a picture only as an image, and an image does not see the theme. So these use one set
of middle tones that is legible on both papers, and every picture carries its numbers as alternative text.
"""

import base64
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from app.words import Role, plain

# Legible on light and dark paper alike: at least 3 to 1 against both.
MID_TONES: Final = {
    Role.OVER: "#C8324F",
    Role.WATCH: "#B8860B",
    Role.OPEN: "#8C6BB1",
    Role.DATA: "#2F7FA8",
    Role.QUIET: "#7C848A",
}
FULL_SCALE: Final = Fraction(3, 2)
LAST_RESULTS: Final = 8

_LINE = MID_TONES[Role.QUIET]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing and the words that carry the same numbers."""

    svg: str
    words: str

    def address(self) -> str:
        """The drawing as a data address: no request leaves the page for it."""
        return "data:image/svg+xml;base64," + base64.b64encode(self.svg.encode()).decode("ascii")

    def markdown(self) -> str:
        """The picture for a Markdown cell, with its words as alternative text."""
        return f"![{plain(self.words)}]({self.address()})"


@dataclass(frozen=True, slots=True)
class Spark:
    """One of the last results: what was known of it [limit's unit].

    ``low`` and ``high`` are equal for a measured value; a non-detect lies between 0 and its reporting limit; ``high``
    is ``None`` where only a lower bound is known (``> 200``).
    """

    low: Fraction
    high: Fraction | None
    beyond: bool
    words: str


@dataclass(frozen=True, slots=True)
class Dot:
    """One limit on a dot strip: the share of it that is used, hollow when nothing was measured above detection."""

    share: Fraction
    role: Role
    hollow: bool = False


def margin_bar(low: Fraction | None, high: Fraction | None, role: Role, words: str) -> Picture:
    """The share of a limit that is used: linear from 0 to 150 %, left to right, the limit a stroke at 100 %.

    Solid to the lower bound, hollow on to the upper; chevrons where the bar runs beyond the scale.
    """
    width, height, top, thick = 120, 14, 4, 6
    limit_x = _x(Fraction(1), width)
    parts = [f'<path d="M0 {top + thick + 0.5}H{width}" stroke="{_LINE}" stroke-opacity=".45"/>']
    if low is not None and high is not None:
        tone = MID_TONES[role]
        solid, end = _x(low, width), _x(high, width)
        # A bar that is open altogether stays hollow: what is not proven is never drawn solid.
        if role is Role.OPEN:
            solid = 0.0
        if end - solid > 0.5:
            parts.append(
                f'<rect x="{solid + 0.5:.1f}" y="{top + 0.5}" width="{max(end - solid - 1, 1):.1f}"'
                f' height="{thick - 1}" fill="none" stroke="{tone}"/>'
            )
        if solid > 0:
            parts.append(f'<rect x="0" y="{top}" width="{max(solid, 1.5):.1f}" height="{thick}" fill="{tone}"/>')
        if high > FULL_SCALE:
            ink = tone if role is Role.OPEN else "#FFFFFF"
            chevrons = f"M{width - 9} {top + 1}l2.5 2 -2.5 2M{width - 5} {top + 1}l2.5 2 -2.5 2"
            parts.append(f'<path d="{chevrons}" fill="none" stroke="{ink}" stroke-width="1.2"/>')
    parts.append(f'<path d="M{limit_x:.1f} 0V{height}" stroke="{_LINE}" stroke-width="1.5"/>')
    return Picture(_svg(width, height, parts), words)


def sparkline(results: Sequence[Spark], limit: Fraction | None, unit: str) -> Picture:
    """The last eight results, oldest left, zero at the bottom; the limit as a line when it lies in range.

    Non-detects are strokes from their reporting limit to zero; the last value is drawn larger.
    """
    width, height, bottom = 72, 18, 16
    shown = list(results)[-LAST_RESULTS:]
    tops = [spark.high if spark.high is not None else spark.low for spark in shown]
    highest = max([*tops, Fraction(0)])
    in_range = limit is not None and 0 < limit <= 4 * highest
    scale = max(highest, limit) if in_range and limit is not None else highest
    parts: list[str] = []
    if in_range and limit is not None:
        y = _y(limit, scale, bottom)
        parts.append(f'<path d="M0 {y:.1f}H{width}" stroke="{_LINE}" stroke-opacity=".8"/>')
    places = [4 + (LAST_RESULTS - len(shown) + index) * (width - 8) / (LAST_RESULTS - 1) for index in range(len(shown))]
    parts += _spark_runs(shown, places, scale, bottom)
    for index, (spark, x) in enumerate(zip(shown, places, strict=True)):
        parts.append(_spark_mark(spark, x, scale, bottom, last=index == len(shown) - 1))
    words = f"last {len(shown)}: {'; '.join(spark.words for spark in shown)} {unit}".strip() if shown else "no results"
    return Picture(_svg(width, height, parts), words)


def dot_strip(dots: Iterable[Dot], words: str, *, width: int = 320) -> Picture:
    """One dot a limit at the share that is used, 0 to 150 %, stacked where they meet; the limit a stroke at 100 %.

    Dots beyond 150 % stand at the right end. Hollow dots have nothing measured above detection behind them.
    """
    radius, step = 3.0, 7.5
    limit_x = 6 + _x(Fraction(1), width - 12)
    columns: defaultdict[float, list[Dot]] = defaultdict(list)
    for dot in sorted(dots, key=lambda dot: (dot.role is not Role.OVER, dot.hollow)):
        columns[_column(dot.share, limit_x, width, step)].append(dot)
    tallest = max((len(stacked) for stacked in columns.values()), default=1)
    height = max(20, int(tallest * step + 8))
    parts = [
        f'<path d="M0 {height - 1}H{width}" stroke="{_LINE}" stroke-opacity=".7"/>',
        f'<path d="M{limit_x:.1f} 0V{height}" stroke="{_LINE}" stroke-width="1.6"/>',
    ]
    for x, stacked in sorted(columns.items()):
        for level, dot in enumerate(stacked):
            y = height - 2.5 - radius - level * step
            tone = MID_TONES[dot.role]
            paint = f'fill="none" stroke="{tone}" stroke-width="1.2"' if dot.hollow else f'fill="{tone}"'
            parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius - 0.5 * dot.hollow:.1f}" {paint}/>')
    return Picture(_svg(width, height, parts), words)


def _column(share: Fraction, limit_x: float, width: int, step: float) -> float:
    """Middle of the column a dot stacks in; columns are counted from the limit, so that none straddles it."""
    if share == 1:
        return limit_x
    x = 6 + _x(share, width - 12)
    whole_steps = (x - limit_x) // step if share > 1 else -((limit_x - x) // step) - 1
    return min(max(limit_x + (whole_steps + 0.5) * step, 4.0), width - 4.0)


def _spark_runs(shown: Sequence[Spark], places: Sequence[float], scale: Fraction, bottom: int) -> list[str]:
    """Thin lines between neighbors that were both measured; a non-detect breaks the line."""
    lines = []
    for (before, after), (x0, x1) in zip(pairwise(shown), pairwise(places), strict=True):
        if before.low == before.high and after.low == after.high:
            y0, y1 = _y(before.low, scale, bottom), _y(after.low, scale, bottom)
            lines.append(
                f'<path d="M{x0:.1f} {y0:.1f}L{x1:.1f} {y1:.1f}" stroke="{MID_TONES[Role.DATA]}" stroke-opacity=".5"/>'
            )
    return lines


def _spark_mark(spark: Spark, x: float, scale: Fraction, bottom: int, *, last: bool) -> str:
    tone = MID_TONES[Role.OVER if spark.beyond else Role.DATA]
    if spark.high is None:
        y = _y(spark.low, scale, bottom)
        return f'<path d="M{x:.1f} {y:.1f}V0M{x - 2:.1f} {y:.1f}h4" stroke="{tone}" stroke-width="1.2" fill="none"/>'
    if spark.low != spark.high:
        y = _y(spark.high, scale, bottom)
        stroke = f'stroke="{tone}" stroke-width="{1.8 if last else 1.2}"'
        return f'<path d="M{x:.1f} {bottom}V{y:.1f}M{x - 2:.1f} {y:.1f}h4" {stroke} fill="none"/>'
    return f'<circle cx="{x:.1f}" cy="{_y(spark.low, scale, bottom):.1f}" r="{2.4 if last else 1.5}" fill="{tone}"/>'


def _x(share: Fraction, width: int) -> float:
    return float(max(Fraction(0), min(share, FULL_SCALE)) / FULL_SCALE * width)


def _y(value: Fraction, scale: Fraction, bottom: int) -> float:
    return bottom - float(max(value, Fraction(0)) / scale) * (bottom - 3) if scale else float(bottom)


def _svg(width: int, height: int, parts: Iterable[str]) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}"'
        f' viewBox="0 0 {width} {height}">{"".join(parts)}</svg>'
    )
