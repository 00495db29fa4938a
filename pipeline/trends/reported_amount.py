"""The amounts that a reported value allows, in another unit and basis."""

from fractions import Fraction

from pipeline.censoring import reported_range
from pipeline.errors import ConversionError
from pipeline.screening.conversion import Converter
from pipeline.trends.model import Measure, SeriesResult


def allowed_amounts(
    result: SeriesResult, analyte: str, measure: Measure, convert: Converter
) -> tuple[Fraction, Fraction | None] | None:
    """Lowest and highest amount that a result allows [``measure``]; see :func:`pipeline.censoring.reported_range`.

    Returns
    -------
    tuple or None
        ``None`` for a result without an amount, and for one that measures something else than ``measure``. The zero
        from which a non-detect runs is the zero of ``measure``: nothing at all is nothing in every unit.
    """
    if not result.has_amount:
        return None
    allowed = reported_range(result.kind, result.value, result.reporting_limit, result.detection_limit)
    if allowed is None:
        return None
    low, high = allowed
    try:
        converted = [
            None if end is None else _converted(end, result, analyte, measure, convert)
            for end in (None if result.non_detect else low, high)
        ]
    except ConversionError:
        return None
    return converted[0] if converted[0] is not None else Fraction(0), converted[1]


def _converted(value: Fraction, result: SeriesResult, analyte: str, measure: Measure, convert: Converter) -> Fraction:
    return convert(
        value,
        analyte=analyte,
        from_unit=result.unit,
        from_basis=result.basis,
        to_unit=measure.unit,
        to_basis=measure.basis,
    )
