"""The store and the plant folder meet screening."""

from collections.abc import Callable
from datetime import date

from pipeline.evaluate import results_above_a_limit, verdicts
from pipeline.load import LoadReport
from pipeline.plant.plant import Plant
from pipeline.screening.model import Verdict
from pipeline.store.connection import Store
from pipeline.vocabulary import Outcome
from tests.narrow_files import narrow_file

Loader = Callable[..., LoadReport]


def _verdict(store: Store, plant: Plant, limit_id: str, on: date) -> Verdict:
    (verdict,) = [found for found in verdicts(store, plant, on) if found.limit.limit_id == limit_id]
    return verdict


def test_a_weekly_nitrate_converted_from_the_ion_meets(store: Store, plant: Plant, load: Loader) -> None:
    # 40 CFR 141.62(b): 10 mg/L as N; 20 mg/L as NO3 is 4.518 mg/L as N (IUPAC 2021 atomic weights).
    load(narrow_file({"analyte": "Nitrate", "basis": "as NO3", "value": "20"}))
    verdict = _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 10))
    assert verdict.outcome is Outcome.MEETS
    assert verdict.statistic_low is not None
    assert abs(float(verdict.statistic_low) - 4.518) < 0.001


def test_a_late_sample_is_shown_and_does_not_count(store: Store, plant: Plant, load: Loader) -> None:
    # 14 days for nitrate of a chlorinated supply (40 CFR 141.23(k)) [memory]; a late sample is taken again.
    load(narrow_file({"analyzed": "2026-05-20 09:00"}))
    verdict = _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 10))
    assert not verdict.used
    assert "may wait 14 d" in verdict.excluded[0].because


def test_a_held_cell_forbids_meets(store: Store, plant: Plant, load: Loader) -> None:
    load(narrow_file({}, {"laboratory_sample": "L-2", "unit": "mg/kg"}))
    verdict = _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 10))
    assert verdict.outcome is Outcome.CANNOT_DETERMINE
    assert [cell.line for cell in verdict.held] == [3]


def test_results_after_the_day_do_not_count(store: Store, plant: Plant, load: Loader) -> None:
    load(narrow_file({"value": "30"}))
    assert _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 3)).outcome is Outcome.NO_DATA


def test_a_rejected_result_leaves_no_data(store: Store, plant: Plant, load: Loader) -> None:
    load(narrow_file({"status": "rejected"}))
    assert _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 10)).outcome is Outcome.NO_DATA


def test_rejecting_an_exceedance_does_not_make_it_vanish(store: Store, plant: Plant, load: Loader) -> None:
    load(narrow_file({"value": "15"}))
    load(narrow_file({"value": "15", "status": "rejected", "revision": "2"}))
    verdict = _verdict(store, plant, "us-primary-nitrate", date(2026, 6, 1))
    assert verdict.outcome is Outcome.REJECTION_CLAIMED
    assert "rejects" in f"{verdict.reason} {verdict.steps} {verdict.used}"


def test_quality_control_never_reaches_a_verdict(store: Store, plant: Plant, load: Loader) -> None:
    header = [*narrow_file().decode().splitlines()[0].split(","), "sample_type"]
    load(narrow_file({"value": "30", "sample_type": "quality control, field replicate"}, header=header))
    assert _verdict(store, plant, "us-primary-nitrate", date(2026, 5, 10)).outcome is Outcome.NO_DATA


def test_what_is_above_is_told_at_once_and_only_once(store: Store, plant: Plant, load: Loader) -> None:
    first = load(narrow_file({"value": "11.2"}))
    again = load(narrow_file({"value": "11.2"}))
    assert first.load_id
    assert again.load_id
    (above,) = results_above_a_limit(store, plant, first.load_id)
    assert above.acute
    assert above.limit_id == "us-primary-nitrate"
    assert results_above_a_limit(store, plant, again.load_id) == []


def test_equal_to_the_limit_is_not_above(store: Store, plant: Plant, load: Loader) -> None:
    # Compared at the limit's step, half up: 10.4 is 10 and 10.5 is 11 (EPA Water Supply Guidance 21) [memory].
    report = load(narrow_file({"value": "10.4"}, {"laboratory_sample": "L-2", "value": "10.5"}))
    assert report.load_id
    assert [above.value_text for above in results_above_a_limit(store, plant, report.load_id)] == ["10.5"]


def test_a_range_has_two_sides(store: Store, plant: Plant, load: Loader) -> None:
    # 40 CFR 143.3: pH 6.5 to 8.5.
    rows = [
        {"laboratory_sample": f"L-{value}", "analyte": "pH", "unit": "std units", "value": value, "detection_limit": "",
         "reporting_limit": "", "method": "SM 4500-H+ B"}
        for value in ("6.4", "7.0", "8.6")
    ]  # fmt: skip
    report = load(narrow_file(*rows))
    assert report.load_id
    assert sorted(above.value_text for above in results_above_a_limit(store, plant, report.load_id)) == ["6.4", "8.6"]
