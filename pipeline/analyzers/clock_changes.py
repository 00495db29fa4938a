"""The plant's wall clock: by how much it is ahead of UTC, which times it skips and which it shows twice.

Everything is worked out with :mod:`zoneinfo` for the years in question and handed on as a few spans, so that millions
of times are placed by comparing numbers.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import IntEnum
from zoneinfo import ZoneInfo

_MICROSECOND = timedelta(microseconds=1)
_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 - a wall clock's, or of UTC: the caller knows which
_SEARCH_STEP = timedelta(days=1)


class WallTime(IntEnum):
    """What a span of the wall clock is."""

    ONCE = 0
    SKIPPED = 1
    TWICE = 2


@dataclass(frozen=True, slots=True)
class WallSpan:
    """Wall-clock times from ``start`` up to but without ``end``, and how far they are ahead of UTC [microseconds].

    Of a span that comes twice, ``ahead`` is the first pass and ``ahead_again`` the second; of others they are equal.
    """

    start: datetime
    end: datetime
    kind: WallTime
    ahead: int
    ahead_again: int


@dataclass(frozen=True, slots=True)
class ClockChange:
    """At ``at`` [UTC] the wall clock goes from ``before`` to ``after`` ahead of UTC."""

    at: datetime
    before: timedelta
    after: timedelta


def clock_changes(zone: ZoneInfo, first: datetime, last: datetime) -> list[ClockChange]:
    """Every change of the clock between two instants [UTC, without zone], in order."""
    found = []
    moment = first
    while moment < last:
        following = min(moment + _SEARCH_STEP, last)
        if _ahead(zone, moment) != _ahead(zone, following):
            at = _change_between(zone, moment, following)
            found.append(ClockChange(at, _ahead(zone, at - _MICROSECOND), _ahead(zone, at)))
            following = max(at + _MICROSECOND, moment + _MICROSECOND)
        moment = following
    return found


def wall_spans(zone: ZoneInfo, first: datetime, last: datetime) -> list[WallSpan]:
    """Spans that cover the wall-clock times from ``first`` to ``last``, in order.

    Examples
    --------
    The clock of Los Angeles skipped the hour from two on 8 March 2026 (15 U.S.C. 260a).

    >>> spans = wall_spans(ZoneInfo("America/Los_Angeles"), datetime(2026, 3, 8), datetime(2026, 3, 9))
    >>> [(span.kind.name, span.start.hour, span.end.hour) for span in spans][1]
    ('SKIPPED', 2, 3)
    """
    margin = timedelta(days=2)
    changes = clock_changes(zone, first - margin, last + margin)
    spans = []
    start, ahead = first - margin, _ahead(zone, first - margin)
    for change in changes:
        low, high = sorted((change.at + change.before, change.at + change.after))
        kind = WallTime.SKIPPED if change.after > change.before else WallTime.TWICE
        spans.append(WallSpan(start, low, WallTime.ONCE, _us(ahead), _us(ahead)))
        spans.append(WallSpan(low, high, kind, _us(change.before), _us(change.after)))
        start, ahead = high, change.after
    spans.append(WallSpan(start, last + margin, WallTime.ONCE, _us(ahead), _us(ahead)))
    return [span for span in spans if span.start < span.end]


def day_start(zone: ZoneInfo, day: date) -> datetime:
    """The instant [UTC, without zone] at which a day begins on the wall clock; a skipped midnight begins after it."""
    return datetime.combine(day, time(), zone).astimezone(UTC).replace(tzinfo=None)


def microseconds(moment: datetime) -> int:
    """Microseconds from 1970 to a time without zone."""
    return (moment - _EPOCH) // _MICROSECOND


def moment_at(microseconds_since_1970: int) -> datetime:
    """The time without zone that lies so many microseconds after 1970."""
    return _EPOCH + microseconds_since_1970 * _MICROSECOND


def _ahead(zone: ZoneInfo, instant: datetime) -> timedelta:
    return instant.replace(tzinfo=UTC).astimezone(zone).utcoffset() or timedelta(0)


def _us(ahead: timedelta) -> int:
    return ahead // _MICROSECOND


def _change_between(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    """The first instant, to the second, at which the clock is ahead as it is at ``high``."""
    before = _ahead(zone, low)
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) // 2
        middle = middle.replace(microsecond=0) if middle.replace(microsecond=0) > low else middle
        low, high = (middle, high) if _ahead(zone, middle) == before else (low, middle)
    return high.replace(microsecond=0)
