"""What becomes of results that come again, are corrected, taken back, decided on or read again: one situation each.

The files are real ones; the checks are left out where nothing depends on them, because they take longest.
"""

import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from checks.run import run_checks
from pipeline import load as load_module
from pipeline import reread as reread_module
from pipeline.correct import decide_on_cell, decide_on_result, withdraw_load
from pipeline.effect import Correction, Effect
from pipeline.errors import StoreError
from pipeline.evaluate import verdicts
from pipeline.ingest.cells import FileCells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout, shipped_layouts
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.knowledge import Knowledge, known_at
from pipeline.load import Checker, LoadReport, Occasion, load_file, read_arrival
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from pipeline.reread import reread_load, retry_load
from pipeline.screening.model import Verdict
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.correcting import Decision
from pipeline.store.rereading import Position
from pipeline.store.settling import Arrival
from pipeline.store.verify import verify_store
from pipeline.vocabulary import DecisionAction, Outcome
from pipeline.what_changed import what_changed
from tests.narrow_files import GOOD_ROW, PLANT_TOML, SAMPLE_POINTS, narrow_file

START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
DAY = date(2026, 6, 1)
NITRATE = "us-primary-nitrate"
MARKED = [*GOOD_ROW, "replicate", "dilution", "batch", "reportable", "sample_type", "result_id", "purpose"]
OTHER_LAYOUT = """
name = "Tarnwick summary"
signature = ["Lab No", "Parameter", "Result"]
[columns]
laboratory_sample = "Lab No"
sample = "Sample"
point = "Point"
collected = "Taken"
analyte = "Parameter"
value = "Result"
unit = "Unit"
method = "Method"
[constants]
laboratory = "Tarnwick"
"""
SUMMARY = (
    b"Lab No,Sample,Point,Taken,Parameter,Result,Unit,Method\n"
    b"L-1,S-1,FW,2026-05-04 08:15,Nitrate as N,%s,mg/L,EPA 300.0\n"
)


def unchecked(connection: object, plant: Plant, *, loaded_at: datetime) -> None:
    """No check at all: every cell that was read is kept."""


class Desk:
    """A coordinator at work: what is done one after another, a minute apart, and what can be seen then."""

    def __init__(self, store: Store, plant: Plant) -> None:
        self.store = store
        self.plant = plant
        self.clock = START
        self.check: Callable[..., object] = unchecked
        self.layouts = [*shipped_layouts().values(), read_layout("tarnwick_summary.toml", OTHER_LAYOUT)]

    def occasion(self) -> Occasion:
        self.clock += timedelta(minutes=1)
        return Occasion(self.clock, "Kim")

    def correction(self, *, confirmed: bool = True) -> Correction:
        return Correction(self.occasion(), DAY, confirmed)

    def load(self, *rows: dict[str, str], content: bytes = b"", header: list[str] | None = None) -> LoadReport:
        content = content or narrow_file(*rows, header=header)
        source = decode_source("file.csv", content)
        return load_file(self.store, self.plant, source, self.layouts, self.check, self.occasion())

    def withdraw(self, load_id: int, reason: str = "a wrong file", *, confirmed: bool = True) -> Effect:
        return withdraw_load(self.store, self.plant, load_id, reason, self.correction(confirmed=confirmed))

    def decide(self, action: str, result_id: int, *, confirmed: bool = True, **changes: object) -> Effect:
        decision = Decision(DecisionAction(action), "bottle mix-up", **changes)  # type: ignore[arg-type]
        return decide_on_result(self.store, self.plant, result_id, decision, self.correction(confirmed=confirmed))

    def decide_cell(self, action: str, load_id: int, line: int) -> Effect:
        decision = Decision(DecisionAction(action), "asked by telephone")
        position = Position(line, "")
        return decide_on_cell(
            self.store, self.plant, load_id, position, self.layouts, self.check, decision, self.correction()
        )

    def read_again(self, load_id: int, *, confirmed: bool = True) -> Effect:
        correction = self.correction(confirmed=confirmed)
        return reread_load(self.store, self.plant, load_id, self.layouts, self.check, correction)

    def retry(self, load_id: int) -> LoadReport:
        return retry_load(self.store, self.plant, load_id, self.layouts, self.check, self.occasion())

    def in_force(self, column: str = "value_text", as_of_event: int | None = None) -> list[object]:
        with self.store.read() as connection:
            return sorted(reading.results(connection, as_of_event=as_of_event).get_column(column).to_list())

    def held(self) -> list[str]:
        with self.store.read() as connection:
            return reading.held_cells(connection).get_column("rule_id").to_list()

    def result_id(self, value_text: str) -> int:
        with self.store.read() as connection:
            found = connection.execute("SELECT max(result_id) FROM result WHERE value_text = ?", [value_text])
            return int(found.fetchall()[0][0])

    def verdict(self, known: Knowledge | None = None) -> Verdict:
        known = known or Knowledge(self.plant)
        found = verdicts(self.store, known.plant, DAY, known.as_of_event, overdue={})
        return next(verdict for verdict in found if verdict.limit.limit_id == NITRATE)

    def write(self, file: str, text: str) -> None:
        (self.store.plant_folder / file).write_text(text, "utf-8")
        self.plant = read_plant(self.store.plant_folder)

    def remove(self, file: str) -> None:
        (self.store.plant_folder / file).unlink()
        self.plant = read_plant(self.store.plant_folder)


@pytest.fixture(scope="module")
def plant_as_made(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    """The plant of every store here, before a test changes its folder; read once."""
    folder: Path = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT_TOML)
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    return read_plant(folder)


@pytest.fixture(scope="module")
def empty_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store to be copied, with its plant folder."""
    made = Store(tmp_path_factory.mktemp("empty") / "book")
    made.plant_folder.mkdir(parents=True)
    (made.plant_folder / "plant.toml").write_text(PLANT_TOML)
    (made.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    made.create()
    return made.folder


@pytest.fixture
def desk(empty_store: Path, plant_as_made: Plant, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A desk with an empty store; the same file under the same plant folder is read once for all tests."""
    for module in (load_module, reread_module):
        monkeypatch.setattr(module, "read_arrival", _read_once)
    return Desk(Store(Path(shutil.copytree(empty_store, tmp_path / "book"))), plant_as_made)


_READ: dict[object, tuple[FileCells, Arrival]] = {}


def _read_once(
    source: SourceFile, layout: Layout, plant: Plant, check: Checker, loaded_at: datetime
) -> tuple[FileCells, Arrival]:
    key = (source.sha256, layout.name, plant.version, check, loaded_at > START)
    if key not in _READ:
        _READ[key] = read_arrival(source, layout, plant, check, START)
    return _READ[key]


def counts(report: LoadReport) -> dict[str, int]:
    """The parts of an account that are not zero."""
    parts = report.account.as_dict()
    return {name: parts[name] for name in ("held", "duplicate", "new", "revision", "set_aside") if parts[name]}


# Within one file


def test_identical_rows_are_one_result_and_a_duplicate(desk: Desk) -> None:
    assert counts(desk.load({}, {})) == {"new": 1, "duplicate": 1}


def test_rows_that_a_mark_tells_apart_are_replicates_and_numbered(desk: Desk) -> None:
    rows = [
        {"laboratory_sample": f"by {mark}", mark: number, "value": f"2.{number}"}
        for mark in ("replicate", "dilution", "batch")
        for number in ("1", "2")
    ]
    assert counts(desk.load(*rows, header=MARKED)) == {"new": 6}
    assert desk.in_force("replicate_number") == [1, 1, 1, 2, 2, 2]


def test_a_result_alone_is_no_replicate(desk: Desk) -> None:
    desk.load({}, {"laboratory_sample": "L-2", "sample": "S-2"})
    assert desk.in_force("replicate_number") == [0, 0]


def test_anything_else_that_contradicts_itself_is_held(desk: Desk) -> None:
    assert counts(desk.load({}, {"value": "2.2"}, {"value": "2.2"})) == {"held": 3}


def test_replicates_are_never_averaged(desk: Desk) -> None:
    desk.load({"replicate": "1", "value": "4"}, {"replicate": "2", "value": "6"}, header=MARKED)
    assert (desk.verdict().statistic_low, desk.verdict().statistic_high) == (4, 6)


# The same result again


def test_a_correction_is_a_revision_and_never_a_twin(desk: Desk) -> None:
    corrections = (
        {"value": "2.4"}, {"collected": "2026-05-04 09:30"}, {"sample_point": "RO"}, {"qualifier": "J"},
        {"unit": "ug/L"}, {"analyzed": "2026-05-06 09:00"}, {"detection_limit": "0.05"},
    )  # fmt: skip
    samples = [{"laboratory_sample": f"L-{number}"} for number, _ in enumerate(corrections)]
    desk.load(*samples)
    corrected = [{**sample, **changed, "revision": "1"} for sample, changed in zip(samples, corrections, strict=True)]
    assert counts(desk.load(*corrected)) == {"revision": 7}
    assert len(desk.in_force()) == 7


def test_a_partial_reissue_leaves_what_it_does_not_name_alone(desk: Desk) -> None:
    desk.load({}, {"analyte": "Iron", "value": "0.2"})
    desk.load({"value": "2.4", "revision": "1"})
    assert desk.in_force() == ["0.2", "2.4"]


def test_a_full_reissue_replaces_what_it_changes_and_points_to_the_rest(desk: Desk) -> None:
    desk.load({}, {"analyte": "Iron", "value": "0.2"})
    report = desk.load({"value": "2.4", "reported": "2026-05-20"}, {"analyte": "Iron", "value": "0.2"})
    assert counts(report) == {"revision": 1, "duplicate": 1}
    assert desk.in_force() == ["0.2", "2.4"]


def test_a_preliminary_result_never_displaces_a_final_one(desk: Desk) -> None:
    desk.load({"reported": ""})
    assert counts(desk.load({"value": "9.9", "status": "preliminary", "reported": "2026-06-01"})) == {"revision": 1}
    assert desk.in_force() == ["2.1"]


def test_a_final_result_displaces_a_preliminary_one_even_without_a_date(desk: Desk) -> None:
    desk.load({"value": "9.9", "status": "preliminary"})
    desk.load({"reported": ""})
    assert desk.in_force() == ["2.1"]


def test_an_older_revision_that_comes_late_is_kept_and_does_not_count(desk: Desk) -> None:
    desk.load({"value": "2.4", "revision": "2"})
    assert counts(desk.load({"value": "9.9", "revision": "1"})) == {"revision": 1}
    assert desk.in_force() == ["2.4"]


def test_a_tie_is_held(desk: Desk) -> None:
    desk.load({})
    assert counts(desk.load({"value": "2.4"})) == {"held": 1}
    assert (desk.in_force(), desk.held()) == (["2.1"], ["revision_without_order"])


def test_what_another_layout_says_shorter_is_a_duplicate(desk: Desk) -> None:
    desk.load({})
    assert counts(desk.load(content=SUMMARY % b"2.1")) == {"duplicate": 1}


def test_what_another_layout_says_longer_is_a_revision_and_no_tie(desk: Desk) -> None:
    desk.load(content=SUMMARY % b"2.1")
    assert counts(desk.load({"reported": ""})) == {"revision": 1}
    assert len(desk.in_force()) == 1


def test_what_another_layout_says_differently_is_held(desk: Desk) -> None:
    desk.load({"reported": ""})
    assert counts(desk.load(content=SUMMARY % b"2.2")) == {"held": 1}


def test_a_subcontractors_copy_is_another_result_of_the_same_sample(desk: Desk) -> None:
    desk.load({}, {"laboratory": "Ainsty Radiochemistry", "laboratory_sample": "AR-7"})
    assert len(desk.in_force()) == 2
    assert len(desk.verdict().used) == 2
    assert desk.verdict().statistic_low == desk.verdict().statistic_high


def test_two_methods_are_two_results_of_one_sample(desk: Desk) -> None:
    desk.load({}, {"method": "EPA 353.2", "value": "2.3"})
    verdict = desk.verdict()
    assert (float(verdict.statistic_low or 0), float(verdict.statistic_high or 0)) == (2.1, 2.3)


def test_the_senders_own_identifier_is_the_whole_key(desk: Desk) -> None:
    desk.load({"result_id": "R-9"}, header=MARKED)
    corrected = {"result_id": "R-9", "laboratory_sample": "L-2", "method": "EPA 353.2", "revision": "1"}
    assert counts(desk.load(corrected, header=MARKED)) == {"revision": 1}


# Withdrawing


def test_withdrawing_a_load_takes_its_results_out_and_deletes_nothing(desk: Desk) -> None:
    desk.load({})
    effect = desk.withdraw(1)
    assert effect.results.get_column("change").to_list() == ["no longer counts"]
    assert desk.in_force() == []
    with desk.store.read() as connection:
        assert reading.loads(connection).select("new", "withdrawn_because").rows() == [(1, "a wrong file")]


def test_looking_at_a_withdrawal_changes_nothing(desk: Desk) -> None:
    desk.load({"value": "15"})
    effect = desk.withdraw(1, confirmed=False)
    (change,) = [one for one in effect.verdicts if one.limit_id == NITRATE]
    assert change.before is not None
    assert change.after is not None
    assert (change.before.outcome, change.after.outcome) == (Outcome.EXCEEDS, Outcome.NO_DATA)
    assert (effect.event_id, desk.in_force()) == (None, ["15"])


def test_what_another_load_says_too_goes_on_counting(desk: Desk) -> None:
    desk.load({})
    desk.load({}, {"analyte": "Iron", "value": "0.2"})
    desk.withdraw(1)
    assert desk.in_force() == ["0.2", "2.1"]
    desk.withdraw(2)
    assert desk.in_force() == []


def test_withdrawing_a_correction_brings_the_earlier_version_back(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "2.4", "revision": "1"})
    desk.withdraw(2)
    assert desk.in_force() == ["2.1"]


def test_a_withdrawn_file_that_is_loaded_again_brings_its_results_back(desk: Desk) -> None:
    desk.load({})
    desk.withdraw(1)
    assert counts(desk.load({})) == {"new": 1}
    assert desk.in_force() == ["2.1"]
    assert verify_store(desk.store).faults == ()


def test_held_cells_of_a_withdrawn_load_are_held_no_more(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "2.4"})
    desk.withdraw(2)
    assert desk.held() == []
    assert desk.verdict().outcome is Outcome.MEETS


@pytest.mark.parametrize(("load_id", "reason"), [(1, " "), (9, "why"), (2, "why")])
def test_a_withdrawal_without_reason_load_or_effect_is_refused(desk: Desk, load_id: int, reason: str) -> None:
    desk.load({})
    desk.load({"laboratory_sample": "L-2"})
    desk.withdraw(2)
    with pytest.raises(StoreError):
        desk.withdraw(load_id, reason)


# Deciding


def test_rejecting_a_result_takes_every_version_of_it_out(desk: Desk) -> None:
    desk.load({"status": "preliminary", "value": "2.0"})
    desk.load({})
    desk.decide("reject", desk.result_id("2.1"))
    assert desk.in_force() == []
    assert desk.verdict().outcome is Outcome.NO_DATA


def test_rejecting_one_version_lets_the_earlier_one_count(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "21", "revision": "1"})
    desk.decide("reject", desk.result_id("21"), this_version_only=True)
    assert desk.in_force() == ["2.1"]


def test_rejecting_an_exceedance_leaves_it_claimed_until_the_agency_accepts(desk: Desk) -> None:
    desk.load({"value": "15"})
    desk.decide("reject", desk.result_id("15"))
    assert desk.verdict().outcome is Outcome.REJECTION_CLAIMED
    assert "rejected by Kim on 2026-06-01: bottle mix-up" in desk.verdict().used[0].result.unusable_because
    desk.decide("reject", desk.result_id("15"), agency_reference="DDW 2026-114")
    assert desk.verdict().outcome is Outcome.NO_DATA


def test_a_rejected_exceedance_does_not_hide_behind_an_earlier_version(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "15", "revision": "1"})
    desk.decide("reject", desk.result_id("15"), this_version_only=True)
    assert desk.verdict().outcome is Outcome.REJECTION_CLAIMED


def test_accepting_takes_a_rejection_back(desk: Desk) -> None:
    desk.load({})
    desk.decide("reject", desk.result_id("2.1"))
    desk.decide("accept", desk.result_id("2.1"))
    assert desk.in_force() == ["2.1"]


def test_accepting_a_held_tie_lets_it_count(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "2.4"})
    desk.decide_cell("accept", 2, 2)
    assert (desk.in_force(), desk.held()) == (["2.4"], [])
    assert verify_store(desk.store).faults == ()


def test_rejecting_a_held_tie_keeps_the_stored_version(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "2.4"})
    desk.decide_cell("reject", 2, 2)
    assert (desk.in_force(), desk.held()) == (["2.1"], [])


def test_a_rejected_tie_above_the_limit_does_not_vanish(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "15"})
    desk.decide_cell("reject", 2, 2)
    assert desk.verdict().outcome is Outcome.REJECTION_CLAIMED


def test_one_of_two_contradicting_rows_can_be_accepted_and_stays_so(desk: Desk) -> None:
    desk.load({}, {"value": "2.2"})
    desk.decide_cell("accept", 1, 3)
    assert (desk.in_force(), desk.held()) == (["2.2"], ["equal_keys_in_file"])
    desk.decide_cell("reject", 1, 2)
    assert (desk.in_force(), desk.held()) == (["2.2"], [])
    assert counts(desk.load({}, {"value": "2.2"})) == {"duplicate": 2}


def test_a_held_cell_that_cannot_be_read_is_set_aside_by_a_rejection(desk: Desk) -> None:
    desk.check = run_checks
    desk.load({"value": "see note"})
    desk.decide_cell("reject", 1, 2)
    assert desk.held() == []
    assert counts(desk.load({"value": "see note"})) == {"set_aside": 1}
    with pytest.raises(StoreError, match="set aside"):
        desk.decide_cell("accept", 1, 2)


def test_what_cannot_be_read_cannot_be_accepted(desk: Desk) -> None:
    desk.check = run_checks
    desk.load({"value": "see note"})
    with pytest.raises(StoreError, match="nothing to accept"):
        desk.decide_cell("accept", 1, 2)


def test_a_decision_does_not_reach_a_later_revision_and_says_so(desk: Desk) -> None:
    desk.load({})
    desk.decide("reject", desk.result_id("2.1"))
    report = desk.load({"value": "2.4", "revision": "1"})
    assert report.account.flagged == 1
    assert desk.in_force() == ["2.4"]
    with desk.store.read() as connection:
        assert reading.decisions(connection).get_column("standing").to_list() == ["decided on an earlier version"]
        assert reading.findings(connection).get_column("rule_id").to_list() == ["decided_on_another_version"]


def test_a_rejection_holds_when_its_file_is_withdrawn_and_loaded_again(desk: Desk) -> None:
    desk.load({})
    desk.decide("reject", desk.result_id("2.1"))
    desk.withdraw(1)
    desk.load({})
    assert desk.in_force() == []


def test_a_person_chooses_the_result_of_record(desk: Desk) -> None:
    desk.load({}, {"method": "EPA 353.2", "value": "2.3"})
    desk.decide("choose", desk.result_id("2.3"))
    verdict = desk.verdict()
    assert [used.result.value_text for used in verdict.used] == ["2.3"]
    assert "chosen by Kim" in verdict.excluded[0].because
    assert desk.in_force() == ["2.1", "2.3"]


def test_a_choice_is_not_about_the_revision_that_comes_later(desk: Desk) -> None:
    desk.load({}, {"method": "EPA 353.2", "value": "2.3"})
    desk.decide("choose", desk.result_id("2.3"))
    desk.load({"method": "EPA 353.2", "value": "2.6", "revision": "1"})
    assert len(desk.verdict().used) == 2


def test_looking_at_a_decision_changes_nothing(desk: Desk) -> None:
    desk.load({"value": "15"})
    effect = desk.decide("reject", desk.result_id("15"), confirmed=False)
    assert NITRATE in [one.limit_id for one in effect.verdicts]
    assert desk.verdict().outcome is Outcome.EXCEEDS


# The laboratory's mark and the monitoring plan


def test_the_mark_of_the_laboratory_decides_between_dilutions(desk: Desk) -> None:
    over_range = {"dilution": "1", "value": "12.3", "reportable": "no"}
    desk.load(over_range, {"dilution": "10", "value": "9.1", "reportable": "Y"}, header=MARKED)
    assert [used.result.value_text for used in desk.verdict().used] == ["9.1"]
    assert len(desk.in_force()) == 2


def test_the_plan_decides_between_laboratories(desk: Desk) -> None:
    desk.write("labs.csv", "laboratory,name\nTarnwick,Tarnwick\nAinsty,Ainsty\n")
    desk.write("monitoring_plan.csv", "sample_point,analyte,frequency,laboratory\nFW,Nitrate,monthly,Ainsty\n")
    desk.load({}, {"laboratory": "Ainsty", "laboratory_sample": "A-1", "value": "2.3"})
    assert [used.result.value_text for used in desk.verdict().used] == ["2.3"]


def test_a_field_replicate_is_quality_control_and_never_averaged_in(desk: Desk) -> None:
    replicate = {"laboratory_sample": "L-2", "value": "4.1", "sample_type": "quality control, field replicate"}
    desk.load({"sample_type": "sample, routine"}, replicate, header=MARKED)
    assert [used.result.value_text for used in desk.verdict().used] == ["2.1"]


# Reading settled cells again


def test_reading_again_without_a_change_changes_nothing(desk: Desk) -> None:
    desk.load({}, {})
    effect = desk.read_again(1)
    assert effect.results.is_empty()
    assert effect.account is not None
    assert (effect.account.new, effect.account.duplicate) == (1, 1)


def test_another_meaning_of_a_unit_is_looked_at_before_it_is_stored(desk: Desk) -> None:
    desk.load({"unit": "units", "value": "2100"})
    desk.write("aliases.csv", "kind,as_written,means\nunit,units,ug/L\n")
    looked_at = desk.read_again(1, confirmed=False).results
    assert looked_at.get_column("change").to_list() == ["no longer counts", "counts"]
    assert desk.in_force("unit") == [""]
    desk.read_again(1)
    assert desk.in_force("unit") == ["ug/L"]
    assert verify_store(desk.store).faults == ()


def test_a_name_that_means_another_analyte_moves_the_result(desk: Desk) -> None:
    desk.write("aliases.csv", "kind,as_written,means\nanalyte,Site metal,Iron\n")
    desk.load({"analyte": "Site metal"})
    desk.write("aliases.csv", "kind,as_written,means\nanalyte,Site metal,Manganese\n")
    desk.read_again(1)
    assert desk.in_force("analyte") == ["Manganese"]


def test_a_cell_that_cannot_be_read_any_more_is_held_and_comes_back(desk: Desk) -> None:
    desk.check = run_checks
    desk.write("aliases.csv", "kind,as_written,means\nanalyte,Site metal,Iron\n")
    desk.load({"analyte": "Site metal"})
    desk.remove("aliases.csv")
    effect = desk.read_again(1)
    assert (desk.in_force(), effect.account and effect.account.held) == ([], 1)
    desk.write("aliases.csv", "kind,as_written,means\nanalyte,Site metal,Iron\n")
    assert desk.retry(1).account.new == 1
    assert desk.in_force("analyte") == ["Iron"]


def test_a_name_that_is_set_aside_from_now_on_leaves_the_account_closed(desk: Desk) -> None:
    desk.load({}, {"analyte": "Iron"})
    desk.write("aliases.csv", "kind,as_written,means\nset aside,Iron,another plant's\n")
    effect = desk.read_again(1)
    assert effect.account is not None
    assert (effect.account.set_aside, effect.account.closes) == (1, True)
    assert desk.in_force("analyte") == ["Nitrate"]


def test_other_findings_make_another_version(desk: Desk) -> None:
    # Nitrate waits 14 days where the water is disinfected, 48 hours where it is not: 40 CFR 141.23(k)(1) [memory].
    desk.check = run_checks
    desk.load({"analyzed": "2026-05-08 09:00"})
    assert desk.verdict().outcome is Outcome.MEETS
    points = (desk.store.plant_folder / "sample_points.csv").read_text().replace("point,yes", "point,no")
    desk.write("sample_points.csv", points)
    desk.read_again(1)
    assert "may wait 48 h" in desk.verdict().excluded[0].because
    assert len(desk.in_force()) == 1


def test_loads_of_one_file_are_read_again_together(desk: Desk) -> None:
    desk.load({"unit": "units"})
    desk.load({"unit": "units"})
    desk.write("aliases.csv", "kind,as_written,means\nunit,units,mg/L\n")
    desk.read_again(1)
    desk.withdraw(1)
    assert desk.in_force("unit") == ["mg/L"]


def test_loading_the_file_again_instead_says_what_to_do(desk: Desk) -> None:
    desk.load({"unit": "units"})
    desk.write("aliases.csv", "kind,as_written,means\nunit,units,mg/L\n")
    desk.load({"unit": "units"})
    with desk.store.read() as connection:
        assert "retry --all" in reading.held_cells(connection).row(0, named=True)["remedy"]


def test_a_withdrawn_load_is_not_read_again(desk: Desk) -> None:
    desk.load({})
    desk.withdraw(1)
    with pytest.raises(StoreError, match="withdrawn"):
        desk.read_again(1)


# What was known


def test_results_are_known_as_they_were(desk: Desk) -> None:
    desk.load({})
    desk.load({"value": "2.4", "revision": "1"})
    desk.withdraw(2)
    known = [desk.in_force(as_of_event=event_id) for event_id in (0, 1, 2, 3)]
    assert known == [[], ["2.1"], ["2.4"], ["2.1"]]


def test_the_plant_folder_is_known_as_it_was(desk: Desk) -> None:
    desk.load({"value": "4"})
    then = desk.clock
    desk.write("plant.toml", (desk.store.plant_folder / "plant.toml").read_text() + 'near_limit_share = "0.3"\n')
    desk.load({"laboratory_sample": "L-2", "analyte": "Iron"})
    assert desk.verdict().outcome is Outcome.NEAR_LIMIT
    assert desk.verdict(known_at(desk.store, desk.plant, then)).outcome is Outcome.MEETS


def test_what_changed_names_the_load_the_decision_and_the_folder(desk: Desk) -> None:
    desk.load({"value": "4"})
    before = known_at(desk.store, desk.plant, desk.clock)
    desk.load({"value": "15", "revision": "1"})
    desk.decide("reject", desk.result_id("15"))
    desk.write("plant.toml", (desk.store.plant_folder / "plant.toml").read_text() + 'near_limit_share = "0.3"\n')
    changed = what_changed(desk.store, before, Knowledge(desk.plant), DAY)
    (one,) = [change for change in changed if change.limit_id == NITRATE]
    assert [reason.kind for reason in one.why] == ["revision", "decision"]


def test_a_change_of_the_folder_alone_is_named(desk: Desk) -> None:
    desk.load({"value": "4"})
    before = known_at(desk.store, desk.plant, desk.clock)
    desk.write("plant.toml", (desk.store.plant_folder / "plant.toml").read_text() + 'near_limit_share = "0.3"\n')
    changed = what_changed(desk.store, before, Knowledge(desk.plant), DAY)
    (one,) = [change for change in changed if change.limit_id == NITRATE]
    assert [reason.kind for reason in one.why] == ["plant folder"]


def test_nothing_is_known_before_the_first_event(desk: Desk) -> None:
    desk.load({})
    with pytest.raises(StoreError, match="nothing was known"):
        known_at(desk.store, desk.plant, START - timedelta(days=1))
