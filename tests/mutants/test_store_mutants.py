"""Faults seeded on purpose into what decides which version of a result counts: each has to be noticed.

What it is checked against is the plain store, on one history that has everything in it: a tie, an older revision that
comes late, a preliminary result, a pointer, a withdrawal, decisions, and a reading of settled cells again.
"""

from collections.abc import Callable

import duckdb
import pytest

from pipeline.screening import result_of_record
from pipeline.store import settling
from tests.mutants.store_history import differences
from tests.pipeline.screening import test_result_of_record as of_record

real_text = settling.query_text
Seed = tuple[str, str, str]

# In which statement, what is written there, and what takes its place.
SEEDS: dict[str, Seed] = {
    "the newest is the one loaded last": (
        "newest_version",
        "coalesce(version.revision, 0) DESC,",
        "version.result_id DESC,",
    ),
    "revisions are taken backwards": (
        "newest_version",
        "coalesce(version.revision, 0) DESC",
        "coalesce(version.revision, 0) ASC",
    ),
    "preliminary is as good as final": ("newest_version", "version.status <> 'preliminary' DESC,", ""),
    "the report date says nothing": ("newest_version", "version.reported_on DESC NULLS LAST,", ""),
    "a rejection by the sender is overlooked": ("open_newest", "newest.status <> 'rejected'", "true"),
    "a person's rejection is overlooked": ("newest_version", "AND said.key_hash IS NULL", ""),
    "a version counts though no load says it": (
        "newest_version",
        "AND version.result_id IN (SELECT result_id FROM assertion)",
        "",
    ),
    "a withdrawal reaches nothing": ("touch_withdrawn", "said.load_id = $load_id", "false"),
    "a tie is a revision": ("decide_outcomes", "compared.contradicted AND said.key_hash IS NULL", "false"),
    "a decision does not settle a tie": (
        "decide_outcomes",
        "compared.contradicted AND said.key_hash IS NULL",
        "compared.contradicted",
    ),
    "what says less is a revision": (
        "known_version",
        "AND cell.reportable IN ('', version.reportable) AS says_no_more",
        "AND false AS says_no_more",
    ),
    "what says more is a tie": (
        "known_version",
        "AND version.reportable IN ('', cell.reportable) AS only_says_more",
        "AND false AS only_says_more",
    ),
    "what was withdrawn still contradicts": ("asserted_version", "FROM assertion AS said", "FROM cell_outcome AS said"),
    "what a cell said before goes on counting": (
        "touch_keys",
        "before.load_id = $load_id AND before.cell_id = decided.cell_id",
        "false",
    ),
    "the old version stays open": (
        "close_superseded",
        "result_id NOT IN (SELECT result_id FROM newest_version WHERE status <> 'rejected')",
        "false",
    ),
}


@pytest.fixture(scope="module")
def without_fault() -> list[str]:
    """What the history shows of the product as it is."""
    return differences()


def test_the_unchanged_store_is_the_plain_one(without_fault: list[str]) -> None:
    assert without_fault == []


@pytest.mark.parametrize("fault", SEEDS)
def test_a_fault_in_the_store_is_noticed(fault: str, monkeypatch: pytest.MonkeyPatch) -> None:
    name, written, seeded = SEEDS[fault]
    assert written in real_text(name), "the statement has changed: seed the fault anew"

    def with_fault(asked: str) -> str:
        return real_text(asked).replace(written, seeded) if asked == name else real_text(asked)

    monkeypatch.setattr(settling, "query_text", with_fault)
    try:
        found = differences()
    except duckdb.Error:
        return
    assert found, "nothing notices this fault"


def _marks_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(result_of_record, "_as_reportable", lambda group: group)


def _choices_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(result_of_record, "_as_chosen", lambda group: group)


def _telephone_counts(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(result_of_record, "_without_preliminary", lambda group: group)


def _plan_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(result_of_record, "_prefer", lambda group, _is_of_record, _named: group)


def _others_vanish(patch: pytest.MonkeyPatch) -> None:
    def only_kept(results: object, plan: object = ()) -> list[object]:
        return [one for one in REAL_MARK(results, plan) if not one.unusable_because]

    patch.setattr("pipeline.screening.screen.mark_result_of_record", only_kept)


REAL_MARK = result_of_record.mark_result_of_record
RECORD_CHECKS = [
    of_record.test_the_laboratory_of_record_counts_and_the_other_is_shown_with_the_reason,
    of_record.test_what_a_person_chose_counts_against_mark_and_plan,
    of_record.test_choosing_the_lower_of_two_does_not_make_an_exceedance_vanish,
    of_record.test_a_preliminary_result_gives_way_to_the_final_one_of_its_laboratory,
    of_record.test_what_is_not_reportable_does_not_count_beside_what_carries_no_mark,
]


@pytest.mark.parametrize("seed", [_marks_ignored, _choices_ignored, _telephone_counts, _plan_ignored, _others_vanish])
def test_a_fault_in_the_choice_of_record_is_noticed(
    seed: Callable[[pytest.MonkeyPatch], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    seed(monkeypatch)
    noticed = 0
    for check in RECORD_CHECKS:
        try:
            check()
        except (AssertionError, IndexError):
            noticed += 1
    assert noticed, "nothing notices this fault"
