"""The laboratory's record as it should have been: every line of three years, month by month, before any fault."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache

from sample_lab.generator.days import waters_on
from sample_lab.generator.laboratory import FIELD_BLANK, FIELD_REPLICATE, Laboratory, Order
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import ROUND, Point
from sample_lab.generator.rows import LabRow
from sample_lab.generator.schedule import FIELD_SHEETS_FROM, Visit, sample_name, visits
from sample_lab.generator.stories import follow_up_visits
from sample_lab.generator.tables import methods
from sample_lab.generator.water import PFAS, TRIHALOMETHANES, Water

TRIP_BLANK = "quality control, trip blank"
_NDMA = "N-Nitrosodimethylamine (NDMA)"

Months = dict[str, list[LabRow]]


@dataclass(frozen=True, slots=True)
class _Job:
    visit: Visit
    order: Order

    @property
    def place_in_time(self) -> tuple[datetime, str]:
        return self.visit.collected, self.order.suffix


def faultless_record(seed: int) -> Months:
    """Every line by month of collection (``2025-03``), in the order in which the laboratory numbers them.

    The lines are the caller's own, to change.
    """
    return {month: [row.copy() for row in rows] for month, rows in _record(seed).items()}


@lru_cache(maxsize=2)
def _record(seed: int) -> Months:
    noise = Noise(seed)
    laboratory = Laboratory(noise)
    months: Months = {}
    day = date.min
    samples_in_month = 0
    for job in sorted(_jobs(noise), key=lambda job: job.place_in_time):
        collected_on = job.visit.collected.date()
        if collected_on != day:
            day = collected_on
        month = f"{day:%Y-%m}"
        samples_in_month = samples_in_month + 1 if month in months else 1
        number = f"TWL{day:%y%m}-{samples_in_month:04d}"
        water = _nothing() if "blank" in job.order.sample_type else waters_on(seed, day)[job.visit.point]
        months.setdefault(month, []).extend(laboratory.report(job.visit, water, job.order, number))
    return months


def _jobs(noise: Noise) -> Iterator[_Job]:
    for visit in _for_this_laboratory(visits(noise)):
        purpose = "compliance" if visit.point == Point.FINISHED_WATER else "process"
        yield _Job(visit, Order(purpose))
        if _is_monthly(visit):
            yield from _quality_control(visit)
    for visit, why in follow_up_visits():
        confirms = sample_name(visit.point, why.confirms) if why.confirms else ""
        yield _Job(visit, Order(why.purpose, confirmation_of=confirms, comment=why.comment))


def _for_this_laboratory(made: Iterable[Visit]) -> Iterator[Visit]:
    """The sampler's field readings went through the laboratory's files until the crew kept sheets of its own."""
    for visit in made:
        if visit.collected.date() < FIELD_SHEETS_FROM:
            yield visit
        else:
            yield _only(visit, tuple(name for name in visit.analytes if not methods()[name].in_the_field))


def _quality_control(visit: Visit) -> Iterator[_Job]:
    """Field replicates go around the plant, one point a month; blanks travel with the quarterly organics."""
    month = visit.collected.month
    eight = ROUND[:8]
    if eight[(month - 1) % len(eight)] == visit.point:
        analytes = tuple(name for name in visit.analytes if not methods()[name].in_the_field)
        order = Order("quality control", FIELD_REPLICATE, replicate="2", suffix="-R")
        yield _Job(_only(visit, analytes), order)
    if visit.point == Point.FINISHED_WATER:
        if month % 3 == 1:
            yield _Job(_only(visit, (*PFAS, _NDMA)), Order("quality control", FIELD_BLANK, suffix="-FB"))
        if month % 3 == 2:
            volatile = (*TRIHALOMETHANES, "Benzene", "Trichloroethylene")
            yield _Job(_only(visit, volatile), Order("quality control", TRIP_BLANK, suffix="-TB"))


def _only(visit: Visit, analytes: tuple[str, ...]) -> Visit:
    return Visit(visit.sample, visit.point, visit.collected, analytes)


def _is_monthly(visit: Visit) -> bool:
    return visit.collected.weekday() == 1 and 8 <= visit.collected.day <= 14


def _nothing() -> Water:
    return dict.fromkeys(methods(), 0.0)
