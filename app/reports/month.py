"""One month of finished water as values: verdicts at its end, results in it, and what is missing."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pipeline.evaluate import Evidence, judge_evidence, read_evidence
from pipeline.knowledge import Knowledge
from pipeline.plant.fixed_lists import ENTRY_POINT
from pipeline.plant.plant import Plant
from pipeline.screening.model import HeldCell, ScreeningResult, Verdict
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.results_between import DeliveredResult, results_between
from pipeline.trends.limit_span import LimitSpan, limit_span
from pipeline.vocabulary import Outcome, ValueKind

NO_ANSWER = (Outcome.CANNOT_DETERMINE, Outcome.NO_DATA, Outcome.NOT_ENOUGH_DATA)


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit at a sample point: its verdict at the end of the month, and what the month found toward it."""

    verdict: Verdict
    span: LimitSpan


@dataclass(frozen=True, slots=True)
class MonthReport:
    """Everything that the report of a month says.

    Parameters
    ----------
    first, last
        First and last day of the month.
    evaluated_on
        The day of the verdicts: the last of the month, or today in a month that is not over.
    last_loaded
        When data were last loaded, in so far as the report knows of it; ``None`` when never.
    event_id
        The last event of the store that the report knows of.
    plant_version
        SHA-256 of the plant folder.
    limits
        Worst first.
    results
        Every result of the month, quality control among them.
    held
        Held cells that belong to the month and the points, or may.
    """

    plant_name: str
    plant_version: str
    first: date
    last: date
    evaluated_on: date
    sample_points: Mapping[str, str]
    last_loaded: datetime | None
    event_id: int
    limits: Sequence[LimitRow]
    results: Sequence[DeliveredResult]
    held: Sequence[HeldCell]

    @property
    def outcomes(self) -> Counter[Outcome]:
        """How many verdicts of each outcome."""
        return Counter(row.verdict.outcome for row in self.limits)

    @property
    def unanswered(self) -> list[Verdict]:
        """Verdicts that no data, or doubtful data, leave open."""
        return [row.verdict for row in self.limits if row.verdict.outcome in NO_ANSWER]

    @property
    def flagged(self) -> list[DeliveredResult]:
        """Results of the month that carry a flag."""
        return [one for one in self.results if one.flagged]

    @property
    def non_detects(self) -> int:
        """How many results of the month are known only to lie below a limit."""
        return sum(one.kind is ValueKind.BELOW for one in self.results)


def month_report(store: Store, known: Knowledge, month: date, points: Sequence[str], today: date) -> MonthReport:
    """Put together the report of a month.

    Parameters
    ----------
    month
        Any day of it.
    points
        Sample points; none given are those of the finished water.
    today
        The day on which a month that is not over is evaluated.

    Raises
    ------
    StoreError
        When the store cannot be read.
    """
    plant = known.plant
    first, last = days_of(month)
    evaluated_on = max(first, min(last, today))
    codes = list(points) or finished_water_points(plant)
    with store.read() as connection:
        evidence = read_evidence(connection, plant, evaluated_on, known.as_of_event)
        results = results_between(connection, codes, first, last, known.as_of_event)
        head = reading.head(connection, known.as_of_event)
    here = [one for one in judge_evidence(plant, evidence, evaluated_on) if one.sample_point in codes]
    return MonthReport(
        plant_name=plant.name,
        plant_version=plant.version,
        first=first,
        last=last,
        evaluated_on=evaluated_on,
        sample_points={code: plant.sample_points[code].name or code for code in codes},
        last_loaded=head.last_loaded,
        event_id=head.event_id,
        limits=_limit_rows(plant, here, evidence, first, last),
        results=results,
        held=[cell for cell in evidence.held if _may_belong(cell, codes, first, last)],
    )


def days_of(month: date) -> tuple[date, date]:
    """First and last day of a month.

    >>> days_of(date(2028, 2, 14))
    (datetime.date(2028, 2, 1), datetime.date(2028, 2, 29))
    """
    first = month.replace(day=1)
    return first, (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)


def finished_water_points(plant: Plant) -> list[str]:
    """Sample points at which finished water leaves the plant, in the order of the water."""
    return [code for code, point in plant.sample_points.items() if point.place == ENTRY_POINT]


def _limit_rows(
    plant: Plant, verdicts: Sequence[Verdict], evidence: Evidence, first: date, last: date
) -> list[LimitRow]:
    by_point: dict[str, list[ScreeningResult]] = {}
    for result in evidence.results:
        by_point.setdefault(result.sample_point, []).append(result)
    rows = []
    for verdict in verdicts:
        results = by_point.get(verdict.sample_point, [])
        rows.append(LimitRow(verdict, limit_span(verdict.limit, results, first, last, plant.units.convert)))
    return rows


def _may_belong(cell: HeldCell, codes: Sequence[str], first: date, last: date) -> bool:
    return cell.sample_point in ("", *codes) and (cell.collected_on is None or first <= cell.collected_on <= last)
