"""One cell of a workbook as the text that a person sees in it, as far as it can be kept without rounding."""

import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

# A spreadsheet shows and takes 15 significant digits; what it stores beyond them is noise of binary arithmetic.
SHOWN_DIGITS = 15
_LITERAL = re.compile(r'"([^"]*)"|\\(.)|\[[^\]]*\]')


def cell_text(cell: Any, formula: Any = None) -> str:
    """The text of a cell; empty where nothing stands in it.

    Parameters
    ----------
    cell
        The cell as openpyxl reads it, with the stored value of a formula.
    formula
        The same cell with its formula; ``None`` where the workbook has none.

    Returns
    -------
    str
        Texts as they are. Numbers with the digits that are stored, up to 15, whatever format they are shown in; with a
        percent sign or with "<" where the format adds one. Dates and times in ISO 8601, without a time where the format
        shows none. ``TRUE`` and ``FALSE``, error values such as ``#N/A``, and a formula whose value was not saved
        (``=B2*2``) as such: none of them can be read as a value.
    """
    value = None if cell is None else cell.value
    if value is None:
        return str(formula.value) if formula is not None and formula.data_type == "f" else ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int | float):
        return _number(value, str(cell.number_format))
    if isinstance(value, datetime | date | time | timedelta):
        return _moment(value, str(cell.number_format))
    return str(value)


def _number(value: float, number_format: str) -> str:
    written = str(value) if isinstance(value, int) else _shortest(value)
    added = "".join(quoted or escaped for quoted, escaped in _LITERAL.findall(number_format))
    if "%" in _LITERAL.sub("", number_format):
        return f"{(Decimal(written) * 100).normalize():f}%"
    if re.search("[<>≤≥]", re.sub(r"\[(?![<>=])[^\]]*\]", "", number_format)):
        # The format writes a sign that the cell does not hold: the text says both, and only a sign alone can be read.
        return f"{added.strip()}{written}" if added.strip() in ("<", ">", "≤", "≥") else f"{written} [{number_format}]"
    return written


def _shortest(value: float) -> str:
    """The fewest digits that give the number, and no more than a spreadsheet shows."""
    if value.is_integer() and abs(value) < 10**SHOWN_DIGITS:
        return str(int(value))
    return min(repr(value), f"{value:.{SHOWN_DIGITS}g}", key=len)


def _moment(value: datetime | date | time | timedelta, number_format: str) -> str:
    if isinstance(value, datetime):
        shows_time = bool(re.search("[hs]", _LITERAL.sub("", number_format.casefold())))
        return str(value) if shows_time or value.time() != time() else value.date().isoformat()
    return str(value)
