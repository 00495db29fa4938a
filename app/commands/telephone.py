"""``telephone``: a result told by telephone, kept as preliminary with who told it and when."""

from typing import Annotated

import typer

from app.book import open_book
from app.commands.loading import FileOutcome, print_outcome
from app.commands.options import DEFAULT_STORE, NEEDS_A_PERSON, JsonOption, StoreOption
from app.printing import print_json
from checks.run import run_checks
from pipeline.evaluate import results_above_a_limit
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import load_file
from pipeline.telephone import TelephoneNote, note_file


def telephone(
    laboratory: Annotated[str, typer.Option(help="Laboratory that called.")],
    told_by: Annotated[str, typer.Option(help="Who told it, by name or role.")],
    at: Annotated[str, typer.Option(help="When: local to the plant, such as 2026-11-25 14:05.")],
    sample: Annotated[str, typer.Option(help="Our own sample id.")],
    point: Annotated[str, typer.Option(help="Sample point.")],
    collected: Annotated[str, typer.Option(help="When the sample was taken.")],
    analyte: Annotated[str, typer.Option(help="Analyte.")],
    value: Annotated[str, typer.Option(help="Value as told, such as 11.2 or '<0.5'.")],
    unit: Annotated[str, typer.Option(help="Unit.")] = "",
    basis: Annotated[str, typer.Option(help="Basis, such as as N.")] = "",
    fraction: Annotated[str, typer.Option(help="total or dissolved.")] = "",
    reporting_limit: Annotated[str, typer.Option(help="Reporting limit, in the same unit.")] = "",
    method: Annotated[str, typer.Option(help="Method.")] = "",
    revision: Annotated[str, typer.Option(help="A number, where this call corrects another of the same day.")] = "",
    store: StoreOption = DEFAULT_STORE,
    json: JsonOption = False,
) -> None:
    """Write down a result told by telephone: preliminary until the report comes.

    It is archived and loaded as a file of one line, so that it can be traced like any other.
    """
    book = open_book(store)
    note = TelephoneNote(
        laboratory=laboratory, told_by=told_by, told_at=at, sample=sample, sample_point=point, collected=collected,
        analyte=analyte, value=value, unit=unit, basis=basis, fraction=fraction, reporting_limit=reporting_limit,
        method=method, revision=revision,
    )  # fmt: skip
    name, content = note_file(note, book.plant.zone)
    layouts = [layout for layout in shipped_layouts().values() if isinstance(layout, Layout)]
    report = load_file(book.store, book.plant, decode_source(name, content), layouts, run_checks, book.occasion())
    above = tuple(results_above_a_limit(book.store, book.plant, report.load_id)) if report.load_id else ()
    if json:
        print_json(
            {
                "file": name,
                "load": report.load_id,
                **report.account.as_dict(),
                "above_a_limit": [one.as_dict() for one in above],
            }
        )
    else:
        print_outcome(FileOutcome(name, report, above))
    if above or report.account.held:
        raise typer.Exit(NEEDS_A_PERSON)
