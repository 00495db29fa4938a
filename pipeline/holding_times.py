"""How long a sample may wait: which holding times apply to a result, and whether it kept them.

The clock of a holding time starts at collection (of a composite: of its last aliquot) or at extraction, and stops at
the start of the step that the rule names, never at the laboratory's receipt. Two-stage organics have two clocks, each
judged by itself. Everything here is a value; the computer's clock is never asked.
"""

import calendar
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

from pipeline.method_names import method_fits
from pipeline.plant.plant import HoldingTimePolicy
from pipeline.plant.tables import HoldingTime

DRINKING_WATER: Final = "SDWA"
EXTRACT: Final = "extraction->analysis"
FROM_COLLECTION: Final = ("collection->analysis", "collection->extraction", "collection->elution")
FILTRATION: Final = ("collection->filtration",)

_HOURS_OF: Final = {"min": Fraction(1, 60), "h": Fraction(1), "d": Fraction(24)}
_MONTHS_OF: Final = {"months": 1, "year": 12}
_DAYS_OF_A_MONTH: Final = 30


class Kept(StrEnum):
    """Whether a holding time was kept."""

    IN_TIME = "in time"
    LATE = "late"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class Moment:
    """When a step was taken, as far as it is known: between two instants (UTC), which lie on two days of the plant.

    ``exact`` says that the instants rest on written times and not on dates alone.
    """

    earliest: datetime
    latest: datetime
    first_day: date
    last_day: date
    exact: bool

    @classmethod
    def at(cls, instant: datetime, zone: ZoneInfo) -> "Moment":
        """A known instant."""
        day = instant.astimezone(zone).date()
        return cls(instant.astimezone(UTC), instant.astimezone(UTC), day, day, exact=True)

    @classmethod
    def on(cls, day: date, zone: ZoneInfo) -> "Moment":
        """Some time on a day of the plant, from its first to its last minute; it may have 23 or 25 hours."""
        first = datetime.combine(day, time.min, zone).astimezone(UTC)
        next_day = datetime.combine(day + timedelta(days=1), time.min, zone).astimezone(UTC)
        return cls(first, next_day - timedelta(minutes=1), day, day, exact=False)

    @classmethod
    def between(cls, first: "Moment", last: "Moment") -> "Moment":
        """Some time between two steps: all that is known of one that the laboratory does not report."""
        return cls(first.earliest, last.latest, first.first_day, last.last_day, exact=first.exact and last.exact)


@dataclass(frozen=True, slots=True)
class SampleTimes:
    """When a sample was taken and worked on; ``None`` where the file does not say. An elution is kept as extraction."""

    collected: Moment | None
    filtered: Moment | None = None
    extracted: Moment | None = None
    analyzed: Moment | None = None

    def of(self, step: str) -> Moment | None:
        """When a step was taken; a filtration or extraction not reported lies between collection and analysis."""
        reported = {
            "collection": self.collected,
            "filtration": self.filtered,
            "extraction": self.extracted,
            "elution": self.extracted,
            "analysis": self.analyzed,
        }[step]
        if reported or step == "collection" or not (self.collected and self.analyzed):
            return reported
        return Moment.between(self.collected, self.analyzed)


@dataclass(frozen=True, slots=True)
class HoldingResult:
    """Whether one holding time was kept, and the least and most time that can have passed [h].

    Hours are ``None`` where the start or the end of the clock is not known at all.
    """

    rule: HoldingTime
    kept: Kept
    low_hours: Fraction | None = None
    high_hours: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Allowance:
    """A holding time, ready to be counted: at most ``hours``, or to the end of a day so many days or months later.

    With ``hours`` and ``days`` both given, hours count where both ends of the clock are known to the minute, days
    otherwise: EPA does not mean a limit in days to the minute.
    """

    hours: Fraction | None = None
    days: int | None = None
    months: int | None = None

    def last_day(self, start: date) -> date:
        """The last day in time of a calendar allowance; months end on a day of the same number or the month's last."""
        if self.months is not None:
            return months_later(start, self.months)
        return start + timedelta(days=self.days or 0)


def allowance(rule: HoldingTime, policy: HoldingTimePolicy) -> Allowance:
    """How a holding time is counted under a plant's policy.

    Minutes and hours are elapsed time. Days are 24 hours each, or days of the calendar; months are months of the
    calendar, or 30 days each (so that 6 months are 180 days); a year is always one of the calendar.
    """
    if rule.max_unit in _MONTHS_OF:
        if rule.max_unit == "months" and policy.months == "180 days":
            return Allowance(days=int(rule.max_value * _DAYS_OF_A_MONTH))
        return Allowance(months=int(rule.max_value) * _MONTHS_OF[rule.max_unit])
    hours = Fraction(rule.max_value) * _HOURS_OF[rule.max_unit]
    if rule.max_unit != "d":
        return Allowance(hours=hours)
    days = int(rule.max_value)
    return Allowance(days=days) if policy.days == "calendar" else Allowance(hours=hours, days=days)


def months_later(start: date, months: int) -> date:
    """The same day some months later, or that month's last day where it is shorter.

    Examples
    --------
    >>> months_later(date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, calendar.monthrange(year, month + 1)[1]))


def judge(rule: HoldingTime, times: SampleTimes, policy: HoldingTimePolicy) -> HoldingResult:
    """Whether a sample kept one holding time; exactly at the limit is in time.

    Parameters
    ----------
    times
        Its steps. Where only dates are known an elapsed time has an earliest and a latest value.
    policy
        How the plant counts days and months.

    Returns
    -------
    HoldingResult
        ``cannot tell`` where the limit lies between the least and the most time that can have passed, or where the
        start or end of the clock is not known.
    """
    start_step, stop_step = rule.stage.split("->")
    start, stop = times.of(start_step), times.of(stop_step)
    if start is None or stop is None:
        return HoldingResult(rule, Kept.CANNOT_TELL)
    low = max(_hours(stop.earliest - start.latest), Fraction(0))
    high = max(_hours(stop.latest - start.earliest), Fraction(0))
    allowed = allowance(rule, policy)
    if allowed.hours is not None and (allowed.days is None or (start.exact and stop.exact)):
        late, in_time = low > allowed.hours, high <= allowed.hours
    else:
        late = stop.first_day > allowed.last_day(start.last_day)
        in_time = stop.last_day <= allowed.last_day(start.first_day)
    kept = Kept.LATE if late else Kept.IN_TIME if in_time else Kept.CANNOT_TELL
    return HoldingResult(rule, kept, low, high)


def _hours(elapsed: timedelta) -> Fraction:
    return Fraction(elapsed // timedelta(microseconds=1), 3_600_000_000)


@dataclass(frozen=True, slots=True)
class Choice:
    """The holding times that apply to a result, and why there is none where there could be one."""

    rules: tuple[HoldingTime, ...] = ()
    notes: tuple[str, ...] = ()


def choose_rules(
    table: Iterable[HoldingTime],
    analyte: str,
    method: str,
    *,
    preservation: str = "",
    disinfected: bool | None = None,
    programme: str = DRINKING_WATER,
) -> Choice:
    """The holding times for a result, at most one a clock.

    Parameters
    ----------
    method, preservation
        As written by the laboratory; ``''`` where it does not say.
    disinfected
        Whether the water carried a disinfectant when it was sampled; ``None`` where that is not known.
    programme
        Whose rules come first; another programme's serve where this one has none.

    Returns
    -------
    Choice
        By method first: PFAS wait 28 days before extraction under EPA 533, but 14 under EPA 537.1. Where no row fits
        the method, the rule of the analyte applies if all its rows agree, or those with the written preservative do;
        otherwise none does, and a note says so.
    """
    rows = [
        row
        for row in table
        if analyte in row.analytes and (disinfected is None or row.disinfected in (None, disinfected))
    ]
    fitting = [row for row in rows if any(method_fits(named, method) for named in row.methods)]
    by_method = [row for row in fitting if row.stage not in FILTRATION]
    first_clock = _of_clock(by_method or rows, FROM_COLLECTION, programme)
    extract = _of_clock(by_method or rows, (EXTRACT,), programme)
    clocks = (
        first_clock,
        extract if by_method else _made_by_all(extract, first_clock),
        _of_clock(fitting, FILTRATION, programme) or _of_clock(rows, FILTRATION, programme),
    )
    agreed = [_agreed(clock, preservation) for clock in clocks]
    rules = tuple(rule for rule in agreed if rule)
    disagreeing = [clock for clock, rule in zip(clocks, agreed, strict=True) if clock and not rule]
    return Choice(rules, tuple(_note(clock, analyte, method) for clock in disagreeing))


def _of_clock(rows: Sequence[HoldingTime], stages: tuple[str, ...], programme: str) -> list[HoldingTime]:
    of_clock = [row for row in rows if row.stage in stages]
    return [row for row in of_clock if row.programme == programme] or of_clock


def _made_by_all(extract: list[HoldingTime], first_clock: list[HoldingTime]) -> list[HoldingTime]:
    """The rows of the extract; none where one of the methods in question makes no extract."""
    with_extract = {row.methods for row in extract}
    return extract if all(row.methods in with_extract for row in first_clock) else []


def _agreed(rows: Sequence[HoldingTime], preservation: str) -> HoldingTime | None:
    if len({(row.stage, row.max_value, row.max_unit) for row in rows}) == 1:
        return rows[0]
    added = _preservatives(preservation)
    preserved_alike = [row for row in rows if added & _preservatives(row.preservation)]
    return _agreed(preserved_alike, "") if added and preserved_alike else None


def _note(rows: list[HoldingTime], analyte: str, method: str) -> str:
    methods = sorted({named for row in rows for named in row.methods})
    said = f'"{method.strip()}" is none of them' if method.strip() else "the result names none"
    return f"The holding time of {analyte} depends on the method ({', '.join(methods)}), and {said}."


_PRESERVATIVES: Final = {
    "nitric acid": r"HNO3|NITRIC",
    "sulfuric acid": r"H2SO4|SULFURIC|SULPHURIC",
    "hydrochloric acid": r"\bHCL\b|HYDROCHLORIC",
    "sodium hydroxide": r"NAOH|SODIUM HYDROXIDE",
    "ascorbic acid": r"ASCORBIC",
    "thiosulfate": r"THIOSUL|NA2S2O3",
    "sulfite": r"\bSULFITE|NA2SO3",
    "ammonium chloride": r"NH4CL|AMMONIUM CHLORIDE",
    "ammonium acetate": r"AMMONIUM ACETATE",
    "ammonium buffer": r"NH4OH|NH4 BUFFER|AMMONIUM SULFATE",
    "trizma": r"TRIZMA|\bTRIS\b",
    "ethylenediamine": r"ETHYLENEDIAMINE|\bEDA\b",
    "phosphate buffer": r"PHOSPHATE BUFFER",
}


def _preservatives(text: str) -> frozenset[str]:
    return frozenset(name for name, spelled in _PRESERVATIVES.items() if re.search(spelled, text.upper()))


@dataclass(frozen=True, slots=True)
class ReceiptTemperature:
    """The warmest a sample may arrive at the laboratory [deg C].

    ``early_max_c`` is allowed within ``early_hours`` of collection. ``inclusive`` is false for "below 10".
    """

    max_c: Decimal
    inclusive: bool = True
    early_max_c: Decimal | None = None
    early_hours: int | None = None
    may_freeze: bool = True


def receipt_temperature(text: str, method: str = "") -> ReceiptTemperature | None:
    """What a holding-time table says about the temperature at receipt; ``None`` where it requires nothing.

    Examples
    --------
    >>> receipt_temperature("<10").inclusive
    False
    >>> receipt_temperature("10 in first 48 h, then <=6").early_max_c
    Decimal('10')
    """
    if not text or "not required" in text:
        return None
    early = re.match(r"(\d+) in first (\d+) h, then <=(\d+)", text)
    if early:
        return ReceiptTemperature(Decimal(early[3]), early_max_c=Decimal(early[1]), early_hours=int(early[2]))
    number = re.search(r"(<=?|)\s*(\d+(?:\.\d+)?)", text)
    if number is None:
        return None
    by_method = re.search(r"\((\d+) within (\d+) h for ([\d.]+)\)", text)
    warmer = by_method if by_method and method_fits(by_method[3], method) else None
    return ReceiptTemperature(
        Decimal(number[2]),
        inclusive=number[1] != "<",
        early_max_c=Decimal(warmer[1]) if warmer else None,
        early_hours=int(warmer[2]) if warmer else None,
        may_freeze="not frozen" not in text,
    )
