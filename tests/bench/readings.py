"""What readings take: a long file loaded, beside DuckDB reading it into a table; a long store asked, and added to.

Run from the checkout: python -m tests.bench.readings

Each step runs in a process of its own, one after the other, so that its memory is its own; ratios within one run are
what counts, because seconds depend on the machine. With ``--stored`` the store of the questions is filled directly, in
the order that loads and compaction leave.
"""

import argparse
import json
import multiprocessing
import platform
import resource
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import duckdb

from pipeline.analyzers.load_readings import load_readings
from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.analyzers.watch import Span, watch
from pipeline.load import Occasion
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from pipeline.store.readings_reading import Marking, readings_of

OCCASION = Occasion(datetime(2036, 12, 1, tzinfo=UTC), "bench")
START = datetime(2016, 1, 1, 8, tzinfo=UTC)
LAYOUT = ReadingsLayout.model_validate(
    {
        "name": "bench", "signature": ["Timestamp", "Tag", "Value"], "shape": "narrow",
        "columns": {"time": "Timestamp", "tag": "Tag", "value": "Value", "status": "Status"}, "time": {"zone": "UTC"},
        "words": {"flag": {"Good": "good", "Bad": "fail"}},
    }
)  # fmt: skip

FILE = """
COPY (
    SELECT
        strftime($start::TIMESTAMP + to_minutes(number // $tags), '%Y-%m-%d %H:%M:%S') AS "Timestamp",
        printf('AIT-%03d', number % $tags) AS "Tag",
        printf('%.3f', 5 + 2 * sin(number / 144000.0) + (hash(number) % 1000) / 1000.0) AS "Value",
        CASE WHEN hash(number) % 1000 = 0 THEN 'Bad' ELSE 'Good' END AS "Status"
    FROM range($readings) AS made(number)
) TO '{path}' (HEADER)
"""
BARE = """
CREATE TABLE bare AS
FROM read_csv($path, header = true,
    columns = {'Timestamp': 'TIMESTAMP', 'Tag': 'VARCHAR', 'Value': 'DOUBLE', 'Status': 'VARCHAR'})
"""
FILL = """
INSERT INTO reading
SELECT
    1 + number // $minutes, $start::TIMESTAMPTZ + to_minutes(number % $minutes),
    (5 + (hash(number) % 3000) / 1000)::DECIMAL(18,6), 1, number, 1, 1
FROM range($minutes * $tags) AS made(number)
ORDER BY 1, 2
"""
FILL_DAYS = """
INSERT INTO reading_day
SELECT
    tag_id, (read_at - INTERVAL 8 HOUR)::DATE, count(*), count(*), 0, 0, min(value), max(value), sum(value),
    min(value), max(value), min(read_at), max(read_at), 0, 0, 0
FROM reading
WHERE read_at >= $start::TIMESTAMPTZ AND read_at < $start::TIMESTAMPTZ + to_minutes($minutes)
GROUP BY ALL
"""


def main(arguments: list[str] | None = None) -> int:
    """Measure, and print the figures as JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--readings", type=int, default=50_000_000, help="readings in the file")
    parser.add_argument("--stored", type=int, default=50_000_000, help="readings in the store that is asked")
    parser.add_argument("--tags", type=int, default=100, help="tags in both")
    parser.add_argument("--runs", type=int, default=3, help="measured runs of file and bare reading")
    parser.add_argument("--folder", type=Path, default=None, help="where the files may stand for the while")
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory(dir=asked.folder) as name:
        folder = Path(name)
        figures: dict[str, Any] = {"readings": asked.readings, "stored": asked.stored, "tags": asked.tags}
        if asked.readings:
            figures |= _measure_file(folder, asked.readings, asked.tags, asked.runs)
        if asked.stored:
            figures |= _measure_store(folder, asked.stored, asked.tags)
    figures |= {"python": platform.python_version(), "duckdb": duckdb.__version__}
    sys.stdout.write(json.dumps(figures, indent=2) + "\n")
    return 0


def _measure_file(folder: Path, readings: int, tags: int, runs: int) -> dict[str, Any]:
    path = folder / "readings.csv"
    _apart(write_file, path, readings, tags, START)
    bare, load, memory = [], [], []
    for _ in range(runs):
        bare.append(_apart(read_bare, path)[0])
        (seconds, stored), peak = _apart(load_into_new_store, path, folder / "store", tags)
        load.append(seconds)
        memory.append(peak)
        _progress(f"bare {bare[-1]:.1f} s, load {seconds:.1f} s, {peak} MB, store {stored} MB")
    path.unlink()
    return {
        "bare_s": statistics.median(bare), "load_s": statistics.median(load),
        "ratio": round(statistics.median(load) / statistics.median(bare), 2), "peak_memory_mb": max(memory),
    }  # fmt: skip


def _measure_store(folder: Path, stored: int, tags: int) -> dict[str, Any]:
    store, months = folder / "long", folder / "month.csv"
    minutes = stored // tags
    seconds, _ = _apart(fill_store, store, minutes, tags)
    _progress(f"filled in {seconds:.0f} s")
    (month, years), _ = _apart(ask_store, store, minutes)
    _apart(write_file, months, 31 * 1440 * tags, tags, START + timedelta(minutes=minutes))
    (alone, _), _ = _apart(load_into_new_store, months, folder / "alone", tags)
    added, _ = _apart(load_into, months, store, tags)
    return {
        "fill_s": round(seconds, 1), "tag_month_s": month, "ten_year_overview_s": years,
        "month_into_empty_store_s": round(alone, 1), "month_into_long_store_s": round(added, 1),
        "month_ratio": round(added / alone, 2),
    }  # fmt: skip


def write_file(path: Path, readings: int, tags: int, start: datetime) -> float:
    """Write a narrow file, minute by minute, every tag in each."""
    values = {"start": start.replace(tzinfo=None), "tags": tags, "readings": readings}
    with duckdb.connect() as connection:
        return _seconds(lambda: connection.execute(FILE.format(path=path), values))


def read_bare(path: Path) -> float:
    """DuckDB reads the file into a table, with the types declared."""
    with duckdb.connect() as connection:
        return _seconds(lambda: connection.execute(BARE, {"path": str(path)}))


def load_into_new_store(path: Path, folder: Path, tags: int) -> tuple[float, int]:
    """Load the file into an empty store; seconds, and the size of the store [MB]."""
    _new_store(folder, tags)
    seconds = load_into(path, folder, tags)
    size = (folder / "store.duckdb").stat().st_size // 10**6
    shutil.rmtree(folder)
    return seconds, size


def load_into(path: Path, folder: Path, tags: int) -> float:
    """Load the file; every reading has to be new."""
    store = Store(folder)
    plant = read_plant(store.plant_folder)
    started = time.perf_counter()
    report = load_readings(store, plant, path, LAYOUT, OCCASION)
    seconds = time.perf_counter() - started
    assert report.account.new == report.account.cells, report.account
    assert len(plant.analyzers) == tags
    return seconds


def fill_store(folder: Path, minutes: int, tags: int) -> float:
    """A store with readings of so many minutes of each tag, month by month in order, without a file."""
    store = _new_store(folder, tags)
    started = time.perf_counter()
    month = 30 * 1440
    for first in range(0, minutes, month):
        values = {"start": START + timedelta(minutes=first), "minutes": min(month, minutes - first)}
        with store.write() as connection:
            connection.execute(FILL, {**values, "tags": tags})
            connection.execute(FILL_DAYS, values)
    with store.write() as connection:
        for number in range(tags):
            row = (1 + number, f"AIT-{number:03d}", "America/Los_Angeles", None, None, 60)
            connection.execute("INSERT INTO analyzer_tag VALUES (?, ?, ?, ?, ?, ?)", row)
        connection.execute("INSERT INTO reading_change VALUES (1, 1, 1)")
        connection.execute("INSERT INTO event VALUES (1, 'load', $at, 'bench', 1, '')", {"at": OCCASION.at})
        connection.execute("INSERT INTO file VALUES (1, '', 0)")
        connection.execute("INSERT INTO load VALUES (1, 1, 'filled', '', '', '', 1, 0, 0, 0, 0)")
    return time.perf_counter() - started


def ask_store(folder: Path, minutes: int) -> tuple[float, float]:
    """Median seconds of a month of one tag, every reading marked, and of ten years of it as pages draw them."""
    store = Store(folder)
    plant = read_plant(store.plant_folder)
    middle = START + timedelta(minutes=minutes // 2)
    ten_years = Span(date(2016, 1, 1), date(2025, 12, 31), plant.zone)
    analyzer = plant.analyzers["AIT-000"]
    month, years = [], []
    with store.read() as connection:
        for _ in range(7):
            month.append(_seconds(lambda: readings_of(connection, 7, middle, middle + timedelta(days=31), Marking())))
            years.append(_seconds(lambda: watch(connection, analyzer, 7, ten_years)))
    return round(statistics.median(month), 3), round(statistics.median(years), 3)


def _new_store(folder: Path, tags: int) -> Store:
    store = Store(folder)
    store.create()
    store.plant_folder.mkdir()
    (store.plant_folder / "plant.toml").write_text('name = "Bench"\ntime_zone = "America/Los_Angeles"\n')
    (store.plant_folder / "sample_points.csv").write_text(
        "sample_point,name,place,disinfected\nFIN,Finished,finished water entry point,yes\n"
    )
    rows = "".join(f"AIT-{number:03d},FIN,level,60\n" for number in range(tags))
    (store.plant_folder / "analyzers.csv").write_text(f"tag,sample_point,quantity,expected_interval_s\n{rows}")
    return store


def _apart(work: Callable[..., Any], *given: object) -> tuple[Any, int]:
    """What a step gives in a process of its own, and the most memory that it had [MB]."""
    with ProcessPoolExecutor(max_workers=1, mp_context=multiprocessing.get_context("spawn")) as pool:
        result = pool.submit(work, *given).result()
        return result, pool.submit(_peak).result()


def _peak() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000


def _seconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def _progress(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


if __name__ == "__main__":
    sys.exit(main())
