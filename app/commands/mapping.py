"""``layout``: how a file that no layout knows could be read, to be changed and saved by a person."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from app.book import Book, open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption
from app.layout_saving import preview_of, proposal_for, save_layout
from app.printing import print_json, print_rows, progress, say
from pipeline.errors import BarrierbookError
from pipeline.ingest.preview import Preview
from pipeline.ingest.propose import Proposal
from pipeline.ingest.source import SourceFile, read_source


def layout(
    file: Annotated[Path, typer.Argument(help="The file that no layout knows.")],
    setting: Annotated[
        list[str], typer.Option("--set", help="Our column and its header, point=Site; or a key, times.order=day first.")
    ] = [],  # noqa: B006  typer reads the default and makes a list of its own
    always: Annotated[
        list[str], typer.Option("--always", help="Our column and its text for the whole file, laboratory=Tarnwick.")
    ] = [],  # noqa: B006
    kind: Annotated[str, typer.Option(help="results, readings or sample log.")] = "",
    save: Annotated[str, typer.Option(help="Save it as a layout of the plant under this name.")] = "",
    store: StoreOption = DEFAULT_STORE,
    json: JsonOption = False,
) -> None:
    """Propose a layout for a file, show its first cells as they would be stored, and save it.

    Example: barrierbook layout june.xlsx --set point=Station --always laboratory=Tarnwick --save tarnwick
    """
    book = open_book(store)
    source = read_source(file)
    proposal = proposal_for(
        book, source, name=save, kind=kind, columns=_pairs(setting, "--set"), constants=_pairs(always, "--always")
    )
    if not (save or json) and at_terminal():
        _ask(book, source, proposal, (setting, always, kind))
        return
    found, why_not = preview_of(book, source, proposal)
    saved = save_layout(book, source, proposal, save) if save else ""
    if json:
        print_json(_as_json(proposal, found, why_not, saved))
    else:
        print_proposal(proposal, found, why_not)
        say(f"Saved as {saved}. Now load the file." if saved else "Nothing was saved: name it with --save NAME.")
    if proposal.undecided and not saved:
        raise typer.Exit(NEEDS_A_PERSON)


def at_terminal() -> bool:
    """Whether a person sits at both ends of the command."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def print_proposal(proposal: Proposal, found: Preview | None, why_not: str) -> None:
    """Print a proposed layout and the cells as they would be stored with it."""
    say(proposal.text())
    for said in proposal.undecided:
        say(f"? {said}")
    if found is None:
        say(f"No cell can be shown: {why_not}")
        return
    print_rows(
        [
            (cell.line, cell.column, cell.written, cell.analyte, cell.sample_point, cell.value, cell.unit,
             cell.collected, cell.outcome, cell.problem)
            for cell in found.cells
        ],
        ("Line", "Column", "Written", "Analyte", "Point", "Value", "Unit", "Collected", "Outcome", "Why"),
    )  # fmt: skip
    counted = " + ".join(f"{count:,} {outcome}" for outcome, count in found.outcomes.items())
    say(f"The first {found.looked_at:,} cells: {counted or 'none'}.")
    for problem, count in list(found.problems.items())[:5]:
        say(f"  {count:,} held: {problem}")


def _ask(book: Book, source: SourceFile, proposal: Proposal, said: tuple[Sequence[str], Sequence[str], str]) -> None:
    """Let a person at a terminal change the proposal line by line, and save it."""
    settings, constants, kind = list(said[0]), list(said[1]), said[2]
    while True:
        print_proposal(proposal, *preview_of(book, source, proposal))
        change = typer.prompt("Change (point=Site, always laboratory=..., kind=...), or Enter when right", default="")
        if not change.strip():
            break
        tried = _changed(change, settings, constants, kind)
        try:
            proposal = proposal_for(
                book,
                source,
                kind=tried[2],
                columns=_pairs(tried[0], "--set"),
                constants=_pairs(tried[1], "--always"),
            )
        except BarrierbookError as error:
            progress(str(error))
        else:
            settings, constants, kind = tried
    name: str = typer.prompt("Save as (Enter to leave it)", default="", show_default=False)
    if name.strip():
        say(f"Saved as {save_layout(book, source, proposal, name)}. Now load the file.")


def _changed(
    change: str, settings: Sequence[str], constants: Sequence[str], kind: str
) -> tuple[list[str], list[str], str]:
    """What was said so far with one more line."""
    if change.startswith("kind="):
        return [*settings], [*constants], change.removeprefix("kind=").strip()
    if change.startswith("always "):
        return [*settings], [*constants, change.removeprefix("always ")], kind
    return [*settings, change], [*constants], kind


def _pairs(written: Sequence[str], option: str) -> dict[str, str]:
    pairs = {}
    for one in written:
        key, equals, text = one.partition("=")
        if not equals:
            raise BarrierbookError(f'{option} "{one}" has no equals sign.', "Write for example point=Site.")
        pairs[key.strip()] = text.strip()
    return pairs


def _as_json(proposal: Proposal, found: Preview | None, why_not: str, saved: str) -> dict[str, object]:
    return {
        "layout": proposal.draft,
        "reasons": proposal.reasons,
        "undecided": proposal.undecided,
        "headers": proposal.headers,
        "unused": proposal.unused,
        "preview": found,
        "no_preview_because": why_not,
        "saved": saved,
    }
