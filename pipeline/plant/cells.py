"""What a cell of a plant table may say, and how its text becomes a typed value.

Each type takes the text of a CSV cell, or a value that already has its type (so that rows can be made in code). A text
that cannot be read raises an error which carries the problem and its remedy in plain words;
:mod:`pipeline.plant.table_reader` adds file, line and column.
"""

import re
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Annotated

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

_DECIMAL = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d{1,3})?")
_FRACTION = re.compile(r"-?\d+(\.\d+)?(/[1-9]\d*)?")
_ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_MEMBER = re.compile(r"(?P<analyte>.+?)(?P<sign>[/*])(?P<number>-?\d+(\.\d+)?)")


def cell_fault(problem: str, remedy: str) -> PydanticCustomError:
    """A fault of one cell: what is wrong and what to do, in plain words."""
    return PydanticCustomError("plant_cell", "{problem}", {"problem": problem, "remedy": remedy})


def _nothing_is_none(value: object) -> object:
    return None if isinstance(value, str) and not value.strip() else value


def _read_yes_no(value: object) -> object:
    if not isinstance(value, str):
        return value
    answers = {"yes": True, "no": False}
    if (word := value.strip().casefold()) in answers:
        return answers[word]
    raise cell_fault(f"{value!r} is neither yes nor no.", "Write yes or no.")


def _read_yes_no_or_nothing(value: object) -> object:
    return _read_yes_no(value) if _nothing_is_none(value) is not None else None


def _read_list(value: object) -> object:
    if not isinstance(value, str):
        return value
    return tuple(part for part in (piece.strip() for piece in value.split(";")) if part)


def _read_parameters(value: object) -> object:
    if not isinstance(value, str):
        return value
    parameters: dict[str, str] = {}
    for part in (piece.strip() for piece in value.split(";") if piece.strip()):
        key, equals, content = (text.strip() for text in part.partition("="))
        if not (key and equals and content):
            raise cell_fault(f"{part!r} is not a pair of the form key=value.", "Write key=value;key=value.")
        if key in parameters:
            raise cell_fault(f"the key {key!r} stands there twice.", "Keep one of them.")
        parameters[key] = content
    return parameters


def _read_decimal(value: object) -> object:
    if not isinstance(value, str):
        return value
    if _DECIMAL.fullmatch(text := value.strip()):
        return Decimal(text)
    raise cell_fault(f"{value!r} is not a number.", "Write digits with a decimal point and no thousands separator.")


def _read_decimal_or_nothing(value: object) -> object:
    return _read_decimal(value) if _nothing_is_none(value) is not None else None


def _read_step(value: object) -> object:
    if isinstance(value, str) and value.strip() == "exact":
        return None
    if _nothing_is_none(value) is None:
        if isinstance(value, str):
            raise cell_fault("no rounding step is given.", "Write exact, or a step such as 0.001 in the limit's unit.")
        return None
    step = _read_decimal(value)
    if isinstance(step, Decimal) and step <= 0:
        raise cell_fault(f"a rounding step of {value} is not possible.", "Write exact, or a step above zero.")
    return step


def _read_fraction(value: object) -> object:
    if not isinstance(value, str):
        return value
    if not _FRACTION.fullmatch(text := value.strip()):
        raise cell_fault(f"{value!r} is neither a number nor a fraction.", "Write it as 0.001 or as 20668/4669.")
    numerator, _, denominator = text.partition("/")
    return Fraction(numerator) / Fraction(denominator or 1)


def _read_fraction_or_nothing(value: object) -> object:
    return _read_fraction(value) if _nothing_is_none(value) is not None else None


def _read_date_or_nothing(value: object) -> object:
    if not isinstance(value, str):
        return value
    if not (text := value.strip()):
        return None
    try:
        # Only the long ISO form: 20250304 or 2025-W10 would be read by some tools and not by others.
        if _ISO_DATE.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise cell_fault(f"{value!r} is not a date of the calendar.", "Write it as YYYY-MM-DD.")


def _read_time_text(value: object) -> object:
    """Keep the text of a time or bare date, once it is known to be one."""
    if not isinstance(value, str) or not (text := value.strip()):
        return value
    try:
        datetime.fromisoformat(text)
    except ValueError:
        raise cell_fault(
            f"{value!r} is not a time or date.", "Write YYYY-MM-DD HH:MM, or YYYY-MM-DD when only the day is known."
        ) from None
    return text


def _read_whole_number_or_nothing(value: object) -> object:
    if not isinstance(value, str):
        return value
    if not (text := value.strip()):
        return None
    if text.isascii() and text.isdigit():
        return int(text)
    raise cell_fault(f"{value!r} is not a whole number.", "Write digits only.")


def _read_members(value: object) -> object:
    if not isinstance(value, str):
        return value
    members: list[Mapping[str, object]] = []
    for part in (piece.strip() for piece in value.split(";") if piece.strip()):
        match = _MEMBER.fullmatch(part)
        if match is None:
            members.append({"analyte": part, "factor": Fraction(1)})
            continue
        number = Fraction(match["number"])
        if number == 0:
            raise cell_fault(f"{part!r} has a factor or divisor of zero.", "Write the factor of the member.")
        factor = number if match["sign"] == "*" else 1 / number
        members.append({"analyte": match["analyte"].strip(), "factor": factor})
    return tuple(members)


YesNo = Annotated[bool, BeforeValidator(_read_yes_no)]
YesNoOrNothing = Annotated[bool | None, BeforeValidator(_read_yes_no_or_nothing)]
Words = Annotated[tuple[str, ...], BeforeValidator(_read_list)]
Parameters = Annotated[dict[str, str], BeforeValidator(_read_parameters)]
Number = Annotated[Decimal, BeforeValidator(_read_decimal)]
NumberOrNothing = Annotated[Decimal | None, BeforeValidator(_read_decimal_or_nothing)]
Step = Annotated[Decimal | None, BeforeValidator(_read_step)]
ExactNumber = Annotated[Fraction, BeforeValidator(_read_fraction)]
ExactNumberOrNothing = Annotated[Fraction | None, BeforeValidator(_read_fraction_or_nothing)]
DateOrNothing = Annotated[date | None, BeforeValidator(_read_date_or_nothing)]
TimeText = Annotated[str, BeforeValidator(_read_time_text)]
WholeNumberOrNothing = Annotated[int | None, BeforeValidator(_read_whole_number_or_nothing)]
read_members = BeforeValidator(_read_members)
