"""The commands, run in this process: what they print, what they store, and their exit codes."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest

from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS, narrow_file

SOUND_LAYOUT = b"""
name = "x"
signature = ["a", "b"]
[columns]
point = "a"
analyte = "b"
value = "c"
unit = "d"
collected = "e"
"""
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def book(tmp_path: Path, run: Run) -> Path:
    """A store made by ``init``, with the plant folder of the tests."""
    folder = tmp_path / "book"
    assert run("init", folder)[0] == 0
    (folder / "plant" / "plant.toml").write_text(PLANT_TOML)
    (folder / "plant" / "sample_points.csv").write_text(SAMPLE_POINTS)
    return folder


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file with a good row, a held one, and nitrate above its limit."""
    path = tmp_path / "may.csv"
    path.write_bytes(
        narrow_file(
            {},
            {"laboratory_sample": "L-2", "unit": "mg/kg"},
            {"laboratory_sample": "L-3", "sample": "S-3", "value": "11.2"},
        )
    )
    return path


def test_init_makes_a_store_that_every_command_accepts(tmp_path: Path, run: Run) -> None:
    assert run("init", tmp_path / "new")[0] == 0
    for command in (["held"], ["findings"], ["screen"], ["verify"], ["retry"], ["export", "results"]):
        code, _, said = run(*command, "--store", tmp_path / "new")
        assert (code, said) == (0, ""), command


def test_init_overwrites_nothing(book: Path, run: Run) -> None:
    code, _, said = run("init", book)
    assert code == 1
    assert "Name another folder" in said


def test_load_tells_what_is_above_a_limit_before_the_account(book: Path, file: Path, run: Run) -> None:
    code, out, _ = run("load", file, "--store", book)
    assert code == 3
    assert out.index("act now: Nitrate 11.2 mg/L as N at FW") < out.index("cells 3")
    assert "may.csv, line 4" in out
    assert "= 0 empty + 0 set aside + 1 held + 0 duplicate + 2 new + 0 revision" in out


def test_load_answers_a_program_with_the_account(book: Path, file: Path, run: Run) -> None:
    (loaded,) = json.loads(run("load", file, "--store", book, "--json")[1])
    parts = ("empty", "set_aside", "held", "duplicate", "new", "revision")
    assert loaded["cells"] == sum(loaded[part] for part in parts) == 3
    lines = loaded["lines"]
    assert lines["total"] == lines["title"] + lines["header"] + lines["blank"] + lines["data"] == 4
    assert [above["line"] for above in loaded["above_a_limit"]] == [4]


def test_a_file_that_cannot_be_read_does_not_keep_the_others_out(
    book: Path, file: Path, tmp_path: Path, run: Run
) -> None:
    (tmp_path / "broken.csv").write_bytes(b"")
    code, out, _ = run("load", tmp_path / "broken.csv", file, "--store", book)
    assert code == 1
    assert "broken.csv: the file is empty." in out
    assert "2 new" in out


def test_an_unknown_header_leads_to_the_command_that_maps_it(book: Path, tmp_path: Path, run: Run) -> None:
    (tmp_path / "odd.csv").write_text("Where,Parameter,Result,Unit,Sample date\nFW,Iron,0.1,mg/L,2026-05-04\n")
    code, out, _ = run("load", tmp_path / "odd.csv", "--store", book)
    assert (code, "barrierbook layout odd.csv" in out) == (1, True)


def test_held_names_the_place_and_the_remedy(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    code, out, _ = run("held", "--store", book, "--json")
    (cell,) = json.loads(out)
    assert code == 3
    assert (cell["file"], cell["line"], cell["unit"]) == ("may.csv", 3, "mg/kg")
    assert cell["remedy"]


def test_a_retry_after_the_cure_leaves_nothing_held(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    (book / "plant" / "aliases.csv").write_text("kind,as_written,means\nunit,mg/kg,mg/L\n")
    assert run("retry", "--store", book)[0] == 0
    assert run("held", "--store", book)[0] == 0
    assert run("verify", "--store", book)[0] == 0


def test_screen_is_strict_on_request(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    chosen = ("screen", "--analyte", "nitrate", "--point", "FW", "--on", "2026-05-04", "--store", book)
    assert run(*chosen)[0] == 0
    assert run(*chosen, "--strict")[0] == 3


def test_screen_traces_every_number_to_its_line(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    out = run("screen", "--limit", "us-primary-nitrate", "--on", "2026-05-04", "--json", "--store", book)[1]
    (verdict,) = json.loads(out)["verdicts"]
    # The held cell of line 3 belongs to the same day: no verdict may call the day met.
    assert verdict["outcome"] != "meets"
    assert {used["line"] for used in verdict["used"]} <= {2, 4}
    assert {used["file"] for used in verdict["used"]} == {"may.csv"}


def test_explain_writes_the_arithmetic_out(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    out = run("screen", "--limit", "us-primary-nitrate", "--on", "2026-05-04", "--explain", "--store", book)[1]
    assert "40 CFR 141.62(b)" in out
    assert "11.2" in out
    assert "may.csv" in out
    assert "not a compliance determination" in out


def test_a_choice_that_nothing_fits_is_an_error(book: Path, run: Run) -> None:
    code, _, said = run("screen", "--analyte", "Unobtainium", "--store", book)
    assert code == 1
    assert "no limit is judged" in said


def test_export_as_wqx_loads_again_with_the_same_values(book: Path, file: Path, tmp_path: Path, run: Run) -> None:
    run("load", file, "--store", book)
    exported = tmp_path / "wqx.csv"
    assert run("export", "wqx", "--out", exported, "--store", book)[0] == 0
    other = tmp_path / "other"
    run("init", other)
    (other / "plant" / "sample_points.csv").write_text(SAMPLE_POINTS)
    assert run("load", exported, "--store", other)[0] in (0, 3)
    values = [
        {(row["analyte"], row["value_text"], row["collected_at"], row["basis"]) for row in _results(run, folder)}
        for folder in (book, other)
    ]
    assert values[0] == values[1]


@pytest.mark.parametrize("what", ["results", "findings", "verdicts", "wqx"])
def test_export_writes_csv_and_parquet_alike(book: Path, file: Path, tmp_path: Path, run: Run, what: str) -> None:
    run("load", file, "--store", book)
    out = run("export", what, "--store", book)[1]
    assert run("export", what, "--out", tmp_path / "x.parquet", "--store", book)[0] == 0
    assert len(list(csv.DictReader(io.StringIO(out)))) == pl.read_parquet(tmp_path / "x.parquet").height > 0


def test_export_to_another_kind_of_file_is_refused(book: Path, tmp_path: Path, run: Run) -> None:
    assert run("export", "results", "--out", tmp_path / "x.xls", "--store", book)[0] == 1


def test_a_wrong_plant_folder_names_every_fault_with_its_place(book: Path, run: Run) -> None:
    (book / "plant" / "sample_points.csv").write_text(
        "sample_point,name,place,disinfected\nA,B,nowhere,no\nA,B,tap,no\n"
    )
    code, _, said = run("held", "--store", book)
    assert code == 1
    assert "sample_points.csv, line 2, column place" in said
    assert "sample_points.csv, line 3" in said


def test_a_missing_store_says_how_to_make_one(tmp_path: Path, run: Run) -> None:
    code, _, said = run("screen", "--store", tmp_path)
    assert code == 1
    assert "barrierbook init" in said
    assert len(said.splitlines()) == 1


def test_misuse_is_two(run: Run) -> None:
    assert run("load")[0] == 2
    assert run("sing")[0] == 2


def test_verify_says_what_it_proved(book: Path, file: Path, run: Run) -> None:
    run("load", file, "--store", book)
    proof = json.loads(run("verify", "--store", book, "--json")[1])
    assert proof["faults"] == []
    assert len(proof["checked"]) == 5


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"name = ", "layouts/own.toml: is not valid TOML"),
        (SOUND_LAYOUT + b"[words]\nodd = 1\n", "layouts/own.toml, column words.odd"),
        (b'scope = "nobody"\n' + SOUND_LAYOUT, 'layouts/own.toml, column scope: the scope "nobody" is not known.'),
        ("name = 'µ'".encode("cp1252"), "layouts/own.toml: the file is not UTF-8"),
        (b'name = "x"\nsignature = ["a", "b"]\n[columns]\nvalu = "c"\n', "unknown column valu"),
    ],
)
def test_a_wrong_layout_names_its_file_and_key(book: Path, run: Run, content: bytes, said: str) -> None:
    (book / "plant" / "layouts").mkdir(exist_ok=True)
    (book / "plant" / "layouts" / "own.toml").write_bytes(content)
    code, _, error = run("held", "--store", book)
    assert code == 1
    assert said in error
    assert len(error.splitlines()) == 1


def _results(run: Run, folder: Path) -> list[dict[str, str]]:
    rows: list[dict[str, str]] = json.loads(run("export", "results", "--json", "--store", folder)[1])
    return rows
