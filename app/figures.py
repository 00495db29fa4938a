"""How numbers, units and dates are written on a page.

Values of a laboratory stay exactly as reported. Calculated values are written at the rounding step of their limit;
where a limit has none, with as many digits as it takes to see on which side of the limit they lie. Rounding here is for
the eye only: nothing that is compared passes through this module.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Final, Protocol
from zoneinfo import ZoneInfo

from pipeline.plant.tables import Limit
from pipeline.screening.model import Verdict
from pipeline.vocabulary import ValueKind

NO_BREAK: Final = "\N{NO-BREAK SPACE}"
FIGURE_SPACE: Final = "\N{FIGURE SPACE}"

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_SMALL: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_PLACES_SHOWN_WHEN_EXACT: Final = 6


def unit_text(unit: str) -> str:
    """A unit as it is printed: micro as the letter it is, everything else as the plant writes it.

    >>> unit_text("ug/L"), unit_text("mg/L"), unit_text("uS/cm")
    ('µg/L', 'mg/L', 'µS/cm')
    """
    if unit == "unitless":
        return ""
    return f"µ{unit[1:]}" if unit.startswith(("ug", "uS", "um", "uW", "uM")) else unit


def with_unit(number: str, unit: str) -> str:
    """A number and its unit, kept on one line; nothing when there is no number."""
    printed = unit_text(unit)
    return f"{number}{NO_BREAK}{printed}" if number and printed else number


def whole(number: int) -> str:
    """A count with a comma between thousands."""
    return f"{number:,}"


def count_word(number: int) -> str:
    """A count in a sentence: a word up to ten, a figure above.

    >>> count_word(3), count_word(0), count_word(61)
    ('three', 'no', '61')
    """
    return _SMALL[number] if 0 <= number < len(_SMALL) else whole(number)


def plural(number: int, one: str, many: str = "") -> str:
    """A count with its noun: ``1 cell``, ``41 cells``."""
    return f"{whole(number)} {one if number == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """Text with its first letter capital and the rest untouched (``str.capitalize`` would spoil N-Nitroso...)."""
    return text[:1].upper() + text[1:]


def decimal_text(value: Decimal) -> str:
    """A decimal of the plant folder as it is written there, never in powers of ten.

    >>> decimal_text(Decimal("0.010")), decimal_text(Decimal("1E+3"))
    ('0.010', '1000')
    """
    return f"{value:f}"


def stored_text(value: Decimal) -> str:
    """A decimal read back from the store, whose column fills every value up with zeros to fifteen places.

    >>> stored_text(Decimal("0.500000000000000")), stored_text(Decimal("100.000000000000000"))
    ('0.5', '100')
    """
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


class AsReported(Protocol):
    """Whatever holds a value as a laboratory reported it."""

    @property
    def kind(self) -> ValueKind:
        """What the value cell says."""

    @property
    def value(self) -> Decimal | None:
        """The number, or the limit of a censored value."""

    @property
    def value_text(self) -> str:
        """The text of the cell."""


def reported(result: AsReported) -> str:
    """The value as the laboratory reported it, without its unit; censored values as ``< 0.5``."""
    number = result.value_text.strip().lstrip("<>≤≥ ") if result.value is not None else ""
    if result.value is not None and not number[:1].isdigit():
        number = stored_text(result.value)
    match result.kind:
        case ValueKind.BELOW:
            return f"<{NO_BREAK}{number}" if number else "not detected"
        case ValueKind.ABOVE:
            return f">{NO_BREAK}{number}" if number else "too high to measure"
        case ValueKind.NUMBER:
            return result.value_text.strip() or number
        case _:
            return result.kind.value


def half_up(value: Fraction, places: int) -> str:
    """A fraction written with a fixed number of decimal places, rounded half up (away from zero).

    >>> half_up(Fraction(879, 100), 1), half_up(Fraction(1, 8), 2), half_up(Fraction(-5, 10), 0)
    ('8.8', '0.13', '-1')
    """
    scaled = (abs(value) * 10**places + Fraction(1, 2)).__floor__()
    sign = "-" if value < 0 and scaled else ""
    digits = str(scaled).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def calculated(value: Fraction, step: Decimal | None = None, beside: Decimal | None = None) -> str:
    """A calculated value at its limit's rounding step; without a step, exactly or to four significant digits.

    Parameters
    ----------
    step
        Rounding step of the limit [limit's unit]; ``None`` when the limit is compared exactly.
    beside
        The limit. Digits are added until the printed value lies on the same side of it as the value does.

    >>> calculated(Fraction(879, 100), Decimal("0.1")), calculated(Fraction(1, 3))
    ('8.8', '0.3333')
    >>> calculated(Fraction("10.00004"), beside=Decimal(10))
    '10.00004'
    """
    if step is not None:
        return half_up(value, max(0, -_exponent(step)))
    places = _places_for(value)
    text = half_up(value, places)
    if beside is not None:
        while _side(Fraction(text), beside) != _side(value, beside) and places < 15:
            places += 1
            text = half_up(value, places)
    return text


def percent(low: Fraction | None, high: Fraction | None) -> str:
    """The share of a limit that is used.

    Whole percents; a tenth more where rounding would put a value on the other side of its limit. ``≤160 %`` when the
    lower bound is zero and only the upper is known, ``27–160 %`` when both are.

    >>> percent(Fraction(108, 100), Fraction(108, 100)).replace(NO_BREAK, " ")
    '108 %'
    >>> percent(Fraction(0), Fraction(8, 5)).replace(NO_BREAK, " ")
    '≤160 %'
    >>> percent(Fraction(1003, 1000), Fraction(1003, 1000)).replace(NO_BREAK, " ")
    '100.3 %'
    """
    if low is None or high is None:
        return ""
    upper = _percent_number(high)
    if low == high:
        return f"{upper}{NO_BREAK}%"
    return f"≤{upper}{NO_BREAK}%" if low <= 0 else f"{_percent_number(low)}–{upper}{NO_BREAK}%"


def statistic(verdict: Verdict) -> str:
    """The compared value of a verdict without its unit: one number, ``< 6.4``, or two bounds; nothing without data."""
    low, high = verdict.compared_low, verdict.compared_high
    if low is None or high is None:
        return ""
    limit = verdict.limit
    if as_reported := _single_result(verdict):
        return as_reported
    upper = calculated(high, limit.step, limit.value)
    if low == high:
        return upper
    return f"<{NO_BREAK}{upper}" if low <= 0 else f"{calculated(low, limit.step, limit.value)}–{upper}"


def limit_number(value: Decimal | None, value_high: Decimal | None = None) -> str:
    """The number of a limit as the limit table writes it; a range as ``6.5–8.5``."""
    if value is None:
        return "" if value_high is None else decimal_text(value_high)
    return decimal_text(value) if value_high is None else f"{decimal_text(value)}–{decimal_text(value_high)}"


def limit_text(limit: Limit) -> str:
    """A limit with its unit and basis: ``10 mg/L as N``; nothing where it has no number."""
    number = with_unit(limit_number(limit.value, limit.value_high), limit.unit)
    return f"{number}{NO_BREAK}{limit.basis.replace(' ', NO_BREAK)}" if number and limit.basis else number


def day(on: date) -> str:
    """A date in running text: ``20 Nov 2026``."""
    return f"{on.day}{NO_BREAK}{_MONTHS[on.month - 1]}{NO_BREAK}{on.year}"


def short_day(on: date) -> str:
    """A date whose year is plain from its surroundings: ``20 Nov``."""
    return f"{on.day}{NO_BREAK}{_MONTHS[on.month - 1]}"


def moment(at: datetime, zone: ZoneInfo) -> str:
    """An instant in the plant's time zone: ``20 Nov 2026, 07:42``."""
    local = at.astimezone(zone)
    return f"{day(local.date())}, {local:%H:%M}"


def right_aligned(texts: Sequence[str]) -> list[str]:
    """Texts padded on the left with figure spaces, so that a column of them ends flush in the bundled font.

    A table of Markdown cells cannot align to the right; a figure space is exactly as wide as a digit.

    >>> [text.count(FIGURE_SPACE) for text in right_aligned(["108", "", "7"])]
    [0, 0, 2]
    """
    longest = max((len(text) for text in texts), default=0)
    return [FIGURE_SPACE * (longest - len(text)) + text if text else "" for text in texts]


def joined(names: Iterable[str]) -> str:
    """Names as a sentence lists them: ``a``, ``a and b``, ``a, b and c``."""
    *first, last = list(names) or [""]
    return f"{', '.join(first)} and {last}" if first else last


def _single_result(verdict: Verdict) -> str:
    """The laboratory's own figures, trailing zeros and all, where one result was compared as it is."""
    if len(verdict.used) != 1 or verdict.limit.step is not None:
        return ""
    result = verdict.used[0].result
    as_it_is = result.value is not None and Fraction(result.value) == verdict.compared_high == verdict.compared_low
    same_unit = result.unit == verdict.limit.unit and result.kind == ValueKind.NUMBER
    return reported(result) if as_it_is and same_unit else ""


def _percent_number(share: Fraction) -> str:
    text = half_up(share * 100, 0)
    hides_the_side = _side(Fraction(text), Decimal(100)) != _side(share * 100, Decimal(100))
    if not hides_the_side:
        return f"{int(text):,}"
    places = 1
    while places < 6 and Fraction(half_up(share * 100, places)) == 100:
        places += 1
    return half_up(share * 100, places)


def _side(value: Fraction, limit: Decimal) -> int:
    return (value > Fraction(limit)) - (value < Fraction(limit))


def _exponent(step: Decimal) -> int:
    exponent = step.normalize().as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


def _places_for(value: Fraction) -> int:
    """Decimal places that show a value exactly where it soon ends, else to four significant digits."""
    for_four_digits = 4
    size = abs(value)
    while size >= 1:
        size, for_four_digits = size / 10, for_four_digits - 1
    while 0 < size < Fraction(1, 10):
        size, for_four_digits = size * 10, for_four_digits + 1
    for_four_digits = max(0, for_four_digits)
    for places in range(max(for_four_digits, _PLACES_SHOWN_WHEN_EXACT) + 1):
        if (value * 10**places).denominator == 1:
            return places
    return for_four_digits
