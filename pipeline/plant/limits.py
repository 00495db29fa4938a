"""Which limits are judged at a sample point on a day, and which are only shown there."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final

from pipeline.errors import ConversionError
from pipeline.plant.fixed_lists import ALWAYS_JUDGED, ENTRY_POINT, SOURCE, SOURCE_OR_ENTRY_POINT
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Limit, LimitStatus

_LAW: Final = frozenset({LimitStatus.IN_FORCE, LimitStatus.NOT_YET, LimitStatus.RESCISSION_PROPOSED})
_STORED_DECIMALS: Final = 15


class Standing(StrEnum):
    """Whether a limit is judged on a day, or why it is not."""

    JUDGED = "judged"
    COMING = "coming"
    ENDED = "ended"
    EXAMPLE = "example, to be confirmed by the plant"
    PROPOSED = "proposed"
    ELSEWHERE = "another jurisdiction"


@dataclass(frozen=True, slots=True)
class LimitsAtPoint:
    """The limits of one sample point on one day.

    ``judged`` decide; ``shown`` are visible with the reason for which they do not: coming, proposed or an example.
    Limits that have ended, and those of a jurisdiction the plant has not chosen, are in neither.
    """

    judged: tuple[Limit, ...]
    shown: tuple[tuple[Limit, Standing], ...]


def applies_at(limit: Limit, place: str) -> bool:
    """Whether a limit is written for a kind of place.

    A limit for ``source or entry point`` is judged at finished water entry points and at sources.
    """
    if limit.applies_at == SOURCE_OR_ENTRY_POINT:
        return place in (SOURCE_OR_ENTRY_POINT, ENTRY_POINT, SOURCE)
    return limit.applies_at == place


def standing(plant: Plant, limit: Limit, on: date) -> Standing:
    """Whether a limit is judged on a day: by its status, its dates (both inclusive) and its jurisdiction."""
    if limit.effective_to is not None and limit.effective_to < on:
        return Standing.ENDED
    if limit.status is LimitStatus.EXAMPLE:
        return Standing.EXAMPLE
    if limit.status not in _LAW:
        return Standing.PROPOSED
    if limit.jurisdiction not in (*plant.jurisdictions, *ALWAYS_JUDGED):
        return Standing.ELSEWHERE
    if limit.effective_from is not None and on < limit.effective_from:
        return Standing.COMING
    return Standing.JUDGED


def limits_at(plant: Plant, sample_point: str, on: date) -> LimitsAtPoint:
    """Limits that are judged, and those that are only shown, at a sample point on a day.

    Raises
    ------
    KeyError
        When the plant has no such sample point.
    """
    place = plant.sample_points[sample_point].place
    here = [(limit, standing(plant, limit, on)) for limit in plant.limits if applies_at(limit, place)]
    visible = (Standing.COMING, Standing.EXAMPLE, Standing.PROPOSED)
    return LimitsAtPoint(
        judged=tuple(limit for limit, how in here if how is Standing.JUDGED),
        shown=tuple((limit, how) for limit, how in here if how in visible),
    )


@dataclass(frozen=True, slots=True)
class LimitToProve:
    """A limit that a result must be able to prove while it is in force, in the analyte's canonical unit and basis."""

    analyte: str
    limit: Limit
    value: Fraction
    effective_from: date | None
    effective_to: date | None


def limits_to_prove(plant: Plant) -> list[tuple[str, str, str, Decimal, str, date | None, date | None]]:
    """The lowest limit that a result at each point has to be able to prove, between the dates on which it is lowest.

    Returns
    -------
    list of tuple
        Analyte, sample point, limit_id, value in the analyte's canonical unit and basis (15 decimals), the limit as a
        person writes it, first and last day (both inclusive, ``None`` is open). For one analyte and point no two rows
        share a day.
    """
    rows = []
    for point in plant.sample_points.values():
        by_analyte: dict[str, list[LimitToProve]] = defaultdict(list)
        for provable in _provable(plant, (limit for limit in plant.limits if applies_at(limit, point.place))):
            by_analyte[provable.analyte].append(provable)
        for analyte, limits in by_analyte.items():
            for lowest in _lowest_by_period(limits):
                value = Decimal(round(lowest.value * 10**_STORED_DECIMALS)).scaleb(-_STORED_DECIMALS)
                written = f"{lowest.limit.value} {lowest.limit.unit} {lowest.limit.basis}".strip()
                dates = lowest.effective_from, lowest.effective_to
                rows.append((analyte, point.sample_point, lowest.limit.limit_id, value, written, *dates))
    return rows


def _provable(plant: Plant, limits: Iterable[Limit]) -> Iterator[LimitToProve]:
    for limit in limits:
        chosen = limit.jurisdiction in (*plant.jurisdictions, *ALWAYS_JUDGED)
        judged = limit.status in _LAW and limit.statistic != "information only"
        if not (chosen and judged and limit.direction == "not above" and limit.value):
            continue
        analyte = plant.analytes[limit.analyte]
        try:
            to_canonical = plant.units.conversion(
                limit.analyte, limit.unit, limit.basis, analyte.canonical_unit, analyte.canonical_basis
            )
        except ConversionError:
            # A share, a count of samples, a dose: nothing that a reporting limit could be compared with.
            continue
        value = to_canonical.apply(Fraction(limit.value))
        yield LimitToProve(limit.analyte, limit, value, limit.effective_from, limit.effective_to)


def _lowest_by_period(limits: list[LimitToProve]) -> Iterator[LimitToProve]:
    """The lowest of several limits in each period between two changes; neighbouring periods of one limit are joined."""
    starts = {limit.effective_from or date.min for limit in limits}
    starts |= {
        limit.effective_to + timedelta(days=1)
        for limit in limits
        if limit.effective_to and limit.effective_to < date.max
    }
    found: list[LimitToProve] = []
    ordered = sorted(starts)
    for start, following in zip(ordered, [*ordered[1:], None], strict=True):
        in_force = [
            limit for limit in limits if (limit.effective_from or date.min) <= start <= (limit.effective_to or date.max)
        ]
        if not in_force:
            continue
        lowest = min(in_force, key=lambda limit: (limit.value, limit.limit.limit_id))
        end = following - timedelta(days=1) if following else None
        first = None if start == date.min else start
        before = found[-1] if found else None
        if before and before.limit is lowest.limit and before.effective_to == start - timedelta(days=1):
            found[-1] = LimitToProve(lowest.analyte, lowest.limit, lowest.value, before.effective_from, end)
        else:
            found.append(LimitToProve(lowest.analyte, lowest.limit, lowest.value, first, end))
    yield from found
