"""The store and the plant folder meet screening: verdicts of a day, and the results of a load above a limit."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from fractions import Fraction

import duckdb

from pipeline.errors import ConversionError
from pipeline.plant.limits import Standing, applies_at, standing
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Limit
from pipeline.screening.explanation import limit_text
from pipeline.screening.model import HeldCell, ScreeningResult, Verdict
from pipeline.screening.rounding import LimitNumbers, divide_round_compare
from pipeline.screening.screen import screen
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.vocabulary import ValueKind
from pipeline.what_is_due import overdue_on

PointAndAnalyte = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the store says that verdicts rest on: results up to a day, held cells, and samples that are overdue."""

    results: Sequence[ScreeningResult]
    held: Sequence[HeldCell]
    overdue: Mapping[PointAndAnalyte, date]


def verdicts(
    store: Store,
    plant: Plant,
    on: date,
    as_of_event: int | None = None,
    overdue: Mapping[PointAndAnalyte, date] | None = None,
) -> list[Verdict]:
    """Every verdict of a day: each limit of the plant at each sample point where it applies, worst first.

    Limits that are coming are shown with their date; ended ones, examples to be confirmed and those of another
    jurisdiction are not judged (see the limit table).

    Parameters
    ----------
    on
        The day that the verdicts speak of: limits in force then, results collected up to then.
    as_of_event
        The event after which the store is asked; ``None`` is now. For what was known at a time take plant and event
        from :func:`pipeline.knowledge.known_at`.
    overdue
        Sample point and analyte of samples that are overdue, with the date since when; ``None`` asks the monitoring
        plan.

    Raises
    ------
    StoreError
        When the store cannot be read.
    """
    with store.read() as connection:
        evidence = read_evidence(connection, plant, on, as_of_event)
    return judge_evidence(plant, evidence, on, overdue)


def read_evidence(
    connection: duckdb.DuckDBPyConnection, plant: Plant, on: date, as_of_event: int | None = None
) -> Evidence:
    """Read what verdicts of a day rest on; inside a transaction it is what the transaction has done so far."""
    judged = _judged(plant, on)
    places = {
        point.sample_point
        for point in plant.sample_points.values()
        if any(applies_at(limit, point.place) for limit in judged)
    }
    results = reading.results_for_screening(connection, sorted(places), on, as_of_event=as_of_event)
    return Evidence(
        results,
        reading.held_for_screening(connection, as_of_event),
        overdue_on(connection, plant, on, sorted(places), results, as_of_event),
    )


def judge_evidence(
    plant: Plant, evidence: Evidence, on: date, overdue: Mapping[PointAndAnalyte, date] | None = None
) -> list[Verdict]:
    """Every verdict of a day from evidence that was read; worst first."""
    return screen(
        _judged(plant, on),
        plant.sample_points.values(),
        evidence.results,
        on=on,
        near_limit_share=plant.near_limit_share,
        convert=plant.units.convert,
        plan=plant.monitoring_plan,
        held=evidence.held,
        overdue=evidence.overdue if overdue is None else overdue,
    )


def _judged(plant: Plant, on: date) -> list[Limit]:
    return [limit for limit in plant.limits if standing(plant, limit, on) in (Standing.JUDGED, Standing.COMING)]


@dataclass(frozen=True, slots=True)
class AboveLimit:
    """A loaded result that is beyond the number of a limit by itself, before any averaging or confirmation."""

    limit_id: str
    kind: str
    sample_point: str
    analyte: str
    collected_on: date
    value_text: str
    unit: str
    basis: str
    limit_text: str
    acute: bool
    file: str
    line: int
    column: str

    def sentence(self) -> str:
        """The finding as a person reads it when the file is loaded."""
        now = "act now: " if self.acute else ""
        basis = f" {self.basis}" if self.basis else ""
        return (
            f"{now}{self.analyte} {self.value_text} {self.unit}{basis} at {self.sample_point} on {self.collected_on} "
            f"is beyond the {self.kind} limit of {self.limit_text} ({self.file}, line {self.line})"
        )

    def as_dict(self) -> dict[str, object]:
        """The same by name."""
        return asdict(self)


def results_above_a_limit(store: Store, plant: Plant, load_id: int) -> list[AboveLimit]:
    """Results of a load that are by themselves beyond a limit in force on their day; the acute ones first.

    A single result above a limit that is judged by an average is not an exceedance: the verdict says what is. It is
    told at once all the same, because a person has to know.
    """
    with store.read() as connection:
        results = reading.results_for_screening(connection, list(plant.sample_points), date.max, load_id)
    by_place: Mapping[PointAndAnalyte, list[ScreeningResult]] = defaultdict(list)
    for result in results:
        if result.kind in (ValueKind.NUMBER, ValueKind.ABOVE) and result.value is not None:
            by_place[result.sample_point, result.analyte].append(result)
    found = [
        above
        for point in plant.sample_points.values()
        for limit in plant.limits
        if limit.value is not None and limit.statistic != "information only" and applies_at(limit, point.place)
        for above in _above(plant, limit, by_place.get((point.sample_point, limit.analyte), ()))
    ]
    return sorted(found, key=lambda above: (not above.acute, above.analyte, above.collected_on))


def _above(plant: Plant, limit: Limit, results: Sequence[ScreeningResult]) -> Iterator[AboveLimit]:
    numbers = LimitNumbers.of(limit)
    for result in results:
        if standing(plant, limit, result.collected_on) is not Standing.JUDGED or result.value is None:
            continue
        try:
            value = plant.units.convert(
                Fraction(result.value),
                analyte=limit.analyte,
                from_unit=result.unit,
                from_basis=result.basis,
                to_unit=limit.unit,
                to_basis=limit.basis,
            )
        except ConversionError:
            continue  # a share or a count of samples: no single result can be beyond it
        side = divide_round_compare(value, 1, numbers).side
        if side > 0 or (side < 0 and result.kind is ValueKind.NUMBER):  # "> 200" proves nothing about a minimum
            yield AboveLimit(
                limit_id=limit.limit_id,
                kind=limit.kind,
                sample_point=result.sample_point,
                analyte=result.analyte,
                collected_on=result.collected_on,
                value_text=result.value_text.strip(),
                unit=result.unit,
                basis=result.basis,
                limit_text=limit_text(limit),
                acute=limit.acute,
                file=result.file,
                line=result.line,
                column=result.column,
            )
