"""``layout``: a newcomer maps a file that no layout knows, without a line of code, and loads it."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

import sample_lab
from app.cli import main
from pipeline.store.connection import Store
from sample_lab.plant_folder import copy_plant_folder
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS
from tests.unknown_workbook import CELLS, unknown_workbook

EXAMPLES = Path(sample_lab.__file__).parent / "examples"
Run = Callable[..., tuple[int, str]]
ODD = "Where,Parameter,Result,Unit,Sample date\nFW,Iron,0.1,mg/L,2026-05-04\nFW,Zinc,0.2,mg/L,2026-05-05\n"


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run one command; answers its exit code and what it printed, errors too."""

    def runner(*arguments: object) -> tuple[int, str]:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        printed = capsys.readouterr()
        return code, printed.out + printed.err

    return runner


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """An empty store with the plant folder of the tests."""
    folder = tmp_path / "book"
    (folder / "plant").mkdir(parents=True)
    (folder / "plant" / "plant.toml").write_text(PLANT_TOML)
    (folder / "plant" / "sample_points.csv").write_text(SAMPLE_POINTS)
    Store(folder).create()
    return folder


@pytest.fixture
def odd(tmp_path: Path) -> Path:
    """A file whose header no layout knows."""
    path = tmp_path / "odd.csv"
    path.write_text(ODD)
    return path


def layouts(book: Path) -> list[str]:
    return sorted(path.name for path in (book / "plant" / "layouts").glob("*"))


def test_a_workbook_of_three_years_is_mapped_and_loaded_by_commands_alone(book: Path, tmp_path: Path, run: Run) -> None:
    workbook = tmp_path / "years.xlsx"
    workbook.write_bytes(unknown_workbook())
    code, said = run("load", workbook, "--store", book)
    assert (code, "barrierbook layout years.xlsx" in said) == (1, True)
    fernholm = ("--always", "laboratory=Fernholm Laboratory", "--save", "Fernholm years")
    assert run("layout", workbook, *fernholm, "--store", book)[0] == 0
    code, said = run("load", workbook, "--store", book)
    assert (code, f"cells {CELLS} = 0 empty" in said, f"+ {CELLS} new" in said) == (0, True, True), said
    assert run("load", workbook, "--store", book)[1].count(f"+ {CELLS} duplicate") == 1
    with Store(book).read() as connection:
        found = connection.execute(
            "SELECT value_kind, value::DOUBLE, unit, collected_on::VARCHAR, column_name FROM result "
            "WHERE sample_point = 'RO' AND analyte = 'Manganese' ORDER BY collected_on LIMIT 3"
        ).fetchall()
    assert found == [
        ("below", 0.5, "ug/L", "2023-01-04", "Train A permeate 2023!Manganese"),
        ("below", 0.5, "ug/L", "2023-02-05", "Train A permeate 2023!Manganese"),
        ("number", 1.2, "ug/L", "2023-03-06", "Train A permeate 2023!Manganese"),
    ]


def test_the_first_cells_are_shown_as_they_would_be_stored(book: Path, odd: Path, run: Run) -> None:
    _, said = run("layout", odd, "--set", "point=Where", "--json", "--store", book)
    shown = json.loads(said)["preview"]
    (iron, zinc) = shown["cells"]
    assert (iron["analyte"], iron["sample_point"], iron["value"], iron["unit"], iron["collected"]) == (
        "Iron", "FW", "0.1", "mg/L", "2026-05-04",
    )  # fmt: skip
    assert (zinc["line"], zinc["outcome"], shown["outcomes"]) == (3, "stored", {"stored": 2})


def test_showing_stores_nothing(book: Path, odd: Path, run: Run) -> None:
    code, said = run("layout", odd, "--store", book)
    assert code == 0, said
    assert layouts(book) == []
    with Store(book).read() as connection:
        assert connection.execute("SELECT count(*) FROM event").fetchone() == (0,)


def test_a_cell_that_would_be_held_says_why(book: Path, odd: Path, run: Run) -> None:
    odd.write_text(ODD.replace("Zinc", "Zinkum"))
    shown = json.loads(run("layout", odd, "--json", "--store", book)[1])["preview"]
    assert shown["outcomes"] == {"stored": 1, "held": 1}
    assert shown["problems"] == {"The analyte 'Zinkum' is not known.": 1}


def test_what_nothing_says_is_asked_for(book: Path, odd: Path, run: Run) -> None:
    odd.write_text(ODD.replace("Where", "Zq").replace("FW", "the tap"))
    code, said = run("layout", odd, "--store", book)
    assert (code, "? Nothing says the point" in said) == (3, True)
    assert run("layout", odd, "--save", "odd", "--store", book)[0] == 1
    assert layouts(book) == []


def test_a_saved_layout_is_not_overwritten(book: Path, odd: Path, run: Run) -> None:
    assert run("layout", odd, "--save", "odd", "--store", book)[0] == 0
    saved = (book / "plant" / "layouts" / "odd.toml").read_bytes()
    code, said = run("layout", odd, "--save", "odd", "--store", book)
    assert (code, "Choose another name" in said) == (1, True)
    assert (book / "plant" / "layouts" / "odd.toml").read_bytes() == saved


def test_a_layout_by_which_the_file_is_not_known_again_is_not_saved(book: Path, odd: Path, run: Run) -> None:
    run("layout", odd, "--save", "odd", "--store", book)
    code, said = run("layout", odd, "--save", "other", "--store", book)
    assert (code, "fit equally well" in said) == (1, True)
    assert layouts(book) == ["odd.toml"]


def test_a_person_at_a_terminal_changes_and_saves_the_proposal(
    book: Path, odd: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    odd.write_text(ODD.replace("Where", "Zq").replace("FW", "the tap"))
    answers = iter(["point=Zp", "point=Zq", "", "by hand"])
    monkeypatch.setattr("app.commands.mapping.typer.prompt", lambda *_, **__: next(answers))
    monkeypatch.setattr("app.commands.mapping.at_terminal", lambda: True)
    code, said = run("layout", odd, "--store", book)
    assert (code, 'the file has no column "Zp"' in said) == (0, True)
    assert 'point = "Zq"' in (book / "plant" / "layouts" / "by_hand.toml").read_text()


def test_a_header_that_looks_like_markup_or_a_formula_stays_text(book: Path, odd: Path, run: Run) -> None:
    odd.write_text(ODD.replace("Unit", '"=HYPERLINK(""x"") [link]"'))
    code, said = run("layout", odd, "--set", "point=Where", "--save", "odd", "--store", book)
    assert code == 0, said
    assert run("load", odd, "--store", book)[0] == 0


def test_the_bench_book_of_the_sample_plant_is_mapped_by_commands_alone(tmp_path: Path, run: Run) -> None:
    # Three sample points side by side under merged cells, twelve sheets, and names that the plant does not know yet.
    book, bench = tmp_path / "book", EXAMPLES / "process_laboratory.xlsx"
    (book / "plant").mkdir(parents=True)
    copy_plant_folder(book / "plant")
    Store(book).create()
    bench_book = ("--always", "laboratory=Process laboratory", "--save", "bench book")
    assert run("layout", bench, *bench_book, "--store", book)[0] == 0
    assert run("load", bench, "--store", book)[0] == 3
    assert "cleared" in run("accept", "After carbon", "BAC", "--store", book)[1]
    with Store(book).read() as connection:
        held = connection.execute("SELECT DISTINCT point_text FROM held_now ORDER BY 1").fetchall()
        stored = connection.execute("SELECT DISTINCT sample_point FROM result_current").fetchall()
    assert (held, stored) == ([("Clearwell",), ("Inflow",)], [("BAC",)])
