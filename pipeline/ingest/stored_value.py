"""A converted value as the store keeps it."""

from decimal import Decimal
from fractions import Fraction

from pipeline.ingest.value_text import STORED_DECIMALS


def to_stored(value: Fraction) -> Decimal | None:
    """A converted value as the store keeps it: 15 decimals, half even; ``None`` when it is too large to keep.

    For display, trends and finding a slip only: a verdict converts from the value as reported.
    """
    scaled = round(value * 10**STORED_DECIMALS)
    # Written out, because arithmetic with decimals keeps 28 digits and the store has 38.
    return Decimal(f"{scaled}E-{STORED_DECIMALS}") if abs(scaled) < 10**38 else None
