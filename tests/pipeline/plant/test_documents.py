"""The documents name every column and every word that a plant folder may hold."""

from pathlib import Path

import pytest

from pipeline.plant import fixed_lists
from pipeline.plant.analyzers import Analyzer
from pipeline.plant.settings import KEYS
from pipeline.plant.tables import (
    Alias,
    Analyte,
    HoldingTime,
    Laboratory,
    Limit,
    MonitoringPlanRow,
    Row,
    SampleLogEntry,
    SamplePoint,
)
from pipeline.screening.statistic_choice import SUPPORTED

DOCS = Path(__file__).parents[3] / "docs"
DICTIONARY = (DOCS / "data_dictionary.md").read_text(encoding="utf-8")
LIMIT_TABLE = (DOCS / "limit_table.md").read_text(encoding="utf-8")
TABLES: dict[str, type[Row]] = {
    "sample_points.csv": SamplePoint,
    "analytes.csv": Analyte,
    "aliases.csv": Alias,
    "holding_times.csv": HoldingTime,
    "labs.csv": Laboratory,
    "monitoring_plan.csv": MonitoringPlanRow,
    "sample_log.csv": SampleLogEntry,
    "analyzers.csv": Analyzer,
}


def section(file: str) -> str:
    return DICTIONARY.split(f"\n## {file}\n")[1].split("\n## ")[0]


@pytest.mark.parametrize(
    ("file", "column"), [(file, name) for file, row in TABLES.items() for name in row.model_fields]
)
def test_the_data_dictionary_explains_every_column(file: str, column: str) -> None:
    assert f"`{column}`" in section(file)


@pytest.mark.parametrize("key", KEYS)
def test_the_data_dictionary_explains_every_setting(key: str) -> None:
    assert f"`{key}`" in section("plant.toml")


@pytest.mark.parametrize("column", Limit.model_fields)
def test_the_limit_document_explains_every_column(column: str) -> None:
    assert f"`{column}`" in LIMIT_TABLE


@pytest.mark.parametrize(
    "word",
    [
        *fixed_lists.LIMIT_KINDS,
        *fixed_lists.LIMIT_PLACES,
        *fixed_lists.DIRECTIONS,
        *fixed_lists.COMPARISONS,
        *fixed_lists.NONDETECT_RULES,
        *fixed_lists.STATISTICS,
        *fixed_lists.PARAMETER_KEYS,
    ],
)
def test_the_limit_document_explains_every_word(word: str) -> None:
    assert f"`{word}`" in LIMIT_TABLE


@pytest.mark.parametrize("statistic", fixed_lists.STATISTICS)
def test_the_limit_document_says_which_statistics_are_judged(statistic: str) -> None:
    row = next(line for line in LIMIT_TABLE.splitlines() if line.startswith(f"| `{statistic}` |"))
    expected = "shown" if statistic == "information only" else "yes" if statistic in SUPPORTED else "not yet"
    assert row.endswith(f"| {expected} |")


@pytest.mark.parametrize(
    "word",
    [
        *fixed_lists.PLACES,
        *fixed_lists.FREQUENCIES,
        *fixed_lists.PLAN_STATUSES,
        *fixed_lists.PURPOSES,
        *fixed_lists.HOLDING_STAGES,
        *fixed_lists.HOLDING_UNITS,
        *fixed_lists.VALUE_KINDS,
    ],
)
def test_the_data_dictionary_explains_every_word(word: str) -> None:
    assert f"`{word}`" in DICTIONARY
