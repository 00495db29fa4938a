"""``readings`` and ``compact``: the analyzers' readings by tag, by day and one by one; closed months put in order."""

import sys
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated

import polars as pl
import typer

from app import reading_rows
from app.book import Book, open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, AsOfOption, JsonOption, StoreOption, as_date, known
from app.held_cells import line_words
from app.printing import print_frame, print_json, print_rows, progress, say
from pipeline.analyzers.watch import Span, marking_of
from pipeline.errors import BarrierbookError
from pipeline.ingest.file_layout import folded
from pipeline.plant.analyzers import Analyzer, tag_names
from pipeline.store import readings_reading
from pipeline.store.readings_compact import compact_readings
from pipeline.store.readings_workroom import readings_workroom

CAUTION = "Readings help to run the plant and to judge barriers; a reading above a limit is no exceedance."


def readings(
    store: StoreOption = DEFAULT_STORE,
    tag: Annotated[str, typer.Option(help="One tag instead of the list of all.")] = "",
    since: Annotated[datetime | None, typer.Option("--from", formats=["%Y-%m-%d"], help="First day.")] = None,
    until: Annotated[datetime | None, typer.Option("--to", formats=["%Y-%m-%d"], help="Last day.")] = None,
    each: Annotated[bool, typer.Option("--each", help="Every reading with file and line instead of days.")] = False,
    held: Annotated[bool, typer.Option("--held", help="Cells that are held, why, and what clears them.")] = False,
    out: Annotated[Path | None, typer.Option(help="Write the table to this file, .csv or .parquet.")] = None,
    as_of: AsOfOption = "",
    json: JsonOption = False,
) -> None:
    """Show readings of analyzers: every tag with its span, gaps and hours out of range; or one tag by day.

    Example: barrierbook readings --tag FIN-TURB --from 2026-05-01 --to 2026-05-31 --each --out may.csv
    """
    book = open_book(store)
    if as_of and not (tag and each):
        raise BarrierbookError("only readings are kept as of a time.", "Ask for those of a tag: --tag TAG --each.")
    if held:
        _print_held(book, json=json)
        return
    frame = _one_tag(book, tag, since, until, as_of, each=each) if tag else _all_tags(book)
    if json:
        print_json(frame)
    elif out is None:
        print_frame(frame, {name: name for name in frame.columns})
        say(CAUTION)
    elif out.suffix == ".csv":
        frame.write_csv(out)
    elif out.suffix == ".parquet":
        frame.write_parquet(out)
    else:
        raise BarrierbookError(f'"{out.name}" is neither .csv nor .parquet.', "Name the file with one of the two.")
    if out is not None and not json:
        progress(f"Wrote {frame.height:,} rows to {out}.")


def compact(store: StoreOption = DEFAULT_STORE, json: JsonOption = False) -> None:
    """Put the readings of closed months in order, so that a tag is found faster; loads do it for the worst of them."""
    book = open_book(store)
    with readings_workroom(book.store):
        months = compact_readings(book.store, book.plant.zone)
    if json:
        print_json({"months": months})
        return
    for month in months:
        say(f"{month:%Y-%m} put in order")
    if not months:
        say("Every closed month is in order.")


def analyzer_named(book: Book, tag: str) -> tuple[Analyzer, dict[str, int]]:
    """The analyzer of a tag, however it is written, and the numbers of all tags that have readings.

    Raises
    ------
    BarrierbookError
        When the plant does not know the tag, or it has no readings.
    """
    names = tag_names(book.plant.analyzers.values())
    with book.store.read() as connection:
        numbers = {row.tag: row.tag_id for row in readings_reading.stored_tags(connection)}
    found = names.get(folded(tag))
    if found is None:
        near = get_close_matches(folded(tag), names, n=1)
        remedy = f"Did you mean {names[near[0]]}?" if near else "Tags stand in analyzers.csv."
        raise BarrierbookError(f'the tag "{tag}" is not known.', remedy)
    if found not in numbers:
        raise BarrierbookError(f"{found} has no readings.", "Load a file of them with: barrierbook load FILE.")
    return book.plant.analyzers[found], numbers


def _all_tags(book: Book) -> pl.DataFrame:
    with book.store.read() as connection:
        overview = readings_reading.overview(connection)
    return reading_rows.tag_table(overview, book.plant.analyzers, book.plant.zone)


def _one_tag(
    book: Book, tag: str, since: datetime | None, until: datetime | None, as_of: str, *, each: bool
) -> pl.DataFrame:
    analyzer, numbers = analyzer_named(book, tag)
    tag_id, zone = numbers[analyzer.tag], book.plant.zone
    first, last = as_date(since, date(1900, 1, 1)), as_date(until, date(2199, 12, 30))
    with book.store.read() as connection:
        if not each:
            return reading_rows.day_table(readings_reading.days(connection, tag_id, first, last))
        knowledge = known(book, as_of)
    with book.store.read() as connection:
        span = Span(first, last, zone)
        found = readings_reading.readings_of(
            connection, tag_id, span.start, span.end, marking_of(analyzer, numbers), knowledge.as_of_event
        )
    return reading_rows.reading_table(found, analyzer.tag, analyzer.unit, zone)


def _print_held(book: Book, *, json: bool) -> None:
    with book.store.read() as connection:
        found = readings_reading.held_readings(connection)
    if json:
        print_json(found)
    else:
        print_rows(
            [
                (row["cells"], row["tag"], row["reason"], f"{row['file_name']}: {line_words(row['lines'])}",
                 row["example"], row["remedy"])
                for row in found.iter_rows(named=True)
            ],
            ("Cells", "Tag", "Why", "Where", "First text", "What clears it"),
        )  # fmt: skip
        say(f"{found['cells'].sum():,} cells held." if found.height else "No cell of readings is held.")
    if found.height:
        sys.stdout.flush()
        raise typer.Exit(NEEDS_A_PERSON)
