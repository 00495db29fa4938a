"""How long a load takes, as a multiple of the bare minimum: DuckDB reading the same file into a table.

Run from the checkout: python -m tests.bench.laboratory_load

The file has 200,000 results in our own narrow layout, at the sample plant: its analytes, points and aliases, two years
of rounds. Every check runs. Both are measured in turn in one process, so that a slow machine is slow for both; the
ratio of the medians is what counts.
"""

import argparse
import csv
import io
import json
import platform
import resource
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import duckdb

from checks.run import run_checks
from pipeline.ingest.layout import shipped_layouts
from pipeline.ingest.source import read_source
from pipeline.load import LoadReport, Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from sample_lab import copy_plant_folder
from sample_lab.generator.files import sample_files

OCCASION = Occasion(datetime(2026, 12, 1, tzinfo=UTC), "bench")


def main(arguments: list[str] | None = None) -> int:
    """Measure, and print the figures as JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--rows", type=int, default=200_000, help="results in the file")
    parser.add_argument("--runs", type=int, default=5, help="measured runs of each; one more is not counted")
    parser.add_argument("--at-most", type=float, default=None, help="exit with 1 when the ratio is above this")
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        figures = measure(Path(folder), asked.rows, asked.runs)
    sys.stdout.write(json.dumps(figures, indent=2) + "\n")
    return 1 if asked.at_most is not None and float(str(figures["ratio"])) > asked.at_most else 0


def measure(folder: Path, rows: int, runs: int) -> dict[str, object]:
    """Seconds of the bare reading and of the load [s], their ratio [-], and what became of the cells."""
    path = folder / "bench.csv"
    path.write_text(bench_file(rows), "utf-8")
    bare: list[float] = []
    loads: list[float] = []
    for run in range(runs + 1):
        reading = _seconds(lambda: _read_bare(path))
        loading, report = _load_anew(path, folder / f"store-{run}")
        if run:  # the first run imports Great Expectations and warms the disk
            bare.append(reading)
            loads.append(loading)
    account = report.account
    if account.cells != rows or not account.closes:
        raise AssertionError(f"the load lost cells: {account}")
    return {
        "rows": rows,
        "megabytes": round(path.stat().st_size / 1e6, 1),
        "bare_seconds": round(statistics.median(bare), 3),
        "load_seconds": round(statistics.median(loads), 3),
        "ratio": round(statistics.median(loads) / statistics.median(bare), 1),
        "runs": runs,
        "account": account.as_dict(),
        "peak_megabytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
        "python": platform.python_version(),
        "duckdb": duckdb.__version__,
    }


def bench_file(rows: int) -> str:
    """The sample laboratory's lines, and when they run out the same again as other samples.

    Planted defects come along, so that the checks have something to find, in the share that they have at the plant.
    """
    tables = [
        list(csv.reader(io.StringIO(read_text(file.content), newline="")))
        for file in sample_files()
        if "sent_again" not in file.name
    ]
    header = tables[0][0]
    named = [header.index(name) for name in ("result_id", "laboratory_sample", "sample")]
    lines = [line for table in tables for line in table[1:] if line]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    for number in range(rows):
        again, place = divmod(number, len(lines))
        writer.writerow(_as_other_sample(lines[place], named, again) if again else lines[place])
    return text.getvalue()


def _as_other_sample(line: list[str], named: list[int], again: int) -> list[str]:
    return [f"{cell}-{again}" if place in named and cell else cell for place, cell in enumerate(line)]


def read_text(content: bytes) -> str:
    """A sample file as text; one of them is in Windows-1252."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252")


def _read_bare(path: Path) -> None:
    with duckdb.connect() as connection:
        connection.execute("CREATE TABLE bare AS FROM read_csv(?, all_varchar = true)", [str(path)])


def _load_anew(path: Path, folder: Path) -> tuple[float, LoadReport]:
    """Load the file into an empty store, plant folder included: what a person waits for."""
    store = Store(folder)
    copy_plant_folder(store.plant_folder)
    store.create()
    started = time.perf_counter()
    plant = read_plant(store.plant_folder)
    layout = shipped_layouts()["narrow.toml"]
    report = load_file(store, plant, read_source(path), [layout], run_checks, OCCASION)
    return time.perf_counter() - started, report


def _seconds(work: Callable[[], None]) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


if __name__ == "__main__":
    sys.exit(main())
