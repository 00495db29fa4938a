"""Numbers with the marks that a layout states: read back as written, and never where they could mean two numbers."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from pipeline.ingest.styles import NumberStyle
from pipeline.ingest.value_text import read_number, read_value
from pipeline.vocabulary import ValueKind

COMMA = NumberStyle(decimal=",")
GROUPED = NumberStyle(thousands=",")
STYLES = [
    NumberStyle(decimal=decimal, thousands=thousands)
    for decimal in (".", ",")
    for thousands in ("", ",", ".", " ", "'")
    if decimal != thousands
]


def written(value: Decimal, style: NumberStyle) -> str:
    """The number as its writer writes it: Python's own grouping, with the marks exchanged."""
    text = f"{value:,f}" if style.thousands else f"{value:f}"
    return text.translate(str.maketrans({",": style.thousands or "", ".": style.decimal}))


@given(st.decimals(-(10**9), 10**9, places=3), st.sampled_from(STYLES))
def test_a_number_is_read_back_with_its_digits(value: Decimal, style: NumberStyle) -> None:
    number = read_number(written(value, style), style)
    assert (number.value, str(number.value)) == (value, str(value))


@pytest.mark.parametrize(
    ("text", "style"),
    [
        ("1,23", GROUPED), ("0,123", GROUPED), ("12,34", GROUPED), ("1234,567", GROUPED), ("1,234,56", GROUPED),
        (",123", GROUPED),
        ("1.5", COMMA), ("1,234.5", COMMA), ("1 234", COMMA), ("1.23", NumberStyle(decimal=",", thousands=".")),
        ("1,234", NumberStyle()), ("1 234", NumberStyle()),
    ],
)  # fmt: skip
def test_what_could_be_two_numbers_is_none(text: str, style: NumberStyle) -> None:
    number = read_number(text, style)
    assert number.value is None
    assert f'"{text}" is not a number' in number.problem


def test_a_blank_between_thousands_may_be_of_any_kind() -> None:
    style = NumberStyle(decimal=",", thousands=" ")
    assert [read_number(f"1{blank}234,5", style).value for blank in " \u00a0\u202f\u2009"] == [Decimal("1234.5")] * 4


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("<0,5", ValueKind.BELOW, "0.5"),
        ("> 2.000,5", ValueKind.ABOVE, "2000.5"),
        ("ND (<1.234)", ValueKind.BELOW, "1234"),
    ],
)
def test_a_censored_value_has_the_same_marks(text: str, kind: ValueKind, value: str) -> None:
    reading = read_value(text, style=NumberStyle(decimal=",", thousands="."))
    assert (reading.kind, reading.value) == (kind, Decimal(value))


def test_one_mark_for_two_things_is_a_fault() -> None:
    with pytest.raises(ValidationError, match="one mark"):
        NumberStyle(decimal=",", thousands=",")
