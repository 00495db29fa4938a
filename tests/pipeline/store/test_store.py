"""The store folder: opened by many, written by one, whole or not at all, and able to prove itself."""

import multiprocessing
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import pytest

from pipeline.errors import StoreBusyError, StoreError
from pipeline.load import LoadReport
from pipeline.store import connection as store_connection
from pipeline.store import migrations, reading
from pipeline.store.connection import Store
from pipeline.store.verify import verify_store
from tests.narrow_files import narrow_file

Loader = Callable[..., LoadReport]


def test_reading_where_there_is_no_store_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="barrierbook init"), Store(tmp_path).read():
        pass


def test_creating_twice_keeps_what_is_there(store: Store, load: Loader) -> None:
    load(narrow_file())
    store.create()
    with store.read() as connection:
        assert reading.loads(connection).height == 1


def test_what_is_raised_inside_a_writing_undoes_it(store: Store) -> None:
    with pytest.raises(ZeroDivisionError):
        _write_and_fail(store)
    with store.read() as connection:
        assert connection.execute("SELECT count(*) FROM file").fetchall() == [(0,)]


def test_a_newer_store_is_not_touched(store: Store) -> None:
    with store.write() as connection:
        connection.execute("INSERT INTO migration VALUES (999, 'later')")
    with pytest.raises(StoreError, match="newer"), store.write():
        pass


def test_an_older_store_is_brought_to_the_present_tables_when_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store, present = Store(tmp_path / "older"), migrations._migrations()
    monkeypatch.setattr(migrations, "_migrations", lambda: present[:1])
    store.create()
    monkeypatch.setattr(migrations, "_migrations", lambda: present)
    with store.read() as connection:
        assert reading.results(connection).is_empty()
        assert connection.execute("SELECT max(number) FROM migration").fetchall() == [(len(present),)]


def test_a_writer_that_never_finishes_is_reported(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_connection, "PATIENCE_SECONDS", 0.2)
    holder = multiprocessing.get_context("spawn").Process(target=_hold, args=(str(store.database), 120.0))
    holder.start()
    try:
        _wait_until_locked(store.database)
        with pytest.raises(StoreBusyError, match="Try again"), store.read():
            pass
    finally:
        holder.kill()
        holder.join()


def test_loads_go_through_while_pages_are_reading(store: Store, load: Loader) -> None:
    load(narrow_file())
    reader = multiprocessing.get_context("spawn").Process(target=_read_on, args=(str(store.folder), 60.0))
    reader.start()
    try:
        for number in range(2, 5):
            assert load(narrow_file({"laboratory_sample": f"L-{number}"})).account.new == 1
    finally:
        reader.kill()
        reader.join()
    assert verify_store(store).faults == ()


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        ("UPDATE in_force SET to_event = from_event", "against what the deliveries say"),
        ("INSERT INTO withdrawal VALUES (1, 1, 'nobody did it')", "against what the deliveries say"),
        ("DELETE FROM event", "at an event that is not there"),
        ("INSERT INTO in_force SELECT * FROM in_force", "two versions of one result"),
        ("DELETE FROM cell_outcome", "a result has no cell"),
        ("INSERT INTO result_key SELECT * FROM result_key", "two keys are the same result"),
        ("INSERT INTO cell_outcome SELECT * FROM cell_outcome", "does not have one outcome"),
    ],
)
def test_a_store_that_was_tampered_with_does_not_prove_itself(store: Store, load: Loader, harm: str, said: str) -> None:
    load(narrow_file())
    with store.write() as connection:
        connection.execute(harm)
    assert any(said in fault for fault in verify_store(store).faults)


def test_an_archive_that_lost_a_byte_does_not_prove_itself(store: Store, load: Loader) -> None:
    load(narrow_file())
    (archived,) = [path for path in store.archive.glob("??/*") if path.read_bytes() == narrow_file()]
    archived.write_bytes(archived.read_bytes()[:-1])
    assert any("lost or damaged" in fault for fault in verify_store(store).faults)


def test_the_plant_folder_is_archived_with_the_load(store: Store, load: Loader) -> None:
    load(narrow_file())
    (listing,) = (store.archive / "plant").iterdir()
    assert "sample_points.csv" in listing.read_text()


def _write_and_fail(store: Store) -> None:
    with store.write() as connection:
        connection.execute("INSERT INTO file VALUES (1, 'x', 1)")
        raise ZeroDivisionError


def _hold(database: str, seconds: float) -> None:
    while True:  # whoever looks whether it is taken yet is itself in the way for a moment
        try:
            with duckdb.connect(database):
                time.sleep(seconds)
                return
        except duckdb.IOException:
            time.sleep(0.01)


def _read_on(folder: str, seconds: float) -> None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        try:
            with Store(Path(folder)).read() as connection:
                reading.loads(connection)
        except StoreBusyError:
            continue


def _wait_until_locked(database: Path) -> None:
    for _ in range(1200):
        try:
            duckdb.connect(str(database), read_only=True).close()
        except duckdb.IOException:
            return
        time.sleep(0.05)
    pytest.fail("the other process never took the store")
