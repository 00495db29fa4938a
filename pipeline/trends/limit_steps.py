"""The limits of an analyte at a sample point over the years, each with the days on which it is in force."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pipeline.errors import ConversionError
from pipeline.plant.limits import Standing, applies_at, standing
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Limit
from pipeline.trends.model import Measure

INFORMATION_ONLY = "information only"
SHOWN = (Standing.JUDGED, Standing.COMING, Standing.PROPOSED)


@dataclass(frozen=True, slots=True)
class LimitStep:
    """A limit from one day to another.

    Parameters
    ----------
    value, value_high
        Its number, or both ends of its range [unit of the series]; ``None`` where it has none, or where no amount can
        be compared with it: a share, a count.
    applies_from, applies_to
        First and last day, both inclusive; ``None`` is open.
    proposed
        Whether it is not law: shown, never judged.
    sample_points
        Those of the series at which it applies.
    """

    limit: Limit
    value: Fraction | None
    value_high: Fraction | None
    applies_from: date | None
    applies_to: date | None
    proposed: bool
    sample_points: tuple[str, ...]

    def on(self, day: date) -> bool:
        """Whether it is in force on a day."""
        begun = self.applies_from is None or self.applies_from <= day
        return not self.proposed and begun and (self.applies_to is None or day <= self.applies_to)


def limit_steps(
    plant: Plant, analyte: str, sample_points: Iterable[str], measure: Measure, first: date | None, last: date
) -> list[LimitStep]:
    """Limits on an analyte at any of the sample points that touch the days from ``first`` to ``last``.

    Goals that are only information, examples that the plant has not confirmed and limits of another jurisdiction are
    left out. In order of kind, then of effective date.
    """
    places = {code: plant.sample_points[code].place for code in sample_points if code in plant.sample_points}
    steps = []
    for limit in plant.limits:
        here = tuple(code for code, place in places.items() if applies_at(limit, place))
        if limit.analyte != analyte or not here or limit.statistic == INFORMATION_ONLY or not _shown(plant, limit):
            continue
        ended = first is not None and limit.effective_to is not None and limit.effective_to < first
        if ended or (limit.effective_from is not None and limit.effective_from > last and not _coming(limit, last)):
            continue
        value, value_high = (_converted(plant, limit, end, measure) for end in (limit.value, limit.value_high))
        proposed = standing(plant, limit, _a_day_of(limit)) is Standing.PROPOSED
        steps.append(LimitStep(limit, value, value_high, limit.effective_from, limit.effective_to, proposed, here))
    return sorted(steps, key=lambda one: (one.limit.kind, one.applies_from or date.min, one.limit.limit_id))


def _shown(plant: Plant, limit: Limit) -> bool:
    return standing(plant, limit, _a_day_of(limit)) in SHOWN


def _a_day_of(limit: Limit) -> date:
    """A day on which the limit is in force, so that its standing there is not a matter of the day."""
    return limit.effective_from or limit.effective_to or date.max


def _coming(limit: Limit, last: date) -> bool:
    """Whether a limit that begins after the last day is near enough to be told: within five years."""
    return limit.effective_from is not None and limit.effective_from.year - last.year <= 5


def _converted(plant: Plant, limit: Limit, value: object, measure: Measure) -> Fraction | None:
    if value is None:
        return None
    try:
        return plant.units.convert(
            Fraction(str(value)),
            analyte=limit.analyte,
            from_unit=limit.unit,
            from_basis=limit.basis,
            to_unit=measure.unit,
            to_basis=measure.basis,
        )
    except ConversionError:
        return None
