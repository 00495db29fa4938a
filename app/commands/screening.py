"""``screen``: verdicts for finished water, one line each or unfolded."""

from collections.abc import Sequence
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from app.book import open_book
from app.changes import changed_as_json, print_changes, verdict_as_json
from app.commands.options import (
    DEFAULT_STORE,
    NEEDS_A_PERSON,
    AsOfOption,
    DateOption,
    JsonOption,
    StoreOption,
    as_date,
    known,
)
from app.figures import limit_number, percent, statistic, with_unit
from app.printing import print_json, print_rows, say
from app.words import MARKS
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.ingest.file_layout import folded
from pipeline.knowledge import Knowledge
from pipeline.screening.explanation import explain
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome
from pipeline.what_changed import ChangedVerdict, what_changed

CAUTION = "Screening aid, not a compliance determination. Confirm the limit table before use."
FINE = (Outcome.MEETS, Outcome.NEAR_LIMIT, Outcome.INFORMATION)


def screen(
    store: StoreOption = DEFAULT_STORE,
    point: Annotated[str, typer.Option(help="Only this sample point.")] = "",
    analyte: Annotated[str, typer.Option(help="Only this analyte.")] = "",
    limit: Annotated[str, typer.Option(help="Only this limit, by its limit_id.")] = "",
    on: DateOption = None,
    as_of: AsOfOption = "",
    unfold: Annotated[bool, typer.Option("--explain", help="Unfold each verdict into its arithmetic.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 3 unless all are met or near.")] = False,
    json: JsonOption = False,
) -> None:
    """Compare the results in force with every limit, worst first.

    With --as-of it is done with the results, decisions and plant folder as they were known then, and what has changed
    since is told.

    Example: barrierbook screen --analyte Bromate --explain --store plant-data
    """
    book = open_book(store)
    day = as_date(on, book.today())
    then = known(book, as_of)
    found = verdicts(book.store, then.plant, day, then.as_of_event)
    chosen = _chosen(found, point=point, analyte=analyte, limit=limit)
    if not chosen and (point or analyte or limit):
        raise BarrierbookError(
            "no limit is judged for that choice.", "See the names with: barrierbook screen (without a choice)."
        )
    since = what_changed(book.store, then, Knowledge(book.plant), day) if as_of else []
    since = [one for one in since if _is_chosen(one, point=point, analyte=analyte, limit=limit)]
    if json:
        print_json(
            {
                "evaluated_on": day,
                "known_at": then.at,
                "caution": CAUTION,
                "verdicts": [verdict_as_json(verdict) for verdict in chosen],
                "changed_since": [changed_as_json(one) for one in since],
            }
        )
    elif unfold:
        say("\n\n".join(explain(verdict) for verdict in chosen))
        say(f"\n{CAUTION}")
    else:
        print_verdicts(chosen)
        say(f"Evaluated on {day}{_as_known(then, book.plant.zone)}. {CAUTION}")
    if as_of and not json:
        print_changes(since, f"Changed since {then.at.astimezone(book.plant.zone):%Y-%m-%d %H:%M}" if then.at else "")
    if strict and any(verdict.outcome not in FINE for verdict in chosen):
        raise typer.Exit(NEEDS_A_PERSON)


def print_verdicts(chosen: Sequence[Verdict]) -> None:
    """Print verdicts as a table, one line each, in the order given."""
    print_rows(
        [
            (
                verdict.limit.analyte,
                verdict.sample_point,
                ("! act now " if verdict.act_now else "") + f"{MARKS[verdict.outcome].symbol} {verdict.outcome.value}",
                percent(verdict.share_low, verdict.share_high),
                statistic(verdict),
                with_unit(limit_number(verdict.limit.value, verdict.limit.value_high), verdict.limit.unit),
                verdict.limit.kind,
                verdict.next_action,
            )
            for verdict in chosen
        ],
        ("Analyte", "Sample point", "Verdict", "% of limit", "Result", "Limit", "Kind", "Next, to be checked"),
    )


def _chosen(found: Sequence[Verdict], *, point: str, analyte: str, limit: str) -> list[Verdict]:
    return [
        verdict
        for verdict in found
        if (not point or folded(verdict.sample_point) == folded(point))
        and (not analyte or folded(verdict.limit.analyte) == folded(analyte))
        and (not limit or verdict.limit.limit_id == limit)
    ]


def _is_chosen(changed: ChangedVerdict, *, point: str, analyte: str, limit: str) -> bool:
    return bool(
        _chosen(
            [one for one in (changed.after, changed.before) if one is not None][:1],
            point=point,
            analyte=analyte,
            limit=limit,
        )
    )


def _as_known(then: Knowledge, zone: ZoneInfo) -> str:
    return f", as known at {then.at.astimezone(zone):%Y-%m-%d %H:%M}" if then.at else ""
