"""What counts as the sampling of an analyte: log, results, groups, purposes."""

from datetime import date
from typing import Any

import pytest

from pipeline.due.model import Found, Standing, TakenSample
from pipeline.due.samplings import samplings_of
from pipeline.plant.tables import AnalyteGroupMember
from tests.pipeline.due.plans import plan_row

DAY = date(2026, 5, 4)
PLAN = [plan_row(), plan_row(analyte="Lead"), plan_row(analyte="PFOA", laboratory="Ludwell")]
TTHM = "Total trihalomethanes (TTHM)"
# The four of 40 CFR 141.2, "Total trihalomethanes".
MEMBERS = ("Chloroform", "Bromodichloromethane", "Dibromochloromethane", "Bromoform")
GROUP = [AnalyteGroupMember(group=TTHM, relation="sum of members", member=name) for name in MEMBERS]


def _found(analyte: str = "Bromate", sample: str = "S-1", **changes: Any) -> Found:
    given = {
        "sample": sample, "sample_point": "FW", "analyte": analyte, "collected_on": DAY, "laboratory": "Tarnwick",
        "purpose": "compliance", "standing": Standing.USABLE,
    }  # fmt: skip
    return Found(**(given | changes))


def _taken(**changes: Any) -> TakenSample:
    return TakenSample(**({"sample": "S-1", "sample_point": "FW", "collected_on": DAY} | changes))


def test_what_the_log_asks_for_is_awaited() -> None:
    found = samplings_of([_taken(requested=("Bromate",))], [], PLAN)
    assert {place: [one.standing for one in some] for place, some in found.items()} == {
        ("FW", "Bromate"): [Standing.AWAITED]
    }


def test_a_sample_without_a_request_is_for_what_the_plan_gives_its_laboratory() -> None:
    assert set(samplings_of([_taken(laboratory="Ludwell")], [], PLAN)) == {("FW", "PFOA")}


def test_once_reported_a_sample_without_a_request_was_for_what_is_reported() -> None:
    found = samplings_of([_taken()], [_found("Lead")], PLAN)
    assert set(found) == {("FW", "Lead")}


def test_the_report_of_one_laboratory_does_not_hide_that_another_is_awaited() -> None:
    both = [_taken(laboratory="Tarnwick"), _taken(laboratory="Ludwell")]
    found = samplings_of(both, [_found("Lead")], PLAN)
    assert {analyte: some[0].standing for (_, analyte), some in found.items()} == {
        "Lead": Standing.USABLE, "PFOA": Standing.AWAITED,
    }  # fmt: skip


def test_a_reading_of_our_own_crew_is_not_the_report_of_a_laboratory() -> None:
    found = samplings_of([_taken(laboratory="Ludwell")], [_found("pH", laboratory="Field crew")], PLAN)
    assert found["FW", "PFOA"][0].standing is Standing.AWAITED


def test_an_analyte_that_was_asked_for_is_awaited_though_another_is_reported() -> None:
    found = samplings_of([_taken(requested=("Lead", "Bromate"))], [_found("Lead")], PLAN)
    assert found["FW", "Bromate"][0].standing is Standing.AWAITED


def test_the_best_that_is_known_of_a_sample_counts() -> None:
    found = samplings_of([], [_found(standing=Standing.UNUSABLE), _found(standing=Standing.PRELIMINARY)], PLAN)
    assert [one.standing for one in found["FW", "Bromate"]] == [Standing.PRELIMINARY]


@pytest.mark.parametrize("purpose", ["confirmation", "special", "quality control"])
def test_only_routine_samples_are_those_that_a_plan_asks_for(purpose: str) -> None:
    assert samplings_of([_taken(purpose=purpose)], [_found(purpose=purpose)], PLAN) == {}


def test_a_sum_is_sampled_when_all_its_members_are_reported() -> None:
    found = samplings_of([], [_found(name) for name in MEMBERS], [plan_row(analyte=TTHM)], GROUP)
    assert found["FW", TTHM][0].standing is Standing.USABLE


def test_a_sum_waits_for_the_member_that_is_missing() -> None:
    found = samplings_of([], [_found(name) for name in MEMBERS[:3]], [plan_row(analyte=TTHM)], GROUP)
    assert (found["FW", TTHM][0].standing, found["FW", TTHM][0].reason) == (Standing.AWAITED, "Bromoform missing")


def test_members_of_two_samples_are_no_sum() -> None:
    split = [_found(name, sample=f"S-{position}") for position, name in enumerate(MEMBERS)]
    found = samplings_of([], split, [plan_row(analyte=TTHM)], GROUP)
    assert {one.standing for one in found["FW", TTHM]} == {Standing.AWAITED}
