"""``due`` and ``telephone``, run in this process: what they print, write and store."""

import json
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS, narrow_file
from tests.sample_sheets import sample_sheet

Run = Callable[..., tuple[int, str, str]]
PLAN = "sample_point,analyte,frequency,effective_from,laboratory\nFW,Nitrate,monthly,2026-05-01,Tarnwick\n"
CALL = {
    "--laboratory": "Tarnwick", "--told-by": "bench chemist", "--at": "2026-05-06 14:05", "--sample": "S-1",
    "--point": "FW", "--collected": "2026-05-04 08:15", "--analyte": "Nitrate as N", "--value": "2.1", "--unit": "mg/L",
}  # fmt: skip


@pytest.fixture
def book(tmp_path: Path, run: Run) -> Path:
    """A store whose plan asks for nitrate every month; its laboratory takes ten days."""
    folder = tmp_path / "book"
    assert run("init", folder)[0] == 0
    (folder / "plant" / "plant.toml").write_text(PLANT_TOML)
    (folder / "plant" / "sample_points.csv").write_text(SAMPLE_POINTS)
    (folder / "plant" / "labs.csv").write_text("laboratory,turnaround_days\nTarnwick,10\n")
    (folder / "plant" / "monitoring_plan.csv").write_text(PLAN)
    return folder


def _load(run: Run, book: Path, content: bytes, name: str = "file.csv") -> None:
    (book.parent / name).write_bytes(content)
    run("load", book.parent / name, "--store", book)


def _call(run: Run, book: Path, **changes: str) -> tuple[int, str, str]:
    said = CALL | {f"--{name.replace('_', '-')}": text for name, text in changes.items()}
    return run("telephone", *(part for pair in said.items() for part in pair), "--store", book)


def test_due_says_that_nothing_is_overdue_and_when_the_next_sample_is(book: Path, run: Run) -> None:
    _load(run, book, narrow_file())
    code, out, _ = run("due", "--store", book, "--on", "2026-05-20")
    assert code == 0
    assert "Nothing is overdue or late. Next sample due Tue 30\N{NO-BREAK SPACE}Jun." in out
    assert "check frequencies, confirmations and dates with the rule and the agency" in out


def test_a_late_report_needs_a_person(book: Path, run: Run) -> None:
    _load(run, book, sample_sheet(), "sheet.csv")
    code, out, _ = run("due", "--store", book, "--on", "2026-05-20")
    assert code == 3
    assert "late at the laboratory" in out
    assert "since 2026-05-15" in out


def test_due_answers_a_program(book: Path, run: Run) -> None:
    _load(run, book, sample_sheet(), "sheet.csv")
    told = json.loads(run("due", "--store", book, "--on", "2026-05-20", "--json")[1])
    (late,) = [one for one in told["due"] if one["state"] == "late at the laboratory"]
    assert (late["sample"], late["analyte"], late["due_by"]) == ("S-1", "Nitrate", "2026-05-14")


def test_due_is_asked_as_it_was_known(book: Path, run: Run) -> None:
    _load(run, book, narrow_file())
    code, _, said = run("due", "--store", book, "--as-of", "2020-01-01")
    assert (code, "nothing was known yet" in said) == (1, True)


def test_a_choice_of_point_must_exist(book: Path, run: Run) -> None:
    _load(run, book, narrow_file())
    code, _, said = run("due", "--store", book, "--point", "Well 9")
    assert (code, "Known are FW, RO." in said) == (1, True)


def _lists(run: Run, book: Path, name: str) -> dict[str, bytes]:
    run("due", "--store", book, "--on", "2026-05-20", "--questions", book.parent / name)
    return {path.name: path.read_bytes() for path in sorted((book.parent / name).iterdir())}


def test_a_question_list_names_file_line_and_what_is_wrong(book: Path, run: Run) -> None:
    _load(run, book, narrow_file({"unit": "mg/kg"}))
    lists = _lists(run, book, "lists")
    assert list(lists) == ["questions_tarnwick_2026-05-20.txt", "questions_tarnwick_2026-05-20.xlsx"]
    said = lists["questions_tarnwick_2026-05-20.txt"].decode()
    assert "(file.csv, line 2)" in said
    assert 'It says "2.1 mg/kg". What is right?' in said


def test_the_same_questions_give_the_same_bytes(book: Path, run: Run) -> None:
    _load(run, book, narrow_file({"unit": "mg/kg"}))
    assert _lists(run, book, "once") == _lists(run, book, "twice")


def test_a_text_that_looks_like_a_formula_stays_a_text(book: Path, run: Run, tmp_path: Path) -> None:
    _load(run, book, narrow_file({"sample": "=1+1", "unit": "mg/kg"}))
    _lists(run, book, "lists")
    sheet = openpyxl.load_workbook(tmp_path / "lists" / "questions_tarnwick_2026-05-20.xlsx").active
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == "=1+1"]
    assert cell.data_type == "s"


def test_a_result_told_by_telephone_is_preliminary_and_says_who_told_it(book: Path, run: Run) -> None:
    code, out, _ = _call(run, book)
    assert (code, "1 new" in out) == (0, True)
    exported = run("export", "results", "--store", book)[1]
    assert "preliminary" in exported
    assert "telephone note 2026-05-06-14-05.csv" in exported
    assert "preliminary only" in run("due", "--store", book, "--on", "2026-05-20")[1]


def test_the_same_call_written_down_twice_is_one_result(book: Path, run: Run) -> None:
    _call(run, book)
    assert "1 duplicate + 0 new" in _call(run, book)[1]


def test_a_value_above_a_limit_is_told_at_once(book: Path, run: Run) -> None:
    code, out, _ = _call(run, book, value="11.2")
    assert code == 3
    assert out.startswith("■ act now: Nitrate 11.2 mg/L as N at FW")


def test_a_note_without_the_time_of_the_call_is_refused(book: Path, run: Run) -> None:
    code, _, said = _call(run, book, at="after lunch")
    assert (code, "Write it like 2026-11-25 14:05." in said) == (1, True)


def test_the_report_takes_the_place_of_the_call(book: Path, run: Run) -> None:
    _call(run, book, value="2.4")
    _load(run, book, narrow_file())
    code, out, _ = run("due", "--store", book, "--on", "2026-05-20", "--all")
    assert code == 0
    assert "preliminary only" not in out
    assert "reported" in out


def test_an_unknown_point_of_a_sheet_is_answered_with_one_command(book: Path, run: Run) -> None:
    _load(run, book, sample_sheet({"sample_point": "Clear well"}), "sheet.csv")
    assert "Clear well" in run("held", "--suggest", "--store", book)[1]
    assert run("accept", "Clear well", "FW", "--store", book)[0] == 0
    assert run("held", "--store", book)[0] == 0


def test_a_finding_of_a_sheet_names_its_sample(book: Path, run: Run) -> None:
    _load(run, book, sample_sheet({"relinquished": "2026-05-04 01:00"}), "sheet.csv")
    (found,) = json.loads(run("findings", "--store", book, "--json")[1])
    assert (found["value_text"], found["sample_point"], found["rule_id"]) == ("S-1", "FW", "steps_out_of_order")
