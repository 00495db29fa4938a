"""Options that several commands share, and what their exit codes mean."""

from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer

from app.as_of import instant
from app.book import Book
from pipeline.knowledge import Knowledge, known_at

NEEDS_A_PERSON = 3

StoreOption = Annotated[
    Path, typer.Option("--store", envvar="BARRIERBOOK_STORE", help="The store folder.", show_default=True)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON for a program instead of text for a person.")]
DateOption = Annotated[
    datetime | None,
    typer.Option("--on", formats=["%Y-%m-%d"], help="Evaluation date: picks limits in force and results up to it."),
]
AsOfOption = Annotated[
    str, typer.Option("--as-of", help="As known at a day or time of the plant, such as 2026-11-20 08:30.")
]
YesOption = Annotated[bool, typer.Option("--yes", help="Do it; without it what would change is shown and nothing is.")]
DEFAULT_STORE = Path()


def known(book: Book, as_of: str) -> Knowledge:
    """What was known at the time that was asked for, else what is known now."""
    return known_at(book.store, book.plant, instant(as_of, book.plant.zone) if as_of else None)


def as_date(on: datetime | None, otherwise: date) -> date:
    """The day that was asked for, else the given one."""
    return on.date() if on else otherwise
