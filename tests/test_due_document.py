"""docs/due.md names every state, column, target and rule of the sample log and of what is due."""

import re
from pathlib import Path

import pytest

from pipeline.due.model import DueState
from pipeline.ingest import sample_log_reading
from pipeline.ingest.layout_files import read_layout, shipped_layouts
from pipeline.ingest.sample_log_layout import SAMPLE_TARGETS, SampleLogLayout
from pipeline.store import sample_log_writing

ROOT = Path(__file__).resolve().parents[1]
DOCUMENT = (ROOT / "docs" / "due.md").read_text("utf-8")
SHIPPED = shipped_layouts()["sample_log.toml"]


@pytest.mark.parametrize("state", list(DueState))
def test_every_state_is_explained(state: DueState) -> None:
    assert f"\n| `{state.value}` |" in DOCUMENT


@pytest.mark.parametrize("target", sorted(SAMPLE_TARGETS))
def test_every_column_that_a_sheet_can_fill_is_named(target: str) -> None:
    assert f"`{target}`" in DOCUMENT.split("A layout can fill")[1].split("\n\n")[0]


def test_every_column_of_our_own_sheet_is_explained() -> None:
    assert isinstance(SHIPPED, SampleLogLayout)
    table = DOCUMENT.split("| column | what it says |")[1].split("\n\n")[0]
    assert {name for names in SHIPPED.columns.values() for name in names if f"`{name}`" not in table} == set()


def test_every_rule_of_a_sheet_is_explained() -> None:
    sources = [Path(str(module.__file__)).read_text("utf-8") for module in (sample_log_reading, sample_log_writing)]
    called = r'(?:hold|flag|SampleFinding)\(\s*"(\w+)"|rule = "(\w+)" if .* else "(\w+)"'
    rules = {name for source in sources for found in re.findall(called, source) for name in found if name}
    assert len(rules) >= 15
    assert {rule for rule in rules if f"`{rule}`" not in DOCUMENT} == set()


def test_the_layout_that_is_shown_can_be_used() -> None:
    (shown,) = re.findall(r"```toml\n(.*?)```", DOCUMENT, re.DOTALL)
    layout = read_layout("shown.toml", shown)
    assert isinstance(layout, SampleLogLayout)
    assert layout.words.requested == {"n3": ("Nitrate", "Nitrite")}
