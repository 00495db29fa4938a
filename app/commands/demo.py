"""``demo``: the sample plant in a store of its own, each desk's headlines, then the dashboard."""

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from app import headlines
from app.book import Book, open_book
from app.commands.correcting import correction
from app.commands.loading import FileOutcome, load_files
from app.commands.options import JsonOption
from app.commands.serving import run_dashboard
from app.printing import print_json, progress, say
from pipeline.correct import withdraw_load
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.store.connection import Store
from pipeline.vocabulary import Outcome
from sample_lab import SENT_BY_MISTAKE, copy_plant_folder, write_readings, write_sample_files

FOLDER = Path("barrierbook-demo")
YEARS_OF_READINGS = 1


def demo(
    serve: Annotated[bool, typer.Option("--serve/--no-serve", help="Open the dashboard at the end.")] = True,
    folder: Annotated[Path, typer.Option(help="Folder to build in; an earlier demo there is replaced.")] = FOLDER,
    port: Annotated[int, typer.Option(help="Port of the dashboard.")] = 8501,
    json: JsonOption = False,
) -> None:
    """Build the sample plant's store in ./barrierbook-demo, say what each desk finds, and open the dashboard."""
    book, outcomes = build_demo(folder)
    told = _headlines(book, outcomes)
    if json:
        print_json(told)
    else:
        for desk, sentences in told.items():
            say(f"{desk}")
            for sentence in sentences:
                say(f"  {sentence}")
    if serve:
        progress(f"The dashboard is at http://127.0.0.1:{port}. Stop it with Ctrl+C.")
        raise typer.Exit(run_dashboard(folder, address="127.0.0.1", port=port, headless=False))


def build_demo(folder: Path) -> tuple[Book, list[FileOutcome]]:
    """Build the sample plant's store: plant folder, three years of files, every file loaded with every check.

    Of the readings the last year is loaded, and the fast ones of three spells of trouble. What a laboratory sent by
    mistake is withdrawn again, as it would be.

    Raises
    ------
    BarrierbookError
        When the folder holds something that is not a demo.
    """
    if folder.exists():
        if not (folder / "demo.txt").exists():
            raise BarrierbookError(f'"{folder}" is in the way.', "Move it, or name another place with --folder.")
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    (folder / "demo.txt").write_text("Built by 'barrierbook demo' from invented data; building again replaces it.\n")
    store = Store(folder)
    copy_plant_folder(store.plant_folder)
    files = write_sample_files(folder / "files")
    files += [file.path for file in write_readings(folder / "files", years=YEARS_OF_READINGS)]
    store.create()
    book = open_book(folder)
    outcomes = load_files(book, files, book.layouts)
    _withdraw_what_came_by_mistake(book, outcomes)
    return book, outcomes


def _withdraw_what_came_by_mistake(book: Book, outcomes: Sequence[FileOutcome]) -> None:
    (load_id,) = (outcome.report.load_id for outcome in outcomes if outcome.report and outcome.file == SENT_BY_MISTAKE)
    if load_id is not None:
        reason = "another plant's sample under our number; the laboratory asked to have it back"
        withdraw_load(book.store, book.plant, load_id, reason, correction(book, confirmed=True))


def _headlines(book: Book, outcomes: Sequence[FileOutcome]) -> dict[str, list[str]]:
    accounts = [outcome.report.account for outcome in outcomes if outcome.report]
    cells, new, revisions, duplicates, held, flagged = (
        sum(getattr(account, name) for account in accounts)
        for name in ("cells", "new", "revision", "duplicate", "held", "flagged")
    )
    beyond = sum(len(outcome.above) for outcome in outcomes)
    found = verdicts(book.store, book.plant, book.today())
    judged = headlines.judged_only(found)
    fine = sum(verdict.outcome in (Outcome.MEETS, Outcome.NEAR_LIMIT) for verdict in judged)
    loaded = (
        f"{len(accounts)} files with {cells:,} cells: {new:,} new, {revisions:,} revisions, {duplicates:,} duplicates."
    )
    return {
        "Laboratory coordinator": [loaded, f"{held:,} cells are held; {flagged:,} results are flagged but kept."],
        "Compliance officer": [
            f"{headlines.finished_water(found, 'in the finished water')} (evaluated on {book.today()}).",
            f"{beyond} single results were beyond a number when they were loaded.",
        ],
        "Program manager": [
            f"{fine} of {len(judged)} limits are met.",
            f"Everything is in {book.store.folder}: barrierbook screen --store {book.store.folder}",
        ],
    }
