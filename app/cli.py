"""The command ``barrierbook``."""

import sys
from collections.abc import Sequence

import typer

from app.commands import (
    answering,
    correcting,
    demo,
    due,
    exporting,
    keeping,
    loading,
    mapping,
    readings,
    reporting,
    screening,
    serving,
    telephone,
    trend,
)
from pipeline.errors import BarrierbookError, PlantFolderError

cli = typer.Typer(
    name="barrierbook",
    help=(
        "Evidence that every barrier of a water purification plant works and its finished water meets every limit. "
        "A screening aid: certified laboratories, licensed operators and the primacy agency decide."
    ),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
for command in (
    demo.demo,
    loading.init,
    loading.load,
    mapping.layout,
    telephone.telephone,
    keeping.held,
    answering.accept,
    keeping.findings,
    keeping.retry,
    correcting.withdraw,
    correcting.decide,
    screening.screen,
    due.due,
    keeping.verify,
    readings.readings,
    readings.compact,
    serving.serve,
    exporting.export,
    trend.trend,
    reporting.report,
):
    cli.command()(command)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done; 3 done, and something needs a person; 1 could not be done; 2 misuse.
    """
    try:
        cli(args=list(arguments) if arguments is not None else None)
    except SystemExit as finished:
        return finished.code if isinstance(finished.code, int) else 0
    except PlantFolderError as error:
        for problem in error.problems:
            sys.stderr.write(f"{problem}\n")
    except BarrierbookError as error:
        sys.stderr.write(f"{error}\n")
    return 1


if __name__ == "__main__":
    sys.exit(main())
