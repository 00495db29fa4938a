"""Screening of a whole plant: every limit at every sample point where it applies, worst first."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction

from pipeline.plant.tables import Limit, MonitoringPlanRow, SamplePoint
from pipeline.screening.conversion import Converter
from pipeline.screening.judge import judge
from pipeline.screening.model import HeldCell, ScreeningResult, Verdict
from pipeline.screening.order import worst_first
from pipeline.screening.result_of_record import mark_result_of_record
from pipeline.screening.terms import terms_of

# A limit for sources and entry points is judged where finished water enters the distribution system.
ALSO_AT = {"source or entry point": frozenset({"source or entry point", "finished water entry point"})}

PointAndAnalyte = tuple[str, str]


def screen(
    limits: Iterable[Limit],
    sample_points: Iterable[SamplePoint],
    results: Iterable[ScreeningResult],
    *,
    on: date,
    near_limit_share: Fraction,
    convert: Converter,
    plan: Sequence[MonitoringPlanRow] = (),
    held: Iterable[HeldCell] = (),
    overdue: Mapping[PointAndAnalyte, date] | None = None,
) -> list[Verdict]:
    """Judge every limit at every sample point where it applies.

    Parameters
    ----------
    limits, sample_points
        Tables of the plant folder.
    results
        Results in force, in any order.
    on
        Day of the evaluation.
    near_limit_share
        Share of the limit from which a kept limit is called near [1 is the limit].
    convert
        Brings a value to another unit and basis.
    plan
        Monitoring plan; it says how often an analyte is sampled at a point, and which laboratory and method are of
        record.
    held
        Cells that are held.
    overdue
        Sample point and analyte of samples that are overdue, with the date since when.

    Returns
    -------
    list of Verdict
        One a limit and applicable sample point, limits without data included; worst first.
    """
    by_place = _by_point_and_analyte(mark_result_of_record(results, plan))
    held_by_analyte: dict[str, list[HeldCell]] = defaultdict(list)
    for cell in held:
        held_by_analyte[cell.analyte].append(cell)
    frequencies = _frequencies(plan, on)
    points = list(sample_points)
    verdicts = []
    for limit in limits:
        terms = terms_of(limit)
        own = terms.own_analytes
        held_here = [cell for analyte in own for cell in held_by_analyte.get(analyte, ())]
        for point in points:
            if not applies_at(limit, point):
                continue
            name = point.sample_point
            verdict = judge(
                limit,
                name,
                [result for analyte in terms.analytes for result in by_place.get((name, analyte), ())],
                on=on,
                frequency=_first_known(frequencies, name, (limit.analyte, *own)),
                near_limit_share=near_limit_share,
                convert=convert,
                held=held_here,
                overdue=_earliest(overdue or {}, name, (limit.analyte, *own)),
            )
            verdicts.append(verdict)
    return worst_first(verdicts)


def applies_at(limit: Limit, point: SamplePoint) -> bool:
    """Whether a limit is judged at a sample point, by the place it is for."""
    return point.place in ALSO_AT.get(limit.applies_at, (limit.applies_at,))


def _by_point_and_analyte(results: Iterable[ScreeningResult]) -> dict[PointAndAnalyte, list[ScreeningResult]]:
    found: dict[PointAndAnalyte, list[ScreeningResult]] = defaultdict(list)
    for result in results:
        found[result.sample_point, result.analyte].append(result)
    return found


def _frequencies(plan: Sequence[MonitoringPlanRow], on: date) -> dict[PointAndAnalyte, str]:
    """Frequency in force on a day; the row that began last wins."""
    in_force = [
        row
        for row in plan
        if (row.effective_from is None or row.effective_from <= on)
        and (row.effective_to is None or on <= row.effective_to)
    ]
    in_force.sort(key=lambda row: row.effective_from or date.min)
    return {(row.sample_point, row.analyte): row.frequency for row in in_force}


def _first_known(frequencies: Mapping[PointAndAnalyte, str], point: str, analytes: Sequence[str]) -> str | None:
    known = (frequencies.get((point, analyte)) for analyte in analytes)
    return next((frequency for frequency in known if frequency), None)


def _earliest(overdue: Mapping[PointAndAnalyte, date], point: str, analytes: Sequence[str]) -> date | None:
    return min((overdue[point, name] for name in analytes if (point, name) in overdue), default=None)
