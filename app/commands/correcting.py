"""``withdraw`` and ``decide``: taking a load back, and a person's decisions; what they change is shown first."""

from typing import Annotated

import typer

from app.book import Book, open_book
from app.changes import effect_as_json, print_effect
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption, YesOption
from app.printing import print_frame, print_json, say
from checks.run import run_checks
from pipeline.correct import decide_on_cell, decide_on_result, withdraw_load
from pipeline.effect import Correction, Effect
from pipeline.errors import BarrierbookError
from pipeline.store import reading
from pipeline.store.correcting import Decision
from pipeline.store.rereading import Position
from pipeline.vocabulary import DecisionAction

ReasonOption = Annotated[str, typer.Option(help="Why; whoever looks at it later has to know.")]


def withdraw(
    load: Annotated[int, typer.Argument(help="The load, by its number.")],
    reason: ReasonOption = "",
    store: StoreOption = DEFAULT_STORE,
    yes: YesOption = False,
    json: JsonOption = False,
) -> None:
    """Withdraw a load: it stays in the store, and what no other load says counts no longer.

    Without --yes it is only shown which results and verdicts that changes. Loading the file again brings it back.

    Example: barrierbook withdraw 12 --reason "another plant's file" --store plant-data
    """
    book = open_book(store)
    effect = withdraw_load(book.store, book.plant, load, reason, correction(book, confirmed=yes))
    finish(effect, f"Load {load} is withdrawn.", json=json)


def decide(
    action: Annotated[
        DecisionAction | None,
        typer.Argument(help="accept: this version counts; reject: it does not; choose: it counts of its sample."),
    ] = None,
    store: StoreOption = DEFAULT_STORE,
    result: Annotated[int | None, typer.Option(help="The result, by its number (see export results).")] = None,
    load: Annotated[int | None, typer.Option(help="Or the load of a cell ...")] = None,
    line: Annotated[int | None, typer.Option(help="... the line on which its row starts ...")] = None,
    column: Annotated[str, typer.Option(help="... and its column, where the line has several values.")] = "",
    reason: ReasonOption = "",
    agency_reference: Annotated[
        str, typer.Option("--agency-reference", help="Under which the agency accepts that a result does not count.")
    ] = "",
    this_version: Annotated[
        bool, typer.Option("--this-version", help="Reject this version alone, so that an earlier one counts again.")
    ] = False,
    yes: YesOption = False,
    json: JsonOption = False,
) -> None:
    """Write down a decision about a result or a held cell; without an action, list the decisions.

    Without --yes it is only shown which results and verdicts that changes. A decision is about the content as it is:
    when a revision comes, it has to be taken again. A rejected result above a limit leaves "exceeds, rejection claimed"
    until the agency's reference is recorded, by the same command.

    Example: barrierbook decide reject --result 812 --reason "bottle mix-up, see memo 14" --store plant-data
    """
    book = open_book(store)
    if action is None:
        _list(book, json=json)
        return
    decision = Decision(action, reason, agency_reference, this_version)
    wanted = correction(book, confirmed=yes)
    if result is not None:
        effect = decide_on_result(book.store, book.plant, result, decision, wanted)
    elif load is not None and line is not None:
        effect = decide_on_cell(
            book.store, book.plant, load, Position(line, column), book.layouts, run_checks, decision, wanted
        )
    else:
        raise BarrierbookError("the command does not say what is decided on.", "Name --result, or --load and --line.")
    finish(effect, "The decision is written down.", json=json)


def correction(book: Book, *, confirmed: bool) -> Correction:
    """Who corrects and when, and the day whose verdicts are compared."""
    return Correction(book.occasion(), book.today(), confirmed)


def finish(effect: Effect, done: str, *, json: bool) -> None:
    """Print what was changed, or would be; then a person is needed, who says ``--yes``."""
    if json:
        print_json(effect_as_json(effect))
    else:
        print_effect(effect)
        say(done if effect.event_id is not None else "Nothing was changed. To do it, repeat the command with --yes.")
    if effect.event_id is None:
        raise typer.Exit(NEEDS_A_PERSON)


def _list(book: Book, *, json: bool) -> None:
    with book.store.read() as connection:
        frame = reading.decisions(connection)
    if json:
        print_json(frame)
        return
    print_frame(
        frame,
        {"event_id": "Decision", "happened_at": "When", "who": "Who", "action": "What", "sample_point": "Sample point",
         "analyte": "Analyte", "sample": "Sample", "reason": "Reason", "agency_reference": "Agency reference",
         "standing": "Now"},
    )  # fmt: skip
    say(f"{frame.height:,} decisions." if frame.height else "No decision.")
