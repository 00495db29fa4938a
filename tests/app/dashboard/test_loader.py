"""The page's loader is a process of its own; it loads under the delivered name and says what went wrong."""

import pytest

from app.dashboard import loader
from pipeline.store import reading
from pipeline.store.connection import Store
from tests.narrow_files import narrow_file


def loaded_files(store: Store) -> list[str]:
    with store.read() as connection:
        return reading.loads(connection).get_column("file_name").to_list()


def test_a_delivered_file_is_loaded_under_its_own_name(new_store: Store) -> None:
    finished = loader.load("../june (2).csv", narrow_file({}), new_store.folder)
    assert finished.done
    assert loaded_files(new_store) == ["june (2).csv"]


def test_a_result_above_a_limit_is_done_and_said_first(new_store: Store) -> None:
    finished = loader.load("june.csv", narrow_file({"value": "12.4"}), new_store.folder)
    assert finished.done
    assert finished.said.startswith("■ act now: Nitrate 12.4 mg/L")


def test_a_file_that_no_layout_fits_stores_nothing_and_says_why(new_store: Store) -> None:
    finished = loader.load("odd.csv", b"a,b\n1,2\n", new_store.folder)
    assert not finished.done
    assert "odd.csv" in finished.said
    assert loaded_files(new_store) == []


def test_held_cells_are_read_again_after_the_plant_folder_was_mended(new_store: Store) -> None:
    loader.load("june.csv", narrow_file({"unit": "parts"}), new_store.folder)
    alias = "sender,as_written,kind,means\n,parts,unit,mg/L\n"
    (new_store.plant_folder / "aliases.csv").write_text(alias)
    assert loader.retry(1, new_store.folder).done
    with new_store.read() as connection:
        assert reading.held_cells(connection).height == 0


@pytest.mark.parametrize(
    ("given", "kept"),
    [("june.csv", "june.csv"), ("C:\\lab\\june.csv", "june.csv"), ("/etc/passwd", "passwd"), ("a\0b.csv", "ab.csv")],
)
def test_a_name_is_never_a_way_out_of_a_folder(given: str, kept: str) -> None:
    assert loader.file_name(given) == kept


@pytest.mark.parametrize("given", ["", ".", "..", "/", "a/.."])
def test_a_name_is_never_empty(given: str) -> None:
    assert loader.file_name(given) == "delivered.csv"
