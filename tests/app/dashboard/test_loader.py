"""The page's loader is a process of its own; it loads under the delivered name and says what went wrong."""

import pytest

from app.dashboard import loader
from pipeline.store import reading
from pipeline.store.connection import Store
from tests.narrow_files import narrow_file


def loaded_files(store: Store) -> list[str]:
    with store.read() as connection:
        return reading.loads(connection).get_column("file_name").to_list()


def test_delivered_files_are_loaded_under_their_own_names(new_store: Store) -> None:
    told: list[str] = []
    files = [
        ("../june (2).csv", narrow_file({})),
        ("may.csv", narrow_file({"sample": "S-9", "laboratory_sample": "L-9"})),
    ]
    first, second = loader.load(files, new_store.folder, told.append)
    assert (first.load_id, second.load_id) == (1, 2)
    assert first.account == "1 = 0 empty + 0 set aside + 0 held + 0 duplicate + 1 new + 0 revision"
    assert loaded_files(new_store) == ["may.csv", "june (2).csv"]
    assert told[:2] == ["Reading 1 of 2: june (2).csv", "Reading 2 of 2: may.csv"]


def test_two_files_of_one_name_are_two_files(new_store: Store) -> None:
    files = [("june.csv", narrow_file({})), ("june.csv", narrow_file({"value": "2.2"}))]
    assert [result.load_id for result in loader.load(files, new_store.folder)] == [1, 2]


def test_a_result_above_a_limit_is_said(new_store: Store) -> None:
    (result,) = loader.load([("june.csv", narrow_file({"value": "12.4"}))], new_store.folder)
    assert result.above[0].startswith("act now: Nitrate 12.4 mg/L")


def test_a_file_that_no_layout_fits_stores_nothing_and_is_told_apart_from_a_broken_one(new_store: Store) -> None:
    odd, broken = loader.load([("odd.csv", b"a,b\n1,2\n"), ("broken.csv", b"")], new_store.folder)
    assert (odd.load_id, odd.is_unknown, broken.load_id, broken.is_unknown) == (None, True, None, False)
    assert "no layout knows this header" in odd.error
    assert loaded_files(new_store) == []


def test_a_plant_folder_that_is_wrong_is_said_of_every_file(new_store: Store) -> None:
    (new_store.plant_folder / "aliases.csv").write_text("nonsense\n1\n")
    (result,) = loader.load([("june.csv", narrow_file({}))], new_store.folder)
    assert "aliases.csv" in result.error


def test_an_accepted_meaning_clears_the_held_cells(new_store: Store) -> None:
    loader.load([("june.csv", narrow_file({"unit": "--parts"}))], new_store.folder)
    said = loader.accept("unit", "Tarnwick", "--parts", "mg/L", new_store.folder, "--why", "letter")
    assert said.done, said.said
    assert "1 of 1 held cells cleared" in said.said
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
