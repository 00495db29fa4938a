"""``export``: results, findings and verdicts as CSV or Parquet; results also in the columns of the open WQX schema."""

import sys
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import polars as pl
import typer

from app.book import Book, open_book
from app.commands.options import DEFAULT_STORE, AsOfOption, DateOption, JsonOption, StoreOption, as_date, known
from app.printing import print_json, progress
from pipeline.errors import BarrierbookError
from pipeline.evaluate import verdicts
from pipeline.ingest.stored_value import to_stored
from pipeline.knowledge import Knowledge
from pipeline.screening.model import Verdict
from pipeline.store import reading


class What(StrEnum):
    """What can be exported."""

    RESULTS = "results"
    FINDINGS = "findings"
    VERDICTS = "verdicts"
    WQX = "wqx"


def export(
    what: Annotated[What, typer.Argument(help="wqx: results with the column names of WQX 2.2.")],
    store: StoreOption = DEFAULT_STORE,
    out: Annotated[Path | None, typer.Option(help="File to write, .csv or .parquet; without it CSV to stdout.")] = None,
    on: DateOption = None,
    as_of: AsOfOption = "",
    json: JsonOption = False,
) -> None:
    """Export data for another program.

    Example: barrierbook export results --out results.parquet --store plant-data
    """
    book = open_book(store)
    frame = _frame(book, what, as_date(on, book.today()), known(book, as_of))
    if json:
        print_json(frame)
    elif out is None:
        sys.stdout.write(frame.write_csv())
    elif out.suffix == ".csv":
        frame.write_csv(out)
    elif out.suffix == ".parquet":
        frame.write_parquet(out)
    else:
        raise BarrierbookError(f'"{out.name}" is neither .csv nor .parquet.', "Name the file with one of the two.")
    if out is not None and not json:
        progress(f"Wrote {frame.height:,} rows to {out}.")


def _frame(book: Book, what: What, day: date, then: Knowledge) -> pl.DataFrame:
    if what is What.VERDICTS:
        return _verdict_frame(verdicts(book.store, then.plant, day, then.as_of_event))
    with book.store.read() as connection:
        if what is What.FINDINGS:
            return reading.findings(connection, as_of_event=then.as_of_event)
        read = reading.results if what is What.RESULTS else reading.results_as_wqx
        return read(connection, as_of_event=then.as_of_event)


def _verdict_frame(found: list[Verdict]) -> pl.DataFrame:
    """Verdicts as a table; numbers as decimals in the limit's unit, 15 places, ``null`` where there is none."""
    rows = [
        {
            "evaluated_on": verdict.on,
            "limit_id": verdict.limit.limit_id,
            "analyte": verdict.limit.analyte,
            "sample_point": verdict.sample_point,
            "outcome": verdict.outcome.value,
            "comparison": verdict.comparison.value,
            "act_now": verdict.act_now,
            "since": verdict.since,
            "statistic": verdict.statistic_name,
            **{
                name: None if value is None else to_stored(value)
                for name, value in (
                    ("statistic_low", verdict.statistic_low),
                    ("statistic_high", verdict.statistic_high),
                    ("compared_low", verdict.compared_low),
                    ("compared_high", verdict.compared_high),
                )
            },
            "limit_value": verdict.limit.value,
            "unit": verdict.limit.unit,
            "basis": verdict.limit.basis,
            "kind": verdict.limit.kind,
            "reason": verdict.reason,
            "next_action": verdict.next_action,
            "source": verdict.limit.source,
        }
        for verdict in found
    ]
    decimals = ("statistic_low", "statistic_high", "compared_low", "compared_high", "limit_value")
    return pl.DataFrame(
        rows,
        schema_overrides={**dict.fromkeys(decimals, pl.Decimal(38, 15)), "since": pl.Date},
        infer_schema_length=None,
    )
