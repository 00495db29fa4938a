"""The units in which a series can be shown: those into which its results can be converted exactly."""

from collections.abc import Iterable

from pipeline.errors import ConversionError
from pipeline.plant.plant import Plant
from pipeline.screening.conversion import Converter
from pipeline.trends.model import Measure, Placed, SeriesResult
from pipeline.trends.reported_amount import allowed_amounts
from pipeline.units import LinearConversion

MASSES = ("ng/L", "ug/L", "mg/L")


def possible_measures(plant: Plant, analyte: str, results: Iterable[SeriesResult]) -> tuple[Measure, ...]:
    """Units and bases that the results of an analyte can be brought to, the one to show first.

    First comes the plant's display unit, else the one reported most often, so that values stand as reported. Others are
    those of limits and of the analyte's table, each only where what is reported most often can be converted to it, and
    only once where two say the same (``ug/L`` and ``ug/L as BrO3`` of bromate).
    """
    known = plant.analytes.get(analyte)
    reported = _by_number(one.measure for one in results if one.has_amount and one.unit)
    of_limits = [Measure(limit.unit, limit.basis) for limit in plant.limits if limit.analyte == analyte and limit.unit]
    of_table: list[Measure] = []
    if known is not None:
        units = (known.canonical_unit, *known.also_accepted_units)
        bases = plant.units.bases_of(analyte) or (known.canonical_basis,)
        of_table = [Measure(unit, basis) for unit in (*units, *MASSES) for basis in bases]
    shown = plant.display_units.get(analyte, "")
    everything = [*reported, *of_limits, *of_table] if reported else [*of_table, *of_limits]
    offered = [*(one for one in everything if one.unit == shown), *everything]
    # Without results, the unit of the limits or of the table stands for what would be converted.
    sources = reported[:1] or offered[:1]
    kept: list[Measure] = []
    for one in offered:
        ways = [_conversion(plant, analyte, source, one) for source in sources]
        twins = (_conversion(plant, analyte, other, one) for other in kept if other.unit == one.unit)
        if None not in ways and LinearConversion.identity() not in twins:
            kept.append(one)
    return tuple(kept)


def place(
    results: Iterable[SeriesResult], analyte: str, measure: Measure, convert: Converter
) -> tuple[list[Placed], list[SeriesResult]]:
    """Bring results to one unit and basis, exactly; those that have no amount there are returned apart."""
    placed, others = [], []
    for result in results:
        amounts = allowed_amounts(result, analyte, measure, convert)
        if amounts is None:
            others.append(result)
        else:
            placed.append(Placed(result, *amounts))
    return placed, others


def convertible(plant: Plant, analyte: str, source: Measure, target: Measure) -> bool:
    """Whether amounts of an analyte can be brought from one unit and basis to another."""
    return _conversion(plant, analyte, source, target) is not None


def _by_number(measures: Iterable[Measure]) -> list[Measure]:
    counts: dict[Measure, int] = {}
    for measure in measures:
        counts[measure] = counts.get(measure, 0) + 1
    return sorted(counts, key=lambda one: (-counts[one], one.text))


def _conversion(plant: Plant, analyte: str, source: Measure, target: Measure) -> LinearConversion | None:
    try:
        return plant.units.conversion(analyte, source.unit, source.basis, target.unit, target.basis)
    except ConversionError:
        return None
