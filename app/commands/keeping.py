"""``held``, ``findings``, ``retry`` and ``verify``: what was held back and why, a second reading, and proof."""

from typing import Annotated

import polars as pl
import typer

from app.book import open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption
from app.printing import print_frame, print_json, progress, say
from checks.run import run_checks
from pipeline.load import LoadReport, retry_load
from pipeline.store import reading
from pipeline.store.verify import verify_store

LoadOption = Annotated[int | None, typer.Option("--load", help="Only this load, by its number.")]


def held(
    store: StoreOption = DEFAULT_STORE,
    load: LoadOption = None,
    cells: Annotated[bool, typer.Option("--cells", help="Every cell by itself instead of one line a reason.")] = False,
    json: JsonOption = False,
) -> None:
    """Show which cells are held, why, and what clears them."""
    book = open_book(store)
    with book.store.read() as connection:
        frame = reading.held_cells(connection, load)
    if json:
        print_json(frame)
    elif cells:
        print_frame(
            frame,
            {"file_name": "File", "line": "Line", "column_name": "Column", "point_text": "Sample point",
             "analyte_text": "Analyte", "value_text": "Value", "unit_text": "Unit",
             "message": "Why", "remedy": "What clears it"},
        )  # fmt: skip
    else:
        print_frame(
            held_by_reason(frame),
            {"cells": "Cells", "message": "Why", "place": "Where", "remedy": "What clears it"},
        )
    count = frame.select("load_id", "cell_id").n_unique()
    if not json:
        say(f"{count:,} cells held." if count else "No cell is held.")
    if count:
        raise typer.Exit(NEEDS_A_PERSON)


def held_by_reason(frame: pl.DataFrame) -> pl.DataFrame:
    """Held cells gathered by file and reason: how many, where, and what clears them; the most frequent first."""
    return (
        frame.group_by("load_id", "file_name", "rule_id", "message", "remedy", maintain_order=True)
        .agg(pl.len().alias("cells"), pl.col("line").sort().alias("lines"), pl.col("column_name").first())
        .with_columns(place=pl.struct("file_name", "lines").map_elements(_place, return_dtype=pl.String))
        .sort("cells", descending=True, maintain_order=True)
    )


def _place(where: dict[str, object]) -> str:
    lines = where["lines"]
    shown = [str(line) for line in list(lines)[:3]] if isinstance(lines, pl.Series | list) else []
    more = len(lines) - len(shown) if isinstance(lines, pl.Series | list) else 0
    return f"{where['file_name']}, line{'s' if len(shown) > 1 else ''} {', '.join(shown)}" + (
        f" and {more} more" if more else ""
    )


def findings(
    store: StoreOption = DEFAULT_STORE,
    load: LoadOption = None,
    severity: Annotated[str, typer.Option(help="Only hold, flag or note.")] = "",
    json: JsonOption = False,
) -> None:
    """Show what the checks say of cells that are held and of results that were kept."""
    book = open_book(store)
    with book.store.read() as connection:
        frame = reading.findings(connection, load)
    if severity:
        frame = frame.filter(pl.col("severity") == severity)
    if json:
        print_json(frame)
        return
    print_frame(
        frame,
        {"severity": "Severity", "file_name": "File", "line": "Line", "sample_point": "Sample point",
         "analyte": "Analyte", "value_text": "Value", "message": "Finding", "remedy": "What to do"},
    )  # fmt: skip
    say(f"{frame.height:,} findings.")


def retry(store: StoreOption = DEFAULT_STORE, load: LoadOption = None, json: JsonOption = False) -> None:
    """Read held cells again with the plant folder as it is now; all loads that hold cells, or one."""
    book = open_book(store)
    with book.store.read() as connection:
        holding = reading.held_cells(connection, load).get_column("load_id").unique().sort().to_list()
    reports: list[LoadReport] = []
    for load_id in holding:
        progress(f"Reading the held cells of load {load_id} again")
        reports.append(retry_load(book.store, book.plant, load_id, book.layouts, run_checks, book.occasion()))
    if json:
        print_json(
            [{"load": report.load_id, "file": report.file_name, **report.account.as_dict()} for report in reports]
        )
    else:
        for report in reports:
            say(f"{report.file_name}: {report.account.held:,} cells still held")
        if not reports:
            say("No cell is held.")
    if any(report.account.held for report in reports):
        raise typer.Exit(NEEDS_A_PERSON)


def verify(store: StoreOption = DEFAULT_STORE, json: JsonOption = False) -> None:
    """Let the store prove itself: archive, accounts, and which results count."""
    book = open_book(store)
    proof = verify_store(book.store)
    if json:
        print_json(proof)
    else:
        for line in proof.checked:
            say(f"✓ {line}")
        for line in proof.faults:
            say(f"■ {line}")
    if proof.faults:
        raise typer.Exit(1)
