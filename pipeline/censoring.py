"""What a reported value says by itself, before any rule of a limit or of a statistic is asked.

A non-detect ``<0.5`` says "somewhere from zero up to 0.5"; a value above the range ``>200`` says "200 or more"; a word
without a number (present, too numerous to count) says only that the amount is not negative. Half a detection limit is
never stored and never assumed here: a substitution is a choice of the rule that uses the value, and is shown with it.
"""

from decimal import Decimal
from fractions import Fraction

from pipeline.vocabulary import ValueKind

WITHOUT_NUMBER = frozenset({ValueKind.PRESENT, ValueKind.ABSENT, ValueKind.TOO_NUMEROUS})
"""Kinds that say something was found or sought, without an amount."""

WITHOUT_RESULT = frozenset({ValueKind.NOT_ANALYZED, ValueKind.UNREADABLE})
"""Kinds that say nothing about the water."""


def nondetect_limit(
    value: Decimal | None, reporting_limit: Decimal | None, detection_limit: Decimal | None
) -> Decimal | None:
    """Limit below which a non-detect lies [unit of the result]; ``None`` when the laboratory gave none at all.

    The number written with the sign (``<0.5``) is the laboratory's own statement and comes first; for a bare ``ND`` it
    is the reporting limit, else the detection limit.

    Examples
    --------
    >>> nondetect_limit(None, Decimal("0.5"), Decimal("0.1"))
    Decimal('0.5')
    """
    return next((limit for limit in (value, reporting_limit, detection_limit) if limit is not None), None)


def reported_range(
    kind: ValueKind,
    value: Decimal | None,
    reporting_limit: Decimal | None = None,
    detection_limit: Decimal | None = None,
) -> tuple[Fraction, Fraction | None] | None:
    """Lowest and highest amount that a reported value allows [unit of the result].

    Parameters
    ----------
    kind
        What the value cell says.
    value
        The number, or the limit of a censored value.
    reporting_limit, detection_limit
        As reported; used only for a non-detect that is written without a number.

    Returns
    -------
    tuple or None
        ``(low, high)``; ``high`` is ``None`` when there is no upper end. ``None`` when the cell holds no result.

    Examples
    --------
    >>> reported_range(ValueKind.BELOW, Decimal("0.5"))
    (Fraction(0, 1), Fraction(1, 2))
    >>> reported_range(ValueKind.ABOVE, Decimal("200.5"))
    (Fraction(401, 2), None)
    >>> reported_range(ValueKind.NOT_ANALYZED, None) is None
    True
    """
    if kind in WITHOUT_RESULT:
        return None
    if kind in WITHOUT_NUMBER:
        return Fraction(0), None
    if kind is ValueKind.BELOW:
        limit = nondetect_limit(value, reporting_limit, detection_limit)
        return Fraction(0), None if limit is None else Fraction(limit)
    if value is None:
        return None
    return Fraction(value), None if kind is ValueKind.ABOVE else Fraction(value)
