"""Killing a process in the middle of its work, and comparing what it leaves of a store."""

import multiprocessing
import random
import shutil
import time
from collections.abc import Iterator
from multiprocessing.process import BaseProcess
from pathlib import Path

import duckdb

from pipeline.store.connection import Store
from tests.kill import work

# A server without threads forks each process with everything imported: a fork of a process that uses DuckDB would hang.
_PROCESSES = multiprocessing.get_context("forkserver")
_PROCESSES.set_forkserver_preload(["tests.kill.work"])
LONGEST_SECONDS = 120

Contents = dict[str, tuple[int, int]]


# Readings of a load that is not complete are nobody's business, and numbers of changes that came to nothing are lost.
_OF_NO_CONSEQUENCE = {
    "reading": "",
    "reading_again": "",
    "reading_pending": "",
    "reading_past": "EXCLUDE (delivered_by, counts_from, counts_to)",
    "reading_change": "EXCLUDE (change_id)",
}


def contents(folder: Path) -> Contents:
    """What a store says, table by table: its number of rows and a fingerprint in which their order does not count."""
    with Store(folder).read() as connection:
        tables = connection.execute("SELECT table_name FROM duckdb_tables() ORDER BY table_name").fetchall()
        asked = {table: _OF_NO_CONSEQUENCE.get(table, "EXCLUDE ()") for (table,) in tables}
        asked["reading_in_force"] = "EXCLUDE (delivered_by, counts_from)"
        return {table: _fingerprint(connection, table, columns) for table, columns in asked.items() if columns}


def _fingerprint(connection: duckdb.DuckDBPyConnection, table: str, columns: str) -> tuple[int, int]:
    rows = f'FROM (SELECT * {columns.replace("EXCLUDE ()", "")} FROM "{table}") AS row'
    return connection.execute(f"SELECT count(*), coalesce(sum(hash(row)::HUGEINT), 0) {rows}").fetchall()[0]


def start(name: str, folder: Path) -> BaseProcess:
    """A process that does a piece of work on a store."""
    process = _PROCESSES.Process(target=work.do, args=(name, str(folder)))
    process.start()
    return process


def do_whole(name: str, folder: Path) -> float:
    """Let a piece of work end by itself; the seconds it took."""
    begun = time.monotonic()
    process = start(name, folder)
    process.join(LONGEST_SECONDS)
    assert process.exitcode == 0, f"{name} ended with {process.exitcode}"
    return time.monotonic() - begun


def kill_after(seconds: float, name: str, folder: Path) -> None:
    """Let a piece of work begin, and kill it after a while as the machine would: no warning, no cleaning up."""
    process = start(name, folder)
    time.sleep(seconds)
    process.kill()
    process.join(LONGEST_SECONDS)


def moments(whole_seconds: float, count: int, seed: str) -> Iterator[float]:
    """Random moments, one in each of ``count`` equal parts of the time that the work takes, and a little beyond."""
    chance = random.Random(seed)
    for part in range(count):
        yield (part + chance.random()) / count * 1.1 * whole_seconds


def copy_of(folder: Path, to: Path) -> Path:
    """A copy of a store, over an earlier one."""
    shutil.rmtree(to, ignore_errors=True)
    return Path(shutil.copytree(folder, to))
