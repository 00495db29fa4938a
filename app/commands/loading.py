"""``init`` and ``load``: making a store, and bringing files into it."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from app.book import Book, open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption
from app.printing import print_json, progress, say
from checks.run import run_checks
from pipeline.deliver import deliver
from pipeline.errors import BarrierbookError, LayoutError
from pipeline.evaluate import AboveLimit, results_above_a_limit
from pipeline.ingest.file_layout import FileLayout
from pipeline.load import LoadReport
from pipeline.plant.starter import write_starter
from pipeline.store.connection import Store


@dataclass(frozen=True, slots=True)
class FileOutcome:
    """What loading one file did: a report, or the error for which nothing of it was stored.

    ``is_unknown`` says that no layout, or more than one, fits the file: it can be loaded once a layout is chosen.
    """

    file: str
    report: LoadReport | None
    above: tuple[AboveLimit, ...] = ()
    error: str = ""
    is_unknown: bool = False


def init(
    folder: Annotated[Path, typer.Argument(help="Folder to make; its plant folder is yours to edit.")],
    json: JsonOption = False,
) -> None:
    """Make a store folder with a commented starter plant folder and an empty store."""
    store = Store(folder)
    if store.plant_folder.exists() or store.database.exists():
        raise BarrierbookError(f'"{folder}" holds a store or a plant folder already.', "Name another folder.")
    folder.mkdir(parents=True, exist_ok=True)
    write_starter(store.plant_folder)
    store.create()
    if json:
        print_json({"store": store.folder, "plant_folder": store.plant_folder})
        return
    say(f'Made the store "{folder}". Now edit the plant folder "{store.plant_folder}", then load a file:')
    say(f"  barrierbook load FILE --store {folder}")


def load(
    files: Annotated[list[Path], typer.Argument(help="Files of text or workbooks, or folders of them.")],
    store: StoreOption = DEFAULT_STORE,
    layout: Annotated[str, typer.Option(help="Name of the layout to insist on.")] = "",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Do everything, then store nothing.")] = False,
    json: JsonOption = False,
) -> None:
    """Load files: results above a limit first, then what became of every cell.

    Example: barrierbook load june.csv july.csv --store plant-data
    """
    book = open_book(store)
    outcomes = load_files(book, _expanded(files), _chosen(book, layout), dry_run=dry_run)
    if json:
        print_json([_as_json(outcome) for outcome in outcomes])
    else:
        for outcome in outcomes:
            print_outcome(outcome, dry_run=dry_run)
    if any(outcome.error for outcome in outcomes):
        raise typer.Exit(1)
    if any(outcome.above or (outcome.report and outcome.report.account.held) for outcome in outcomes):
        raise typer.Exit(NEEDS_A_PERSON)


def load_files(
    book: Book, files: Sequence[Path], layouts: Sequence[FileLayout], *, dry_run: bool = False
) -> list[FileOutcome]:
    """Load each file by itself; one that cannot be read does not keep the others out."""
    outcomes = []
    for position, path in enumerate(files, start=1):
        progress(f"Reading {position} of {len(files)}: {path.name}")
        try:
            report = deliver(book.store, book.plant, path, layouts, run_checks, book.occasion(), dry_run=dry_run)
        except LayoutError as error:
            outcomes.append(FileOutcome(path.name, None, error=str(error), is_unknown=True))
        except BarrierbookError as error:
            outcomes.append(FileOutcome(path.name, None, error=str(error)))
        else:
            above = results_above_a_limit(book.store, book.plant, report.load_id) if report.load_id else ()
            outcomes.append(FileOutcome(path.name, report, tuple(above)))
    return outcomes


def print_outcome(outcome: FileOutcome, *, dry_run: bool = False) -> None:
    """Print what loading one file did, as a person reads it."""
    if outcome.report is None:
        say(outcome.error)
        if outcome.is_unknown:
            say(f"  see how it could be read with 'barrierbook layout {outcome.file}'")
        return
    for above in outcome.above:
        say(f"■ {above.sentence()}")
    report, account = outcome.report, outcome.report.account
    say(f"{outcome.file}: layout {report.layout}{'; nothing was stored (dry run)' if dry_run else ''}")
    lines = report.lines
    say(
        f"  lines {lines.total:,} = {lines.title:,} title + {lines.header:,} header + {lines.blank:,} blank "
        f"+ {lines.data:,} data"
    )
    say(
        f"  cells {account.cells:,} = {account.empty:,} empty + {account.set_aside:,} set aside "
        f"+ {account.held:,} held + {account.duplicate:,} duplicate + {account.new:,} new "
        f"+ {account.revision:,} revision; flagged but kept {account.flagged:,}"
    )
    for remark in report.remarks:
        say(f"  {remark}")
    if account.held:
        say(f"  {account.held:,} held: see why and what clears them with 'barrierbook held'")


def _as_json(outcome: FileOutcome) -> dict[str, object]:
    report = outcome.report
    if report is None:
        return {"file": outcome.file, "error": outcome.error, "is_unknown": outcome.is_unknown}
    return {
        "file": outcome.file,
        "load": report.load_id,
        "layout": report.layout,
        "encoding": report.encoding,
        "lines": {"total": report.lines.total, "title": report.lines.title, "header": report.lines.header,
                  "blank": report.lines.blank, "data": report.lines.data},
        **report.account.as_dict(),
        "remarks": list(report.remarks),
        "above_a_limit": [{**above.as_dict(), "sentence": above.sentence()} for above in outcome.above],
    }  # fmt: skip


def _expanded(files: Sequence[Path]) -> list[Path]:
    found: list[Path] = []
    for path in files:
        found.extend(sorted(entry for entry in path.iterdir() if entry.is_file()) if path.is_dir() else [path])
    return found


def _chosen(book: Book, name: str) -> Sequence[FileLayout]:
    if not name:
        return book.layouts
    chosen = [layout for layout in book.layouts if layout.name == name]
    if not chosen:
        known = ", ".join(f'"{layout.name}"' for layout in book.layouts)
        raise LayoutError(f'there is no layout "{name}".', f"Known are {known}.")
    return chosen
