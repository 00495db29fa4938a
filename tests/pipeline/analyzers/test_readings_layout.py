"""Layouts of readings: what docs/readings.md shows can be used, every key is explained, contradictions are refused."""

import re
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from pipeline.analyzers.accounting import FATES
from pipeline.analyzers.flags import QARTOD
from pipeline.analyzers.readings_layout import ReadingsLayout, ReadingWords, TimeColumn
from pipeline.ingest.layout_files import read_layout
from pipeline.vocabulary import CellOutcome, ReadingFlag
from tests.pipeline.analyzers.historian import narrow_layout, wide_layout

DOCUMENT = (Path(__file__).parents[3] / "docs" / "readings.md").read_text("utf-8")


@pytest.mark.parametrize("shown", re.findall(r"```toml\n(.*?)```", DOCUMENT, re.DOTALL))
def test_the_layouts_that_are_shown_can_be_used(shown: str) -> None:
    layout = read_layout("shown.toml", shown)
    assert isinstance(layout, ReadingsLayout)
    assert layout.gap == ""


@pytest.mark.parametrize("key", [*ReadingsLayout.model_fields, *TimeColumn.model_fields, *ReadingWords.model_fields])
def test_every_key_is_explained(key: str) -> None:
    assert f"`{key}`" in DOCUMENT


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"columns": {"time": "t", "tag": "g", "value": "v", "quality": "q"}}, "has no column quality"),
        ({"status_suffix": " Q"}, "status_suffix is for wide files"),
        ({"set_aside": [{"column": "x", "reason": "y"}]}, "needs the texts"),
        ({"decimals": 7}, "less than or equal to 6"),
        ({"words": {"value": {"RUN": "on"}}}, "has to mean a number"),
        ({"words": {"flag": {"Good": "fine"}}}, "Input should be"),
        ({"sheets": ["a"]}, "no workbooks"),
        ({"delimeter": ";"}, "Extra inputs"),
    ],
)
def test_a_layout_that_contradicts_itself_is_refused(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        narrow_layout(**changes)


def test_a_layout_says_what_it_leaves_out() -> None:
    assert narrow_layout(columns={"time": "t"}).gap == "which column holds tag, value"
    assert wide_layout().gap == ""


def test_flags_have_the_numbers_of_the_open_manual() -> None:
    # QARTOD data quality flags, U.S. IOOS 2020, table 1 [memory].
    assert QARTOD == {
        ReadingFlag.GOOD: 1, ReadingFlag.NOT_EVALUATED: 2, ReadingFlag.SUSPECT: 3, ReadingFlag.FAIL: 4,
        ReadingFlag.MISSING: 9,
    }  # fmt: skip


def test_every_held_cell_has_a_remedy() -> None:
    held = [fate for fate in FATES.values() if fate.outcome is CellOutcome.HELD]
    assert len(held) == 9
    assert all(fate.reason and fate.remedy for fate in held)
