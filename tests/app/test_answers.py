"""A person's answer to held cells: one row in the plant folder, the cells read again, and nothing else changed."""

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from app.cli import main
from pipeline.store.connection import Store
from tests.narrow_files import GOOD_ROW, PLANT_TOML, SAMPLE_POINTS, narrow_file

Run = Callable[..., tuple[int, str]]
ALIASES = "kind,as_written,means\r\nunit,microgramme,ug/L\r\n"
SAMPLE_LOG = "sample,sample_point,collected\nS-7,RO,2026-05-04 08:00\n"
ROWS = [
    {},
    {"analyte": "Manganesse", "unit": "ug/L"},
    {"analyte": "Manganesse", "unit": "parts"},
    {"analyte": "Nitrat"},
    {"unit": "mg per litre"},
    {"analyte": "Nitrate"},
    {"sample_point": "Tap 3", "sample": "S-7"},
    {"analyte": "Bromate", "unit": "ug/L", "value": "ND", "detection_limit": "", "reporting_limit": ""},
    {"analyte": "=cmd|' /C calc'!A0 <b>"},
]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run one command; answers its exit code and what it printed, errors too."""

    def runner(*arguments: object) -> tuple[int, str]:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        printed = capsys.readouterr()
        return code, printed.out + printed.err

    return runner


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with a file of which all cells but the first are held; tests work on copies of it."""
    folder = tmp_path_factory.mktemp("loaded") / "book"
    (folder / "plant").mkdir(parents=True)
    (folder / "plant" / "plant.toml").write_text(PLANT_TOML)
    (folder / "plant" / "sample_points.csv").write_text(SAMPLE_POINTS)
    (folder / "plant" / "sample_log.csv").write_text(SAMPLE_LOG)
    (folder / "plant" / "aliases.csv").write_bytes(ALIASES.encode())
    Store(folder).create()
    rows = [{"laboratory_sample": f"L-{position}"} | row for position, row in enumerate(ROWS)]
    file = folder.with_name("may.csv")
    file.write_bytes(narrow_file(*rows))
    assert main(["load", str(file), "--store", str(folder)]) == 3
    return folder


@pytest.fixture
def book(loaded: Path, tmp_path: Path) -> Path:
    """A copy of the loaded store."""
    return shutil.copytree(loaded, tmp_path / "book")


def outcomes(book: Path) -> dict[int, str]:
    with Store(book).read() as connection:
        return dict(connection.execute("SELECT line, outcome FROM current_outcome").fetchall())


def results(book: Path) -> dict[int, tuple[object, ...]]:
    with Store(book).read() as connection:
        return {row[0]: row for row in connection.execute("SELECT * FROM result_current").fetchall()}


def line_of(changes: dict[str, str]) -> int:
    return ROWS.index(changes) + 2


ANSWERS = [
    (ROWS[1], ["Manganesse"], "new"),
    (ROWS[5], ["Nitrate", "Nitrate", "--basis", "as NO3"], "new"),
    (ROWS[7], ["Bromate", "1.0 ug/L"], "new"),
    (ROWS[8], ["--set-aside", "--", ROWS[8]["analyte"], "not ours"], "set aside"),
]


def test_each_answer_clears_its_cell_and_changes_no_other(book: Path, run: Run) -> None:
    for row, answer, became in ANSWERS:
        before, stored = outcomes(book), results(book)
        said = run("accept", "--store", book, *answer)[1]
        after = outcomes(book)
        assert (after.pop(line_of(row)), before.pop(line_of(row))) == (became, "held"), said
        assert after == before
        assert results(book).items() >= stored.items()
    assert run("verify", "--store", book)[0] == 0


def test_an_answer_is_a_row_that_says_who_when_and_why(book: Path, run: Run) -> None:
    run("accept", "Manganesse", "--store", book)
    table = (book / "plant" / "aliases.csv").read_bytes()
    assert table.startswith(b"kind,as_written,means,sender")
    *_, row = csv.DictReader(table.decode().splitlines())
    assert (row["sender"], row["kind"], row["as_written"], row["means"]) == (
        GOOD_ROW["laboratory"], "analyte", "Manganesse", "Manganese",
    )  # fmt: skip
    assert row["note"][:4].isdigit()
    assert 'written much like "manganese"' in row["note"]


def test_an_answer_counts_for_its_sender_alone(book: Path, run: Run, tmp_path: Path) -> None:
    run("accept", "Manganesse", "--store", book)
    (tmp_path / "other.csv").write_bytes(narrow_file({"laboratory": "Fernholm", "analyte": "Manganesse"}))
    assert run("load", tmp_path / "other.csv", "--store", book)[0] == 3


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (["Nitrat"], "for a person to say"),
        (["Nitrat", "Nitrogen, made up"], "does not exist"),
        (["Nitrat", "Nitrate", "--basis", "as Q"], "is not known"),
        (["Bromate", "about one"], "is no reporting limit"),
    ],
)
def test_an_answer_that_cannot_be_right_changes_nothing(loaded: Path, run: Run, answer: list[str], said: str) -> None:
    before = outcomes(loaded)
    code, printed = run("accept", *answer, "--store", loaded)
    assert code == 1
    assert said in printed
    assert outcomes(loaded) == before
    assert (loaded / "plant" / "aliases.csv").read_bytes() == ALIASES.encode()


def test_suggestions_count_the_cells_that_an_answer_would_clear(book: Path, run: Run) -> None:
    code, said = run("held", "--suggest", "--json", "--store", book)
    found = {(one["kind"], one["as_written"]): one for one in json.loads(said)}
    manganese = found["analyte", "Manganesse"]
    assert (code, manganese["cells"], manganese["would_clear"], manganese["likely"]) == (3, 2, 1, "Manganese")
    assert {kind for kind, _ in found} == {"analyte", "sample point", "unit", "basis", "reporting limit"}


def test_suggestions_come_with_the_command_that_accepts_them(book: Path, run: Run) -> None:
    said = run("held", "--suggest", "--store", book)[1]
    assert "barrierbook accept Manganesse Manganese\n" in said
    assert "barrierbook accept Nitrate Nitrate --basis 'as NO3'\n" in said


def test_a_reporting_limit_is_added_to_a_copy_of_the_shipped_layout(book: Path, run: Run) -> None:
    run("accept", "Bromate", "1.0 ug/L", "--why", "letter of 3 May", "--store", book)
    text = (book / "plant" / "layouts" / "narrow.toml").read_text()
    assert text.endswith('letter of 3 May\nanalyte = "Bromate"\nvalue = 1.0\nunit = "ug/L"\n')
