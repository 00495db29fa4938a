"""One load from file to committed cells. What must hold: the account closes, nothing is lost, doubled or coerced."""

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.run import run_checks
from pipeline.errors import FileError
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.load import LoadReport, Occasion
from pipeline.plant.folder import read_plant
from pipeline.reread import retry_load
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.verify import verify_store
from tests.narrow_files import GOOD_ROW, narrow_file
from tests.pipeline.conftest import NOW

Loader = Callable[..., LoadReport]


def _in_force(store: Store) -> list[tuple[str, str]]:
    with store.read() as connection:
        frame = reading.results(connection)
    return sorted(frame.select("analyte", "value_text").iter_rows())


def test_a_good_row_becomes_a_result(store: Store, load: Loader) -> None:
    report = load(narrow_file())
    assert report.account.as_dict() == {
        "cells": 1, "empty": 0, "set_aside": 0, "held": 0, "duplicate": 0, "new": 1, "revision": 0, "flagged": 0,
    }  # fmt: skip
    assert _in_force(store) == [("Nitrate", "2.1")]


def test_a_result_keeps_its_way_back_to_the_file(store: Store, load: Loader) -> None:
    load(narrow_file({}, {"laboratory_sample": "L-2", "value": "2.2"}), "may.csv")
    with store.read() as connection:
        rows = reading.results(connection).select("value_text", "file_name", "line", "column_name").rows()
    assert sorted(rows) == [("2.1", "may.csv", 2, "value"), ("2.2", "may.csv", 3, "value")]


def test_the_same_file_again_stores_nothing_new(store: Store, load: Loader) -> None:
    content = narrow_file({}, {"laboratory_sample": "L-2"})
    load(content)
    again = load(content).account
    assert (again.duplicate, again.new, again.revision) == (2, 0, 0)
    assert len(_in_force(store)) == 2


def test_a_correction_with_a_revision_number_supersedes(store: Store, load: Loader) -> None:
    load(narrow_file())
    assert load(narrow_file({"value": "2.4", "revision": "2"})).account.revision == 1
    assert _in_force(store) == [("Nitrate", "2.4")]


def test_an_older_revision_that_comes_late_does_not_count(store: Store, load: Loader) -> None:
    load(narrow_file({"value": "2.4", "revision": "2"}))
    assert load(narrow_file({"revision": "1"})).account.revision == 1
    assert _in_force(store) == [("Nitrate", "2.4")]


def test_a_later_report_date_supersedes(store: Store, load: Loader) -> None:
    load(narrow_file())
    load(narrow_file({"value": "2.4", "reported": "2026-05-20"}))
    assert _in_force(store) == [("Nitrate", "2.4")]


def test_final_supersedes_preliminary(store: Store, load: Loader) -> None:
    load(narrow_file({"value": "2.4"}))
    load(narrow_file({"status": "preliminary", "value": "9.9"}))
    assert _in_force(store) == [("Nitrate", "2.4")]


def test_another_content_without_an_order_is_held(store: Store, load: Loader) -> None:
    load(narrow_file())
    assert load(narrow_file({"value": "2.4"})).account.held == 1
    with store.read() as connection:
        assert reading.held_cells(connection).get_column("rule_id").to_list() == ["revision_without_order"]
    assert _in_force(store) == [("Nitrate", "2.1")]


def test_a_rejection_by_the_sender_takes_the_result_out(store: Store, load: Loader) -> None:
    load(narrow_file())
    load(narrow_file({"status": "rejected", "revision": "2"}))
    assert _in_force(store) == []


def test_wholly_identical_rows_are_one_result(store: Store, load: Loader) -> None:
    account = load(narrow_file({}, {})).account
    assert (account.new, account.duplicate) == (1, 1)
    assert len(_in_force(store)) == 1


def test_equal_keys_with_different_contents_are_all_held(store: Store, load: Loader) -> None:
    assert load(narrow_file({}, {"value": "2.2"}, {"value": "2.3"})).account.held == 3
    assert _in_force(store) == []


def test_replicates_that_are_marked_are_kept_apart(store: Store, load: Loader) -> None:
    header = [*narrow_file().decode().splitlines()[0].split(","), "replicate"]
    load(narrow_file({"replicate": "1"}, {"replicate": "2", "value": "2.2"}, header=header))
    assert [value for _, value in _in_force(store)] == ["2.1", "2.2"]


def test_a_dry_run_stores_and_archives_nothing(store: Store, load: Loader) -> None:
    report = load(narrow_file(), dry_run=True)
    assert (report.load_id, report.account.new) == (None, 1)
    assert _in_force(store) == []
    assert not [path for path in store.archive.rglob("*") if path.is_file()]


def test_a_short_row_is_held_and_its_neighbours_are_not(load: Loader) -> None:
    content = narrow_file({}, {"laboratory_sample": "L-2"}).decode().splitlines()
    content.insert(2, "Tarnwick,L-9,S-9")
    account = load("\n".join(content).encode()).account
    assert (account.new, account.held) == (2, 1)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"PK\x03\x04", "workbook"),
        (narrow_file().replace(b"2.1", b'"2.1'), "never closed"),
        (narrow_file().replace(b",", b";"), "separated by semicolons"),
        (narrow_file().replace(b"fraction", b"analyte", 1), "twice"),
        (narrow_file().splitlines()[0] + b"\n" + b"x" * 100_000_000, "one line has"),
        (b"alpha,beta\n1,2\n", "no layout knows this header"),
    ],
)
def test_a_file_that_cannot_be_read_stores_nothing(store: Store, load: Loader, content: bytes, said: str) -> None:
    with pytest.raises(FileError, match=said) as raised:
        load(content)
    assert "\n" not in str(raised.value)
    with store.read() as connection:
        assert reading.loads(connection).is_empty()


def test_the_longest_number_the_store_keeps_does_not_stop_a_load(load: Loader) -> None:
    row = {"analyte": "E. coli", "unit": "MPN/100 mL", "value": "99999999999999999999999.999999999999999"}
    account = load(narrow_file(row, {"laboratory_sample": "L-2"})).account
    assert (account.held, account.new) == (1, 1)  # held as not possible


def test_an_alias_and_a_retry_clear_a_held_cell(store: Store, load: Loader) -> None:
    report = load(narrow_file({"analyte": "Nitrat, gelöst", "basis": "as N"}, {"laboratory_sample": "L-2"}))
    assert (report.account.held, report.account.new) == (1, 1)
    _write_alias(store.plant_folder, 'analyte,"Nitrat, gelöst",Nitrate')
    retried = _retry(store, report)
    assert (retried.account.held, retried.account.new, retried.account.cells) == (0, 2, 2)
    assert len(_in_force(store)) == 2
    assert verify_store(store).faults == ()


def test_a_retry_without_a_cure_holds_the_same_cells(store: Store, load: Loader) -> None:
    report = load(narrow_file({"unit": "mg/kg"}, {"laboratory_sample": "L-2"}))
    assert _retry(store, report).account == report.account
    with store.read() as connection:
        assert reading.held_cells(connection).select("load_id", "cell_id").n_unique() == 1


def test_a_file_loaded_twice_counts_its_held_cells_once(store: Store, load: Loader) -> None:
    content = narrow_file({"unit": "mg/kg"})
    load(content)
    load(content)
    with store.read() as connection:
        assert len(reading.held_for_screening(connection)) == 1


def test_a_non_detect_is_stored_censored_with_its_limit(store: Store, load: Loader) -> None:
    load(narrow_file({"value": "ND"}))
    with store.read() as connection:
        row = reading.results(connection).row(0, named=True)
    assert (row["value_kind"], row["value_text"], row["value"]) == ("below", "ND", Decimal("0.1"))


def test_nitrate_as_the_ion_is_converted_and_kept_as_reported(store: Store, load: Loader) -> None:
    # 10 mg/L as N is 44.27 mg/L as NO3 by atomic weights (IUPAC 2021).
    load(narrow_file({"analyte": "Nitrate", "basis": "as NO3", "value": "44.27"}))
    with store.read() as connection:
        row = reading.results(connection).row(0, named=True)
    assert row["value"] == Decimal("44.27")
    assert abs(row["canonical_value"] - 10) < Decimal("0.001")


values = st.sampled_from(["1.0", "<0.5", "ND", "see note", "", "TNTC", "0", "-3", ">9", "7.77777777777777777"])
units = st.sampled_from(["mg/L", "ug/L", " MG/L ", "mg/kg", "", "ppt", "µg/L", "μg/L"])
rows = st.fixed_dictionaries(
    {
        "value": values,
        "unit": units,
        "analyte": st.sampled_from(["Nitrate as N", "Nitrate", "Iron", "Chlorine", "mystery"]),
        "sample_point": st.sampled_from(["FW", "RO", "nowhere"]),
        "laboratory_sample": st.sampled_from(["L-1", "L-2", "L-3", ""]),
        "collected": st.sampled_from(["2026-05-04 08:15", "2026-05-04", "", "2026-11-01 01:30"]),
        "status": st.sampled_from(["final", "preliminary", "rejected", "whatever"]),
        "revision": st.sampled_from(["", "1", "2"]),
    }
)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(first=st.lists(rows, max_size=8), second=st.lists(rows, max_size=8))
def test_every_account_closes_and_the_store_proves_itself(
    store: Store, load: Loader, first: list[dict[str, str]], second: list[dict[str, str]]
) -> None:
    for content in (narrow_file(*first), narrow_file(*second)):
        account = load(content).account
        assert account.closes
        again = load(content).account
        assert (again.new, again.revision) == (0, 0)
        assert again.cells == account.cells
    assert verify_store(store).faults == ()


def _write_alias(folder: Path, row: str) -> None:
    (folder / "aliases.csv").write_text(f"kind,as_written,means\n{row}\n", "utf-8")


def _retry(store: Store, report: LoadReport) -> LoadReport:
    assert report.load_id
    plant = read_plant(store.plant_folder)
    return retry_load(store, plant, report.load_id, shipped_layouts().values(), run_checks, Occasion(NOW, "tester"))


def test_a_method_blank_needs_neither_point_nor_time(load: Loader, store: Store) -> None:
    blank = {"sample_point": "", "collected": "", "received": "", "sample_type": "quality control, method blank"}
    content = narrow_file({**blank, "value": "<0.1"}, header=[*GOOD_ROW, "sample_type"])
    assert load(content).account.new == 1
    assert load(content, "again.csv").account.duplicate == 1
    assert verify_store(store).faults == ()
