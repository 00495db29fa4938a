"""Value texts that are no plain number: what each says, read once for all cells that are written so."""

import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation, localcontext
from typing import Final

from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.ingest.file_layout import folded
from pipeline.plant.analyzers import STORED_DECIMALS

EMPTY: Final = "empty"
NOT_A_NUMBER: Final = "number"
TOO_LONG: Final = "digits"
_WHOLE_DIGITS: Final = 18 - STORED_DECIMALS
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)


def plain_pattern(layout: ReadingsLayout) -> str:
    """The pattern of numbers that are stored as they are, or rounded where the layout says to how many decimals."""
    mark = "," if layout.decimal_comma else "[.]"
    decimals = "*" if layout.decimals is not None else f"{{0,{STORED_DECIMALS}}}"
    return rf"[+-]?[0-9]{{1,{_WHOLE_DIGITS - 1}}}({mark}[0-9]{decimals})?"


def read_odd_value(text: str, layout: ReadingsLayout) -> tuple[Decimal | None, str]:
    """What a value text says: a number, or why it is none (one of the codes above).

    Examples
    --------
    >>> narrow = ReadingsLayout(
    ...     name="x", signature=("a", "b"), shape="narrow", columns={"time": "a", "tag": "b", "value": "c"},
    ...     time={"zone": "UTC"}, missing=("NA",),
    ... )
    >>> read_odd_value("1.5E-3", narrow), read_odd_value("NA", narrow), read_odd_value("1,5", narrow)
    ((Decimal('0.0015'), ''), (None, 'empty'), (None, 'number'))
    >>> read_odd_value("0.30000001192092896", narrow)
    (None, 'digits')
    """
    written = text.strip()
    if not written or folded(written) in {folded(mark) for mark in layout.missing}:
        return None, EMPTY
    if folded(written) in layout.words.value:
        written = layout.words.value[folded(written)]
    elif layout.decimal_comma:
        written = _with_point(written)
    if not _NUMBER.fullmatch(written):
        return None, NOT_A_NUMBER
    try:
        return _fitted(Decimal(written), layout.decimals)
    except InvalidOperation:
        return None, TOO_LONG


def _with_point(written: str) -> str:
    """A number with a decimal comma, with a point; one with a point already is not a number any more."""
    return "" if "." in written else written.replace(",", ".")


def _fitted(number: Decimal, decimals: int | None) -> tuple[Decimal | None, str]:
    with localcontext(prec=400):
        kept = STORED_DECIMALS if decimals is None else decimals
        rounded = number.quantize(Decimal(1).scaleb(-kept), rounding=ROUND_HALF_UP)
    if (decimals is None and rounded != number) or abs(rounded) >= Decimal(10) ** _WHOLE_DIGITS:
        return None, TOO_LONG
    return (number if decimals is None else rounded), ""
