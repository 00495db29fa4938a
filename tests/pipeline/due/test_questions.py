"""What is asked of each laboratory, and confirmations that a result asks for."""

from datetime import date

from pipeline.due.model import Due, DueState, Found, Standing, TakenSample
from pipeline.due.questions import HeldLine, Subject, at_another_point, questions

HELD = HeldLine("Tarnwick", "S-4", "FW", "Lead", "2026-05-04", "0.7", "mg/kg", "may.csv", 3, "value", "Odd unit.")


def _late(analyte: str, sample: str = "S-1", **changes: object) -> Due:
    given = {
        "state": DueState.LATE, "sample_point": "FW", "analyte": analyte, "laboratory": "Tarnwick", "sample": sample,
        "collected_on": date(2026, 5, 4), "received_on": date(2026, 5, 5), "due_by": date(2026, 5, 15),
    }  # fmt: skip
    return Due(**(given | changes))  # type: ignore[arg-type]


def test_a_late_report_is_asked_for_once_with_all_its_analytes() -> None:
    (asked,) = questions([_late("Lead"), _late("Copper")], [], [])["Tarnwick"]
    assert (asked.subject, asked.analyte) == (Subject.LATE, "Lead, Copper")
    assert "expected by 2026-05-15 (received 2026-05-05)" in asked.question


def test_a_held_cell_is_asked_about_with_its_line_and_what_it_says() -> None:
    (asked,) = questions([], [HELD], [])["Tarnwick"]
    assert (asked.file, asked.line) == ("may.csv", 3)
    assert asked.question == 'Column value cannot be taken as it is: Odd unit. It says "0.7 mg/kg". What is right?'


def test_a_spoiled_sample_is_taken_again_by_the_end_of_its_period_or_at_once() -> None:
    running = _late("Lead", state=DueState.RESAMPLE, reason="bottle broken", due_by=date(2026, 5, 31))
    over = _late("Lead", "S-2", state=DueState.RESAMPLE, since=date(2026, 6, 1))
    first, second = questions([running, over], [], [])["Tarnwick"]
    assert "(bottle broken). We sample again by 2026-05-31" in first.question
    assert "We sample again at once" in second.question


def test_what_is_in_time_is_not_asked_about() -> None:
    assert questions([_late("Lead", state=DueState.AT_LABORATORY)], [], []) == {}


def test_each_laboratory_gets_its_own_list_and_an_unknown_one_too() -> None:
    asked = questions([_late("Lead"), _late("Lead", laboratory="")], [], [])
    assert list(asked) == ["Tarnwick", "laboratory not known"]


def test_a_report_that_names_another_point_than_the_log_is_asked_about() -> None:
    taken = [TakenSample("S-1", "FW", date(2026, 5, 4), laboratory="Tarnwick")]
    found = Found(
        "S-1", "RO", "Lead", date(2026, 5, 4), "Tarnwick", "compliance", Standing.USABLE, file="may.csv", line=2
    )
    (asked,) = questions([], [], at_another_point(taken, [found]))["Tarnwick"]
    assert "from RO, our log that it is from FW" in asked.question


def test_the_order_of_what_comes_in_never_matters() -> None:
    dues = [_late("Lead", "S-2"), _late("Lead", "S-1")]
    assert questions(dues, [HELD], []) == questions(reversed(dues), [HELD], [])
