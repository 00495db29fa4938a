"""From the rows of a store to a series: one fraction, one unit, quality control left out and counted."""

from collections.abc import Sequence
from datetime import date

from pipeline.errors import BarrierbookError
from pipeline.plant.plant import Plant
from pipeline.trends.measures import convertible, place, possible_measures
from pipeline.trends.model import Measure, Series, SeriesResult
from pipeline.vocabulary import Purpose


def assemble(
    plant: Plant,
    analyte: str,
    sample_points: Sequence[str],
    rows: Sequence[SeriesResult],
    *,
    first: date | None,
    last: date,
    measure: Measure | None = None,
    fraction: str | None = None,
) -> Series:
    """Make a series of results that were read for it.

    Parameters
    ----------
    rows
        Results of the analyte at the points between the days, quality control among them, oldest first.
    measure
        Unit and basis to show it in; ``None`` takes the first possible one.
    fraction
        ``total``, ``dissolved`` and the like; ``None`` takes the one with most results: a total and a dissolved amount
        never share a line.

    Raises
    ------
    BarrierbookError
        When the results cannot be brought to ``measure``.
    """
    of_water = [row for row in rows if row.purpose != Purpose.QUALITY_CONTROL]
    fractions = fractions_of(of_water)
    chosen = fraction if fraction is not None else next(iter(fractions), "")
    kept = [row for row in of_water if row.fraction == chosen]
    possible = possible_measures(plant, analyte, kept)
    if measure is not None and possible and not convertible(plant, analyte, possible[0], measure):
        names = ", ".join(one.text for one in possible)
        raise BarrierbookError(f'{analyte} cannot be shown in "{measure.text}".', f"Possible here: {names}.")
    unit = measure or next(iter(possible), Measure(""))
    placed, others = place(kept, analyte, unit, plant.units.convert)
    return Series(
        analyte=analyte,
        sample_points=tuple(sample_points),
        fraction=chosen,
        measure=unit,
        first=first,
        last=last,
        placed=tuple(placed),
        others=tuple(others),
        quality_control=len(rows) - len(of_water),
        fractions=tuple(fractions),
    )


def fractions_of(rows: Sequence[SeriesResult]) -> list[str]:
    """The fractions of which there are results of the water, the one with most of them first."""
    counts: dict[str, int] = {}
    for row in rows:
        if row.purpose != Purpose.QUALITY_CONTROL:
            counts[row.fraction] = counts.get(row.fraction, 0) + 1
    return sorted(counts, key=lambda one: (-counts[one], one))
