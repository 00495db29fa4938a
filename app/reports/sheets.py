"""The report of a month as sheets: one set of rows for the workbook and for the page that shows it beforehand.

A value stands twice: as the text that the laboratory reported, digits, sign and all, and as a number to calculate with
where it was measured. A non-detect has no number, so that nobody averages a limit by accident.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

from app import figures, words
from app.reports.month import LimitRow, MonthReport
from pipeline.plant.tables import Limit
from pipeline.screening.model import Verdict
from pipeline.store.results_between import DeliveredResult
from pipeline.trends.limit_span import Extreme
from pipeline.vocabulary import Outcome, ValueKind

CAUTION: Final = (
    "Screening aid, not a compliance determination: certified laboratories, licensed operators and the primacy agency "
    "decide. State, local and permit limits differ and change: confirm the limit table before use. An acute exceedance "
    "calls for the plant’s emergency procedure at once."
)
HOW_TO_READ: Final = (
    "Values stand as reported; a number beside them is there to calculate with, and a non-detect has none.",
    "Lowest and highest: of the month’s results that count; where nothing was measured, the limits of the non-detects.",
    "Limits on a group count samples: each is combined from its members as the limit’s rule combines them.",
    "The verdict speaks of the whole period that the limit is judged by, not of the month alone.",
)
UNANSWERED: Final = "limit without an answer"
HELD: Final = "held cell"
FLAGGED: Final = "flagged result"

Cell = str | int | float | date | None


class Kind(Enum):
    """How a column is written."""

    TEXT = "text"
    RIGHT = "text at the right"
    NUMBER = "number"
    COUNT = "count"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, how it is written, and its width in letters."""

    heading: str
    kind: Kind = Kind.TEXT
    width: int = 14


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table with a name; every row has one cell a column."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[tuple[Cell, ...]]

    def column(self, heading: str) -> list[Cell]:
        """The cells under a heading."""
        place = [column.heading for column in self.columns].index(heading)
        return [row[place] for row in self.rows]


_LIMIT_COLUMNS: Final = (
    Column("Analyte", width=30), Column("Sample point"), Column("Verdict", width=22),
    Column("% of limit", Kind.RIGHT, 10), Column("Stands at", Kind.RIGHT), Column("Stands at, number", Kind.NUMBER, 11),
    Column("Limit", Kind.RIGHT, 10), Column("Limit, number", Kind.NUMBER, 10), Column("Unit", width=12),
    Column("Kind", width=16), Column("Statistic", width=24), Column("Results in month", Kind.COUNT, 9),
    Column("Non-detects", Kind.COUNT, 9), Column("Lowest", Kind.RIGHT), Column("Highest", Kind.RIGHT),
    Column("Highest, number", Kind.NUMBER, 11), Column("File of the highest", width=26), Column("Line", Kind.COUNT, 7),
    Column("Next action", width=26),
)  # fmt: skip
_RESULT_COLUMNS: Final = (
    Column("Analyte", width=30), Column("Sample point", width=9), Column("Fraction", width=9),
    Column("Collected", Kind.DAY, 11), Column("Time", width=6), Column("Value", Kind.RIGHT, 12),
    Column("Number", Kind.NUMBER, 11), Column("Unit", width=12), Column("Reporting limit", Kind.NUMBER, 10),
    Column("Detection limit", Kind.NUMBER, 10), Column("Qualifier", width=9), Column("Findings", width=44),
    Column("Purpose", width=14), Column("Status", width=10), Column("Laboratory", width=24), Column("Method", width=12),
    Column("Sample", width=16), Column("File", width=24), Column("Line", Kind.COUNT, 7), Column("Column", width=10),
)  # fmt: skip
_MISSING_COLUMNS: Final = (
    Column("What", width=22), Column("Analyte", width=30), Column("Sample point"), Column("Collected", Kind.DAY, 11),
    Column("Why", width=70), Column("Next", width=30), Column("File", width=24), Column("Line", Kind.COUNT, 7),
    Column("Column", width=10),
)  # fmt: skip


def sheets(report: MonthReport, zone: ZoneInfo) -> tuple[Sheet, ...]:
    """Every sheet of the report, in order."""
    return summary(report, zone), finished_water(report), results(report, zone), missing(report)


def summary(report: MonthReport, zone: ZoneInfo) -> Sheet:
    """What the report is about and what it rests on, how many verdicts there are of each outcome, and the caution."""
    loaded = _plain(figures.moment(report.last_loaded, zone)) if report.last_loaded else "never"
    rows: list[tuple[Cell, ...]] = [
        ("Plant", report.plant_name),
        ("Month", month_name(report.first)),
        ("Sample points", figures.joined(f"{name} ({code})" for code, name in report.sample_points.items())),
        ("Evaluated on", report.evaluated_on),
        ("Data last loaded", loaded),
        ("Store event", report.event_id),
        ("Plant folder version", report.plant_version),
        ("Results of the month", len(report.results)),
        ("of these not detected", report.non_detects),
        ("of these flagged", len(report.flagged)),
        ("Held cells", len(report.held)),
        ("Limits", len(report.limits)),
    ]
    counted = report.outcomes
    rows += [
        (f"{words.MARKS[outcome].symbol} {outcome.value}", counted[outcome]) for outcome in Outcome if counted[outcome]
    ]
    rows += [("How to read it", HOW_TO_READ[0]), *(("", text) for text in HOW_TO_READ[1:]), ("Caution", CAUTION)]
    return Sheet("Summary", (Column("About", width=26), Column("Says", width=100)), rows)


def finished_water(report: MonthReport) -> Sheet:
    """One row a limit and sample point, worst first."""
    return Sheet("Finished water", _LIMIT_COLUMNS, [_limit_row(row) for row in report.limits])


def results(report: MonthReport, zone: ZoneInfo) -> Sheet:
    """Every result of the month with where it stands and what was said of it."""
    return Sheet("Results", _RESULT_COLUMNS, [_result_row(one, zone) for one in report.results])


def missing(report: MonthReport) -> Sheet:
    """What keeps the month from being complete: held cells, flagged results, limits without an answer."""
    held: list[tuple[Cell, ...]] = [
        (HELD, one.analyte, one.sample_point, one.collected_on, one.reason, "", one.file, one.line, one.column)
        for one in report.held
    ]
    flagged: list[tuple[Cell, ...]] = [
        (FLAGGED, one.analyte, one.sample_point, one.collected_on, one.findings, "", one.file, one.line, one.column)
        for one in report.flagged
    ]
    unanswered: list[tuple[Cell, ...]] = [
        (UNANSWERED, _limit_name(one.limit), one.sample_point, None, one.reason, one.next_action, "", None, "")
        for one in report.unanswered
    ]
    return Sheet("Missing and flagged", _MISSING_COLUMNS, [*held, *flagged, *unanswered])


def month_name(month: date) -> str:
    """A month as it is written: ``2026-03``."""
    return f"{month:%Y-%m}"


def verdict_text(verdict: Verdict) -> str:
    """Symbol and word of a verdict, with ``! act now`` before it where the analyte is acute."""
    text = f"{words.MARKS[verdict.outcome].symbol} {verdict.outcome.value}"
    return f"! act now, {text}" if verdict.act_now else text


def _limit_row(row: LimitRow) -> tuple[Cell, ...]:
    verdict, span = row.verdict, row.span
    limit = verdict.limit
    stands = verdict.compared_high if verdict.compared_low == verdict.compared_high else None
    highest = span.highest
    reported = highest.results[0] if highest else None
    return (
        limit.analyte,
        verdict.sample_point,
        verdict_text(verdict),
        _plain(figures.percent(verdict.share_low, verdict.share_high)),
        _plain(figures.statistic(verdict)),
        _number(stands),
        figures.limit_number(limit.value, limit.value_high),
        _number(limit.value) if limit.value_high is None else None,
        _unit(limit.unit, limit.basis),
        limit.kind,
        words.statistic(verdict),
        span.count,
        span.non_detects,
        _extreme_text(span.lowest, limit),
        _extreme_text(highest, limit),
        _number(highest.low) if highest and highest.low == highest.high else None,
        "" if reported is None else reported.file,
        None if reported is None else reported.line,
        verdict.next_action,
    )


def _extreme_text(extreme: Extreme | None, limit: Limit) -> str:
    """As reported, with its unit where that is not the limit's; for a group what its members allow, in the limit's."""
    if extreme is None:
        return ""
    if extreme.reported is None:
        low = figures.calculated(extreme.low, beside=limit.value)
        if extreme.high is None:
            return f"at least {low}"
        high = figures.calculated(extreme.high, beside=limit.value)
        return low if low == high else f"{low} to {high}"
    result = extreme.reported
    text = _plain(figures.reported(result))
    # Fluoride "as F" against a limit in plain mg/L is the same number; manganese in ug/L against mg/L is not.
    same_number = result.value is not None and Fraction(result.value) in (extreme.low, extreme.high)
    if same_number and result.unit == limit.unit:
        return text
    return f"{text} {_unit(result.unit, result.basis)}"


def _result_row(one: DeliveredResult, zone: ZoneInfo) -> tuple[Cell, ...]:
    return (
        one.analyte,
        one.sample_point,
        one.fraction,
        one.collected_on,
        _time(one.collected_at, zone),
        _plain(figures.reported(one)),
        _number(one.value) if one.kind is ValueKind.NUMBER else None,
        _unit(one.unit, one.basis),
        _number(one.reporting_limit),
        _number(one.detection_limit),
        one.qualifier,
        one.findings,
        one.purpose,
        one.status,
        one.laboratory,
        one.method,
        one.sample,
        one.file,
        one.line,
        one.column,
    )


def _limit_name(limit: Limit) -> str:
    return ", ".join(part for part in (limit.analyte, limit.kind, _plain(figures.limit_text(limit))) if part)


def _unit(unit: str, basis: str) -> str:
    return " ".join(part for part in (figures.unit_text(unit), basis) if part)


def _number(value: Fraction | Decimal | None) -> float | None:
    """A number for a spreadsheet, which knows no other kind; what is compared was compared before, exactly."""
    return None if value is None else float(value)


def _time(at: datetime | None, zone: ZoneInfo) -> str:
    return "" if at is None else f"{at.astimezone(zone):%H:%M}"


def _plain(text: str) -> str:
    return text.replace(figures.NO_BREAK, " ")
