"""The account of a load in words: every line and every cell, as an equation that closes."""

from collections.abc import Sequence

import polars as pl

from app import figures
from app.dashboard import data
from app.words import plain
from pipeline.vocabulary import CellOutcome

LINE_KINDS = ("title", "header", "blank", "data")


def lines_markdown(load: data.Load) -> str:
    """When and how a file was read, and what its lines are."""
    loaded = figures.moment(load.loaded_at, data.plant().zone)
    total = sum(load.lines.values())
    parts = " + ".join(f"{figures.whole(load.lines[kind])} {kind}" for kind in LINE_KINDS if load.lines[kind])
    layout = f" with layout *{plain(load.layout)}*" if load.layout else ""
    return f"Loaded {loaded}{layout}. Lines: **{figures.whole(total)}** = {parts or '0'}."


def cells_markdown(load: data.Load) -> str:
    """What happened to every cell, as an equation."""
    total = sum(load.cells.values())
    parts = []
    for outcome in CellOutcome:
        number = load.cells.get(outcome, 0)
        part = f"{figures.whole(number)} {outcome.value}"
        parts.append(f"**{part}**" if outcome == CellOutcome.HELD and number else part)
    flagged = f" Flagged but kept: {figures.whole(load.flagged)}." if load.flagged else ""
    return f"**What happened to every cell**: {figures.whole(total)} = {' + '.join(parts)}.{flagged}"


def spoken(load: data.Load) -> str:
    """The bar in words."""
    parts = [f"{figures.whole(load.cells.get(outcome, 0))} {outcome.value}" for outcome in CellOutcome]
    return f"{figures.plural(sum(load.cells.values()), 'cell')} of {load.file}: {', '.join(parts)}"


def file_table(loads: Sequence[data.Load]) -> pl.DataFrame:
    """Every loaded file with its numbers, newest first."""
    zone = data.plant().zone
    rows = [
        (
            f"{load.loaded_at.astimezone(zone):%Y-%m-%d %H:%M}",
            load.file,
            load.layout,
            sum(load.cells.values()),
            *(load.cells.get(outcome, 0) for outcome in _SHOWN),
            load.flagged,
        )
        for load in loads
    ]
    schema = {"Loaded": pl.String, "File": pl.String, "Layout": pl.String, "Cells": pl.Int64}
    schema |= {figures.sentence(outcome.value): pl.Int64 for outcome in _SHOWN} | {"Flagged": pl.Int64}
    return pl.DataFrame(rows, schema=schema, orient="row")


_SHOWN = (CellOutcome.HELD, CellOutcome.NEW, CellOutcome.REVISION, CellOutcome.DUPLICATE, CellOutcome.SET_ASIDE)
