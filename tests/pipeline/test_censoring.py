"""What a reported value says before any rule is asked."""

from decimal import Decimal
from fractions import Fraction

import pytest

from pipeline.censoring import nondetect_limit, reported_range
from pipeline.vocabulary import ValueKind

HALF = Decimal("0.5")


@pytest.mark.parametrize(
    ("kind", "value", "expected"),
    [
        (ValueKind.NUMBER, HALF, (Fraction(1, 2), Fraction(1, 2))),
        (ValueKind.BELOW, HALF, (Fraction(0), Fraction(1, 2))),
        (ValueKind.ABOVE, HALF, (Fraction(1, 2), None)),
        (ValueKind.PRESENT, None, (Fraction(0), None)),
        (ValueKind.TOO_NUMEROUS, None, (Fraction(0), None)),
        (ValueKind.NOT_ANALYZED, None, None),
        (ValueKind.UNREADABLE, HALF, None),
        (ValueKind.NUMBER, None, None),
    ],
)
def test_a_cell_allows_a_range(kind, value, expected) -> None:
    assert reported_range(kind, value) == expected


@pytest.mark.parametrize(
    ("written", "reporting", "detection", "limit"),
    [
        (HALF, Decimal(1), Decimal("0.1"), HALF),
        (None, Decimal(1), Decimal("0.1"), Decimal(1)),
        (None, None, HALF, HALF),
    ],
)
def test_the_limit_of_a_nondetect_is_the_number_beside_the_sign_first(written, reporting, detection, limit) -> None:
    assert nondetect_limit(written, reporting, detection) == limit


def test_a_nondetect_without_any_limit_has_no_upper_end() -> None:
    assert reported_range(ValueKind.BELOW, None) == (Fraction(0), None)
