"""``accept``, and what ``held --suggest`` prints: what unknown texts can mean, and a person's answer to it."""

import shlex
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Annotated, Final

import typer

from app.answers import Accepted, carry_out, suggestions
from app.book import Book, open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption
from app.figures import plural
from app.printing import print_json, say
from pipeline.errors import BarrierbookError
from pipeline.plant.answer import Answer
from pipeline.plant.meanings import Meaning, Missing
from pipeline.plant.shipped_names import folded
from pipeline.unknown_texts import HeldFor

FirstDayOption = Annotated[
    datetime | None, typer.Option("--from", formats=["%Y-%m-%d"], help="First day of collection it holds for.")
]
LastDayOption = Annotated[
    datetime | None, typer.Option("--to", formats=["%Y-%m-%d"], help="Last day of collection it holds for.")
]


_BY_HAND: Final = {
    Missing.ANALYTE: "not ours? barrierbook accept {} REASON --set-aside",
    Missing.REPORTING_LIMIT: "barrierbook accept {} 'NUMBER UNIT'",
}


def accept(
    as_written: Annotated[str, typer.Argument(help="The text as the sender writes it.")],
    means: Annotated[
        str, typer.Argument(help="What it means, by our own name; without it the likely meaning is taken.")
    ] = "",
    kind: Annotated[str, typer.Option(help="What the text is, where it holds cells as two things.")] = "",
    sender: Annotated[str, typer.Option(help="Only for this sender.")] = "",
    basis: Annotated[str, typer.Option(help='Basis that the name implies, such as "as N".')] = "",
    fraction: Annotated[str, typer.Option(help="Fraction that the name implies.")] = "",
    set_aside: Annotated[bool, typer.Option("--set-aside", help="Not ours: MEANS is the reason.")] = False,
    since: FirstDayOption = None,
    until: LastDayOption = None,
    why: Annotated[str, typer.Option(help="Why, for whoever reads the table later.")] = "",
    store: StoreOption = DEFAULT_STORE,
    json: JsonOption = False,
) -> None:
    """Say what an unknown text means: writes it into the plant folder, and reads the held cells again.

    Example: barrierbook accept "Manganesse" "Manganese" --store plant-data
    """
    book = open_book(store)
    asked = _asked(suggestions(book), as_written, kind, sender)
    done: list[Accepted] = []
    for held in _by_sender(asked):
        book = open_book(store) if done else book
        answer = Answer(
            held[0].unknown.missing,
            held[0].unknown.sender,
            held[0].unknown.as_written,
            means,
            implied_basis=basis,
            implied_fraction=fraction,
            set_aside=set_aside,
            effective_from=_day(since),
            effective_to=_day(until),
        )
        answer = answer if means else _likely(answer, held)
        done.append(carry_out(book, replace(answer, note=_note(book, why or _reason(held, answer))), held))
    if json:
        print_json([_as_json(one) for one in done])
    else:
        for one in done:
            _say(one)
    if any(again.held for one in done for again in one.reread):
        raise typer.Exit(NEEDS_A_PERSON)


def print_suggestions(found: Sequence[HeldFor]) -> None:
    """Print what holds cells with what it can mean, and the command that accepts each meaning."""
    for one in found:
        unknown = one.unknown
        of = f" of {unknown.sender}" if unknown.sender else ""
        say(f'{plural(one.cells, "cell")}  {unknown.missing} "{unknown.as_written}"{of}, {one.file}: {_clears(one)}')
        suggestion = one.suggestion
        if suggestion.doubt:
            say(f"    ? {suggestion.doubt}")
        for meaning in suggestion.meanings:
            word = "likely" if meaning == suggestion.likely else "or"
            say(f"    {word} {meaning}: {meaning.reason}")
            say(f"      {command_for(one, meaning)}")
        if unknown.missing in _BY_HAND:
            say(f"    {_BY_HAND[unknown.missing].format(shlex.quote(unknown.as_written))}")
    if not found:
        say("No held cell waits for an answer that the plant folder could give.")


def command_for(held: HeldFor, meaning: Meaning) -> str:
    """The command that accepts a meaning, ready to be pasted."""
    words = ["barrierbook", "accept", held.unknown.as_written, meaning.means]
    words += ["--basis", meaning.implied_basis] if meaning.implied_basis else []
    words += ["--fraction", meaning.implied_fraction] if meaning.implied_fraction else []
    return shlex.join(words)


def suggestions_as_json(found: Sequence[HeldFor]) -> list[dict[str, object]]:
    """What ``held --suggest`` answers a program."""
    return [
        {
            "load": one.load_id,
            "file": one.file,
            "kind": one.unknown.missing,
            "sender": one.unknown.sender,
            "as_written": one.unknown.as_written,
            "cells": one.cells,
            "would_clear": one.alone,
            "likely": None if one.suggestion.likely is None else one.suggestion.likely.means,
            "doubt": one.suggestion.doubt,
            "meanings": list(one.suggestion.meanings),
        }
        for one in found
    ]


def _clears(one: HeldFor) -> str:
    if one.alone == one.cells:
        return "an answer would clear them" if one.cells > 1 else "an answer would clear it"
    return f"an answer would clear {one.alone:,}; something else holds the others too"


def _asked(found: Sequence[HeldFor], as_written: str, kind: str, sender: str) -> list[HeldFor]:
    """What the answer is about, of one kind."""
    asked = [
        one
        for one in found
        if folded(one.unknown.as_written) == folded(as_written)
        and kind in ("", one.unknown.missing)
        and folded(sender) in ("", folded(one.unknown.sender))
    ]
    if not asked:
        raise BarrierbookError(
            f'no held cell waits for what "{as_written}" means.', "See which do with: barrierbook held --suggest"
        )
    kinds = sorted({one.unknown.missing for one in asked})
    if len(kinds) > 1:
        raise BarrierbookError(
            f'"{as_written}" holds cells as {" and as ".join(kinds)}.', f'Say which with --kind "{kinds[0]}".'
        )
    return asked


def _by_sender(asked: Sequence[HeldFor]) -> list[list[HeldFor]]:
    gathered: dict[str, list[HeldFor]] = {}
    for one in asked:
        gathered.setdefault(folded(one.unknown.sender), []).append(one)
    return list(gathered.values())


def _likely(answer: Answer, held: Sequence[HeldFor]) -> Answer:
    """The answer with the likely meaning, where all loads agree on one."""
    likely = {one.suggestion.likely for one in held}
    (meaning, *others) = likely
    if meaning is None or len({str(one) for one in (meaning, *others)}) > 1:
        choices = dict.fromkeys(str(meaning) for one in held for meaning in one.suggestion.meanings)
        raise BarrierbookError(
            f'what "{answer.as_written}" means is for a person to say. {held[0].suggestion.doubt}',
            f"Name the meaning; it could be: {'; '.join(choices)}." if choices else "Name the meaning.",
        )
    return replace(
        answer,
        means=meaning.means,
        implied_basis=answer.implied_basis or meaning.implied_basis,
        implied_fraction=answer.implied_fraction or meaning.implied_fraction,
    )


def _reason(held: Sequence[HeldFor], answer: Answer) -> str:
    meanings = held[0].suggestion.meanings
    return next((meaning.reason for meaning in meanings if meaning.means == answer.means), "as a person said")


def _note(book: Book, why: str) -> str:
    occasion = book.occasion()
    return f"{occasion.at.astimezone(book.plant.zone):%Y-%m-%d} {occasion.who}: {why}"


def _day(written: datetime | None) -> date | None:
    return written.date() if written else None


def _say(done: Accepted) -> None:
    answer = done.answer
    said = ", ".join(filter(None, (answer.means, answer.implied_basis, answer.implied_fraction)))
    means = f"is set aside ({said})" if answer.set_aside else f"means {said}"
    of = f" of {answer.sender}" if answer.sender else ""
    say(f'{answer.missing.capitalize()} "{answer.as_written}"{of} {means}: written into {done.file}.')
    for again in done.reread:
        say(f"  {again.sentence()}")


def _as_json(done: Accepted) -> dict[str, object]:
    answer = done.answer
    return {
        "file": done.file,
        "kind": answer.missing,
        "sender": answer.sender,
        "as_written": answer.as_written,
        "means": answer.means,
        "loads": [
            {"load": again.load_id, "file": again.file, "held_before": again.held_before, "held": again.held,
             **{name.replace(" ", "_"): count for name, count in again.became}}
            for again in done.reread
        ],
    }  # fmt: skip
