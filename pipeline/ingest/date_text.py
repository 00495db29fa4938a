"""The date at the beginning of a text, in ISO 8601 or in the order that a layout states; never in a guessed one."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from pipeline.ingest.styles import TimeStyle

# Placeholders for "no date" (0001-01-01, 9999-12-31) lie outside, and no sample does.
FIRST_YEAR, LAST_YEAR = 1900, 2199
NOT_IN_CALENDAR = '"{}" is not in the calendar.'

_ISO = re.compile(r"(?P<first>\d{4})-(?P<second>\d{2})-(?P<third>\d{2})(?!\d)")
_THREE_PARTS = re.compile(
    r"(?P<first>\d{4}|\d{1,2})(?P<mark>[-/.]|\. | )(?P<second>\d{1,2}|[A-Za-z]{3,9})\.?"
    r"(?P=mark)(?P<third>\d{4}|\d{1,2})(?!\d)"
)
_MONTH_IN_WORDS = re.compile(r"(?P<second>[A-Za-z]{3,9})\.? (?P<first>\d{1,2}),? (?P<third>\d{4})(?!\d)")
_RUN_TOGETHER = re.compile(r"(?P<first>\d{2})(?P<second>[A-Za-z]{3})(?P<third>\d{4}|\d{2})(?!\d)")
_DIGITS_ALONE = re.compile(r"(?P<first>\d{4})(?P<second>\d{2})(?P<third>\d{2})(?!\d)")
_SERIAL = re.compile(r"\d{4,6}(?:\.\d+)?")
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Written:
    """A date, and the text behind it."""

    date: date
    rest: str


def written_date(written: str, style: TimeStyle) -> Written | str:
    """The date that a text begins with, and the rest of it; or the sentence that says why there is none.

    Parameters
    ----------
    written
        A text that is not empty, with single blanks.
    """
    if style.serial_from and _SERIAL.fullmatch(written):
        return _from_serial(Decimal(written), style.serial_from)
    match = _ISO.match(written) or (_in_order(written, style) if style.order else None)
    if not match:
        return _no_date(written, style)
    first, second, third = match["first"], match["second"], match["third"]
    year, month, day = _sorted(first, second, third, style)
    if len(year) == 2:
        if style.first_year is None:
            return f'the year of "{written[:40]}" has two digits, and the layout does not say which century they mean.'
        year = str(_in_hundred_years(int(year), style.first_year))
    number = _month(month)
    try:
        return Written(date(int(year), number, int(day)), written[match.end() :])
    except ValueError:
        return NOT_IN_CALENDAR.format(written[:40])


def _in_order(written: str, style: TimeStyle) -> re.Match[str] | None:
    digits = _DIGITS_ALONE.match(written) if style.order == "year first" else None
    return digits or _THREE_PARTS.match(written) or _MONTH_IN_WORDS.match(written) or _RUN_TOGETHER.match(written)


def _sorted(first: str, second: str, third: str, style: TimeStyle) -> tuple[str, str, str]:
    """Year, month and day. Four digits are a year and letters a month, wherever they stand; else the order decides."""
    if len(first) == 4 or (style.order == "year first" and (second.isdigit() or len(third) != 4)):
        return first, second, third
    if style.order == "month first" and second.isdigit():
        return third, first, second
    return third, second, first


def _month(text: str) -> int:
    """The number of a month; 0, which no month has, for a word that is none."""
    if text.isdigit():
        return int(text)
    return next((number for number, name in enumerate(_MONTHS, start=1) if name.startswith(text.casefold())), 0)


def _in_hundred_years(two_digits: int, first_year: int) -> int:
    return first_year + (two_digits - first_year) % 100


def _from_serial(days: Decimal, serial_from: int) -> Written | str:
    # Counted from 1900, a spreadsheet has a 29 February 1900 that never was: dates before March 1900 are not read.
    start = datetime(1904, 1, 1) if serial_from == 1904 else datetime(1899, 12, 30)  # noqa: DTZ001
    if days > 110_000 or (serial_from == 1900 and days < 61):
        return f'"{days}" is not a date as a spreadsheet counts days.'
    moment = start + timedelta(milliseconds=round(days * 86_400_000))
    has_time = days != int(days)
    return Written(moment.date(), moment.strftime(" %H:%M:%S.%f") if has_time else "")


def _no_date(written: str, style: TimeStyle) -> str:
    if not style.order and _THREE_PARTS.match(written):
        return f'"{written[:40]}" can be read as more than one day: the layout does not say the order of its dates.'
    order = f", {style.order}" if style.order else ""
    return f'"{written[:40]}" is not a date or time{order}.'
