"""How long a load takes, as a multiple of the bare minimum: DuckDB reading the same file into a table.

Run from the checkout: python -m tests.bench.laboratory_load

The file has 200,000 results in our own narrow layout, at the sample plant: its analytes, points and aliases, two years
of rounds. Every check runs. The bare reading, the load and the load of the same file once more are measured in turn in
one process, so that a slow machine is slow for all; the ratios of the medians are what counts. The verdicts of a whole
plant are measured beside them (:mod:`tests.bench.whole_plant`).
"""

import argparse
import csv
import io
import json
import platform
import resource
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import duckdb

from checks.run import run_checks
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import read_source
from pipeline.load import LoadReport, Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from sample_lab import copy_plant_folder
from sample_lab.generator.files import sample_files
from tests.bench import whole_plant

OCCASION = Occasion(datetime(2026, 12, 1, tzinfo=UTC), "bench")


WARMING_ROWS = 1_000


def main(arguments: list[str] | None = None) -> int:
    """Measure, and print the figures as JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--rows", type=int, default=200_000, help="results in the file")
    parser.add_argument("--runs", type=int, default=3, help="measured runs of each")
    parser.add_argument("--at-most", type=float, default=None, help="exit with 1 when the load's ratio is above this")
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        loading = measure(Path(folder), asked.rows, asked.runs)
    figures = {
        "load": loading,
        "verdicts": whole_plant.measure(asked.runs),
        "runs": asked.runs,
        "python": platform.python_version(),
        "duckdb": duckdb.__version__,
    }
    sys.stdout.write(json.dumps(figures, indent=2) + "\n")
    return 1 if asked.at_most is not None and float(str(loading["ratio"])) > asked.at_most else 0


def measure(folder: Path, rows: int, runs: int) -> dict[str, object]:
    """Seconds of the bare reading and of both loads [s], their ratios [-], and what became of the cells."""
    importing = _seconds(lambda: import_module("checks.expectations.suite"))  # brings Great Expectations
    path, warming = folder / "bench.csv", folder / "warming.csv"
    path.write_text(bench_file(rows), "utf-8")
    warming.write_text(bench_file(WARMING_ROWS), "utf-8")
    _load(warming, _new_store(folder / "warming"))  # compiles and caches what only the first load of a process pays for
    bare: list[float] = []
    first: list[float] = []
    again: list[float] = []
    for run in range(runs):
        store = _new_store(folder / f"store-{run}")
        bare.append(_seconds(lambda: _read_bare(path)))
        seconds, report = _load(path, store)
        first.append(seconds)
        seconds, repeated = _load(path, store)
        again.append(seconds)
        _require_whole(report, repeated, rows)
        shutil.rmtree(store.folder)
    return {
        "rows": rows,
        "megabytes": round(path.stat().st_size / 1e6, 1),
        "great_expectations_import_seconds": round(importing, 2),
        "bare_seconds": round(statistics.median(bare), 3),
        "load_seconds": round(statistics.median(first), 3),
        "load_again_seconds": round(statistics.median(again), 3),
        "ratio": round(statistics.median(first) / statistics.median(bare), 1),
        "ratio_again": round(statistics.median(again) / statistics.median(bare), 1),
        "account": report.account.as_dict(),
        "account_again": repeated.account.as_dict(),
        "peak_megabytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
    }


def _require_whole(first: LoadReport, again: LoadReport, rows: int) -> None:
    """A load that loses cells, or takes known results for new ones, is not worth timing."""
    for report in (first, again):
        if report.account.cells != rows or not report.account.closes:
            raise AssertionError(f"the load lost cells: {report.account}")
    if again.account.new or again.account.revision or again.account.held != first.account.held:
        raise AssertionError(f"the same file once more is something new: {again.account}")


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


def _new_store(folder: Path) -> Store:
    store = Store(folder)
    copy_plant_folder(store.plant_folder)
    store.create()
    return store


def _load(path: Path, store: Store) -> tuple[float, LoadReport]:
    """Load the file, the reading of the plant folder included: what a person waits for."""
    started = time.perf_counter()
    plant = read_plant(store.plant_folder)
    layout = shipped_layouts()["narrow.toml"]
    report = load_file(store, plant, read_source(path), [layout], run_checks, OCCASION)
    return time.perf_counter() - started, report


def _seconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


if __name__ == "__main__":
    sys.exit(main())
