"""Stores into which the files of a historian are loaded."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.pipeline.analyzers.historian import Historian


@pytest.fixture
def historian(tmp_path: Path) -> Historian:
    """An empty store."""
    return Historian(tmp_path)


@pytest.fixture
def make_historian(tmp_path: Path) -> Callable[..., Historian]:
    """Makes stores of plants with other tags or zones."""
    made = 0

    def make(**said: str) -> Historian:
        nonlocal made
        made += 1
        folder = tmp_path / str(made)
        folder.mkdir()
        return Historian(folder, **said)

    return make
