"""Custody sheets in the store: what becomes of every line, corrected sheets, withdrawal, and what they explain."""

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import duckdb
import openpyxl
import pytest

from checks.run import run_checks
from pipeline.correct import Correction, withdraw_load
from pipeline.deliver import deliver, read_again
from pipeline.ingest.layout_files import read_layout, shipped_layouts
from pipeline.ingest.sample_log_layout import SampleLogLayout
from pipeline.load import LoadReport, Occasion
from pipeline.plant.folder import read_plant
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.sample_log_reading import sample_lines
from pipeline.store.verify import verify_store
from tests.narrow_files import GOOD_ROW, narrow_file
from tests.pipeline.conftest import NOW
from tests.sample_sheets import GOOD_LINE, sample_sheet

Loader = Callable[..., LoadReport]
Deliver = Callable[..., LoadReport]
CREW_LAYOUT = """
kind = "sample log"
name = "crew sheet"
delimiter = ";"
signature = ["Our no.", "Where", "Day", "Time"]

[columns]
sample = "Our no."
point = "Where"
collected = ["Day", "Time"]
purpose = "Why"
requested = "Bottles"

[constants]
laboratory = "Tarnwick"

[times]
order = "day first"

[words.purpose]
C = "compliance"

[words.requested]
N3 = ["Nitrate", "Nitrite"]

[[set_aside]]
column = "Where"
equals = ["depot"]
reason = "not a sample"
"""


@pytest.fixture
def bring(store: Store, tmp_path: Path) -> Deliver:
    """Deliver the bytes of a file, whatever it holds."""

    def deliverer(content: bytes, name: str = "sheet.csv", *, dry_run: bool = False) -> LoadReport:
        path = tmp_path / name
        path.write_bytes(content)
        layouts = [*shipped_layouts().values(), read_layout("crew.toml", CREW_LAYOUT)]
        occasion = Occasion(NOW, "tester")
        return deliver(store, read_plant(store.plant_folder), path, layouts, run_checks, occasion, dry_run=dry_run)

    return deliverer


def _in_force(store: Store, as_of_event: int | None = None) -> list[tuple[str, str, str]]:
    with store.read() as connection:
        lines = sample_lines(connection, as_of_event)
    return [(line.content.sample, line.content.received_text, line.content.purpose) for line in lines]


def _reasons(store: Store) -> list[str]:
    with store.read() as connection:
        return reading.held_cells(connection)["rule_id"].to_list()


def _proved(store: Store) -> bool:
    return verify_store(store).faults == ()


def test_every_line_of_a_sheet_has_one_outcome(store: Store, bring: Deliver) -> None:
    blank = dict.fromkeys(GOOD_LINE, "") | {"comment": "end of the day"}
    account = bring(
        sample_sheet({}, {}, {"sample": "S-2", "sample_point": "Well 9"}, blank), "monday.csv"
    ).account.as_dict()
    assert account == {
        "cells": 4, "empty": 1, "set_aside": 0, "held": 1, "duplicate": 1, "new": 1, "revision": 0, "flagged": 0,
    }  # fmt: skip
    assert _proved(store)


def test_a_sheet_loaded_twice_stores_nothing_new(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    again = bring(sample_sheet(), "copy.csv").account
    assert (again.duplicate, again.new, again.revision) == (1, 0, 0)
    assert len(_in_force(store)) == 1
    assert _proved(store)


def test_a_dry_run_stores_nothing(store: Store, bring: Deliver) -> None:
    assert bring(sample_sheet(), dry_run=True).load_id is None
    assert _in_force(store) == []


def test_a_sheet_that_is_filled_in_further_is_a_revision(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    assert bring(sample_sheet({"received": "2026-05-04 13:00"}), "back.csv").account.revision == 1
    assert _in_force(store) == [("S-1", "2026-05-04 13:00", "compliance")]
    assert _proved(store)


def test_the_fuller_sheet_counts_whichever_came_first(store: Store, bring: Deliver) -> None:
    bring(sample_sheet({"received": "2026-05-04 13:00"}), "back.csv")
    bring(sample_sheet())
    assert _in_force(store) == [("S-1", "2026-05-04 13:00", "compliance")]
    assert _proved(store)


def test_another_content_without_an_order_is_held(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    assert bring(sample_sheet({"purpose": "special"}), "other.csv").account.held == 1
    assert _reasons(store) == ["revision_without_order"]
    assert _in_force(store) == [("S-1", "", "compliance")]


@pytest.mark.parametrize("newer", [{"revision": "1"}, {"issued": "2026-05-06"}])
def test_a_corrected_sheet_says_that_it_is_newer(store: Store, bring: Deliver, newer: dict[str, str]) -> None:
    bring(sample_sheet())
    bring(sample_sheet({"purpose": "special", **newer}), "corrected.csv")
    assert _in_force(store) == [("S-1", "", "special")]


def test_an_older_revision_that_comes_late_does_not_count(store: Store, bring: Deliver) -> None:
    bring(sample_sheet({"purpose": "special", "revision": "2"}), "corrected.csv")
    bring(sample_sheet())
    assert _in_force(store) == [("S-1", "", "special")]
    assert _proved(store)


def test_a_sheet_is_asked_for_as_it_was_known(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    bring(sample_sheet({"received": "2026-05-04 13:00"}), "back.csv")
    assert _in_force(store, as_of_event=1) == [("S-1", "", "compliance")]


def test_bottles_for_two_laboratories_are_two_lines_of_one_sample(store: Store, bring: Deliver) -> None:
    bring(sample_sheet({}, {"laboratory": "Ludwell", "requested": "PFOA"}))
    assert len(_in_force(store)) == 2
    with store.read() as connection:
        assert connection.execute("SELECT sample FROM current_sample_log").fetchall() == [("S-1",)]


def test_two_lines_of_one_bottle_that_differ_are_both_held(store: Store, bring: Deliver) -> None:
    assert bring(sample_sheet({}, {"collected": "2026-05-04 08:20"})).account.held == 2
    assert _reasons(store) == ["equal_keys_in_file"] * 2


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ({"sample": ""}, "sample_not_named"),
        ({"sample_point": "Well 9"}, "sample_point_not_known"),
        ({"collected": ""}, "collected_time_missing"),
        ({"collected": "Monday"}, "collected_time_not_readable"),
        ({"received": "31-31-2026"}, "time_not_readable"),
        ({"purpose": "because"}, "purpose_not_known"),
        ({"requested": "Nitrate; Unobtainium"}, "analyte_not_known"),
        ({"confirmation_of": "S-1"}, "sample_named_by_itself"),
        ({"revision": "second"}, "revision_not_readable"),
    ],
)
def test_what_cannot_be_interpreted_is_held_with_its_remedy(
    store: Store, bring: Deliver, line: dict[str, str], rule: str
) -> None:
    assert bring(sample_sheet(line)).account.held == 1
    with store.read() as connection:
        (held,) = reading.held_cells(connection).iter_rows(named=True)
    assert held["rule_id"] == rule
    assert held["remedy"].endswith(("then retry.", "load it again.", "load the corrected sheet."))


def test_an_alias_and_a_retry_clear_a_held_line(store: Store, bring: Deliver) -> None:
    load_id = bring(sample_sheet({"sample_point": "Well 9"}, {"sample": "S-2"})).load_id
    assert load_id is not None
    (store.plant_folder / "aliases.csv").write_text("as_written,kind,means\nWell 9,point,FW\n")
    layouts = list(shipped_layouts().values())
    report = read_again(store, read_plant(store.plant_folder), load_id, layouts, run_checks, Occasion(NOW, "tester"))
    assert (report.account.held, report.account.new) == (0, 2)
    assert [sample for sample, _, _ in _in_force(store)] == ["S-1", "S-2"]
    assert _proved(store)


def test_odd_times_are_flagged_and_kept(bring: Deliver) -> None:
    account = bring(sample_sheet({"relinquished": "2026-05-04 07:00"}, {"sample": "S-2", "collected": "2027-01-01"}))
    assert (account.account.new, account.account.flagged) == (2, 2)


def test_a_sheet_that_differs_from_the_plants_own_log_is_flagged(store: Store, bring: Deliver) -> None:
    (store.plant_folder / "sample_log.csv").write_text("sample,sample_point,purpose\nS-1,FW,special\n")
    assert bring(sample_sheet()).account.flagged == 1
    with store.read() as connection:
        assert "differs_from_sample_log" in connection.execute("SELECT rule_id FROM finding").fetchall()[0]


def test_a_withdrawn_sheet_leaves_what_another_still_says(store: Store, bring: Deliver) -> None:
    bring(sample_sheet({}, {"sample": "S-2"}))
    bring(sample_sheet({"received": "2026-05-04 13:00"}), "back.csv")
    correction = Correction(Occasion(NOW, "tester"), date(2026, 6, 1), confirmed=True)
    withdraw_load(store, read_plant(store.plant_folder), 2, "wrong day", correction)
    assert _in_force(store) == [("S-1", "", "compliance"), ("S-2", "", "compliance")]
    assert _proved(store)
    withdraw_load(store, read_plant(store.plant_folder), 1, "wrong plant", correction)
    assert _in_force(store) == []
    assert _proved(store)


def test_a_withdrawn_sheet_that_is_loaded_again_counts_again(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    correction = Correction(Occasion(NOW, "tester"), date(2026, 6, 1), confirmed=True)
    withdraw_load(store, read_plant(store.plant_folder), 1, "by mistake", correction)
    bring(sample_sheet())
    assert _in_force(store) == [("S-1", "", "compliance")]
    assert _proved(store)


def test_a_sample_log_that_was_tampered_with_does_not_prove_itself(store: Store, bring: Deliver) -> None:
    bring(sample_sheet())
    with duckdb.connect(str(store.database)) as connection:
        connection.execute("DELETE FROM logged_in_force")
    assert any("sample log" in fault for fault in verify_store(store).faults)


def test_a_layout_of_the_plants_own_says_how_the_crew_writes(store: Store, bring: Deliver) -> None:
    sheet = "Our no.;Where;Day;Time;Why;Bottles\nS-7;FW;04.05.2026;08:15;c;n3\n;depot;04.05.2026;07:00;;\n"
    account = bring(sheet.encode()).account
    assert (account.new, account.set_aside) == (1, 1)
    with store.read() as connection:
        (line,) = sample_lines(connection)
    assert line.content.collected_at == datetime(2026, 5, 4, 15, 15, tzinfo=UTC)
    assert (line.content.requested, line.content.laboratory) == (("Nitrate", "Nitrite"), "Tarnwick")
    assert _proved(store)


def test_a_sheet_may_be_a_workbook(store: Store, bring: Deliver, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(list(GOOD_LINE))
    book.active.append(list(GOOD_LINE.values()))
    book.save(tmp_path / "made.xlsx")
    assert bring((tmp_path / "made.xlsx").read_bytes(), "sheet.xlsx").account.new == 1
    assert _in_force(store) == [("S-1", "", "compliance")]


def _judged(store: Store) -> Sequence[tuple[str, str, str]]:
    with store.read() as connection:
        results = reading.results_for_screening(connection, ["FW"], date(2026, 6, 1))
    return [(result.sample, result.purpose, result.confirmation_of) for result in results]


@pytest.mark.parametrize("sheet_first", [True, False])
def test_a_sheet_says_why_a_sample_was_taken_before_or_after_its_result(
    store: Store, bring: Deliver, load: Loader, sheet_first: bool
) -> None:
    sheet = sample_sheet({"purpose": "", "confirmation_of": "S-0"})
    if sheet_first:
        bring(sheet)
    load(narrow_file())
    if not sheet_first:
        bring(sheet)
    assert _judged(store) == [("S-1", "confirmation", "S-0")]


def test_a_sheet_that_says_no_purpose_leaves_that_of_the_result(store: Store, bring: Deliver, load: Loader) -> None:
    load(narrow_file({"purpose": "special"}, header=[*GOOD_ROW, "purpose"]))
    bring(sample_sheet({"purpose": ""}))
    assert _judged(store) == [("S-1", "special", "")]


def test_the_laboratorys_own_number_leads_to_our_sample(store: Store, bring: Deliver, load: Loader) -> None:
    load(narrow_file({"sample": ""}))
    bring(sample_sheet({"laboratory_sample": "L-1", "purpose": "process"}))
    assert _judged(store) == [("S-1", "process", "")]


def test_quality_control_made_from_our_bottle_stays_quality_control(store: Store, bring: Deliver, load: Loader) -> None:
    load(narrow_file({"purpose": "quality control"}, header=[*GOOD_ROW, "purpose"]))
    bring(sample_sheet())
    assert _judged(store) == [("S-1", "quality control", "")]


def test_the_shipped_layout_is_a_sample_log() -> None:
    assert isinstance(shipped_layouts()["sample_log.toml"], SampleLogLayout)
