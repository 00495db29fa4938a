"""Exact numbers as a person would write them."""

from decimal import Decimal
from fractions import Fraction

SENSIBLE_DIGITS = 5


def figure(value: Fraction | Decimal | int, digits: int = SENSIBLE_DIGITS) -> str:
    """Write a number in full when it is short, else half up to a few significant digits.

    Examples
    --------
    >>> figure(Fraction("73.75")), figure(Fraction(17, 3000)), figure(Fraction(113, 12))
    ('73.75', '0.0056667', '9.4167')
    """
    exact = Fraction(value)
    places = _decimal_places(exact)
    leading = _leading_place(exact)
    shown = digits - 1 - leading
    if places is not None and places <= max(shown, 0):
        return _with_places(exact, places)
    return _trimmed(_with_places(exact, max(shown, 0)))


def figure_at_step(value: Fraction, step: Decimal | None) -> str:
    """Write a rounded number with the digits of its rounding step.

    Examples
    --------
    >>> figure_at_step(Fraction("0.01"), Decimal("0.001")), figure_at_step(Fraction(20), Decimal(10))
    ('0.010', '20')
    """
    if step is None:
        return figure(value)
    exponent = step.as_tuple().exponent
    return _with_places(value, max(-exponent, 0) if isinstance(exponent, int) else 0)


def percent(share: Fraction) -> str:
    """Write a share of a limit in whole percent, half up: ``88 %``."""
    return f"{(share * 100 + Fraction(1, 2)).__floor__()} %"


def _decimal_places(value: Fraction) -> int | None:
    """Decimal places of a number that ends, else ``None``."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    return max(twos, fives) if rest == 1 else None


def _leading_place(value: Fraction) -> int:
    """Power of ten of the first significant digit; 0 for zero."""
    if value == 0:
        return 0
    size = abs(value)
    place = len(str(size.numerator)) - len(str(size.denominator))
    return place if size >= Fraction(10) ** place else place - 1


def _with_places(value: Fraction, places: int) -> str:
    scaled = (abs(value) * 10**places + Fraction(1, 2)).__floor__()
    sign = "-" if value < 0 and scaled else ""
    text = str(scaled).rjust(places + 1, "0")
    return sign + (f"{text[:-places]}.{text[-places:]}" if places else text)


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
