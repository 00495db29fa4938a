"""Options that several commands share, and what their exit codes mean."""

from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer

NEEDS_A_PERSON = 3

StoreOption = Annotated[
    Path, typer.Option("--store", envvar="BARRIERBOOK_STORE", help="The store folder.", show_default=True)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON for a program instead of text for a person.")]
DateOption = Annotated[
    datetime | None,
    typer.Option("--on", formats=["%Y-%m-%d"], help="Evaluation date: picks limits in force and results up to it."),
]
DEFAULT_STORE = Path()


def as_date(on: datetime | None, otherwise: date) -> date:
    """The day that was asked for, else the given one."""
    return on.date() if on else otherwise
