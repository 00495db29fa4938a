"""What screening asks of a unit table, without knowing it."""

from fractions import Fraction
from typing import Protocol


class Converter(Protocol):
    """Bring a value to another unit and basis, exactly.

    Raises
    ------
    pipeline.errors.ConversionError
        When the value cannot be brought there: unknown unit, missing basis, another dimension.
    """

    def __call__(
        self,
        value: Fraction,
        *,
        analyte: str,
        from_unit: str,
        from_basis: str,
        to_unit: str,
        to_basis: str,
    ) -> Fraction:
        """Return the value [``to_unit``, ``to_basis``]."""
        ...
