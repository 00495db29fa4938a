"""Statements with which a file of readings is read and its days are reckoned, one a file."""

from functools import cache
from importlib import resources


@cache
def statement(name: str) -> str:
    """The text of a statement, by what it does."""
    return resources.files("pipeline.analyzers.sql").joinpath(f"{name}.sql").read_text("utf-8")
