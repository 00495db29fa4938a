"""``screen``: verdicts for finished water, one line each or unfolded."""

from collections.abc import Sequence
from typing import Annotated

import typer

from app.book import open_book
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, DateOption, JsonOption, StoreOption, as_date
from app.figures import limit_number, percent, statistic, with_unit
from app.printing import print_json, print_rows, say
from app.words import MARKS
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.ingest.file_layout import folded
from pipeline.screening.explanation import explain
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome

CAUTION = "Screening aid, not a compliance determination. Confirm the limit table before use."
FINE = (Outcome.MEETS, Outcome.NEAR_LIMIT, Outcome.INFORMATION)


def screen(
    store: StoreOption = DEFAULT_STORE,
    point: Annotated[str, typer.Option(help="Only this sample point.")] = "",
    analyte: Annotated[str, typer.Option(help="Only this analyte.")] = "",
    limit: Annotated[str, typer.Option(help="Only this limit, by its limit_id.")] = "",
    on: DateOption = None,
    unfold: Annotated[bool, typer.Option("--explain", help="Unfold each verdict into its arithmetic.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 3 unless all are met or near.")] = False,
    json: JsonOption = False,
) -> None:
    """Compare the results in force with every limit, worst first.

    Example: barrierbook screen --analyte Bromate --explain --store plant-data
    """
    book = open_book(store)
    day = as_date(on, book.today())
    chosen = _chosen(verdicts(book.store, book.plant, day), point=point, analyte=analyte, limit=limit)
    if not chosen and (point or analyte or limit):
        raise BarrierbookError(
            "no limit is judged for that choice.", "See the names with: barrierbook screen (without a choice)."
        )
    if json:
        print_json({"evaluated_on": day, "caution": CAUTION, "verdicts": [_as_json(verdict) for verdict in chosen]})
    elif unfold:
        say("\n\n".join(explain(verdict) for verdict in chosen))
        say(f"\n{CAUTION}")
    else:
        print_verdicts(chosen)
        say(f"Evaluated on {day}. {CAUTION}")
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


def _as_json(verdict: Verdict) -> dict[str, object]:
    """A verdict by name, with the way back of every result to its file and line."""
    limit = verdict.limit
    return {
        "limit": limit.limit_id,
        "analyte": limit.analyte,
        "sample_point": verdict.sample_point,
        "outcome": verdict.outcome,
        "comparison": verdict.comparison,
        "act_now": verdict.act_now,
        "since": verdict.since,
        "reason": verdict.reason,
        "limit_value": limit.value,
        "limit_value_high": limit.value_high,
        "unit": limit.unit,
        "basis": limit.basis,
        "kind": limit.kind,
        "statistic": verdict.statistic_name,
        "statistic_low": verdict.statistic_low,
        "statistic_high": verdict.statistic_high,
        "compared_low": verdict.compared_low,
        "compared_high": verdict.compared_high,
        "share_low": verdict.share_low,
        "share_high": verdict.share_high,
        "window_from": verdict.window_from,
        "window_to": verdict.window_to,
        "steps": verdict.steps,
        "used": [
            {
                "result": used.result.result_id,
                "value": used.result.value_text,
                "unit": used.result.unit,
                "counted_low": used.counted_low,
                "counted_high": used.counted_high,
                "substitution": used.substitution,
                "file": used.result.file,
                "line": used.result.line,
                "column": used.result.column,
            }
            for used in verdict.used
        ],
        "excluded": [
            {
                "result": excluded.result.result_id,
                "because": excluded.because,
                "file": excluded.result.file,
                "line": excluded.result.line,
                "column": excluded.result.column,
            }
            for excluded in verdict.excluded
        ],
        "held": verdict.held,
        "next_action": verdict.next_action,
        "next_may_be": verdict.next_may_be,
        "next_assumes": verdict.next_assumes,
        "source": limit.source,
    }
