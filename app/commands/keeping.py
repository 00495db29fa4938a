"""``held``, ``findings``, ``retry`` and ``verify``: what was held back and why, a second reading, and proof."""

from collections.abc import Sequence
from typing import Annotated

import polars as pl
import typer

from app.answers import suggestions
from app.book import open_book
from app.commands.answering import print_suggestions, suggestions_as_json
from app.commands.correcting import correction, finish
from app.commands.options import (
    DEFAULT_STORE,
    NEEDS_A_PERSON,
    AsOfOption,
    JsonOption,
    StoreOption,
    YesOption,
    known,
)
from app.held_cells import cell_table, line_words, number_of_cells, read_held, reasons
from app.printing import print_frame, print_json, print_rows, progress, say
from checks.run import run_checks
from pipeline.deliver import read_again
from pipeline.errors import BarrierbookError
from pipeline.load import LoadReport
from pipeline.reread import reread_load
from pipeline.store import reading
from pipeline.store.readings_reading import held_readings
from pipeline.store.verify import verify_store
from pipeline.unknown_texts import HeldFor

LoadOption = Annotated[int | None, typer.Option("--load", help="Only this load, by its number.")]


def held(
    store: StoreOption = DEFAULT_STORE,
    load: LoadOption = None,
    cells: Annotated[bool, typer.Option("--cells", help="Every cell by itself instead of one line a reason.")] = False,
    as_of: AsOfOption = "",
    suggest: Annotated[
        bool, typer.Option("--suggest", help="What unknown texts can mean, and the command that accepts it.")
    ] = False,
    json: JsonOption = False,
) -> None:
    """Show which cells are held, why, and what clears them."""
    book = open_book(store)
    if suggest:
        _suggest(suggestions(book, load), json=json)
        return
    with book.store.read() as connection:
        found = read_held(connection, load, known(book, as_of).as_of_event)
        of_analyzers = held_readings(connection, load)
    count = number_of_cells(found) + int(of_analyzers["cells"].sum())
    if json:
        print_json(found)
    elif cells:
        print_frame(cell_table(found), {name: name for name in cell_table(found).columns})
    else:
        print_rows(
            [
                (reason.number, reason.message, f"{reason.file}: {reason.place()}", reason.remedy)
                for reason in reasons(found)
            ]
            + [
                (
                    row["cells"],
                    f"{row['tag']}: {row['reason']}",
                    f"{row['file_name']}: {line_words(row['lines'])}",
                    row["remedy"],
                )
                for row in of_analyzers.iter_rows(named=True)
            ],
            ("Cells", "Why", "Where", "What clears it"),
        )
    if not json:
        say(f"{count:,} cells held." if count else "No cell is held.")
    if count:
        raise typer.Exit(NEEDS_A_PERSON)


def _suggest(found: Sequence[HeldFor], *, json: bool) -> None:
    if json:
        print_json(suggestions_as_json(found))
    else:
        print_suggestions(found)
    if found:
        raise typer.Exit(NEEDS_A_PERSON)


def findings(
    store: StoreOption = DEFAULT_STORE,
    load: LoadOption = None,
    severity: Annotated[str, typer.Option(help="Only hold, flag or note.")] = "",
    as_of: AsOfOption = "",
    json: JsonOption = False,
) -> None:
    """Show what the checks say of cells that are held and of results that were kept."""
    book = open_book(store)
    with book.store.read() as connection:
        frame = reading.findings(connection, load, known(book, as_of).as_of_event)
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


def retry(
    store: StoreOption = DEFAULT_STORE,
    load: LoadOption = None,
    every_cell: Annotated[
        bool, typer.Option("--all", help="Settled cells of the load too; needs --load, and --yes to be done.")
    ] = False,
    yes: YesOption = False,
    json: JsonOption = False,
) -> None:
    """Read held cells again with the plant folder as it is now; all loads that hold cells, or one.

    With --all every cell of a load is read again, and without --yes it is only shown which results and verdicts that
    changes. A result that reads otherwise gets another version; the earlier one stays in the store.

    Example: barrierbook retry --all --load 12 --store plant-data
    """
    book = open_book(store)
    if every_cell:
        if load is None:
            raise BarrierbookError("the command does not say which load.", "Name it with --load.")
        wanted = correction(book, confirmed=yes)
        effect = reread_load(book.store, book.plant, load, book.layouts, run_checks, wanted)
        finish(effect, f"Load {load} is read as the plant folder is now.", json=json)
        return
    with book.store.read() as connection:
        holding = sorted({cell.load_id for cell in read_held(connection, load)})
    reports: list[LoadReport] = []
    for load_id in holding:
        progress(f"Reading the held cells of load {load_id} again")
        reports.append(read_again(book.store, book.plant, load_id, book.layouts, run_checks, book.occasion()))
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
