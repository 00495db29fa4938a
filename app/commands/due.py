"""``due``: what is to be sampled, what is late, what is to be taken again; and what to ask each laboratory."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from app import due_rows
from app.as_of import instant
from app.book import open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, DateOption, JsonOption, StoreOption, as_date
from app.due_rows import DueRow
from app.printing import print_json, print_rows, progress, say
from app.question_lists import write_lists
from pipeline.due.questions import questions
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.knowledge import known_at
from pipeline.plant.plant import Plant
from pipeline.what_is_due import due_on

CAUTION = "A prompt, not a ruling: check frequencies, confirmations and dates with the rule and the agency."


def due(
    store: StoreOption = DEFAULT_STORE,
    point: Annotated[str, typer.Option(help="Only this sample point.")] = "",
    laboratory: Annotated[str, typer.Option(help="Only this laboratory.")] = "",
    everything: Annotated[bool, typer.Option("--all", help="Also what is reported.")] = False,
    lists: Annotated[
        Path | None, typer.Option("--questions", help="Folder for a question list a laboratory, as .xlsx and .txt.")
    ] = None,
    on: DateOption = None,
    as_of: Annotated[str, typer.Option("--as-of", help="As known at a day or time, such as 2026-11-20 08:30.")] = "",
    json: JsonOption = False,
) -> None:
    """Show what is due: not sampled yet, overdue, late at the laboratory, to be taken again.

    Example: barrierbook due --questions to-send --store plant-data
    """
    book = open_book(store)
    known = known_at(book.store, book.plant, instant(as_of, book.plant.zone) if as_of else None)
    day = as_date(on, book.today())
    judged = verdicts(book.store, known.plant, day, known.as_of_event)
    found = due_on(book.store, known.plant, day, judged, known.as_of_event)
    point, laboratory = _point(known.plant, point), _laboratory(known.plant, laboratory)
    listed = due_rows.chosen(found.dues, point=point, laboratory=laboratory, done=everything)
    gathered = due_rows.rows(listed)
    if lists is not None:
        asked = questions(found.dues, found.held, found.other_points)
        asked = {name: some for name, some in asked.items() if not laboratory or name == laboratory}
        for path in write_lists(known.plant.name, asked, day, lists):
            progress(f"Wrote {path}")
    if json:
        print_json({"on": day, "next_due": found.next_due, "caution": CAUTION, "due": listed, "held": found.held})
    else:
        _print(gathered)
        say(f"{due_rows.headline(listed, found.next_due)} As of {day}. {CAUTION}")
    if any(row.state in due_rows.NEEDS_A_PERSON for row in gathered):
        raise typer.Exit(NEEDS_A_PERSON)


def _print(rows: Sequence[DueRow]) -> None:
    print_rows(
        [
            (
                row.state.value,
                row.when(),
                row.sample_point,
                row.named(),
                row.plan,
                row.sample,
                row.collected_on,
                row.laboratory,
                row.reason,
            )
            for row in rows
        ],
        ("State", "When", "Sample point", "Analytes", "Plan", "Sample", "Collected", "Laboratory", "Why"),
    )


def _point(plant: Plant, written: str) -> str:
    point = plant.names.point(written) if written else ""
    if point is None:
        raise BarrierbookError(f'there is no sample point "{written}".', f"Known are {', '.join(plant.sample_points)}.")
    return point


def _laboratory(plant: Plant, written: str) -> str:
    """A laboratory by any of its names; one that labs.csv does not have is taken as it is written."""
    return plant.names.laboratory(written) or written if written else ""
