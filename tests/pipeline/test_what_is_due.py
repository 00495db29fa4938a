"""What is due in a store, and that no limit is met while a sample is overdue."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from checks.run import run_checks
from pipeline.deliver import deliver
from pipeline.due.model import DueState
from pipeline.evaluate import verdicts
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.load import LoadReport, Occasion
from pipeline.plant.folder import read_plant
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.sample_log_results import KnownResult, known_results
from pipeline.vocabulary import Outcome
from pipeline.what_is_due import WhatIsDue, due_on
from tests.narrow_files import narrow_file
from tests.pipeline.conftest import NOW
from tests.sample_sheets import sample_sheet

Loader = Callable[..., LoadReport]
PLAN = "sample_point,analyte,frequency,effective_from,laboratory\nFW,Nitrate,monthly,2026-05-01,Tarnwick\n"


@pytest.fixture(autouse=True)
def planned(store: Store) -> None:
    """Nitrate every month since May, at a laboratory that takes ten days."""
    (store.plant_folder / "labs.csv").write_text("laboratory,turnaround_days\nTarnwick,10\n")
    (store.plant_folder / "monitoring_plan.csv").write_text(PLAN)


def _bring(store: Store, folder: Path, sheet: bytes) -> None:
    path = folder / "sheet.csv"
    path.write_bytes(sheet)
    plant = read_plant(store.plant_folder)
    deliver(store, plant, path, list(shipped_layouts().values()), run_checks, Occasion(NOW, "tester"))


def _due(store: Store, on: str) -> WhatIsDue:
    plant, day = read_plant(store.plant_folder), date.fromisoformat(on)
    return due_on(store, plant, day, verdicts(store, plant, day))


def _states(store: Store, on: str) -> list[DueState]:
    return [one.state for one in _due(store, on).dues]


def _nitrate(store: Store, on: str) -> tuple[Outcome, str]:
    found = verdicts(store, read_plant(store.plant_folder), date.fromisoformat(on))
    (one,) = [verdict for verdict in found if verdict.limit.limit_id == "us-primary-nitrate"]
    return one.outcome, one.next_action


def test_a_logged_sample_is_at_the_laboratory_and_then_late(store: Store, tmp_path: Path) -> None:
    _bring(store, tmp_path, sample_sheet({"received": "2026-05-05"}))
    assert _states(store, "2026-05-15")[0] is DueState.AT_LABORATORY
    assert _states(store, "2026-05-16")[0] is DueState.LATE


def test_its_report_settles_it_and_the_next_month_is_asked_for(store: Store, load: Loader, tmp_path: Path) -> None:
    _bring(store, tmp_path, sample_sheet())
    load(narrow_file())
    assert _states(store, "2026-05-20") == [DueState.REPORTED, DueState.NOT_YET]
    assert _due(store, "2026-05-20").next_due == date(2026, 6, 30)


def test_a_preliminary_result_is_not_yet_a_report(store: Store, load: Loader) -> None:
    load(narrow_file({"status": "preliminary"}))
    assert _states(store, "2026-05-20")[0] is DueState.PRELIMINARY


def test_a_held_cell_keeps_its_month_open(store: Store, load: Loader) -> None:
    load(narrow_file({"unit": "mg/kg"}, {"sample": "S-0", "laboratory_sample": "L-0", "analyte": "Lead"}))
    found = _due(store, "2026-05-20")
    assert found.dues[0].state is DueState.HELD
    assert [(one.laboratory, one.file, one.line) for one in found.held] == [("Tarnwick", "file.csv", 2)]


def test_a_broken_bottle_asks_for_another_sample(store: Store, load: Loader) -> None:
    load(narrow_file({"value": "bottle broken", "unit": ""}))
    (again,) = [one for one in _due(store, "2026-05-20").dues if one.state is DueState.RESAMPLE]
    assert (again.due_by, again.sample) == (date(2026, 5, 31), "S-1")


def test_no_limit_is_met_while_its_sample_is_overdue(store: Store, load: Loader) -> None:
    load(narrow_file())
    assert _nitrate(store, "2026-06-30")[0] is Outcome.MEETS
    assert _nitrate(store, "2026-07-01") == (Outcome.CANNOT_DETERMINE, "overdue since 2026-07-01")


def test_nitrate_above_its_limit_asks_for_a_confirmation_within_a_day(store: Store, load: Loader) -> None:
    # 40 CFR 141.23(f)(2): a confirmation within 24 hours of the laboratory's word [from memory].
    load(narrow_file({"value": "11.2", "reported": "2026-05-08"}))
    (asked,) = [one for one in _due(store, "2026-05-09").dues if one.state is DueState.CONFIRM]
    assert (asked.due_by, asked.sample) == (date(2026, 5, 9), "S-1")
    assert "within 24 h of the laboratory's word; check with the rule and the agency" in asked.reason


def test_a_confirmation_on_a_sheet_is_waited_for(store: Store, load: Loader, tmp_path: Path) -> None:
    load(narrow_file({"value": "11.2", "reported": "2026-05-08"}))
    _bring(store, tmp_path, sample_sheet({"sample": "S-2", "collected": "2026-05-08 16:00", "relinquished": "",
                                          "purpose": "confirmation", "confirmation_of": "S-1"}))  # fmt: skip
    assert DueState.CONFIRM not in _states(store, "2026-05-09")
    (waited,) = [one for one in _due(store, "2026-05-09").dues if one.sample == "S-2"]
    assert (waited.state, waited.reason) == (DueState.AT_LABORATORY, "confirms S-1")


def test_a_report_from_another_point_than_the_sheet_is_noticed(store: Store, load: Loader, tmp_path: Path) -> None:
    _bring(store, tmp_path, sample_sheet())
    load(narrow_file({"sample_point": "RO"}))
    (other,) = _due(store, "2026-05-20").other_points
    assert (other.taken.sample_point, other.found.sample_point) == ("FW", "RO")
    assert _states(store, "2026-05-20")[0] is DueState.LATE


def test_the_plant_folders_own_log_counts_where_no_sheet_tells(store: Store) -> None:
    (store.plant_folder / "sample_log.csv").write_text("sample,sample_point,collected\nS-5,FW,2026-05-06 09:00\n")
    (first, *_) = _due(store, "2026-05-10").dues
    assert (first.state, first.sample, first.due_by) == (DueState.AT_LABORATORY, "S-5", date(2026, 5, 16))


def test_what_is_due_is_asked_as_it_was_known(store: Store, load: Loader) -> None:
    load(narrow_file())
    plant, day = read_plant(store.plant_folder), date(2026, 5, 20)
    assert [one.state for one in due_on(store, plant, day, as_of_event=0).dues] == [DueState.NOT_YET]


def test_the_sample_log_is_compared_with_the_very_results_that_screening_is_given(
    store: Store, load: Loader, tmp_path: Path
) -> None:
    load(narrow_file({}, {"sample": "", "laboratory_sample": "L-9", "status": "preliminary"}))
    _bring(store, tmp_path, sample_sheet({"laboratory_sample": "L-9", "sample": "S-9", "purpose": "special"}))
    with store.read() as connection:
        short = known_results(connection, ["FW"], date(2026, 6, 1))
        whole = reading.results_for_screening(connection, ["FW"], date(2026, 6, 1))
    assert short == [tuple(getattr(result, name) for name in KnownResult._fields) for result in whole]
    assert [(one.sample, one.purpose) for one in short] == [("S-1", "compliance"), ("S-9", "special")]
