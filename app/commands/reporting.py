"""``report``: the finished water of a month as a workbook, or on the screen."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from app.book import open_book
from app.commands.options import DEFAULT_STORE, AsOfOption, JsonOption, StoreOption, known
from app.commands.trend import points_named
from app.printing import print_json, print_rows, progress, say
from app.reports.month import MonthReport, finished_water_points, month_report
from app.reports.sheets import CAUTION, Sheet, month_name, sheets
from app.reports.workbook import workbook
from pipeline.errors import BarrierbookError
from pipeline.plant.plant import Plant

SHOWN = ("Analyte", "Sample point", "Verdict", "Stands at", "Limit", "Unit", "Kind", "Results in month", "Highest")
EARLIEST_YEAR = 1900


def report(
    month: Annotated[str, typer.Option(help="The month, such as 2026-03.")],
    store: StoreOption = DEFAULT_STORE,
    point: Annotated[
        list[str] | None, typer.Option(help="Sample point; without it those of the finished water.")
    ] = None,
    to: Annotated[Path | None, typer.Option(help="Workbook to write, .xlsx.")] = None,
    as_of: AsOfOption = "",
    json: JsonOption = False,
) -> None:
    """Report the finished water of a month: verdicts at its end, its results, and what is missing.

    Example: barrierbook report --month 2026-03 --to 2026-03.xlsx --store plant-data
    """
    book = open_book(store)
    knowledge = known(book, as_of)
    first = _first_day(month)
    if to is not None and to.suffix != ".xlsx":
        raise BarrierbookError(f'"{to.name}" is no .xlsx file.', "Name the workbook with .xlsx.")
    points = _points(knowledge.plant, point or [])
    found = month_report(book.store, knowledge, first.date(), points, book.today())
    if to is not None:
        to.write_bytes(workbook(found, knowledge.plant.zone))
        progress(f"Wrote the report of {month_name(found.first)} to {to}.")
    if json:
        print_json(_as_json(found, knowledge.plant))
    elif to is None:
        _print(found, knowledge.plant)


def _first_day(month: str) -> datetime:
    try:
        first = datetime.strptime(month, "%Y-%m")  # noqa: DTZ007 - a month of the plant's own calendar
    except ValueError as error:
        raise BarrierbookError(f'"{month}" is not a month.', "Write it like 2026-03.") from error
    if first.year < EARLIEST_YEAR:
        raise BarrierbookError(f'"{month}" is before any result.', "Write it like 2026-03.")
    return first


def _points(plant: Plant, written: list[str]) -> list[str]:
    points = points_named(plant, written) or finished_water_points(plant)
    if not points:
        raise BarrierbookError(
            "no sample point of this plant is marked as a finished water entry point.",
            "Mark one in sample_points.csv, or name a point with --point.",
        )
    return points


def _print(found: MonthReport, plant: Plant) -> None:
    about, limits, _, missing = sheets(found, plant.zone)
    print_rows([row for row in about.rows if row[0] not in ("", "How to read it", "Caution")], ("About", "Says"))
    say("")
    chosen = [limits.column(heading) for heading in SHOWN]
    print_rows(list(zip(*chosen, strict=True)), SHOWN)
    if missing.rows:
        say("")
        print_rows(missing.rows, [column.heading for column in missing.columns])
    say(f"\n{CAUTION}")


def _as_json(found: MonthReport, plant: Plant) -> dict[str, object]:
    about, *tables = sheets(found, plant.zone)
    return {
        "month": month_name(found.first),
        "about": [{"what": row[0], "says": row[1]} for row in about.rows],
        **{sheet.name.lower().replace(" ", "_"): _records(sheet) for sheet in tables},
        "caution": CAUTION,
    }


def _records(sheet: Sheet) -> list[dict[str, object]]:
    names = [column.heading.lower().replace(", ", "_").replace(" ", "_") for column in sheet.columns]
    return [dict(zip(names, row, strict=True)) for row in sheet.rows]
