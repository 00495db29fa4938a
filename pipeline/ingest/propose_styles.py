"""How a sender writes dates and numbers, by the evidence of every row: never by the custom of a country."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

_ISO = re.compile(r"\d{4}-\d{2}-\d{2}(?!\d)")
_DIGITS = re.compile(r"(\d{1,4})\s*[./-]\s*(\d{1,2})\s*[./-]\s*(\d{1,4})(?!\d)")
_NUMBER = re.compile(r"[<>\u2264\u2265~=\s]*([+-]?\d[\d.,'\u2019\s]*)(?:[eE][+-]?\d+)?\s*[A-Za-z*]*")
_CLOCK = re.compile(r"\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:\s*[AaPp]\.?[Mm]\.?)?")
MOST_DAYS_OF_A_MONTH: Final = 31


@dataclass(frozen=True, slots=True)
class DateEvidence:
    """What the dates of a file say of their order.

    ``order`` is empty for ISO 8601, and where nothing decides; ``doubt`` then says what is open. ``reason`` names the
    date that decides. ``two_digits`` says whether years are written with two digits.
    """

    order: str = ""
    reason: str = ""
    doubt: str = ""
    two_digits: bool = False


@dataclass(frozen=True, slots=True)
class NumberEvidence:
    """What the numbers of a file say of their marks; ``doubt`` says what is open."""

    decimal: str = "."
    thousands: str = ""
    reason: str = ""
    doubt: str = ""


def is_clock_time(text: str) -> bool:
    """Whether a text is a time of day alone."""
    return bool(_CLOCK.fullmatch(text.strip()))


def looks_like_a_date(text: str) -> bool:
    """Whether a text begins with a date, however it is written."""
    written = text.strip()
    if _ISO.match(written):
        return True
    match = _DIGITS.match(written)
    if match and _is_possible(match.groups()):
        return True
    return bool(_WITH_MONTH.match(written))


_WITH_MONTH = re.compile(
    r"(?:\d{1,2}[\s.-]*)?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[\s.,-]*\d{1,4}", re.IGNORECASE
)


def _is_possible(parts: tuple[str, ...]) -> bool:
    first, second, third = parts
    if len(first) == 4:
        return 1 <= int(second) <= 12 and 1 <= int(third) <= MOST_DAYS_OF_A_MONTH and len(third) <= 2
    days = int(first), int(second)
    return len(first) <= 2 and len(third) in (2, 4) and 1 <= min(days) <= 12 and max(days) <= MOST_DAYS_OF_A_MONTH


def date_evidence(texts: Iterable[str]) -> DateEvidence:
    """The order of dates written with digits.

    Examples
    --------
    A day above 12 decides; without one the order stays open:

    >>> date_evidence(["01/02/2026", "01/13/2026"]).order
    'month first'
    >>> date_evidence(["01/02/2026", "03/04/2026"]).doubt
    'Every day is 12 or less: nothing says whether "01/02/2026" is January or February.'
    """
    seen: dict[str, str] = {}
    example, two_digits = "", False
    for text in texts:
        written = text.strip()
        if _ISO.match(written) or not (match := _DIGITS.match(written)):
            continue
        first, second, third = match.groups()
        example = example or match.group()
        if len(first) == 4:
            seen.setdefault("year first", match.group())
            continue
        two_digits = two_digits or len(third) == 2
        if int(first) > 12:
            seen.setdefault("day first", match.group())
        elif int(second) > 12:
            seen.setdefault("month first", match.group())
    if len(seen) > 1:
        said = " and ".join(f'"{written}" is {order}' for order, written in seen.items())
        return DateEvidence(doubt=f"Two orders of dates stand in the file: {said}.", two_digits=two_digits)
    if seen:
        ((order, written),) = seen.items()
        return DateEvidence(order, f'"{written}" can be read in no other order', two_digits=two_digits)
    if not example:
        return DateEvidence()
    months = [_MONTHS[int(part) - 1] for part in re.findall(r"\d+", example)[:2]]
    doubt = f'Every day is 12 or less: nothing says whether "{example}" is {months[0]} or {months[1]}.'
    return DateEvidence(doubt=doubt, two_digits=two_digits)


_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def first_of_hundred_years(today: date) -> int:
    """The first of the hundred years that two digits most likely mean: those up to this year."""
    return today.year - 99


def number_evidence(texts: Iterable[str]) -> NumberEvidence:
    """The marks of decimals and thousands.

    Examples
    --------
    >>> number_evidence(["0,5", "1.250,0"])
    NumberEvidence(decimal=',', thousands='.', reason='"0,5" can be read in no other way', doubt='')
    >>> number_evidence(["1,250", "2,300"]).doubt
    'Nothing says whether "1,250" is a decimal or a group of thousands.'
    """
    decimals: dict[str, str] = {}
    thousands: dict[str, str] = {}
    open_marks: dict[str, str] = {}
    for text in texts:
        match = _NUMBER.fullmatch(text.strip())
        if not match:
            continue
        _sort_marks(match[1].strip(), decimals, thousands, open_marks)
    if "," in decimals and "." in decimals:
        doubt = f'Both marks stand for the decimal: "{decimals[","]}" and "{decimals["."]}".'
        return NumberEvidence(doubt=doubt)
    decimal = "," if "," in decimals or "." in thousands else "."
    reason = decimals.get(decimal, "") or next(iter(thousands.values()), "")
    group = next((mark for mark in thousands if mark != decimal), "")
    undecided = [] if decimals or thousands else list(open_marks.values())
    if undecided:
        return NumberEvidence(doubt=f'Nothing says whether "{undecided[0]}" is a decimal or a group of thousands.')
    if not group and decimal == "." and "," in open_marks:
        group, reason = ",", open_marks[","]
    said = f'"{reason}" can be read in no other way' if reason and (decimal, group) != (".", "") else ""
    return NumberEvidence(decimal, group, said)


def _sort_marks(number: str, decimals: dict[str, str], thousands: dict[str, str], open_marks: dict[str, str]) -> None:
    """Note what one number says of its marks; a point or a comma before three digits alone says nothing."""
    number = number.replace("\u2019", "'").replace("\u202f", " ").replace("\u00a0", " ")
    marks = [sign for sign in number if sign in ",.' "]
    if not marks:
        return
    last = marks[-1]
    behind = len(number.rpartition(last)[2])
    if last in ",." and (marks.count(last) == 1 and (behind != 3 or number.lstrip("+-").startswith(f"0{last}"))):
        decimals.setdefault(last, number)
        for mark in marks[:-1]:
            thousands.setdefault(mark, number)
    elif len(set(marks)) == 2 and marks.count(last) == 1 and last in ",.":
        decimals.setdefault(last, number)
        thousands.setdefault(marks[0], number)
    elif (marks.count(last) > 1 and behind == 3) or (last in "' " and behind == 3):
        thousands.setdefault(last, number)
    elif last in ",.":
        open_marks.setdefault(last, number)
