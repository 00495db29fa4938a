"""A laboratory's value cell, read: a number, a censored value, a word, or unreadable; nothing is guessed."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from pipeline.ingest.layout import ConditionMeaning
from pipeline.ingest.styles import NumberStyle
from pipeline.vocabulary import ValueKind

# The store keeps DECIMAL(38,15): 23 digits before the point and 15 after it.
STORED_DECIMALS = 15
STORED_WHOLE_DIGITS = 23

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_CENSORED = re.compile(
    r"(?P<prefix>nd|n\.d\.)?\s*\(?\s*(?P<sign><=|>=|<|>|≤|≥)\s*(?P<number>[^()]+?)\s*\)?", re.IGNORECASE
)
_SPELLINGS: dict[ValueKind, tuple[str, ...]] = {
    ValueKind.BELOW: (
        "nd", "n.d.", "n/d", "not detected", "non-detect", "none detected", "<mdl", "<rl", "<dl", "bdl", "brl",
    ),
    ValueKind.PRESENT: ("present", "positive", "detected"),
    ValueKind.ABSENT: ("absent", "negative"),
    ValueKind.TOO_NUMEROUS: ("tntc", "too numerous to count", "confluent growth"),
    ValueKind.NOT_ANALYZED: ("not analyzed", "not analysed", "not reported", "bottle broken", "na", "n/a"),
}  # fmt: skip
_WORDS = {spelling: kind for kind, spellings in _SPELLINGS.items() for spelling in spellings}
PLAIN = NumberStyle()
_DETECTION_LIMIT_WORDS = frozenset({"<mdl", "<dl", "bdl"})


class Number(NamedTuple):
    """A decimal as written, or why it is none."""

    value: Decimal | None
    problem: str


@dataclass(frozen=True, slots=True)
class ValueReading:
    """What a value cell says.

    ``value`` is the number, or the limit of a censored value; ``None`` with kind ``below`` or ``above`` means that the
    limit has to come from the limit columns, the detection limit first where ``at_detection_limit``. ``estimated`` is
    set where the sender says that the number lies between its two limits. ``problem`` is why the text is unreadable.
    """

    kind: ValueKind | None
    value: Decimal | None = None
    at_detection_limit: bool = False
    estimated: bool = False
    problem: str = ""


def read_number(text: str, style: NumberStyle = PLAIN) -> Number:
    """A decimal number exactly as written; ``(None, "")`` for an empty text.

    With a mark for thousands a number has it between all its groups of three digits or between none, and does not begin
    with a zero: "1,23" and "0,123" can be read in two ways, and are not read.

    Examples
    --------
    >>> read_number("1.234,5", NumberStyle(decimal=",", thousands="."))
    Number(value=Decimal('1234.5'), problem='')
    >>> read_number("0.50")
    Number(value=Decimal('0.50'), problem='')
    >>> read_number("12..4").problem
    '"12..4" is not a number.'
    """
    written = text.strip()
    if not written:
        return Number(None, "")
    plain = written if style == PLAIN else _in_plain_digits(written, style)
    if not _NUMBER.fullmatch(plain):
        return Number(None, f'"{_shown(written)}" is not a number{_in_style(style)}.')
    value = Decimal(plain)
    if not fits_the_store(value):
        return Number(None, f'"{_shown(written)}" has more digits than can be kept exactly.')
    within = -STORED_DECIMALS <= int(value.as_tuple().exponent) <= 0
    return Number(value if within else _without_last_zeros(value), "")


def _in_plain_digits(written: str, style: NumberStyle) -> str:
    """The number with a point for the decimal and no mark for thousands; ``""`` where the marks are not the style's."""
    thousands = r"\s" if style.thousands == " " else re.escape(style.thousands)
    grouped = rf"[1-9][0-9]{{0,2}}(?:{thousands}[0-9]{{3}})+" if style.thousands else "(?!)"
    match = re.fullmatch(
        rf"(?P<sign>[+-]?)(?P<whole>{grouped}|[0-9]*)(?:{re.escape(style.decimal)}(?P<part>[0-9]*))?(?P<power>[eE].*)?",
        written,
    )
    if not match:
        return ""
    whole = re.sub("[^0-9]", "", match["whole"])
    part = "" if match["part"] is None else f".{match['part']}"
    return f"{match['sign']}{whole}{part}{match['power'] or ''}"


def _in_style(style: NumberStyle) -> str:
    if style == PLAIN:
        return ""
    thousands = f', "{style.thousands}" for thousands' if style.thousands else ""
    return f' with "{style.decimal}" for the decimal{thousands}'


def fits_the_store(value: Decimal) -> bool:
    """Whether a decimal keeps its value in the store: at most 23 digits before and 15 after the point."""
    parts = _without_last_zeros(value).as_tuple()
    exponent = int(parts.exponent)
    return -exponent <= STORED_DECIMALS and len(parts.digits) + exponent <= STORED_WHOLE_DIGITS


def _without_last_zeros(value: Decimal) -> Decimal:
    """The same number in its fewest digits; ``Decimal.normalize`` would round it to 28."""
    sign, digits, exponent = value.as_tuple()
    written = "".join(map(str, digits))
    kept = written.rstrip("0")
    if not kept:
        return Decimal(0)
    return Decimal((sign, tuple(map(int, kept)), int(exponent) + len(written) - len(kept)))


def read_value(
    value_text: str,
    *,
    condition: ConditionMeaning | None = None,
    condition_text: str = "",
    says_not_detected: bool = False,
    style: NumberStyle = PLAIN,
) -> ValueReading:
    """Read one value cell together with what its detection condition and qualifier say.

    Parameters
    ----------
    value_text
        The cell as written.
    condition
        The meaning of the detection condition by the layout; ``None`` where there is none or it is not known.
    condition_text
        The detection condition as written; not empty with ``condition`` ``None`` means that its words are not known.
    says_not_detected
        Whether a qualifier says "not detected" (U in the EPA data review meaning: not detected at or above the level
        stated, EPA National Functional Guidelines).
    style
        The marks with which the sender writes numbers.

    Returns
    -------
    ValueReading
        ``kind`` ``None`` when the cell is empty: nothing was reported there.

    Examples
    --------
    >>> read_value("<0.5").kind, read_value("<0.5").value
    (<ValueKind.BELOW: 'below'>, Decimal('0.5'))
    >>> read_value(">200.5").kind
    <ValueKind.ABOVE: 'above'>
    >>> read_value("", condition="below", condition_text="Not Detected").kind
    <ValueKind.BELOW: 'below'>
    """
    written = " ".join(value_text.split())
    if condition_text.strip() and condition is None:
        return _unreadable(f'the detection condition "{_shown(condition_text)}" is not known.')
    reading = _of_text(written, style) if written else _of_nothing(condition, condition_text, says_not_detected)
    if not written or reading.kind is not ValueKind.NUMBER:
        return reading
    return _with_condition(reading, written, condition, condition_text, says_not_detected)


def _of_text(written: str, style: NumberStyle) -> ValueReading:
    word = _WORDS.get(written.casefold())
    if word is not None:
        return ValueReading(word, at_detection_limit=written.casefold() in _DETECTION_LIMIT_WORDS)
    censored = _CENSORED.fullmatch(written)
    if censored:
        number = read_number(censored["number"], style)
        above = censored["sign"] in (">", ">=", "≥")
        if number.value is None or number.value < 0 or (above and censored["prefix"]):
            return _unreadable(f'"{_shown(written)}" is not a value.')
        return ValueReading(ValueKind.ABOVE if above else ValueKind.BELOW, number.value)
    if written.startswith("=") and len(written) > 1:
        return _unreadable(f'"{_shown(written)}" is a formula, and its value was not saved with it.')
    number = read_number(written, style)
    if number.value is None:
        return _unreadable(number.problem)
    return ValueReading(ValueKind.NUMBER, number.value)


def _of_nothing(condition: ConditionMeaning | None, condition_text: str, says_not_detected: bool) -> ValueReading:
    if condition in ("below", "below detection limit") or (condition is None and says_not_detected):
        return ValueReading(ValueKind.BELOW, at_detection_limit=condition == "below detection limit")
    if condition == "estimated":  # somewhere below the quantitation level: censored at it, if it is known
        return ValueReading(ValueKind.BELOW)
    if condition == "above":
        return ValueReading(ValueKind.ABOVE)
    if condition == "present":
        return ValueReading(ValueKind.PRESENT)
    if condition == "not analyzed":
        return ValueReading(ValueKind.NOT_ANALYZED)
    if condition == "remark":
        return _unreadable(f'there is no value, only the remark "{_shown(condition_text)}".')
    return ValueReading(None)


def _with_condition(
    reading: ValueReading,
    written: str,
    condition: ConditionMeaning | None,
    condition_text: str,
    says_not_detected: bool,
) -> ValueReading:
    if condition in ("below", "below detection limit", "not analyzed"):
        return _unreadable(f'the value "{_shown(written)}" stands beside "{_shown(condition_text)}": which one counts?')
    if condition == "above":
        return ValueReading(ValueKind.ABOVE, reading.value)
    if says_not_detected:
        return ValueReading(ValueKind.BELOW, reading.value)
    return ValueReading(ValueKind.NUMBER, reading.value, estimated=condition == "estimated")


def _unreadable(problem: str) -> ValueReading:
    return ValueReading(ValueKind.UNREADABLE, problem=problem)


def _shown(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
